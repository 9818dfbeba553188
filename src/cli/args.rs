//! The command line as typed. Nothing is done here.

use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// From an architect's plan to a building made of structural insulated panels.
#[derive(Parser, Debug)]
#[command(name = "panelwright", version, about, disable_help_subcommand = true)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
    #[command(flatten)]
    pub(crate) shared: Shared,
}

/// What every command takes.
#[derive(Args, Debug)]
pub(crate) struct Shared {
    /// Print faults only: no notes, no doubts, no summary.
    #[arg(long, global = true)]
    pub(crate) quiet: bool,
    /// How findings are printed on standard output.
    #[arg(long, global = true, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,
}

/// How findings are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// Sentences for people.
    Text,
    /// One JSON document.
    Json,
}

/// The commands.
#[derive(Subcommand, Debug)]
pub(crate) enum Command {
    /// The whole job: read, recover, lay out, fabricate, draw, prove, and write the package.
    Make(Make),
    /// Many jobs side by side, each in a folder of its own, and one report: report.md, report.csv, report.json.
    Batch(Batch),
    /// Recovery only: plan.json, trace.svg, findings.json.
    Trace(Trace),
    /// Quantities, and with prices money, before anything is drawn.
    Estimate(Estimate),
    /// What a drawing holds: version, unit votes, layers, entity counts, what was left out and why.
    Survey {
        /// A drawing (.dxf or .dwg).
        input: PathBuf,
    },
    /// Proves a package from its files alone, or says what fails.
    Verify {
        /// A package.
        dir: PathBuf,
    },
    /// Why a panel is as it is: the rule behind each joint, part and hold; of a wall, its cost, bound and next best layouts.
    Explain {
        /// A package.
        dir: PathBuf,
        /// Mark of a panel, such as W101, or id of a wall, such as X1.
        mark: String,
    },
    /// What changed between two packages, panel by panel.
    Compare {
        /// The earlier package.
        old: PathBuf,
        /// The later package.
        new: PathBuf,
        /// Where overlay sheets, parts.csv and comparison.json go: a folder that is empty or does not exist yet.
        #[arg(long)]
        out: Option<PathBuf>,
        /// Replace what an earlier comparison left at --out.
        #[arg(long)]
        replace: bool,
    },
    /// Read a reviewer's marked sheets into the package's review log; without files, put in the answers alone.
    Marks {
        /// The package that was sent out.
        dir: PathBuf,
        /// Marked sheets: SVG from the page or any vector editor, or PDF with annotations; answers.toml as the page saved it.
        marked: Vec<PathBuf>,
    },
    /// Start a job folder with commented job.toml and plant.toml.
    New {
        /// The folder to start.
        dir: PathBuf,
    },
    /// Print the default plant rules, or the JSON Schemas.
    Rules {
        /// Print the JSON Schemas of plant.toml, job.toml, sketches and prices.toml instead.
        #[arg(long)]
        schema: bool,
        /// Print the page of all rules, docs/rules.md, instead.
        #[arg(long, conflicts_with = "schema")]
        document: bool,
    },
}

/// What is read: drawings, and the job with its corrections.
#[derive(Args, Debug)]
pub(crate) struct Inputs {
    /// Drawings (.dxf, .dwg) or sketches (.toml): one for each storey, from the lowest up.
    #[arg(required = true)]
    pub(crate) inputs: Vec<PathBuf>,
    /// The job: heights, assembly, openings, corrections.
    #[arg(long)]
    pub(crate) job: Option<PathBuf>,
}

/// Where files go.
#[derive(Args, Debug)]
pub(crate) struct Target {
    /// Where the files go: a folder that is empty or does not exist yet.
    #[arg(long)]
    pub(crate) out: PathBuf,
    /// Replace what an earlier run of this program left at --out.
    #[arg(long)]
    pub(crate) replace: bool,
    /// Print the time each room took.
    #[arg(long)]
    pub(crate) timings: bool,
}

