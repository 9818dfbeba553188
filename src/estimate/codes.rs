//! Finding codes of estimating.

use crate::findings::Code;

/// The prices file has no price for something the building needs.
pub const NO_PRICE: Code = Code::new("EST-01");
/// An option of the estimate, or an entry of the prices file, that changes nothing.
pub const CHANGES_NOTHING: Code = Code::new("EST-02");
