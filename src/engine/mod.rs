//! Whole projects: which files a sheet uses, in what order they are worked, and what comes of each.
//!
//! *Takes and gives*: a [`Files`] and the paths to work in; a [`Report`] with one [`Outcome`] a path out.
//! *Never*: touches the world; keeps anything outside itself.
//! *To add*: a question an editor or a face asks is a function here that returns plain data.

mod files;
mod recognise;

pub use files::{Files, MemoryFiles, Unreadable};
pub use recognise::is_sheet;

use crate::diagnostics::catalogue;
use crate::sheet::parts::{Notice, Sheet};
use crate::source::SheetPath;

/// What came of one document.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The document.
    pub path: SheetPath,
    /// Its sheet; none when the file could not be read at all.
    pub sheet: Option<Sheet>,
    /// Its findings, in order of place (the same as the sheet's, where there is one).
    pub notices: Vec<Notice>,
}

/// What came of one compilation.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Report {
    /// One outcome a root, in the order asked.
    pub outcomes: Vec<Outcome>,
}

/// The compiler.
#[derive(Debug, Default)]
pub struct Engine {}

impl Engine {
    /// A compiler that has seen nothing.
    pub fn new() -> Self {
        Engine::default()
    }

    /// Works every document of `roots`.
    pub fn compile(&mut self, files: &dyn Files, roots: &[SheetPath]) -> Report {
        let _ = (files, roots);
        Report::default()
    }
}

/// What `explain` prints for a word: a finding, a unit, a kind or a function. None when nothing goes by that name.
pub fn explain(word: &str) -> Option<String> {
    let _ = word;
    None
}

/// Words of one sort that [`explain`] has a page for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Subjects {
    /// What they are: "Findings" ...
    pub title: &'static str,
    /// The words, in the order to list them.
    pub words: Vec<String>,
}

/// Every word that [`explain`] answers to, by sort.
pub fn subjects() -> Vec<Subjects> {
    vec![Subjects { title: "Findings", words: catalogue::pages().map(|page| page.slug.to_string()).collect() }]
}
