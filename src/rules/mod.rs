//! Reads the plant's rules and the job: typed, every default documented, every mistake refused with its line.
//!
//! ```text
//!   plant.toml ──► PlantRules      what the plant can make and how it likes it
//!   job.toml   ──► Job             what this building is, and what the drafter decided about it
//!   prices.toml ─► Prices          the price book, laid over the weights of PlantRules where one is given
//! ```
//!
//! *Promises.* Lengths are exact; names that refer to something (an assembly, a lumber section) refer to something that
//! exists; what was not given is `None` in [`Job`] and the documented default in [`PlantRules`].
//!
//! *Does not do.* Applying a rule: the room that obeys it does, and names it.

mod agree;
mod alignment;
mod apply;
mod assembly;
mod blank;
mod checks;
pub mod codes;
mod cost;
mod describe;
mod dispatch;
mod drawn_lines;
mod error;
mod header_table;
mod job;
mod job_corrections;
mod job_file;
mod job_inserts;
mod job_issue;
mod job_layers;
mod job_layout;
mod nailers;
mod piers;
mod plant;
mod plant_file;
mod points;
mod prices;
mod quoting;
mod read_job;
mod read_rules;
mod revisions;
mod schema;
mod sheets;
mod sip_headers;
mod site_goods;
mod skins;
mod splines;
mod stock;
mod stock_prices;
mod value;

pub use crate::toml_text::Mistake;
pub use alignment::{AlignmentRules, StackedOpenings, UnderJacks};
pub use assembly::{Assembly, LaminatingLine, Skin, StrengthAxis, WallAxis, Way};
pub use cost::CostRules;
pub use describe::{KeyMeaning, key_meaning, rule_words, rules_document};
pub use dispatch::{DispatchRules, LabelRules, PressRules, ShippingRules, ThermalRules};
pub use drawn_lines::DrawnLineRules;
pub use error::RulesError;
pub use piers::PierRules;
pub use points::{PointRules, UnnamedPost};
pub use prices::{Money, PriceFacts, Prices, prices_schema, read_prices};
pub use quoting::QuoteRules;
pub use read_job::{new_job_text, read_job};
pub use read_rules::{default_rules_text, read_rules};
pub use revisions::RevisionRules;
pub use schema::{job_schema, rules_schema};
pub use sheets::{PanelPaper, PlanPaper, ScaleList, SheetRules};
pub use sip_headers::{SipHeaderRules, SipHeaderSpan};
pub use site_goods::SiteGoodsRules;
pub use splines::{ClosingSpline, SplineKind, SplineRules};
pub use stock::{BilletStock, BoardStock, StockRules};
pub use stock_prices::StockPrices;

pub use header_table::{HeaderLoad, HeaderSpan, Supports, header_span, header_table};
pub use job_inserts::{HoldDown, Nailer, Pocket, PointLoad, Post, WiringBox};
pub use job_issue::job_without_revises;
pub use job_layout::{CornerWord, JobLayout};
pub use nailers::{DrawnNailers, NailerRules};

pub use job::{
    BearingLine, FloorKind, HeightTo, HeldFace, InteriorUse, Issue, Job, JobOpening, JobPanel,
    JobStorey, JobWall, Loads, OpeningMatch, PanelStatus,
};
pub use plant::{
    Allowance, BuckConvention, CapAtTees, ChaseMade, ChaseRules, CornerRules, CornerTreatment,
    DrawnWidth, Face, FixingRules, HeaderMember, HeaderRule, JointRules, LayerNames, LiftRules,
    LumberRules, LumberSection, OddCorner, OpeningRules, OpeningSize, PlantRules, PlateRules,
    RecessRules, SawRules, SawUnit, SawVersion, ScopeRules, SectionMaterial, SoleAtDoors, TeeStud,
};
