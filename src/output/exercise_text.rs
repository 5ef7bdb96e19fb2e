//! Exercises as plain text, with their answers.

use crate::output::linear::linear;
use crate::output::plain::Page;
use crate::sheet::parts::{ExerciseReport, Figure};

/// Prints an exercise with its answer.
pub(super) fn exercise(report: &ExerciseReport, page: &mut Page) {
    let text = |figure: &Option<Figure>| figure.as_ref().map_or("not known".to_string(), |figure| figure.text.clone());
    page.gap();
    let mut head = vec![report.question.clone()];
    head.extend((!report.marks.is_empty()).then(|| format!("({})", report.marks)));
    page.numbered(&report.number, &head);
    report.situation.iter().for_each(|line| page.line(6, line));
    for given in &report.givens {
        page.hung(8, 10, &format!("given: {} = {}", given.what, given.value));
    }
    for step in &report.steps {
        let shown = if step.shown { " (worked for the learner)" } else { "" };
        page.hung(8, 10, &format!("step: {} {} = {}{shown}", step.asks, linear(&step.formula), text(&step.answer)));
    }
    page.hung(8, 10, &format!("answer: {} = {}", linear(&report.asked), text(&report.answer)));
    if let (Some(least), Some(greatest)) = (&report.least, &report.greatest) {
        page.hung(8, 10, &format!("accepted: {}, from {} to {}", report.accepts, least.text, greatest.text));
    }
    for hint in &report.hints {
        page.hung(8, 10, &format!("hint: {hint}"));
    }
}
