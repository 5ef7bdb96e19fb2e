//! Readings with everything that a page may have to print of them.

use crate::kinds::sketching::Drawing;
use crate::sheet::parts::{
    Alarm, Figure, FigureParts, Math, ReadCell, ReadColumn, ReadGroup, ReadResults, ReadRow, ReadingsReport, ResultRow, SketchPart,
    WorkingLine,
};

fn figure(number: &str, unit: &str) -> Figure {
    FigureParts {
        number: number.into(),
        doubt: String::new(),
        unit: unit.into(),
        unit_spoken: String::new(),
        text: if unit.is_empty() { number.into() } else { format!("{number}\u{a0}{unit}") },
        value: 31.0,
        si: 31.0,
        standard_uncertainty: 0.0,
    }
    .into()
}

fn line(number: &str, name: &str) -> WorkingLine {
    let symbol = Math::Symbol { base: name.into(), subscript: String::new(), italic: false, index: Vec::new() };
    WorkingLine {
        number: number.into(),
        anchor: format!("v-bench-{number}"),
        name: format!("bench.{name}"),
        label: "load over effort".into(),
        symbol: symbol.clone(),
        formula: Math::Fraction { over: Box::new(symbol.clone()), under: Box::new(symbol) },
        substitution: None,
        result: Some(figure("3.226", "")),
        items: Vec::new(),
        reference: "definition".into(),
        worked_from: Vec::new(),
    }
}

/// A test of a tackle, raising and lowering, with a stray and an alarm.
pub fn readings() -> ReadingsReport {
    let cell = |raw: &str, corrected: bool, mark: &str| ReadCell {
        anchor: format!("v-bench-each-{}", raw.replace([' ', ','], "-")),
        raw: raw.into(),
        corrected,
        value: Some(figure("31", "N")),
        doubt: String::new(),
        mark: mark.into(),
    };
    let results = |trial: &str| ReadResults {
        formulas: vec![line("41", "mechanical_advantage")],
        columns: vec!["Mechanical advantage".into(), "Eₙ".into()],
        rows: vec![ResultRow { trial: trial.into(), cells: vec![Some(figure("3.2", "")), None], mark: "effort a straggler; kept".into() }],
    };
    let row = |trial: &str, direction: &str| ReadRow {
        trial: trial.into(),
        direction: direction.into(),
        cells: vec![cell("100 N", false, ""), cell("31 N, 33 N <& 32 N", true, "reading 2, a straggler among its repeats; kept")],
        remark: "rope <new> & dry".into(),
    };
    let group = |direction: &str| ReadGroup {
        direction: direction.into(),
        results: results("1"),
        pooled: vec![line("42", "efficiency")],
        remarks: vec!["Directions are kept apart.".into()],
    };
    let drawing = Drawing {
        width: 640.0,
        height: 300.0,
        shapes: Vec::new(),
        title: "Effort over load".into(),
        description: "d".into(),
        newtons: None,
    };
    ReadingsReport {
        number: "R1".into(),
        anchor: "v-bench".into(),
        name: "bench".into(),
        label: "bench test".into(),
        of: "falls".into(),
        file: "bench.csv".into(),
        columns: vec![
            ReadColumn { title: "load".into(), instrument: "masses".into() },
            ReadColumn { title: "effort".into(), instrument: "balance".into() },
        ],
        rows: vec![row("1", "raising"), row("2", "lowering")],
        groups: vec![group("raising"), group("lowering")],
        pairs: Some(results("")),
        alarms: vec![Alarm {
            trial: "Trial 1".into(),
            efficiency: figure("104", "%"),
            within: false,
            says: "No machine gives more work than is put in.".into(),
            explanations: vec!["effort 31 N: 100 % at 32 N".into()],
        }],
        remarks: vec!["No doubt is stated of the load.".into()],
        plots: vec![SketchPart { title: "Effort over load".into(), description: "d".into(), drawing }],
    }
}
