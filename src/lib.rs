//! A compiler for calculation sheets: Markdown in, a sheet that another person can check out.
//!
//! The rooms stand in one order, and a room may use only those named in its row of the table in `DEVELOPERS.md`.

pub mod diagnostics;
pub mod document;
pub mod engine;
#[cfg(feature = "commands")]
pub mod faces;
pub mod house;
pub mod kinds;
pub mod measure;
pub mod model;
pub mod output;
pub mod program;
pub mod sheet;
pub mod source;
pub mod syntax;
pub mod units;
pub mod words;

pub use crate::engine::{Engine, Files, MemoryFiles, Outcome, Report, Unreadable};
pub use crate::sheet::Detail;
pub use crate::sheet::parts::{Notice, Sheet};
pub use crate::source::SheetPath;
