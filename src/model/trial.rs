//! Kinds of the author's own, tried before any machine uses them: laid out once in each direction and with each choice, on
//! stand-ins for what a machine would state. What a machine would have to answer for is left out.

use crate::diagnostics::catalogue::machines::RelationMissing;
use crate::diagnostics::{Diagnostic, Label, Sink};
use crate::model::faults::{NEEDED, USED, defined};
use crate::model::kind_names::names;
use crate::model::machines::{field_quantity, travel_quantity};
use crate::model::quantity::Quantity;
use crate::model::resolve::Resolver;
use crate::model::tree::{Constant, EntryId, Shape, Tree, TreeForm};
use crate::model::{Direction, Ends, FrictionState, KindSource, Machine, Owner, Role, State};
use crate::source::{Extent, FileId, Span};
use crate::syntax::ast::KindItem;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// The counts that stand in for one that a machine would state. A list that is not of whole length with either is at fault;
/// with one alone it may be the count that does not suit it.
const COUNTS: [i64; 2] = [12, 13];

const STATES: [(Direction, FrictionState); 6] = [
    (Direction::Raising, FrictionState::Starting),
    (Direction::Holding, FrictionState::Moving),
    (Direction::Lowering, FrictionState::Moving),
    (Direction::Raising, FrictionState::Moving),
    (Direction::Holding, FrictionState::Starting),
    (Direction::Lowering, FrictionState::Starting),
];

/// Choices, and fields that may be left out, beyond these many are not tried one by one: a kind that has so many must not
/// hold up its sheet.
const MOST: usize = 48;

/// One way to state a machine of the kind.
struct Case {
    choices: Vec<(String, String, String)>,
    fields: BTreeMap<String, EntryId>,
    state: State,
}

impl Resolver<'_> {
    /// Tries the kinds that the sheet and the files it uses write, and puts down what is wrong with each, once: the sheet's
    /// own where it stands, another file's where that file is used.
    pub(super) fn try_kinds(&mut self) {
        let mut elsewhere: BTreeMap<FileId, usize> = BTreeMap::new();
        for source in self.written.clone() {
            // A name that no kind may have has been told; what stands under it is no kind of a machine.
            let name = &source.kind.name.text;
            if crate::kinds::document(name).is_some() && !crate::kinds::words().any(|word| word == name) {
                continue;
            }
            for mut fault in self.faults_of(&source) {
                if !self.kind_faults.insert((fault.primary.span, fault.slug)) {
                    continue;
                }
                if source.home.file != self.root {
                    *elsewhere.entry(source.home.file).or_default() += 1;
                    continue;
                }
                let user =
                    self.model.machines.iter().find(|machine| machine.kind == source.kind.name.text && machine.kind_file == self.root);
                fault.secondary.extend(user.map(|machine| Label { span: machine.span, text: USED.into() }));
                self.sink.adopt(fault);
            }
        }
        for (file, errors) in elsewhere {
            self.used_is_broken(file, errors);
        }
    }

    fn faults_of(&self, source: &KindSource) -> Vec<Diagnostic> {
        let mut sink = Sink::new();
        names(source, &mut sink);
        let readable = |item: &KindItem| !matches!(item, KindItem::Field(field) if field_quantity(field).is_none());
        if source.kind.items.iter().all(readable) {
            let counted = source.kind.items.iter().any(|item| matches!(item, KindItem::Field(field) if field.quantity.text == "count"));
            let [one, other] = COUNTS;
            let mut tried = self.tried(source, one);
            if counted {
                let again = self.tried(source, other);
                let key = |fault: &Diagnostic| (fault.primary.span, fault.slug);
                let both: BTreeSet<(Span, &str)> =
                    again.iter().map(key).filter(|key| tried.iter().any(|fault| (fault.primary.span, fault.slug) == *key)).collect();
                tried.extend(again);
                tried.retain(|fault| fault.slug != "not-a-count" || both.contains(&key(fault)));
            }
            tried.into_iter().for_each(|fault| sink.adopt(fault));
        }
        let mut told = BTreeSet::new();
        // A name that stands too low, or that nobody knows, is one mistake, however it is met.
        sink.into_sorted().into_iter().filter(|fault| told.insert((fault.primary.span, fault.slug))).collect()
    }

    // Lays the kind out in every case and gives the faults that are its own.
    fn tried(&self, source: &KindSource, count: i64) -> Vec<Diagnostic> {
        let mut scratch = self.scratch(source);
        let stand_ins = scratch.stand_ins(source, count);
        let place = source.home.span(source.kind.name.at);
        let is_load = source.kind.items.iter().any(|item| matches!(item, KindItem::Ports(ports) if ports.from.is_none()));
        let needed: &[&str] = if is_load { &["load"] } else { NEEDED };
        let mut missing: BTreeSet<&str> = needed.iter().copied().collect();
        let mut sound = false;
        for case in cases(source, &stand_ins) {
            let at = scratch.model.machines.len();
            let state = case.state;
            let mut machine = Machine {
                name: source.kind.name.text.clone(),
                label: String::new(),
                kind: source.kind.name.text.clone(),
                kind_label: String::new(),
                kind_file: source.home.file,
                ends: Ends { load: Some(Quantity::FORCE), effort: Quantity::FORCE },
                span: place,
                fields: Arc::new(case.fields),
                choices: case.choices,
                broken: false,
                load: None,
                load_travel: None,
                known: None,
                state,
                others: Vec::new(),
                instances: Vec::new(),
            };
            machine.ends = scratch.ends(source, &machine);
            let ends = machine.ends;
            scratch.model.machines.push(machine);
            let load = ends.load.map(|quantity| scratch.stand_in("load", quantity, 1));
            let travel = scratch.stand_in("load_travel", travel_quantity(ends.load.unwrap_or(Quantity::FORCE)), 1);
            let Some(instance) = scratch.elaborate(at, None, "trial".into(), state, load, travel) else { continue };
            if let Some(made) = scratch.model.instances.get(instance) {
                sound |= !made.broken || missing.iter().any(|name| made.members.contains_key(name));
                missing.retain(|name| !made.members.contains_key(name));
            }
        }
        // What is told at the stand-in itself, the machine's own author would have to mend.
        let mut faults = Sink::new();
        let own = |fault: &Diagnostic| fault.primary.span.home == source.home && fault.primary.span != place;
        std::mem::take(&mut scratch.sink).into_sorted().into_iter().filter(own).for_each(|fault| faults.adopt(fault));
        let ever = |name: &str| source.kind.items.iter().any(|item| defined(item).is_some_and(|defined| defined.text == name));
        // A line that could not be read may be the one that gives it.
        let unread = source.kind.items.iter().any(|item| matches!(item, KindItem::Broken(_)));
        let nowhere = |name: &&&str| !ever(name) || (sound && missing.contains(**name));
        for name in needed.iter().filter(nowhere).filter(|_| !unread) {
            let name = (*name).to_string();
            faults.push(place, &RelationMissing { kind: source.kind.name.text.clone(), name, here: false });
        }
        let mut faults: Vec<Diagnostic> = faults.into_sorted();
        faults.iter_mut().for_each(|fault| fault.secondary.retain(|label| label.text != USED));
        faults
    }

    // A resolver that knows the same kinds, `source` among them, and nothing else.
    fn scratch(&self, source: &KindSource) -> Resolver<'_> {
        let mut kinds = self.kinds.clone();
        kinds.insert(source.kind.name.text.clone(), source.clone());
        let mut scratch = Resolver::new(self.material, self.root, kinds);
        scratch.home = source.home;
        scratch.head(None);
        scratch
    }

    fn stand_in(&mut self, name: &str, quantity: Quantity, value: i64) -> EntryId {
        let span = self.home.span(Extent::default());
        let form = TreeForm::Constant(Constant { si: value as f64, parts: vec![(value.to_string(), None)] });
        let value = Tree { form, span, quantity, shape: Shape::Single };
        let mut entry = self.plain_entry(name, value, Role::Field { given: true }, span);
        entry.owner = Owner::Machine(0);
        self.model.push(entry)
    }

    fn stand_ins(&mut self, source: &KindSource, count: i64) -> BTreeMap<String, EntryId> {
        let fields = source.kind.items.iter().filter_map(|item| if let KindItem::Field(field) = item { Some(field) } else { None });
        let found: Vec<_> = fields.filter_map(|field| Some((field, field_quantity(field)?))).collect();
        found
            .into_iter()
            .map(|(field, quantity)| {
                let value = if field.quantity.text == "count" { count } else { 1 };
                (field.name.text.clone(), self.stand_in(&field.name.text, quantity, value))
            })
            .collect()
    }
}

