//! One document: what it uses, in what order, and what comes of it.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::files::{FileDenied, FileMissing, FileNotText, FileOutsideProject, FileTooLarge, UseCycle};
use crate::diagnostics::catalogue::gear::{PinDiffers, PinForm};
use crate::document::{self, Document, Piece, Run};
use crate::engine::content;
use crate::engine::imports::{Import, Imports};
use crate::engine::library::Library;
use crate::engine::memo::{Fence, Memo, Taken, Worked};
use crate::engine::{Day, Files, ProjectFile, Unreadable, pictures, signatures};
use crate::house::StatusWord;
use crate::model::{FileTrees, Material, Preferences};
use crate::output;
use crate::sheet::parts::{HouseStyle, Notice, Sheet};
use crate::sheet::{self, BudgetsAsked, Detail};
use crate::source::{Extent, FileId, Home, SheetPath, Sources, Span, Tag, Text};
use crate::syntax;
use crate::syntax::ast::{Statement, Use};
use crate::words::{Voice, speaking, word};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::sync::Arc;

/// What one sheet is made from, before any name in it is bound.
#[derive(Debug)]
pub struct Gathered {
    /// The texts: the document's own, those it uses, and those of the kinds it names.
    pub sources: Sources,
    /// The document's own file among them.
    pub file: FileId,
    /// Its prose and fences. Its fragments are found in `sources`.
    pub document: Arc<Document>,
    /// The trees of all files, and the kinds.
    pub material: Material,
    /// Digests of what the kinds of the program that it names reckon.
    pub reckoning: Vec<String>,
    /// What was found so far.
    pub sink: Sink,
}

/// Reads one document and all it uses; the findings alone when it cannot be read.
pub(super) fn gather(
    files: &dyn Files,
    library: &mut Library,
    memo: &mut Memo,
    root: &SheetPath,
    project: &ProjectFile,
) -> Result<Gathered, Vec<Notice>> {
    let house = &project.house;
    let preferences = Preferences { us_customary: house.us_customary, units: house.preferred.clone() };
    let mut reading = Reading {
        files,
        library,
        memo,
        sources: Sources::new(),
        material: Material { preferences, ..Material::default() },
        reckoning: Vec::new(),
        documents: BTreeMap::new(),
        numbers: BTreeMap::new(),
        sink: Sink::new(),
    };
    let unread = |reading: Reading<'_>| crate::sheet::notices(&reading.sink.into_sorted(), &reading.sources);
    let Ok(file) = reading.open(root, None) else { return Err(unread(reading)) };
    reading.uses(file);
    reading.tables();
    reading.built_in_kinds();
    let Some(document) = reading.documents.remove(&file) else { return Err(unread(reading)) };
    let Reading { sources, material, reckoning, sink, .. } = reading;
    Ok(Gathered { sources, file, document, material, reckoning, sink })
}

/// Works one document: its sheet, its findings, and the digest of all that the sheet rests on.
pub(super) fn compile(
    files: &dyn Files,
    library: &mut Library,
    memo: &mut Memo,
    root: &SheetPath,
    project: &ProjectFile,
    detail: Detail,
    budgets: &BudgetsAsked,
) -> (Option<Arc<Sheet>>, Vec<Notice>, String) {
    let noted = Noted { files, read: RefCell::default() };
    let mut gathered = match gather(&noted, library, memo, root, project) {
        Ok(gathered) => gathered,
        Err(notices) => return (None, notices, String::new()),
    };
    let seen = if memo.is_on() {
        let told = format!("{:?} {detail:?} {budgets:?} {:?}", gathered.material.preferences, files.day());
        seen_by_program(root, &told, &noted.read.borrow(), &gathered)
    } else {
        String::new()
    };
    let worked = memo.program(&seen, || work(&gathered, files.day()));
    let seen = if memo.is_on() {
        // What a sheet says of itself besides.
        let _ = noted.read(&signatures::place(root));
        seen_by_sheet(&seen, &noted.read.borrow(), project)
    } else {
        String::new()
    };
    let sheet = memo.sheet(&seen, || {
        let (mut sheet, set) = build(&mut gathered, &worked, project, files.day(), (detail, budgets));
        let found = signatures::settle(&noted, &mut gathered.sources, root, &worked.model, &mut sheet);
        in_house(&mut sheet, set, project, &found);
        sheet
    });
    let notices = sheet.notices.clone();
    (Some(sheet), notices, seen)
}

