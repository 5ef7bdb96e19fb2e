//! A calculation by somebody else: what is asked of them, and how their answers stand to what the sheet came to.

use crate::sheet::parts::{Block, Figure, Sheet, StudyReport, WorkingLine};
use crate::syntax;
use crate::units::{self, Unit};
use crate::words::say;
use serde::Serialize;
use std::collections::BTreeSet;

/// One question to whoever calculates.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Question {
    /// `value`, `utilisation`, `verdict`, `difference` of an agreement, `value tried`, `what serves`, and of draws `mean`, `standard
    /// uncertainty`, `lower end` and `upper end`.
    pub ask: String,
    /// Name of the value, number of the check or of the agreement; of what is tried or drawn its number and which.
    pub name: String,
    /// What it is, in words.
    pub what: String,
    /// The unit that the sheet prints it in; another of the same sort serves.
    pub unit: String,
}

/// Where the last digit of an answer is worth more than this share of the value, the answer is coarse.
const COARSE: f64 = 0.02;

/// What the summary of a machine or a train is asked for.
pub(super) const SUMMARY: [&str; 4] = ["effort", "velocity_ratio", "mechanical_advantage", "efficiency"];

/// Every question: the author's lines of working, the summary of machines and trains, what was read of machines all trials
/// together, laws, the checks, agreements, values tried and values that serve, and what was drawn.
pub fn questions(sheet: &Sheet) -> Vec<Question> {
    posed(sheet).into_iter().map(|posed| posed.question).collect()
}

// A question with what the sheet has for an answer.
struct Posed {
    question: Question,
    figure: Option<Figure>,
    // In words, for a verdict.
    words: String,
    // How far off an answer may be that was drawn, by other draws.
    steady: f64,
}

#[derive(Default)]
struct Asking {
    posed: Vec<Posed>,
    known: BTreeSet<(String, String)>,
}

impl Asking {
    fn ask(&mut self, ask: &str, name: &str, what: String, figure: &Figure) {
        self.steady(ask, name, (what, figure), 0.0);
    }

    fn steady(&mut self, ask: &str, name: &str, (what, figure): (String, &Figure), steady: f64) {
        if self.known.insert((ask.to_string(), name.to_string())) {
            let question = Question { ask: ask.into(), name: name.into(), what, unit: figure.unit.clone() };
            self.posed.push(Posed { question, figure: Some(figure.clone()), words: String::new(), steady });
        }
    }

    fn line(&mut self, line: &WorkingLine) {
        let what = if line.label.is_empty() { line.name.replace('_', " ") } else { line.label.clone() };
        if let Some(figure) = &line.result {
            self.ask("value", &line.name, what.clone(), figure);
        }
        for (at, figure) in line.items.iter().enumerate() {
            let what = say!("{what}, {at} of {all}", what = what, at = at + 1, all = line.items.len());
            self.ask("value", &format!("{}[{}]", line.name, at + 1), what, figure);
        }
    }
}

