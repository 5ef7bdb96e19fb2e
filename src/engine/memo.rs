//! What has been worked, kept under digests of exactly what each step may see, so that a document that is compiled again
//! costs only what has changed.
//!
//! Four levels: the tree of a fence, a file taken apart, what the fences come to, and the sheet; and bytes that were printed
//! of a sheet. Each document holds on to what its last two compilations touched, so that a change and its undoing cost
//! nothing; what no document holds is let go at the end of every compilation, however it ended.

use crate::diagnostics::Diagnostic;
use crate::document::Document;
use crate::model::{FileTrees, Model};
use crate::program::Evaluation;
use crate::program::draws::Propagated;
use crate::program::studies::Outcome;
use crate::sheet::parts::Sheet;
use crate::source::{Fragment, SheetPath};
use crate::syntax::ast::{Ast, Stated};
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::Arc;

/// One fence, or one value in prose, as it was read. Places are counted from it; its findings have the file and the
/// fragment with number 0.
#[derive(Debug)]
pub(super) struct Fence<T> {
    pub(super) tree: T,
    pub(super) findings: Vec<Diagnostic>,
}

/// One file taken apart. Its findings have the file with number 0.
#[derive(Debug)]
pub(super) struct Taken {
    pub(super) document: Arc<Document>,
    pub(super) fragments: Arc<[Fragment]>,
    pub(super) trees: Arc<FileTrees>,
    pub(super) findings: Vec<Diagnostic>,
}

/// What the fences of a document and of all files it uses come to.
#[derive(Debug)]
pub(super) struct Worked {
    pub(super) model: Model,
    pub(super) evaluation: Evaluation,
    pub(super) studies: Vec<Outcome>,
    pub(super) draws: Vec<Option<Propagated>>,
    pub(super) findings: Vec<Diagnostic>,
}

/// How often each step was taken since the engine was made, and what it holds now.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Counts {
    /// Fences and values in prose that were read.
    pub fences: usize,
    /// Files that were taken apart.
    pub files: usize,
    /// Programs that were run.
    pub programs: usize,
    /// Sheets that were built.
    pub sheets: usize,
    /// Pages and other prints of sheets that were made.
    pub prints: usize,
    /// Results of steps that are held.
    pub held: usize,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
enum Level {
    Fence,
    Value,
    File,
    Program,
    Sheet,
    Print,
}

type Key = (Level, Arc<str>);

#[derive(Debug, Clone)]
enum Held {
    Fence(Arc<Fence<Arc<Ast>>>),
    Value(Arc<Fence<Option<Stated>>>),
    // With the fences that are in it, which are held as long.
    File(Arc<Taken>, Arc<[Key]>),
    Program(Arc<Worked>),
    Sheet(Arc<Sheet>),
    Print(Arc<str>),
}

/// What one document holds on to.
#[derive(Debug, Default)]
struct Holding {
    last: BTreeSet<Key>,
    before: BTreeSet<Key>,
    turn: u64,
}

/// The memory of an engine.
#[derive(Debug, Default)]
pub(super) struct Memo {
    // Of how many documents results are kept; none: nothing is.
    documents: usize,
    held: HashMap<Key, (Held, usize)>,
    holdings: BTreeMap<SheetPath, Holding>,
    // What the compilation that is under way has touched.
    touched: BTreeSet<Key>,
    turn: u64,
    counts: Counts,
    // What was let go and has not been cleared away yet: clearing takes its time, and whoever waits for a page should not.
    waste: Vec<Held>,
}

impl Memo {
    /// A memory for `documents` documents.
    pub(super) fn new(documents: usize) -> Self {
        Memo { documents, ..Memo::default() }
    }

    /// Whether anything is kept.
    pub(super) fn is_on(&self) -> bool {
        self.documents > 0
    }

    pub(super) fn counts(&self) -> Counts {
        Counts { held: self.held.len(), ..self.counts }
    }

