//! What comes back: an earlier issue of the job, a reviewer's marks, and what became of both.
//!
//! ```text
//!   package (files) ──► Issued ──┐
//!                                ├─► registration ──► lineage ──► fates, panel by panel ──► Comparison
//!   package (files) ──► Issued ──┘                                └──► marks and revision letters of the new issue
//!   a reviewer's marked sheets ──► marks ──► review/ of the package ──► the next issue's sheets
//! ```
//!
//! *Promises.* An issued package is read, never altered. Panels are matched by where they stand, not by names or handles, so
//! that a plan with another origin, another rotation or renumbered entities still finds its panels. A mark is a name: an
//! unchanged panel keeps it, a changed one keeps it with a revision letter, a new one takes the next free number, a retired
//! one is never used again.
//!
//! *Does not do.* Reading drawings; deciding what to do with a panel that is already cut: that is a fault with its choices.

mod as_issued;
pub mod codes;
mod compare;
mod differences;
mod files;
mod hindrances;
mod in_plain;
mod issued;
mod job_facts;
mod keep;
mod lineage;
mod marks;
mod meanings;
mod neighbours;
mod newly;
mod order;
mod overlay;
mod parts;
mod places;
mod plates;
mod printed;
mod recut;
mod references;
mod registration;
mod revise;
mod verdict;
mod why;

pub use as_issued::raise_revised;
pub use compare::{Comparison, compare_packages};
pub use differences::Change;
pub use files::{FileNews, InputNews, input_news};
pub use issued::{BuiltFace, Issued, IssuedError, IssuedPanel};
pub use keep::heed_issue;
pub use lineage::{Fate, Lineage, PanelFate};
pub use marks::{
    LOG_SCHEMA, Mark, MarkKind, MarkStatus, MarksError, Review, ReviewLog, carried_marks,
    next_review, read_marks,
};
pub use meanings::{carry_entries, ids_of_no_plan, names_things, renamed_entries, written_on};
pub use overlay::overlay_sheets;
pub use parts::{PartFate, part_fates, parts_csv};
pub use registration::Motion;
pub use revise::{
    News, Revision, carry_marks, draw_anew, judge, uncompared_panels, unknown_panels,
};
pub use verdict::Verdict;
pub use why::{PlanNews, plan_news, why_drawn_anew};