/// Works one document anew; its sheet with the record of its signatures, or the findings when it cannot be read.
pub(super) fn compile_signed(
    files: &dyn Files,
    library: &mut Library,
    root: &SheetPath,
    project: &ProjectFile,
    detail: Detail,
    budgets: &BudgetsAsked,
) -> Result<(Sheet, signatures::Found), Vec<Notice>> {
    let mut gathered = gather(files, library, &mut Memo::default(), root, project)?;
    let worked = work(&gathered, files.day());
    let (mut sheet, set) = build(&mut gathered, &worked, project, files.day(), (detail, budgets));
    let found = signatures::settle(files, &mut gathered.sources, root, &worked.model, &mut sheet);
    in_house(&mut sheet, set, project, &found);
    Ok((sheet, found))
}

// What the fences come to.
fn work(gathered: &Gathered, day: Option<Day>) -> Worked {
    let (file, material) = (gathered.file, &gathered.material);
    let mut sink = Sink::new();
    let model = crate::model::resolve(file, material, &mut sink);
    crate::model::inspections(file, &model, day, &mut sink);
    let evaluation = crate::program::run(&model, &mut sink);
    let studies = crate::program::study(file, material, &model, &evaluation, &mut sink);
    let draws = crate::program::draw(&model, &evaluation, &mut sink);
    Worked { model, evaluation, studies, draws, findings: sink.into_sorted() }
}

// The sheet of what was worked, with all findings, those of reading among them; and once more in the voice of its house.
fn build(
    gathered: &mut Gathered,
    worked: &Worked,
    project: &ProjectFile,
    day: Option<Day>,
    asked: (Detail, &BudgetsAsked),
) -> (Sheet, Option<Box<Sheet>>) {
    let (detail, budgets) = asked;
    let mut sink = std::mem::take(&mut gathered.sink);
    worked.findings.iter().for_each(|finding| sink.adopt(finding.clone()));
    let findings = sink.into_sorted();
    let Gathered { sources, file, document, material, reckoning, .. } = &*gathered;
    let work = sheet::Work {
        sources,
        file: *file,
        document,
        model: &worked.model,
        evaluation: &worked.evaluation,
        studies: &worked.studies,
        draws: &worked.draws,
        findings: &findings,
        budgets,
        day,
        detail,
    };
    let mut sheet = sheet::build(&work);
    let mut data: Vec<FileId> = material.tables.values().map(|(file, _)| *file).collect();
    data.sort_unstable();
    data.dedup();
    (sheet.record.calculation, sheet.record.telling) =
        content::digests((sources, material), (*file, document), &worked.model.used, &data, reckoning);
    (sheet, in_voice(&work, project))
}

type Read = BTreeMap<SheetPath, Result<Text, Unreadable>>;

// Notes what one compilation asks for. It is whatever a result may rest on, for nothing else of the world can be seen.
struct Noted<'f> {
    files: &'f dyn Files,
    read: RefCell<Read>,
}

impl Files for Noted<'_> {
    fn read(&self, path: &SheetPath) -> Result<Text, Unreadable> {
        let read = self.files.read(path);
        self.read.borrow_mut().insert(path.clone(), read.clone());
        read
    }

    fn read_bytes(&self, path: &SheetPath) -> Result<Arc<[u8]>, Unreadable> {
        let read = self.files.read_bytes(path);
        let noted = read.as_ref().map(|bytes| Text::new(&output::data_address("", bytes))).map_err(Clone::clone);
        self.read.borrow_mut().insert(path.clone(), noted);
        read
    }

    fn day(&self) -> Option<Day> {
        self.files.day()
    }
}

// The digest of all that the fences of `root` and of what it uses come to can depend on: of documents their fences and values
// alone, of anything else that was read the whole, and every path, since paths say what uses what.
fn seen_by_program(root: &SheetPath, told: &str, read: &Read, gathered: &Gathered) -> String {
    let Gathered { sources, material, .. } = gathered;
    let numbers: BTreeMap<&SheetPath, FileId> = sources.numbered().map(|(number, file)| (&file.path, number)).collect();
    let tables: BTreeSet<FileId> = material.tables.values().map(|(file, _)| *file).collect();
    let mut seen = String::new();
    push_part(&mut seen, root.as_str());
    push_part(&mut seen, told);
    for (path, read) in read {
        push_part(&mut seen, path.as_str());
        let number = numbers.get(path).filter(|number| !tables.contains(number));
        match number.and_then(|number| Some((*number, material.files.get(number)?))) {
            Some((number, trees)) => {
                let fences = trees.fences.iter().map(|(fragment, _)| fragment);
                for fragment in fences.chain(trees.inlines.iter().map(|(fragment, _)| fragment)) {
                    push_part(&mut seen, &fragment.to_string());
                    push_part(&mut seen, sources.text_of(Home::fragment(number, *fragment)));
                }
            }
            None => push_read(&mut seen, read),
        }
    }
    crate::sheet::digest(&seen)
}

