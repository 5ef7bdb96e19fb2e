//! `law` and `agreement`: a line through readings, and a prediction held against what was measured.

use crate::diagnostics::catalogue::comparing::{LawArgument, LawLists, LawTooFew};
use crate::diagnostics::catalogue::machines::FieldTwice;
use crate::model::definitions::label;
use crate::model::expressions::Reader;
use crate::model::functions::{Function, LinePart};
use crate::model::quantity::Quantity;
use crate::model::readings::direction;
use crate::model::resolve::{Resolver, kept};
use crate::model::scope::Bound;
use crate::model::settings::matched;
use crate::model::tree::{Constant, EntryId, Shape, Tree, TreeForm};
use crate::model::{Direction, Entry, Member, Role, StatedDoubt};
use crate::source::{Extent, Span};
use crate::syntax::ast;
use crate::syntax::ast::{EvidenceWord, Expression, Form, Meaning, Operator};
use crate::units::Unit;
use std::collections::BTreeMap;

const SETTINGS: &[&str] = &["errors_in_both", "velocity_ratio"];

/// A straight line through efforts and loads: the law of a machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Law {
    /// Its name.
    pub name: String,
    /// What it is, in words; perhaps empty.
    pub label: String,
    /// Where its head line stands.
    pub span: Span,
    /// The loads, a list.
    pub loads: EntryId,
    /// The efforts, a list of as many.
    pub efforts: EntryId,
    /// How many there are of each.
    pub trials: usize,
    /// Whether the stated doubts of both readings are taken account of.
    pub both: bool,
    /// The direction of its trials, where that is said.
    pub direction: Option<Direction>,
    /// How much effort a load asks for beyond what the machine asks for anyway.
    pub slope: EntryId,
    /// The load at which slope and effort are independent.
    pub middle: EntryId,
    /// The effort there.
    pub height: EntryId,
    /// The effort at no load.
    pub no_load_effort: EntryId,
    /// The standard deviation of a residual; with stated doubts, how many times wider the residuals are than those.
    pub deviation: EntryId,
    /// One over the slope.
    pub limiting_advantage: EntryId,
    /// The velocity ratio, where it is known.
    pub velocity_ratio: Option<EntryId>,
    /// The limiting advantage over the velocity ratio.
    pub limiting_efficiency: Option<EntryId>,
    /// Its names.
    pub members: BTreeMap<String, Member>,
}

/// A prediction beside what was measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Agreement {
    /// What is compared.
    pub title: String,
    /// Where.
    pub span: Span,
    /// What was predicted.
    pub predicted: Tree,
    /// What was measured.
    pub measured: Tree,
    /// The unit both are shown in, as asked for.
    pub shown_in: Option<Unit>,
    /// References.
    pub evidence: Vec<(EvidenceWord, String)>,
}

// What a law is drawn through.
struct Trials {
    loads: EntryId,
    efforts: EntryId,
    count: usize,
    // Of readings: which way the trials went, and their velocity ratio.
    direction: Option<Direction>,
    velocity_ratio: Option<EntryId>,
}

// The entries of a law while they are put down.
struct Drawing<'d> {
    name: &'d str,
    span: Span,
    both: bool,
    trials: Trials,
}

