//! Runs of the flat list: values first, then how every source of doubt passes through them.

use crate::diagnostics::Label;
use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::machines::{LimitBroken, NoLoadMeets, NotFinite, Question, WorkForNothing, WorkUnbalanced};
use crate::diagnostics::catalogue::names::TableMissed;
use crate::diagnostics::catalogue::units::DoubtNegative;
use crate::measure::{CoverageRule, Doubt, Freedom, Joint, Measured, Repeats};
use crate::model::functions::Function;
use crate::model::quantity::Quantity;
use crate::model::tree::{EntryId, Tree, TreeForm};
use crate::model::{Condition, Direction, Expansion, Head, Member, Model, Owner, Purpose, Role};
use crate::program::carry::{Carried, apart, carry, freedom};
use crate::program::fits;
use crate::program::lower::{Program, Source, lower};
use crate::program::operations::{Operation, value};
use crate::program::residue;
use crate::program::second::{self, Second};
use crate::program::together::{Together, together};
use crate::source::Span;
use crate::syntax::ast::{Meaning, Relation};
use std::collections::{BTreeMap, BTreeSet};

/// How a condition of a machine came out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConditionOutcome {
    /// Whether it holds.
    pub holds: bool,
    /// Left side less right side, in SI units.
    pub margin: f64,
    /// Left side.
    pub left: f64,
    /// Right side.
    pub right: f64,
}

/// Capacity less demand, in SI units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margin {
    /// The difference.
    pub value: f64,
    /// Its standard uncertainty, what both sides share cancelled.
    pub uncertainty: f64,
    /// The degrees of freedom of that.
    pub freedom: Freedom,
    // The largest term behind both sides.
    size: f64,
}

impl Margin {
    /// The difference with its doubt.
    pub fn measured(&self) -> Measured {
        Measured { value: self.value, uncertainty: self.uncertainty, freedom: self.freedom }
    }

    /// The difference moved by `by`, its doubt as it is.
    #[must_use]
    pub fn moved(&self, by: f64) -> Margin {
        Margin { value: residue::settled(self.value + by, self.size), ..*self }
    }

    /// The difference less `band`; nothing where rounding alone tells them apart.
    pub fn beyond(&self, band: f64) -> f64 {
        residue::settled(self.value - band, self.size)
    }
}

/// What came of a model: every value with its standard uncertainty.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Evaluation {
    /// The program that was run.
    pub program: Program,
    /// How its doubts are expanded.
    pub coverage: CoverageRule,
    /// The value of every operation, in SI units.
    pub values: Vec<f64>,
    // What the doubts of the inputs come to at every operation.
    carried: Carried,
    // A bound on the bend of every operation over its doubts.
    pub(super) bends: Vec<f64>,
    // What the terms of second order add where they are counted in.
    second: BTreeMap<usize, Second>,
    // Whether they are.
    to_second_order: bool,
    // The standard uncertainty of every source of doubt.
    sources: Vec<f64>,
    // Which of them go together.
    together: Together,
    /// The size of the largest term behind every operation, in SI units: what a residue of rounding is measured by.
    pub sizes: Vec<f64>,
    /// For each entry, whether its values may be printed.
    pub known: Vec<bool>,
    /// For each machine at work, how its conditions came out; none where one could not be asked.
    pub conditions: Vec<Vec<Option<ConditionOutcome>>>,
    /// Machines worked beside the one that was asked for that cannot be in their state, by place, with the reason.
    pub refused: BTreeMap<usize, String>,
}

impl Evaluation {
    /// Value and doubt at an operation, when they may be printed.
    pub fn at(&self, place: usize) -> Option<Measured> {
        let found = self.first_order(place)?;
        Some(self.second.get(&place).map_or(found, |second| second.added_to(found)))
    }

