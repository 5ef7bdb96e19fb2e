//! A train: machines joined from effort to load, worked from the load.

use crate::diagnostics::catalogue::machines::{FieldTwice, PortsUnlike, StationWrong, TrainReversed, TrainWithoutHand};
use crate::diagnostics::catalogue::units::QuantityMismatch;
use crate::diagnostics::nearest;
use crate::model::definitions::label;
use crate::model::elaborate::Work;
use crate::model::expressions::unfit;
use crate::model::quantity::Quantity;
use crate::model::resolve::Resolver;
use crate::model::scope::{Bound, Found, Lookup};
use crate::model::settings::{self, matched};
use crate::model::tree::{Constant, EntryId, Shape, Tree, TreeForm};
use crate::model::{Known, Member, Members, Owner, Role, State, Train};
use crate::source::Extent;
use crate::syntax::ast;
use crate::syntax::ast::{Path, Station};
use std::sync::Arc;

/// The kind that holds the relations of a whole train.
const TRAIN: &str = "whole";

impl Resolver<'_> {
    /// `train`.
    pub(super) fn train(&mut self, stated: &ast::Train) -> Option<usize> {
        if !self.is_free(&stated.name) {
            return None;
        }
        let at = self.model.trains.len();
        let mut train = Train {
            name: stated.name.text.clone(),
            label: label(stated.label.as_ref()),
            span: self.home.span(stated.at),
            effort_label: stated.stations.first().map(words).unwrap_or_default(),
            load_label: stated.stations.last().map(words).unwrap_or_default(),
            instances: Vec::new(),
            state: State::default(),
            members: Members::default(),
            relations: Vec::new(),
            others: Vec::new(),
            broken: false,
        };
        let mut travel = None;
        let mut known = None;
        let mut sound = true;
        for setting in &stated.settings {
            let Some(found) = matched(setting, |name| settings::TRAIN.contains(&name)) else {
                self.unknown_setting(setting, &format!("the train `{}`", train.name), settings::TRAIN);
                sound = false;
                continue;
            };
            if found.name == "known" {
                if known.is_some() {
                    self.put(found.name_at, &FieldTwice { name: "known".into() });
                }
                known = self.known_setting(&train.name, &found, setting, Owner::Train(at));
                sound &= known.is_some();
            } else if found.name == "load_travel" {
                travel = self.travel_setting(&format!("{}.load_travel", train.name), &found, setting, Owner::Train(at));
                sound &= travel.is_some();
            } else {
                self.state_word(&found.name, found.name_at, &mut train.state);
            }
        }
        let end = stated.stations.last();
        let middle = stated.stations.get(1..stated.stations.len().saturating_sub(1)).unwrap_or_default();
        if !self.reads_towards_the_load(&stated.stations) {
            self.bind_quiet(&stated.name);
            self.spoil_idle(middle);
            return None;
        }
        let machines: Option<Vec<(usize, Extent)>> = middle.iter().map(|station| self.stage(station)).collect();
        let load = match (end, &known, machines.as_ref().and_then(|machines| machines.last())) {
            (Some(Station::Label(_)), Some(known), Some((last, _))) => {
                let ends = self.model.machines.get(*last).map(|machine| machine.ends);
                Some(self.sought_load(&format!("{}.load", train.name), known, ends.and_then(|ends| ends.load), Owner::Train(at)))
            }
            (Some(Station::Named(path)), Some(_), _) => {
                let finding = StationWrong {
                    name: words_of(path),
                    wanted: "the load in quotation marks, as it is worked out from what is known,".into(),
                };
                self.put(path.at, &finding);
                None
            }
            (Some(station), ..) => match self.load_at(Some(station)) {
                Some(machine) => {
                    let prefix = format!("{}.{}", train.name, words(station));
                    self.load_in(machine, prefix, train.state)
                }
                None => self.load_end(station),
            },
            (None, ..) => None,
        };
        let (Some(load), Some(machines), true) = (load, machines, sound) else {
            self.bind_quiet(&stated.name);
            self.spoil_idle(middle);
            return None;
        };
        let travel = match travel {
            Some(travel) => travel,
            None => {
                let quantity = self.model.entry(load).quantity;
                self.unit_travel(&format!("{}.load_travel", train.name), Owner::Train(at), Some(quantity))
            }
        };
        self.model.trains.push(train);
        self.couple(at, &machines, load, travel);
        if let Some(known) = &known {
            self.seek_in_train(at, load, known);
        }
        let stages = self.model.trains.get(at).map(|train| (train.broken, train.instances.clone(), train.state, train.name.clone()));
        if let Some((false, instances, state, name)) = stages {
            let pairs: Vec<(usize, usize)> = machines.iter().map(|(machine, _)| *machine).zip(instances).collect();
            let others = self.other_states(&name, &pairs, (load, self.load_at(end)), state);
            self.model.trains.get_mut(at).into_iter().for_each(|train| train.others = others.clone());
        }
        self.bind(&stated.name, Bound::Train(at));
        Some(at)
    }

    // Works from the load towards the effort: what one stage asks for is the load of the next.
    fn couple(&mut self, at: usize, machines: &[(usize, Extent)], load: EntryId, travel: EntryId) {
        let Some((name, state)) = self.model.trains.get(at).map(|train| (train.name.clone(), train.state)) else { return };
        let mut instances = Vec::new();
        let mut carried = Some(load);
        let mut moved = Some(travel);
        let mut giver = "the load".to_string();
        for (machine, place) in machines.iter().rev() {
            let (Some(force), Some(travel)) = (carried, moved) else { break };
            let Some(stated) = self.model.machines.get(*machine).cloned() else { break };
            let gives = self.model.entry(force).quantity;
            let takes = stated.ends.load.unwrap_or(Quantity::FORCE);
            if takes.meets(gives).is_none() {
                self.put(
                    *place,
                    &PortsUnlike { giver: giver.clone(), gives: gives.name(), taker: format!("`{}`", stated.name), takes: takes.name() },
                );
                carried = None;
                break;
            }
            let several = self.joined.get(&stated.name).copied().unwrap_or(1) > 1;
            let prefix = if several { format!("{name}.{}", stated.name) } else { stated.name.clone() };
            let Some(instance) = self.elaborate(*machine, Some(at), prefix, state, Some(force), travel) else { break };
            instances.push(instance);
            giver = format!("`{}`", stated.name);
            carried = self.value_of(instance, "effort");
            moved = self.value_of(instance, "effort_travel");
        }
        instances.reverse();
        let whole = (carried.is_some() && moved.is_some() && instances.len() == machines.len()).then_some((carried, load, travel));
        if let Some(train) = self.model.trains.get_mut(at) {
            train.instances = instances.clone();
            train.broken = whole.is_none();
        }
        if whole.is_none() {
            for (machine, _) in machines {
                if self.model.machines.get(*machine).is_some_and(|machine| machine.instances.is_empty()) {
                    self.spoil(*machine);
                }
            }
        }
        if let Some((Some(effort), load, travel)) = whole {
            self.whole(at, &instances, effort, load, travel);
        }
    }

    fn whole(&mut self, at: usize, instances: &[usize], effort: EntryId, load: EntryId, travel: EntryId) {
        let Some(source) = self.kinds.get(TRAIN).cloned() else { return };
        let Some(train) = self.model.trains.get(at).cloned() else { return };
        let ends = |at: Option<&usize>| {
            at.and_then(|at| self.model.machines.get(self.model.instances.get(*at)?.machine)).map(|machine| machine.ends)
        };
        let (first, last) = (ends(instances.first()), ends(instances.last()));
        let quantity = |quantity: Option<Quantity>| if quantity == Some(Quantity::TORQUE) { "torque" } else { "force" }.to_string();
        let mut work = Work::blank(Owner::Train(at), train.name.clone(), train.name.clone(), train.state, train.span);
        work.choices = vec![
            ("effort_end".into(), quantity(first.map(|ends| ends.effort))),
            ("load_end".into(), quantity(last.and_then(|ends| ends.load))),
        ];
        let effort_travel = instances.first().and_then(|first| self.value_of(*first, "effort_travel"));
        for (name, id) in [("effort", Some(effort)), ("load", Some(load)), ("load_travel", Some(travel)), ("first_travel", effort_travel)] {
            let Some(id) = id else { continue };
            work.members.insert(name, Member::Value(id));
        }
        let span = train.span;
        let count = Tree {
            form: TreeForm::Constant(Constant { si: instances.len() as f64, parts: vec![(instances.len().to_string(), None)] }),
            span,
            quantity: Quantity::RATIO,
            shape: Shape::Single,
        };
        let stages = self.passed(&train.name, "stages", count, at);
        work.members.insert("stages", Member::Value(stages));
        for name in ["velocity_ratio", "friction_work", "own_work"] {
            let items: Option<Vec<Tree>> = instances
                .iter()
                .map(|instance| {
                    let id = self.value_of(*instance, name)?;
                    Some(Tree::entry(id, self.model.entry(id).quantity, Shape::Single, span))
                })
                .collect();
            let Some(items) = items else {
                // A stage has a fault that has been told: the names of the train stay quiet.
                self.model.trains.get_mut(at).into_iter().for_each(|train| train.broken = true);
                return;
            };
            let quantity = items.first().map_or(Quantity::RATIO, |item| item.quantity);
            // Stages that turn a torque into a force have ratios with a dimension: a list cannot hold them side by side.
            if items.iter().any(|item| item.quantity.dimension != quantity.dimension) {
                continue;
            }
            let shape = Shape::List { first: 1, count: items.len() };
            let tree = Tree { form: TreeForm::List(items), span, quantity, shape };
            let local = format!("stage_{name}");
            let id = self.passed(&train.name, &local, tree, at);
            Arc::make_mut(&mut work.given).insert(local.clone(), id);
            work.members.insert(local, Member::Value(id));
        }
        let given: Vec<EntryId> = instances.iter().filter_map(|instance| self.value_of(*instance, "given_work")).collect();
        if let Some(first) = given.first() {
            let quantity = self.model.entry(*first).quantity;
            let items = given.iter().map(|id| Tree::entry(*id, self.model.entry(*id).quantity, Shape::Single, span)).collect();
            let tree = Tree { form: TreeForm::List(items), span, quantity, shape: Shape::List { first: 1, count: given.len() } };
            let id = self.passed(&train.name, "given_work", tree, at);
            work.members.insert("given_work", Member::Value(id));
        }
        work.settle_help();
        self.body(&source, &mut work);
        if let Some(train) = self.model.trains.get_mut(at) {
            train.members = work.members;
            train.relations = work.relations;
            train.broken = work.broken;
        }
    }

    fn passed(&mut self, train: &str, local: &str, value: Tree, at: usize) -> EntryId {
        let span = value.span;
        let mut entry = self.plain_entry(&format!("{train}.{local}"), value, Role::Passed, span);
        entry.local = local.into();
        entry.owner = Owner::Train(at);
        self.model.push(entry)
    }

    /// The value a machine at work has by that name.
    pub(super) fn value_of(&self, instance: usize, name: &str) -> Option<EntryId> {
        match self.model.instances.get(instance)?.members.get(name)? {
            Member::Value(id) => Some(*id),
            Member::Without(_) | Member::Quiet => None,
        }
    }

    // What is known inside a train: a name of its own, or one of a machine of it.
    fn seek_in_train(&mut self, at: usize, load: EntryId, known: &Known) {
        let Some(train) = self.model.trains.get(at).filter(|train| !train.broken).cloned() else { return };
        let stage = |resolver: &Resolver<'_>, name: &str| {
            let named = |at: &&usize| {
                let machine = resolver.model.instances.get(**at).and_then(|instance| resolver.model.machines.get(instance.machine));
                machine.is_some_and(|machine| machine.name.rsplit('.').next() == Some(name))
            };
            train.instances.iter().find(named).copied()
        };
        let find = |resolver: &Resolver<'_>, path: &[&str]| match path {
            ["load"] => None,
            [name] => match train.members.get(name) {
                Some(Member::Value(id)) => Some(*id),
                _ => None,
            },
            [machine, name] => resolver.value_of(stage(resolver, machine)?, name),
            _ => None,
        };
        let mut names: Vec<String> = train.members.keys().map(String::from).collect();
        for instance in train.instances.iter().filter_map(|at| self.model.instances.get(*at)) {
            names.extend(instance.members.keys().map(|name| format!("{}.{name}", instance.prefix)));
        }
        self.seek(load, known, &find, &names);
        if let Some(train) = self.model.trains.get_mut(at) {
            train.relations.insert(0, load);
        }
    }

    fn stage(&mut self, station: &Station) -> Option<(usize, Extent)> {
        let (name, at) = match station {
            Station::Named(path) => (path.parts.iter().map(|part| part.text.as_str()).collect::<Vec<_>>().join("."), path.at),
            Station::Label(quoted) => (quoted.text.clone(), quoted.at),
        };
        let scope = self.scopes.get(self.scope)?;
        let bound = match station {
            Station::Named(path) => self.bound(path),
            Station::Label(_) => None,
        };
        match bound {
            Some(Bound::Machine(machine)) => {
                if self.model.machines.get(machine).is_some_and(|machine| machine.broken) {
                    return None;
                }
                if self.model.machines.get(machine).is_some_and(|machine| machine.ends.load.is_none()) {
                    self.put(at, &StationWrong { name, wanted: "a machine that moves a load".into() });
                    return None;
                }
                Some((machine, at))
            }
            Some(Bound::Quiet) => None,
            _ if scope.blind => None,
            _ => {
                let machines =
                    scope.names.iter().filter(|(_, (bound, _))| matches!(bound, Bound::Machine(_))).map(|(name, _)| name.as_str());
                let near = nearest(&name, machines).first().map(|near| format!("a machine defined above (`{near}`?)"));
                self.put(at, &StationWrong { name, wanted: near.unwrap_or_else(|| "a machine defined above".into()) });
                None
            }
        }
    }

    // The machines of a train that cannot be worked have no forces either; asking for them is no second fault.
    fn spoil_idle(&mut self, stations: &[Station]) {
        for station in stations {
            let Station::Named(path) = station else { continue };
            if let Some(Bound::Machine(machine)) = self.bound(path)
                && self.model.machines.get(machine).is_some_and(|machine| machine.instances.is_empty())
            {
                self.spoil(machine);
            }
        }
    }

    pub(super) fn bound(&self, path: &Path) -> Option<Bound> {
        let mut scope = self.scopes.get(self.scope)?;
        for (place, part) in path.parts.iter().enumerate() {
            let (bound, _) = scope.names.get(&part.text)?;
            match bound {
                Bound::Used(at) if place + 1 < path.parts.len() => scope = self.scopes.get(*at)?,
                other if place + 1 == path.parts.len() => return Some(other.clone()),
                _ => return None,
            }
        }
        None
    }

    // Whether a train is not written the other way about, and does not begin with a machine.
    fn reads_towards_the_load(&mut self, stations: &[Station]) -> bool {
        let (Some(Station::Named(first)), Some(last)) = (stations.first(), stations.last()) else { return true };
        let joined = |stations: &[String]| stations.join(" -> ");
        let mut names: Vec<String> = stations.iter().map(words).collect();
        let free = match last {
            Station::Named(path) => self.bound(path).is_none() && path.parts.len() == 1,
            Station::Label(_) => false,
        };
        let parts: Vec<&str> = first.parts.iter().map(|part| part.text.as_str()).collect();
        // Looked up only where it matters: most trains begin with somebody who has no name on the sheet.
        let force = || match (Lookup::Sheet { scopes: &self.scopes, scope: self.scope }).find(&parts, &self.model) {
            Found::Entry(id) => {
                let quantity = self.model.entry(id).quantity;
                quantity == Quantity::TORQUE || quantity == Quantity::FORCE || quantity == Quantity::MASS
            }
            _ => false,
        };
        if free && force() {
            names.reverse();
            self.put(first.at, &TrainReversed { load: words_of(first), mended: joined(&names) });
            return false;
        }
        if matches!(self.bound(first), Some(Bound::Machine(_))) {
            self.spoil_idle(stations.get(..1).unwrap_or_default());
            names.insert(0, "hand".into());
            self.put(first.at, &TrainWithoutHand { machine: words_of(first), mended: joined(&names) });
            return false;
        }
        true
    }

    fn load_end(&mut self, station: &Station) -> Option<EntryId> {
        let path = match station {
            Station::Named(path) => path,
            Station::Label(quoted) => {
                self.put(
                    quoted.at,
                    &StationWrong { name: quoted.text.clone(), wanted: "a load, the name of a force defined above,".into() },
                );
                return None;
            }
        };
        let parts: Vec<&str> = path.parts.iter().map(|part| part.text.as_str()).collect();
        let found = Lookup::Sheet { scopes: &self.scopes, scope: self.scope }.find(&parts, &self.model);
        if matches!(found, Found::NotValue { .. }) && matches!(self.bound(path), Some(Bound::Machine(_))) {
            let wanted = "the load, a force or a load stated above the train, as in `train haul: hand -> falls -> load`,".into();
            self.put(path.at, &StationWrong { name: words_of(path), wanted });
            return None;
        }
        let tree = self.read(|reader| reader.single(&ast::Expression { form: ast::Form::Name(path.clone()), at: path.at }));
        let (Found::Entry(id), false) = (found, tree.is_unknown()) else { return None };
        let quantity = self.model.entry(id).quantity;
        if quantity != Quantity::TORQUE && Quantity::FORCE.meets(quantity).is_none() {
            if quantity == Quantity::MASS {
                let mend = format!(
                    "write a line above the train, `{0}_weight = weight({0})`, and end the train with `{0}_weight`",
                    parts.join(".")
                );
                let mend =
                    Some(if parts.len() == 1 { mend } else { "write its weight on a line above the train, and name that here".into() });
                let wanted_by = "the load of a train".into();
                self.put(path.at, &QuantityMismatch { wanted_by, expected: "force".into(), found: "mass".into(), mend });
                return None;
            }
            let finding = unfit("the load of a train", Quantity::FORCE, &tree);
            self.put(path.at, finding.as_ref());
            return None;
        }
        Some(id)
    }
}

fn words(station: &Station) -> String {
    match station {
        Station::Named(path) => words_of(path),
        Station::Label(quoted) => quoted.text.clone(),
    }
}

fn words_of(path: &Path) -> String {
    path.parts.iter().map(|part| part.text.as_str()).collect::<Vec<_>>().join(".")
}
