//! What moves with a value: results and checks, by how much for one standard uncertainty of it. The slopes are the exact ones
//! that doubts are carried by.

use crate::diagnostics::nearest;
use crate::model::tree::{EntryId, Shape, Tree, TreeForm};
use crate::model::{Entry, Material, Model, Owner, Role};
use crate::program::{Evaluation, worked_with};
use crate::sheet::budgets::{self, BudgetsAsked, item_of};
use crate::sheet::build::style;
use crate::sheet::figures::Printed;
use crate::sheet::impact_parts::{Impact, NoSuchValue, StepTaken};
use crate::sheet::inputs;
use crate::sheet::moved::{self, Shift, Target};
use crate::sheet::named::names;
use crate::sheet::working::Setter;
use crate::source::{FileId, Sources, Span};
use crate::syntax::ast::Statement;
use std::collections::BTreeSet;

/// Where a step is taken.
pub struct Grounds<'g> {
    /// All files.
    pub sources: &'g Sources,
    /// The document's own file.
    pub file: FileId,
    /// Its trees, for what has to be worked anew.
    pub material: &'g Material,
    /// Its names.
    pub model: &'g Model,
    /// Its values.
    pub evaluation: &'g Evaluation,
    /// The title of the document, where its head states none.
    pub title: &'g str,
}

/// Where a value is written, so that it is found again in a sheet that uses that file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    // The file and the place of what it belongs to, a machine or itself, and its own.
    owner: (String, Place),
    own: (String, Place),
    name: String,
    // Which item of a list, from 0.
    item: usize,
}

impl Written {
    /// The file that states it: of what a machine works, the one that states the machine.
    pub fn file(&self) -> &str {
        &self.owner.0
    }
}

// A fence of a file and the stretch in it.
type Place = (Option<u32>, u32, u32);

/// The share of a value without doubt that it is moved by.
const HUNDREDTH: f64 = 0.01;

/// What `name` of this sheet is, what it rests on and what moves with it, and where it is written.
///
/// # Errors
/// When no value goes by that name: what may have been meant.
pub fn impact(grounds: &Grounds<'_>, name: &str) -> Result<(Impact, Option<Written>), NoSuchValue> {
    with_setter(grounds, |setter| {
        let names = every_name(setter);
        // A name of a used file may be written as in a formula, with the name that the file goes by here.
        let (file, name) = aliased(grounds, name);
        let (base, item) = item_of(name);
        let (exact, listed) = (find(grounds, &names, file, name), find(grounds, &names, file, base));
        let Some((known, id)) = exact.or(listed) else { return Err(unknown(base, &names)) };
        let entry = setter.model.entry(*id);
        let item = item.filter(|_| exact.is_none());
        let count = setter.evaluation.program.entries.get(id.0).map_or(0, Vec::len);
        let place = match (item, entry.shape) {
            (None, Shape::Single) => Some(0),
            (None, Shape::List { .. }) => None,
            (Some(_), Shape::Single) => {
                return Err(no(format!("`{base}` is one value, not a list"), format!("ask for `{base}`")));
            }
            (Some(item), _) if item == 0 || item > count => {
                return Err(no(format!("`{base}` has no item {item}"), format!("its items are counted from 1 to {count}")));
            }
            (Some(item), _) => Some(item - 1),
        };
        let said = if exact.is_some() || item.is_none() { known.clone() } else { name.to_string() };
        let target = Target { ids: vec![*id], item: place, name: said };
        let written = place.map(|item| written(grounds, *id, item));
        Ok((described(grounds, setter, &names, &target), written))
    })
}

/// The same for the value that is `written` somewhere, as this sheet uses it; none where it does not.
pub fn impact_of(grounds: &Grounds<'_>, wanted: &Written) -> Option<Impact> {
    with_setter(grounds, |setter| {
        let names = every_name(setter);
        let entries = setter.model.entries.iter().enumerate().map(|(at, entry)| (EntryId(at), entry));
        let named = |entry: &Entry| entry.name == wanted.name || entry.name.ends_with(&format!(".{}", wanted.name));
        let ids: Vec<EntryId> = entries
            .filter(|(_, entry)| named(entry))
            .map(|(id, _)| id)
            .filter(|id| {
                let found = written(grounds, *id, wanted.item);
                (found.owner, found.own) == (wanted.owner.clone(), wanted.own.clone())
            })
            .collect();
        let first = setter.model.entry(*ids.first()?);
        let name = if first.shape == Shape::Single { first.name.clone() } else { format!("{}[{}]", first.name, wanted.item + 1) };
        Some(described(grounds, setter, &names, &Target { ids, item: Some(wanted.item), name }))
    })
}

