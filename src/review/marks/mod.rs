//! Reads a reviewer's marks back into the review log of the package they answer.
//!
//! ```text
//!   marked SVG ─► reader ─► sheets: which one ─► matching: what differs ─► drafts ─┐
//!   marked PDF ─► pdf: annotations, page by page ──────────────────────────────────┤
//!                                   panel, opening, dimension ◄── touching ◄───────┘
//!   review/log.json, log.svg, M1.svg …, proposed.toml ◄── log ◄── proposals ◄──┘   answers.toml ─► log
//!   the page's answers.toml ─► answer_words: what is said ─► answer_proposals ─► proposed.toml
//!                            answer_places: of what ────────┘
//! ```
//!
//! *Promises.* Nothing of a file is run, fetched or followed. The same file twice adds nothing. What can be laid over no sheet is
//! kept and said. Only files below `review/` are made.
//!
//! *Does not do.* Accepting anything: a proposal is a text for the drafter.

mod answer_places;
mod answer_proposals;
mod answer_special;
mod answer_words;
mod answers;
mod apart;
mod carry;
mod cloud;
mod crossing;
mod drafts;
mod drawn;
mod edits;
mod files;
mod flowing;
mod frames;
mod inks;
mod log;
mod log_sheets;
mod matching;
mod model;
mod pages;
mod pdf;
mod pdf_appearance;
mod pdf_lettering;
mod pdf_open;
mod pdf_place;
mod pdf_replies;
mod pdf_words;
mod picture;
mod plain_words;
mod proposals;
mod proposals_layout;
mod proposals_openings;
mod reader;
mod reader_text;
mod remade;
mod settling;
mod sheets;
mod strings;
mod style;
mod taken_over;
mod touching;
mod trail;

pub use carry::{carried_marks, next_review};
pub use log::{MarksError, Review, read_marks};
pub use model::{LOG_SCHEMA, Mark, MarkKind, MarkStatus, ReviewLog};
