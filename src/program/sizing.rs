//! `size`: the values at which everything holds, their ends to full precision, and what governs there.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::studies::{NoCheckDepends, NoStart, ResultUnmoved};
use crate::measure::Measured;
use crate::model::studies::{Asks, Demand};
use crate::model::tree::{Tree, TreeForm};
use crate::program::bracket::{Probe, narrow, peak};
use crate::program::studies::{Desk, Tries, mentions, same, unmoved};
use crate::program::trial::{Bench, LimitAt};
use crate::source::Span;
use crate::syntax::ast::Goal;

/// Steps of the first look at a range.
const SCAN: usize = 96;
/// How often a value is doubled, and halved, in an outward search; each time in four steps.
const DOUBLINGS: i32 = 20;
/// How far whole numbers are searched when no range is given.
const WHOLE: f64 = 64.0;

/// The answer of `size`.
#[derive(Debug, Clone, PartialEq)]
pub struct Sized {
    /// Which end was wanted.
    pub goal: Goal,
    /// The answer; none when nothing serves.
    pub answer: Option<Answer>,
    /// The stretches of values that serve, first and last of each, in rising order.
    pub serving: Vec<(f64, f64)>,
    /// The values worth showing, in rising order; the present one is among them.
    pub rows: Vec<Tried>,
    /// The present value as tried, when it has one.
    pub present: Option<Tried>,
    /// The least and the greatest value tried.
    pub tried: (f64, f64),
    /// How many were tried; none when anything between was.
    pub count: Option<usize>,
    /// Whether it was searched without a stated range.
    pub outward: bool,
    /// Whether everything that was tried serves.
    pub all: bool,
    /// When nothing serves, the value that comes nearest.
    pub nearest: Option<Tried>,
    /// What a colleague would ask about the machines at the answer, and not at the present value.
    pub questions: Vec<String>,
    /// Of `every check`, what was left out for want of a value, and why.
    pub left_out: Vec<(usize, String)>,
}

/// The value that serves.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The value, in SI units.
    pub value: f64,
    /// The same with its doubt, of which whole numbers and items of lists have none.
    pub measured: Measured,
    /// What stands in the way of a better one.
    pub governs: Governs,
}

/// What stands in the way of a better value.
#[derive(Debug, Clone, PartialEq)]
pub enum Governs {
    /// A demand, by its place in the study.
    Demand(usize),
    /// A limit of a machine, or that something cannot be worked: in words.
    Words(String),
    /// The end of what was tried.
    End,
}

/// One value tried.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// The value, in SI units.
    pub value: f64,
    /// The same with its doubt, at the end of a stretch.
    pub measured: Measured,
    /// Whether everything holds.
    pub holds: bool,
    /// The demand that decides: the one that fails by most, or leaves least in hand.
    pub decides: Option<usize>,
    /// Both sides of that demand.
    pub sides: Option<Sides>,
    /// Why something has no value here; perhaps empty.
    pub reason: String,
}

/// Both sides of a demand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sides {
    /// What is asked.
    pub demand: Measured,
    /// What there is.
    pub capacity: Measured,
    /// The second less the first.
    pub apart: Measured,
    /// Whether it suffices.
    pub holds: bool,
}

impl Sides {
    // What is in hand as a share of the greater side.
    fn slack(&self) -> f64 {
        let scale = self.demand.value.abs().max(self.capacity.value.abs());
        if scale > 0.0 { (self.capacity.value - self.demand.value) / scale } else { 0.0 }
    }
}

/// Everything found at one value, before it is known which demands count.
#[derive(Debug, Clone)]
struct Look {
    value: f64,
    demands: Vec<Result<Sides, String>>,
    limits: Vec<(LimitAt, Option<f64>)>,
}

// Of `every check`, the demands that cannot be asked, and why.
type LeftOut = Vec<(usize, String)>;