fn with_setter<T>(grounds: &Grounds<'_>, make: impl FnOnce(&Setter<'_>) -> T) -> T {
    let model = grounds.model;
    let style = style(model, grounds.evaluation);
    let printed = Printed::new(model, grounds.evaluation, style);
    make(&Setter { model, evaluation: grounds.evaluation, style, brief: false, inside: None, printed: &printed })
}

// The file that `name` begins with the name of, in this sheet or in a file that goes by a name there, and what it calls there.
fn aliased<'n>(grounds: &Grounds<'_>, name: &'n str) -> (FileId, &'n str) {
    let (mut file, mut name) = (grounds.file, name);
    while let Some((first, rest)) = name.split_once('.') {
        let trees = grounds.material.files.get(&file);
        let uses =
            trees.iter().flat_map(|trees| &trees.fences).flat_map(|(_, tree)| &tree.statements).filter_map(|statement| match statement {
                Statement::Use(used) => used.name.as_ref().filter(|alias| alias.text == first).map(|_| used.path.text.clone()),
                _ => None,
            });
        let Some(used) = uses.into_iter().find_map(|path| grounds.material.uses.get(&(file, path)).copied()) else { break };
        (file, name) = (used, rest);
    }
    (file, name)
}

// Names of used files stand beside those of the sheet; of two that are the same the one of the file that is meant goes first.
fn find<'n>(grounds: &Grounds<'_>, names: &'n [(String, EntryId)], file: FileId, name: &str) -> Option<&'n (String, EntryId)> {
    let home = |id: EntryId| owner_of(grounds.model, grounds.model.entry(id)).home.file;
    let named = || names.iter().filter(|(known, _)| known == name);
    // One that is told apart from another stands with the name of its file before its own.
    let behind = format!(".{name}");
    let told_apart = || names.iter().filter(|(known, _)| file != grounds.file && known.ends_with(&behind));
    let own = named().chain(told_apart()).find(|(_, id)| home(*id) == file);
    own.or_else(|| named().next().filter(|_| file == grounds.file))
}

// Beside the names that a sheet lists, its gravity and its readings can be asked for.
fn every_name(setter: &Setter<'_>) -> Vec<(String, EntryId)> {
    let mut all = names(setter);
    let known: BTreeSet<String> = all.iter().map(|(name, _)| name.clone()).collect();
    let others = setter.model.entries.iter().enumerate().filter(|(_, entry)| matches!(entry.role, Role::Reading | Role::Gravity { .. }));
    all.extend(others.filter(|(_, entry)| !known.contains(&entry.name)).map(|(at, entry)| (entry.name.clone(), EntryId(at))));
    all
}

fn no(what: String, help: String) -> NoSuchValue {
    NoSuchValue { what, help }
}

fn unknown(name: &str, names: &[(String, EntryId)]) -> NoSuchValue {
    let near = nearest(name, names.iter().map(|(name, _)| name.as_str()));
    // Whoever leaves out whose value it is finds it by its end.
    let behind = format!(".{name}");
    let mut near: Vec<&str> = if near.is_empty() {
        names.iter().map(|(name, _)| name.as_str()).filter(|known| known.ends_with(&behind)).take(3).collect()
    } else {
        near
    };
    if near.is_empty() {
        near = names.iter().map(|(name, _)| name.as_str()).filter(|known| known.starts_with(&format!("{name}."))).take(3).collect();
    }
    let help = match near.as_slice() {
        [] => "`show` prints every value with its name".to_string(),
        near => format!("near it are `{}`", near.join("`, `")),
    };
    no(format!("no value of this sheet is called `{name}`"), help)
}

// Where an entry is written: what it belongs to, and it itself. A relation of a kind stands in the kind, once for all machines.
fn written(grounds: &Grounds<'_>, id: EntryId, item: usize) -> Written {
    let entry = grounds.model.entry(id);
    let at = |span: Span| {
        let path = grounds.sources.file(span.home.file).map(|file| file.path.to_string()).unwrap_or_default();
        (path, (span.home.fragment, span.start, span.end))
    };
    Written { owner: at(owner_of(grounds.model, entry)), own: at(entry.span), name: entry.name.clone(), item }
}

