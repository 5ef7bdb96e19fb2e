//! A machine at work: the relations of its kind turned into plain definitions, for one load and one direction.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::machines::{FieldMissing, FieldsClash};
use crate::diagnostics::catalogue::names::ArgumentsWrong;
use crate::model::expressions::{Reader, unfit};
use crate::model::faults::NEEDED;
use crate::model::guards::{Circumstances, holds};
use crate::model::items::Item;
use crate::model::machines::field_quantity;
use crate::model::quantity::Quantity;
use crate::model::resolve::Resolver;
use crate::model::scope::Lookup;
use crate::model::tree::{EntryId, Range, Shape, Tree, TreeForm};
use crate::model::{Condition, Instance, KindSource, Machine, Member, Members, Owner, Purpose, Role, State, counts};
use crate::source::{Extent, Home, Span};
use crate::syntax::ast;
use crate::syntax::ast::{Definition, Guard, KindItem};
use std::collections::BTreeMap;
use std::sync::Arc;

/// The kind whose relations every machine has.
pub(super) const EVERY: &str = "every";

/// Where an item of a kind stands.
pub(super) fn item_at(item: &KindItem) -> Extent {
    match item {
        KindItem::Field(field) => field.at,
        KindItem::Choice(choice) => choice.at,
        KindItem::Ports(ports) => ports.at,
        KindItem::Relation(definition) | KindItem::Node(definition) => definition.at,
        KindItem::Limit(condition) | KindItem::Question(condition) | KindItem::Sustains(condition) => condition.at,
        KindItem::Caution(caution) => caution.at,
        KindItem::Broken(broken) => broken.at,
    }
}

/// What is being put together for one machine at work, or for one train.
pub(super) struct Work {
    pub(super) owner: Owner,
    pub(super) prefix: String,
    pub(super) label: String,
    pub(super) state: State,
    pub(super) choices: Vec<(String, String)>,
    pub(super) given: Arc<BTreeMap<String, EntryId>>,
    pub(super) members: Members,
    pub(super) relations: Vec<EntryId>,
    pub(super) nodes: Vec<EntryId>,
    pub(super) fields: Vec<EntryId>,
    pub(super) conditions: Vec<Condition>,
    pub(super) cautions: Vec<Arc<(String, String)>>,
    pub(super) broken: bool,
    pub(super) loaded: bool,
    pub(super) place: Span,
    /// The only items to work, when not all are wanted.
    pub(super) only: Option<Arc<[bool]>>,
}

impl Work {
    /// Nothing worked yet.
    pub(super) fn new(owner: Owner, machine: &Machine, prefix: String, state: State, place: Span) -> Work {
        let quantity = |quantity: Quantity| if quantity == Quantity::TORQUE { "torque" } else { "force" }.to_string();
        let mut choices: Vec<(String, String)> = machine.choices.iter().map(|(name, _, choice)| (name.clone(), choice.clone())).collect();
        // What its ends are can be asked of a machine like any choice.
        choices.push(("effort_end".into(), quantity(machine.ends.effort)));
        choices.extend(machine.ends.load.map(|load| ("load_end".to_string(), quantity(load))));
        let label = machine.name.clone();
        Work { choices, given: Arc::clone(&machine.fields), ..Work::blank(owner, prefix, label, state, place) }
    }

    /// Nothing worked yet, of something that has neither options nor fields.
    pub(super) fn blank(owner: Owner, prefix: String, label: String, state: State, place: Span) -> Work {
        Work {
            owner,
            prefix,
            label,
            state,
            choices: Vec::new(),
            given: Arc::default(),
            members: Members::default(),
            relations: Vec::new(),
            nodes: Vec::new(),
            fields: Vec::new(),
            conditions: Vec::new(),
            cautions: Vec::new(),
            broken: false,
            loaded: true,
            place,
            only: None,
        }
    }
}

impl Instance {
    /// A machine at work of which nothing is worked yet.
    pub(super) fn new(machine: usize, train: Option<usize>, prefix: String, state: State, loaded: bool, beside: bool) -> Instance {
        Instance {
            machine,
            train,
            prefix,
            state,
            members: Members::default(),
            relations: Vec::new(),
            nodes: Vec::new(),
            fields: Vec::new(),
            conditions: Vec::new(),
            cautions: Vec::new(),
            broken: false,
            loaded,
            beside,
        }
    }
}

