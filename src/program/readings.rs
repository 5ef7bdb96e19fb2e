//! What readings give away: an efficiency above one, with what would explain it, and readings that stand off from others.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::readings::{EfficiencyAboveOne, ReadingStandsOff};
use crate::measure::{Measured, Off, StandsOff, grubbs, off_line};
use crate::model::readings::{CellRead, Group, Read};
use crate::model::tree::{EntryId, TreeForm};
use crate::model::{Direction, Model, Readings};
use crate::program::run::{Evaluation, printed_for_reader};
use crate::syntax::ast::Meaning;
use crate::units::Unit;

/// What a mistaken unit would have to bring an efficiency to, at least, to be worth naming.
const LEAST: f64 = 0.3;

/// By how many parts a count may be wrong to be worth naming.
const MISCOUNT: f64 = 2.0;

/// Units that are taken for each other.
const MISTAKEN: &[&[&str]] = &[&["N", "kgf", "lbf", "kN"], &["kg", "lb"], &["mm", "cm", "in", "ft", "m"]];

/// A trial whose efficiency came out above one.
#[derive(Debug, Clone, PartialEq)]
pub struct Alarm {
    /// The trial, by its place in the readings.
    pub trial: usize,
    /// The efficiency.
    pub efficiency: Measured,
    /// Whether one lies within its expanded uncertainty.
    pub within: bool,
    /// What would explain it, the nearest first.
    pub explanations: Vec<Explanation>,
}

/// What stands off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Straying {
    /// A repeat: the column, and its place among the repeats of the trial.
    Repeat(Read, usize),
    /// The velocity ratio of the trial, among those of all trials.
    Ratio,
    /// The effort of the trial, off the straight line of effort over load.
    Line,
}

/// A reading or a trial that stands off from the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stray {
    /// The trial, by its place in the readings.
    pub trial: usize,
    /// What of it.
    pub what: Straying,
    /// How far, and by which test value.
    pub found: StandsOff,
}

/// What would explain an efficiency above one: a sentence of the program's with holes, `{name}`, and what goes into them. So it can
/// be said in another language.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// The sentence.
    pub pattern: &'static str,
    /// Names of holes and what fills them.
    pub values: Vec<(&'static str, String)>,
}

impl Explanation {
    fn new<const N: usize>(pattern: &'static str, values: [(&'static str, String); N]) -> Self {
        Explanation { pattern, values: values.into() }
    }

    // In English, for a finding.
    fn words(&self) -> String {
        self.values.iter().fold(self.pattern.to_string(), |said, (name, value)| said.replace(&format!("{{{name}}}"), value))
    }
}

fn called(off: Off) -> (&'static str, &'static str) {
    match off {
        Off::Straggler => ("straggler", "5\u{a0}%"),
        Off::Outlier => ("outlier", "1\u{a0}%"),
    }
}

/// Puts down what the readings of a model give away.
pub(super) fn judge(model: &Model, evaluation: &Evaluation, sink: &mut Sink) {
    for readings in model.readings.iter().filter(|readings| !readings.broken) {
        for alarm in alarms(readings, model, evaluation) {
            let Some(trial) = readings.trials.get(alarm.trial) else { continue };
            let finding = EfficiencyAboveOne {
                trial: format!("trial {}", trial.label),
                efficiency: percent(alarm.efficiency.value),
                within: alarm.within,
                explains: alarm.explanations.iter().map(Explanation::words).collect(),
            };
            sink.push(trial.span, &finding);
        }
        for stray in strays(readings, model, evaluation) {
            let Some(trial) = readings.trials.get(stray.trial) else { continue };
            let what = match stray.what {
                Straying::Repeat(read, at) => format!("reading {} of the {} in trial {}", at + 1, read.words(), trial.label),
                Straying::Ratio => format!("the velocity ratio of trial {}", trial.label),
                Straying::Line => format!("the effort of trial {}", trial.label),
            };
            let (value, level) = called(stray.found.called);
            let finding = ReadingStandsOff {
                what,
                value: value.into(),
                statistic: crate::units::places(stray.found.statistic, 2),
                critical: crate::units::places(stray.found.critical, 2),
                level: level.into(),
            };
            sink.push(trial.span, &finding);
        }
    }
}

/// The trials whose efficiency came out above one.
pub fn alarms(readings: &Readings, model: &Model, evaluation: &Evaluation) -> Vec<Alarm> {
    let mut found = Vec::new();
    for group in &readings.groups {
        let list = group.list("efficiency").and_then(|list| evaluation.entry(list)).unwrap_or_default();
        for (trial, efficiency) in group.trials.iter().zip(list) {
            let (measured, doubt) = (efficiency.value, efficiency.expanded(evaluation.coverage));
            if measured - 1.0 <= 1e-9 {
                continue;
            }
            let search = Search { readings, group, model, evaluation, trial: *trial, measured, doubt };
            found.push(Alarm { trial: *trial, efficiency, within: measured - 1.0 <= doubt, explanations: search.explanations() });
        }
    }
    found.sort_by_key(|alarm| alarm.trial);
    found
}

