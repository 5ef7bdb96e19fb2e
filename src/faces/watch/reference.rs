//! The pages of reference, made one by one while nothing else is to do.

use crate::engine;
use crate::faces::watch::desk::Desk;
use crate::output::{self, Beside, KindEntry};
use crate::words::Voice;
use std::collections::{BTreeSet, VecDeque};

/// Which pages there are to make, and what has been made.
#[derive(Debug, Default)]
pub(super) struct References {
    pending: VecDeque<&'static str>,
    asked: BTreeSet<&'static str>,
    entries: Vec<KindEntry>,
    // The address of the index, while it is still to be made.
    index: String,
    // The voice that they are in.
    voice: Voice,
}

impl References {
    /// All that the sheets on the desk want, to be made anew.
    pub(super) fn new(desk: &Desk) -> Self {
        let mut references = References::none_yet(desk);
        references.want(desk);
        references
    }

    fn none_yet(desk: &Desk) -> Self {
        References { index: desk.beside.kinds_index.clone(), voice: desk.voice(), ..References::default() }
    }

    /// Adds what is wanted by now and was not before; all of it where the house speaks otherwise by now.
    pub(super) fn want(&mut self, desk: &Desk) {
        if self.voice != desk.voice() {
            *self = References::none_yet(desk);
        }
        for word in desk.kinds() {
            if self.asked.insert(word) {
                self.pending.push_back(word);
            }
        }
    }

    /// Whether there is something to make.
    pub(super) fn is_pending(&self) -> bool {
        !self.pending.is_empty() || !self.index.is_empty()
    }

    /// The names of the pages that are still to come.
    pub(super) fn coming(&self) -> BTreeSet<String> {
        let index = Some(&self.index).filter(|index| !index.is_empty()).cloned();
        self.pending.iter().map(|word| format!("kinds/{word}.html")).chain(index).collect()
    }

    /// Makes the next page: its name and itself.
    pub(super) fn make(&mut self, beside: &Beside) -> Option<(String, String)> {
        let Some(word) = self.pending.pop_front() else {
            let index = std::mem::take(&mut self.index);
            return Some((index, output::kinds_index(&self.entries, "../index.html"))).filter(|(index, _)| !index.is_empty());
        };
        let address = beside.kinds.get(word)?;
        let sheet = engine::reference_in(word, self.voice)?;
        self.entries.push(KindEntry::new(word, &sheet, &format!("{word}.html")));
        Some((address.clone(), output::html_beside(&sheet, beside, address)))
    }
}
