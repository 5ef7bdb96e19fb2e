//! `exercise`: what is asked of learners, what they are given, and how far an answer may be off.

use crate::diagnostics::catalogue::exercises::{AnswerGiven, ExerciseLine};
use crate::diagnostics::catalogue::machines::FieldTwice;
use crate::diagnostics::catalogue::units::DoubtMismatch;
use crate::model::quantity::Quantity;
use crate::model::resolve::Resolver;
use crate::model::settings::{Matched, matched, plain};
use crate::model::studies::Shown;
use crate::model::tree::{EntryId, Tree, TreeForm};
use crate::source::{Extent, Span};
use crate::syntax::ast;
use std::collections::BTreeSet;

/// How far an answer may be off where nothing is said, as a share of it.
const TOLERANCE: f64 = 0.02;

const LINES: &[&str] = &["situation", "given", "step", "accept", "marks", "hint", "faded"];

/// Lines that may stand several times.
const SEVERAL: &[&str] = &["situation", "given", "step", "hint"];

/// A question to learners.
#[derive(Debug, Clone, PartialEq)]
pub struct Exercise {
    /// The question.
    pub question: String,
    /// Where the statement stands.
    pub span: Span,
    /// What the learner has to know beforehand, in the author's words.
    pub situation: Vec<String>,
    /// What is given; none stated means all that the answer rests on and that the sheet states.
    pub givens: Vec<EntryId>,
    /// The answer.
    pub asked: Shown,
    /// Results on the way to it, each with what asks for it.
    pub steps: Vec<Shown>,
    /// How many of the last steps are left to the learner.
    pub faded: usize,
    /// How far an answer may be off.
    pub tolerance: Tolerance,
    /// What it counts.
    pub marks: Option<u64>,
    /// Hints, in the author's words.
    pub hints: Vec<String>,
}

/// How far an answer may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// A share of the answer, or an amount in SI units.
    pub size: f64,
    /// Whether it is a share.
    pub share: bool,
    /// Whether the author states it.
    pub stated: bool,
}

