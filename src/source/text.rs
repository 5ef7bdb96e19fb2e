//! Files as the compiler sees them: a path from the project root and some shared text.

use crate::source::{FileId, Fragment, Home, LineIndex, Position, Span};
use std::sync::{Arc, OnceLock};

/// A path relative to the project root, always with `/`, never a path of the machine.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SheetPath(Arc<str>);

impl SheetPath {
    /// Takes `path` as it is, with `\` turned into `/` and a leading `./` dropped.
    pub fn new(path: &str) -> Self {
        let path = path.replace('\\', "/");
        SheetPath(path.strip_prefix("./").unwrap_or(&path).into())
    }

    /// The path as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The path that `written` names when it stands in this file; none when it leads out of the project.
    pub fn beside(&self, written: &str) -> Option<SheetPath> {
        if written.starts_with('/') || written.contains(':') {
            return None;
        }
        let written = written.replace('\\', "/");
        let mut parts: Vec<&str> = self.0.split('/').collect();
        parts.pop();
        for part in written.split('/') {
            match part {
                "" | "." => {}
                ".." => {
                    parts.pop()?;
                }
                name => parts.push(name),
            }
        }
        Some(SheetPath(parts.join("/").into()))
    }
}

impl std::fmt::Display for SheetPath {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

/// Shared, immutable text with its lines.
#[derive(Debug, Clone)]
pub struct Text {
    content: Arc<str>,
    // Made when a place in it is first asked for: most texts have no finding.
    lines: Arc<OnceLock<LineIndex>>,
}

impl PartialEq for Text {
    fn eq(&self, other: &Text) -> bool {
        self.content == other.content
    }
}

impl Eq for Text {}

impl Text {
    /// Wraps `content`.
    pub fn new(content: &str) -> Self {
        Text { content: content.into(), lines: Arc::default() }
    }

    /// The characters.
    pub fn as_str(&self) -> &str {
        &self.content
    }

    /// Its lines.
    pub fn lines(&self) -> &LineIndex {
        self.lines.get_or_init(|| LineIndex::new(&self.content))
    }

    /// Line and column of byte `offset`.
    pub fn position(&self, offset: usize) -> Position {
        self.lines().position(&self.content, offset)
    }
}

/// One file of a compilation with the `rig` fragments cut out of it (fences first to last, and inline values).
#[derive(Debug, Clone)]
pub struct SourceFile {
    /// Where it stands in the project.
    pub path: SheetPath,
    /// What it says.
    pub text: Text,
    /// The pieces in our own language, in reading order; a [`Home`] names one by its place in this list.
    pub fragments: Arc<[Fragment]>,
}

/// All files of a compilation, by number.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    files: Vec<SourceFile>,
}

impl Sources {
    /// No files yet.
    pub fn new() -> Self {
        Sources::default()
    }

    /// Adds a file and numbers it.
    pub fn add(&mut self, path: SheetPath, text: Text) -> FileId {
        self.files.push(SourceFile { path, text, fragments: Arc::default() });
        FileId(self.files.len() as u32 - 1)
    }

    /// Records the fragments found in `file`.
    pub fn set_fragments(&mut self, file: FileId, fragments: impl Into<Arc<[Fragment]>>) {
        if let Some(entry) = self.files.get_mut(file.0 as usize) {
            entry.fragments = fragments.into();
        }
    }

    /// The file with that number.
    pub fn file(&self, file: FileId) -> Option<&SourceFile> {
        self.files.get(file.0 as usize)
    }

    /// All files with their numbers.
    pub fn numbered(&self) -> impl Iterator<Item = (FileId, &SourceFile)> {
        self.files.iter().enumerate().map(|(number, file)| (FileId(number as u32), file))
    }

    /// The text that offsets in `home` are counted in.
    pub fn text_of(&self, home: Home) -> &str {
        let Some(file) = self.file(home.file) else { return "" };
        match home.fragment {
            None => file.text.as_str(),
            Some(at) => file.fragments.get(at as usize).map_or("", Fragment::text),
        }
    }

    /// The bytes of the file that `span` covers.
    pub fn in_file(&self, span: Span) -> std::ops::Range<usize> {
        let fragment = span.home.fragment.and_then(|at| self.file(span.home.file)?.fragments.get(at as usize));
        match fragment {
            None => span.start as usize..span.end as usize,
            Some(fragment) => {
                let start = fragment.to_file(span.start) as usize;
                // The end is found from the last byte inside, so that a stretch ending at a seam stays short.
                let end = if span.end > span.start { fragment.to_file(span.end - 1) as usize + 1 } else { start };
                start..end.max(start)
            }
        }
    }
}
