//! Tests across rooms.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    clippy::indexing_slicing,
    reason = "a test may stop at the first surprise"
)]

/// What goes to the architect and comes back.
mod architect;
/// Cut, swapped, doubled and garbled lines: never a panic.
mod broken_drawings;
/// Files for the drawing office: all marks, sizes as on the sheets.
mod cad;
/// Corrections of a job go with the building from issue to issue.
mod carried;
/// Exit codes, messages, files written.
mod command_line;
/// Two issues side by side: one judgement, each reason named, what is alike told once.
mod compared;
/// Nothing is lost between stock and panels, on random buildings.
mod conservation;
/// No joint between pieces of a core goes through a lintel.
mod core_joints;
/// Glass round a corner.
mod corner_glass;
/// Corrections of the job are obeyed, or reported.
mod corrections;
/// Small houses drawn for tests.
mod draft;
/// Every sample plan is read whole, in the unit it is drawn in.
mod drawings;
/// A DWG of every release gives the plan of its DXF.
mod dwg;
/// Entries of the job that name openings, on a plan whose ids are others.
mod entries;
/// What each sample must give, kept as files.
mod golden;
/// The architect's grid on plans and elevations.
mod grid;
/// One unsymmetrical wall of each sample, worked by hand.
mod hands;
/// Headers of panel and of LVL, by rule.
mod headers;
/// What an open question holds.
mod held;
/// Plants, leftovers and jobs at odd limits.
mod hostile_plants;
/// Sheets of jobs that are hard to draw.
mod hostile_sheets;
mod hostile_walls;
/// A small house by hand, from its plan to its files.
mod house;
/// Walls, corners and splines of every kind, through the whole line.
mod kinds;
/// What the tests share.
mod kit;
/// Labels of panels and bundles.
mod labels;
/// Sheets of large jobs and of long walls, and key plans on every paper.
mod large_jobs;
/// Walls drawn in layers.
mod layers;
/// Panels left long for trimming, and outer skins that drop below their panels.
mod left_long;
/// Marked sheets come back: from the page, from editors, stripped, hostile, in PDF; and go on to the next issue.
mod marks;
mod marks_answers;
mod marks_boxes;
/// What general editors do to a sheet without a reviewer's doing, and what a line through no text says.
mod marks_editors;
/// Marked files that were made to do harm cost nothing and get nothing in.
mod marks_hostile;
/// Marks go on to the next issue, or are listed.
mod marks_log;
mod marks_near;
mod marks_next;
mod marks_pdf;
mod marks_shapes;
mod marks_strings;
/// Nailers behind what a plan draws.
mod nailers;
mod next_issue;
/// Outline files: both versions, both units, both faces, on HOLD.
mod open_outlines;
mod outlines;
/// Panel sheets: nothing on anything.
mod panel_sheets;
/// Parts of a panel as the plant's paper gives them.
mod parts;
/// Traces and key plans: nothing on anything, marks, strings, holds, gaps, questions.
mod plan_sheets;
/// Rules of the plant, each beside its other choice.
mod plant_rules;
/// Each proof holds for a sound package and fails for a broken one.
mod proofs;
/// The proofs of the stock lists and of the workbook fail when a list is changed.
mod proofs_of_lists;
/// The proof of loads fails when a load is broken.
mod proofs_of_loads;
/// Quotes and loads.
mod quotes;
mod quotes_refused;
/// A second issue keeps its head: marks, bytes, letters, locks.
mod revision_rows;
mod revisions;
mod revisions_told;
/// A plan in another unit or turned: what rounding alone would change.
mod rounding;
/// The list of rules of a checker: each made to fire.
mod rule_list;
/// What a person at the station or on site reads on paper.
mod said_on_paper;
/// What every sample must hold.
mod samples;
/// The sheet set as a whole.
mod sheets;
/// Panels, openings, holds, the order of erection and scales, named where they are drawn.
mod sheets_named;
/// Schedules, dimensions, titles, and corrections that outlive a revision.
mod sheets_said;
mod sheets_true;
/// Skins that differ, and panels with one skin.
mod skins;
/// Openings of storeys over each other.
mod stacked;
/// What is cut from what.
mod stock;
/// What the stock plan's lists and sentences say.
mod stock_lists;
/// Storeys drawn over each other in one model.
mod storeys;
/// Small panel sheets: complete in two pages, hatched, bevels with their angle.
mod tickets;
/// House rules: arrows between rooms, file lengths, introductions, forbidden words, codes.
mod tidy;
/// Values that a drafter knows by heart, looked up in a package.
mod trade_values;
