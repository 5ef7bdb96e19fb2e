//! `vary` and `size`: what is tried, at which values, and what is asked of each trial.

use crate::diagnostics::catalogue::studies::{CheckTitleUnknown, FractionalCount, NotVaried};
use crate::diagnostics::{Label, nearest};
use crate::model::expressions::unfit;
use crate::model::quantity::Quantity;
use crate::model::resolve::Resolver;
use crate::model::scope::{Found, Lookup};
use crate::model::tree::{Constant, EntryId, Shape, Tree, TreeForm};
use crate::model::{Entry, Model, Owner, Role, counts};
use crate::source::{Extent, Span};
use crate::syntax::ast;
use crate::syntax::ast::{Goal, KindItem, Path, Relation, Statement};
use crate::units::Unit;

/// A value tried at other values than its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    /// The name as written.
    pub name: String,
    /// Where the name stands.
    pub name_span: Span,
    /// Where the statement stands.
    pub span: Span,
    /// What is tried.
    pub entry: EntryId,
    /// Whether only whole numbers are tried.
    pub whole: bool,
    /// The values it is tried at; none when they are to be searched for.
    pub trials: Option<Trials>,
    /// What is asked of each trial.
    pub asks: Asks,
}

/// The values something is tried at.
#[derive(Debug, Clone, PartialEq)]
pub enum Trials {
    /// Each of a list.
    Listed(Tree),
    /// From one value to another.
    Between {
        /// The first.
        from: Box<Tree>,
        /// The last.
        to: Box<Tree>,
        /// How the way between is cut up.
        step: Option<Step>,
    },
}

/// How a range is cut up.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// By so much.
    By(Box<Tree>),
    /// Into so many steps.
    In(f64, Span),
}

/// What is asked of each trial.
#[derive(Debug, Clone, PartialEq)]
pub enum Asks {
    /// Results.
    Results(Vec<Shown>),
    /// Whether everything holds.
    Holds {
        /// Which end of what serves is wanted.
        goal: Goal,
        /// What must hold.
        demands: Vec<Demand>,
        /// Where `every check` stands, with how many checks are above it.
        every: Option<(Span, usize)>,
    },
}

/// A result to show.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// What.
    pub value: Tree,
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// The unit it is to be shown in.
    pub shown_in: Option<Unit>,
    /// Whether that unit was asked for.
    pub asked: bool,
}

/// Something that must hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    /// The check it is, by its place in [`Model::checks`]; none for a comparison of its own.
    pub check: Option<usize>,
    /// Whether it is here as one of `every check`, so that it only counts when it depends on what is tried.
    pub of_every: bool,
    /// Left side as written.
    pub left: Tree,
    /// The sign.
    pub relation: Relation,
    /// Right side as written.
    pub right: Tree,
    /// Where it is asked for.
    pub span: Span,
}

impl Demand {
    /// The side that must not be the greater.
    pub fn demand(&self) -> &Tree {
        if matches!(self.relation, Relation::AtLeast | Relation::Above) { &self.right } else { &self.left }
    }

    /// The side that must not be the lesser.
    pub fn capacity(&self) -> &Tree {
        if matches!(self.relation, Relation::AtLeast | Relation::Above) { &self.left } else { &self.right }
    }

    /// Whether the two sides must differ.
    pub fn strict(&self) -> bool {
        matches!(self.relation, Relation::Above | Relation::Below)
    }
}

/// A value put in place of an entry's own, where the entry is pushed.
#[derive(Debug, Clone, PartialEq)]
pub struct Substitute {
    name: String,
    span: Span,
    // How many entries of that name and place come before: a default of a kind has one place for all its machines.
    before: usize,
    si: f64,
}

impl Substitute {
    /// `si`, in SI units, for the entry `id` of `model`.
    pub fn new(model: &Model, id: EntryId, si: f64) -> Self {
        let entry = model.entry(id);
        let same = |other: &&Entry| other.name == entry.name && other.span == entry.span;
        let before = model.entries.iter().take(id.0).filter(same).count();
        Substitute { name: entry.name.clone(), span: entry.span, before, si }
    }

