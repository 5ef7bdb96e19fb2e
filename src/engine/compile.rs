//! One document: what it uses, in what order, and what comes of it.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::files::{FileDenied, FileMissing, FileNotText, FileOutsideProject, FileTooLarge, UseCycle};
use crate::diagnostics::catalogue::gear::{PinDiffers, PinForm};
use crate::document::{self, Document, Piece, Run};
use crate::engine::content;
use crate::engine::library::Library;
use crate::engine::signatures;
use crate::engine::{Files, ProjectFile, Unreadable};
use crate::house::{StatusWord, Voice, speaking, word};
use crate::model::{FileTrees, Material, Preferences};
use crate::sheet::parts::{HouseStyle, Notice, Sheet};
use crate::sheet::{self, Detail};
use crate::source::{Extent, FileId, Home, SheetPath, Sources, Span};
use crate::syntax;
use crate::syntax::ast::{Statement, Use};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// What one sheet is made from, before any name in it is bound.
#[derive(Debug)]
pub struct Gathered {
    /// The texts: the document's own, those it uses, and those of the kinds it names.
    pub sources: Sources,
    /// The document's own file among them.
    pub file: FileId,
    /// Its prose and fences. Its fragments are found in `sources`.
    pub document: Document,
    /// The trees of all files, and the kinds.
    pub material: Material,
    /// Digests of what the kinds of the program that it names reckon.
    pub reckoning: Vec<String>,
    /// What was found so far.
    pub sink: Sink,
}

/// Reads one document and all it uses; the findings alone when it cannot be read.
pub(super) fn gather(files: &dyn Files, library: &mut Library, root: &SheetPath, project: &ProjectFile) -> Result<Gathered, Vec<Notice>> {
    let house = &project.house;
    let preferences = Preferences { us_customary: house.us_customary, units: house.preferred.clone() };
    let mut reading = Reading {
        files,
        library,
        sources: Sources::new(),
        material: Material { preferences, ..Material::default() },
        reckoning: Vec::new(),
        documents: BTreeMap::new(),
        numbers: BTreeMap::new(),
        sink: Sink::new(),
    };
    let unread = |reading: Reading<'_>| crate::sheet::notices(&reading.sink.into_sorted(), &reading.sources);
    let Ok(file) = reading.open(root, None) else { return Err(unread(reading)) };
    reading.uses(file, &mut Vec::new());
    reading.tables();
    reading.built_in_kinds();
    let Some(document) = reading.documents.remove(&file) else { return Err(unread(reading)) };
    let Reading { sources, material, reckoning, sink, .. } = reading;
    Ok(Gathered { sources, file, document, material, reckoning, sink })
}

/// Works one document.
pub(super) fn compile(
    files: &dyn Files,
    library: &mut Library,
    root: &SheetPath,
    project: &ProjectFile,
    detail: Detail,
) -> (Option<Sheet>, Vec<Notice>) {
    match compile_signed(files, library, root, project, detail) {
        Ok((sheet, _)) => {
            let notices = sheet.notices.clone();
            (Some(sheet), notices)
        }
        Err(notices) => (None, notices),
    }
}

/// Works one document; its sheet with the record of its signatures, or the findings when it cannot be read.
pub(super) fn compile_signed(
    files: &dyn Files,
    library: &mut Library,
    root: &SheetPath,
    project: &ProjectFile,
    detail: Detail,
) -> Result<(Sheet, signatures::Found), Vec<Notice>> {
    let Gathered { mut sources, file, document, material, reckoning, mut sink } = gather(files, library, root, project)?;
    let model = crate::model::resolve(file, &material, &mut sink);
    crate::model::inspections(file, &model, files.day(), &mut sink);
    let evaluation = crate::program::run(&model, &mut sink);
    let studies = crate::program::study(file, &material, &model, &evaluation, &mut sink);
    let draws = crate::program::draw(&model, &evaluation, &mut sink);
    let findings = sink.into_sorted();
    let work = crate::sheet::Work {
        sources: &sources,
        file,
        document: &document,
        model: &model,
        evaluation: &evaluation,
        studies: &studies,
        draws: &draws,
        findings: &findings,
        day: files.day(),
        detail,
    };
    let mut sheet = crate::sheet::build(&work);
    let mut data: Vec<FileId> = material.tables.values().map(|(file, _)| *file).collect();
    data.sort_unstable();
    data.dedup();
    (sheet.record.calculation, sheet.record.telling) =
        content::digests((&sources, &material), (file, &document), &model.used, &data, &reckoning);
    let set = in_voice(&work, project);
    let found = signatures::settle(files, &mut sources, root, &model, &mut sheet);
    in_house(&mut sheet, set, project);
    Ok((sheet, found))
}

// The sheet in the voice of its house, where that is another than the one that JSON and comparisons have.
fn in_voice(work: &sheet::Work<'_>, project: &ProjectFile) -> Option<Box<Sheet>> {
    let voice = project.style.voice;
    (voice != Voice::default()).then(|| Box::new(speaking(voice, || sheet::build(work))))
}

