//! The project file of a sheet: the nearest at or above it, read once for as long as it and what it names say the same.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::house::{PictureLeftOut, ProjectFileUnreadable, TemplateFolder, TemplatePart};
use crate::engine::pictures::{MOST, kind_of, refusal};
use crate::engine::specimen::trial;
use crate::engine::{Files, Unreadable};
use crate::house::{FILE, House, read};
use crate::output;
use crate::sheet::parts::{HouseStyle, Notice, Part};
use crate::source::{Extent, Home, SheetPath, Sources, Text};
use std::collections::BTreeMap;
use std::sync::Arc;

/// What a project file says and what is wrong in it. Without one, the defaults and nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ProjectFile {
    /// What is settled.
    pub house: House,
    /// What is settled of pages, with the files that are named for it read.
    pub style: HouseStyle,
    /// Findings in the project file and in what it names. They are matters of the project and stand on none of its sheets.
    pub notices: Vec<Notice>,
    /// Digest of its text; empty without one.
    pub digest: String,
}

/// The largest project file, in bytes: its keys fill a page at most.
const LIMIT: usize = 64 * 1024;

// A project file with what it rests on.
#[derive(Debug)]
struct Known {
    text: Text,
    logo: Option<Result<Arc<[u8]>, Unreadable>>,
    parts: Arc<[Part]>,
    folderless: bool,
    file: Arc<ProjectFile>,
}

/// The project files read so far, each with what was read.
#[derive(Debug, Default)]
pub(super) struct Houses {
    read: BTreeMap<SheetPath, Known>,
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
                Ok(text) => return self.known(files, path, text),
            }
            if folder.is_empty() {
                return Arc::clone(&self.none);
            }
        }
    }

    fn known(&mut self, files: &dyn Files, path: SheetPath, text: Text) -> Arc<ProjectFile> {
        if let Some(known) = self.read.get(&path).filter(|known| known.text == text) {
            let house = &known.file.house;
            let logo = house.logo.as_ref().map(|logo| files.read_bytes(logo));
            let parts = parts(files, house);
            if logo == known.logo && parts == *known.parts && folderless(files, house, &parts) == known.folderless {
                return Arc::clone(&known.file);
            }
        }
        let (mut sources, mut sink) = (Sources::new(), Sink::new());
        let file = sources.add(path.clone(), text.clone());
        let house = read(text.as_str(), &path, file, &mut sink);
        let logo = house.logo.as_ref().map(|logo| files.read_bytes(logo));
        let parts: Arc<[Part]> = parts(files, &house).into();
        let mut style = HouseStyle { voice: house.voice(), owner: house.owner.clone(), paper: house.paper, ..HouseStyle::default() };
        if let (Some(path), Some(found)) = (&house.logo, &logo) {
            match picture(path, found) {
                Ok(address) => style.logo = address,
                Err((reason, mend)) => {
                    // The value stands in the file as it was written, in quotes.
                    let at = text.as_str().find("logo").unwrap_or(0);
                    let finding = PictureLeftOut { picture: path.to_string(), reason, mend };
                    sink.push(Home::file(file).span(Extent::new(at, at + 4)), &finding);
                }
            }
        }
        style.parts = fit(&parts, &house, &mut sources, &mut sink);
        let folderless = folderless(files, &house, &parts);
        if let Some(folder) = house.templates.as_ref().filter(|_| folderless) {
            sink.push(Home::file(file).span(house.templates_at), &TemplateFolder { folder: folder.to_string() });
        }
        let notices = crate::sheet::notices(&sink.into_sorted(), &sources);
        let made = Arc::new(ProjectFile { house, style, notices, digest: crate::sheet::digest(text.as_str()) });
        self.read.insert(path, Known { text, logo, parts, folderless, file: Arc::clone(&made) });
        made
    }
}

fn picture(path: &SheetPath, found: &Result<Arc<[u8]>, Unreadable>) -> Result<String, (String, String)> {
    let bytes = found.as_ref().map_err(refusal)?;
    if bytes.len() > MOST {
        return Err(refusal(&Unreadable::TooLarge { bytes: bytes.len() as u64, limit: MOST as u64 }));
    }
    let wrong = || ("it is no SVG or PNG picture, whatever its name says".to_string(), "save it as SVG or PNG".to_string());
    let kind = kind_of(bytes).filter(|kind| path.as_str().to_ascii_lowercase().ends_with(".svg") == (*kind == "image/svg+xml"));
    kind.map(|kind| output::data_address(kind, bytes)).ok_or_else(wrong)
}

// The files in the template folder that bear the name of a part, as they stand there.
fn parts(files: &dyn Files, house: &House) -> Vec<Part> {
    let Some(folder) = &house.templates else { return Vec::new() };
    let found = output::part_names().filter_map(|name| {
        let text = files.read(&SheetPath::new(&format!("{folder}/{name}"))).ok()?;
        Some(Part { name: name.to_string(), text: text.as_str().replace("\r\n", "\n") })
    });
    found.collect()
}

// Whether the template folder is not there. A folder is no text, so reading it fails otherwise than reading what is missing.
fn folderless(files: &dyn Files, house: &House, parts: &[Part]) -> bool {
    parts.is_empty() && house.templates.as_ref().is_some_and(|folder| matches!(files.read(folder), Err(Unreadable::Missing)))
}

// Those of them that can be used; of the others it is told why.
fn fit(parts: &[Part], house: &House, sources: &mut Sources, sink: &mut Sink) -> Arc<[Part]> {
    let Some(folder) = house.templates.as_ref().filter(|_| !parts.is_empty()) else { return Arc::default() };
    let trial = trial();
    let mut kept = Vec::new();
    for part in parts {
        match output::part_is_fit(part, &trial) {
            Ok(()) => kept.push(part.clone()),
            Err(fault) => {
                let file = sources.add(SheetPath::new(&format!("{folder}/{}", part.name)), Text::new(&part.text));
                let finding = TemplatePart { part: part.name.clone(), problem: fault.problem, mend: fault.mend };
                sink.push(Home::file(file).span(Extent::new(fault.at.start, fault.at.end)), &finding);
            }
        }
    }
    kept.into()
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
    let notices = crate::sheet::notices(&sink.into_sorted(), &sources);
    ProjectFile { house, style: HouseStyle::default(), notices, digest: String::new() }
}
