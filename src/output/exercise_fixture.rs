//! An exercise with everything that a page may have to print of it.

use crate::output::formula_fixture::{figure, symbol};
use crate::sheet::parts::{ExerciseGiven, ExerciseReport, ExerciseStep};

/// Two steps, of which the first is worked for the learner.
pub fn exercise() -> ExerciseReport {
    let newtons = |text: &str, value: f64| Some(figure(text, "N", "newton", value, value));
    ExerciseReport {
        number: "Q1".into(),
        anchor: "exercise-1".into(),
        question: "How hard must the two of them pull together?".into(),
        situation: vec!["The boat lies on greased ways.".into()],
        givens: vec![ExerciseGiven { what: "boat".into(), symbol: symbol("m"), value: "1850 kg".into() }],
        steps: vec![
            ExerciseStep {
                asks: "What does the boat weigh?".into(),
                formula: symbol("W"),
                answer: newtons("18142 N", 18142.0),
                shown: true,
            },
            ExerciseStep { asks: "What do the ways ask for?".into(), formula: symbol("P"), answer: None, shown: false },
        ],
        asked: symbol("F"),
        answer: newtons("1531 N", 1531.0),
        accepts: "± 2 % of the answer".into(),
        least: newtons("1500 N", 1500.0),
        greatest: newtons("1562 N", 1562.0),
        marks: "3 marks".into(),
        hints: vec!["Count the parts that hold the running block.".into()],
    }
}
