//! The project file of a sheet: the nearest at or above it, read once for as long as it says the same.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::house::ProjectFileUnreadable;
use crate::engine::{Files, Unreadable};
use crate::house::{FILE, House, read};
use crate::sheet::parts::Notice;
use crate::source::{Extent, Home, SheetPath, Sources, Text};
use std::collections::BTreeMap;
use std::sync::Arc;

/// The largest project file, in bytes: its keys fill a page at most.
const LIMIT: usize = 64 * 1024;

/// What a project file says and what is wrong in it. Without one, the defaults and nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ProjectFile {
    /// What is settled.
    pub house: House,
    /// Findings in the project file. They are matters of the project and stand on none of its sheets.
    pub notices: Vec<Notice>,
    /// Digest of its text; empty without one.
    pub digest: String,
}

/// The project files read so far, each with what was read.
#[derive(Debug, Default)]
pub(super) struct Houses {
    read: BTreeMap<SheetPath, (Text, Arc<ProjectFile>)>,
    none: Arc<ProjectFile>,
}

impl Houses {
    /// The project file that counts for `sheet`: in its own folder, or else in the nearest above it, up to the root.
    pub(super) fn of(&mut self, files: &dyn Files, sheet: &SheetPath) -> Arc<ProjectFile> {
        let mut folder = sheet.as_str();
        loop {
            folder = folder.rfind('/').and_then(|slash| folder.get(..slash)).unwrap_or("");
            let path = SheetPath::new(&if folder.is_empty() { FILE.to_string() } else { format!("{folder}/{FILE}") });
            match files.read(&path) {
                Err(Unreadable::Missing) => {
                    self.read.remove(&path);
                }
                Err(unreadable) => return Arc::new(refused(&path, &unreadable)),
                Ok(text) if text.as_str().len() > LIMIT => {
                    let (bytes, limit) = (text.as_str().len() as u64, LIMIT as u64);
                    return Arc::new(refused(&path, &Unreadable::TooLarge { bytes, limit }));
                }
                Ok(text) => return self.known(path, text),
            }
            if folder.is_empty() {
                return Arc::clone(&self.none);
            }
        }
    }

    fn known(&mut self, path: SheetPath, text: Text) -> Arc<ProjectFile> {
        if let Some((known, file)) = self.read.get(&path)
            && *known == text
        {
            return Arc::clone(file);
        }
        let (mut sources, mut sink) = (Sources::new(), Sink::new());
        let file = sources.add(path.clone(), text.clone());
        let house = read(text.as_str(), &path, file, &mut sink);
        let notices = crate::sheet::notices(&sink.into_sorted(), &sources);
        let made = Arc::new(ProjectFile { house, notices, digest: crate::sheet::digest(text.as_str()) });
        self.read.insert(path, (text, Arc::clone(&made)));
        made
    }
}

fn refused(path: &SheetPath, unreadable: &Unreadable) -> ProjectFile {
    let (reason, mend) = match unreadable {
        Unreadable::NotText { at } => (format!("byte {} begins no character of UTF-8", at + 1), "save it as UTF-8"),
        Unreadable::TooLarge { .. } => ("it is larger than a project file may be".to_string(), "keep to the keys of a project file"),
        Unreadable::Outside => ("it leads out of the project".to_string(), "put a file of its own there, and no link"),
        Unreadable::Denied(reason) => (format!("the system says: {reason}"), "look at its permissions, and whether it is a folder"),
        Unreadable::Missing => ("there is none".to_string(), "put one there"),
    };
    let (mut sources, mut sink) = (Sources::new(), Sink::new());
    let file = sources.add(path.clone(), Text::new(""));
    sink.push(Home::file(file).span(Extent::default()), &ProjectFileUnreadable { reason, mend: mend.into() });
    let house = House { file: Some(path.clone()), ..House::default() };
    ProjectFile { house, notices: crate::sheet::notices(&sink.into_sorted(), &sources), digest: String::new() }
}
