//! A document, its model and its evaluation put together into a sheet.

use crate::diagnostics::{Diagnostic, Severity};
use crate::document::{Document, Piece, Run};
use crate::model::dates::Day;
use crate::model::revisions::Revised;
use crate::model::tree::EntryId;
use crate::model::{Model, Owner, Placed, Role};
use crate::program::Evaluation;
use crate::program::draws::Propagated;
use crate::program::studies::Outcome;
use crate::sheet::agreements;
use crate::sheet::brief::{self, Detail};
use crate::sheet::budgets::{self, BudgetsAsked};
use crate::sheet::checks;
use crate::sheet::correlations;
use crate::sheet::digests::digest;
use crate::sheet::draws;
use crate::sheet::exercises;
use crate::sheet::figures::{self, Printed, Style};
use crate::sheet::five_lines::answer;
use crate::sheet::inputs;
use crate::sheet::kinds;
use crate::sheet::laws;
use crate::sheet::machines::{self, Numbering};
use crate::sheet::moves;
use crate::sheet::named::{names, values};
use crate::sheet::notice::notices;
use crate::sheet::parts::{
    Block, CautionRow, Cell, GearRow, Heading, HouseStyle, KindReport, Notice, RevisionRow, SCHEMA, Sheet, SignOff, Symbol, TitleBlock,
    ToolRecord, WorkingLine,
};
use crate::sheet::readings;
use crate::sheet::studies;
use crate::sheet::symbols::{anchor, symbol};
use crate::sheet::tongues;
use crate::sheet::working::Setter;
use crate::source::{FileId, Home, Sources, Span};
use crate::units::System;
use crate::words::{date, say, word};
use std::borrow::Cow;
use std::collections::BTreeMap;

/// The line that says whose word outranks a sheet.
fn deference() -> &'static str {
    say!(
        "This sheet computes static forces from the figures shown. It does not inspect gear, ground or people, and it gives way to local codes, the makers' instructions and the judgement of a licensed or qualified person."
    )
}

/// What a sheet is built from.
pub struct Work<'w> {
    /// All files.
    pub sources: &'w Sources,
    /// The document's own file.
    pub file: FileId,
    /// Its prose and fences.
    pub document: &'w Document,
    /// Its names.
    pub model: &'w Model,
    /// Its values.
    pub evaluation: &'w Evaluation,
    /// What came of its studies.
    pub studies: &'w [Outcome],
    /// What its draws came to.
    pub draws: &'w [Option<Propagated>],
    /// Its findings.
    pub findings: &'w [Diagnostic],
    /// The budgets it is to have besides those of its checks.
    pub budgets: &'w BudgetsAsked,
    /// The day that it is looked at on, where one was given.
    pub day: Option<Day>,
    /// How much of it is to be made.
    pub detail: Detail,
}

/// Builds the sheet as its page has it, with the texts marked that are in another language than the page.
pub fn build_as_set(work: &Work<'_>) -> Sheet {
    let Some(model) = tongues::marked(work.model) else { return build(work) };
    let mut sheet = build(&Work { model: &model, ..*work });
    tongues::mark_sheet(&mut sheet);
    sheet
}

