//! Finding codes of loading.

use crate::findings::Code;

/// A panel goes beyond a limit of the truck even alone.
pub const BEYOND_LIMITS: Code = Code::new("LOAD-01");
/// A panel, with what rides on the same truck, is heavier than the payload.
pub const OVER_PAYLOAD: Code = Code::new("LOAD-02");