/// `panelwright make`.
#[derive(Args, Debug)]
pub(crate) struct Make {
    #[command(flatten)]
    pub(crate) read: Inputs,
    /// The plant's rules; without it the documented defaults.
    #[arg(long)]
    pub(crate) rules: Option<PathBuf>,
    /// The price book that layouts are priced by; without it the weights of the plant's rules.
    #[arg(long, value_name = "PRICES.toml")]
    pub(crate) prices: Option<PathBuf>,
    /// What earlier jobs left over, such as the leftovers.toml of their package; it is used before new stock.
    #[arg(long, value_name = "STOCK.toml")]
    pub(crate) stock: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) target: Target,
    /// Date printed on sheets, YYYY-MM-DD; else the job's, else none.
    #[arg(long)]
    pub(crate) date: Option<String>,
    /// The package of the issue before: unchanged panels keep mark, drawing and bytes, changed ones get a revision letter.
    /// Without it the one that the job names as `revises`, if any.
    #[arg(long, value_name = "OLD_DIR")]
    pub(crate) revise: Option<PathBuf>,
    /// How many truly different layouts of each wall to list in panels.json.
    #[arg(long, default_value_t = 0)]
    pub(crate) alternatives: usize,
    /// Leave out PDF files.
    #[arg(long)]
    pub(crate) no_pdf: bool,
}

/// `panelwright batch`.
#[derive(Args, Debug)]
pub(crate) struct Batch {
    /// A folder of job folders, each with plan.dxf, plan.dwg or sketch.toml (plan-1, plan-2… for storeys), job.toml, and
    /// plant.toml where it has rules of its own.
    pub(crate) folder: PathBuf,
    /// Rules for jobs that have none of their own; without it the documented defaults.
    #[arg(long)]
    pub(crate) rules: Option<PathBuf>,
    /// Where packages and report go: a folder that is empty or does not exist yet.
    #[arg(long)]
    pub(crate) out: PathBuf,
    /// Replace what an earlier batch left at --out.
    #[arg(long)]
    pub(crate) replace: bool,
    /// Date printed on sheets, YYYY-MM-DD; else each job's, else none.
    #[arg(long)]
    pub(crate) date: Option<String>,
    /// Leave out PDF files.
    #[arg(long)]
    pub(crate) no_pdf: bool,
}

/// `panelwright trace`.
#[derive(Args, Debug)]
pub(crate) struct Trace {
    #[command(flatten)]
    pub(crate) read: Inputs,
    #[command(flatten)]
    pub(crate) target: Target,
    /// The package of the issue before, whose ids of walls and openings go on. Without it the one that the job names as
    /// `revises`, if any.
    #[arg(long, value_name = "OLD_DIR")]
    pub(crate) revise: Option<PathBuf>,
    /// Show on trace.svg what is frozen, switched off or invisible in the drawing too, and name what is no wall: furniture,
    /// stairs, roof, footings.
    #[arg(long)]
    pub(crate) all: bool,
}

/// `panelwright estimate`.
#[derive(Args, Debug)]
pub(crate) struct Estimate {
    #[command(flatten)]
    pub(crate) read: Inputs,
    /// The plant's rules; without it the documented defaults.
    #[arg(long)]
    pub(crate) rules: Option<PathBuf>,
    /// Prices; without it quantities and no money.
    #[arg(long)]
    pub(crate) prices: Option<PathBuf>,
    /// Where quote.svg, quote.pdf and quote.json go: a folder that is empty or does not exist yet.
    #[arg(long)]
    pub(crate) out: Option<PathBuf>,
    /// Replace what an earlier estimate left at --out.
    #[arg(long)]
    pub(crate) replace: bool,
    /// Date printed on the quote, YYYY-MM-DD; else the job's, else none.
    #[arg(long)]
    pub(crate) date: Option<String>,
    /// Height of all walls, such as "9'-0\"".
    #[arg(long)]
    pub(crate) wall_height: Option<String>,
    /// Assembly of all walls; given more than once, the first is quoted and all stand side by side.
    #[arg(long)]
    pub(crate) assembly: Vec<String>,
    /// Unit height of doors whose height nothing says.
    #[arg(long)]
    pub(crate) door_height: Option<String>,
    /// Unit height of windows whose height nothing says.
    #[arg(long)]
    pub(crate) window_height: Option<String>,
    /// Rough head above the deck of windows of unknown head, such as 6'-10".
    #[arg(long, value_name = "LENGTH")]
    pub(crate) window_head: Option<String>,
    /// Member over every opening for which the job names none, such as 2-2x10.
    #[arg(long)]
    pub(crate) header: Option<String>,
    /// Miles from the plant to the site.
    #[arg(long)]
    pub(crate) miles: Option<u32>,
}
