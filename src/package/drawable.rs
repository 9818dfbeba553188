//! What documents are drawn from that stays as it is while panels are put on HOLD and sheets are kept or drawn anew.

use super::{MakeOptions, Traced};
use crate::building::Building;
use crate::documents::{InputFile, IssueFacts, Models, TraceModels};
use crate::fabrication::Fabrication;
use crate::findings::Finding;
use crate::layout::Layout;
use crate::loads::LoadPlan;
use crate::rules::PlantRules;
use crate::stock::StockPlan;

pub(super) struct Drawable<'a> {
    pub(super) traced: &'a Traced,
    pub(super) options: &'a MakeOptions,
    pub(super) building: &'a Building,
    pub(super) layout: &'a Layout,
    pub(super) loads: &'a LoadPlan,
    pub(super) rules: &'a PlantRules,
    pub(super) inputs: &'a [&'a InputFile],
}

impl Drawable<'_> {
    /// All of it with what may change.
    pub(super) fn models<'b>(
        &'b self,
        (fabrication, stock): (&'b Fabrication, &'b StockPlan),
        issue: &'b IssueFacts,
        findings: &'b [Finding],
    ) -> Models<'b> {
        Models {
            trace: TraceModels {
                drawings: &self.traced.drawings,
                plan: &self.traced.plan,
                job: &self.traced.job,
                date: self.options.date.as_deref(),
                findings,
                names_unclaimed: false,
            },
            building: self.building,
            layout: self.layout,
            fabrication,
            stock,
            loads: self.loads,
            rules: self.rules,
            issue,
            inputs: self.inputs,
            pdf: self.options.pdf,
        }
    }
}
