//! Exact lengths, and how a drafting office writes them.
//!
//! ```text
//!   12'-6 1/2"  ──parse──►  Length(3 822 700 000 nm)  ──print──►  12'-6 1/2"
//! ```
//!
//! *Promises.* A [`Length`] is a whole number of nanometres: 1/64 in (396 875 nm), 1 mm and 19.2 in are all whole, so
//! sums of panel widths close without any tolerance. Printing never rounds in silence: a value between tape marks prints
//! with a leading `~`.
//!
//! *Does not do.* No areas as lengths (widen to `i128`, or use [`square_feet`]), no thirds, no 1/128 in.

mod count;
mod date;
mod erection;
mod length;
mod letters;
mod parse;
mod print;
mod ranges;

pub use count::counted;
pub use date::is_date;
pub use erection::Erection;
pub use length::{Length, square_feet};
pub use letters::{count_of_letters, letters};
pub use parse::{ParseLengthError, parse_length, typed_marks};
pub use print::{FeetInches, Inches, Millimetres};
pub use ranges::{ranges, runs};
