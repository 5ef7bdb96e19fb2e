//! Laws as reported: the line with its numbers, what follows from it, and how the trials lie about it.

use crate::measure::Measured;
use crate::model::quantity::Quantity;
use crate::model::tree::EntryId;
use crate::model::{Direction, Law};
use crate::program::laws::TrialOnLine;
use crate::sheet::figures::{coverage_words, figure_in, in_unit, level, placed};
use crate::sheet::law_plot::{self, Axes, Scene};
use crate::sheet::parts::{Figure, LawReport, LawRow, LawTrial, Math};
use crate::sheet::symbols::anchor;
use crate::sheet::working::Setter;
use crate::units::Unit;
use crate::words::say;

/// A chance of the scatter below this, or above its complement, is told as odd.
const ODD: f64 = 0.05;

/// The report of the law at that place of the model; none when it could not be worked.
pub(super) fn report(setter: &Setter<'_>, at: usize, number: usize) -> Option<LawReport> {
    let law = setter.model.laws.get(at)?;
    let trials = setter.evaluation.law_trials(at, law)?;
    let teller = Teller { setter, law, at, load: unit(setter, law.loads), effort: unit(setter, law.efforts) };
    let correlation = setter.evaluation.law_correlation(at);
    let rows = teller.rows();
    let scene = teller.scene(&trials)?;
    let plots = if setter.brief { Vec::new() } else { law_plot::draw(&scene) };
    Some(LawReport {
        number: format!("L{number}"),
        anchor: anchor(&law.name),
        name: law.name.clone(),
        label: law.label.clone(),
        caption: teller.caption(),
        equation: teller.equation()?,
        rows,
        correlation: correlation.map(|r| crate::units::places(r, 3)).unwrap_or_default(),
        correlation_value: correlation,
        trials: trials.iter().enumerate().map(|(place, trial)| teller.trial(place, trial)).collect(),
        remarks: teller.remarks(&trials),
        plots,
    })
}

// The unit of a list: as its author wrote it, or one that suits its greatest item.
fn unit(setter: &Setter<'_>, list: EntryId) -> Option<Unit> {
    let entry = setter.model.entry(list);
    let greatest = setter.evaluation.entry(list)?.iter().map(|found| found.value.abs()).fold(0.0, f64::max);
    let fitting = || crate::units::for_reader(greatest, entry.quantity.dimension, entry.quantity.nature, setter.style.us_customary);
    entry.shown_in.clone().or_else(fitting)
}

struct Teller<'t> {
    setter: &'t Setter<'t>,
    law: &'t Law,
    at: usize,
    load: Option<Unit>,
    effort: Option<Unit>,
}

