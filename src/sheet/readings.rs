//! Readings as reported: the table as it was read, the results of every trial, and those of all trials together.

use crate::measure::{Measured, Off};
use crate::model::quantity::Quantity;
use crate::model::readings::{CellRead, Group};
use crate::model::tree::{EntryId, Tree, TreeForm};
use crate::model::{Direction, Member, Owner, Readings};
use crate::program::readings::{Explanation, Stray, Straying, alarms, strays};
use crate::sheet::build::Work;
use crate::sheet::doubts;
use crate::sheet::figures;
use crate::sheet::machines::Numbering;
use crate::sheet::parts::{Figure, Math, SketchPart, WorkingLine};
use crate::sheet::reading_parts::{Alarm, ReadCell, ReadColumn, ReadGroup, ReadResults, ReadRow, ReadingsReport, ResultRow};
use crate::sheet::reading_plot::{Mark, Scene, Series, draw};
use crate::sheet::symbols::anchor;
use crate::sheet::working::Setter;
use crate::syntax::ast::Operator;
use crate::units::Unit;
use crate::words::{filled, say, word};

/// The lists of a table of results: name and title.
const RESULTS: &[(&str, &str)] = &[
    ("mechanical_advantage", "Mechanical advantage"),
    ("velocity_ratio", "Velocity ratio"),
    ("efficiency", "Efficiency"),
    ("work_in", "Work in"),
    ("work_out", "Work out"),
    ("predicted", "Effort predicted"),
    ("difference", "Measured less predicted"),
];

/// So many terms of a sum are still read one by one.
const MOST_TERMS: usize = 8;

const PAIRS: &[(&str, &str)] = &[
    ("load", "Load"),
    ("raising_effort", "Effort raising"),
    ("lowering_effort", "Effort lowering"),
    ("frictionless_effort", "Effort without friction"),
    ("friction", "Friction at the effort"),
];

/// The report of the readings at that place of the model; none when they could not be read.
pub(super) fn report(setter: &Setter<'_>, work: &Work<'_>, at: usize, numbering: &mut Numbering) -> Option<ReadingsReport> {
    let readings = setter.model.readings.get(at).filter(|readings| !readings.broken)?;
    let inside = Setter { inside: Some(Owner::Readings(at)), ..*setter };
    let strays = strays(readings, setter.model, setter.evaluation);
    let teller = Teller { setter: &inside, readings, strays };
    let groups: Vec<ReadGroup> = readings.groups.iter().map(|group| teller.group(group, numbering)).collect();
    let pairs = teller.pairs(numbering);
    let file = readings.file.and_then(|file| work.sources.file(file)).map(|file| file.path.to_string());
    Some(ReadingsReport {
        number: format!("R{}", at + 1),
        anchor: anchor(&readings.name),
        name: readings.name.clone(),
        label: readings.label.clone(),
        of: readings.of.map(|_| readings.of_name.clone()).unwrap_or_default(),
        file: file.unwrap_or_default(),
        columns: teller.columns(),
        rows: teller.rows(),
        groups,
        pairs,
        alarms: teller.alarms(),
        remarks: teller.remarks(),
        plots: if setter.brief { Vec::new() } else { teller.plots() },
    })
}

struct Teller<'t> {
    setter: &'t Setter<'t>,
    readings: &'t Readings,
    strays: Vec<Stray>,
}