impl Resolver<'_> {
    /// Puts a machine to work on `load` and returns its place among the instances.
    pub(super) fn elaborate(
        &mut self,
        machine: usize,
        train: Option<usize>,
        prefix: String,
        state: State,
        load: Option<EntryId>,
        travel: EntryId,
    ) -> Option<usize> {
        let stated = self.model.machines.get(machine)?;
        let source = self.kinds.get(&stated.kind).cloned()?;
        let at = self.model.instances.len();
        let mut work = Work::new(Owner::Instance(at), stated, prefix.clone(), state, stated.span);
        work.loaded = load.is_some();
        let is_load = stated.ends.load.is_none();
        // The place is taken first, so that entries can name their owner.
        self.model.instances.push(Instance::new(machine, train, prefix, state, load.is_some(), false));
        if is_load {
            return self.elaborate_load(at, machine, &source, work);
        }
        let carried = load.map(Member::Value).unwrap_or_else(|| {
            Member::Without(format!("`{}` carries no load: name it in a train, or give it an indented line `load ...`", work.label))
        });
        work.members = Members::with_room(source.kind.items.len().min(64));
        work.members.insert("load", carried);
        work.members.insert("load_travel", Member::Value(travel));
        self.body(&source, &mut work);
        self.own_work(&mut work);
        if let Some(every) = self.kinds.get(EVERY).cloned() {
            for needed in NEEDED {
                if work.loaded || *needed == "velocity_ratio" {
                    self.must_have(needed, &source, &mut work);
                }
            }
            self.ends_fit(&mut work);
            if !work.broken {
                work.settle_help();
                self.body(&every, &mut work);
            }
        }
        self.keep(at, work);
        self.model.machines.get_mut(machine)?.instances.push(at);
        Some(at)
    }

    /// Leaves what was worked with the machine at work.
    pub(super) fn keep(&mut self, at: usize, work: Work) {
        if let Some(instance) = self.model.instances.get_mut(at) {
            instance.members = work.members;
            instance.relations = work.relations;
            instance.nodes = work.nodes;
            instance.fields = work.fields;
            instance.conditions = work.conditions;
            instance.cautions = work.cautions;
            instance.broken = work.broken;
        }
    }

    // A kind of load has neither effort nor travel: it gives the load, and that is all that is asked of it.
    pub(super) fn elaborate_load(&mut self, at: usize, machine: usize, source: &KindSource, mut work: Work) -> Option<usize> {
        self.body(source, &mut work);
        self.must_have("load", source, &mut work);
        self.end_is("load", Quantity::FORCE, &mut work);
        self.keep(at, work);
        self.model.machines.get_mut(machine)?.instances.push(at);
        Some(at)
    }

    // What every machine has rests on the effort and on the work at the surfaces; a kind that gives something else has a
    // fault of its own, told at the kind.
    pub(super) fn ends_fit(&mut self, work: &mut Work) {
        let energy = Quantity { dimension: Quantity::TORQUE.dimension, nature: crate::units::Nature::Energy };
        let torque = work.choices.iter().any(|(name, choice)| name == "effort_end" && choice == "torque");
        self.end_is("effort", if torque { Quantity::TORQUE } else { Quantity::FORCE }, work);
        self.end_is("friction_work", energy, work);
    }

    // A value that stands for an end of a machine is what that end is said to be.
    fn end_is(&mut self, name: &str, wanted: Quantity, work: &mut Work) {
        let Some(Member::Value(id)) = work.members.get(name).cloned() else { return };
        let entry = self.model.entry(id);
        if entry.quantity.dimension != wanted.dimension {
            let (span, finding) = (entry.value.span, unfit(&format!("`{name}`"), wanted, &entry.value));
            self.kind_fault(span, finding.as_ref(), work);
        } else if let Some(entry) = self.model.entries.get_mut(id.0) {
            entry.quantity = wanted;
        }
    }

    /// The items of one kind, in order.
    pub(super) fn body(&mut self, source: &KindSource, work: &mut Work) {
        for (at, (item, made)) in source.kind.items.iter().zip(source.items()).enumerate() {
            let wanted =
                work.only.as_ref().is_none_or(|only| only.get(at).copied().unwrap_or(true) && !work.members.contains_key(&made.name));
            match item {
                KindItem::Relation(_) | KindItem::Node(_) if !wanted => {}
                KindItem::Question(_) | KindItem::Caution(_) if work.only.is_some() => {}
                KindItem::Field(field) => self.kind_field(source, field, made, work),
                KindItem::Choice(_) | KindItem::Ports(_) => {}
                KindItem::Relation(definition) => self.relation(source, definition, made, Role::Relation, work),
                KindItem::Node(definition) => self.relation(source, definition, made, Role::Node, work),
                KindItem::Limit(condition) => self.condition(source, condition, made, Purpose::Limit, work),
                KindItem::Question(condition) => self.condition(source, condition, made, Purpose::Question, work),
                KindItem::Sustains(condition) => self.condition(source, condition, made, Purpose::Sustains, work),
                KindItem::Caution(caution) => {
                    if self.holds(source, caution.when.as_ref(), work) == Some(true) {
                        work.cautions.extend(made.caution.clone());
                    }
                }
                KindItem::Broken(broken) => {
                    work.broken = true;
                    if broken.name.is_some() {
                        work.members.insert(Arc::clone(&made.name), Member::Quiet);
                    }
                }
            }
        }
    }

    fn kind_field(&mut self, source: &KindSource, field: &ast::Field, made: &Item, work: &mut Work) {
        let name = Arc::clone(&made.name);
        if work.members.contains_key(&name) {
            return;
        }
        let mut id = work.given.get(&*name).copied();
        if id.is_none()
            && let Some(default) = &field.default
        {
            let Some(value) = self.in_kind(source.home, work, |reader| Some(reader.read(default))).filter(|value| !value.is_unknown())
            else {
                work.members.insert(name, Member::Quiet);
                return;
            };
            if let Some(quantity) = field_quantity(field)
                && quantity.meets(value.quantity).is_none()
            {
                let finding = unfit(&format!("the default of `{name}`"), quantity, &value);
                self.kind_fault(source.home.span(default.at), finding.as_ref(), work);
                work.members.insert(name, Member::Quiet);
                return;
            }
            let said = (within(&work.prefix, &name), made.wording());
            let entry = self.worded_entry(said, value, Role::Field { given: false }, source.home.span(field.at), work.owner);
            let default = self.model.push(entry);
            work.fields.push(default);
            id = Some(default);
        }
        match (id, &field.each) {
            (Some(id), None) => {
                work.members.insert(name, Member::Value(id));
            }
            (Some(id), Some(each)) => {
                let member = self.spread(source, (field, made), each, id, work);
                work.members.insert(name, member);
            }
            (None, _) if field.optional => {}
            (None, _) => {
                self.sink.push(work.place, &FieldMissing { machine: work.label.clone(), name: name.replace('_', " "), any_of: Vec::new() });
                work.members.insert(name, Member::Quiet);
                work.broken = true;
            }
        }
    }

    // One stated value stands for every sheave; a list must have one item for each.
    fn spread(
        &mut self,
        source: &KindSource,
        (field, made): (&ast::Field, &Item),
        each: &ast::Expression,
        id: EntryId,
        work: &mut Work,
    ) -> Member {
        let count = self.in_kind(source.home, work, |reader| {
            let tree = reader.single(each);
            counts::whole(&tree, reader.model, &[])
        });
        let Some(count) = count.and_then(|count| usize::try_from(count).ok()) else { return Member::Quiet };
        let entry = self.model.entry(id);
        let (quantity, span) = (entry.quantity, entry.span);
        match entry.shape {
            Shape::List { count: has, .. } if has == count => Member::Value(id),
            Shape::List { count: has, .. } => {
                let finding = ArgumentsWrong {
                    function: field.name.text.replace('_', " "),
                    takes: format!("one value for all, or a list of {count}"),
                    found: format!("a list of {has}"),
                };
                self.sink.push(span, &finding);
                work.broken = true;
                Member::Quiet
            }
            Shape::Single => {
                let one = Tree::entry(id, quantity, Shape::Single, span);
                let value = Tree { form: TreeForm::List(vec![one; count]), span, quantity, shape: Shape::List { first: 1, count } };
                let wording = made.without_evidence.clone().unwrap_or_default();
                let said = (within(&work.prefix, &made.name), wording);
                let entry = self.worded_entry(said, value, Role::Passed, span, work.owner);
                Member::Value(self.model.push(entry))
            }
        }
    }

    fn relation(&mut self, source: &KindSource, definition: &Definition, made: &Item, role: Role, work: &mut Work) {
        let held = self.holds(source, definition.when.as_ref(), work);
        if held == Some(false) {
            return;
        }
        let name = Arc::clone(&made.name);
        if held.is_none() {
            work.members.insert_new(name, Member::Quiet);
            return;
        }
        match work.members.get(&name) {
            Some(Member::Value(first)) => {
                let first = *first;
                self.twice(source, definition, first, work);
                return;
            }
            Some(Member::Quiet) => return,
            Some(Member::Without(_)) | None => {}
        }
        let quickly =
            if definition.running.is_none() { self.flawless(source.home, work, |reader| reader.definition(definition)) } else { None };
        let (value, index) = match quickly {
            Some(read) => read,
            None => match self.read_with_care(source, definition, work) {
                Ok(read) => read,
                Err(member) => {
                    work.members.insert(name, member);
                    return;
                }
            },
        };
        let said = (within(&work.prefix, &name), made.wording());
        let mut entry = self.worded_entry(said, value, role, source.home.span(definition.at), work.owner);
        if let Some(range) = &index {
            entry.shape = Shape::List { first: range.first, count: usize::try_from(range.last - range.first + 1).unwrap_or(0) };
        }
        if let Some(unit) = &made.unit {
            // A coherent unit only says what the quantity is, an energy or a torque; the reader's own unit is chosen later.
            let of = Quantity { dimension: unit.dimension, nature: unit.nature };
            entry.quantity = if of.dimension == entry.quantity.dimension { of } else { entry.quantity };
            entry.shown_in = (unit.scale != 1.0).then(|| unit.clone());
        }
        entry.index = index.map(Box::new);
        let id = self.model.push(entry);
        if role == Role::Node {
            work.nodes.push(id)
        } else {
            work.relations.push(id)
        }
        work.members.insert(name, Member::Value(id));
    }

    // What a definition comes to, or the member that stands for it instead.
    fn read_with_care(&mut self, source: &KindSource, definition: &Definition, work: &mut Work) -> Result<(Tree, Option<Range>), Member> {
        // A relation that rests on something without a value here has none either; only asking for it is a fault.
        let lacks = self.lacking(source, &definition.value, work).or_else(|| {
            let running = definition.running.as_ref()?;
            self.lacking(source, &running.to, work)
        });
        if let Some(member) = lacks {
            return Err(member);
        }
        let before = self.sink.len();
        self.in_kind(source.home, work, |reader| reader.definition(definition)).ok_or_else(|| {
            work.broken |= self.sink.len() > before;
            Member::Quiet
        })
    }

    // The first name in `expression` that has no value here, as the member to hand on.
    fn lacking(&mut self, source: &KindSource, expression: &ast::Expression, work: &mut Work) -> Option<Member> {
        let mut names = Vec::new();
        each_name(expression, &mut names);
        for name in names {
            match work.members.get(name) {
                Some(Member::Without(why)) => return Some(Member::Without(why.clone())),
                Some(Member::Quiet) => return Some(Member::Quiet),
                Some(Member::Value(_)) => {}
                None => {
                    let optional = source.kind.items.iter().find_map(|item| match item {
                        KindItem::Field(field) if field.name.text == name => Some(Vec::new()),
                        KindItem::Relation(definition) | KindItem::Node(definition) if definition.name.text == name => {
                            let mut given = Vec::new();
                            for item in &source.kind.items {
                                if let KindItem::Relation(alternative) = item
                                    && alternative.name.text == name
                                    && let Some(guard) = &alternative.when
                                {
                                    asked(guard, &mut given);
                                }
                            }
                            Some(given)
                        }
                        _ => None,
                    });
                    if let Some(any_of) = optional {
                        if any_of.is_empty()
                            && !source.kind.items.iter().any(|item| matches!(item, KindItem::Field(field) if field.name.text == name))
                        {
                            return Some(Member::Without(format!("`{name}` is not defined for this direction or choice")));
                        }
                        let both: Vec<String> =
                            any_of.iter().filter(|name| work.given.contains_key(*name)).map(|name| name.replace('_', " ")).collect();
                        if both.len() > 1 {
                            self.sink.push(work.place, &FieldsClash { machine: work.label.clone(), names: both });
                            work.members.insert(name, Member::Quiet);
                            work.broken = true;
                            return Some(Member::Quiet);
                        }
                        let any_of = any_of.iter().map(|name| name.replace('_', " ")).collect();
                        self.sink.push(work.place, &FieldMissing { machine: work.label.clone(), name: name.replace('_', " "), any_of });
                        work.members.insert(name, Member::Quiet);
                        work.broken = true;
                        return Some(Member::Quiet);
                    }
                }
            }
        }
        None
    }

    fn condition(&mut self, source: &KindSource, condition: &ast::Condition, made: &Item, purpose: Purpose, work: &mut Work) {
        if self.holds(source, condition.when.as_ref(), work) != Some(true) {
            return;
        }
        let quickly = self.flawless(source.home, work, |reader| reader.comparison(&condition.comparison));
        let read = quickly.or_else(|| self.compared_with_care(source, condition, work));
        if let Some((left, right)) = read {
            work.conditions.push(Condition {
                purpose,
                left,
                relation: condition.comparison.relation,
                right,
                says: Arc::clone(&made.says),
                span: source.home.span(condition.at),
            });
        }
    }

    // Both sides of a condition, where all that they name has a value here.
    fn compared_with_care(&mut self, source: &KindSource, condition: &ast::Condition, work: &mut Work) -> Option<(Tree, Tree)> {
        let mut names = Vec::new();
        each_name(&condition.comparison.left, &mut names);
        each_name(&condition.comparison.right, &mut names);
        let known = |name: &str| matches!(work.members.get(name), Some(Member::Value(_)));
        let kinds_own = |name: &str| {
            source.kind.items.iter().any(|item| match item {
                KindItem::Field(field) => field.name.text == name,
                KindItem::Relation(definition) | KindItem::Node(definition) => definition.name.text == name,
                _ => false,
            }) || work.members.contains_key(name)
        };
        if names.iter().any(|name| !known(name) && kinds_own(name)) {
            return None;
        }
        self.in_kind(source.home, work, |reader| reader.comparison(&condition.comparison))
    }

    pub(super) fn holds(&mut self, source: &KindSource, guard: Option<&Guard>, work: &mut Work) -> Option<bool> {
        let Some(guard) = guard else { return Some(true) };
        let travel = match asks_after(guard, "load_travel").then(|| work.members.get("load_travel")).flatten() {
            Some(Member::Value(travel)) => Some(self.travel_is_given(*travel)),
            _ => None,
        };
        // Lent to the guard and put back: nothing that is read in between looks at them.
        let (choices, given) = (std::mem::take(&mut work.choices), Arc::clone(&work.given));
        let is_field = |name: &str| source.kind.items.iter().any(|item| matches!(item, KindItem::Field(field) if field.name.text == name));
        let is_given = |name: &str| is_field(name).then(|| given.contains_key(name));
        let state = work.state;
        let holds = self.in_kind(source.home, work, |reader| {
            let circumstances = Circumstances {
                state,
                choice: &|name| choices.iter().find(|(option, _)| option == name).map(|(_, choice)| choice.as_str()),
                given: &|name| travel.filter(|_| name == "load_travel").or_else(|| is_given(name)),
            };
            holds(guard, &circumstances, reader)
        });
        work.choices = choices;
        holds
    }

    // Whether a travel is one the author stated, here or at the end of the train, and not the unit it is reckoned for.
    fn travel_is_given(&self, travel: EntryId) -> bool {
        let entry = self.model.entry(travel);
        match (&entry.role, entry.owner) {
            (Role::Travel { given }, _) => *given,
            // The travel of a stage is the effort's travel of the one before it on the way from the load.
            (_, Owner::Instance(at)) => match self.model.instances.get(at).and_then(|instance| instance.members.get("load_travel")) {
                Some(Member::Value(before)) if *before < travel => self.travel_is_given(*before),
                _ => false,
            },
            _ => false,
        }
    }

    // Reads something inside a kind; none where anything at all is to be told of it.
    fn flawless<T>(&self, home: Home, work: &Work, with: impl FnOnce(&mut Reader<'_>) -> Option<T>) -> Option<T> {
        let gravity = self.scopes.get(self.scope).and_then(|scope| scope.gravity);
        let mut sink = Sink::new();
        let lookup = Lookup::Kind { members: &work.members, gravity, telling: false };
        with(&mut Reader::new(&self.model, lookup, home, &mut sink)).filter(|_| sink.is_empty())
    }

    // Reads something inside a kind. A fault of the kind is told once, at the kind, with the machine beside it.
    fn in_kind<T>(&mut self, home: Home, work: &mut Work, with: impl FnOnce(&mut Reader<'_>) -> Option<T>) -> Option<T> {
        let gravity = self.scopes.get(self.scope).and_then(|scope| scope.gravity);
        let mut sink = Sink::new();
        let result = {
            let lookup = Lookup::Kind { members: &work.members, gravity, telling: true };
            with(&mut Reader::new(&self.model, lookup, home, &mut sink))
        };
        if sink.is_empty() {
            return result;
        }
        work.broken |= sink.has_errors();
        for finding in sink.into_sorted() {
            self.tell(finding, work.place);
        }
        result
    }
}

// The full name of what goes by `name` in a machine at work.
fn within(prefix: &str, name: &str) -> String {
    let mut whole = String::with_capacity(prefix.len() + 1 + name.len());
    whole.push_str(prefix);
    whole.push('.');
    whole.push_str(name);
    whole
}

/// Puts the first part of every name in `expression` among `names`.
pub(super) fn each_name<'e>(expression: &'e ast::Expression, names: &mut Vec<&'e str>) {
    use crate::syntax::ast::Form;
    match &expression.form {
        Form::Quantity(_) => {}
        Form::Name(path) => names.extend(path.parts.first().map(|part| part.text.as_str())),
        Form::Item { list, index } => {
            names.extend(list.parts.first().map(|part| part.text.as_str()));
            each_name(index, names);
        }
        Form::List(items) => items.iter().for_each(|item| each_name(item, names)),
        Form::Negative(of) => each_name(of, names),
        Form::Binary { left, right, .. } => {
            each_name(left, names);
            each_name(right, names);
        }
        Form::Call { arguments, .. } => arguments.iter().for_each(|argument| each_name(argument, names)),
        Form::Over { body, running, .. } => {
            each_name(body, names);
            each_name(&running.from, names);
            each_name(&running.to, names);
            names.retain(|name| *name != running.index.text);
        }
    }
}

// Whether a guard asks if `name` is given.
fn asks_after(guard: &Guard, name: &str) -> bool {
    match guard {
        Guard::Any(guards) | Guard::All(guards) => guards.iter().any(|guard| asks_after(guard, name)),
        Guard::Given { field, .. } => field.text == name,
        Guard::State(_) | Guard::Is { .. } | Guard::Compare(_) => false,
    }
}

/// The fields whose being given a guard asks about.
pub(super) fn asked(guard: &Guard, names: &mut Vec<String>) {
    match guard {
        Guard::Any(guards) | Guard::All(guards) => guards.iter().for_each(|guard| asked(guard, names)),
        Guard::Given { field, negated: false } if !names.contains(&field.text) => names.push(field.text.clone()),
        _ => {}
    }
}