/// Builds the sheet.
pub fn build(work: &Work<'_>) -> Sheet {
    let model = work.model;
    let style = style(model, work.evaluation);
    let printed = Printed::new(model, work.evaluation, style);
    let brief = work.detail == Detail::Brief;
    let setter = Setter { model, evaluation: work.evaluation, style, brief, inside: None, printed: &printed };
    let mut builder = Builder {
        setter: &setter,
        work,
        notices: notices(work.findings, work.sources),
        numbering: Numbering { next: 0 },
        kinds: Vec::new(),
        machines: Vec::new(),
        trains: Vec::new(),
        studies: Vec::new(),
        readings: Vec::new(),
        laws: Vec::new(),
        exercises: Vec::new(),
        propagations: Vec::new(),
        machine_places: BTreeMap::new(),
        gear: Vec::new(),
        instruments: Vec::new(),
    };
    let checks = checks::rows(&setter, work.sources, work.day);
    let blocks = builder.blocks();
    let complete = !work.findings.iter().any(|finding| finding.severity == Severity::Error);
    let (inputs, assumptions) = registers(&setter);
    let path = work.sources.file(work.file).map(|file| file.path.to_string()).unwrap_or_default();
    let title_block = title_block(work, &path);
    let names = names(&setter);
    let moves = if brief { Vec::new() } else { moves::rows(&setter, &names) };
    let asked = budgets::asked(&setter, work.budgets, &names);
    let mut sheet = Sheet {
        schema: SCHEMA,
        path,
        title_block,
        status: String::new(),
        sign_off: SignOff::default(),
        complete,
        left_out: if brief { brief::left_out().into() } else { String::new() },
        answer: Vec::new(),
        outline: work
            .document
            .outline
            .iter()
            .map(|heading| Heading { level: heading.level, text: heading.text.clone(), anchor: heading.anchor.clone() })
            .collect(),
        blocks,
        inputs,
        assumptions,
        gear: builder.gear,
        instruments: builder.instruments,
        correlations: correlations::rows(&setter),
        kinds: builder.kinds,
        machines: builder.machines,
        trains: builder.trains,
        studies: builder.studies,
        readings: builder.readings,
        laws: builder.laws,
        agreements: agreements::rows(&setter),
        exercises: builder.exercises,
        propagations: builder.propagations,
        coverage: checks::coverage(style.coverage),
        decision_rule: if checks.is_empty() && model.entries.iter().all(|entry| entry.doubts.is_empty()) {
            String::new()
        } else {
            checks::rule(model, work.evaluation) + &checks::dates(model, work.day)
        },
        checks,
        budgets: if brief { Vec::new() } else { budgets::budgets(&setter) },
        moves,
        asked,
        nomenclature: if brief { Vec::new() } else { nomenclature(&setter) },
        revisions: revisions(model),
        cautions: cautions(model),
        deference: if model.machines.is_empty() && model.checks.is_empty() { String::new() } else { deference().into() },
        notices: builder.notices,
        values: values(&setter, names),
        record: record(work),
        house: HouseStyle::default(),
        as_set: None,
    };
    sheet.answer = answer(&sheet);
    sheet
}

struct Builder<'b> {
    setter: &'b Setter<'b>,
    work: &'b Work<'b>,
    notices: Vec<Notice>,
    numbering: Numbering,
    kinds: Vec<KindReport>,
    machines: Vec<crate::sheet::parts::MachineReport>,
    trains: Vec<crate::sheet::parts::TrainReport>,
    studies: Vec<crate::sheet::parts::StudyReport>,
    readings: Vec<crate::sheet::parts::ReadingsReport>,
    laws: Vec<crate::sheet::parts::LawReport>,
    exercises: Vec<crate::sheet::parts::ExerciseReport>,
    propagations: Vec<crate::sheet::parts::PropagationReport>,
    machine_places: BTreeMap<usize, usize>,
    gear: Vec<GearRow>,
    instruments: Vec<GearRow>,
}