// What is printed of the house on its sheets, and what is known of a sheet only when it is built.
fn in_house(sheet: &mut Sheet, set: Option<Box<Sheet>>, project: &ProjectFile) {
    let legend = StatusWord::KEYS.iter().find(|(key, _)| key.replace('_', " ") == sheet.status).map(|(_, status)| status);
    let legend = legend.and_then(|status| project.house.status_legend.get(status)).cloned().unwrap_or_default();
    sheet.house = HouseStyle { legend, ..project.style.clone() };
    sheet.as_set = set.map(|mut set| {
        set.status = speaking(sheet.house.voice, || word(&sheet.status).to_string());
        set.sign_off = sheet.sign_off.clone();
        set.notices = sheet.notices.clone();
        set.record = sheet.record.clone();
        set.house = sheet.house.clone();
        set
    });
}

struct Reading<'r> {
    files: &'r dyn Files,
    library: &'r mut Library,
    sources: Sources,
    material: Material,
    reckoning: Vec<String>,
    documents: BTreeMap<FileId, Document>,
    numbers: BTreeMap<SheetPath, FileId>,
    sink: Sink,
}

impl Reading<'_> {
    // Reads one file and its trees. `asked` is the place of the `use` that asked for it.
    fn open(&mut self, path: &SheetPath, asked: Option<(Span, FileId)>) -> Result<FileId, ()> {
        if let Some(file) = self.numbers.get(path) {
            return Ok(*file);
        }
        let text = match self.files.read(path) {
            Ok(text) => text,
            Err(unreadable) => {
                self.refuse(path, &unreadable, asked);
                return Err(());
            }
        };
        let file = self.sources.add(path.clone(), text.clone());
        self.numbers.insert(path.clone(), file);
        // Findings of a used file are told with that file, not here.
        let mut aside = Sink::new();
        let sink = if asked.is_some() { &mut aside } else { &mut self.sink };
        let listed = asked.is_some() && is_list(path);
        let sink = if listed { &mut self.sink } else { sink };
        let mut document = if listed { list(text.as_str(), file, sink) } else { document::read(text.as_str(), file, sink) };
        if listed {
            self.material.lists.insert(file);
        }
        let mut trees = FileTrees::default();
        for piece in &document.pieces {
            match piece {
                Piece::Rig { fragment, .. } => {
                    let text = document.fragments.get(*fragment as usize).map_or("", |fragment| fragment.text());
                    trees.fences.push((*fragment, syntax::parse(text, Home::fragment(file, *fragment), sink)));
                }
                Piece::Prose(runs) => {
                    for run in runs {
                        let Run::Value { fragment } = run else { continue };
                        let text = document.fragments.get(*fragment as usize).map_or("", |fragment| fragment.text());
                        if let Some(stated) = syntax::inline(text, Home::fragment(file, *fragment), sink) {
                            trees.inlines.push((*fragment, stated));
                        }
                    }
                }
            }
        }
        if asked.is_none() {
            super::pictures::embed(&mut document, self.files, path, file, text.as_str(), &mut self.sink);
        }
        self.sources.set_fragments(file, std::mem::take(&mut document.fragments));
        self.material.files.insert(file, trees);
        self.documents.insert(file, document);
        Ok(file)
    }

    // Follows every `use` of a file, depth first. `ring` is the way here, for telling a cycle.
    fn uses(&mut self, file: FileId, ring: &mut Vec<FileId>) {
        ring.push(file);
        let path = self.sources.file(file).map(|file| file.path.clone());
        let mut wanted: Vec<(Home, Use)> = Vec::new();
        for (fragment, ast) in self.material.files.get(&file).map(|trees| trees.fences.as_slice()).unwrap_or_default() {
            for statement in &ast.statements {
                if let Statement::Use(used) = statement {
                    wanted.push((Home::fragment(file, *fragment), used.clone()));
                }
            }
        }
        for (home, used) in wanted {
            let (span, written) = (home.span(used.path.at), used.path.text);
            let Some(target) = path.as_ref().and_then(|path| path.beside(&written)) else {
                self.sink.push(span, &FileOutsideProject { path: written });
                continue;
            };
            let Ok(found) = self.open(&target, Some((span, file))) else { continue };
            if let Some(pinned) = &used.pinned {
                self.held(found, home.span(pinned.at), &pinned.text, &written);
            }
            if let Some(start) = ring.iter().position(|file| *file == found) {
                let name = |file: &FileId| self.sources.file(*file).map(|file| file.path.to_string()).unwrap_or_default();
                let names: Vec<String> = ring.get(start..).unwrap_or_default().iter().map(name).collect();
                self.sink.push(span, &UseCycle { ring: names });
                continue;
            }
            self.material.uses.insert((file, written), found);
            self.uses(found, ring);
        }
        ring.pop();
    }

    // Holds a used file to the digest that is written at `at`.
    fn held(&mut self, file: FileId, at: Span, pinned: &str, path: &str) {
        let now = self.sources.file(file).map(|file| sheet::sha256(&file.text.as_str().replace("\r\n", "\n"))).unwrap_or_default();
        let digest = pinned.strip_prefix("sha256:").map(str::to_ascii_lowercase);
        match digest.filter(|digest| digest.len() == 64 && digest.bytes().all(|byte| byte.is_ascii_hexdigit())) {
            None => self.sink.push(at, &PinForm { found: pinned.into(), now }),
            Some(digest) if digest != now => self.sink.push(at, &PinDiffers { path: path.into(), pinned: digest, now }),
            Some(_) => {}
        }
    }

    // The CSV files that readings name, each read once.
    fn tables(&mut self) {
        let mut wanted: Vec<(FileId, Span, String)> = Vec::new();
        for (file, trees) in &self.material.files {
            for (fragment, ast) in &trees.fences {
                for statement in &ast.statements {
                    let Statement::Readings(readings) = statement else { continue };
                    let asks = readings.file.iter().filter(|_| readings.table.columns.is_empty());
                    wanted.extend(asks.map(|path| (*file, Home::fragment(*file, *fragment).span(path.at), path.text.clone())));
                }
            }
        }
        for (asking, span, written) in wanted {
            let path = self.sources.file(asking).and_then(|file| file.path.beside(&written));
            let Some(path) = path else {
                self.sink.push(span, &FileOutsideProject { path: written });
                continue;
            };
            let key = (asking, written);
            if self.material.tables.contains_key(&key) {
                continue;
            }
            match self.files.read(&path) {
                Ok(text) => {
                    let file = match self.numbers.get(&path) {
                        Some(file) => *file,
                        None => self.sources.add(path.clone(), text.clone()),
                    };
                    self.numbers.insert(path, file);
                    self.material.tables.insert(key, (file, syntax::csv(text.as_str())));
                }
                Err(unreadable) => self.refuse(&path, &unreadable, Some((span, asking))),
            }
        }
    }

    fn refuse(&mut self, path: &SheetPath, unreadable: &Unreadable, asked: Option<(Span, FileId)>) {
        let span = match asked {
            Some((span, _)) => span,
            None => {
                // A place to point at, though there is no text.
                let file = self.sources.add(path.clone(), crate::source::Text::new(""));
                Home::file(file).span(Extent::default())
            }
        };
        tell_unreadable(&mut self.sink, span, path, unreadable, asked.is_some());
    }

    // The kinds that come with the program, as far as a machine asks for them.
    fn built_in_kinds(&mut self) {
        let mut asked: BTreeSet<&str> = BTreeSet::new();
        let mut trained = false;
        for trees in self.material.files.values() {
            for statement in trees.fences.iter().flat_map(|(_, ast)| &ast.statements) {
                match statement {
                    Statement::Machine(machine) => {
                        asked.insert(&machine.kind.text);
                    }
                    Statement::Train(_) => trained = true,
                    Statement::Kind(kind) => {
                        asked.insert(&kind.name.text);
                    }
                    _ => {}
                }
            }
        }
        let mut words: BTreeSet<&'static str> = crate::kinds::words().filter(|word| asked.contains(word)).collect();
        if !asked.is_empty() {
            words.insert("every");
            self.material.offered = crate::kinds::words().collect();
        }
        if trained {
            words.insert("train");
        }
        for word in words {
            let Some(kept) = self.library.document(word) else { continue };
            let file = self.sources.add(kept.path.clone(), kept.text.clone());
            self.reckoning.push(kept.reckoning.clone());
            self.sources.set_fragments(file, Arc::clone(&kept.fragments));
            for source in &kept.kinds {
                let home = Home { file, ..source.home };
                self.material.kinds.insert(source.kind.name.text.clone(), source.moved(home));
            }
        }
    }
}