/// One `size` on the desk.
pub(super) struct Sizing<'s> {
    pub(super) desk: &'s Desk<'s>,
    pub(super) bench: &'s Bench<'s>,
    pub(super) shape: bool,
    pub(super) goal: Goal,
    pub(super) demands: &'s [Demand],
    /// Where `every check` stands, with how many checks are above it.
    pub(super) every: Option<(Span, usize)>,
}

impl Sizing<'_> {
    pub(super) fn work(&self, tries: Tries, sink: &mut Sink) -> Option<Sized> {
        let present = self.desk.present();
        let outward = self.desk.study.trials.is_none();
        let (points, each) = match tries {
            Tries::Each(mut values) => {
                values.sort_by(f64::total_cmp);
                values.dedup();
                (values, true)
            }
            Tries::Between(first, last) => (scan(first, last, present), false),
            Tries::Outward => (self.outward(present, sink)?, self.desk.study.whole),
        };
        let mut looks: Vec<Look> = points.into_iter().map(|value| self.look(value)).collect();
        if let Some(present) = present.filter(|_| each && outward) {
            self.widen(&mut looks, present);
        }
        let (counts, left_out) = self.counting(&looks, sink)?;
        let judge = Judge { sizing: self, counts, scales: self.scales(&looks) };
        if !each {
            judge.hidden(&mut looks);
        }
        let (first, last) = looks.first().zip(looks.last()).map(|(a, b)| (a.value, b.value))?;
        let count = each.then_some(looks.len());
        let stretches = judge.stretches(&looks, each);
        let chosen = judge.choose(&stretches, present.filter(|_| outward));
        let answer = chosen.and_then(|at| stretches.get(at)).map(|stretch| match self.goal {
            Goal::Least => stretch.first.clone(),
            Goal::Greatest => stretch.last.clone(),
        });
        let nearest = if stretches.is_empty() { judge.nearest(&looks, each) } else { None };
        let present = present.map(|value| judge.tried(&self.look(value)));
        let mut rows: Vec<Tried> = Vec::new();
        if each {
            let wanted = answer.as_ref().map(|answer| answer.value).or(nearest.as_ref().map(|tried| tried.value));
            let middle = wanted.and_then(|value| looks.iter().position(|look| look.value == value)).unwrap_or(0);
            let near = |at: usize| looks.len() <= 12 || at.abs_diff(middle) <= 2;
            rows.extend(looks.iter().enumerate().filter(|(at, _)| near(*at)).map(|(_, look)| judge.tried(look)));
        } else {
            // An outward search ends where it was given up, which is of no interest.
            let shown = stretches.iter().enumerate().filter(|(at, _)| !outward || chosen == Some(*at)).map(|(_, stretch)| stretch);
            for stretch in shown {
                let ends = [(&stretch.first, Goal::Least), (&stretch.last, Goal::Greatest)];
                for (end, _) in ends.into_iter().filter(|(_, goal)| !outward || *goal == self.goal) {
                    let mut row = judge.tried(&self.look(end.value));
                    row.measured = end.measured;
                    rows.push(row);
                }
            }
            rows.extend(nearest.clone());
        }
        rows.extend(present.clone());
        rows.sort_by(|a, b| a.value.total_cmp(&b.value));
        rows.dedup_by(|a, b| same(a.value, b.value));
        let questions = answer.as_ref().map(|answer| self.bench.with(answer.value).questions()).unwrap_or_default();
        Some(Sized {
            questions,
            goal: self.goal,
            answer,
            all: stretches.len() == 1 && looks.iter().all(|look| judge.holds(look)),
            serving: stretches.iter().map(|stretch| (stretch.first.value, stretch.last.value)).collect(),
            rows,
            present,
            tried: (first, last),
            count,
            outward,
            nearest,
            left_out,
        })
    }

    fn look(&self, value: f64) -> Look {
        let trial = self.bench.with(value);
        let Some((study, places)) = trial.study() else {
            let reason = trial.reason(&crate::model::tree::Tree::unknown(self.desk.study.span));
            return Look { value, demands: vec![Err(reason); self.demands.len()], limits: Vec::new() };
        };
        let Asks::Holds { demands, .. } = &study.asks else { return Look { value, demands: Vec::new(), limits: Vec::new() } };
        let sides = |(at, demand): (usize, &Demand)| {
            let (left, right) = places.demands.get(at).copied().unwrap_or((None, None));
            let asked = trial.value(demand.demand(), left)?;
            let there = trial.value(demand.capacity(), right)?;
            let holds = if demand.strict() { asked.value < there.value } else { asked.value <= there.value };
            let apart = left.zip(right).and_then(|(left, right)| trial.apart(left, right));
            Ok(Sides { demand: asked, capacity: there, apart: apart.unwrap_or_default(), holds })
        };
        let found = demands.iter().enumerate().map(sides).collect();
        let machines = trial.machines(demands.iter().flat_map(|demand| [&demand.left, &demand.right]));
        Look { value, demands: found, limits: trial.limits(&machines) }
    }

    // Which demands count, and what of `every check` had to be left out. None when no check depends on the value.
    fn counting(&self, looks: &[Look], sink: &mut Sink) -> Option<(Vec<bool>, LeftOut)> {
        let rests = self.desk.model.resting_on(self.desk.study.entry);
        let (mut counts, mut left_out) = (Vec::new(), Vec::new());
        for (at, demand) in self.demands.iter().enumerate() {
            let found: Vec<&Result<Sides, String>> = looks.iter().filter_map(|look| look.demands.get(at)).collect();
            let margins: Vec<f64> =
                found.iter().filter_map(|found| found.as_ref().ok().map(|sides| sides.capacity.value - sides.demand.value)).collect();
            let moved = self.shape && !(margins.len() == found.len() && unmoved(&margins));
            let open = [demand.demand(), demand.capacity()].into_iter().find_map(|tree| match &tree.form {
                TreeForm::Missing(what) => Some(what.clone()),
                TreeForm::Unknown => Some("it could not be worked".to_string()),
                _ => None,
            });
            let depends = mentions(demand.demand(), &rests) || mentions(demand.capacity(), &rests) || moved && open.is_none();
            if !depends && !demand.of_every {
                sink.push(demand.span, &ResultUnmoved { name: self.desk.study.name.clone() });
            }
            match open {
                Some(why) if demand.of_every && depends => {
                    left_out.push((at, why));
                    counts.push(false);
                }
                _ => counts.push(depends || !demand.of_every),
            }
        }
        if !counts.contains(&true) {
            // A check that could not be read may have been the one that depends; its fault has been told.
            let unread = |demand: &Demand| [&demand.left, &demand.right].into_iter().any(Tree::is_unknown);
            if self.demands.iter().any(unread) {
                return None;
            }
            let (span, checks) = self.every.unwrap_or((self.desk.study.span, 0));
            sink.push(span, &NoCheckDepends { name: self.desk.study.name.clone(), checks });
            return None;
        }
        Some((counts, left_out))
    }

    fn scales(&self, looks: &[Look]) -> Vec<f64> {
        (0..self.demands.len())
            .map(|at| {
                let sides = looks.iter().filter_map(|look| look.demands.get(at)?.as_ref().ok());
                sides.map(|sides| (sides.capacity.value - sides.demand.value).abs()).fold(0.0, f64::max)
            })
            .collect()
    }

    // Whole numbers outward from the present one, as far as it takes to see the wanted end and two more on either side.
    fn widen(&self, looks: &mut Vec<Look>, present: f64) {
        let mut reach = 0.0;
        while reach < WHOLE {
            let before = reach;
            reach = f64::max(2.0 * reach, 4.0);
            for step in (before as usize + 1)..=(reach as usize) {
                looks.push(self.look(present + step as f64));
                if present - step as f64 >= 1.0 {
                    looks.push(self.look(present - step as f64));
                }
            }
            looks.sort_by(|a, b| a.value.total_cmp(&b.value));
            let Some((counts, _)) = self.counting(looks, &mut Sink::new()) else { continue };
            let judge = Judge { sizing: self, counts, scales: self.scales(looks) };
            let stretches = judge.stretches(looks, true);
            let Some(stretch) = judge.choose(&stretches, Some(present)).and_then(|at| stretches.get(at)) else { continue };
            let end = if self.goal == Goal::Least { &stretch.first } else { &stretch.last };
            if end.governs != Governs::End || self.goal == Goal::Least && end.value == 1.0 {
                return;
            }
        }
    }

    fn outward(&self, present: Option<f64>, sink: &mut Sink) -> Option<Vec<f64>> {
        let name = || self.desk.study.name.clone();
        let Some(present) = present else {
            sink.push(self.desk.study.name_span, &NoStart { name: name(), reason: "its present value could not be worked".into() });
            return None;
        };
        if present == 0.0 || self.desk.study.whole && present < 1.0 {
            sink.push(self.desk.study.name_span, &NoStart { name: name(), reason: "its present value is not above zero".into() });
            return None;
        }
        if self.desk.study.whole {
            return Some(vec![present]);
        }
        let mut points: Vec<f64> =
            (-4 * DOUBLINGS..=4 * DOUBLINGS).map(|at| if at == 0 { present } else { present * libm::exp2(f64::from(at) / 4.0) }).collect();
        points.sort_by(f64::total_cmp);
        Some(points)
    }
}