// The digest of all that a sheet can depend on beside its program: the project file, and every text in full, for findings
// quote it.
fn seen_by_sheet(program: &str, read: &Read, project: &ProjectFile) -> String {
    let mut seen = String::from(program);
    push_part(&mut seen, &project.digest);
    push_part(&mut seen, &format!("{:?}", project.style));
    for (path, read) in read {
        push_part(&mut seen, path.as_str());
        push_read(&mut seen, read);
    }
    crate::sheet::digest(&seen)
}

fn push_read(seen: &mut String, read: &Result<Text, Unreadable>) {
    match read {
        Ok(text) => push_part(seen, text.as_str()),
        Err(unreadable) => push_part(seen, &format!("{unreadable:?}")),
    }
}

// Its length stands in front, so that no two lists of parts run together to one text.
fn push_part(seen: &mut String, part: &str) {
    seen.push_str(&part.len().to_string());
    seen.push(' ');
    seen.push_str(part);
}

// The sheet in the voice of its house, where that is another than the one that JSON and comparisons have.
fn in_voice(work: &sheet::Work<'_>, project: &ProjectFile) -> Option<Box<Sheet>> {
    let voice = Voice { author: work.model.head.language.unwrap_or(project.style.voice.author), ..project.style.voice };
    (voice != Voice::default()).then(|| Box::new(speaking(voice, || sheet::build_as_set(work))))
}

// What is printed of the house on its sheets, and what is known of a sheet only when it is built.
fn in_house(sheet: &mut Sheet, set: Option<Box<Sheet>>, project: &ProjectFile, signed: &signatures::Found) {
    let legend = StatusWord::KEYS.iter().find(|(key, _)| key.replace('_', " ") == sheet.status).map(|(_, status)| status);
    let legend = legend.and_then(|status| project.house.status_legend.get(status)).cloned().unwrap_or_default();
    sheet.house = HouseStyle { legend, ..project.style.clone() };
    sheet.house.voice.author = Tag::read(&sheet.title_block.language).unwrap_or(sheet.house.voice.author);
    sheet.as_set = set.map(|mut set| {
        set.status = speaking(sheet.house.voice, || word(&sheet.status).to_string());
        set.sign_off = speaking(sheet.house.voice, || signed.sign_off(sheet));
        set.notices = sheet.notices.clone();
        speaking(sheet.house.voice, || sheet::mark_notices(&mut set.notices));
        set.record = sheet.record.clone();
        set.house = sheet.house.clone();
        set
    });
}

