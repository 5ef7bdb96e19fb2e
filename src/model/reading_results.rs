//! What follows from readings: ratios, work and efficiency of every trial and of all trials of one direction, the effort
//! that the tested machine should have asked for, and friction from raising and lowering at one load.

use crate::model::quantity::Quantity;
use crate::model::readings::{Group, Pairs, Read, Tested};
use crate::model::resolve::Resolver;
use crate::model::tree::{Constant, EntryId, Range, Shape, Tree, TreeForm};
use crate::model::{Direction, Member, Owner, Role, State};
use crate::source::Span;
use crate::syntax::ast::{EvidenceWord, Fold, Operator};
use crate::units::Nature;
use std::collections::BTreeMap;

const ENERGY: Quantity = Quantity { dimension: Quantity::TORQUE.dimension, nature: Nature::Energy };

// A list of one direction that is worked: what it is, and where the relation stands.
struct Worked<'w> {
    local: &'w str,
    label: &'w str,
    reference: &'w str,
    unit: &'w str,
}

const fn worked<'w>(local: &'w str, label: &'w str, reference: &'w str, unit: &'w str) -> Worked<'w> {
    Worked { local, label, reference, unit }
}

impl Resolver<'_> {
    /// Works what follows from the readings at `place`.
    pub(super) fn reading_results(&mut self, place: usize) {
        let Some(readings) = self.model.readings.get(place).cloned() else { return };
        let mut directions: Vec<Direction> = Vec::new();
        for direction in [Direction::Raising, Direction::Holding, Direction::Lowering] {
            if readings.trials.iter().any(|trial| trial.direction == direction) {
                directions.push(direction);
            }
        }
        let own = self.own_ratio(readings.of);
        let measured = readings.columns.iter().any(|column| column.read == Read::LoadTravel);
        let ratio = own.filter(|_| !measured);
        let mut groups = Vec::new();
        for direction in &directions {
            let prefix = if directions.len() == 1 { readings.name.clone() } else { format!("{}.{}", readings.name, direction.word()) };
            let trials = readings.trials.iter().enumerate().filter(|(_, trial)| trial.direction == *direction).map(|(at, _)| at).collect();
            groups.push(Group {
                direction: *direction,
                prefix,
                trials,
                each: BTreeMap::new(),
                members: BTreeMap::new(),
                worked: Vec::new(),
                pooled: Vec::new(),
            });
        }
        for group in &mut groups {
            self.group_lists(place, group, ratio);
            self.group_pooled(place, group, ratio);
        }
        let several = groups.len() > 1;
        if let Some(made) = self.model.readings.get_mut(place) {
            made.groups = groups;
            made.own_ratio = own;
            made.ratio_of = ratio.map(|_| made.of_name.clone());
        }
        if several {
            self.whole_block(place);
        }
        self.pairs(place);
    }

    // The velocity ratio of the machine itself, for readings without travels.
    fn own_ratio(&self, of: Option<Tested>) -> Option<EntryId> {
        match of? {
            Tested::Machine(at) => self.value_of(*self.model.machines.get(at)?.instances.first()?, "velocity_ratio"),
            Tested::Train(at) => match self.model.trains.get(at)?.members.get("velocity_ratio")? {
                Member::Value(id) => Some(*id),
                _ => None,
            },
        }
    }

    fn group_lists(&mut self, place: usize, group: &mut Group, ratio: Option<EntryId>) {
        let Some(readings) = self.model.readings.get(place).cloned() else { return };
        for read in Read::ALL {
            let Some(column) = readings.columns.iter().find(|column| column.read == read) else { continue };
            let ids: Vec<EntryId> = group.trials.iter().filter_map(|trial| column.cells.get(*trial)).map(|cell| cell.value).collect();
            let id = self.listed(place, group, read.name(), &format!("{}, each trial", read.words()), &ids);
            group.each.insert(read.name().into(), Member::Value(id));
        }
        let (load, effort) = (group.list("load"), group.list("effort"));
        let travels = group.list("load_travel").zip(group.list("effort_travel"));
        let (Some(load), Some(effort)) = (load, effort) else { return };
        let count = group.trials.len();
        let span = readings.span;
        let item = |resolver: &Resolver<'_>, list: EntryId| resolver.item(list, span);
        let advantage = binary(Operator::Divide, item(self, load), item(self, effort));
        self.indexed(
            place,
            group,
            count,
            worked("mechanical_advantage", "load over effort", "OpenStax College Physics 2e, 9.5", ""),
            advantage,
        );
        if let Some((load_travel, effort_travel)) = travels {
            let velocity = binary(Operator::Divide, item(self, effort_travel), item(self, load_travel));
            let what = worked("velocity_ratio", "travel of the effort over travel of the load", "definition", "");
            self.indexed(place, group, count, what, velocity);
            let at_effort = binary(Operator::Multiply, item(self, effort), item(self, effort_travel));
            let at_load = binary(Operator::Multiply, item(self, load), item(self, load_travel));
            let (put_in, out) = if group.direction == Direction::Raising { (at_effort, at_load) } else { (at_load, at_effort) };
            if group.direction == Direction::Holding {
                self.without_work(&readings.name, group);
            } else {
                let physics = "OpenStax University Physics vol. 1, 7.1";
                self.indexed(place, group, count, worked("work_in", "work put in", physics, "J"), put_in);
                self.indexed(place, group, count, worked("work_out", "work got out", physics, "J"), out);
                if let Some((put_in, out)) = group.list("work_in").zip(group.list("work_out")) {
                    let efficiency = binary(Operator::Divide, item(self, out), item(self, put_in));
                    self.indexed(place, group, count, worked("efficiency", "work got out over work put in", "definition", "%"), efficiency);
                }
            }
        } else {
            let lacks = "the travels were not read";
            for name in ["work_in", "work_out"] {
                let why = format!("`{}` has no work: {lacks}", readings.name);
                group.each.insert(name.into(), Member::Without(why.clone()));
                group.members.insert(name.into(), Member::Without(why));
            }
            let why = format!("`{}` has no measured velocity ratio: {lacks}", readings.name);
            group.each.insert("velocity_ratio".into(), Member::Without(why));
            match (ratio, group.list("mechanical_advantage")) {
                (_, _) if group.direction == Direction::Holding => self.without_work(&readings.name, group),
                (Some(ratio), Some(advantage)) => {
                    let own = Tree::entry(ratio, self.model.entry(ratio).quantity, Shape::Single, span);
                    let advantage = item(self, advantage);
                    let efficiency = if group.direction == Direction::Raising {
                        binary(Operator::Divide, advantage, own)
                    } else {
                        binary(Operator::Divide, own, advantage)
                    };
                    let label = "from the advantage and the machine's own velocity ratio, which was not measured";
                    self.indexed(place, group, count, worked("efficiency", label, "definition", "%"), efficiency);
                }
                _ => {
                    let why = format!("`{}` has no efficiency: {lacks}, and no machine gives its velocity ratio", readings.name);
                    group.each.insert("efficiency".into(), Member::Without(why.clone()));
                    group.members.insert("efficiency".into(), Member::Without(why.clone()));
                    let why = format!("`{}` has no measured velocity ratio: {lacks}", readings.name);
                    group.members.insert("velocity_ratio".into(), Member::Without(why));
                }
            }
        }
        self.predicted(place, group, effort);
    }

    fn without_work(&mut self, name: &str, group: &mut Group) {
        for local in ["work_in", "work_out", "efficiency"] {
            let why = format!("nothing moves while a load is held, so `{name}` has no {} holding", local.replace('_', " "));
            group.each.insert(local.into(), Member::Without(why.clone()));
            group.members.insert(local.into(), Member::Without(why));
        }
    }

    // What the tested machine asks for at the load of every trial, in its direction.
    fn predicted(&mut self, place: usize, group: &mut Group, effort: EntryId) {
        let Some(readings) = self.model.readings.get(place).cloned() else { return };
        let stages: Vec<(usize, usize)> = match readings.of {
            Some(Tested::Machine(at)) => {
                let main = self.model.machines.get(at).and_then(|machine| machine.instances.first());
                main.map(|main| (at, *main)).into_iter().collect()
            }
            Some(Tested::Train(at)) => {
                let instances = self.model.trains.get(at).map(|train| train.instances.clone()).unwrap_or_default();
                let machine = |at: usize| Some((self.model.instances.get(at)?.machine, at));
                instances.into_iter().filter_map(machine).collect()
            }
            None => return,
        };
        let friction = readings.friction.or_else(|| self.own_friction(readings.of));
        let state = State { direction: Some(group.direction), friction };
        let loads = readings.columns.iter().find(|column| column.read == Read::Load);
        let mut found = Vec::new();
        for trial in &group.trials {
            let Some(load) = loads.and_then(|column| column.cells.get(*trial)).map(|cell| cell.value) else { return };
            let prefix = format!("{}.trial_{}", readings.name, trial + 1);
            let Some(effort) = self.effort_at(&stages, load, state, &prefix) else { return };
            found.push(effort);
        }
        if found.is_empty() {
            return;
        }
        let id = self.listed(
            place,
            group,
            "predicted",
            &format!("effort that `{}` asks for at the load of each trial", readings.of_name),
            &found,
        );
        group.each.insert("predicted".into(), Member::Value(id));
        let fits = self.model.entry(id).quantity.meets(self.model.entry(effort).quantity).is_some();
        if fits {
            let (effort, predicted) = (self.item(effort, readings.span), self.item(id, readings.span));
            let difference = binary(Operator::Subtract, effort, predicted);
            let what = worked("difference", "effort measured less effort predicted", "", "");
            self.indexed(place, group, group.trials.len(), what, difference);
        }
    }

    // The effort of machines in a row, effort first, on one load; none where a machine gives none.
    fn effort_at(&mut self, stages: &[(usize, usize)], load: EntryId, state: State, prefix: &str) -> Option<EntryId> {
        let mut carried = load;
        for (machine, main) in stages.iter().rev() {
            let stated = self.model.machines.get(*machine)?;
            let takes = stated.ends.load?;
            takes.meets(self.model.entry(carried).quantity)?;
            let called = if stages.len() == 1 { prefix.to_string() } else { format!("{prefix}.{}", stated.name) };
            let instance = self.elaborate_beside(*machine, *main, called, state, carried)?;
            carried = self.value_of(instance, "effort")?;
        }
        Some(carried)
    }

    fn group_pooled(&mut self, place: usize, group: &mut Group, ratio: Option<EntryId>) {
        let Some(readings) = self.model.readings.get(place).cloned() else { return };
        let span = readings.span;
        let sum = |resolver: &Resolver<'_>, group: &Group, name: &str| group.list(name).map(|list| resolver.sum(list, span));
        let over = |over: Option<Tree>, under: Option<Tree>| Some(binary(Operator::Divide, over?, under?));
        let advantage = over(sum(self, group, "load"), sum(self, group, "effort"));
        self.pooled(place, group, worked("mechanical_advantage", "sum of the loads over sum of the efforts", "definition", ""), advantage);
        let velocity = over(sum(self, group, "effort_travel"), sum(self, group, "load_travel"));
        let measured = velocity.is_some();
        let what = worked("velocity_ratio", "sum of the effort's travels over sum of the load's", "definition", "");
        self.pooled(place, group, what, velocity);
        if let (false, Some(ratio)) = (measured, ratio) {
            let own = Tree::entry(ratio, self.model.entry(ratio).quantity, Shape::Single, span);
            let label = format!("of `{}`; it was not measured", readings.of_name);
            self.pooled(place, group, worked("velocity_ratio", &label, "", ""), Some(own));
        }
        let (put_in, out) = (sum(self, group, "work_in"), sum(self, group, "work_out"));
        self.pooled(place, group, worked("work_in", "work put in, all trials", "", "J"), put_in);
        self.pooled(place, group, worked("work_out", "work got out, all trials", "", "J"), out);
        let value = |resolver: &Resolver<'_>, group: &Group, name: &str| {
            group.value(name).map(|id| Tree::entry(id, resolver.model.entry(id).quantity, Shape::Single, span))
        };
        let efficiency = over(value(self, group, "work_out"), value(self, group, "work_in"));
        let what = worked("efficiency", "all work got out over all work put in", "definition", "%");
        if efficiency.is_some() {
            self.pooled(place, group, what, efficiency);
        } else if ratio.is_some() && group.direction != Direction::Holding {
            let (advantage, own) = (value(self, group, "mechanical_advantage"), value(self, group, "velocity_ratio"));
            let efficiency = if group.direction == Direction::Raising { over(advantage, own) } else { over(own, advantage) };
            let label = "pooled advantage and the machine's own velocity ratio, which was not measured";
            self.pooled(place, group, worked("efficiency", label, "definition", "%"), efficiency);
        }
        let count = constant(group.trials.len(), span);
        let id = self.result(place, &group.prefix, worked("trials", "trials", "", ""), count);
        group.members.insert("trials".into(), Member::Value(id));
    }

    fn pooled(&mut self, place: usize, group: &mut Group, what: Worked<'_>, value: Option<Tree>) {
        let Some(value) = value else { return };
        let local = what.local.to_string();
        let id = self.result(place, &group.prefix, what, value);
        group.pooled.push(id);
        group.members.insert(local, Member::Value(id));
    }

    // Over trials of several directions there are the readings themselves, and what every one of them has.
    fn whole_block(&mut self, place: usize) {
        let Some(readings) = self.model.readings.get(place).cloned() else { return };
        let words: Vec<String> =
            readings.groups.iter().map(|group| format!("{} ({})", group.direction.word(), group.trials.len())).collect();
        let mixed = words.join(", ");
        let mut names: Vec<String> = Vec::new();
        for group in &readings.groups {
            names.extend(group.each.keys().filter(|name| !names.contains(name)).cloned().collect::<Vec<_>>());
        }
        let mut each = BTreeMap::new();
        for name in names {
            let mut items: Vec<Option<Tree>> = vec![None; readings.trials.len()];
            let mut lacks = None;
            for group in &readings.groups {
                match group.each.get(&name) {
                    Some(Member::Value(list)) => {
                        for (at, trial) in group.trials.iter().enumerate() {
                            let entry = self.model.entry(*list);
                            let index = Box::new(constant(at + 1, readings.span));
                            let form = TreeForm::Item(*list, index);
                            let tree = Tree { form, span: readings.span, quantity: entry.quantity, shape: Shape::Single };
                            items.get_mut(*trial).into_iter().for_each(|slot| *slot = Some(tree.clone()));
                        }
                    }
                    Some(Member::Without(why)) => lacks = Some(why.clone()),
                    Some(Member::Quiet) | None => {}
                }
            }
            let items: Option<Vec<Tree>> = items.into_iter().collect();
            let member = match items {
                Some(items) => Member::Value(self.list_of(place, &format!("{}.each", readings.name), &name, "", items)),
                None => Member::Without(lacks.unwrap_or_else(|| format!("not every trial of `{}` has it", readings.name))),
            };
            each.insert(name, member);
        }
        let count = constant(readings.trials.len(), readings.span);
        let trials = self.result(place, &readings.name, worked("trials", "trials", "", ""), count);
        let mut members = BTreeMap::from([("trials".to_string(), Member::Value(trials))]);
        for name in readings.groups.iter().flat_map(|group| group.members.keys()).filter(|name| *name != "trials") {
            let asks: Vec<String> = readings.groups.iter().map(|group| format!("`{}.{name}`", group.prefix)).collect();
            let why = format!("`{}` has trials {mixed}, and directions are not mixed: ask {}", readings.name, asks.join(" or "));
            members.insert(name.clone(), Member::Without(why));
        }
        if let Some(made) = self.model.readings.get_mut(place) {
            made.each = each;
            made.members = members;
        }
    }

    // Raising and lowering at one load: friction stands in the way of the one and helps the other.
    fn pairs(&mut self, place: usize) {
        let Some(readings) = self.model.readings.get(place).cloned() else { return };
        let (Some(up), Some(down)) = (readings.group(Direction::Raising), readings.group(Direction::Lowering)) else { return };
        let column = |read: Read| readings.columns.iter().find(|column| column.read == read);
        let (Some(loads), Some(efforts)) = (column(Read::Load), column(Read::Effort)) else { return };
        let load_of = |trial: &usize| loads.cells.get(*trial).and_then(|cell| self.literal(cell.read));
        let same = |a: f64, b: f64| (a - b).abs() <= 1e-9 * a.abs().max(b.abs());
        let mut rows: Vec<(EntryId, Vec<EntryId>, Vec<EntryId>)> = Vec::new();
        let mut seen: Vec<f64> = Vec::new();
        for trial in &up.trials {
            let Some(load) = load_of(trial).filter(|load| !seen.iter().any(|before| same(*before, *load))) else { continue };
            let at_load = |group: &Group| -> Vec<EntryId> {
                let trials = group.trials.iter().filter(|trial| load_of(trial).is_some_and(|found| same(found, load)));
                trials.filter_map(|trial| efforts.cells.get(*trial)).map(|cell| cell.value).collect()
            };
            seen.push(load);
            let (raising, lowering) = (at_load(up), at_load(down));
            if let (false, Some(cell)) = (lowering.is_empty(), loads.cells.get(*trial)) {
                rows.push((cell.value, raising, lowering));
            }
        }
        if rows.is_empty() {
            return;
        }
        let span = readings.span;
        let prefix = format!("{}.pairs", readings.name);
        let mut each: BTreeMap<String, Member> = BTreeMap::new();
        let columns: [(&str, &str, Vec<Tree>); 3] = [
            ("load", "load", rows.iter().map(|(load, ..)| self.value_tree(*load, span)).collect()),
            ("raising_effort", "effort raising", rows.iter().map(|(_, up, _)| self.mean_of(up, span)).collect()),
            ("lowering_effort", "effort lowering", rows.iter().map(|(.., down)| self.mean_of(down, span)).collect()),
        ];
        for (name, words, items) in columns {
            let id = self.list_of(place, &prefix, name, words, items);
            each.insert(name.into(), Member::Value(id));
        }
        let list = |name: &str| match each.get(name) {
            Some(Member::Value(id)) => Some(*id),
            _ => None,
        };
        let (Some(up), Some(down)) = (list("raising_effort"), list("lowering_effort")) else { return };
        let half = |resolver: &Resolver<'_>, operator: Operator| {
            let joined = binary(operator, resolver.item(up, span), resolver.item(down, span));
            binary(Operator::Divide, joined, constant(2, span))
        };
        let reference = "derived here: holds where friction is the same both ways";
        let mut made = Vec::new();
        for (local, label, operator) in [
            ("frictionless_effort", "mean of the two: effort without friction", Operator::Add),
            ("friction", "half their difference: effort that friction takes", Operator::Subtract),
        ] {
            let tree = half(self, operator);
            let id = self.index_list(place, &prefix, rows.len(), worked(local, label, reference, ""), tree);
            each.insert(local.into(), Member::Value(id));
            made.push(id);
        }
        if let Some(readings) = self.model.readings.get_mut(place) {
            readings.pairs = Some(Pairs { each, worked: made });
        }
    }

    // A load as its author wrote it, to tell which trials have the same.
    fn literal(&self, id: EntryId) -> Option<f64> {
        let entry = self.model.entry(id);
        match &entry.reading.as_ref().map_or(&entry.value, |reading| &reading.shown).form {
            TreeForm::Constant(constant) => Some(constant.si),
            _ => None,
        }
    }

    // ---- entries and trees

    fn value_tree(&self, id: EntryId, span: Span) -> Tree {
        Tree::entry(id, self.model.entry(id).quantity, Shape::Single, span)
    }

    fn mean_of(&self, ids: &[EntryId], span: Span) -> Tree {
        let mut items = ids.iter().map(|id| self.value_tree(*id, span));
        let Some(first) = items.next() else { return Tree::unknown(span) };
        let sum = items.fold(first, |left, right| binary(Operator::Add, left, right));
        if ids.len() == 1 { sum } else { binary(Operator::Divide, sum, constant(ids.len(), span)) }
    }

    fn item(&self, list: EntryId, span: Span) -> Tree {
        let quantity = self.model.entry(list).quantity;
        let index = Tree { form: TreeForm::Variable(0, "i".into()), span, quantity: Quantity::RATIO, shape: Shape::Single };
        Tree { form: TreeForm::Item(list, Box::new(index)), span, quantity, shape: Shape::Single }
    }

    fn sum(&self, list: EntryId, span: Span) -> Tree {
        let entry = self.model.entry(list);
        let quantity = entry.quantity;
        let Shape::List { count, .. } = entry.shape else { return Tree::unknown(span) };
        let form = TreeForm::Over { fold: Fold::Sum, body: Box::new(self.item(list, span)), range: Box::new(counted(count, span)) };
        Tree { form, span, quantity, shape: Shape::Single }
    }

    fn listed(&mut self, place: usize, group: &Group, local: &str, label: &str, ids: &[EntryId]) -> EntryId {
        let span = self.model.readings.get(place).map_or(self.home.span(Default::default()), |readings| readings.span);
        let items = ids.iter().map(|id| self.value_tree(*id, span)).collect();
        self.list_of(place, &format!("{}.each", group.prefix), local, label, items)
    }

    fn list_of(&mut self, place: usize, prefix: &str, local: &str, label: &str, items: Vec<Tree>) -> EntryId {
        let span = items.first().map_or(self.home.span(Default::default()), |item| item.span);
        let quantity = items.first().map_or(Quantity::RATIO, |item| item.quantity);
        let shape = Shape::List { first: 1, count: items.len() };
        let value = Tree { form: TreeForm::List(items), span, quantity, shape };
        let mut entry = self.plain_entry(&format!("{prefix}.{local}"), value, Role::Working, span);
        entry.local = local.into();
        entry.label = label.into();
        entry.owner = Owner::Readings(place);
        self.model.push(entry)
    }

    fn indexed(&mut self, place: usize, group: &mut Group, count: usize, what: Worked<'_>, value: Tree) {
        let local = what.local.to_string();
        let id = self.index_list(place, &format!("{}.each", group.prefix), count, what, value);
        group.worked.push(id);
        group.each.insert(local, Member::Value(id));
    }

    fn index_list(&mut self, place: usize, prefix: &str, count: usize, what: Worked<'_>, value: Tree) -> EntryId {
        let span = value.span;
        let id = self.result(place, prefix, what, value);
        if let Some(entry) = self.model.entries.get_mut(id.0) {
            entry.shape = Shape::List { first: 1, count };
            entry.index = Some(Box::new(counted(count, span)));
        }
        id
    }

    fn result(&mut self, place: usize, prefix: &str, what: Worked<'_>, value: Tree) -> EntryId {
        let span = value.span;
        let mut entry = self.plain_entry(&format!("{prefix}.{}", what.local), value, Role::Working, span);
        entry.local = what.local.into();
        entry.label = what.label.into();
        entry.owner = Owner::Readings(place);
        if what.unit == "J" {
            entry.quantity = ENERGY;
            entry.shown_in = None;
        } else if let Ok(unit) = crate::units::parse(what.unit) {
            entry.shown_in = Some(unit);
        }
        entry.evidence = Some(what.reference)
            .filter(|reference| !reference.is_empty())
            .map(|reference| (EvidenceWord::Ref, reference.to_string()))
            .into_iter()
            .collect();
        self.model.push(entry)
    }
}

// From 1 to `count`.
fn counted(count: usize, span: Span) -> Range {
    Range {
        name: "i".into(),
        slot: 0,
        first: 1,
        last: i64::try_from(count).unwrap_or(0),
        first_written: Box::new(constant(1, span)),
        last_written: Box::new(constant(count, span)),
    }
}

fn constant(number: usize, span: Span) -> Tree {
    let form = TreeForm::Constant(Constant { si: number as f64, parts: vec![(number.to_string(), None)] });
    Tree { form, span, quantity: Quantity::RATIO, shape: Shape::Single }
}

fn binary(operator: Operator, left: Tree, right: Tree) -> Tree {
    let quantity = match operator {
        Operator::Add | Operator::Subtract => left.quantity.meets(right.quantity),
        Operator::Multiply => left.quantity.times(right.quantity),
        Operator::Divide => left.quantity.over(right.quantity),
        Operator::Power => None,
    };
    let quantity = quantity.unwrap_or(left.quantity);
    let span = left.span;
    Tree { form: TreeForm::Binary(operator, Box::new(left), Box::new(right)), span, quantity, shape: Shape::Single }
}
