//! Finding codes of estimating.

use crate::findings::Code;

/// The prices file has no price for something the building needs.
pub const NO_PRICE: Code = Code::new("EST-01");
