//! A machine as stated: its settings matched with the fields and options of its kind.

use crate::diagnostics::catalogue::machines::{ChoiceUnknown, FieldTwice, FieldsClash, KindUnknown, StatedAsWrong, ValueMissing};
use crate::diagnostics::catalogue::names::UsedBeforeDefined;
use crate::diagnostics::{Finding, Label, nearest};
use crate::model::definitions::label;
use crate::model::elaborate::Work;
use crate::model::expressions::unfit;
use crate::model::quantity::Quantity;
use crate::model::resolve::Resolver;
use crate::model::scope::Bound;
use crate::model::settings::{self, Matched, matched};
use crate::model::tree::{Constant, EntryId, Shape, Tree, TreeForm};
use crate::model::{Direction, Ends, FrictionState, KindSource, Machine, Owner, Role, State, counts};
use crate::source::Extent;
use crate::syntax::ast;
use crate::syntax::ast::{Field, Kind, KindItem, Name, Port};
use std::collections::BTreeSet;
use std::sync::Arc;

impl Resolver<'_> {
    /// `machine`.
    pub(super) fn machine(&mut self, stated: &ast::Machine) -> Option<usize> {
        if !self.is_free(&stated.name) {
            return None;
        }
        let Some(source) = self.kinds.get(&stated.kind.text).cloned() else {
            self.kind_unknown(&stated.kind);
            self.bind_quiet(&stated.name);
            return None;
        };
        let is_load = source.kind.items.iter().any(|item| matches!(item, KindItem::Ports(ports) if ports.from.is_none()));
        if is_load != stated.is_load {
            self.put(stated.kind.at, &StatedAsWrong { word: stated.kind.text.clone(), is_load, name: stated.name.text.clone() });
            self.bind_quiet(&stated.name);
            return None;
        }
        let at = self.model.machines.len();
        self.model.machines.push(Machine {
            name: stated.name.text.clone(),
            label: label(stated.label.as_ref()),
            kind: stated.kind.text.clone(),
            kind_label: label(source.kind.label.as_ref()),
            ends: Ends { load: Some(Quantity::FORCE), effort: Quantity::FORCE },
            kind_file: source.home.file,
            span: self.home.span(stated.name.at),
            fields: Arc::default(),
            choices: Vec::new(),
            broken: false,
            load: None,
            load_travel: None,
            known: None,
            state: State::default(),
            others: Vec::new(),
            instances: Vec::new(),
        });
        self.bind(&stated.name, Bound::Machine(at));
        for setting in &stated.settings {
            self.machine_setting(at, &source.kind, setting);
        }
        self.default_choices(at, &source.kind, stated.name.at);
        self.settle_ends(at, &source);
        if is_load {
            self.put_load(at);
            return Some(at);
        }
        let trains = self.joined.get(&stated.name.text).copied().unwrap_or(0);
        let machine = self.model.machines.get(at)?;
        if trains == 0 && !machine.broken {
            self.alone(at);
        }
        Some(at)
    }

    fn kind_unknown(&mut self, word: &Name) {
        let Some(scope) = self.scopes.get(self.scope) else { return };
        if let Some(below) = scope.later_kinds.get(&word.text) {
            let there = Label { span: *below, text: "described here".into() };
            self.sink.push_with(self.home.span(word.at), &UsedBeforeDefined { name: word.text.clone() }, vec![there]);
            return;
        }
        let known: BTreeSet<&str> = self.kinds.keys().map(String::as_str).chain(self.material.offered.iter().copied()).collect();
        let near: Vec<String> = nearest(&word.text, known).into_iter().map(String::from).collect();
        // A file that could not be read, or a `kind` line that could not, may be where it is described.
        let unread = matches!(scope.names.get(&word.text), Some((Bound::Quiet, _)));
        if unread || (self.kinds_unsure && near.is_empty()) {
            return;
        }
        self.put(word.at, &KindUnknown { word: word.text.clone(), near });
    }

    // A machine that stands in no train: worked from its load, or from what is known of it.
    fn alone(&mut self, at: usize) {
        let Some(machine) = self.model.machines.get(at).cloned() else { return };
        let travel = match machine.load_travel {
            Some(travel) => travel,
            None => self.unit_travel(&format!("{}.load_travel", machine.name), Owner::Machine(at), machine.ends.load),
        };
        if let (Some(known), Some(_)) = (&machine.known, machine.load) {
            let names = vec!["load".to_string(), format!("known {}", known.path.join("."))];
            self.put(known.at, &FieldsClash { machine: machine.name.clone(), names });
            self.spoil(at);
            return;
        }
        let load = match &machine.known {
            Some(known) => Some(self.sought_load(&format!("{}.load", machine.name), known, machine.ends.load, Owner::Machine(at))),
            None => machine.load,
        };
        let Some(instance) = self.elaborate(at, None, machine.name.clone(), machine.state, load, travel) else { return };
        let Some(load) = load else { return };
        let broken = self.model.instances.get(instance).is_none_or(|made| made.broken);
        if let (Some(known), false) = (&machine.known, broken) {
            let names: Vec<String> =
                self.model.instances.get(instance).map(|made| made.members.keys().map(String::from).collect()).unwrap_or_default();
            let find = |resolver: &Resolver<'_>, path: &[&str]| match path {
                [name] => resolver.value_of(instance, name),
                _ => None,
            };
            self.seek(load, known, &find, &names);
            if let Some(made) = self.model.instances.get_mut(instance) {
                made.relations.insert(0, load);
            }
        }
        let others = self.other_states(&machine.name, &[(at, instance)], (load, None), machine.state);
        if let Some(machine) = self.model.machines.get_mut(at) {
            machine.others = others;
        }
    }

    /// The ends of a machine of `source` with the options that were chosen.
    pub(super) fn ends(&mut self, source: &KindSource, machine: &Machine) -> Ends {
        let mut ends = Ends { load: Some(Quantity::FORCE), effort: Quantity::FORCE };
        let quantity = |port: &Port| if port.quantity.text == "torque" { Quantity::TORQUE } else { Quantity::FORCE };
        for item in &source.kind.items {
            let KindItem::Ports(ports) = item else { continue };
            let mut work = Work::new(Owner::Machine(0), machine, machine.name.clone(), machine.state, self.home.span(Extent::default()));
            if self.holds(source, ports.when.as_ref(), &mut work) == Some(true) {
                ends = Ends { load: ports.from.as_ref().map(quantity), effort: quantity(&ports.to) };
            }
        }
        ends
    }

    // What the ends take and give, from the options that were chosen; then whether the load and its travel fit.
    fn settle_ends(&mut self, at: usize, source: &KindSource) {
        let Some(machine) = self.model.machines.get(at).cloned() else { return };
        let ends = self.ends(source, &machine);
        let load_quantity = ends.load.unwrap_or(Quantity::FORCE);
        for (id, wanted) in [(machine.load, load_quantity), (machine.load_travel, travel_quantity(load_quantity))] {
            let Some(id) = id else { continue };
            let entry = self.model.entry(id);
            if wanted.meets(entry.quantity).is_none() {
                let what = if Some(id) == machine.load { "the load of" } else { "the travel of the load of" };
                let (span, finding) = (entry.value.span, unfit(&format!("{what} `{}`", machine.name), wanted, &entry.value));
                self.sink.push(span, finding.as_ref());
                self.spoil(at);
            }
        }
        if let Some(machine) = self.model.machines.get_mut(at) {
            machine.ends = ends;
        }
    }

    fn machine_setting(&mut self, at: usize, kind: &Kind, setting: &ast::Setting) {
        let Some(machine) = self.model.machines.get(at) else { return };
        let name = machine.name.clone();
        let of = format!("`{name}`, a {},", kind.name.text);
        let field = |word: &str| {
            kind.items.iter().find_map(|item| match item {
                KindItem::Field(field) if field.name.text == word => Some(field),
                _ => None,
            })
        };
        let choice = |word: &str| {
            kind.items.iter().find_map(|item| match item {
                KindItem::Choice(choice) if choice.name.text == word => Some(choice),
                _ => None,
            })
        };
        let known: Vec<&str> = kind
            .items
            .iter()
            .filter_map(|item| match item {
                KindItem::Field(field) => Some(field.name.text.as_str()),
                KindItem::Choice(choice) => Some(choice.name.text.as_str()),
                _ => None,
            })
            .chain(settings::MACHINE.iter().copied())
            .collect();
        let Some(found) = matched(setting, |name| known.contains(&name)) else {
            self.unknown_setting(setting, &of, &known);
            self.spoil(at);
            return;
        };
        // A word may be an option and, followed by a value, something else; an option is meant when its choice follows.
        if let Some(option) = choice(&found.name) {
            self.choose(at, option, &found);
        } else if let Some(field) = field(&found.name) {
            self.field_given(at, field, &found, setting);
        } else {
            self.common_setting(at, &found, setting);
        }
    }

    fn choose(&mut self, at: usize, option: &ast::Choice, found: &Matched<'_>) {
        if let Some(sign) = found.rest.chars().next().filter(|sign| [':', '='].contains(sign)) {
            let start = found.rest_at.start as usize;
            self.put(Extent::new(start, start + 1), &settings::with_sign(sign, &found.name));
            self.spoil(at);
            return;
        }
        let chosen = found.rest.split_whitespace().collect::<Vec<_>>().join(" ");
        if !option.choices.iter().any(|choice| choice.text == chosen) {
            let choices = option.choices.iter().map(|choice| choice.text.clone()).collect();
            let place = if found.rest.is_empty() { found.name_at } else { found.rest_at };
            let finding: Box<dyn Finding> = if chosen.is_empty() {
                Box::new(ValueMissing { name: option.name.text.replace('_', " "), wants: "one of its choices".into() })
            } else {
                Box::new(ChoiceUnknown { option: option.name.text.replace('_', " "), found: chosen, choices })
            };
            self.put(place, finding.as_ref());
            self.spoil(at);
            return;
        }
        let Some(machine) = self.model.machines.get_mut(at) else { return };
        if machine.choices.iter().any(|(name, ..)| *name == option.name.text) {
            self.put(found.name_at, &FieldTwice { name: option.name.text.replace('_', " ") });
            return;
        }
        machine.choices.push((option.name.text.clone(), label(option.label.as_ref()), chosen));
    }

    fn field_given(&mut self, at: usize, field: &Field, found: &Matched<'_>, setting: &ast::Setting) {
        let Some(machine) = self.model.machines.get(at) else { return };
        let name = machine.name.clone();
        if machine.fields.contains_key(&field.name.text) {
            self.put(found.name_at, &FieldTwice { name: field.name.text.replace('_', " ") });
            return;
        }
        if found.rest.is_empty() {
            let wants = format!("a value of {}", field.quantity.text);
            self.put(found.name_at, &ValueMissing { name: field.name.text.replace('_', " "), wants });
            self.spoil(at);
            return;
        }
        let Some(stated) = crate::syntax::stated(found.rest, found.rest_at.start, self.home, &mut self.sink) else {
            self.spoil(at);
            return;
        };
        let span = self.home.span(setting.at);
        let full = format!("{name}.{}", field.name.text);
        let who = format!("`{}` of `{name}`", field.name.text.replace('_', " "));
        let quantity = field_quantity(field);
        let entry = self.stated_entry(&full, &stated, Role::Field { given: true }, span, quantity.map(|quantity| (who.as_str(), quantity)));
        let Some(mut entry) = entry else {
            self.spoil(at);
            return;
        };
        if field.quantity.text == "count" && !counts::all_whole(&entry.value, &self.model) {
            self.put(stated.value.at, &crate::diagnostics::catalogue::units::NotACount { what: who });
            self.spoil(at);
            return;
        }
        if field.each.is_none() && entry.shape != Shape::Single {
            self.put(stated.value.at, &crate::diagnostics::catalogue::names::ListForValue { name: "this".into() });
            self.spoil(at);
            return;
        }
        entry.local = field.name.text.clone();
        entry.label = label(field.label.as_ref());
        entry.owner = Owner::Machine(at);
        let id = self.model.push(entry);
        if let Some(machine) = self.model.machines.get_mut(at) {
            Arc::make_mut(&mut machine.fields).insert(field.name.text.clone(), id);
        }
    }

    fn common_setting(&mut self, at: usize, found: &Matched<'_>, setting: &ast::Setting) {
        let Some(name) = self.model.machines.get(at).map(|machine| machine.name.clone()) else { return };
        let trained = self.joined.contains_key(&name);
        if trained {
            let of = format!("`{name}`, which stands in a train and takes its load and direction from it,");
            self.unknown_setting(setting, &of, &[]);
            return;
        }
        match found.name.as_str() {
            "load" => {
                let id = self.value_setting(&format!("{name}.load"), found, setting, Role::Field { given: true }, at);
                match (id, self.model.machines.get_mut(at)) {
                    (Some(id), Some(machine)) => machine.load = Some(id),
                    _ => self.spoil(at),
                }
            }
            "load_travel" => {
                let id = self.travel_setting(&format!("{name}.load_travel"), found, setting, Owner::Machine(at));
                if let Some(machine) = self.model.machines.get_mut(at) {
                    machine.load_travel = id;
                }
            }
            "known" => {
                let known = self.known_setting(&name, found, setting, Owner::Machine(at));
                if known.is_none() {
                    self.spoil(at);
                } else if let Some(machine) = self.model.machines.get_mut(at) {
                    machine.known = known;
                }
            }
            word => {
                let Some(mut state) = self.model.machines.get(at).map(|machine| machine.state) else { return };
                self.state_word(word, found.name_at, &mut state);
                if let Some(machine) = self.model.machines.get_mut(at) {
                    machine.state = state;
                }
            }
        }
    }

    fn value_setting(&mut self, name: &str, found: &Matched<'_>, setting: &ast::Setting, role: Role, at: usize) -> Option<EntryId> {
        if found.rest.is_empty() {
            self.put(found.name_at, &ValueMissing { name: found.name.replace('_', " "), wants: "a force".into() });
            return None;
        }
        let stated = crate::syntax::stated(found.rest, found.rest_at.start, self.home, &mut self.sink)?;
        let span = self.home.span(setting.at);
        let value = self.read(|reader| reader.single(&stated.value));
        let wanted = if value.quantity == Quantity::TORQUE { Quantity::TORQUE } else { Quantity::FORCE };
        if value.is_unknown() {
            return None;
        }
        let mut entry = self.stated_entry(name, &stated, role, span, Some(("a load", wanted)))?;
        entry.local = found.name.clone();
        entry.label = "load".into();
        entry.owner = Owner::Machine(at);
        Some(self.model.push(entry))
    }

    /// `load travel 12 m`.
    pub(super) fn travel_setting(&mut self, name: &str, found: &Matched<'_>, setting: &ast::Setting, owner: Owner) -> Option<EntryId> {
        if found.rest.is_empty() {
            self.put(found.name_at, &ValueMissing { name: "load travel".into(), wants: "a length".into() });
            return None;
        }
        let stated = crate::syntax::stated(found.rest, found.rest_at.start, self.home, &mut self.sink)?;
        let span = self.home.span(setting.at);
        let value = self.read(|reader| reader.single(&stated.value));
        if value.is_unknown() {
            return None;
        }
        // A load that is a torque turns; whether this one is, is settled when the ends are known.
        let wanted = if value.quantity == Quantity::ANGLE { Quantity::ANGLE } else { Quantity::LENGTH };
        let mut entry = self.stated_entry(name, &stated, Role::Travel { given: true }, span, Some(("the travel of a load", wanted)))?;
        entry.local = "load_travel".into();
        entry.label = "travel of the load".into();
        entry.owner = owner;
        Some(self.model.push(entry))
    }

    /// The travel that is reckoned with when none is stated: a metre, or a turn where the load is a torque.
    pub(super) fn unit_travel(&mut self, name: &str, owner: Owner, load: Option<Quantity>) -> EntryId {
        let quantity = travel_quantity(load.unwrap_or(Quantity::FORCE));
        let (symbol, words) = if quantity == Quantity::ANGLE { ("rev", "one turn") } else { ("m", "one metre") };
        let unit = crate::units::parse(symbol).ok();
        let span = self.home.span(Extent::default());
        let si = unit.as_ref().map_or(1.0, |unit| unit.scale);
        let form = TreeForm::Constant(Constant { si, parts: vec![("1".into(), unit)] });
        let value = Tree { form, span, quantity, shape: Shape::Single };
        let mut entry = self.plain_entry(name, value, Role::Travel { given: false }, span);
        entry.local = "load_travel".into();
        entry.label = format!("travel of the load; none is stated, so everything is reckoned for {words}");
        entry.owner = owner;
        self.model.push(entry)
    }

    /// `raising`, `starting` ...
    pub(super) fn state_word(&mut self, word: &str, at: Extent, state: &mut State) {
        let twice = match word {
            "raising" | "holding" | "lowering" => {
                let direction = match word {
                    "raising" => Direction::Raising,
                    "holding" => Direction::Holding,
                    _ => Direction::Lowering,
                };
                state.direction.replace(direction).is_some()
            }
            _ => state.friction.replace(if word == "starting" { FrictionState::Starting } else { FrictionState::Moving }).is_some(),
        };
        if twice {
            let name = if matches!(word, "starting" | "moving") { "starting` or `moving" } else { "raising`, `holding` or `lowering" };
            self.put(at, &FieldTwice { name: name.into() });
        }
    }

    fn default_choices(&mut self, at: usize, kind: &Kind, machine_at: Extent) {
        for item in &kind.items {
            let KindItem::Choice(option) = item else { continue };
            let Some(machine) = self.model.machines.get_mut(at) else { return };
            if machine.broken || machine.choices.iter().any(|(name, ..)| *name == option.name.text) {
                continue;
            }
            match &option.default {
                Some(default) => machine.choices.push((option.name.text.clone(), label(option.label.as_ref()), default.text.clone())),
                None => {
                    let name = machine.name.clone();
                    let wants = option.choices.iter().map(|choice| choice.text.clone()).collect::<Vec<_>>().join(", ");
                    let finding = crate::diagnostics::catalogue::machines::FieldMissing {
                        machine: name,
                        name: format!("{} ({wants})", option.name.text.replace('_', " ")),
                        any_of: Vec::new(),
                    };
                    self.put(machine_at, &finding);
                    self.spoil(at);
                }
            }
        }
    }

    /// Marks a machine as one from which nothing can be worked.
    pub(super) fn spoil(&mut self, at: usize) {
        if let Some(machine) = self.model.machines.get_mut(at) {
            machine.broken = true;
        }
    }
}

/// How a load of that quantity travels: a force along a line, a torque through an angle.
pub(super) fn travel_quantity(load: Quantity) -> Quantity {
    if load == Quantity::TORQUE { Quantity::ANGLE } else { Quantity::LENGTH }
}

/// The quantity a field asks for; none when its word is not known.
pub(super) fn field_quantity(field: &Field) -> Option<Quantity> {
    crate::units::quantity(&field.quantity.text).map(|(dimension, nature)| Quantity { dimension, nature })
}