    /// Changes `entry` when it is the one that is meant.
    pub(super) fn apply(&mut self, entry: &mut Entry) {
        if self.name != entry.name || self.span != entry.span {
            return;
        }
        if self.before == 0 {
            put(entry, self.si);
        }
        self.before = self.before.wrapping_sub(1);
    }
}

// The value alone, without the doubt of the one it replaces.
fn put(entry: &mut Entry, si: f64) {
    let constant = Constant { si, parts: vec![(String::new(), None)] };
    entry.value = Tree { form: TreeForm::Constant(constant), span: entry.value.span, quantity: entry.quantity, shape: Shape::Single };
    entry.index = None;
    entry.doubts.clear();
}

impl Model {
    /// The same model with a value in SI units in place of an entry's own. Lengths of lists and guards stay as they are:
    /// where those rest on the value, the names have to be bound again ([`crate::model::resolve_with`]).
    pub fn with_value(&self, id: EntryId, si: f64) -> Model {
        let mut model = self.clone();
        if let Some(entry) = model.entries.get_mut(id.0) {
            put(entry, si);
        }
        model
    }

    /// For each entry, whether it rests on `id` by way of expressions, lengths of lists and what a load has to meet.
    pub fn resting_on(&self, id: EntryId) -> Vec<bool> {
        let mut rests: Vec<bool> = (0..self.entries.len()).map(|at| at == id.0).collect();
        // A load that is sought rests on entries further down, so one pass may not be enough; each goes a load further.
        for _ in 0..=self.sought.len() {
            for (at, entry) in self.entries.iter().enumerate() {
                let mut does = rests.get(at).copied().unwrap_or(false);
                let mut see = |on: EntryId| does |= rests.get(on.0).copied().unwrap_or(false);
                self.each_behind(&entry.value, &mut see);
                if let Some(range) = &entry.index {
                    range.first_written.each_entry(&mut see);
                    range.last_written.each_entry(&mut see);
                }
                if let Some(cell) = rests.get_mut(at) {
                    *cell = does;
                }
            }
        }
        rests
    }

    /// Calls `visit` for every entry that `tree` is worked from, also where it is a load that is sought.
    pub fn each_behind(&self, tree: &Tree, visit: &mut dyn FnMut(EntryId)) {
        tree.each_entry(visit);
        if let TreeForm::Sought(at) = tree.form
            && let Some(sought) = self.sought.get(at)
        {
            visit(sought.known);
            sought.target.iter().for_each(|target| target.each_entry(visit));
        }
    }

    /// Whether an entry is a count by the look of it: a bare whole number, without doubt and without a point in its digits, or
    /// made from nothing else.
    pub fn is_counted(&self, id: EntryId) -> bool {
        let entry = self.entry(id);
        entry.quantity.is_number() && entry.doubts.is_empty() && self.typed_whole(&entry.value)
    }

    fn typed_whole(&self, tree: &Tree) -> bool {
        let pointed = matches!(&tree.form, TreeForm::Constant(constant)
            if constant.parts.iter().any(|(typed, unit)| typed.contains(['.', 'e', 'E']) || unit.is_some()));
        !pointed && counts::whole(tree, self, &[]).is_some()
    }

    /// Whether the shape of the program may rest on an entry: it is a whole number that lengths, guards and exponents may
    /// be made of, or an index is made from it.
    pub fn shapes(&self, id: EntryId) -> bool {
        let entry = self.entry(id);
        let whole =
            entry.quantity.is_number() && counts::whole(&Tree::entry(id, entry.quantity, entry.shape, entry.span), self, &[]).is_some();
        let rests = self.resting_on(id);
        let mut indexed = false;
        for entry in &self.entries {
            indexed |= indexes(&entry.value, &rests);
        }
        whole || indexed
    }
}