impl Builder<'_> {
    fn blocks(&mut self) -> Vec<Block> {
        let mut blocks = Vec::new();
        for piece in &self.work.document.pieces {
            match piece {
                Piece::Prose(runs) => blocks.push(Block::Prose { html: self.prose(runs) }),
                Piece::Rig { fragment, .. } => self.fence(*fragment, &mut blocks),
            }
        }
        blocks
    }

    fn prose(&self, runs: &[Run]) -> String {
        let mut html = String::new();
        for run in runs {
            match run {
                Run::Html(part) => html.push_str(part),
                Run::Value { fragment } => html.push_str(&self.inline(*fragment)),
            }
        }
        html
    }

    fn inline(&self, fragment: u32) -> String {
        let inline = self.setter.model.inlines.get(&fragment);
        let inlines = &self.setter.evaluation.program.inlines;
        let place = inlines.binary_search_by_key(&fragment, |(at, _)| *at).ok().and_then(|at| inlines.get(at)?.1);
        let figure = inline.zip(place).filter(|(inline, _)| self.setter.evaluation.knows(&inline.value)).and_then(|(inline, place)| {
            if let crate::model::tree::TreeForm::Entry(id) = &inline.value.form
                && inline.shown_in == self.setter.model.entry(*id).shown_in
            {
                return self.setter.printed.of(*id).first().cloned();
            }
            Some(figures::figure_in(
                self.setter.evaluation.at(place)?,
                inline.value.quantity,
                inline.shown_in.as_ref(),
                inline.asked,
                self.setter.style,
            ))
        });
        match figure {
            Some(figure) => format!("<span class=\"value\">{}</span>", escape(&figure.text)),
            None => {
                let text = self.work.sources.text_of(Home::fragment(self.work.file, fragment));
                format!("<span class=\"value missing\">{} <code>{}</code></span>", say!("not worked:"), escape(text.trim()))
            }
        }
    }

    fn fence(&mut self, fragment: u32, blocks: &mut Vec<Block>) {
        let placed = self.setter.model.layout.get(&fragment).cloned().unwrap_or_default();
        let brief = self.setter.brief;
        for placed in placed {
            match placed {
                // The registers say it, and nothing between needs it.
                Placed::Input(_) | Placed::Check(_) | Placed::Kind { .. } if brief => {}
                Placed::Working(id) if brief => {
                    let row = brief::row(self.setter, id);
                    match blocks.last_mut() {
                        Some(Block::Results { rows }) => rows.push(row),
                        _ => blocks.push(Block::Results { rows: vec![row] }),
                    }
                }
                Placed::Input(id) => {
                    let row = inputs::row(self.setter, id);
                    match blocks.last_mut() {
                        Some(Block::Inputs { rows }) => rows.push(row),
                        _ => blocks.push(Block::Inputs { rows: vec![row] }),
                    }
                }
                Placed::Gear(at) => {
                    let Some(row) = inputs::gear(self.setter, at) else { continue };
                    self.gear.push(row.clone());
                    match blocks.last_mut() {
                        Some(Block::Gear { rows }) => rows.push(row),
                        _ => blocks.push(Block::Gear { rows: vec![row] }),
                    }
                }
                Placed::Instrument(at) => {
                    let Some(row) = inputs::instrument(self.setter, at) else { continue };
                    self.instruments.push(row.clone());
                    match blocks.last_mut() {
                        Some(Block::Instruments { rows }) => rows.push(row),
                        _ => blocks.push(Block::Instruments { rows: vec![row] }),
                    }
                }
                Placed::Correlation(at) => match blocks.last_mut() {
                    Some(Block::Correlations { indices }) => indices.push(at),
                    _ => blocks.push(Block::Correlations { indices: vec![at] }),
                },
                Placed::Working(id) => {
                    let line: WorkingLine = self.setter.line(id, self.numbering.take().to_string());
                    match blocks.last_mut() {
                        Some(Block::Working { lines }) => lines.push(line),
                        _ => blocks.push(Block::Working { lines: vec![line] }),
                    }
                }
                Placed::Machine(at) => {
                    let instances = self.setter.model.machines.get(at).map(|machine| machine.instances.clone()).unwrap_or_default();
                    for instance in instances {
                        if let Some(mut report) = machines::machine(self.setter, instance, self.work.sources, &mut self.numbering) {
                            report.kind_path = self.kind_path(at);
                            self.machines.push(report);
                            self.machine_places.insert(instance, self.machines.len() - 1);
                            blocks.push(Block::Machine { index: self.machines.len() - 1 });
                        }
                    }
                }
                Placed::Train(at) => {
                    if let Some(report) = machines::train(self.setter, at, &mut self.numbering) {
                        self.trains.push(report);
                        blocks.push(Block::Train { index: self.trains.len() - 1 });
                    }
                }
                Placed::Check(at) => match blocks.last_mut() {
                    Some(Block::Checks { indices }) => indices.push(at),
                    _ => blocks.push(Block::Checks { indices: vec![at] }),
                },
                Placed::Study(at) => match studies::report(self.setter, self.work, at, self.studies.len() + 1) {
                    Some(report) => {
                        self.studies.push(report);
                        blocks.push(Block::Study { index: self.studies.len() - 1 });
                    }
                    None => {
                        let Some(span) = self.setter.model.studies.get(at).map(|study| study.span) else { continue };
                        let notices = self.notices_within(span);
                        blocks.push(Block::Broken { source: self.text(span), notices });
                    }
                },
                Placed::Readings(at) => {
                    if let Some(report) = readings::report(self.setter, self.work, at, &mut self.numbering) {
                        self.readings.push(report);
                        blocks.push(Block::Readings { index: self.readings.len() - 1 });
                    }
                }
                Placed::Law(at) => match laws::report(self.setter, at, self.laws.len() + 1) {
                    Some(report) => {
                        self.laws.push(report);
                        blocks.push(Block::Law { index: self.laws.len() - 1 });
                    }
                    None => {
                        let Some(span) = self.setter.model.laws.get(at).map(|law| law.span) else { continue };
                        let notices = self.notices_within(span);
                        blocks.push(Block::Broken { source: self.text(span), notices });
                    }
                },
                Placed::Agreement(at) => match blocks.last_mut() {
                    Some(Block::Agreements { indices }) => indices.push(at),
                    _ => blocks.push(Block::Agreements { indices: vec![at] }),
                },
                Placed::Exercise(at) => {
                    if let Some(report) = exercises::report(self.setter, at) {
                        self.exercises.push(report);
                        blocks.push(Block::Exercise { index: self.exercises.len() - 1 });
                    }
                }
                Placed::Propagation(at) => match draws::report(self.setter, self.work, at, self.propagations.len() + 1) {
                    Some(report) => {
                        self.propagations.push(report);
                        blocks.push(Block::Propagation { index: self.propagations.len() - 1 });
                    }
                    None => {
                        let Some(span) = self.setter.model.propagations.get(at).map(|stated| stated.span) else { continue };
                        blocks.push(Block::Broken { source: self.text(span), notices: self.notices_within(span) });
                    }
                },
                Placed::Kind { name, label, span, at } => {
                    let Some(written) = self.setter.model.kinds.get(at) else { continue };
                    self.kinds.push(kinds::report(written, self.work.sources));
                    blocks.push(Block::Kind { index: self.kinds.len() - 1, name, label, source: self.text(span) });
                }
                Placed::Broken(span) => {
                    let notices = self.notices_within(span);
                    blocks.push(Block::Broken { source: self.text(span), notices });
                }
            }
        }
    }

    // Whose document describes the kind of a machine; empty for a kind that comes with the program.
    fn kind_path(&self, machine: usize) -> String {
        let Some(file) = self.setter.model.machines.get(machine).map(|machine| machine.kind_file) else { return String::new() };
        let known = file == self.work.file || self.setter.model.used.contains(&file);
        self.work.sources.file(file).filter(|_| known).map(|file| file.path.to_string()).unwrap_or_default()
    }

    fn text(&self, span: Span) -> String {
        let text = self.work.sources.text_of(span.home);
        text.get(span.start as usize..span.end as usize).unwrap_or("").trim_end().to_string()
    }

    fn notices_within(&self, span: Span) -> Vec<usize> {
        let Some(file) = self.work.sources.file(self.work.file) else { return Vec::new() };
        let range = self.work.sources.in_file(span);
        let first = file.text.position(range.start).line;
        let last = file.text.position(range.end.saturating_sub(1).max(range.start)).line;
        let path = file.path.to_string();
        let inside = |notice: &Notice| notice.place.path == path && (first..=last).contains(&notice.place.line);
        self.notices.iter().enumerate().filter(|(_, notice)| inside(notice)).map(|(at, _)| at).collect()
    }
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// How the numbers of this sheet are printed.
pub(super) fn style(model: &Model, evaluation: &Evaluation) -> Style {
    Style { us_customary: model.head.us_customary.unwrap_or_else(|| mostly_us(model)), coverage: evaluation.coverage }
}

