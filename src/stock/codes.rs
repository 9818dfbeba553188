//! Codes of findings about stock. See `docs/findings.md`.

use crate::findings::Code;

/// Something fits no stock on hand.
pub const FITS_NO_STOCK: Code = Code::new("STOCK-01");
/// No board or billet of that material is on hand.
pub const NO_SUCH_STOCK: Code = Code::new("STOCK-02");
/// Chases made in the core keep panels from sharing blanks.
pub const CHASES_PART_BLANKS: Code = Code::new("STOCK-03");
/// No slab makes a core without a joint where the panel carries over an opening.
pub const CORE_JOINT: Code = Code::new("STOCK-04");
/// Panels on HOLD are on no blank.
pub const HELD_APART: Code = Code::new("STOCK-05");
/// A leftover of an earlier job was used.
pub const LEFTOVER_USED: Code = Code::new("STOCK-06");