    /// The same with the doubt to first order, whatever the sheet asks for.
    pub fn first_order(&self, place: usize) -> Option<Measured> {
        let value = *self.values.get(place)?;
        let uncertainty = self.carried.uncertainties.get(place).copied().unwrap_or(0.0);
        // What a ratio leaves of a doubt that cancels is rounding of the machine, not a doubt of the author.
        let rounding = residue::is_rounding(uncertainty, self.sizes.get(place).copied().unwrap_or(0.0));
        value
            .is_finite()
            .then(|| if rounding { Measured::exact(value) } else { Measured { value, uncertainty, freedom: self.freedom(place) } })
    }

    /// The standard uncertainty of the difference of two sides of a check or of a condition: what both owe to one source
    /// cancels as it does in the difference.
    pub fn apart(&self, left: usize, right: usize) -> f64 {
        self.together.joint.combine(&apart(self.parts(left), self.parts(right)))
    }

    /// What the values at `places` owe to each source of doubt, like [`Evaluation::parts`], for places that no check asks of.
    pub fn owed(&self, places: &BTreeSet<usize>) -> BTreeMap<usize, Vec<(usize, f64)>> {
        carry(&self.program, &self.values, &self.sources, &self.together.joint, places).sides
    }

    /// Whether terms of second order are counted in.
    pub fn to_second_order(&self) -> bool {
        self.to_second_order
    }

    /// The standard uncertainty of every source of doubt.
    pub(super) fn standard_uncertainties(&self) -> &[f64] {
        &self.sources
    }

    /// Which sources go together.
    pub(super) fn joint(&self) -> &Joint {
        &self.together.joint
    }

    /// The degrees of freedom of the uncertainty at an operation.
    pub fn freedom(&self, place: usize) -> Freedom {
        self.carried.freedom.get(place).copied().unwrap_or_default()
    }

    /// The coefficients of the correlations of the sheet, in their order; no number where one could not be worked.
    pub fn correlations(&self) -> &[f64] {
        &self.together.coefficients
    }

    /// What a side of a check or of a condition owes to each source of doubt: the number of the source, and sensitivity
    /// times standard uncertainty, with its sign.
    pub fn parts(&self, place: usize) -> &[(usize, f64)] {
        self.carried.sides.get(&place).map_or(&[][..], Vec::as_slice)
    }

    /// What a source has of the independent doubts behind those that go together; none for a source that stands alone.
    pub(super) fn shares(&self, source: usize) -> Option<&[(usize, f64)]> {
        self.together.joint.shares(source)
    }

    /// The standard uncertainty of a source of doubt, in SI units.
    pub fn standard_uncertainty(&self, source: usize) -> Option<f64> {
        self.sources.get(source).copied()
    }

    /// What the capacity of a check has to spare over its demand; none where either has no value.
    pub fn margin(&self, demand: usize, capacity: usize) -> Option<Margin> {
        let size = |place: usize| self.sizes.get(place).copied().unwrap_or(0.0);
        let size = size(demand).max(size(capacity));
        let (value, uncertainty) = (self.at(capacity)?.value - self.at(demand)?.value, self.apart(demand, capacity));
        let uncertainty = if residue::is_rounding(uncertainty, size) { 0.0 } else { uncertainty };
        let freedom = if self.carried.freedom.is_empty() {
            Freedom::Endless
        } else {
            freedom(&self.program, &apart(self.parts(demand), self.parts(capacity)), &self.together.joint)
        };
        let first = Measured { value: residue::settled(value, size), uncertainty, freedom };
        let second = if self.to_second_order { self.second_order_apart(demand, capacity) } else { None };
        let Measured { value, uncertainty, freedom } = second.map_or(first, |second| second.added_to(first));
        Some(Margin { value, uncertainty, freedom, size })
    }

    /// The values of an entry's items; none when they may not be printed.
    pub fn entry(&self, id: EntryId) -> Option<Vec<Measured>> {
        if !self.known.get(id.0).copied().unwrap_or(false) {
            return None;
        }
        self.program.entries.get(id.0)?.iter().map(|place| self.at(*place)).collect()
    }

    /// Whether everything that `tree` rests on may be printed.
    pub fn knows(&self, tree: &Tree) -> bool {
        let mut known = true;
        tree.each_entry(&mut |id| known &= self.known.get(id.0).copied().unwrap_or(false));
        known
    }
}

