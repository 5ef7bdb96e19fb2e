//! Draws with everything that a page may have to print of them.

use crate::kinds::sketching::Drawing;
use crate::output::formula_fixture::{figure, symbol};
use crate::sheet::parts::{Figure, PropagationBin, PropagationReport, PropagationResult, PropagationRow, SketchPart};

fn newtons(text: &str, value: f64) -> Option<Figure> {
    Some(figure(text, "N", "newton", value, value))
}

fn row(from: &str, value: Option<Figure>, standard: Option<Figure>, ends: [Option<Figure>; 2]) -> PropagationRow {
    let [low, high] = ends;
    PropagationRow { from: from.into(), value, standard, low, high }
}

/// Two results: one that is not confirmed, and one with nothing to draw.
pub fn propagation() -> PropagationReport {
    let drawing =
        Drawing { width: 640.0, height: 330.0, shapes: Vec::new(), title: String::new(), description: String::new(), newtons: None };
    let drawn = PropagationResult {
        title: "Pull at the hauling part".into(),
        name: "haul.effort".into(),
        symbol: symbol("F"),
        level: "95\u{a0}%".into(),
        rows: vec![
            row("draws", newtons("1534 N", 1534.0), newtons("91 N", 91.0), [newtons("1362 N", 1362.0), newtons("1716 N", 1716.0)]),
            row("first order", newtons("1531 N", 1531.0), newtons("90 N", 90.0), [newtons("1355 N", 1355.0), newtons("1707 N", 1707.0)]),
            row("ends apart", None, None, [newtons("7.0 N", 7.0), newtons("9.0 N", 9.0)]),
        ],
        tolerance: newtons("0.5 N", 0.5),
        confirmed: Some(false),
        verdict: "The first-order interval is not confirmed: an end is off by more than 0.5 N. Use 1362 N to 1716 N instead.".into(),
        plot: Some(SketchPart {
            title: "Histogram of the pull".into(),
            description: "200 000 draws. Full lines: the interval of the draws.".into(),
            drawing,
        }),
        bins: [(1300.0, 1500.0), (1500.0, 1700.0)]
            .into_iter()
            .filter_map(|(low, high)| Some(PropagationBin { low: newtons("1300 N", low)?, high: newtons("1500 N", high)?, count: 98_000 }))
            .collect(),
    };
    let still = PropagationResult {
        title: "Rope parts".into(),
        name: "falls.parts".into(),
        rows: Vec::new(),
        tolerance: None,
        confirmed: None,
        verdict: "No doubt is left in it, so there is nothing to draw.".into(),
        plot: None,
        bins: Vec::new(),
        ..drawn.clone()
    };
    PropagationReport {
        number: "P1".into(),
        anchor: "v-draws-1".into(),
        caption: "Distribution of pull at the hauling part and of rope parts".into(),
        draws: 200_000,
        kept: 199_998,
        generator: "xoshiro256++".into(),
        seed: 101,
        how: "200 000 draws, generator xoshiro256++, seed 101; shortest interval of 95 %; 2 digits of the uncertainty meant.".into(),
        results: vec![drawn, still],
        remarks: vec!["Left out, 2 draws: falls: the ways are too steep. What is printed holds for the others.".into()],
    }
}
