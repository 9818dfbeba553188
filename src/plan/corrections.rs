//! What the drafter decided about the plan, as intent: read from the job, obeyed by recovery.

/// Corrections of a recovered plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanCorrections {}
