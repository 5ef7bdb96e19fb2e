//! One document: what it uses, in what order, and what comes of it.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::files::{FileDenied, FileMissing, FileNotText, FileOutsideProject, FileTooLarge, UseCycle};
use crate::document::{self, Document, Piece, Run};
use crate::engine::{Files, Unreadable};
use crate::model::{FileTrees, KindSource, Material};
use crate::sheet::parts::{Notice, Sheet};
use crate::source::{Extent, FileId, Home, SheetPath, Sources, Span};
use crate::syntax;
use crate::syntax::ast::Statement;
use std::collections::{BTreeMap, BTreeSet};

/// Works one document.
pub(super) fn compile(files: &dyn Files, root: &SheetPath) -> (Option<Sheet>, Vec<Notice>) {
    let mut reading = Reading {
        files,
        sources: Sources::new(),
        material: Material::default(),
        documents: BTreeMap::new(),
        numbers: BTreeMap::new(),
        sink: Sink::new(),
    };
    let file = match reading.open(root, None) {
        Ok(file) => file,
        Err(()) => return (None, crate::sheet::notices(&reading.sink.into_sorted(), &reading.sources)),
    };
    reading.uses(file, &mut Vec::new());
    reading.built_in_kinds();
    let Reading { sources, material, documents, mut sink, .. } = reading;
    let model = crate::model::resolve(file, &material, &mut sink);
    let evaluation = crate::program::run(&model, &mut sink);
    let findings = sink.into_sorted();
    let Some(document) = documents.get(&file) else { return (None, Vec::new()) };
    let work = crate::sheet::Work { sources: &sources, file, document, model: &model, evaluation: &evaluation, findings: &findings };
    let sheet = crate::sheet::build(&work);
    let notices = sheet.notices.clone();
    (Some(sheet), notices)
}

struct Reading<'r> {
    files: &'r dyn Files,
    sources: Sources,
    material: Material,
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
        let document = document::read(text.as_str(), file, sink);
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
        self.sources.set_fragments(file, document.fragments.clone());
        self.material.files.insert(file, trees);
        self.documents.insert(file, document);
        Ok(file)
    }

    // Follows every `use` of a file, depth first. `ring` is the way here, for telling a cycle.
    fn uses(&mut self, file: FileId, ring: &mut Vec<FileId>) {
        ring.push(file);
        let path = self.sources.file(file).map(|file| file.path.clone());
        let mut wanted: Vec<(Span, String)> = Vec::new();
        for (fragment, ast) in self.material.files.get(&file).map(|trees| trees.fences.as_slice()).unwrap_or_default() {
            for statement in &ast.statements {
                if let Statement::Use(used) = statement {
                    wanted.push((Home::fragment(file, *fragment).span(used.path.at), used.path.text.clone()));
                }
            }
        }
        for (span, written) in wanted {
            let Some(target) = path.as_ref().and_then(|path| path.beside(&written)) else {
                self.sink.push(span, &FileOutsideProject { path: written });
                continue;
            };
            let Ok(found) = self.open(&target, Some((span, file))) else { continue };
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

    fn refuse(&mut self, path: &SheetPath, unreadable: &Unreadable, asked: Option<(Span, FileId)>) {
        let span = match asked {
            Some((span, _)) => span,
            None => {
                // A place to point at, though there is no text.
                let file = self.sources.add(path.clone(), crate::source::Text::new(""));
                Home::file(file).span(Extent::default())
            }
        };
        let path = path.to_string();
        match unreadable {
            Unreadable::Missing => {
                self.sink.push(span, &FileMissing { path, used: asked.is_some(), near: Vec::new() });
            }
            Unreadable::NotText { at } => self.sink.push(span, &FileNotText { path, at: (*at + 1).to_string() }),
            Unreadable::TooLarge { bytes, limit } => {
                self.sink.push(span, &FileTooLarge { path, size: mebibytes(*bytes), limit: mebibytes(*limit) })
            }
            Unreadable::Outside => self.sink.push(span, &FileOutsideProject { path }),
            Unreadable::Denied(reason) => self.sink.push(span, &FileDenied { path, reason: reason.clone() }),
        }
    }

    // The kinds that come with the program, as far as a machine asks for them; each is read like any other document.
    fn built_in_kinds(&mut self) {
        let mut words: BTreeSet<&'static str> = BTreeSet::new();
        let mut trained = false;
        for trees in self.material.files.values() {
            for statement in trees.fences.iter().flat_map(|(_, ast)| &ast.statements) {
                match statement {
                    Statement::Machine(_) => words.extend(crate::kinds::words()),
                    Statement::Train(_) => trained = true,
                    Statement::Kind(kind) => words.extend(crate::kinds::words().filter(|word| *word == kind.name.text)),
                    _ => {}
                }
            }
        }
        if !words.is_empty() {
            words.insert("every");
        }
        if trained {
            words.insert("train");
        }
        for word in words {
            let Some(text) = crate::kinds::document(word) else { continue };
            let path = SheetPath::new(&format!("kinds/{word}/kind.md"));
            let mut aside = Sink::new();
            let file = self.sources.add(path, crate::source::Text::new(text));
            let document = document::read(text, file, &mut aside);
            for piece in &document.pieces {
                let Piece::Rig { fragment, .. } = piece else { continue };
                let home = Home::fragment(file, *fragment);
                let text = document.fragments.get(*fragment as usize).map_or("", |fragment| fragment.text());
                if !text.trim_start().starts_with("kind") {
                    continue;
                }
                let ast = syntax::parse(text, home, &mut self.sink);
                for statement in ast.statements {
                    if let Statement::Kind(kind) = statement {
                        self.material.kinds.insert(kind.name.text.clone(), KindSource { kind, home });
                    }
                }
            }
            self.sources.set_fragments(file, document.fragments);
        }
    }
}

fn mebibytes(bytes: u64) -> String {
    format!("{}.{} MiB", bytes >> 20, ((bytes & 0xF_FFFF) * 10) >> 20)
}
