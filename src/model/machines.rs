//! A machine as stated: its settings matched with the fields and options of its kind.

use crate::diagnostics::catalogue::machines::{ChoiceUnknown, FieldTwice, KindUnknown, ValueMissing};
use crate::diagnostics::{Finding, nearest};
use crate::model::definitions::label;
use crate::model::quantity::Quantity;
use crate::model::resolve::Resolver;
use crate::model::scope::Bound;
use crate::model::settings::{self, Matched, matched};
use crate::model::tree::{Constant, EntryId, Shape, Tree, TreeForm};
use crate::model::{Direction, FrictionState, Machine, Owner, Role, State};
use crate::source::Extent;
use crate::syntax::ast;
use crate::syntax::ast::{Field, Kind, KindItem};
use std::collections::BTreeMap;

impl Resolver<'_> {
    /// `machine`.
    pub(super) fn machine(&mut self, stated: &ast::Machine) -> Option<usize> {
        if !self.is_free(&stated.name) {
            return None;
        }
        let Some(source) = self.kinds.get(&stated.kind.text).cloned() else {
            let near = nearest(&stated.kind.text, self.kinds.keys().map(String::as_str)).into_iter().map(String::from).collect();
            self.put(stated.kind.at, &KindUnknown { word: stated.kind.text.clone(), near });
            self.bind_quiet(&stated.name);
            return None;
        };
        let at = self.model.machines.len();
        self.model.machines.push(Machine {
            name: stated.name.text.clone(),
            label: label(stated.label.as_ref()),
            kind: stated.kind.text.clone(),
            kind_label: label(source.kind.label.as_ref()),
            span: self.home.span(stated.name.at),
            fields: BTreeMap::new(),
            choices: Vec::new(),
            broken: false,
            load: None,
            load_travel: None,
            state: State::default(),
            instances: Vec::new(),
        });
        self.bind(&stated.name, Bound::Machine(at));
        for setting in &stated.settings {
            self.machine_setting(at, &source.kind, setting);
        }
        self.default_choices(at, &source.kind, stated.name.at);
        let trains = self.joined.get(&stated.name.text).copied().unwrap_or(0);
        let machine = self.model.machines.get(at)?;
        if trains == 0 && !machine.broken {
            let state = machine.state;
            let load = machine.load;
            let travel = match machine.load_travel {
                Some(travel) => travel,
                None => self.one_metre(&format!("{}.load_travel", stated.name.text), Owner::Machine(at)),
            };
            self.elaborate(at, None, stated.name.text.clone(), state, load, travel);
        }
        Some(at)
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
        if field.quantity.text == "count" && crate::model::counts::whole(&entry.value, &self.model, &[]).is_none() {
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
            machine.fields.insert(field.name.text.clone(), id);
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
        let mut entry =
            self.stated_entry(name, &stated, Role::Travel { given: true }, span, Some(("the travel of a load", Quantity::LENGTH)))?;
        entry.local = "load_travel".into();
        entry.label = "travel of the load".into();
        entry.owner = owner;
        Some(self.model.push(entry))
    }

    /// The travel that is reckoned with when none is stated.
    pub(super) fn one_metre(&mut self, name: &str, owner: Owner) -> EntryId {
        let unit = crate::units::parse("m").ok();
        let span = self.home.span(Extent::default());
        let form = TreeForm::Constant(Constant { si: 1.0, parts: vec![("1".into(), unit)] });
        let value = Tree { form, span, quantity: Quantity::LENGTH, shape: Shape::Single };
        let mut entry = self.plain_entry(name, value, Role::Travel { given: false }, span);
        entry.local = "load_travel".into();
        entry.label = "travel of the load; none is stated, so everything is reckoned for one metre".into();
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
            self.put(at, &FieldTwice { name: word.into() });
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

/// The quantity a field asks for; none when its word is not known.
pub(super) fn field_quantity(field: &Field) -> Option<Quantity> {
    crate::units::quantity(&field.quantity.text).map(|(dimension, nature)| Quantity { dimension, nature })
}
