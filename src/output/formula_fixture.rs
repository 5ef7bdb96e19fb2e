//! Formulas, figures and rows, for the sheets that tests of this room make by hand.

use crate::sheet::parts::*;

pub fn number(text: &str) -> Math {
    Math::Number { text: text.into() }
}
pub fn value(number: &str, unit: &str) -> Math {
    Math::Value { number: number.into(), unit: unit.into() }
}
pub fn symbol(base: &str) -> Math {
    named(base, "")
}
pub fn named(base: &str, subscript: &str) -> Math {
    let italic = base.chars().count() == 1;
    Math::Symbol { base: base.into(), subscript: subscript.into(), italic, index: vec![] }
}
pub fn indexed(base: &str, index: &str) -> Math {
    Math::Symbol { base: base.into(), subscript: String::new(), italic: true, index: vec![symbol(index)] }
}
pub fn infix(operator: &str, left: Math, right: Math) -> Math {
    Math::Infix { operator: operator.into(), left: left.into(), right: right.into() }
}
pub fn add(left: Math, right: Math) -> Math {
    infix("+", left, right)
}
pub fn subtract(left: Math, right: Math) -> Math {
    infix("-", left, right)
}
pub fn product(left: Math, right: Math) -> Math {
    Math::Product { left: left.into(), right: right.into() }
}
pub fn fraction(over: Math, under: Math) -> Math {
    Math::Fraction { over: over.into(), under: under.into() }
}
pub fn power(base: Math, exponent: Math) -> Math {
    Math::Power { base: base.into(), exponent: exponent.into() }
}
pub fn root(of: Math) -> Math {
    Math::Root { of: of.into() }
}
pub fn minus(of: Math) -> Math {
    Math::Minus { of: of.into() }
}
pub fn parentheses(of: Math) -> Math {
    Math::Parentheses { of: of.into() }
}
pub fn call(name: &str, arguments: Vec<Math>) -> Math {
    Math::Call { name: name.into(), arguments }
}
pub fn over(sign: &str, index: &str, from: Math, to: Math, body: Math) -> Math {
    Math::Over { sign: sign.into(), index: index.into(), from: from.into(), to: to.into(), body: body.into() }
}

pub fn figure(text: &str, unit: &str, spoken: &str, value: f64, si: f64) -> Figure {
    let number = text.strip_suffix(unit).unwrap_or(text).trim().to_owned();
    let doubt = number.split_once(" ± ").map_or("", |(_, doubt)| doubt).trim_end_matches(')').to_owned();
    FigureParts {
        number,
        doubt,
        unit: unit.into(),
        unit_spoken: spoken.into(),
        text: text.into(),
        value,
        si,
        standard_uncertainty: 0.0,
        k: 0.0,
        degrees: None,
        coverage: String::new(),
    }
    .into()
}

/// A force in newtons as it is printed in kilonewtons.
pub fn kilonewtons(text: &str, newtons: f64) -> Figure {
    figure(text, "kN", "kilonewton", newtons / 1000.0, newtons)
}
pub fn plain(text: &str, value: f64) -> Figure {
    figure(text, "", "", value, value)
}
pub fn ratio(text: &str, value: f64, uncertainty: f64) -> Figure {
    doubted(plain(text, value), uncertainty)
}
pub fn joules(text: &str, value: f64) -> Figure {
    figure(text, "J", "joule", value, value)
}
pub fn metres(text: &str, value: f64) -> Figure {
    figure(text, "m", "metre", value, value)
}

pub fn row(name: &str, symbol: Math, label: &str, figure: Figure, evidence: &str, source: &str) -> InputRow {
    InputRow {
        anchor: name.into(),
        name: name.into(),
        symbol,
        label: label.into(),
        figure: Some(figure),
        doubt_stated: String::new(),
        evidence: evidence.into(),
        source: source.into(),
        effect: String::new(),
        state: String::new(),
        confirmed: String::new(),
        confirm_by: String::new(),
        worked_from: Vec::new(),
        stated_in_line: None,
    }
}

pub fn line(
    number: &str,
    name: &str,
    label: &str,
    symbol: Math,
    formula: Math,
    substitution: Option<Math>,
    result: Option<Figure>,
) -> WorkingLine {
    WorkingLine {
        number: number.into(),
        anchor: name.into(),
        name: name.into(),
        label: label.into(),
        symbol,
        formula,
        substitution,
        result,
        items: vec![],
        reference: String::new(),
        worked_from: vec![],
    }
}

pub fn summary(quantity: &str, ideal: Option<Figure>, actual: Option<Figure>, anchor: &str) -> SummaryRow {
    SummaryRow { quantity: quantity.into(), ideal, actual, anchor: anchor.into() }
}

pub fn cell(label: &str, value: &str) -> Cell {
    Cell { label: label.into(), value: value.into() }
}

pub fn check(
    number: &str,
    title: &str,
    statement: Math,
    sides: (Option<Figure>, Option<Figure>),
    utilisation: Option<Figure>,
    verdict: (&str, &str),
) -> CheckRow {
    CheckRow {
        number: number.into(),
        anchor: format!("check-{}", number.to_lowercase()),
        line: 40,
        title: title.into(),
        statement,
        demand: sides.0,
        capacity: sides.1,
        utilisation,
        verdict: verdict.0.into(),
        verdict_class: verdict.1.into(),
        accepted: None,
        margin: None,
        chance_of_error: None,
        chance: String::new(),
        remark: String::new(),
        reference: String::new(),
        limits: Vec::new(),
        governing: false,
        worked_from: Vec::new(),
    }
}

pub fn doubted(mut figure: Figure, standard_uncertainty: f64) -> Figure {
    figure.standard_uncertainty = standard_uncertainty;
    figure.k = 2.0;
    figure
}