fn posed(sheet: &Sheet) -> Vec<Posed> {
    let mut asking = Asking::default();
    for block in &sheet.blocks {
        if let Block::Working { lines } = block {
            lines.iter().for_each(|line| asking.line(line));
        }
    }
    let machines = sheet.machines.iter().filter(|machine| machine.train.is_empty() && !machine.is_load).map(|machine| &machine.name);
    for owner in machines.chain(sheet.trains.iter().map(|train| &train.name)) {
        for (word, said) in SUMMARY.into_iter().zip(&[
            say!("effort of {owner}", owner = owner),
            say!("velocity ratio of {owner}", owner = owner),
            say!("mechanical advantage of {owner}", owner = owner),
            say!("efficiency of {owner}", owner = owner),
        ]) {
            let name = format!("{owner}.{word}");
            if let Some(figure) = sheet.values.iter().find(|value| value.name == name).and_then(|value| value.figure.as_ref()) {
                asking.ask("value", &name, said.clone(), figure);
            }
        }
    }
    sheet.readings.iter().flat_map(|readings| &readings.groups).flat_map(|group| &group.pooled).for_each(|line| asking.line(line));
    for law in &sheet.laws {
        let called = if law.label.is_empty() { &law.name } else { &law.label };
        for row in &law.rows {
            if let Some(figure) = row.figure.as_ref().filter(|_| !row.name.is_empty()) {
                asking.ask("value", &row.name, say!("{quantity} of {law}", quantity = row.quantity, law = called), figure);
            }
        }
    }
    for check in &sheet.checks {
        let question = |ask: &str| Question { ask: ask.into(), name: check.number.clone(), what: check.title.clone(), unit: String::new() };
        let of = |ask: &str, figure: Option<Figure>, words: String| Posed { question: question(ask), figure, words, steady: 0.0 };
        asking.posed.push(of("utilisation", check.utilisation.clone(), String::new()));
        asking.posed.push(of("verdict", None, check.verdict.clone()));
    }
    for row in &sheet.agreements {
        if let Some(difference) = &row.difference {
            asking.ask("difference", &row.number, say!("measured less predicted: {title}", title = row.title), difference);
        }
    }
    sheet.studies.iter().for_each(|study| tried(&mut asking, study));
    for report in &sheet.propagations {
        for result in &report.results {
            let Some(drawn) = result.rows.first() else { continue };
            let parts = [
                ("mean", &drawn.value, say!("mean of {title} by draws", title = result.title)),
                ("standard uncertainty", &drawn.standard, say!("standard uncertainty of {title} by draws", title = result.title)),
                ("lower end", &drawn.low, say!("lower end of {title} by draws, {level}", title = result.title, level = result.level)),
                ("upper end", &drawn.high, say!("upper end of {title} by draws, {level}", title = result.title, level = result.level)),
            ];
            let steady = result.tolerance.as_ref().map_or(0.0, |tolerance| tolerance.si);
            for (ask, figure, what) in parts {
                if let Some(figure) = figure {
                    asking.steady(ask, &format!("{} {}", report.number, result.name), (what, figure), steady);
                }
            }
        }
    }
    asking.posed
}

// What comes of each value that is tried; of a search, the value that serves.
fn tried(asking: &mut Asking, study: &StudyReport) {
    if !study.conditions.is_empty() {
        if let Some(value) = &study.value {
            let what = say!("{caption}, for which holds: {conditions}", caption = study.caption, conditions = study.conditions.join("; "));
            asking.ask("what serves", &study.number, what, value);
        }
        return;
    }
    for (at, row) in study.rows.iter().enumerate() {
        for (of, (column, cell)) in study.columns.iter().zip(&row.cells).enumerate() {
            let Some(figure) = cell else { continue };
            let what = say!("{title} with {name} at {value}", title = column.title, name = study.name, value = row.value.text);
            asking.ask("value tried", &format!("{}.{}.{}", study.number, at + 1, of + 1), what, figure);
        }
    }
}

/// How one answer stands to the sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Judged {
    /// What was asked.
    #[serde(flatten)]
    pub question: Question,
    /// The answer as it was written, with its unit.
    pub theirs: String,
    /// What the sheet came to.
    pub ours: String,
    /// Their answer less ours, in our unit; none where there is no number.
    pub difference: Option<f64>,
    /// The same as a share of ours.
    pub share: Option<f64>,
    /// `agrees`, `within doubt`, `differs` or `no answer`.
    pub standing: String,
    /// Anything else to be said; perhaps empty.
    pub remark: String,
}

/// A row of answers that is not understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AnswerFault {
    /// First byte of the place.
    pub start: usize,
    /// One past its last byte.
    pub end: usize,
    /// What was expected there.
    pub expected: String,
}

/// What came of comparing answers with a sheet.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Independent {
    /// Whether the form was made from this very calculation; none where it does not say.
    pub same_calculation: Option<bool>,
    /// Every question in the order of the sheet, with its answer.
    pub judged: Vec<Judged>,
}

impl Independent {
    /// How many answers stand so.
    pub fn count(&self, standing: &str) -> usize {
        self.judged.iter().filter(|one| one.standing == standing).count()
    }
}