struct Search<'s> {
    readings: &'s Readings,
    group: &'s Group,
    model: &'s Model,
    evaluation: &'s Evaluation,
    trial: usize,
    measured: f64,
    doubt: f64,
}

impl Search<'_> {
    fn explanations(&self) -> Vec<Explanation> {
        let mut readings: Vec<(f64, Explanation)> = Read::ALL.into_iter().filter_map(|read| self.reading(read)).collect();
        readings.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut words: Vec<Explanation> = readings.into_iter().map(|(_, words)| words).collect();
        words.extend(self.count());
        words.extend(Read::ALL.into_iter().flat_map(|read| self.units(read)));
        words
    }

    // Whether the efficiency falls when this reading grows.
    fn lowers(&self, read: Read) -> bool {
        let effort_side = matches!(read, Read::Effort | Read::EffortTravel);
        effort_side == (self.group.direction == Direction::Raising)
    }

    fn cell(&self, read: Read) -> Option<&CellRead> {
        self.readings.columns.iter().find(|column| column.read == read)?.cells.get(self.trial)
    }

    // What the reading would have to be, and how many of its expanded uncertainties that is away.
    fn reading(&self, read: Read) -> Option<(f64, Explanation)> {
        let id = self.cell(read)?.value;
        let found = self.evaluation.entry(id)?.first().copied()?;
        let (value, doubt) = (found.value, found.expanded(self.evaluation.coverage));
        let wanted = if self.lowers(read) { value * self.measured } else { value / self.measured };
        let (is, needed) = (self.printed(id, value, 3), self.printed(id, wanted, 3));
        if doubt <= 0.0 {
            let pattern = "{reading} {is}: 100\u{a0}% at {needed}; no doubt of it is stated";
            return Some((f64::INFINITY, Explanation::new(pattern, [("reading", read.words().into()), ("is", is), ("needed", needed)])));
        }
        let away = (wanted - value).abs() / doubt;
        let times = crate::units::significant(away, 2);
        let pattern = "{reading} {is}: 100\u{a0}% at {needed}, {times} times its U of {doubt} away";
        let doubt = self.printed(id, doubt, 2);
        let values = [("reading", read.words().into()), ("is", is), ("needed", needed), ("times", times), ("doubt", doubt)];
        Some((away, Explanation::new(pattern, values)))
    }

    fn printed(&self, id: EntryId, si: f64, digits: usize) -> String {
        let entry = self.model.entry(id);
        match &entry.shown_in {
            Some(unit) => crate::units::spaced(&crate::units::significant((si - unit.offset) / unit.scale, digits), &unit.symbol),
            None => printed_for_reader(&entry.value, si),
        }
    }

    // The velocity ratio of the machine against the measured one, or the next whole number of parts.
    fn count(&self) -> Option<Explanation> {
        let own = self.readings.own_ratio.and_then(|id| self.evaluation.entry(id)).and_then(|values| values.first().copied());
        let measured = self.group.list("velocity_ratio").and_then(|list| self.evaluation.entry(list));
        let place = self.group.trials.iter().position(|trial| *trial == self.trial)?;
        let measured = measured.and_then(|values| values.get(place).copied());
        let raising = self.group.direction == Direction::Raising;
        let with = |ratio: f64, instead: f64| if raising { self.measured * ratio / instead } else { self.measured * instead / ratio };
        match (measured, own) {
            (Some(found), Some(own))
                if (own.value - found.value).abs() > found.expanded(self.evaluation.coverage)
                    && self.comes_near(with(found.value, own.value)) =>
            {
                let (measured, own) = (found.value, own.value);
                Some(Explanation::new(
                    "velocity ratio {measured}: the machine as stated has {own}, and with that the efficiency is {then}",
                    [
                        ("measured", crate::units::significant(measured, 3)),
                        ("own", crate::units::significant(own, 3)),
                        ("then", percent(with(measured, own))),
                    ],
                ))
            }
            (None, Some(Measured { value: own, .. })) => {
                let advantage = if raising { own * self.measured } else { own / self.measured };
                let whole = if raising { libm::ceil(advantage - 1e-9) } else { libm::floor(advantage + 1e-9) };
                (whole >= 1.0 && (whole - own).abs() <= MISCOUNT && self.comes_near(with(own, whole))).then(|| {
                    Explanation::new(
                        "velocity ratio {own}, not measured: with {whole} the efficiency is {then}; count the parts, or measure the travels",
                        [
                            ("own", crate::units::significant(own, 3)),
                            ("whole", crate::units::places(whole, 0)),
                            ("then", percent(with(own, whole))),
                        ],
                    )
                })
            }
            _ => None,
        }
    }

    // Another unit behind the number that was read.
    fn units(&self, read: Read) -> Vec<Explanation> {
        let Some(cell) = self.cell(read) else { return Vec::new() };
        let Some(stated) = self.model.entry(cell.read).shown_in.clone() else { return Vec::new() };
        let like = MISTAKEN.iter().find(|units| units.contains(&stated.symbol.as_str())).copied().unwrap_or_default();
        let candidates = like.iter().filter(|other| **other != stated.symbol).filter_map(|other| crate::units::parse(other).ok());
        candidates.filter_map(|other| self.unit(read, &stated, &other)).collect()
    }

    fn unit(&self, read: Read, stated: &Unit, other: &Unit) -> Option<Explanation> {
        let factor = other.scale / stated.scale;
        let then = self.measured * if self.lowers(read) { factor.recip() } else { factor };
        let near = self.comes_near(then);
        let values = || {
            [
                ("reading", read.words().to_string()),
                ("other", other.symbol.to_string()),
                ("stated", stated.symbol.to_string()),
                ("then", percent(then)),
            ]
        };
        near.then(|| Explanation::new("{reading} in {other}, not in {stated}: the efficiency is then {then}", values()))
    }

    fn comes_near(&self, share: f64) -> bool {
        (LEAST..=1.0 + self.doubt).contains(&share) && share < self.measured
    }
}

