//! The kinds that come with the program, each read when a machine first names it and kept from then on.
//!
//! What is kept counts its places from the fences of the kind's own document, so it serves every sheet alike.

use crate::diagnostics::Sink;
use crate::document::{self, Piece};
use crate::engine::content;
use crate::model::KindSource;
use crate::source::{FileId, Fragment, Home, SheetPath, Text};
use crate::syntax;
use crate::syntax::ast::Statement;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The documents of kinds that have been read.
#[derive(Debug, Default)]
pub(super) struct Library {
    kept: BTreeMap<&'static str, Kept>,
}

/// One document and the kinds it holds.
#[derive(Debug)]
pub(super) struct Kept {
    /// Where a finding says it stands.
    pub(super) path: SheetPath,
    /// What it says.
    pub(super) text: Text,
    /// Its fences and inline values.
    pub(super) fragments: Arc<[Fragment]>,
    /// Its kinds. Their homes count from the file with number 0; the compilation that takes them up gives them another.
    pub(super) kinds: Vec<KindSource>,
    /// Digest of what they reckon.
    pub(super) reckoning: String,
}

impl Library {
    /// The document of a kind, or of `every` and `train`; none for any other word.
    pub(super) fn document(&mut self, word: &'static str) -> Option<&Kept> {
        if !self.kept.contains_key(word) {
            self.kept.insert(word, read(word)?);
        }
        self.kept.get(word)
    }
}

// A kind that comes with the program has no faults (its tests see to that), so what is found is not told.
fn read(word: &str) -> Option<Kept> {
    let text = Text::new(crate::kinds::document(word)?);
    let mut aside = Sink::new();
    let file = FileId(0);
    let document = document::read(text.as_str(), file, &mut aside);
    let mut kinds = Vec::new();
    for piece in &document.pieces {
        let Piece::Rig { fragment, .. } = piece else { continue };
        let text = document.fragments.get(*fragment as usize).map_or("", Fragment::text);
        if !text.trim_start().starts_with("kind") {
            continue;
        }
        let home = Home::fragment(file, *fragment);
        let ast = syntax::parse(text, home, &mut aside);
        kinds.extend(ast.statements.into_iter().filter_map(|statement| match statement {
            Statement::Kind(kind) => Some(KindSource::new(kind, home)),
            _ => None,
        }));
    }
    let path = SheetPath::new(&format!("kinds/{word}/kind.md"));
    let reckoning = crate::kinds::reckoning(word).map_or_else(|| content::reckoning(&document), String::from);
    Some(Kept { path, text, fragments: document.fragments.into(), kinds, reckoning })
}

#[cfg(test)]
mod tests {
    use super::{Library, content};
    use crate::diagnostics::Sink;
    use crate::document::{self, Piece};
    use crate::source::{FileId, Home};
    use crate::syntax;

    // Worked anew from the documents. With `UPDATE=1` the list is written.
    #[test]
    fn the_list_of_what_kinds_reckon_is_true() {
        let worked: String = crate::kinds::words()
            .chain(["every", "train"])
            .map(|word| {
                let text = crate::kinds::document(word).unwrap_or_else(|| panic!("no document of {word}"));
                format!("{word} {}\n", content::reckoning(&document::read(text, FileId(0), &mut Sink::new())))
            })
            .collect();
        if std::env::var_os("UPDATE").is_some() {
            let list = concat!(env!("CARGO_MANIFEST_DIR"), "/src/kinds/reckonings.txt");
            std::fs::write(list, &worked).unwrap_or_else(|why| panic!("{list}: {why}"));
            return;
        }
        for line in worked.lines() {
            let (word, digest) = line.split_once(' ').unwrap_or_default();
            assert_eq!(crate::kinds::reckoning(word), Some(digest), "what {word} reckons has changed: run the tests with UPDATE=1");
        }
    }

    #[test]
    fn no_kind_of_the_program_has_a_fault_of_form() {
        let mut library = Library::default();
        for word in crate::kinds::words().chain(["every", "train"]) {
            let kept = library.document(word).unwrap_or_else(|| panic!("no document of {word}"));
            assert!(!kept.kinds.is_empty(), "{word}");
            let mut sink = Sink::new();
            let read = document::read(kept.text.as_str(), FileId(0), &mut sink);
            for piece in &read.pieces {
                let Piece::Rig { fragment, .. } = piece else { continue };
                syntax::parse(read.fragments[*fragment as usize].text(), Home::fragment(FileId(0), *fragment), &mut sink);
            }
            assert!(sink.is_empty(), "{word}: {:?}", sink.into_sorted());
        }
        assert!(library.document("no such kind").is_none());
    }
}
