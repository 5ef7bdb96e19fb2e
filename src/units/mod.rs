//! Units of measurement: what unit text means, exactly, and how a number with its unit is printed.
//!
//! *Takes and gives*: unit text and numbers in; [`Unit`], [`UnitFault`] and printed numbers out.
//! *Never*: guesses. A spelling that the trade reads in two ways is refused with its candidates; mass never becomes force.
//! *To add*: one row in `table.rs`, with its source; a spelling to refuse is one row in `refused.rs`.

mod compose;
mod describe;
mod dimension;
mod factor;
mod fault;
mod nature;
mod near;
mod parse;
mod print;
mod reader;
mod refused;
mod row;
mod table;
mod unit;

pub use describe::describe;
pub use dimension::Dimension;
pub use factor::Factor;
pub use fault::{Candidate, UnitFault};
pub use nature::{Nature, quantities, quantity, quantity_name};
pub use parse::parse;
pub use print::{DecimalSign, between, places, significant, spaced, typed, with_decimal_sign, with_doubt};
pub use reader::for_reader;
pub use refused::refused_spellings;
pub use row::{Prefixes, Row, all, prefixes};
pub use unit::{Facts, System, Unit};