    /// The tree of the fence `text`.
    pub(super) fn fence(&mut self, text: &str, read: impl FnOnce() -> Fence<Arc<Ast>>) -> Arc<Fence<Arc<Ast>>> {
        let key = self.key(Level::Fence, || text.into());
        if let Some(Held::Fence(known)) = self.known(&key) {
            return known;
        }
        self.counts.fences += 1;
        let made = Arc::new(read());
        self.keep(key, Held::Fence(Arc::clone(&made)));
        made
    }

    /// What the value `text` in prose says.
    pub(super) fn value(&mut self, text: &str, read: impl FnOnce() -> Fence<Option<Stated>>) -> Arc<Fence<Option<Stated>>> {
        let key = self.key(Level::Value, || text.into());
        if let Some(Held::Value(known)) = self.known(&key) {
            return known;
        }
        self.counts.fences += 1;
        let made = Arc::new(read());
        self.keep(key, Held::Value(Arc::clone(&made)));
        made
    }

    /// The file that says `text`, taken apart; as a list of gear where it is one.
    pub(super) fn file(&mut self, text: &str, listed: bool, take: impl FnOnce(&mut Memo) -> Taken) -> Arc<Taken> {
        let key = self.key(Level::File, || format!("{} {listed}", crate::sheet::digest(text)).into());
        if let Some(Held::File(known, inside)) = self.known(&key) {
            self.touched.extend(inside.iter().cloned());
            return known;
        }
        self.counts.files += 1;
        let outside = std::mem::take(&mut self.touched);
        let made = Arc::new(take(self));
        let inside: Arc<[Key]> = self.touched.iter().cloned().collect();
        self.touched.extend(outside);
        self.keep(key, Held::File(Arc::clone(&made), inside));
        made
    }

    /// What the fences with the digest `seen` come to.
    pub(super) fn program(&mut self, seen: &str, run: impl FnOnce() -> Worked) -> Arc<Worked> {
        let key = self.key(Level::Program, || seen.into());
        if let Some(Held::Program(known)) = self.known(&key) {
            return known;
        }
        self.counts.programs += 1;
        let made = Arc::new(run());
        self.keep(key, Held::Program(Arc::clone(&made)));
        made
    }

    /// The sheet of the texts with the digest `seen`.
    pub(super) fn sheet(&mut self, seen: &str, build: impl FnOnce() -> Sheet) -> Arc<Sheet> {
        let key = self.key(Level::Sheet, || seen.into());
        if let Some(Held::Sheet(known)) = self.known(&key) {
            return known;
        }
        self.counts.sheets += 1;
        let made = Arc::new(build());
        self.keep(key, Held::Sheet(Arc::clone(&made)));
        made
    }

    /// What is printed of the sheet `seen` of `path` in the way that `how` names.
    pub(super) fn print(&mut self, path: &SheetPath, seen: &str, how: &str, print: impl FnOnce() -> String) -> Arc<str> {
        let key = self.key(Level::Print, || format!("{seen} {how}").into());
        if let Some(Held::Print(known)) = self.known(&key) {
            self.touch(path);
            return known;
        }
        self.counts.prints += 1;
        let made: Arc<str> = print().into();
        self.keep(key, Held::Print(Arc::clone(&made)));
        self.touch(path);
        made
    }

    /// Ends the compilation of `path`: it holds on to what was touched now and the time before, and what nobody holds is
    /// let go.
    pub(super) fn settle(&mut self, path: &SheetPath) {
        if !self.is_on() {
            return;
        }
        self.turn += 1;
        let mut holding = self.holdings.remove(path).unwrap_or_default();
        let mut touched = std::mem::take(&mut self.touched);
        // What was printed of a sheet stays with it: it is asked for when its compilation has ended.
        let printed = |(level, name): &&Key| {
            let seen = name.split_once(' ').map(|(seen, _)| (Level::Sheet, Arc::from(seen)));
            *level == Level::Print && seen.is_some_and(|sheet| touched.contains(&sheet))
        };
        let prints: Vec<Key> = holding.last.iter().chain(&holding.before).filter(printed).cloned().collect();
        touched.extend(prints);
        touched.iter().for_each(|key| self.count(key, true));
        let old = std::mem::replace(&mut holding.before, std::mem::replace(&mut holding.last, touched));
        old.iter().for_each(|key| self.count(key, false));
        holding.turn = self.turn;
        self.holdings.insert(path.clone(), holding);
        if self.holdings.len() > self.documents {
            let oldest = self.holdings.iter().min_by_key(|(_, holding)| holding.turn).map(|(path, _)| path.clone());
            oldest.iter().for_each(|path| self.forget(path));
        }
    }