// A used file that is a table is a list of gear.
fn is_list(path: &SheetPath) -> bool {
    path.as_str().rsplit_once('.').is_some_and(|(_, ending)| ending.eq_ignore_ascii_case("csv"))
}

// A list of gear as a document of one fence.
fn list(text: &str, file: FileId, sink: &mut Sink) -> Document {
    let fragments = vec![syntax::gear_list(text, file, sink)];
    Document { pieces: vec![Piece::Rig { fragment: 0, span_of_fence: Extent::new(0, text.len()) }], fragments, ..Document::default() }
}

/// Tells at `span` why `path` cannot be read; `used` says that a sheet asked for it, and not the caller.
pub(super) fn tell_unreadable(sink: &mut Sink, span: Span, path: &SheetPath, unreadable: &Unreadable, used: bool) {
    let path = path.to_string();
    match unreadable {
        Unreadable::Missing => sink.push(span, &FileMissing { path, used, near: Vec::new() }),
        Unreadable::NotText { at } => sink.push(span, &FileNotText { path, at: (*at + 1).to_string() }),
        Unreadable::TooLarge { bytes, limit } => {
            sink.push(span, &FileTooLarge { path, size: mebibytes(*bytes), limit: mebibytes(*limit) });
        }
        Unreadable::Outside => sink.push(span, &FileOutsideProject { path }),
        Unreadable::Denied(reason) => sink.push(span, &FileDenied { path, reason: reason.clone() }),
    }
}

fn mebibytes(bytes: u64) -> String {
    format!("{}.{} MiB", bytes >> 20, ((bytes & 0xF_FFFF) * 10) >> 20)
}
