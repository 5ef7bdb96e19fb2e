//! What the templates print: the sheet with its mathematics and drawings already set, its ids made unique, and the
//! lengths of its bars worked out.
//!
//! *Takes and gives*: a sheet in; plain data out that a template prints as it stands.
//! *Never*: puts text of a document into a field whose name ends in `_html` unescaped; those fields are markup.
//! *To add*: a field in the struct of its part, filled where the others are, and printed by that part's template.

mod budget;
mod check;
mod comparing;
mod kind;
mod line;
mod machine;
mod page;
mod readings;
mod study;

pub(super) use page::{banner, page};
