//! Exercises: their answers against answers worked by hand, and pages for learners that hold none of them.

use crate::support::compile::compile_text;
use approx::assert_relative_eq;
use parbuckle::output::learners;
use parbuckle::sheet::parts::{Figure, Sheet};

const LESSON: &str = include_str!("../worked-examples/sack-to-the-bin-floor.md");

fn lesson() -> Sheet {
    compile_text(LESSON).sheet.expect("a sheet")
}

/// Worked by hand, part by part: each part of the rope pulls the less by the loss at the sheave between it and the one before,
/// and the three together hold the sack.
#[test]
fn the_answers_are_those_of_a_hand_calculation() {
    let sheet = lesson();
    let answer = |at: usize| sheet.exercises[at].answer.as_ref().expect("an answer").si;
    let weight = 50.0 * 9.806_65;
    let pull = weight / (1.06_f64.powi(-1) + 1.06_f64.powi(-2) + 1.06_f64.powi(-3));
    let (put_in, got_out) = (pull * 3.0 * 4.2, weight * 4.2);
    assert_relative_eq!(answer(0), pull, max_relative = 1e-12);
    assert_relative_eq!(answer(1), 3.0 * 4.2, max_relative = 1e-12);
    assert_relative_eq!(answer(2), (put_in - got_out) / put_in, max_relative = 1e-9);
    let first = &sheet.exercises[0];
    let (least, greatest) = (first.least.as_ref().expect("a least"), first.greatest.as_ref().expect("a greatest"));
    assert_relative_eq!(least.si, 0.97 * pull, max_relative = 1e-12);
    assert_relative_eq!(greatest.si, 1.03 * pull, max_relative = 1e-12);
    assert_eq!(first.steps.iter().map(|step| step.shown).collect::<Vec<_>>(), [true, false]);
}

/// No figure that the sheet has worked is on the page, under any of its names, but the step that is shown and what is given.
#[test]
fn a_page_for_learners_holds_no_answer() {
    let sheet = lesson();
    let page = learners(&sheet).expect("a page");
    let (_, body) = page.split_once("</style>").expect("a style sheet");
    let shown: Vec<&Figure> =
        sheet.exercises.iter().flat_map(|one| &one.steps).filter(|step| step.shown).filter_map(|step| step.answer.as_ref()).collect();
    let given: Vec<&str> = sheet.exercises.iter().flat_map(|one| &one.givens).map(|given| given.value.as_str()).collect();
    let ends = sheet.exercises.iter().flat_map(|one| [&one.answer, &one.least, &one.greatest]).flatten();
    let steps = sheet.exercises.iter().flat_map(|one| &one.steps).filter_map(|step| step.answer.as_ref());
    let values = sheet.values.iter().flat_map(|value| value.figure.iter().chain(&value.items));
    let mut looked_for = 0;
    for figure in ends.chain(steps).chain(values) {
        let open = shown.iter().any(|other| other.number == figure.number) || given.iter().any(|value| value.contains(&figure.number));
        // Short numbers are those of questions, marks and counts as well.
        if figure.number.len() < 4 || open {
            continue;
        }
        looked_for += 1;
        assert!(!body.contains(&figure.number), "`{}` stands on the page for learners", figure.text);
    }
    assert!(looked_for > 20, "{looked_for}");
    for question in sheet.exercises.iter().map(|one| &one.question) {
        let words = body.replace("&#39;", "'").replace("&#x27;", "'");
        assert!(words.contains(question.as_str()), "{question}");
    }
    assert!(!page.contains("<script"));
}

/// A sheet that asks nothing has nothing for learners.
#[test]
fn a_sheet_without_exercises_has_no_page_for_learners() {
    let sheet = compile_text("```rig\ntake a = 3 N from \"x\"\n```\n").sheet.expect("a sheet");
    assert_eq!(learners(&sheet), None);
}