impl Drawing<'_> {
    fn list(&self, id: EntryId, of: &Resolver<'_>) -> Tree {
        let entry = of.model.entry(id);
        Tree::entry(id, entry.quantity, entry.shape, self.span)
    }

    fn part(&self, part: LinePart, quantity: Quantity, of: &Resolver<'_>) -> Tree {
        let lists = vec![self.list(self.trials.loads, of), self.list(self.trials.efforts, of)];
        Tree { form: TreeForm::Call(Function::Line { both: self.both, part }, lists), span: self.span, quantity, shape: Shape::Single }
    }

    // What the scatter of the trials, or their stated doubts, leave open of a part of the line.
    fn open(&self, amount: Tree) -> StatedDoubt {
        let degrees = (!self.both).then(|| self.trials.count.saturating_sub(2) as f64);
        StatedDoubt { amount, of_value: false, meaning: Meaning::Scatter, degrees, pool: Some(self.trials.loads.0) }
    }

    fn put(&self, local: &str, label: &str, value: Tree, doubt: Option<StatedDoubt>, of: &mut Resolver<'_>) -> EntryId {
        let mut entry = self.entry(local, label, value, Role::Law, of);
        entry.doubts = doubt.into_iter().collect();
        of.model.push(entry)
    }

    fn entry(&self, local: &str, label: &str, value: Tree, role: Role, of: &Resolver<'_>) -> Entry {
        let mut entry = of.plain_entry(&format!("{}.{local}", self.name), value, role, self.span);
        entry.local = local.into();
        entry.label = label.into();
        entry
    }

    // Shown in the unit of the efforts, or of the loads.
    fn put_like(&self, local: &str, label: &str, value: Tree, doubt: Option<StatedDoubt>, like: EntryId, of: &mut Resolver<'_>) -> EntryId {
        let id = self.put(local, label, value, doubt, of);
        let unit = of.model.entry(like).shown_in.clone();
        if let Some(entry) = of.model.entries.get_mut(id.0) {
            entry.shown_in = unit;
        }
        id
    }

    fn single(&self, id: EntryId, of: &Resolver<'_>) -> Tree {
        Tree::entry(id, of.model.entry(id).quantity, Shape::Single, self.span)
    }

    fn binary(&self, operator: Operator, left: Tree, right: Tree, quantity: Quantity) -> Tree {
        Tree { form: TreeForm::Binary(operator, Box::new(left), Box::new(right)), span: self.span, quantity, shape: Shape::Single }
    }

    // `1 / of`
    fn over_one(&self, of: Tree) -> Option<Tree> {
        let one = TreeForm::Constant(Constant { si: 1.0, parts: vec![("1".into(), None)] });
        let one = Tree { form: one, span: self.span, quantity: Quantity::RATIO, shape: Shape::Single };
        let quantity = Quantity::RATIO.over(of.quantity)?;
        Some(self.binary(Operator::Divide, one, of, quantity))
    }
}