// A first look at a range: even steps, even ratios as well where it spans many sizes, and the present value.
fn scan(first: f64, last: f64, present: Option<f64>) -> Vec<f64> {
    let mut points: Vec<f64> = (0..=SCAN).map(|at| first + (last - first) * at as f64 / SCAN as f64).collect();
    if first > 0.0 && last > 20.0 * first {
        points.extend((1..SCAN).map(|at| first * libm::pow(last / first, at as f64 / SCAN as f64)));
    }
    points.extend(present.filter(|present| (first..=last).contains(present)));
    points.sort_by(f64::total_cmp);
    points.dedup_by(|a, b| same(*a, *b));
    // Adding up steps leaves a residue; the ends are those that were written.
    points.retain(|point| *point > first && *point < last && !same(*point, first) && !same(*point, last));
    points.insert(0, first);
    points.push(last);
    points
}

/// A run of values that serve.
struct Stretch {
    first: Answer,
    last: Answer,
}

/// Looks judged by the demands that count.
struct Judge<'j> {
    sizing: &'j Sizing<'j>,
    counts: Vec<bool>,
    scales: Vec<f64>,
}

impl Judge<'_> {
    fn counted<'l>(&'l self, look: &'l Look) -> impl Iterator<Item = (usize, &'l Result<Sides, String>)> {
        look.demands.iter().enumerate().filter(|(at, _)| self.counts.get(*at).copied().unwrap_or(false))
    }

    fn holds(&self, look: &Look) -> bool {
        !look.demands.is_empty() && self.counted(look).all(|(_, found)| found.as_ref().is_ok_and(|sides| sides.holds))
    }

    // How much is in hand of everything that counts, as a share of its greatest size in the first look.
    fn slack(&self, look: &Look) -> Option<f64> {
        let mut least: Option<f64> = None;
        for (at, found) in self.counted(look) {
            match found {
                Ok(sides) => {
                    let scale = self.scales.get(at).copied().filter(|scale| *scale > 0.0).unwrap_or(1.0);
                    let slack = (sides.capacity.value - sides.demand.value) / scale;
                    least = Some(least.map_or(slack, |before| before.min(slack)));
                }
                Err(_) => return look.limits.iter().filter_map(|(_, margin)| *margin).filter(|margin| *margin < 0.0).reduce(f64::min),
            }
        }
        least
    }

    fn probe(&self, value: f64) -> Probe {
        let look = self.sizing.look(value);
        self.probed(&look)
    }

    fn probed(&self, look: &Look) -> Probe {
        let sides = self.counted(look).map(|(_, found)| found.as_ref().ok().map(|sides| sides.capacity.value - sides.demand.value));
        let margins = sides.chain(look.limits.iter().map(|(_, margin)| *margin)).collect();
        Probe { holds: self.holds(look), margins }
    }

    // Between the points of the first look a margin may dip or rise out of sight; each turn is followed to its peak.
    fn hidden(&self, looks: &mut Vec<Look>) {
        let mut found = Vec::new();
        let mut followed = 0;
        for three in looks.windows(3) {
            let [before, here, after] = three else { continue };
            let holds = self.holds(here);
            let (Some(a), Some(b), Some(c)) = (self.slack(before), self.slack(here), self.slack(after)) else { continue };
            let turns = if holds { b <= a && b <= c && b < a.max(c) } else { b >= a && b >= c && b > a.min(c) };
            if !turns || self.holds(before) != holds || self.holds(after) != holds || followed == 12 {
                continue;
            }
            followed += 1;
            let sign = if holds { -1.0 } else { 1.0 };
            let at = peak(before.value, after.value, &mut |value| {
                self.slack(&self.sizing.look(value)).map_or(f64::NEG_INFINITY, |slack| sign * slack)
            });
            let look = self.sizing.look(at);
            if self.holds(&look) != holds {
                found.push(look);
            }
        }
        looks.extend(found);
        looks.sort_by(|a, b| a.value.total_cmp(&b.value));
    }

    fn stretches(&self, looks: &[Look], each: bool) -> Vec<Stretch> {
        let mut stretches: Vec<Stretch> = Vec::new();
        let mut before: Option<&Look> = None;
        for look in looks {
            let (holds, held) = (self.holds(look), before.is_some_and(|before| self.holds(before)));
            match (holds, before) {
                (true, None) => {
                    let end = Answer { value: look.value, measured: Measured::exact(look.value), governs: Governs::End };
                    stretches.push(Stretch { first: end.clone(), last: end });
                }
                (true, Some(before)) if !held => {
                    let first = self.end(look, before, each);
                    let last = Answer { value: look.value, measured: Measured::exact(look.value), governs: Governs::End };
                    stretches.push(Stretch { first, last });
                }
                (true, Some(_)) => {
                    if let Some(stretch) = stretches.last_mut() {
                        stretch.last = Answer { value: look.value, measured: Measured::exact(look.value), governs: Governs::End };
                    }
                }
                (false, Some(before)) if held => {
                    let last = self.end(before, look, each);
                    if let Some(stretch) = stretches.last_mut() {
                        stretch.last = last;
                    }
                }
                (false, _) => {}
            }
            before = Some(look);
        }
        stretches
    }

    // The end of a stretch between a value where everything holds and one where something does not.
    fn end(&self, inside: &Look, outside: &Look, each: bool) -> Answer {
        if each {
            return Answer { value: inside.value, measured: Measured::exact(inside.value), governs: self.governs(outside) };
        }
        let start = ((inside.value, self.probed(inside)), (outside.value, self.probed(outside)));
        let ((value, _), (beyond, _)) = narrow(start, &mut |value| self.probe(value));
        let beyond = self.sizing.look(beyond);
        Answer { value, measured: self.doubt(value, &beyond), governs: self.governs(&beyond) }
    }

    fn doubt(&self, value: f64, beyond: &Look) -> Measured {
        let trial = self.sizing.bench.with(value);
        let sides = match (self.fails(beyond), self.broken(beyond)) {
            (_, Some(limit)) => trial.limit_places(limit),
            (Some(at), None) => trial.study().and_then(|(_, places)| {
                let (demand, capacity) = places.demands.get(at).copied()?;
                demand.zip(capacity)
            }),
            (None, None) => None,
        };
        let found = sides.and_then(|(left, right)| trial.where_equal(value, left, right));
        found.filter(|found| found.uncertainty > 1e-12 * value.abs()).unwrap_or(Measured::exact(value))
    }

    // The counted demand that fails by most.
    fn fails(&self, look: &Look) -> Option<usize> {
        let failing = self.counted(look).filter_map(|(at, found)| Some((at, found.as_ref().ok().filter(|sides| !sides.holds)?.slack())));
        failing.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(at, _)| at)
    }

    // A limit that is broken, where that is why a counted demand has no value.
    fn broken(&self, look: &Look) -> Option<LimitAt> {
        let open = self.counted(look).any(|(_, found)| found.is_err());
        look.limits.iter().find(|(_, margin)| open && margin.is_some_and(|margin| margin < 0.0)).map(|(at, _)| *at)
    }

    fn governs(&self, beyond: &Look) -> Governs {
        if let Some((_, Err(reason))) = self.counted(beyond).find(|(_, found)| found.is_err()) {
            let limit = self.broken(beyond).and_then(|at| self.sizing.bench.with(beyond.value).limit_words(at));
            return Governs::Words(limit.unwrap_or_else(|| reason.clone()));
        }
        self.fails(beyond).map_or(Governs::End, Governs::Demand)
    }

    fn tried(&self, look: &Look) -> Tried {
        let reason = self.counted(look).find_map(|(_, found)| found.as_ref().err().cloned()).unwrap_or_default();
        let least = self.counted(look).filter_map(|(at, found)| found.as_ref().ok().map(|sides| (at, *sides)));
        let least = least.min_by(|a, b| a.1.slack().total_cmp(&b.1.slack()));
        Tried {
            value: look.value,
            measured: Measured::exact(look.value),
            holds: self.holds(look),
            decides: least.map(|(at, _)| at),
            sides: least.map(|(_, sides)| sides),
            reason,
        }
    }

    // The stretch the answer is taken from: for an outward search the one round the present value, or the nearest to it.
    fn choose(&self, stretches: &[Stretch], round: Option<f64>) -> Option<usize> {
        let Some(present) = round else {
            return match self.sizing.goal {
                Goal::Least => stretches.first().map(|_| 0),
                Goal::Greatest => stretches.len().checked_sub(1),
            };
        };
        let away = |stretch: &Stretch| {
            let ratio = |end: f64| libm::log(end / present).abs();
            let inside = (stretch.first.value..=stretch.last.value).contains(&present);
            if inside { 0.0 } else { ratio(stretch.first.value).min(ratio(stretch.last.value)) }
        };
        stretches.iter().enumerate().min_by(|a, b| away(a.1).total_cmp(&away(b.1))).map(|(at, _)| at)
    }

    // Where nothing serves: the value that comes nearest, between the points of the first look where that can be.
    fn nearest(&self, looks: &[Look], each: bool) -> Option<Tried> {
        let ranked = looks.iter().enumerate().filter_map(|(at, look)| Some((at, self.slack(look)?)));
        let (at, _) = ranked.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))?;
        let here = looks.get(at)?;
        if each || at == 0 || at + 1 == looks.len() {
            return Some(self.tried(here));
        }
        let (before, after) = (looks.get(at - 1)?.value, looks.get(at + 1)?.value);
        let found = peak(before, after, &mut |value| self.slack(&self.sizing.look(value)).unwrap_or(f64::NEG_INFINITY));
        let there = self.sizing.look(found);
        let better = self.slack(&there).zip(self.slack(here)).is_some_and(|(there, here)| there > here);
        Some(self.tried(if better { &there } else { here }))
    }
}
