//! What the templates print: the frame of a page, and the parts of which it has a few.
//!
//! *Takes and gives*: a sheet in; plain data out that a template prints as it stands, with its mathematics and drawings
//! already set and its ids made unique.
//! *Never*: puts text of a document into a field whose name ends in `_html` unescaped; those fields are markup.
//! *To add*: a field in the struct of its part, filled where the others are, and printed by that part's template.

mod comparing;
mod draws;
mod exercise;
mod kind;
mod page;
mod pieces;
mod readings;
mod signatures;
mod study;

pub(super) use comparing::{agreements, law};
pub(super) use draws::draws;
pub(super) use exercise::{exercise, learners};
pub(super) use kind::kind;
pub(super) use page::{banner, copy_head, headline, margins, page, running_head, ticked};
pub(super) use readings::readings;
pub(super) use study::study;