fn mostly_us(model: &Model) -> bool {
    let mut us = 0_usize;
    let mut si = 0_usize;
    for entry in &model.entries {
        let stated = matches!(entry.role, Role::Take | Role::Assume | Role::Rating | Role::Field { given: true } | Role::Working);
        if let (true, Some(unit)) = (stated && matches!(entry.value.form, crate::model::tree::TreeForm::Constant(_)), &entry.shown_in) {
            match unit.system {
                System::Us | System::Imperial => us += 1,
                System::Si if !unit.dimension.is_none() => si += 1,
                _ => {}
            }
        }
    }
    us > si
}

fn registers(setter: &Setter<'_>) -> (Vec<crate::sheet::parts::InputRow>, Vec<crate::sheet::parts::InputRow>) {
    let used = gravity_is_used(setter.model);
    let mut taken = Vec::new();
    let mut assumed = Vec::new();
    for (at, entry) in setter.model.entries.iter().enumerate() {
        let id = EntryId(at);
        match entry.role {
            Role::Gravity { .. } if !used.contains(&at) => {}
            Role::Travel { given: false } if !carries(setter.model, entry.owner) => {}
            _ if inputs::is_assumption(entry) => assumed.push(inputs::row(setter, id)),
            Role::Take | Role::Gravity { declared: true } | Role::Travel { given: true } => taken.push(inputs::row(setter, id)),
            _ => {}
        }
    }
    // What is still to be made sure of is read first.
    assumed.sort_by_key(|row| inputs::STATES.iter().position(|state| *state == row.state));
    (taken, assumed)
}