struct Reading<'r> {
    files: &'r dyn Files,
    library: &'r mut Library,
    memo: &'r mut Memo,
    sources: Sources,
    material: Material,
    reckoning: Vec<String>,
    documents: BTreeMap<FileId, Arc<Document>>,
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
        let listed = asked.is_some() && is_list(path);
        let taken = self.memo.file(text.as_str(), listed, |memo| take_apart(text.as_str(), listed, memo));
        if listed {
            self.material.lists.insert(file);
        }
        // Findings of a used file are told with that file, not here; a list is no sheet, and has nobody else to tell them.
        if asked.is_none() || listed {
            let here = |home: Home| Home { file, ..home };
            taken.findings.iter().for_each(|finding| self.sink.adopt(finding.moved(here)));
        }
        self.sources.set_fragments(file, Arc::clone(&taken.fragments));
        self.material.files.insert(file, Arc::clone(&taken.trees));
        let mut document = Arc::clone(&taken.document);
        if asked.is_none() && pictures::shown(&document) {
            pictures::embed(Arc::make_mut(&mut document), self.files, path, file, text.as_str(), &mut self.sink);
        }
        self.documents.insert(file, document);
        Ok(file)
    }

    // Follows every `use` of a file, depth first, and then leaves out those that are part of a ring.
    fn uses(&mut self, root: FileId) {
        let (mut imports, mut opened) = (Vec::new(), BTreeSet::from([root]));
        let mut way = vec![self.wanted(root)];
        while let Some(wanted) = way.last_mut() {
            let Some((home, used)) = wanted.pop_front() else {
                way.pop();
                continue;
            };
            let (from, span, written) = (home.file, home.span(used.path.at), used.path.text);
            let target = self.sources.file(from).and_then(|file| file.path.beside(&written));
            let Some(target) = target else {
                self.sink.push(span, &FileOutsideProject { path: written });
                continue;
            };
            let Ok(to) = self.open(&target, Some((span, from))) else { continue };
            if let Some(pinned) = &used.pinned {
                self.held(to, home.span(pinned.at), &pinned.text, &written);
            }
            imports.push(Import { from, span, written, to });
            if opened.insert(to) {
                way.push(self.wanted(to));
            }
        }
        let imports = Imports::new(imports);
        let path = |file: FileId| self.sources.file(file).map(|file| file.path.clone());
        let mut told = BTreeSet::from([imports.group(root)]);
        let mut rings: Vec<&Import> = imports.all().iter().filter(|import| imports.in_ring(import)).collect();
        // The ring that the document is part of is told where it enters it; any other once, at the first of its files.
        rings.sort_by_key(|import| (path(import.from), import.span));
        for import in rings {
            if import.from == root || told.insert(imports.group(import.from)) {
                let ring = imports.ring(import, path).into_iter().filter_map(path);
                self.sink.push(import.span, &UseCycle { ring: ring.map(|path| path.to_string()).collect() });
            }
        }
        for import in imports.all().iter().filter(|import| !imports.in_ring(import)) {
            self.material.uses.insert((import.from, import.written.clone()), import.to);
        }
    }

    // The `use` statements of a file, in their order.
    fn wanted(&self, file: FileId) -> VecDeque<(Home, Use)> {
        let trees = self.material.files.get(&file);
        let statements = trees.iter().flat_map(|trees| &trees.fences).flat_map(|(fragment, ast)| {
            let home = Home::fragment(file, *fragment);
            ast.statements.iter().filter_map(move |statement| match statement {
                Statement::Use(used) => Some((home, used.clone())),
                _ => None,
            })
        });
        statements.collect()
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

// A file as it stands alone, with number 0.
fn take_apart(text: &str, listed: bool, memo: &mut Memo) -> Taken {
    let file = FileId(0);
    let mut sink = Sink::new();
    let mut document = if listed { list(text, file, &mut sink) } else { document::read(text, file, &mut sink) };
    let mut trees = FileTrees::default();
    for piece in &document.pieces {
        match piece {
            Piece::Rig { fragment, .. } => {
                let here = Home::fragment(file, *fragment);
                let text = document.fragments.get(*fragment as usize).map_or("", |fragment| fragment.text());
                let fence = memo.fence(text, || read_alone(|home, sink| Arc::new(syntax::parse(text, home, sink))));
                fence.findings.iter().for_each(|finding| sink.adopt(finding.moved(|_| here)));
                trees.fences.push((*fragment, Arc::clone(&fence.tree)));
            }
            Piece::Prose(runs) => {
                for run in runs {
                    let Run::Value { fragment } = run else { continue };
                    let here = Home::fragment(file, *fragment);
                    let text = document.fragments.get(*fragment as usize).map_or("", |fragment| fragment.text());
                    let value = memo.value(text, || read_alone(|home, sink| syntax::inline(text, home, sink)));
                    value.findings.iter().for_each(|finding| sink.adopt(finding.moved(|_| here)));
                    trees.inlines.extend(value.tree.clone().map(|stated| (*fragment, stated)));
                }
            }
        }
    }
    let fragments = std::mem::take(&mut document.fragments).into();
    Taken { document: Arc::new(document), fragments, trees: Arc::new(trees), findings: sink.into_sorted() }
}

// Places in a fence are counted from it, so its tree and its findings serve wherever it stands.
fn read_alone<T>(read: impl FnOnce(Home, &mut Sink) -> T) -> Fence<T> {
    let mut sink = Sink::new();
    let tree = read(Home::fragment(FileId(0), 0), &mut sink);
    Fence { tree, findings: sink.into_sorted() }
}

pub(super) fn is_list(path: &SheetPath) -> bool {
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