fn percent(share: f64) -> String {
    crate::units::spaced(&crate::units::significant(100.0 * share, 3), "%")
}

/// The readings and trials that stand off from the others, in the order of the table. All of them are kept.
pub fn strays(readings: &Readings, model: &Model, evaluation: &Evaluation) -> Vec<Stray> {
    let mut found = Vec::new();
    for column in &readings.columns {
        for (trial, cell) in column.cells.iter().enumerate() {
            if let Some((at, off)) = repeat_off(cell, model, evaluation) {
                found.push(Stray { trial, what: Straying::Repeat(column.read, at), found: off });
            }
        }
    }
    for group in &readings.groups {
        let values =
            |name: &str| -> Option<Vec<f64>> { Some(evaluation.entry(group.list(name)?)?.into_iter().map(|found| found.value).collect()) };
        let mut put = |what: Straying, off: Option<StandsOff>| {
            if let Some((trial, off)) = off.and_then(|off| Some((*group.trials.get(off.at)?, off))) {
                found.push(Stray { trial, what, found: off });
            }
        };
        put(Straying::Ratio, values("velocity_ratio").and_then(|ratios| grubbs(&ratios)));
        put(Straying::Line, values("load").zip(values("effort")).and_then(|(loads, efforts)| off_line(&loads, &efforts)));
    }
    found.sort_by_key(|stray| stray.trial);
    found
}

// A repeat that stands off by more than the step it was read in: what is one step away is no stray, however close the
// others lie together.
fn repeat_off(cell: &CellRead, model: &Model, evaluation: &Evaluation) -> Option<(usize, StandsOff)> {
    let entry = model.entry(cell.read);
    let doubt = entry.doubts.iter().position(|doubt| doubt.meaning == Meaning::Repeats)?;
    let source = evaluation.program.sources.iter().find(|source| source.entry == cell.read.0 && source.doubt == doubt)?;
    let values: Option<Vec<f64>> = source.amounts.iter().map(|place| evaluation.values.get(*place).copied()).collect();
    let values = values?;
    let off = grubbs(&values)?;
    let stray = *values.get(off.at)?;
    let nearest =
        values.iter().enumerate().filter(|(at, _)| *at != off.at).map(|(_, value)| (value - stray).abs()).fold(f64::INFINITY, f64::min);
    let TreeForm::List(items) = &entry.doubts.get(doubt)?.amount.form else { return None };
    let step = items.iter().filter_map(|item| last_place(&item.form)).fold(f64::INFINITY, f64::min);
    (nearest > step * (1.0 + 1e-9)).then_some((off.at, off))
}

// One in the last place of a number as typed, in SI units.
fn last_place(form: &TreeForm) -> Option<f64> {
    match form {
        TreeForm::Constant(constant) => {
            let (typed, unit) = constant.parts.last()?;
            let decimals = typed.split_once('.').map_or(0, |(_, decimals)| decimals.chars().filter(char::is_ascii_digit).count());
            Some(unit.as_ref().map_or(1.0, |unit| unit.scale) * libm::pow(10.0, -(decimals as f64)))
        }
        TreeForm::Negative(of) => last_place(&of.form),
        _ => None,
    }
}