    /// Lets go of all that only `path` holds.
    pub(super) fn forget(&mut self, path: &SheetPath) {
        let Some(holding) = self.holdings.remove(path) else { return };
        holding.last.iter().chain(&holding.before).for_each(|key| self.count(key, false));
    }

    // What was printed is touched after its compilation has ended.
    fn touch(&mut self, path: &SheetPath) {
        for key in std::mem::take(&mut self.touched) {
            let new = self.holdings.get_mut(path).is_some_and(|holding| holding.last.insert(key.clone()));
            if new {
                self.count(&key, true);
            } else if self.held.get(&key).is_some_and(|(_, holders)| *holders == 0) {
                self.held.remove(&key);
            }
        }
    }

    fn count(&mut self, key: &Key, more: bool) {
        let Some((_, holders)) = self.held.get_mut(key) else { return };
        *holders = if more { *holders + 1 } else { holders.saturating_sub(1) };
        if *holders == 0 {
            self.waste.extend(self.held.remove(key).map(|(held, _)| held));
        }
    }

    /// Clears away what was let go.
    pub(super) fn clear_away(&mut self) {
        self.waste.clear();
    }

    fn key(&self, level: Level, seen: impl FnOnce() -> Arc<str>) -> Key {
        (level, if self.is_on() { seen() } else { "".into() })
    }

    fn known(&mut self, key: &Key) -> Option<Held> {
        let (held, _) = self.held.get(key)?;
        self.touched.insert(key.clone());
        Some(held.clone())
    }

    // Complete results alone come here: whoever fails on the way has kept nothing.
    fn keep(&mut self, key: Key, made: Held) {
        if self.is_on() {
            self.touched.insert(key.clone());
            self.held.insert(key, (made, 0));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Fence, Memo};
    use crate::source::SheetPath;
    use std::sync::Arc;

    fn read(memo: &mut Memo, path: &str, texts: &[&str]) {
        for text in texts {
            memo.value(text, || Fence { tree: None, findings: Vec::new() });
        }
        memo.settle(&SheetPath::new(path));
    }

    #[test]
    fn a_document_holds_what_it_touched_twice_and_no_longer() {
        let mut memo = Memo::new(2);
        read(&mut memo, "a", &["1", "2"]);
        read(&mut memo, "a", &["1", "3"]);
        assert_eq!((memo.counts().fences, memo.counts().held), (3, 3));
        read(&mut memo, "a", &["2"]);
        assert_eq!((memo.counts().fences, memo.counts().held), (3, 3), "undone");
        read(&mut memo, "a", &["2"]);
        assert_eq!(memo.counts().held, 1);
        read(&mut memo, "b", &["2", "4"]);
        memo.forget(&SheetPath::new("a"));
        assert_eq!(memo.counts().held, 2, "`b` holds both");
        read(&mut memo, "c", &["5"]);
        read(&mut memo, "d", &["6"]);
        assert_eq!(memo.counts().held, 2, "two documents at most");
        let page = memo.print(&SheetPath::new("d"), "s", "html", || "page".to_string());
        assert!(&*page == "page" && memo.counts().held == 3);
        memo.print(&SheetPath::new("nobody"), "s", "json", || "data".to_string());
        assert_eq!(memo.counts().held, 3, "what nobody holds is not kept");
    }

    #[test]
    fn without_documents_nothing_is_kept() {
        let mut memo = Memo::new(0);
        read(&mut memo, "a", &["1"]);
        read(&mut memo, "a", &["1"]);
        assert_eq!((memo.counts().fences, memo.counts().held), (2, 0));
        assert_eq!(Arc::strong_count(&memo.value("1", || Fence { tree: None, findings: Vec::new() })), 1);
    }
}