/// How the sheet with this head expands its doubts.
pub fn expansion(head: &Head) -> CoverageRule {
    match head.coverage {
        None => CoverageRule::default(),
        Some(Expansion::Factor(factor)) => CoverageRule::Factor(factor),
        Some(Expansion::Level(level)) => CoverageRule::Level(level),
    }
}

/// Lays `model` flat and runs it.
pub fn run(model: &Model, sink: &mut Sink) -> Evaluation {
    let program = lower(model, sink);
    let evaluation = evaluate(program, model, sink);
    if !evaluation.to_second_order {
        second::tell(model, &evaluation, sink);
    }
    evaluation
}

/// Runs a program that was laid flat from `model`.
pub(super) fn evaluate(program: Program, model: &Model, sink: &mut Sink) -> Evaluation {
    let mut values: Vec<f64> = Vec::with_capacity(program.operations.len());
    let mut sizes: Vec<f64> = Vec::with_capacity(program.operations.len());
    let mut fitted: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
    for operation in &program.operations {
        let next = match operation {
            Operation::Fitted(fit, part) => {
                *fitted.entry(*fit).or_insert_with(|| fits::found(&program, *fit, &values)).get(*part).unwrap_or(&f64::NAN)
            }
            Operation::Sought(number) => find_load(&program, *number, model, &mut values, sink),
            _ => value(*operation, |at| values.get(at).copied().unwrap_or(f64::NAN)),
        };
        let size = residue::size(*operation, next, &values, &sizes);
        values.push(residue::settled(next, size));
        sizes.push(size);
    }
    let sources = standard_uncertainties(&program, model, &values, sink);
    let together = together(&program, model, &values, &sources, sink);
    let carried = carry(&program, &values, &sources, &together.joint, &BTreeSet::new());
    let bends = second::bends(&program, &values, &carried.uncertainties);
    let to_second_order = model.head.second_order;
    let mut known = program.workable.clone();
    // What rests on doubts that cannot be has none to print.
    together.broken.iter().for_each(|input| known.get_mut(*input).into_iter().for_each(|known| *known = false));
    let mut evaluation = Evaluation {
        known,
        program,
        coverage: expansion(&model.head),
        values,
        carried,
        bends,
        second: BTreeMap::new(),
        to_second_order,
        sources,
        together,
        sizes,
        conditions: Vec::new(),
        refused: BTreeMap::new(),
    };
    if to_second_order {
        evaluation.second = second::counted(&evaluation);
    }
    look_up(model, &mut evaluation, sink);
    fits::judge(model, &mut evaluation, sink);
    judge_conditions(model, &mut evaluation, sink);
    settle(model, &mut evaluation, sink);
    crate::program::readings::judge(model, &evaluation, sink);
    evaluation
}

fn standard_uncertainties(program: &Program, model: &Model, values: &[f64], sink: &mut Sink) -> Vec<f64> {
    let mut told = None;
    let mut uncertainties = Vec::new();
    for source in &program.sources {
        let (uncertainty, amount) = standard_uncertainty(source, values);
        uncertainties.push(uncertainty.unwrap_or(0.0));
        // Why there is no line is told where it is drawn.
        let bad = uncertainty.is_none() && source.meaning != Meaning::Scatter;
        if bad && told != Some((source.entry, source.doubt)) {
            told = Some((source.entry, source.doubt));
            let doubt = model.entries.get(source.entry).and_then(|entry| entry.doubts.get(source.doubt));
            if let Some(doubt) = doubt {
                let found = if amount < 0.0 { "this is negative" } else { "this comes to no number" };
                sink.push(doubt.amount.span, &DoubtNegative { found: found.into() });
            }
        }
    }
    uncertainties
}

