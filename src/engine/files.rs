//! How the compiler asks for files: a trait, and the version of it that lives in memory.

use crate::model::dates::Day;
use crate::source::{SheetPath, Text};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Why a file could not be read as a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unreadable {
    /// There is no such file.
    Missing,
    /// It is not UTF-8 from byte `at` on.
    NotText {
        /// First byte that is not text.
        at: usize,
    },
    /// It is larger than a sheet may be.
    TooLarge {
        /// Its size in bytes.
        bytes: u64,
        /// The limit in bytes.
        limit: u64,
    },
    /// It lies outside the project.
    Outside,
    /// The system said no, in its own words.
    Denied(String),
}

/// Where files come from. The compiler asks for nothing else of the world.
pub trait Files {
    /// The text at `path`, counted from the project root.
    fn read(&self, path: &SheetPath) -> Result<Text, Unreadable>;

    /// The bytes at `path`, for a picture. Files that hold nothing but text give those of their text.
    fn read_bytes(&self, path: &SheetPath) -> Result<Arc<[u8]>, Unreadable> {
        self.read(path).map(|text| text.as_str().as_bytes().into())
    }

    /// The day that the sheets are looked at on; none where nobody has said. It is never the clock's.
    fn day(&self) -> Option<Day> {
        None
    }
}

/// Files held in memory: for tests, and for text that has no file.
#[derive(Debug, Default, Clone)]
pub struct MemoryFiles {
    files: BTreeMap<SheetPath, Text>,
    bytes: BTreeMap<SheetPath, Arc<[u8]>>,
    day: Option<Day>,
}

impl MemoryFiles {
    /// No files.
    pub fn new() -> Self {
        MemoryFiles::default()
    }

    /// The same files with `text` at `path`.
    #[must_use]
    pub fn with(mut self, path: &str, text: &str) -> Self {
        self.files.insert(SheetPath::new(path), Text::new(text));
        self
    }

    /// The same files with `bytes`, which need not be text, at `path`.
    #[must_use]
    pub fn with_bytes(mut self, path: &str, bytes: &[u8]) -> Self {
        self.bytes.insert(SheetPath::new(path), bytes.into());
        self
    }
}

impl MemoryFiles {
    /// The same files, looked at on `day`.
    #[must_use]
    pub fn on(mut self, day: Option<Day>) -> Self {
        self.day = day;
        self
    }
}

impl Files for MemoryFiles {
    fn read_bytes(&self, path: &SheetPath) -> Result<Arc<[u8]>, Unreadable> {
        let kept = self.bytes.get(path).cloned();
        kept.map_or_else(|| self.read(path).map(|text| text.as_str().as_bytes().into()), Ok)
    }

    fn day(&self) -> Option<Day> {
        self.day
    }

    fn read(&self, path: &SheetPath) -> Result<Text, Unreadable> {
        self.files.get(path).cloned().ok_or(Unreadable::Missing)
    }
}
