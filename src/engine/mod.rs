//! Whole projects: which files a sheet uses, in what order they are worked, and what comes of each.
//!
//! *Takes and gives*: a [`Files`] and the paths to work in; a [`Report`] with one [`Outcome`] a path out.
//! *Never*: touches the world; keeps anything outside itself.
//! *To add*: a question an editor or a face asks is a function here that returns plain data.

mod baseline;
mod compile;
mod content;
mod explain;
mod files;
mod format;
mod house;
mod library;
mod recognise;
mod reference;

pub use baseline::{baseline, baseline_path};
pub use compile::Gathered;
pub use content::{calculation, telling};
pub use explain::{Subjects, explain, subjects};
pub use files::{Files, MemoryFiles, Unreadable};
pub use format::formatted;
pub use house::ProjectFile;
pub use recognise::is_sheet;
pub use reference::{kind_words, reference};

use crate::sheet::parts::{Notice, Sheet};
use crate::source::SheetPath;
use std::sync::Arc;

/// What came of one document.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The document.
    pub path: SheetPath,
    /// Its sheet; none when the file could not be read at all.
    pub sheet: Option<Sheet>,
    /// Its findings, in order of place (the same as the sheet's, where there is one).
    pub notices: Vec<Notice>,
    /// The project file that counts for it, one and the same for all its neighbours.
    pub project: Arc<ProjectFile>,
}

/// What came of one compilation.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Report {
    /// One outcome a root, in the order asked.
    pub outcomes: Vec<Outcome>,
}

/// The compiler. It keeps what it has read of the kinds that come with the program and of project files, and nothing of any document.
#[derive(Debug, Default)]
pub struct Engine {
    library: library::Library,
    houses: house::Houses,
}

impl Engine {
    /// A compiler that has seen nothing.
    pub fn new() -> Self {
        Engine::default()
    }

    /// Reads one document and all it uses, and goes no further: what [`crate::model::resolve`] begins with.
    ///
    /// # Errors
    /// The findings, when the document cannot be read.
    pub fn gather(&mut self, files: &dyn Files, path: &SheetPath) -> Result<Gathered, Vec<Notice>> {
        let project = self.houses.of(files, path);
        compile::gather(files, &mut self.library, path, &project)
    }

    /// Works every document of `roots`.
    pub fn compile(&mut self, files: &dyn Files, roots: &[SheetPath]) -> Report {
        let outcomes = roots.iter().map(|path| {
            let project = self.houses.of(files, path);
            let (sheet, notices) = compile::compile(files, &mut self.library, path, &project);
            Outcome { path: path.clone(), sheet, notices, project }
        });
        Report { outcomes: outcomes.collect() }
    }
}
