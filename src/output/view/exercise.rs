//! Exercises as the templates print them: with their answers on a sheet, and without any for learners.

use crate::output::markup::Shared;
use crate::output::mathml::mathml;
use crate::output::templates::{Matter, render, style};
use crate::output::view::page::{copy_head, headline};
use crate::output::view::pieces::Quantity;
use crate::sheet::parts::{ExerciseReport, Sheet};
use crate::words::say;
use serde::Serialize;

/// An exercise with its answer, written at the end of the page so far.
///
/// # Errors
/// The reason when the template fails.
pub(in crate::output) fn exercise<'a>(report: &'a ExerciseReport, shared: &mut Shared<'a>, out: &mut String) -> Result<(), String> {
    let steps = report.steps.iter().map(|step| Step {
        asks: &step.asks,
        formula_html: mathml(&step.formula, false),
        answer: Quantity::maybe(&step.answer),
        shown: step.shown,
    });
    let exercise = Exercise {
        id: shared.claim(&report.anchor),
        question: question(report),
        steps: steps.collect(),
        asked_html: mathml(&report.asked, false),
        answer: Quantity::maybe(&report.answer),
        accepts: &report.accepts,
        least: Quantity::maybe(&report.least),
        greatest: Quantity::maybe(&report.greatest),
    };
    out.push_str(&render("exercise.html", &OneExercise { level: shared.level, exercise })?);
    Ok(())
}

/// The exercises of `sheet` as a page for learners. It is made of the questions alone: nothing that the sheet has worked goes
/// into it but the steps that are shown to them.
///
/// # Errors
/// The reason when the template fails.
pub(in crate::output) fn learners(sheet: &Sheet) -> Result<String, String> {
    let exercises = sheet.exercises.iter().map(|report| Posed {
        question: question(report),
        steps: report
            .steps
            .iter()
            .map(|step| PosedStep {
                asks: &step.asks,
                answer: step.answer.as_ref().filter(|_| step.shown).map(|answer| answer.text.as_str()).unwrap_or_default(),
            })
            .collect(),
    });
    let block = &sheet.title_block;
    let style_html = &(style(&[Matter::Studies, Matter::Exercises]) + &copy_head(sheet, &headline(sheet), say!("Exercises")));
    let page = Handout { number: &block.number, title: &block.title, style_html, exercises: exercises.collect() };
    render("learners.html", &page)
}

fn question(report: &ExerciseReport) -> Question<'_> {
    Question {
        number: &report.number,
        text: &report.question,
        marks: &report.marks,
        situation: &report.situation,
        givens: report
            .givens
            .iter()
            .map(|given| Given { what: &given.what, symbol_html: mathml(&given.symbol, false), value: &given.value })
            .collect(),
        hints: &report.hints,
    }
}

/// What learners read of an exercise.
#[derive(Debug, Serialize)]
struct Question<'a> {
    number: &'a str,
    text: &'a str,
    marks: &'a str,
    situation: &'a [String],
    givens: Vec<Given<'a>>,
    hints: &'a [String],
}

#[derive(Debug, Serialize)]
struct Given<'a> {
    what: &'a str,
    symbol_html: String,
    value: &'a str,
}

#[derive(Debug, Serialize)]
struct OneExercise<'a> {
    level: usize,
    exercise: Exercise<'a>,
}

/// An exercise with its answer.
#[derive(Debug, Serialize)]
struct Exercise<'a> {
    id: &'a str,
    question: Question<'a>,
    steps: Vec<Step<'a>>,
    asked_html: String,
    answer: Option<Quantity<'a>>,
    accepts: &'a str,
    least: Option<Quantity<'a>>,
    greatest: Option<Quantity<'a>>,
}

#[derive(Debug, Serialize)]
struct Step<'a> {
    asks: &'a str,
    formula_html: String,
    answer: Option<Quantity<'a>>,
    shown: bool,
}

/// The page for learners.
#[derive(Debug, Serialize)]
struct Handout<'a> {
    number: &'a str,
    title: &'a str,
    style_html: &'a str,
    exercises: Vec<Posed<'a>>,
}

/// An exercise without its answer.
#[derive(Debug, Serialize)]
struct Posed<'a> {
    question: Question<'a>,
    steps: Vec<PosedStep<'a>>,
}

#[derive(Debug, Serialize)]
struct PosedStep<'a> {
    asks: &'a str,
    /// Empty where it is left to the learner.
    answer: &'a str,
}