impl Teller<'_> {
    fn columns(&self) -> Vec<ReadColumn> {
        let columns = self
            .readings
            .columns
            .iter()
            .map(|column| ReadColumn { title: crate::words::word(column.read.words()).into(), instrument: column.instrument.clone() });
        columns.collect()
    }

    // Whether what is reckoned with is another number than the one in the cell.
    fn corrected(&self, cell: &CellRead) -> bool {
        let plain = |form: &TreeForm| match form {
            TreeForm::Constant(_) => true,
            TreeForm::Negative(of) => matches!(of.form, TreeForm::Constant(_)),
            _ => false,
        };
        cell.read != cell.value || !plain(&self.setter.model.entry(cell.read).value.form)
    }

    fn rows(&self) -> Vec<ReadRow> {
        let down: Vec<Vec<Figure>> = self.readings.columns.iter().map(|column| self.down(&column.cells)).collect();
        let rows = self.readings.trials.iter().enumerate().map(|(at, trial)| ReadRow {
            trial: trial.label.clone(),
            direction: word(trial.direction.word()).into(),
            cells: self
                .readings
                .columns
                .iter()
                .zip(&down)
                .filter_map(|(column, figures)| Some((column, column.cells.get(at)?, figures.get(at).cloned())))
                .map(|(column, cell, value)| ReadCell {
                    anchor: anchor(&self.setter.model.entry(cell.read).name),
                    raw: self.raw(cell),
                    corrected: self.corrected(cell),
                    value,
                    doubt: doubts::stated(self.setter, cell.read),
                    mark: self.marks(at, |what| matches!(what, Straying::Repeat(read, _) if read == column.read)),
                })
                .collect(),
            remark: trial.remark.clone(),
        });
        rows.collect()
    }

    fn marks(&self, trial: usize, of: impl Fn(Straying) -> bool) -> String {
        let marks = self.strays.iter().filter(|stray| stray.trial == trial && of(stray.what)).map(|stray| {
            let reading = match stray.what {
                Straying::Repeat(_, at) => say!("reading {number}, ", number = at + 1),
                Straying::Ratio | Straying::Line => String::new(),
            };
            say!("{reading}{why}; kept", reading = reading, why = straying(stray))
        });
        marks.collect::<Vec<_>>().join("; ")
    }

    fn alarms(&self) -> Vec<Alarm> {
        let unit = crate::units::parse("%").ok();
        let figure = |found| figures::figure_in(found, Quantity::RATIO, unit.as_ref(), true, self.setter.style);
        let told = alarms(self.readings, self.setter.model, self.setter.evaluation).into_iter().map(|alarm| {
            let says = if alarm.within {
                say!(
                    "100\u{a0}% lies within its expanded uncertainty: the doubt of the readings is greater than what friction took, and the efficiency is not told from 100\u{a0}%."
                )
            } else if alarm.efficiency.uncertainty == 0.0 {
                say!(
                    "That is above 100\u{a0}%, and no doubt of the readings is stated. No machine gives more work than is put in: a reading, a count or a unit is wrong, or read too coarsely. What would explain it:"
                )
            } else {
                say!(
                    "That is above 100\u{a0}% by more than its expanded uncertainty. No machine gives more work than is put in: a reading, a count or a unit is wrong. What would explain it:"
                )
            };
            Alarm {
                trial: say!("Trial {label}", label = self.readings.trials.get(alarm.trial).map_or("", |trial| trial.label.as_str())),
                efficiency: figure(alarm.efficiency),
                within: alarm.within,
                says: says.into(),
                explanations: alarm.explanations.iter().map(explained).collect(),
            }
        });
        told.collect()
    }

    // Effort over load, and efficiency over load.
    fn plots(&self) -> Vec<SketchPart> {
        let evaluation = self.setter.evaluation;
        let list = |group: &Group, name: &str| group.list(name);
        let (Some(load), Some(effort)) = (self.unit("load"), self.unit("effort")) else { return Vec::new() };
        let percent = crate::units::parse("%").ok();
        let rule = self.setter.style.coverage;
        let scaled = |found: Vec<Measured>, unit: &Unit| -> Vec<(f64, f64)> {
            found.into_iter().map(|found| (found.value / unit.scale, found.expanded(rule) / unit.scale)).collect()
        };
        let values = |group: &Group, name: &str, unit: &Unit| Some(scaled(evaluation.entry(list(group, name)?)?, unit));
        let series = |name: &str, unit: &Unit, with_predicted: bool| -> Vec<Series> {
            let made = self.readings.groups.iter().filter_map(|group| {
                let loads = values(group, "load", &load)?;
                let found = values(group, name, unit)?;
                let predicted = if with_predicted { values(group, "predicted", unit).unwrap_or_default() } else { Vec::new() };
                Some(Series {
                    direction: group.direction,
                    predicted: loads.iter().zip(&predicted).map(|((load, _), (value, _))| (*load, *value)).collect(),
                    marks: loads.into_iter().zip(found).map(|(load, value)| Mark { load, value }).collect(),
                })
            });
            made.collect()
        };
        let trials = self.readings.trials.len();
        if trials < 2 {
            return Vec::new();
        }
        let across = (say!("load"), load.symbol.clone());
        let efforts = Scene {
            title: say!("Effort over load, {name}", name = self.readings.name),
            across: across.clone(),
            up: (say!("effort"), effort.symbol.clone()),
            series: series("effort", &effort, true),
            bound: None,
        };
        let mut plots: Vec<SketchPart> = draw(&efforts).into_iter().collect();
        if let Some(percent) = percent {
            let efficiencies = Scene {
                title: say!("Efficiency over load, {name}", name = self.readings.name),
                across,
                up: (say!("efficiency"), "%".into()),
                series: series("efficiency", &percent, false),
                bound: Some((100.0, say!("no friction").into())),
            };
            if !efficiencies.series.is_empty() {
                plots.extend(draw(&efficiencies));
            }
        }
        plots
    }

    // The unit of a list over all groups.
    fn unit(&self, name: &str) -> Option<Unit> {
        let lists = self.readings.groups.iter().filter_map(|group| group.list(name));
        let first = lists.clone().next().map(|id| self.setter.model.entry(id))?;
        let values = lists.filter_map(|id| self.setter.evaluation.entry(id)).flatten();
        let greatest = values.map(|found| found.value.abs()).fold(0.0, f64::max);
        let fitting =
            || crate::units::for_reader(greatest, first.quantity.dimension, first.quantity.nature, self.setter.style.us_customary);
        first.shown_in.clone().or_else(fitting)
    }

    // What the cell says, with the unit of its column.
    fn raw(&self, cell: &CellRead) -> String {
        let entry = self.setter.model.entry(cell.read);
        let unit = entry.shown_in.as_ref().map(|unit| unit.symbol.as_str()).unwrap_or_default();
        let bare = !cell.text.chars().any(char::is_alphabetic);
        let text = cell.text.trim().replace(['[', ']'], "").replace('-', "\u{2212}");
        if bare && !unit.is_empty() { crate::units::spaced(&text, unit) } else { text }
    }

    // One unit down a column.
    fn down(&self, cells: &[CellRead]) -> Vec<Figure> {
        let values: Option<Vec<Measured>> = cells.iter().map(|cell| self.setter.evaluation.entry(cell.value)?.first().copied()).collect();
        let Some(first) = cells.first().map(|cell| self.setter.model.entry(cell.value)) else { return Vec::new() };
        let greatest = values.iter().flatten().map(|found| found.value.abs()).fold(0.0, f64::max);
        let sample = figures::figure_in(Measured::exact(greatest), first.quantity, first.shown_in.as_ref(), first.asked, self.setter.style);
        let unit = match &first.shown_in {
            Some(unit) if unit.symbol == sample.unit => Some(unit.clone()),
            _ => crate::units::for_reader(greatest, first.quantity.dimension, first.quantity.nature, self.setter.style.us_customary),
        };
        let set = |found| figures::figure_in(found, first.quantity, unit.as_ref(), true, self.setter.style);
        values.unwrap_or_default().into_iter().map(set).collect()
    }

    fn formulas(&self, ids: &[EntryId], numbering: &mut Numbering) -> Vec<WorkingLine> {
        let ids = if self.setter.brief { &[] } else { ids };
        ids.iter().map(|id| self.setter.line(*id, numbering.take().to_string())).collect()
    }

    fn group(&self, group: &Group, numbering: &mut Numbering) -> ReadGroup {
        let formulas = self.formulas(&group.worked, numbering);
        let found: Vec<(&str, Vec<Figure>)> =
            RESULTS.iter().filter_map(|(name, title)| Some((word(title), self.setter.printed.of(group.list(name)?).to_vec()))).collect();
        let agreement = self.agreement(group);
        let mut columns: Vec<String> = found.iter().map(|(title, _)| (*title).to_string()).collect();
        columns.extend(agreement.as_ref().map(|_| "Eₙ".to_string()));
        let rows = group.trials.iter().enumerate().map(|(row, trial)| {
            let mut cells: Vec<Option<Figure>> = found.iter().map(|(_, figures)| figures.get(row).cloned()).collect();
            cells.extend(agreement.as_ref().map(|column| column.get(row).cloned().flatten()));
            ResultRow {
                trial: self.readings.trials.get(*trial).map(|trial| trial.label.clone()).unwrap_or_default(),
                cells,
                mark: self.marks(*trial, |what| !matches!(what, Straying::Repeat(..))),
            }
        });
        ReadGroup {
            direction: word(group.direction.word()).into(),
            results: ReadResults { formulas, columns, rows: rows.collect() },
            pooled: group.pooled.iter().map(|id| self.pooled(*id, numbering)).collect(),
            remarks: self.of_group(group),
        }
    }

    // A sum over the trials is put in trial by trial, as far as that can be read.
    fn pooled(&self, id: EntryId, numbering: &mut Numbering) -> WorkingLine {
        let mut line = self.setter.line(id, numbering.take().to_string());
        let value = &self.setter.model.entry(id).value;
        line.substitution = match &value.form {
            TreeForm::Binary(Operator::Divide, over, under) => {
                self.added(over).zip(self.added(under)).map(|(over, under)| Math::Fraction { over: Box::new(over), under: Box::new(under) })
            }
            _ => self.added(value),
        }
        .or(line.substitution)
        .filter(|substitution| *substitution != line.formula);
        line
    }

    fn added(&self, tree: &Tree) -> Option<Math> {
        let TreeForm::Over { body, .. } = &tree.form else { return None };
        let TreeForm::Item(list, _) = &body.form else { return None };
        let figures = self.setter.printed.of(*list);
        if figures.len() > MOST_TERMS {
            return None;
        }
        let terms = figures.iter().map(|figure| {
            let value = if figure.unit.is_empty() {
                Math::Number { text: figure.number.clone() }
            } else {
                Math::Value { number: figure.number.clone(), unit: figure.unit.clone() }
            };
            if figure.si < 0.0 { Math::Parentheses { of: Box::new(value) } } else { value }
        });
        terms.reduce(|left, right| Math::Infix { operator: "+".into(), left: Box::new(left), right: Box::new(right) })
    }

    // The normalised error of each trial: the difference over its expanded uncertainty (ISO/IEC 17043).
    fn agreement(&self, group: &Group) -> Option<Vec<Option<Figure>>> {
        let differences = self.setter.evaluation.entry(group.list("difference")?)?;
        let error = |difference: Measured| {
            let expanded = difference.expanded(self.setter.style.coverage);
            (expanded > 0.0).then(|| figures::placed(difference.value.abs() / expanded, Quantity::RATIO, None, 2))
        };
        let column: Vec<Option<Figure>> = differences.into_iter().map(error).collect();
        column.iter().any(Option::is_some).then_some(column)
    }

    fn pairs(&self, numbering: &mut Numbering) -> Option<ReadResults> {
        let pairs = self.readings.pairs.as_ref()?;
        let value = |name: &str| match pairs.each.get(name) {
            Some(Member::Value(id)) => Some(*id),
            _ => None,
        };
        let found: Vec<(&str, Vec<Figure>)> =
            PAIRS.iter().filter_map(|(name, title)| Some((word(title), self.setter.printed.of(value(name)?).to_vec()))).collect();
        let count = found.iter().map(|(_, figures)| figures.len()).max().unwrap_or(0);
        let row = |at: usize| ResultRow {
            trial: String::new(),
            cells: found.iter().map(|(_, figures)| figures.get(at).cloned()).collect(),
            mark: String::new(),
        };
        Some(ReadResults {
            formulas: self.formulas(&pairs.worked, numbering),
            columns: found.iter().map(|(title, _)| crate::words::word(title).to_string()).collect(),
            rows: (0..count).map(row).collect(),
        })
    }

    fn of_group(&self, group: &Group) -> Vec<String> {
        let mut remarks = Vec::new();
        if group.value("efficiency").is_some() && group.trials.len() > 1 {
            remarks.push(
                say!(
                    "The efficiency of all trials is all work got out over all work put in. A mean of the efficiencies at several loads has no meaning of its own, for efficiency changes with the load; none is worked."
                )
                .to_string(),
            );
        }
        if let Some(of) = self.readings.ratio_of.as_ref().filter(|_| group.direction != Direction::Holding) {
            remarks.push(say!(
                "The travels were not read, so there is neither work nor a measured velocity ratio. The efficiency rests on the velocity ratio of {of} as stated: a wrong count of its parts would not show.",
                of = of
            ));
        } else if group.list("load_travel").is_none() {
            remarks.push(say!("The travels were not read, so there is neither work nor a measured velocity ratio.").to_string());
        }
        if group.direction == Direction::Holding {
            remarks.push(
                say!(
                    "Holding, nothing moves: there is neither work nor efficiency, and the effort may lie anywhere between that of lowering and that of raising."
                )
                .to_string(),
            );
        }
        if group.list("difference").is_some() {
            remarks.push(say!(
                "Eₙ is the difference over its expanded uncertainty ({coverage}), what both owe to one source left out (ISO/IEC 17043): up to 1 the machine as stated and the reading agree within their doubts.",
                coverage = figures::coverage_words(self.setter.style.coverage)
            ));
        }
        remarks
    }

    fn remarks(&self) -> Vec<String> {
        let mut remarks = Vec::new();
        if self.readings.groups.len() > 1 {
            remarks
                .push(say!("Trials of different directions are kept apart: what helps in one stands in the way of the other.").to_string());
        }
        let exact = |column: &crate::model::readings::Column| {
            column.cells.iter().all(|cell| {
                let values = self.setter.evaluation.entry(cell.value).unwrap_or_default();
                values.iter().all(|found| found.uncertainty == 0.0)
            })
        };
        let without: Vec<&str> =
            self.readings.columns.iter().filter(|column| exact(column)).map(|column| crate::words::word(column.read.words())).collect();
        if !without.is_empty() {
            remarks.push(say!("No doubt is stated of the {readings}: the results count it as exact.", readings = joined(&without)));
        }
        remarks
    }
}

