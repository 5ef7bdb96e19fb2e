//! Exercises: their answers as the sheet works them, what is given, and the answers that are accepted.

use crate::measure::Measured;
use crate::model::exercises::Tolerance;
use crate::model::studies::Shown;
use crate::model::tree::{EntryId, Tree};
use crate::model::{Exercise, Role};
use crate::sheet::checks::unit_of;
use crate::sheet::figures::figure_in;
use crate::sheet::parts::{ExerciseGiven, ExerciseReport, ExerciseStep, Figure};
use crate::sheet::symbols::{anchor, symbol};
use crate::sheet::working::Setter;
use crate::words::{between_numbers, counted, say};
use std::collections::BTreeSet;

/// The exercise at `at` of the document.
pub(super) fn report(setter: &Setter<'_>, at: usize) -> Option<ExerciseReport> {
    let exercise = setter.model.exercises.get(at)?;
    let places = setter.evaluation.program.exercises.get(at).cloned().unwrap_or_default();
    let place = |nth: usize| places.get(nth).copied().flatten();
    let answer = answered(setter, &exercise.asked, place(0));
    let worked = exercise.steps.len().saturating_sub(exercise.faded);
    let steps = exercise.steps.iter().enumerate().map(|(nth, step)| ExerciseStep {
        asks: step.label.clone(),
        formula: setter.formula(&step.value),
        answer: answered(setter, step, place(nth + 1)).map(|(figure, _)| figure),
        shown: nth < worked,
    });
    let bounds = answer.as_ref().map(|(figure, si)| bounds(setter, exercise, figure, *si));
    let (least, greatest) = bounds.unzip();
    Some(ExerciseReport {
        number: format!("Q{}", at + 1),
        anchor: anchor(&format!("exercise-{}", at + 1)),
        question: exercise.question.clone(),
        situation: exercise.situation.clone(),
        givens: givens(setter, exercise),
        steps: steps.collect(),
        asked: setter.formula(&exercise.asked.value),
        accepts: accepts(setter, exercise),
        answer: answer.map(|(figure, _)| figure),
        least,
        greatest,
        marks: exercise.marks.map_or(String::new(), |marks| counted(marks as usize, say!("1 mark"), say!("{count} marks"))),
        hints: exercise.hints.clone(),
    })
}

// A result as printed, and its value in SI units.
fn answered(setter: &Setter<'_>, shown: &Shown, place: Option<usize>) -> Option<(Figure, f64)> {
    let found = place.filter(|_| setter.evaluation.knows(&shown.value)).and_then(|place| setter.evaluation.at(place))?;
    let unit = shown.shown_in.clone().or_else(|| unit_of(setter, &shown.value));
    Some((figure_in(found, shown.value.quantity, unit.as_ref(), shown.asked, setter.style), found.value))
}

fn off(tolerance: Tolerance, si: f64) -> f64 {
    if tolerance.share { tolerance.size * si.abs() } else { tolerance.size }
}

// The least and the greatest answer that is accepted, in the unit of the answer.
fn bounds(setter: &Setter<'_>, exercise: &Exercise, answer: &Figure, si: f64) -> (Figure, Figure) {
    let quantity = exercise.asked.value.quantity;
    let unit = crate::units::parse(&answer.unit).ok().or_else(|| exercise.asked.shown_in.clone());
    let print = |si: f64| figure_in(Measured::exact(si), quantity, unit.as_ref(), unit.is_some(), setter.style);
    let off = off(exercise.tolerance, si);
    (print(si - off), print(si + off))
}

fn accepts(setter: &Setter<'_>, exercise: &Exercise) -> String {
    let Tolerance { size, share, stated } = exercise.tolerance;
    let words = if share {
        let percent = crate::units::significant(size * 100.0, 2);
        say!("± {share} of the answer", share = crate::units::spaced(percent.strip_suffix(".0").unwrap_or(&percent), "%"))
    } else {
        let quantity = exercise.asked.value.quantity;
        let unit = exercise.asked.shown_in.as_ref();
        format!(
            "± {}",
            figure_in(Measured::exact(size), quantity.minus(quantity).unwrap_or(quantity), unit, exercise.asked.asked, setter.style).text
        )
    };
    if stated { words } else { say!("{words}, as nothing is said", words = words) }
}

fn givens(setter: &Setter<'_>, exercise: &Exercise) -> Vec<ExerciseGiven> {
    let ids = if exercise.givens.is_empty() { rests_on(setter, exercise) } else { exercise.givens.clone() };
    let given = |id: &EntryId| {
        let entry = setter.model.entry(*id);
        let values: Vec<&str> = setter.printed.of(*id).iter().map(|figure| figure.text.as_str()).collect();
        (!values.is_empty()).then(|| ExerciseGiven {
            what: if entry.label.is_empty() { entry.name.replace(['.', '_'], " ") } else { entry.label.clone() },
            symbol: symbol(&entry.name, Vec::new()),
            value: values.join(between_numbers()),
        })
    };
    ids.iter().filter_map(given).collect()
}

// What the sheet states of all that the answer rests on, in the order of the sheet.
fn rests_on(setter: &Setter<'_>, exercise: &Exercise) -> Vec<EntryId> {
    let mut seen: BTreeSet<usize> = BTreeSet::new();
    let mut open: Vec<EntryId> = Vec::new();
    let ask = |tree: &Tree, open: &mut Vec<EntryId>| tree.each_entry(&mut |id| open.push(id));
    ask(&exercise.asked.value, &mut open);
    while let Some(id) = open.pop() {
        if seen.insert(id.0) {
            ask(&setter.model.entry(id).value, &mut open);
        }
    }
    let stated = |id: &EntryId| {
        matches!(
            setter.model.entry(*id).role,
            Role::Take | Role::Assume | Role::Rating | Role::Field { given: true } | Role::Gravity { declared: true }
        )
    };
    // A field that only repeats a value of the sheet is given by that value.
    let own = |id: &EntryId| {
        let entry = setter.model.entry(*id);
        let mut repeats = false;
        entry.value.each_entry(&mut |of| repeats |= stated(&of) || setter.model.entry(of).role == Role::Working);
        !(matches!(entry.role, Role::Field { .. }) && repeats)
    };
    seen.into_iter().map(EntryId).filter(|id| stated(id) && own(id)).collect()
}