/// The standard uncertainty of a source, with the amount it was stated by; none where that is negative or no number.
pub(super) fn standard_uncertainty(source: &Source, values: &[f64]) -> (Option<f64>, f64) {
    let at = |place: &usize| values.get(*place).copied().unwrap_or(f64::NAN);
    if source.meaning == Meaning::Repeats {
        let readings: Vec<f64> = source.amounts.iter().map(at).collect();
        return (Some(Repeats::of(&readings).map_or(0.0, |repeats| repeats.of_mean)), 0.0);
    }
    let amount = source.amounts.first().map_or(f64::NAN, at);
    let share = source.of.and_then(|of| values.get(of)).map_or(1.0, |value| value.abs());
    if amount < 0.0 || !amount.is_finite() || !share.is_finite() {
        return (None, amount);
    }
    (Some(meant(source, amount * share).standard().unwrap_or(0.0)), amount)
}

// The doubt that `size` was stated as.
fn meant(source: &Source, size: f64) -> Doubt {
    match source.meaning {
        Meaning::Limits => Doubt::Limits(size),
        Meaning::Triangular => Doubt::Triangular(size),
        Meaning::Arcsine => Doubt::Arcsine(size),
        Meaning::Trapezoidal(top) => Doubt::Trapezoidal { half: size, top },
        Meaning::Expanded(k) => Doubt::Expanded { size, k },
        Meaning::Level(level) => Doubt::Level { size, level, degrees: source.degrees },
        Meaning::Resolution => Doubt::Resolution(size),
        Meaning::Standard | Meaning::Repeats | Meaning::Scatter => Doubt::Standard(size),
    }
}

// The load for which the target comes to what is known. `values` holds everything above the load; what the trials put
// behind it is taken away again.
fn find_load(program: &Program, number: usize, model: &Model, values: &mut Vec<f64>, sink: &mut Sink) -> f64 {
    let Some((sought, target)) = program.sought.get(number).and_then(|sought| Some((sought, sought.target?))) else { return f64::NAN };
    let known = values.get(sought.known).copied().unwrap_or(f64::NAN);
    let mut misses = |load: f64| {
        values.truncate(sought.place);
        values.push(load);
        for operation in program.operations.get(sought.place + 1..=target).unwrap_or_default() {
            let next = value(*operation, |at| values.get(at).copied().unwrap_or(f64::NAN));
            values.push(next);
        }
        values.last().copied().unwrap_or(f64::NAN) - known
    };
    let found = crate::program::roots::from_nought(&mut misses, known.abs());
    let nothing = misses(0.0) + known;
    values.truncate(sought.place);
    if let Some(load) = found {
        return load;
    }
    if let Some(stated) = model.sought.get(sought.at)
        && let Some(tree) = &stated.target
        && known.is_finite()
    {
        let unit = |si: f64| printed_for_reader(tree, si);
        let name = match &tree.form {
            TreeForm::Entry(id) | TreeForm::Item(id, _) => model.entry(*id).name.clone(),
            _ => String::new(),
        };
        let found = if nothing.is_finite() { format!("with no load at all it is {}", unit(nothing)) } else { "it follows no load".into() };
        sink.push(tree.span, &NoLoadMeets { name, known: unit(known), found });
    }
    f64::NAN
}

// What was looked up beside its table, told once at the place where it is looked up.
fn look_up(model: &Model, evaluation: &mut Evaluation, sink: &mut Sink) {
    let mut told = BTreeSet::new();
    for table in &evaluation.program.tables {
        let at = |place: usize| evaluation.values.get(place).copied().unwrap_or(f64::NAN);
        let x = at(table.x);
        let rows: Vec<f64> = table.rows.iter().map(|row| at(*row)).collect();
        let (Some(first), Some(last)) = (rows.first().copied(), rows.last().copied()) else { continue };
        if !x.is_finite() || rows.iter().any(|row| !row.is_finite()) {
            continue;
        }
        let ascends = rows.windows(2).all(|pair| matches!(pair, [a, b] if a < b));
        let found = match table.function {
            Function::Tabled => rows.iter().any(|row| (row - x).abs() <= 1e-9 * last.abs()),
            Function::Stepped => x >= first,
            _ => x >= first && x <= last,
        };
        if ascends && found {
            continue;
        }
        let printed = |value: f64| printed_in(table.quantity, value);
        let rows = rows.into_iter().map(printed).collect();
        let user = model.entries.get(table.entry).and_then(|entry| match entry.owner {
            Owner::Instance(at) => model.machines.get(model.instances.get(at)?.machine),
            _ => None,
        });
        let there = user.map(|machine| Label { span: machine.span, text: "used by this machine".into() });
        if told.insert(table.span) {
            sink.push_with(table.span, &TableMissed { ascends, looked_up: printed(x), rows }, there.into_iter().collect());
        }
        if let Some(known) = evaluation.known.get_mut(table.entry) {
            *known = false;
        }
    }
}