impl Resolver<'_> {
    /// `law`.
    pub(super) fn law(&mut self, stated: &ast::Law) -> Option<usize> {
        if !self.is_free(&stated.name) {
            return None;
        }
        let Some(law) = self.drawn(stated) else {
            self.bind_quiet(&stated.name);
            return None;
        };
        self.model.laws.push(law);
        let at = self.model.laws.len() - 1;
        self.bind(&stated.name, Bound::Law(at));
        Some(at)
    }

    fn drawn(&mut self, stated: &ast::Law) -> Option<Law> {
        let name = stated.name.text.clone();
        let span = self.home.span(stated.at);
        let (both, velocity_ratio) = self.law_settings(stated)?;
        let trials = self.trials_of(stated)?;
        let velocity_ratio = velocity_ratio.or(trials.velocity_ratio);
        let direction = trials.direction.or_else(|| direction(&stated.direction.as_ref()?.text));
        if trials.count < 3 {
            self.put(stated.of.at, &LawTooFew { trials: trials.count });
            return None;
        }
        let (effort, load) = (self.model.entry(trials.efforts).quantity, self.model.entry(trials.loads).quantity);
        let (ratio, advantage) = (effort.over(load)?, load.over(effort)?);
        let count = trials.count;
        let (loads, efforts) = (trials.loads, trials.efforts);
        let draw = Drawing { name: &name, span, both, trials };

        let (value, open) = (draw.part(LinePart::Slope, ratio, self), draw.open(draw.part(LinePart::OfSlope, ratio, self)));
        let slope = draw.put("slope", "effort for each unit of load", value, Some(open), self);
        let value = draw.part(LinePart::Middle, load, self);
        let middle = draw.put_like("mean_load", "load in the middle of the trials", value, None, loads, self);
        let (value, open) = (draw.part(LinePart::Height, effort, self), draw.open(draw.part(LinePart::OfHeight, effort, self)));
        let height = draw.put_like("mean_effort", "effort of the law at that load", value, Some(open), efforts, self);
        let share = draw.binary(Operator::Multiply, draw.single(slope, self), draw.single(middle, self), effort);
        let value = draw.binary(Operator::Subtract, draw.single(height, self), share, effort);
        let no_load_effort = draw.put_like("no_load_effort", "effort of the law at no load", value, None, efforts, self);
        let of_deviation = if both { Quantity::RATIO } else { effort };
        let value = draw.part(LinePart::Deviation, of_deviation, self);
        let says = if both { "scatter of the trials over their stated doubt" } else { "standard deviation of a residual" };
        let deviation = match both {
            true => draw.put("residual_deviation", says, value, None, self),
            false => draw.put_like("residual_deviation", says, value, None, efforts, self),
        };
        let value = draw.over_one(draw.single(slope, self)).filter(|tree| tree.quantity.meets(advantage).is_some())?;
        let limiting_advantage =
            draw.put("limiting_mechanical_advantage", "mechanical advantage that great loads come near to", value, None, self);
        let mut limiting_efficiency = None;
        if let Some(ratio_id) = velocity_ratio {
            let under = draw.single(slope, self);
            let quantity = under.quantity.times(self.model.entry(ratio_id).quantity)?;
            let under = draw.binary(Operator::Multiply, under, draw.single(ratio_id, self), quantity);
            // When the load drives, work comes out at the effort end; while it is only held, nothing is done.
            let value = match direction {
                Some(Direction::Holding) => None,
                Some(Direction::Lowering) => Some(under),
                Some(Direction::Raising) | None => draw.over_one(under),
            };
            if let Some(value) = value.filter(|tree| tree.quantity.is_number()) {
                let id = draw.put("limiting_efficiency", "efficiency that great loads come near to", value, None, self);
                if let Some(entry) = self.model.entries.get_mut(id.0) {
                    entry.shown_in = crate::units::parse("%").ok();
                }
                limiting_efficiency = Some(id);
            }
        }
        let one = TreeForm::Constant(Constant { si: count as f64, parts: vec![(count.to_string(), None)] });
        let value = Tree { form: one, span, quantity: Quantity::RATIO, shape: Shape::Single };
        let trials = draw.put("trials", "number of trials", value, None, self);

        let mut members: BTreeMap<String, Member> = BTreeMap::new();
        for id in [slope, middle, height, no_load_effort, deviation, limiting_advantage, trials].into_iter().chain(limiting_efficiency) {
            members.insert(self.model.entry(id).local.clone(), Member::Value(id));
        }
        if limiting_efficiency.is_none() {
            let why = match velocity_ratio {
                None => {
                    format!("the law `{name}` knows no velocity ratio: write one below it, as in `velocity ratio falls.velocity_ratio`")
                }
                Some(_) => "no work is done while a load is held, or effort and load are not alike".into(),
            };
            members.insert("limiting_efficiency".into(), Member::Without(why));
        }
        if let Some(id) = velocity_ratio {
            members.insert("velocity_ratio".into(), Member::Value(id));
        }
        Some(Law {
            label: label(stated.label.as_ref()),
            span,
            loads,
            efforts,
            trials: count,
            both,
            direction,
            slope,
            middle,
            height,
            no_load_effort,
            deviation,
            limiting_advantage,
            velocity_ratio,
            limiting_efficiency,
            members,
            name,
        })
    }

    // Whether both readings have errors, and the velocity ratio. None when a setting has a fault.
    fn law_settings(&mut self, stated: &ast::Law) -> Option<(bool, Option<EntryId>)> {
        let name = &stated.name.text;
        let (mut both, mut ratio, mut sound) = (false, None, true);
        for setting in &stated.settings {
            let Some(found) = matched(setting, |name| SETTINGS.contains(&name)) else {
                self.unknown_setting(setting, &format!("the law `{name}`"), SETTINGS);
                sound = false;
                continue;
            };
            if found.name == "errors_in_both" && found.rest.is_empty() && !both {
                both = true;
                continue;
            }
            if found.name == "errors_in_both" || ratio.is_some() {
                self.put(found.name_at, &FieldTwice { name: found.name.replace('_', " ") });
                sound = false;
                continue;
            }
            ratio = self.law_ratio(name, &found, setting.at);
            sound &= ratio.is_some();
        }
        sound.then_some((both, ratio))
    }

    fn law_ratio(&mut self, name: &str, found: &crate::model::settings::Matched<'_>, at: Extent) -> Option<EntryId> {
        if found.rest.is_empty() {
            let wants = "a number, or the name of one,".into();
            self.put(found.name_at, &crate::diagnostics::catalogue::machines::ValueMissing { name: "velocity ratio".into(), wants });
            return None;
        }
        let stated = crate::syntax::stated(found.rest, found.rest_at.start, self.home, &mut self.sink)?;
        let span = self.home.span(at);
        let wanted = Some(("the velocity ratio of a law", Quantity::RATIO));
        let mut entry = self.stated_entry(&format!("{name}.velocity_ratio"), &stated, Role::Law, span, wanted)?;
        entry.local = "velocity_ratio".into();
        entry.label = "velocity ratio".into();
        Some(self.model.push(entry))
    }

    // The lists a law is drawn through, each passed on under a name of the law.
    fn trials_of(&mut self, stated: &ast::Law) -> Option<Trials> {
        let Some(against) = &stated.against else {
            return self.read_trials(stated);
        };
        let efforts = self.read(|reader| reader.read(&stated.of));
        let loads = self.read(|reader| reader.read(against));
        if efforts.is_unknown() || loads.is_unknown() {
            return None;
        }
        let count = self.list_length(&efforts, &stated.of)?;
        let others = self.list_length(&loads, against)?;
        if count != others {
            let found = format!("{others} load{} for {count} effort{}", plural(others), plural(count));
            self.put(against.at, &LawLists { found });
            return None;
        }
        Some(self.law_lists(&stated.name.text, loads, efforts, count, self.home.span(stated.at)))
    }

    // The trials of readings, of one direction.
    fn read_trials(&mut self, stated: &ast::Law) -> Option<Trials> {
        let fault = |found: String, resolver: &mut Self| {
            resolver.put(stated.of.at, &LawLists { found });
            None
        };
        let bound = match &stated.of.form {
            Form::Name(path) => self.bound(path),
            _ => None,
        };
        let readings = match bound {
            Some(Bound::Readings(at)) => self.model.readings.get(at)?,
            Some(Bound::Quiet) => return None,
            Some(_) => return fault("the loads are missing: `against` and a list of as many loads".into(), self),
            None => {
                let tree = self.read(|reader| reader.read(&stated.of));
                if !tree.is_unknown() {
                    return fault("the loads are missing: `against` and a list of as many loads".into(), self);
                }
                return None;
            }
        };
        if readings.broken {
            return None;
        }
        let name = readings.name.clone();
        let asked = stated.direction.as_ref().and_then(|word| direction(&word.text));
        let group = match (asked, readings.groups.as_slice()) {
            (Some(asked), _) => readings.group(asked),
            (None, [only]) => Some(only),
            (None, groups) => {
                let ways: Vec<&str> = groups.iter().map(|group| group.direction.word()).collect();
                let found =
                    format!("`{name}` has trials {}: say which, as in `law {} of {name}, raising`", ways.join(" and "), stated.name.text);
                return fault(found, self);
            }
        };
        let Some(group) = group else {
            let word = asked.map_or("raising", Direction::word);
            return fault(format!("`{name}` has no trial {word}"), self);
        };
        let (way, ratio, count) = (group.direction, group.value("velocity_ratio"), group.trials.len());
        let Some((loads, efforts)) = group.list("load").zip(group.list("effort")) else {
            return fault(format!("`{name}` does not have both the load and the effort of its trials"), self);
        };
        let span = self.home.span(stated.at);
        let list = |id: EntryId, of: &Self| Tree::entry(id, of.model.entry(id).quantity, of.model.entry(id).shape, span);
        let (loads, efforts) = (list(loads, self), list(efforts, self));
        let trials = self.law_lists(&stated.name.text, loads, efforts, count, span);
        Some(Trials { direction: Some(way), velocity_ratio: ratio, ..trials })
    }

    fn list_length(&mut self, tree: &Tree, written: &Expression) -> Option<usize> {
        match tree.shape {
            Shape::List { count, .. } => Some(count),
            Shape::Single => {
                self.put(written.at, &LawLists { found: "this is a single value".into() });
                None
            }
        }
    }

    fn law_lists(&mut self, name: &str, loads: Tree, efforts: Tree, count: usize, span: Span) -> Trials {
        let mut pass = |local: &str, value: Tree| {
            let mut entry = self.plain_entry(&format!("{name}.{local}"), value, Role::Passed, span);
            entry.local = local.into();
            self.model.push(entry)
        };
        Trials { loads: pass("loads", loads), efforts: pass("efforts", efforts), count, direction: None, velocity_ratio: None }
    }

    /// `agreement`. One in a used file says nothing here.
    pub(super) fn agreement(&mut self, stated: &ast::Agreement) -> Option<usize> {
        let predicted = self.read(|reader| reader.single(&stated.predicted));
        let measured = self.read(|reader| reader.single(&stated.measured));
        if predicted.is_unknown() || measured.is_unknown() {
            return None;
        }
        if predicted.quantity.meets(measured.quantity).is_none() {
            let between = Extent::new(stated.predicted.at.start as usize, stated.measured.at.end as usize);
            self.read(|reader| reader.mismatch("compare", between, &predicted, &measured));
            return None;
        }
        let shown_in = match &stated.shown_in {
            Some(_) => Some(self.shown_in(stated.shown_in.as_ref(), &predicted)?),
            None => None,
        };
        if self.home.file != self.root {
            return None;
        }
        self.model.agreements.push(Agreement {
            title: stated.title.text.clone(),
            span: self.home.span(stated.at),
            predicted,
            measured,
            shown_in,
            evidence: kept(&stated.evidence),
        });
        Some(self.model.agreements.len() - 1)
    }
}

