//! The record of signatures beside a sheet: found, read, and held against the sheet as it is now.

use crate::diagnostics::Sink;
use crate::engine::compile::tell_unreadable;
use crate::engine::{Files, Unreadable};
use crate::model::Model;
use crate::sheet::parts::{Sheet, SignOff};
use crate::sheet::{Record, notices, record_path, sign_off, unsigned};
use crate::source::{Extent, Home, SheetPath, Sources, Text};
use crate::words::{theirs, word};

/// The record that belongs to `sheet`.
pub(super) struct Found {
    /// What it says; empty when there is none.
    pub(super) text: String,
    /// The same, read.
    pub(super) record: Record,
    /// The originator that the head of the sheet names, perhaps empty.
    pub(super) originator: String,
}

impl Found {
    /// What is said of the signatures of `sheet`, in the language of this moment.
    pub(super) fn sign_off(&self, sheet: &Sheet) -> SignOff {
        let mut said = sign_off(sheet, &self.originator, &self.record, &sheet.sign_off.record, &mut Sink::new()).1;
        for row in &mut said.signatures {
            (row.role, row.meaning) = (word(&row.role).to_string(), theirs(&row.meaning));
        }
        said
    }
}

/// Where the record of the sheet at `path` stands.
pub(super) fn place(path: &SheetPath) -> SheetPath {
    SheetPath::new(&record_path(path.as_str()))
}

/// Puts status and signatures on `sheet`, with what is wrong with them.
pub(super) fn settle(files: &dyn Files, sources: &mut Sources, path: &SheetPath, model: &Model, sheet: &mut Sheet) -> Found {
    let originator = model.head.cells.iter().find(|(label, _)| label == "Originator").map(|(_, name)| name.clone()).unwrap_or_default();
    let place = place(path);
    let mut found = Found { text: String::new(), record: Record::default(), originator };
    let mut sink = Sink::new();
    // A record that is worked as if it were a sheet has none beside it.
    let read = if place == *path { Err(Unreadable::Missing) } else { files.read(&place) };
    match read {
        Ok(text) => {
            let file = sources.add(place.clone(), text.clone());
            found.record = Record::read(text.as_str(), file, &mut sink);
            found.text = text.as_str().to_string();
            (sheet.status, sheet.sign_off) = sign_off(sheet, &found.originator, &found.record, place.as_str(), &mut sink);
        }
        Err(why) => {
            if why != Unreadable::Missing {
                let file = sources.add(place.clone(), Text::new(""));
                tell_unreadable(&mut sink, Home::file(file).span(Extent::default()), &place, &why, true);
                // What cannot be read cannot be added to either.
                found.text = "?".into();
            }
            (sheet.status, sheet.sign_off) = unsigned(sheet);
        }
    }
    sheet.notices.extend(notices(&sink.into_sorted(), sources));
    found
}