fn owner_of(model: &Model, entry: &Entry) -> Span {
    let machine = |at: usize| model.machines.get(at).map(|machine| machine.span);
    let owner = match entry.owner {
        Owner::Sheet | Owner::Used => None,
        Owner::Machine(at) => machine(at),
        Owner::Instance(at) => model.instances.get(at).and_then(|instance| machine(instance.machine)),
        Owner::Train(at) => model.trains.get(at).map(|train| train.span),
        Owner::Readings(at) => model.readings.get(at).map(|readings| readings.span),
    };
    owner.unwrap_or(entry.span)
}

fn described(grounds: &Grounds<'_>, setter: &Setter<'_>, names: &[(String, EntryId)], target: &Target) -> Impact {
    let model = setter.model;
    let id = target.ids.first().copied().unwrap_or(EntryId(0));
    let entry = model.entry(id);
    let start = grounds.sources.in_file(entry.span).start;
    let source = grounds.sources.file(entry.span.home.file);
    let input = rests_on_nothing(entry);
    let value = target.item.and_then(|item| setter.printed.of(id).get(item).cloned());
    let (step, remark) = step(setter, target, id);
    let mut impact = Impact {
        path: grounds.sources.file(grounds.file).map(|file| file.path.to_string()).unwrap_or_default(),
        number: model.head.number.clone(),
        title: if model.head.title.is_empty() { grounds.title.to_string() } else { model.head.title.clone() },
        name: target.name.clone(),
        part: part(entry, input).into(),
        row: inputs::row(setter, id),
        value,
        formula: (!input).then(|| setter.formula(&entry.value)),
        file: source.map(|file| file.path.to_string()).unwrap_or_default(),
        line: source.map_or(1, |file| file.text.lines().line_of(start)),
        step: None,
        remark,
        checks: Vec::new(),
        results: Vec::new(),
        inside: Vec::new(),
        inputs: inputs_behind(setter, id),
        worked_from: direct(model, &entry.value).into_iter().map(|id| model.entry(id).name.clone()).collect(),
        used_by: used_by(model, names, &target.ids),
        budget: if input { None } else { budget(setter, names, target) },
    };
    if let (Some((sort, si)), Some(item)) = (step, target.item) {
        let shift = match sort {
            Sort::More => Shift::anew(worked_with(grounds.file, grounds.material, model, id, si + 1.0)),
            Sort::Doubt | Sort::Hundredth => Shift::small(setter, target, item, si),
        };
        let si = if sort == Sort::More { 1.0 } else { si };
        let printed = impact.value.as_ref().map(|value| moved::signed(&budgets::in_unit_of(value, si))).unwrap_or_default();
        impact.step = Some(StepTaken { sort: sort.words().into(), text: printed, si });
        impact.checks = moved::checks(setter, &shift);
        // The doubt of a worked value is not apart from that of others, so it has no share of theirs.
        (impact.results, impact.inside) = moved::results(setter, names, target, &shift, input && sort == Sort::Doubt);
    }
    impact
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sort {
    Doubt,
    Hundredth,
    More,
}

impl Sort {
    fn words(self) -> &'static str {
        match self {
            Sort::Doubt => "standard uncertainty",
            Sort::Hundredth => "one per cent",
            Sort::More => "one more",
        }
    }
}

// The step that a value is moved by, in SI units, or of a count its present value; and what is to be known of it.
fn step(setter: &Setter<'_>, target: &Target, id: EntryId) -> (Option<(Sort, f64)>, String) {
    let count = setter.evaluation.program.entries.get(id.0).map_or(0, Vec::len);
    let Some(item) = target.item else {
        let example = format!("{}[{}]", target.name, count.min(2));
        return (None, format!("It is a list of {count} items; ask for one of them, `{example}`, to see what moves with it."));
    };
    let found = setter.evaluation.entry(id).and_then(|found| found.get(item).copied());
    let Some(found) = found else { return (None, "It could not be worked, so nothing can be said of what moves with it.".into()) };
    if found.uncertainty > 0.0 {
        let mut remark = String::new();
        if setter.model.correlations.iter().any(|stated| [stated.first, stated.second].iter().any(|one| target.ids.contains(one))) {
            remark += "Inputs that are correlated with it stay as they are.";
        }
        return (Some((Sort::Doubt, found.uncertainty)), remark);
    }
    if found.value == 0.0 {
        return (None, "It is nought and states no doubt, so there is no step to take.".into());
    }
    if setter.model.is_counted(id) && found.value >= 1.0 {
        return (
            Some((Sort::More, found.value)),
            "It states no doubt and is a whole number: the sheet is worked anew with one more.".into(),
        );
    }
    (
        Some((Sort::Hundredth, found.value.abs() * HUNDREDTH)),
        "It states no doubt; what follows is for 1 % of it, not for an uncertainty.".into(),
    )
}

