//! What the compiler has to say about a document: findings, their places, and every word of them.
//!
//! *Takes and gives*: facts (a finding struct and a span) in; [`Diagnostic`]s in a settled order out.
//! *Never*: finds out a line number, reads source text, or knows a type of another room than `source`.
//! *To add*: one entry in its family file under `catalogue/`, and a case file that expects its slug.

pub mod catalogue;
mod diagnostic;
mod finding;
mod sink;
mod suggest;

pub use diagnostic::{Diagnostic, Fix, Label, Severity};
pub use finding::{Finding, Page};
pub(crate) use finding::{findings, worded};
pub use sink::Sink;
pub use suggest::nearest;