fn judge_conditions(model: &Model, evaluation: &mut Evaluation, sink: &mut Sink) {
    for (at, instance) in model.instances.iter().enumerate() {
        let name = &instance.prefix;
        let place = model.machines.get(instance.machine).map(|machine| machine.span);
        let mut outcomes = Vec::new();
        let mut refused = false;
        for (condition, sides) in instance.conditions.iter().zip(evaluation.program.conditions.get(at).into_iter().flatten()) {
            let outcome = sides.and_then(|(left, right)| {
                let (left, right) = (*evaluation.values.get(left)?, *evaluation.values.get(right)?);
                (left.is_finite() && right.is_finite()).then_some(ConditionOutcome {
                    holds: match condition.relation {
                        Relation::AtMost => left <= right,
                        Relation::Below => left < right,
                        Relation::AtLeast => left >= right,
                        Relation::Above => left > right,
                        Relation::Equal => left == right,
                    },
                    margin: left - right,
                    left,
                    right,
                })
            });
            outcomes.push(outcome);
            let (Some(outcome), Some(place)) =
                (outcome, place.map(|place| setting_of(model, instance.machine, condition).unwrap_or(place)))
            else {
                continue;
            };
            if instance.beside {
                // Nobody asked for this state: that it cannot be is an answer, not a fault.
                if !outcome.holds && condition.purpose == Purpose::Limit && !refused {
                    refused = true;
                    evaluation.refused.insert(at, condition.says.to_string());
                }
                continue;
            }
            // What a refused machine would ask for is no matter for a question.
            if outcome.holds || condition.purpose == Purpose::Sustains || refused {
                continue;
            }
            let found = spoken(&condition.left, &condition.right, outcome);
            let there = vec![Label { span: condition.span, text: "the kind says so here".into() }];
            if condition.purpose == Purpose::Limit {
                refused = true;
                sink.push_with(place, &LimitBroken { machine: name.clone(), says: condition.says.to_string(), found }, there);
            } else {
                sink.push_with(place, &Question { machine: name.clone(), says: condition.says.to_string(), found }, there);
            }
        }
        if !refused && !instance.beside {
            refused = gives_for_nothing(model, at, evaluation, sink);
        }
        if refused {
            for (entry, known) in model.entries.iter().zip(&mut evaluation.known) {
                if entry.owner == Owner::Instance(at) {
                    *known = false;
                }
            }
        }
        evaluation.conditions.push(outcomes);
    }
}

// The setting of the machine that a condition speaks of, where it speaks of one.
fn setting_of(model: &Model, machine: usize, condition: &Condition) -> Option<Span> {
    let mut settings = Vec::new();
    for side in [&condition.left, &condition.right] {
        side.each_entry(&mut |id| {
            let entry = model.entry(id);
            // What is asked for each part is a list of the machine at work, made of the one setting.
            let stated = match model.machines.get(machine).and_then(|machine| machine.fields.get(&entry.local)) {
                Some(field) if matches!(entry.owner, Owner::Instance(_)) => model.entry(*field),
                _ => entry,
            };
            let given = stated.owner == Owner::Machine(machine) && stated.role == (Role::Field { given: true });
            if given && !settings.contains(&stated.span) {
                settings.push(stated.span);
            }
        });
    }
    match settings.as_slice() {
        [only] => Some(*only),
        _ => None,
    }
}