/// Whether an entry is stated as it stands and not worked from others.
pub(super) fn rests_on_nothing(entry: &Entry) -> bool {
    let mut rests = false;
    entry.value.each_entry(&mut |_| rests = true);
    inputs::is_stated(entry) && !rests && !matches!(entry.role, Role::Passed) && !matches!(entry.value.form, TreeForm::Sought(_))
}

fn part(entry: &Entry, input: bool) -> &'static str {
    match entry.role {
        Role::Take | Role::Travel { given: true } => "an input",
        Role::Assume => "an assumption",
        Role::Gravity { declared: true } => "the gravity of the sheet",
        Role::Gravity { declared: false } | Role::Travel { given: false } => "taken by convention",
        Role::Rating if input => "what is stated of a piece of gear",
        Role::Rating => "worked from what is stated of a piece of gear",
        Role::Instrument => "what is stated of an instrument",
        Role::Field { given: true } => "a setting of a machine",
        Role::Field { given: false } => "a default of a kind",
        Role::Reading => "a reading",
        Role::Working => "a line of working",
        Role::Law => "a part of a law",
        Role::Relation | Role::Node | Role::Passed if matches!(entry.owner, Owner::Readings(_)) => "worked from readings",
        Role::Relation | Role::Node | Role::Passed => "worked by a machine",
    }
}

// What stands in `tree`, through what is only passed on; each once.
fn direct(model: &Model, tree: &Tree) -> Vec<EntryId> {
    let (mut found, mut seen) = (Vec::new(), BTreeSet::new());
    let mut open = Vec::new();
    model.each_behind(tree, &mut |id| open.push(id));
    open.reverse();
    while let Some(id) = open.pop() {
        if !seen.insert(id) {
            continue;
        }
        let entry = model.entry(id);
        if entry.role == Role::Passed {
            model.each_behind(&entry.value, &mut |id| open.push(id));
        } else {
            found.push(id);
        }
    }
    found
}

// Every input behind an entry, in the order of the sheet.
fn inputs_behind(setter: &Setter<'_>, id: EntryId) -> Vec<crate::sheet::parts::InputRow> {
    let model = setter.model;
    let mut seen = BTreeSet::new();
    let mut open = vec![id];
    while let Some(at) = open.pop() {
        let entry = model.entry(at);
        let mut behind = |other: EntryId| {
            if seen.insert(other) {
                open.push(other);
            }
        };
        model.each_behind(&entry.value, &mut behind);
        if let Some(range) = &entry.index {
            range.first_written.each_entry(&mut behind);
            range.last_written.each_entry(&mut behind);
        }
    }
    seen.remove(&id);
    seen.into_iter().filter(|id| rests_on_nothing(model.entry(*id))).map(|id| inputs::row(setter, id)).collect()
}

fn used_by(model: &Model, names: &[(String, EntryId)], ids: &[EntryId]) -> Vec<String> {
    let uses = |tree: &Tree| direct(model, tree).iter().any(|id| ids.contains(id));
    let (mut told, mut seen) = (Vec::new(), BTreeSet::new());
    for (name, id) in names {
        let entry = model.entry(*id);
        let ranged = entry.index.as_ref().is_some_and(|range| uses(&range.first_written) || uses(&range.last_written));
        if !ids.contains(id) && seen.insert(*id) && (ranged || uses(&entry.value)) {
            told.push(name.clone());
        }
    }
    let checks = model.checks.iter().filter(|check| uses(&check.left) || uses(&check.right));
    told.extend(checks.map(|check| format!("check \"{}\"", check.title)));
    let agreements = model.agreements.iter().filter(|stated| uses(&stated.predicted) || uses(&stated.measured));
    told.extend(agreements.map(|stated| format!("agreement \"{}\"", stated.title)));
    told
}

fn budget(setter: &Setter<'_>, names: &[(String, EntryId)], target: &Target) -> Option<crate::sheet::parts::Budget> {
    target.item?;
    let mut made = budgets::asked(setter, &BudgetsAsked::Named(vec![target.name.clone()]), names);
    made.truncate(1);
    made.pop().filter(|budget| !budget.rows.is_empty())
}
