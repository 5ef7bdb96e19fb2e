//! What is printed, as plain data: the document, its working and its verdicts, every number already text.
//!
//! *Takes and gives*: a document, its model and its evaluation in; a [`parts::Sheet`] out.
//! *Never*: computes a value of its own, or knows how a page looks.
//! *To add*: a part of the page is a field in `parts.rs`, filled in `build.rs` or in the file named after it.

mod agreements;
mod answers;
mod baseline;
mod brief;
mod budget_parts;
mod budgets;
mod build;
mod check_parts;
mod checks;
mod comparing_parts;
mod correlations;
mod demands;
mod difference;
mod digests;
mod doubts;
mod draw_parts;
mod draws;
mod exercise_parts;
mod exercises;
mod figure_parts;
mod figures;
mod five_lines;
mod free_body_parts;
mod house_parts;
mod impact;
mod impact_parts;
mod independent;
mod inputs;
mod kind_parts;
mod kinds;
mod law_plot;
mod laws;
mod machines;
mod moved;
mod moves;
mod notice;
pub mod parts;
mod persons;
mod plot;
mod reading_parts;
mod reading_plot;
mod readings;
mod sign_lines;
mod sign_parts;
mod sign_record;
mod signing;
mod snapshot;
mod studies;
mod study_parts;
mod symbols;
mod title_parts;
mod tongues;
mod train_parts;
mod verdicts;
mod working;
mod written;

pub use baseline::{Accepted, Departure, MovedResult, TOLERANCE, accepted, baseline_text, departure, read_baseline};
pub use brief::Detail;
pub use budgets::{BudgetsAsked, item_of};
pub use build::{Work, build, build_as_set};
pub use demands::{ASSUMPTION_OPEN, NOT_EVALUATED, Refused, STALE, UNSIGNED, refused};
pub use difference::{Change, Difference, Moved, difference};
pub use digests::{digest, sha256};
pub use impact::{Grounds, Written, impact, impact_of};
pub use impact_parts::{Impact, MoveOfCheck, MoveOfResult, MoveRow, MovedCheck, MovedValue, NoSuchValue, StepTaken};
pub use independent::{AnswerFault, Independent, Judged, Question, independent, questions};
pub use inputs::BY_CONVENTION;
pub use notice::notices;
pub use sign_record::{Act, ENDING as RECORD_ENDING, Record, record_path};
pub use signing::{Ask, Refusal, sign_off, signed, unsigned};
pub use snapshot::{Snapshot, snapshot};
pub use tongues::mark_notices;