impl Teller<'_> {
    fn quantity(&self, id: EntryId) -> Quantity {
        self.setter.model.entry(id).quantity
    }

    fn caption(&self) -> String {
        let direction = self.law.direction.map(|direction| format!(", {}", crate::words::word(direction.word()))).unwrap_or_default();
        let count = self.law.trials;
        match self.law.both {
            true => say!(
                "effort against load{direction}, {count} trials, a straight line with errors in both readings",
                direction = direction,
                count = count
            ),
            false => say!(
                "effort against load{direction}, {count} trials, a straight line by least squares",
                direction = direction,
                count = count
            ),
        }
    }

    fn one(&self, id: EntryId) -> Option<Figure> {
        self.setter.printed.of(id).first().cloned()
    }

    // effort = slope · load + effort at no load
    fn equation(&self) -> Option<Math> {
        let word = |base: &str| Math::Symbol { base: base.into(), subscript: String::new(), italic: false, index: Vec::new() };
        let value = |figure: Figure| match figure.unit.as_str() {
            "" => Math::Number { text: figure.number.clone() },
            _ => Math::Value { number: figure.number.clone(), unit: figure.unit.clone() },
        };
        let (slope, mut no_load) = (self.one(self.law.slope)?, self.one(self.law.no_load_effort)?);
        let below = no_load.si < 0.0;
        no_load.number = no_load.number.trim_start_matches(['\u{2212}', '-']).to_string();
        let share = Math::Product { left: Box::new(value(slope)), right: Box::new(word(say!("load"))) };
        let operator = if below { "−" } else { "+" };
        let sum = Math::Infix { operator: operator.into(), left: Box::new(share), right: Box::new(value(no_load)) };
        Some(Math::Infix { operator: "=".into(), left: Box::new(word(say!("effort"))), right: Box::new(sum) })
    }

    fn rows(&self) -> Vec<LawRow> {
        let law = self.law;
        let row = |quantity: &str, id: EntryId, basis: &str| LawRow {
            quantity: quantity.into(),
            figure: self.one(id),
            basis: basis.into(),
            name: self.setter.model.entry(id).name.clone(),
        };
        let mut rows = vec![
            row(say!("Slope"), law.slope, say!("effort for each unit of load")),
            row(say!("No-load effort"), law.no_load_effort, say!("the line at no load; never forced through zero")),
        ];
        let deviation = if law.both {
            row(say!("Scatter over stated doubt"), law.deviation, say!("root of chi-square over degrees of freedom"))
        } else {
            row(say!("Residual deviation s"), law.deviation, say!("of one effort about the line"))
        };
        let without_doubt = |mut row: LawRow| {
            // What is common to the readings moves it too, but by nothing beside what so few trials leave open of it.
            let quantity = self.quantity(law.deviation);
            let unit = if law.both { None } else { self.effort.as_ref() };
            row.figure = row.figure.map(|found| {
                let size = in_unit(found.si, quantity, unit).abs();
                let decimals = if size > 0.0 { (2.0 - libm::floor(libm::log10(size))).clamp(0.0, 9.0) as usize } else { 0 };
                placed(found.si, quantity, unit, decimals)
            });
            row
        };
        rows.push(without_doubt(deviation));
        rows.push(row(say!("Limiting mechanical advantage"), law.limiting_advantage, say!("1 / slope")));
        rows.extend(law.velocity_ratio.map(|id| row(say!("Velocity ratio"), id, "")));
        let basis = if law.direction == Some(Direction::Lowering) {
            say!("slope × velocity ratio")
        } else {
            say!("1 / (slope × velocity ratio)")
        };
        rows.extend(law.limiting_efficiency.map(|id| row(say!("Limiting efficiency"), id, basis)));
        rows
    }

    fn trial(&self, place: usize, trial: &TrialOnLine) -> LawTrial {
        let style = self.setter.style;
        let (load, effort) = (self.quantity(self.law.loads), self.quantity(self.law.efforts));
        let effort_figure = figure_in(trial.effort, effort, self.effort.as_ref(), true, style);
        // To one place more than the deviation shows.
        let deviation = self.setter.evaluation.entry(self.law.deviation).and_then(|values| Some(values.first()?.value)).unwrap_or(0.0);
        let size = in_unit(if self.law.both { trial.residual } else { deviation }, effort, self.effort.as_ref()).abs();
        let decimals = if size > 0.0 { (1.0 - libm::floor(libm::log10(size))).clamp(0.0, 9.0) as usize } else { 2 };
        LawTrial {
            number: place + 1,
            load: figure_in(trial.load, load, self.load.as_ref(), true, style),
            effort: effort_figure,
            of_law: placed(trial.of_law, effort, self.effort.as_ref(), decimals),
            residual: placed(trial.residual, effort, self.effort.as_ref(), decimals),
            efficiency: trial.efficiency.map(|share| {
                let percent = crate::units::parse("%").ok();
                figure_in(Measured::exact(share), Quantity::RATIO, percent.as_ref(), true, style)
            }),
        }
    }

    fn remarks(&self, trials: &[TrialOnLine]) -> Vec<String> {
        let law = self.law;
        let mut remarks = Vec::new();
        let degrees = law.trials.saturating_sub(2);
        let freedom =
            if degrees == 1 { say!("1 degree of freedom").to_string() } else { say!("{number} degrees of freedom", number = degrees) };
        if law.both {
            let wider = self.setter.evaluation.entry(law.deviation).and_then(|values| Some(values.first()?.value)).unwrap_or(f64::NAN);
            let squares = crate::units::significant(wider * wider * degrees as f64, 3);
            let chance = self.setter.evaluation.law_chance(law);
            let percent = chance.map(crate::sheet::verdicts::chance).unwrap_or_default();
            let says = match chance {
                Some(chance) if chance < ODD => {
                    say!(
                        "the trials scatter more than their stated doubts explain: a doubt was stated too small, a reading is wrong, or the machine does not follow a straight line"
                    )
                }
                Some(chance) if chance > 1.0 - ODD => {
                    say!("the trials scatter less than their stated doubts let expect: those look too large")
                }
                _ => say!("the trials scatter as their stated doubts let expect"),
            };
            remarks.push(say!(
                "Chi-square is {squares} with {freedom}, and would be as large or larger with a chance of {percent}: {says}. The doubt of the line comes from the stated doubts, whatever the scatter (York, Evensen, Martínez, Delgado 2004).",
                squares = squares,
                freedom = freedom,
                percent = percent,
                says = says
            ));
        } else {
            remarks.push(say!(
                "The doubt of the line comes from the scatter of the trials about it, with {freedom} (JCGM 100:2008 H.3), and from what the readings have in common, as the calibration of one instrument; a reading's own random parts are in the scatter already and are not counted again.",
                freedom = freedom
            ));
        }
        let ends = trials
            .iter()
            .map(|trial| trial.load.value)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), load| (low.min(load), high.max(load)));
        let print =
            |si: f64| figure_in(Measured::exact(si), self.quantity(law.loads), self.load.as_ref(), true, self.setter.style).text.clone();
        remarks.push(say!(
            "Tested from {low} to {top}; beyond that the law is an extrapolation.",
            low = print(ends.0),
            top = print(ends.1)
        ));
        remarks
    }

    fn scene(&self, trials: &[TrialOnLine]) -> Option<Scene> {
        let (load, effort) = (self.quantity(self.law.loads), self.quantity(self.law.efforts));
        let rule = self.setter.style.coverage;
        let x = |si: f64| in_unit(si, load, self.load.as_ref());
        let y = |si: f64| in_unit(si, effort, self.effort.as_ref());
        let named = |words: &str, unit: Option<&Unit>| match unit {
            Some(unit) => format!("{words}, {}", unit.symbol),
            None => words.to_string(),
        };
        let high = trials.iter().map(|trial| trial.load.value).fold(f64::NEG_INFINITY, f64::max);
        let low = trials.iter().map(|trial| trial.load.value).fold(f64::INFINITY, f64::min);
        let mut line = Vec::new();
        let mut efficiency = Vec::new();
        for step in 0..=60 {
            let place = high * f64::from(step) / 60.0;
            let on = self.setter.evaluation.on_line(self.at, self.law, place)?;
            line.push([x(place), y(on.effort), y(on.of_line), on.of_reading.map_or(0.0, y)]);
            if let Some(share) = self.setter.evaluation.law_efficiency(self.at, self.law, place) {
                efficiency.push((x(place), 100.0 * share));
            }
        }
        let deviation = self.setter.evaluation.entry(self.law.deviation)?.first()?.value;
        let limit = self.law.limiting_efficiency.and_then(|id| self.one(id));
        Some(Scene {
            title: if self.law.label.is_empty() { say!("Law {name}", name = self.law.name) } else { self.law.label.clone() },
            axes: Axes { load: named(say!("load"), self.load.as_ref()), effort: named(say!("effort"), self.effort.as_ref()) },
            unit: self.effort.as_ref().map(|unit| unit.symbol.clone()).unwrap_or_default(),
            points: trials
                .iter()
                .map(|trial| law_plot::Trial {
                    load: (x(trial.load.value), x(trial.load.expanded(rule))),
                    effort: (y(trial.effort.value), y(trial.effort.expanded(rule))),
                    residual: y(trial.residual),
                    efficiency: trial.efficiency.map(|share| 100.0 * share),
                })
                .collect(),
            tested: (x(low), x(high)),
            line,
            efficiency,
            limit: limit.map(|figure| (100.0 * figure.si, figure.text.clone())),
            deviation: (!self.law.both).then(|| y(deviation)),
            coverage: coverage_words(rule),
            level: level((1e4 * self.setter.evaluation.band_level()).round() / 1e4),
        })
    }
}