// Every choice once, with nothing stated that may be left out and with everything; and each optional field alone.
fn cases(source: &KindSource, stand_ins: &BTreeMap<String, EntryId>) -> Vec<Case> {
    let options: Vec<_> =
        source.kind.items.iter().filter_map(|item| if let KindItem::Choice(choice) = item { Some(choice) } else { None }).collect();
    let usual: Vec<(String, String, String)> = options
        .iter()
        .filter_map(|option| {
            let choice = option.default.as_ref().or(option.choices.first())?;
            Some((option.name.text.clone(), String::new(), choice.text.clone()))
        })
        .collect();
    let mut chosen = vec![usual.clone()];
    for option in &options {
        for choice in &option.choices {
            let mut other = usual.clone();
            let Some(slot) = other.iter_mut().find(|(name, ..)| *name == option.name.text) else { continue };
            if slot.2 != choice.text {
                slot.2 = choice.text.clone();
                chosen.push(other);
            }
        }
    }
    let optional: Vec<&str> = source
        .kind
        .items
        .iter()
        .filter_map(|item| match item {
            KindItem::Field(field) if field.optional || field.default.is_some() => Some(field.name.text.as_str()),
            _ => None,
        })
        .collect();
    let least: BTreeMap<String, EntryId> =
        stand_ins.iter().filter(|(name, _)| !optional.contains(&name.as_str())).map(|(name, id)| (name.clone(), *id)).collect();
    let mut cases = Vec::new();
    for choices in chosen.iter().take(MOST) {
        for (direction, friction) in STATES {
            let state = State { direction: Some(direction), friction: Some(friction) };
            cases.push(Case { choices: choices.clone(), fields: least.clone(), state });
            if !optional.is_empty() {
                cases.push(Case { choices: choices.clone(), fields: stand_ins.clone(), state });
            }
        }
    }
    for name in optional.iter().take(MOST) {
        let mut fields = least.clone();
        fields.extend(stand_ins.get(*name).map(|id| ((*name).to_string(), *id)));
        cases.push(Case { choices: usual.clone(), fields, state: State::default() });
    }
    cases
}