// The travel of a machine that carries nothing is of no interest.
fn carries(model: &Model, owner: Owner) -> bool {
    match owner {
        Owner::Machine(at) => model.machines.get(at).is_some_and(|machine| machine.load.is_some()),
        _ => true,
    }
}

fn gravity_is_used(model: &Model) -> Vec<usize> {
    let all = model.entries.iter().filter(|entry| matches!(entry.role, Role::Gravity { .. })).count();
    let mut used = Vec::new();
    for entry in &model.entries {
        // As a rule there is one, and one of the first lines uses it.
        if used.len() == all {
            break;
        }
        entry.value.each_entry(&mut |id| {
            if matches!(model.entry(id).role, Role::Gravity { .. }) && !used.contains(&id.0) {
                used.push(id.0);
            }
        });
    }
    used
}

fn title_block(work: &Work<'_>, path: &str) -> TitleBlock {
    let head = &work.model.head;
    let title = if !head.title.is_empty() { head.title.clone() } else { work.document.title.clone().unwrap_or_else(|| path.to_string()) };
    TitleBlock {
        number: head.number.clone(),
        title,
        question: head.question.clone(),
        language: head.language.map(|tag| tag.as_str().to_string()).unwrap_or_default(),
        cells: head
            .cells
            .iter()
            .map(|(label, value)| Cell {
                label: word(label).into(),
                value: match label.as_str() {
                    "Date" => date(value),
                    "Duty" => word(value).into(),
                    _ => value.clone(),
                },
            })
            .collect(),
    }
}

fn nomenclature(setter: &Setter<'_>) -> Vec<Symbol> {
    let shown = |entry: &&crate::model::Entry| {
        matches!(entry.owner, Owner::Sheet) && matches!(entry.role, Role::Take | Role::Assume | Role::Working) && !entry.label.is_empty()
    };
    let rows = setter.model.entries.iter().filter(shown).map(|entry| Symbol {
        symbol: symbol(&entry.name, Vec::new()),
        name: entry.name.clone(),
        meaning: entry.label.clone(),
        anchor: anchor(&entry.name),
    });
    rows.collect()
}

fn revisions(model: &Model) -> Vec<RevisionRow> {
    let rows = model.head.revisions.iter().cloned();
    rows.map(|Revised { revision, date, by, why }| RevisionRow { revision, date: crate::words::date(&date), by, why }).collect()
}

fn cautions(model: &Model) -> Vec<CautionRow> {
    let mut rows: Vec<CautionRow> = Vec::new();
    for caution in model.instances.iter().filter(|instance| !instance.beside).flat_map(|instance| &instance.cautions) {
        let (text, source) = &**caution;
        if !rows.iter().any(|row| row.text == *text) {
            rows.push(CautionRow { text: text.clone(), source: source.clone() });
        }
    }
    rows
}

// With one kind of line end.
fn lines_alike(text: &str) -> Cow<'_, str> {
    if text.contains('\r') { text.replace("\r\n", "\n").into() } else { text.into() }
}

fn record(work: &Work<'_>) -> ToolRecord {
    let mut files: Vec<Cell> = std::iter::once(&work.file)
        .chain(&work.model.used)
        .filter_map(|file| work.sources.file(*file))
        .map(|file| Cell { label: file.path.to_string(), value: digest(&lines_alike(file.text.as_str())) })
        .collect();
    let whole: String = files.iter().map(|cell| cell.value.as_str()).collect::<Vec<_>>().join("\n");
    files.sort_by(|a, b| a.label.cmp(&b.label));
    ToolRecord {
        program: env!("CARGO_PKG_NAME").into(),
        version: env!("CARGO_PKG_VERSION").into(),
        digest: digest(&whole),
        calculation: String::new(),
        telling: String::new(),
        files,
    }
}