// An answer as it stands in the form.
struct Answer {
    ask: String,
    name: String,
    value: String,
    unit: String,
    at: (usize, usize),
}

/// Judges the answers of a form, line by line.
///
/// # Errors
/// Every place that is not understood.
pub fn independent(form: &str, sheet: &Sheet) -> Result<Independent, Vec<AnswerFault>> {
    let table = syntax::csv(form);
    let mut faults: Vec<AnswerFault> = Vec::new();
    let mut fault = |(start, end): (usize, usize), expected: &str| faults.push(AnswerFault { start, end, expected: expected.into() });
    let range = |at: crate::source::Extent| (at.range().start, at.range().end);
    for mark in &table.faults {
        fault(range(*mark), "a quotation mark that is closed where its cell ends");
    }
    let column = |word: &str| table.columns.iter().position(|column| column.words == word);
    let (Some(ask), Some(name), Some(value)) = (column("ask"), column("name"), column("value")) else {
        fault(range(table.at), "the heads of the form: ask, name, what it is, value, unit, remark");
        return Err(faults);
    };
    let unit = column("unit");
    let mut answers: Vec<Answer> = Vec::new();
    let mut found = Independent::default();
    let questions = posed(sheet);
    for row in &table.rows {
        let cell = |at: usize| row.cells.get(at).map_or("", |cell| cell.text.trim());
        let at = row.cells.get(value).or(row.cells.last()).map_or(range(row.at), |cell| range(cell.at));
        let mut said = cell(value).to_string();
        if cell(ask) == "sheet" {
            found.same_calculation = (!said.is_empty()).then(|| said == sheet.record.calculation);
            continue;
        }
        if table.decimal_comma {
            said = said.replace(',', ".");
        }
        if !questions.iter().any(|posed| posed.question.ask == cell(ask) && same_name(&posed.question.name, cell(name))) {
            fault(range(row.at), "a question of this sheet: the form may be another sheet's, or the sheet has changed since");
            continue;
        }
        answers.push(Answer { ask: cell(ask).into(), name: cell(name).into(), value: said, unit: unit.map_or("", cell).into(), at });
    }
    for posed in questions {
        let asked = |answer: &&Answer| answer.ask == posed.question.ask && same_name(&posed.question.name, &answer.name);
        let answer = answers.iter().find(|answer| asked(answer) && !answer.value.is_empty());
        match judged(posed, answer) {
            Ok(judged) => found.judged.push(judged),
            Err((at, expected)) => fault(at, &expected),
        }
    }
    if faults.is_empty() { Ok(found) } else { Err(faults) }
}

type Unreadable = ((usize, usize), String);

// Tables of others turn spaces that do not break into plain ones.
fn same_name(ours: &str, theirs: &str) -> bool {
    ours.split_whitespace().eq(theirs.split_whitespace())
}