impl Reader<'_> {
    /// `bench_law(350 N)`: the effort of a law at a load.
    pub(super) fn at_load(&mut self, law: usize, name: &str, arguments: &[Expression], at: Extent) -> Tree {
        let span = self.home.span(at);
        let Some(found) = self.model.laws.get(law).cloned() else { return Tree::unknown(span) };
        let [argument] = arguments else {
            let count = arguments.len();
            let words = if count == 0 { "there is none".into() } else { format!("there are {count} values") };
            self.sink.push(span, &LawArgument { name: name.into(), found: words });
            return Tree::unknown(span);
        };
        let load = self.single(argument);
        if load.is_unknown() {
            return Tree::unknown(span);
        }
        let wanted = self.model.entry(found.middle).quantity;
        if load.quantity.meets(wanted).is_none() {
            let finding = crate::model::expressions::unfit(&format!("what `{name}` is given"), wanted, &load);
            self.sink.push(load.span, finding.as_ref());
            return Tree::unknown(span);
        }
        let part = |id: EntryId| Tree::entry(id, self.model.entry(id).quantity, self.model.entry(id).shape, span);
        let quantity = self.model.entry(found.height).quantity;
        let behind = vec![load, part(found.slope), part(found.middle), part(found.height), part(found.loads)];
        Tree { form: TreeForm::Call(Function::AtLoad(law), behind), span, quantity, shape: Shape::Single }
    }
}

fn plural(count: usize) -> &'static str {
    if count == 1 { "" } else { "s" }
}