impl Resolver<'_> {
    /// `exercise`. One in a used file says nothing here.
    pub(super) fn exercise(&mut self, stated: &ast::Exercise) -> Option<usize> {
        if self.home.file != self.root {
            return None;
        }
        let asked = self.shown_value(&stated.asked, stated.shown_in.as_ref(), String::new())?;
        let mut found = Exercise {
            question: stated.question.text.clone(),
            span: self.home.span(stated.at),
            situation: Vec::new(),
            givens: Vec::new(),
            asked,
            steps: Vec::new(),
            faded: usize::MAX,
            tolerance: Tolerance { size: TOLERANCE, share: true, stated: false },
            marks: None,
            hints: Vec::new(),
        };
        let mut told = BTreeSet::new();
        let mut whole = true;
        for setting in &stated.settings {
            let Some(line) = matched(setting, |name| LINES.contains(&name)) else {
                self.unknown_setting(setting, "an exercise", LINES);
                whole = false;
                continue;
            };
            if !told.insert(line.name.clone()) && !SEVERAL.contains(&line.name.as_str()) {
                self.put(line.name_at, &FieldTwice { name: line.name.clone() });
                whole = false;
                continue;
            }
            whole &= self.line_of_exercise(&line, &mut found).is_some();
        }
        if !whole {
            return None;
        }
        if let TreeForm::Entry(id) = &found.asked.value.form
            && found.givens.contains(id)
        {
            self.put(stated.asked.at, &AnswerGiven { name: self.model.entry(*id).name.clone() });
        }
        self.model.exercises.push(found);
        Some(self.model.exercises.len() - 1)
    }

    fn line_of_exercise(&mut self, line: &Matched<'_>, found: &mut Exercise) -> Option<()> {
        let rest = line.rest.trim();
        let wanted = match line.name.as_str() {
            "situation" | "hint" => match quoted(rest) {
                Some((_, "")) => {
                    let text = plain(rest);
                    if line.name == "hint" {
                        found.hints.push(text)
                    } else {
                        found.situation.push(text)
                    }
                    return Some(());
                }
                _ => "text in quotation marks",
            },
            "given" if !rest.is_empty() => return self.givens(line, found),
            "given" => "a value of the sheet, or several with commas between them,",
            "step" => match quoted(rest).and_then(|(text, after)| Some((text, after.trim_start().strip_prefix(':')?))) {
                Some((text, value)) if !value.trim().is_empty() => {
                    let start = line.rest_at.start + (line.rest.len() - value.trim_start().len()) as u32;
                    let stated = crate::syntax::stated(value.trim_start(), start, self.home, &mut self.sink)?;
                    found.steps.push(self.shown_value(&stated.value, stated.shown_in.as_ref(), plain(text))?);
                    return Some(());
                }
                _ => "a question in quotation marks, a colon and a result",
            },
            "accept" if rest.starts_with('±') || rest.starts_with("+/-") => return self.tolerance(line, found),
            "accept" => "`±` with a share or an amount, as in `± 2 %`",
            "marks" => match count(rest).filter(|marks| *marks <= 1000) {
                Some(marks) => {
                    found.marks = Some(marks);
                    return Some(());
                }
                None => "a whole number",
            },
            _ => match count(rest) {
                Some(faded) => {
                    found.faded = usize::try_from(faded).unwrap_or(usize::MAX);
                    return Some(());
                }
                None => "how many of the last steps are left to the learner",
            },
        };
        let (at, said) = if rest.is_empty() { (line.name_at, "nothing".to_string()) } else { (line.rest_at, rest.to_string()) };
        self.put(at, &ExerciseLine { name: line.name.clone(), found: said, wanted: wanted.into() });
        None
    }

    // `given crate, falls.parts`: each by its name.
    fn givens(&mut self, line: &Matched<'_>, found: &mut Exercise) -> Option<()> {
        let mut start = line.rest_at.start as usize;
        for piece in line.rest.split(',') {
            let trimmed = piece.trim();
            let at = start + (piece.len() - piece.trim_start().len());
            start += piece.len() + 1;
            let stated = crate::syntax::stated(trimmed, at as u32, self.home, &mut self.sink)?;
            let tree = self.read(|reader| reader.read(&stated.value));
            match tree.form {
                TreeForm::Entry(id) => found.givens.push(id),
                _ if tree.is_unknown() => return None,
                _ => {
                    let place = Extent::new(at, at + trimmed.len());
                    let wanted = "a value of the sheet by its name".into();
                    self.put(place, &ExerciseLine { name: "given".into(), found: trimmed.into(), wanted });
                    return None;
                }
            }
        }
        Some(())
    }

    fn tolerance(&mut self, line: &Matched<'_>, found: &mut Exercise) -> Option<()> {
        let stated = crate::syntax::doubt(line.rest, line.rest_at.start, self.home, &mut self.sink)?;
        let amount = self.read(|reader| reader.single(&stated.doubt.amount));
        if amount.is_unknown() {
            return None;
        }
        let quantity = found.asked.value.quantity;
        let share = amount.quantity.is_number() && (!quantity.is_number() || stated.doubt.of_value || in_percent(&amount));
        let difference: Quantity = quantity.minus(quantity).unwrap_or(quantity);
        if !share && difference.meets(amount.quantity).is_none() {
            self.put(stated.doubt.amount.at, &DoubtMismatch { value: quantity.name(), doubt: amount.quantity.name() });
            return None;
        }
        match &amount.form {
            TreeForm::Constant(constant) if constant.si > 0.0 => {
                found.tolerance = Tolerance { size: constant.si, share, stated: true };
                Some(())
            }
            _ => {
                let wanted = "a number above nought".into();
                self.put(stated.doubt.amount.at, &ExerciseLine { name: "accept".into(), found: line.rest.trim().into(), wanted });
                None
            }
        }
    }
}

fn in_percent(tree: &Tree) -> bool {
    match &tree.form {
        TreeForm::Constant(constant) => constant.parts.iter().any(|(_, unit)| unit.as_ref().is_some_and(|unit| unit.symbol == "%")),
        _ => false,
    }
}

// Text in quotation marks at the front, with its marks, and what follows it.
fn quoted(text: &str) -> Option<(&str, &str)> {
    let inner = text.strip_prefix('"')?;
    let mut escaped = false;
    for (at, letter) in inner.char_indices() {
        match letter {
            '"' if !escaped => return Some((text.get(..at + 2)?, text.get(at + 2..)?)),
            _ => escaped = letter == '\\' && !escaped,
        }
    }
    None
}

fn count(text: &str) -> Option<u64> {
    text.parse().ok().filter(|_| text.starts_with(|letter: char| letter.is_ascii_digit()))
}