// Whether an index in `tree` is made from an entry that is marked in `rests`.
fn indexes(tree: &Tree, rests: &[bool]) -> bool {
    match &tree.form {
        TreeForm::Item(_, index) => {
            let mut does = false;
            index.each_entry(&mut |id| does |= rests.get(id.0).copied().unwrap_or(false));
            does || indexes(index, rests)
        }
        TreeForm::List(items) | TreeForm::Call(_, items) => items.iter().any(|item| indexes(item, rests)),
        TreeForm::Negative(of) => indexes(of, rests),
        TreeForm::Binary(_, left, right) => indexes(left, rests) || indexes(right, rests),
        TreeForm::Over { body, .. } => indexes(body, rests),
        TreeForm::Unknown
        | TreeForm::Sought(_)
        | TreeForm::Missing(_)
        | TreeForm::Constant(_)
        | TreeForm::Entry(_)
        | TreeForm::Variable(..) => false,
    }
}

impl Resolver<'_> {
    /// `vary`. One in a used file says nothing here.
    pub(super) fn vary(&mut self, vary: &ast::Vary) -> Option<usize> {
        if self.home.file != self.root {
            return None;
        }
        let entry = self.varied(&vary.name)?;
        let trials = self.trials(&vary.name, entry, &vary.trials)?;
        let results = self.asked_for(&vary.showing)?;
        let whole = self.steps_whole(entry, Some(&trials));
        self.study(&vary.name, vary.at, entry, whole, Some(trials), Asks::Results(results))
    }

    /// Results to show; none when one of them could not be made out.
    pub(super) fn asked_for(&mut self, asked: &[ast::Shown]) -> Option<Vec<Shown>> {
        let mut results = Vec::new();
        for shown in asked {
            let label = crate::model::definitions::label(shown.label.as_ref());
            results.push(self.shown_value(&shown.value, shown.shown_in.as_ref(), label)?);
        }
        Some(results)
    }

    /// One result that is asked for, with its words.
    pub(super) fn shown_value(&mut self, value: &ast::Expression, unit: Option<&ast::UnitText>, label: String) -> Option<Shown> {
        let value = self.read(|reader| reader.single(value));
        if value.is_unknown() {
            return None;
        }
        let shown_in = self.shown_in(unit, &value);
        if unit.is_some() && shown_in.is_none() {
            return None;
        }
        Some(Shown { value, label, shown_in, asked: unit.is_some() })
    }

    /// `size`.
    pub(super) fn size(&mut self, size: &ast::Size) -> Option<usize> {
        if self.home.file != self.root {
            return None;
        }
        let entry = self.varied(&size.name)?;
        let trials = match &size.trials {
            Some(trials) => Some(self.trials(&size.name, entry, trials)?),
            None => None,
        };
        let mut demands: Vec<Demand> = Vec::new();
        let mut every = None;
        for asked in &size.demands {
            match asked {
                ast::Demand::Every(at) => {
                    let above = self.model.checks.len();
                    every = Some((self.home.span(*at), above));
                    (0..above).for_each(|check| self.demand_check(check, true, *at, &mut demands));
                }
                ast::Demand::Titled(title) => {
                    let named: Vec<usize> =
                        self.model.checks.iter().enumerate().filter(|(_, check)| check.title == title.text).map(|(at, _)| at).collect();
                    if named.is_empty() {
                        self.title_unknown(title);
                        return None;
                    }
                    named.into_iter().for_each(|check| self.demand_check(check, false, title.at, &mut demands));
                }
                ast::Demand::Holds(comparison) => {
                    let (left, right) = self.read(|reader| reader.comparison(comparison))?;
                    let span = self.home.span(comparison.at);
                    demands.push(Demand { check: None, of_every: false, left, relation: comparison.relation, right, span });
                }
            }
        }
        let whole = self.steps_whole(entry, trials.as_ref());
        self.study(&size.name, size.at, entry, whole, trials, Asks::Holds { goal: size.goal, demands, every })
    }

    fn study(&mut self, name: &Path, at: Extent, entry: EntryId, whole: bool, trials: Option<Trials>, asks: Asks) -> Option<usize> {
        let (name_span, span) = (self.home.span(name.at), self.home.span(at));
        self.model.studies.push(Study { name: words(name), name_span, span, entry, whole, trials, asks });
        Some(self.model.studies.len() - 1)
    }

    // The entry a path names, when it is one whose value is stated or worked on the sheet itself.
    fn varied(&mut self, path: &Path) -> Option<EntryId> {
        let parts: Vec<&str> = path.parts.iter().map(|part| part.text.as_str()).collect();
        let found = Lookup::Sheet { scopes: &self.scopes, scope: self.scope }.find(&parts, &self.model);
        let name = words(path);
        let id = match found {
            Found::Entry(id) => self.spread_from(id),
            Found::Pi => {
                self.put(path.at, &NotVaried { name, reason: "it is a fixed number".into() });
                return None;
            }
            _ => {
                // Whatever it is instead is told in the words of any other expression.
                self.read(|reader| reader.read(&ast::Expression { form: ast::Form::Name(path.clone()), at: path.at }));
                return None;
            }
        };
        let entry = self.model.entry(id);
        if entry.value.is_unknown() {
            return None;
        }
        let reason = match entry.role {
            _ if entry.shape != Shape::Single => "it is a list; one value is varied at a time",
            Role::Relation | Role::Node | Role::Passed => "it is worked by a machine; vary something that it rests on",
            Role::Reading => "it was read; what was read is not varied",
            Role::Law => "it is drawn from readings; vary something that they rest on",
            Role::Gravity { .. } => "it is the gravity of the sheet",
            Role::Take | Role::Assume | Role::Working | Role::Rating | Role::Instrument | Role::Field { .. } | Role::Travel { .. } => {
                return Some(id);
            }
        };
        let there = Label { span: entry.span, text: "it comes from here".into() };
        self.sink.push_with(self.home.span(path.at), &NotVaried { name, reason: reason.into() }, vec![there]);
        None
    }

    // Where one stated value stands for a whole list, as a loss does for every sheave, that value is meant.
    pub(super) fn spread_from(&self, id: EntryId) -> EntryId {
        let entry = self.model.entry(id);
        let (Role::Passed, TreeForm::List(items)) = (entry.role, &entry.value.form) else { return id };
        let source = |tree: &Tree| match tree.form {
            TreeForm::Entry(id) => Some(id),
            _ => None,
        };
        let first = items.first().and_then(source);
        first.filter(|first| items.iter().all(|item| source(item) == Some(*first))).unwrap_or(id)
    }

    fn trials(&mut self, name: &Path, entry: EntryId, trials: &ast::Trials) -> Option<Trials> {
        let of = self.model.entry(entry).quantity;
        let who = format!("what `{}` is tried at", words(name));
        Some(match trials {
            ast::Trials::Listed(list) => {
                let tree = self.read(|reader| reader.read(list));
                let fits = |found: &Tree| of.meets(found.quantity).is_some() || of.is_number() && found.quantity.is_number();
                if tree.is_unknown() {
                    return None;
                }
                if !fits(&tree) {
                    self.put(list.at, unfit(&who, of, &tree).as_ref());
                    return None;
                }
                if let (TreeForm::List(items), ast::Form::List(written)) = (&tree.form, &list.form) {
                    for (item, written) in items.iter().zip(written) {
                        self.count_like(entry, item, written.at)?;
                    }
                }
                Trials::Listed(tree)
            }
            ast::Trials::Between { from, to, step } => {
                let first = Box::new(self.trial(&who, entry, of, from)?);
                let last = Box::new(self.trial(&who, entry, of, to)?);
                let step = match step {
                    None => None,
                    Some(ast::Step::By(by)) => Some(Step::By(Box::new(self.trial(&who, entry, of.minus(of).unwrap_or(of), by)?))),
                    Some(ast::Step::In { count, at }) => Some(Step::In(*count, self.home.span(*at))),
                };
                Trials::Between { from: first, to: last, step }
            }
        })
    }

    fn trial(&mut self, who: &str, entry: EntryId, of: Quantity, written: &ast::Expression) -> Option<Tree> {
        let tree = self.read(|reader| reader.single(written));
        if tree.is_unknown() {
            return None;
        }
        if of.meets(tree.quantity).is_none() && !(of.is_number() && tree.quantity.is_number()) {
            self.put(written.at, unfit(who, of, &tree).as_ref());
            return None;
        }
        self.count_like(entry, &tree, written.at)?;
        Some(tree)
    }

    // A field that is a count is only tried at whole numbers.
    fn count_like(&mut self, entry: EntryId, tree: &Tree, at: Extent) -> Option<()> {
        if self.is_count(entry) && counts::whole(tree, &self.model, &[]).is_none() {
            self.put(at, &FractionalCount { name: self.model.entry(entry).name.clone() });
            return None;
        }
        Some(())
    }

    fn is_count(&self, id: EntryId) -> bool {
        let entry = self.model.entry(id);
        let machine = match entry.owner {
            Owner::Machine(at) => self.model.machines.get(at),
            Owner::Instance(at) => self.model.instances.get(at).and_then(|instance| self.model.machines.get(instance.machine)),
            Owner::Sheet | Owner::Used | Owner::Train(_) | Owner::Readings(_) => None,
        };
        let items = machine.and_then(|machine| self.kinds.get(&machine.kind)).map(|source| source.kind.items.as_slice());
        matches!(entry.role, Role::Field { .. })
            && items.unwrap_or_default().iter().any(|item| match item {
                KindItem::Field(field) => field.name.text == entry.local && field.quantity.text == "count",
                _ => false,
            })
    }

    // A number that is whole now goes by whole numbers, unless the range says otherwise by a point or its steps.
    fn steps_whole(&self, id: EntryId, trials: Option<&Trials>) -> bool {
        let typed_whole = |tree: &Tree| self.model.typed_whole(tree);
        let is_whole = self.is_count(id) || self.model.is_counted(id);
        is_whole
            && match trials {
                None => true,
                Some(Trials::Listed(_)) => false,
                Some(Trials::Between { from, to, step }) => {
                    let stepped = match step {
                        None => true,
                        Some(Step::By(by)) => typed_whole(by),
                        Some(Step::In(..)) => self.is_count(id),
                    };
                    typed_whole(from) && typed_whole(to) && stepped
                }
            }
    }

    // A check asked for by two ways is asked for once.
    fn demand_check(&self, check: usize, of_every: bool, at: Extent, demands: &mut Vec<Demand>) {
        if let Some(before) = demands.iter_mut().find(|demand| demand.check == Some(check)) {
            before.of_every &= of_every;
            return;
        }
        let Some(found) = self.model.checks.get(check) else { return };
        demands.push(Demand {
            check: Some(check),
            of_every,
            left: found.left.clone(),
            relation: found.relation,
            right: found.right.clone(),
            span: self.home.span(at),
        });
    }

    fn title_unknown(&mut self, title: &ast::Quoted) {
        let near = nearest(&title.text, self.model.checks.iter().map(|check| check.title.as_str()));
        let near: Vec<String> = near.into_iter().map(String::from).collect();
        let trees = self.material.files.get(&self.root);
        let mut later = Vec::new();
        for (fragment, ast) in trees.map(|trees| trees.fences.as_slice()).unwrap_or_default() {
            for statement in &ast.statements {
                if let Statement::Check(check) = statement
                    && check.title.text == title.text
                {
                    let span = crate::source::Home::fragment(self.root, *fragment).span(check.title.at);
                    later.push(Label { span, text: "it stands here, further down".into() });
                }
            }
        }
        let all = self.model.checks.iter().map(|check| check.title.clone()).collect();
        let finding = CheckTitleUnknown { title: title.text.clone(), near, all, later: !later.is_empty() };
        self.sink.push_with(self.home.span(title.at), &finding, later);
    }
}

fn words(path: &Path) -> String {
    path.parts.iter().map(|part| part.text.as_str()).collect::<Vec<_>>().join(".")
}