// Force is bought with travel and friction takes its share: whatever a kind says, no more comes out than goes in.
fn gives_for_nothing(model: &Model, at: usize, evaluation: &Evaluation, sink: &mut Sink) -> bool {
    let Some(instance) = model.instances.get(at).filter(|instance| instance.loaded && !instance.broken) else { return false };
    let value = |name: &str| match instance.members.get(name) {
        Some(Member::Value(id)) => evaluation.program.entries.get(id.0)?.first().and_then(|place| evaluation.values.get(*place)).copied(),
        _ => None,
    };
    let (Some(put_in), Some(out), Some(rubbed), Some(own)) =
        (value("work_in"), value("work_out"), value("friction_work"), value("own_work"))
    else {
        return false;
    };
    let own = if instance.state.direction() == Direction::Raising { own } else { -own };
    let size = [put_in, out, rubbed, own].into_iter().fold(0.0, |most: f64, work| most.max(work.abs()));
    let left = put_in - out - own;
    let joules = |work: f64| crate::units::spaced(&crate::units::significant(work, 4), "J");
    let says = if left < -1e-9 * size {
        format!("{} is put in, and {} comes out", joules(put_in), joules(out + own))
    } else if rubbed < -1e-9 * size {
        format!("the work lost at its surfaces, `friction_work`, comes to {}", joules(rubbed))
    } else {
        if (left - rubbed).abs() > 1e-6 * size
            && let Some(machine) = model.machines.get(instance.machine)
        {
            sink.push(machine.span, &WorkUnbalanced { machine: instance.prefix.clone(), lost: joules(left), rubbed: joules(rubbed) });
        }
        return false;
    };
    if let Some(machine) = model.machines.get(instance.machine) {
        sink.push(machine.span, &WorkForNothing { machine: instance.prefix.clone(), says });
    }
    true
}

/// Both sides of a condition in words.
pub(super) fn spoken(left: &Tree, right: &Tree, outcome: ConditionOutcome) -> String {
    format!("{} against {}", printed_for_reader(left, outcome.left), printed_for_reader(right, outcome.right))
}

/// A value of what `tree` is a quantity of, in a unit of fitting size.
pub(super) fn printed_for_reader(tree: &Tree, value: f64) -> String {
    printed_in(tree.quantity, value)
}

pub(super) fn printed_in(quantity: Quantity, value: f64) -> String {
    if quantity.is_number() && value == libm::trunc(value) && value.abs() < 1e6 {
        return crate::units::places(value, 0);
    }
    match crate::units::for_reader(value, quantity.dimension, quantity.nature, false) {
        Some(unit) => crate::units::spaced(&crate::units::significant((value - unit.offset) / unit.scale, 4), &unit.symbol),
        None => crate::units::significant(value, 4),
    }
}

// A value is printed only when everything it rests on is; the first that comes to no number is told, the rest stay quiet.
fn settle(model: &Model, evaluation: &mut Evaluation, sink: &mut Sink) {
    let mut used = vec![false; model.entries.len()];
    let mut endless: Vec<usize> = Vec::new();
    for (at, entry) in model.entries.iter().enumerate() {
        let known = &evaluation.known;
        let mut rests = known.get(at).copied().unwrap_or(false);
        entry.value.each_entry(&mut |id| {
            rests &= known.get(id.0).copied().unwrap_or(false);
            used.get_mut(id.0).into_iter().for_each(|used| *used = true);
        });
        let mut places = evaluation.program.entries.get(at).into_iter().flatten();
        let finite = places.all(|place| evaluation.values.get(*place).is_some_and(|value| value.is_finite()));
        if rests && !finite {
            endless.push(at);
        }
        if let Some(known) = evaluation.known.get_mut(at) {
            *known = rests && finite;
        }
    }
    for at in endless {
        let Some(entry) = model.entries.get(at) else { continue };
        // A ratio that nothing rests on may have no value, as the advantage of a machine that needs no effort at all.
        let idle_ratio = entry.owner != Owner::Sheet && entry.role == Role::Relation && !used.get(at).copied().unwrap_or(false);
        // Why a sought load was not found has been told where it was sought.
        let told = matches!(entry.value.form, TreeForm::Sought(_));
        if !idle_ratio && !told {
            sink.push(entry.span, &NotFinite { name: entry.name.clone() });
        }
    }
}