fn judged(posed: Posed, answer: Option<&Answer>) -> Result<Judged, Unreadable> {
    let Posed { question, figure, words, steady } = posed;
    let ours = figure.as_ref().map_or(words, |figure| figure.text.clone());
    let mut judged = Judged {
        question,
        theirs: String::new(),
        ours,
        difference: None,
        share: None,
        standing: "no answer".into(),
        remark: String::new(),
    };
    let Some(answer) = answer else { return Ok(judged) };
    judged.theirs = format!("{} {}", answer.value, answer.unit).trim().to_string();
    if judged.question.ask == "verdict" {
        // PASS WITHIN UNCERTAINTY is a word of a decision rule; what is judged is on which side of the limit the demand is.
        let side = |words: &str| words.to_uppercase().split_whitespace().next().unwrap_or_default().to_string();
        let same = side(&answer.value) == side(&judged.ours);
        judged.standing = if same { "agrees" } else { "differs" }.into();
        if same && answer.value.to_uppercase() != judged.ours {
            judged.remark = "the same side of the limit, in other words".into();
        }
        return Ok(judged);
    }
    let Some(figure) = figure else {
        judged.standing = "differs".into();
        judged.remark = "the sheet has no value here".into();
        return Ok(judged);
    };
    let number = Number::read(&answer.value).ok_or_else(|| (answer.at, "a number, with a point for decimals".to_string()))?;
    let unit = if answer.unit.is_empty() { figure.unit.as_str() } else { answer.unit.as_str() };
    let scale = Scale::between(unit, &figure.unit)
        .ok_or_else(|| (answer.at, format!("a value in `{}` or another unit of that sort", figure.unit)))?;
    let theirs = scale.turned(number.value);
    // Whoever works by hand rounds on the way: one unit of the last digit that was written, and of the last that is printed.
    let written = scale.step(number.last_digit);
    // Few digits hide much: there no more is let pass than rounding at the end.
    let written = if written > COARSE * figure.value.abs() { 0.5 * written } else { written };
    let step = written.max(last_digit(&figure.number));
    // What is drawn comes out otherwise by other draws, by as much as it is held to be steady to.
    let step = step.max(steady / figure_scale(&figure));
    let difference = theirs - figure.value;
    judged.difference = Some(difference);
    judged.share = (figure.value != 0.0).then(|| difference / figure.value.abs());
    judged.standing = if difference.abs() <= step * (1.0 + 1e-9) {
        "agrees"
    } else if difference.abs() <= figure.expanded() {
        "within doubt"
    } else {
        "differs"
    }
    .into();
    Ok(judged)
}

// The unit of a figure in SI units.
fn figure_scale(figure: &Figure) -> f64 {
    units::parse(&figure.unit).map_or(1.0, |unit| unit.scale)
}

// A number with the worth of its last written digit.
struct Number {
    value: f64,
    last_digit: f64,
}

impl Number {
    fn read(text: &str) -> Option<Number> {
        let text: String =
            text.chars().filter(|c| !matches!(c, ' ' | '_' | '\u{a0}' | '\u{2009}' | '\u{202f}')).collect::<String>().replace('−', "-");
        let value = text.parse::<f64>().ok().filter(|value| value.is_finite())?;
        Some(Number { value, last_digit: last_digit(&text) })
    }
}

// The worth of the last digit: 0.01 of `3.14`, 100 of `1.2e3`.
fn last_digit(text: &str) -> f64 {
    let (digits, power) = text.split_once(['e', 'E']).unwrap_or((text, "0"));
    let places = digits.split_once('.').map_or(0, |(_, behind)| behind.chars().filter(char::is_ascii_digit).count());
    libm::pow(10.0, power.trim().parse::<f64>().unwrap_or(0.0) - places as f64)
}

// From one unit to another of the same sort.
struct Scale {
    from: Unit,
    to: Unit,
}

impl Scale {
    fn between(from: &str, to: &str) -> Option<Scale> {
        let unit = |text: &str| if text.is_empty() { Some(Unit::one()) } else { units::parse(text).ok() };
        let (from, to) = (unit(from)?, unit(to)?);
        (from.dimension == to.dimension && from.nature == to.nature).then_some(Scale { from, to })
    }

    fn turned(&self, number: f64) -> f64 {
        if self.from == self.to { number } else { self.to.from_si(self.from.to_si(number)) }
    }

    fn step(&self, step: f64) -> f64 {
        (self.turned(step) - self.turned(0.0)).abs()
    }
}

#[cfg(test)]
mod tests {
    use super::{Number, last_digit};

    #[test]
    fn the_last_digit_says_how_far_a_number_was_rounded() {
        for (text, worth) in [("941", 1.0), ("3.14", 0.01), ("1.2e3", 100.0), ("-0.50", 0.01), ("12 000", 1.0)] {
            let number = Number::read(text).expect("a number");
            assert!((number.last_digit / worth - 1.0).abs() < 1e-12, "{text}: {}", number.last_digit);
        }
        assert!(Number::read("about 3").is_none() && Number::read("inf").is_none());
        assert!((last_digit("18.14") - 0.01).abs() < 1e-15);
    }
}
