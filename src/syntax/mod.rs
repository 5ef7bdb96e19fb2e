//! The text of one fence to a typed tree, and what is wrong with it.
//!
//! *Takes and gives*: the text of a fragment and its home in; an [`ast::Ast`] out, findings into the sink. A fault
//! spoils one statement, or one line of a kind's body, and is told once.
//! *Never*: knows which names, units, kinds or functions exist.
//! *To add*: a statement form is deliberately not one place: grammar, `ast`, `lower`, then the rooms after it.

pub mod ast;
mod columns;
mod comparing;
mod doubts;
mod exercises;
mod expression;
mod gear_list;
mod layout;
#[cfg(test)]
mod layout_tests;
mod lower;
mod measuring;
mod names;
mod parser;
mod quick;
mod quick_lines;
#[cfg(test)]
mod quick_tests;
mod read;
mod readings;
mod recover;
mod slips;
mod split;
mod studies;
#[cfg(test)]
mod tests;
mod tokens;

pub use gear_list::gear_list;
pub use layout::{Said, laid_out, said};
pub use read::{doubt, inline, parse, stated};
pub use readings::csv;
