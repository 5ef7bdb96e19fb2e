//! Whole projects: which files a sheet uses, in what order they are worked, and what comes of each.
//!
//! *Takes and gives*: a [`Files`] and the paths to work in; a [`Report`] with one [`Outcome`] a path out.
//! *Never*: touches the world; keeps anything outside itself; lets what it keeps decide what comes out.
//! *To add*: a question an editor or a face asks is a function here that returns plain data.

mod baseline;
mod compile;
mod content;
mod explain;
mod files;
mod format;
mod house;
mod impact;
mod imports;
mod library;
mod memo;
mod misnamed;
mod pictures;
mod recognise;
mod reference;
mod signatures;
mod specimen;

pub use crate::model::dates::Day;
pub use baseline::{baseline, baseline_path, independent, stands_beside, strays};
pub use compile::Gathered;
pub use content::{calculation, telling};
pub use explain::{Subjects, explain, subjects};
pub use files::{Files, MemoryFiles, Unreadable};
pub use format::formatted;
pub use house::ProjectFile;
pub use impact::{Asked, leading_to, uses};
pub use memo::Counts;
pub use misnamed::misnamed;
pub use recognise::is_sheet;
pub use reference::{kind_words, reference, reference_in};

use crate::engine::memo::Memo;
use crate::sheet::parts::{Notice, Sheet};
use crate::sheet::{Ask, BudgetsAsked, Detail, Refusal, signed};
use crate::source::SheetPath;
use std::sync::Arc;

/// What came of one document.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The document.
    pub path: SheetPath,
    /// Its sheet; none when the file could not be read at all.
    pub sheet: Option<Arc<Sheet>>,
    /// Its findings, in order of place (the same as the sheet's, where there is one).
    pub notices: Vec<Notice>,
    /// The digest of all that the sheet rests on; empty from an engine that keeps nothing, and without a sheet.
    pub seen: String,
    /// The project file that counts for it, one and the same for all its neighbours.
    pub project: Arc<ProjectFile>,
}

/// What came of one compilation.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Report {
    /// One outcome a root, in the order asked.
    pub outcomes: Vec<Outcome>,
}

/// The text of a record with one more signature; none when that stands there already.
pub type Signed = Result<Option<String>, Refusal>;

/// The compiler. It keeps what it has read of the kinds that come with the program and of project files and, where it was asked
/// to, what it has worked of the documents it compiled last.
#[derive(Debug, Default)]
pub struct Engine {
    library: library::Library,
    budgets: BudgetsAsked,
    houses: house::Houses,
    memo: Memo,
    detail: Detail,
}

impl Engine {
    /// A compiler that has seen nothing, and keeps nothing of any document.
    pub fn new() -> Self {
        Engine::default()
    }

    /// A compiler that has seen nothing, and keeps what it works of the `documents` it compiles last: what has not changed
    /// since is not worked again. What comes of a document is the same.
    pub fn keeping(documents: usize) -> Self {
        Engine { memo: Memo::new(documents), ..Engine::default() }
    }

    /// Gives every sheet these budgets besides those of its checks.
    #[must_use]
    pub fn with_budgets(mut self, budgets: BudgetsAsked) -> Self {
        self.budgets = budgets;
        self
    }

    /// A compiler that has seen nothing and makes so much of each sheet.
    pub fn of(detail: Detail) -> Self {
        Engine { detail, ..Engine::default() }
    }

    /// Makes so much of each sheet from now on.
    pub fn make(&mut self, detail: Detail) {
        self.detail = detail;
    }

    /// Reads one document and all it uses, and goes no further: what [`crate::model::resolve`] begins with.
    ///
    /// # Errors
    /// The findings, when the document cannot be read.
    pub fn gather(&mut self, files: &dyn Files, path: &SheetPath) -> Result<Gathered, Vec<Notice>> {
        let project = self.houses.of(files, path);
        let gathered = compile::gather(files, &mut self.library, &mut self.memo, path, &project);
        self.memo.settle(path);
        gathered
    }

    /// Works the document at `path` and signs it as `ask` says. With the sheet: where its record stands and what the record
    /// says with the signature, none where that stands there already; or why the signature is not taken.
    ///
    /// # Errors
    /// The findings, when the document cannot be read.
    pub fn sign(&mut self, files: &dyn Files, path: &SheetPath, ask: &Ask) -> Result<(Sheet, SheetPath, Signed), Vec<Notice>> {
        let project = self.houses.of(files, path);
        let (sheet, found) = compile::compile_signed(files, &mut self.library, path, &project, Detail::Whole, &BudgetsAsked::None)?;
        let signed = signed(&sheet, &found.originator, (&found.text, &found.record), ask);
        Ok((sheet, signatures::place(path), signed))
    }

    /// Works every document of `roots`.
    pub fn compile(&mut self, files: &dyn Files, roots: &[SheetPath]) -> Report {
        let outcomes = roots.iter().map(|path| {
            self.memo.clear_away();
            let project = self.houses.of(files, path);
            let (sheet, notices, seen) =
                compile::compile(files, &mut self.library, &mut self.memo, path, &project, self.detail, &self.budgets);
            self.memo.settle(path);
            Outcome { path: path.clone(), sheet, notices, seen, project }
        });
        Report { outcomes: outcomes.collect() }
    }

    /// What `print` makes of the sheet of `outcome`; made once while the sheet and `how`, which tells apart all that the
    /// print depends on besides, are the same.
    pub fn printed(&mut self, outcome: &Outcome, how: &str, print: impl FnOnce(&Sheet) -> String) -> Option<Arc<str>> {
        let sheet = outcome.sheet.as_ref()?;
        Some(self.memo.print(&outcome.path, &outcome.seen, how, || print(sheet)))
    }

    /// Lets go of what is kept for `path` alone: there is no such document any more.
    pub fn forget(&mut self, path: &SheetPath) {
        self.memo.forget(path);
    }

    /// Clears away what the last compilation has let go, as the next one would before it begins.
    pub fn clear_away(&mut self) {
        self.memo.clear_away();
    }

    /// How often each step was taken, and how much is held.
    pub fn counts(&self) -> Counts {
        self.memo.counts()
    }
}
