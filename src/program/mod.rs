//! One flat list of operations on coherent SI numbers, and the runs of it: values, and exact first-order sensitivities.
//!
//! *Takes and gives*: a [`crate::model::Model`] in; an [`Evaluation`] out, findings for what comes to no number.
//! *Never*: knows a machine, a unit's name, or how anything is printed.
//! *To add*: an operation is a row in `operations.rs`, with its derivative; a new kind of run is a file of its own.

mod bracket;
mod carry;
mod columns;
pub mod draws;
mod fits;
pub mod laws;
mod lower;
mod moves;
pub mod operations;
mod plan;
pub mod readings;
mod residue;
mod roots;
mod run;
pub mod second;
mod series;
pub mod sizing;
pub mod studies;
mod together;
mod trial;

pub use draws::draw;
pub use lower::{Program, Source, StudyPlaces};
pub use moves::{Moves, worked_with};
pub use run::{ConditionOutcome, Evaluation, Margin, run};
pub use studies::study;