fn joined(words: &[&str]) -> String {
    match words {
        [all @ .., last] if !all.is_empty() => say!("{one} and {other}", one = all.join(", "), other = last),
        other => other.join(""),
    }
}

// How far a reading stands off, with the values of the test: "velocity ratio a straggler: Grubbs 1.93 against 1.89 (5 %)".
fn straying(stray: &Stray) -> String {
    let (statistic, critical) = (crate::units::places(stray.found.statistic, 2), crate::units::places(stray.found.critical, 2));
    let (called, level) = match stray.found.called {
        Off::Straggler => (say!("a straggler"), "5\u{a0}%"),
        Off::Outlier => (say!("an outlier"), "1\u{a0}%"),
    };
    let found = say!("{statistic} against {critical} ({level})", statistic = statistic, critical = critical, level = level);
    match stray.what {
        Straying::Repeat(..) => say!("{called} among its repeats: Grubbs {found}", called = called, found = found),
        Straying::Ratio => say!("velocity ratio {called}: Grubbs {found}", called = called, found = found),
        Straying::Line => say!("effort {called} off the straight line: {found}", called = called, found = found),
    }
}

// What would explain an efficiency above one, in the language of the moment.
fn explained(explanation: &Explanation) -> String {
    let values: Vec<(&str, String)> = explanation
        .values
        .iter()
        .map(|(name, value)| (*name, if *name == "reading" { word(value).into() } else { value.clone() }))
        .collect();
    let values: Vec<(&str, &dyn std::fmt::Display)> = values.iter().map(|(name, value)| (*name, value as &dyn std::fmt::Display)).collect();
    filled(word(explanation.pattern), &values)
}
