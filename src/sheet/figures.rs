//! Numbers for readers: a unit chosen, a doubt rounded with its value, and nothing lost of the full precision.

use crate::measure::{CoverageRule, Freedom, Measured};
use crate::model::quantity::Quantity;
use crate::model::tree::{EntryId, TreeForm};
use crate::model::{Entry, Model, Role};
use crate::program::Evaluation;
use crate::sheet::parts::{Figure, FigureParts};
use crate::units::{Nature, Unit};
use std::cell::OnceCell;

/// How the numbers of a sheet are printed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Style {
    /// In US customary units where the author has not said.
    pub(super) us_customary: bool,
    /// How doubts are expanded.
    pub(super) coverage: CoverageRule,
}

/// Significant digits of a number that states no doubt.
const DIGITS: usize = 4;

/// Significant digits of the standard gravity in feet: SP 811 B.8 gives 32.174 05 ft/s².
const GRAVITY_DIGITS: usize = 7;

/// A value in SI units with its doubt, printed in `unit` or in the unit chosen for the reader.
pub(super) fn figure(found: Measured, quantity: Quantity, unit: Option<&Unit>, style: Style) -> Figure {
    figure_in(found, quantity, unit, false, style)
}

/// A value in SI units without doubt, printed like [`figure`].
pub(super) fn exact(si: f64, quantity: Quantity, unit: Option<&Unit>, style: Style) -> Figure {
    figure(Measured::exact(si), quantity, unit, style)
}

/// Like [`figure`]; a unit that was `asked` for is kept however the number reads.
pub(super) fn figure_in(found: Measured, quantity: Quantity, unit: Option<&Unit>, asked: bool, style: Style) -> Figure {
    let si = found.value;
    let chosen = match unit {
        Some(unit) if asked || readable(si, unit, quantity) => Some(unit.clone()),
        _ => crate::units::for_reader(si, quantity.dimension, quantity.nature, style.us_customary),
    };
    let value = in_unit(si, quantity, chosen.as_ref());
    let standard = found.uncertainty / chosen.as_ref().map_or(1.0, |unit| unit.scale);
    if standard > 0.0 {
        return expanded(found, value, standard, chosen.as_ref(), style.coverage);
    }
    let (number, doubt) = if value == libm::trunc(value) && value.abs() < 1e6 {
        (crate::units::places(value, 0), String::new())
    } else {
        (crate::units::significant(value, DIGITS), String::new())
    };
    assemble(number, doubt, chosen.as_ref(), value, si, standard)
}

// With the expanded uncertainty, and with its factor where that is another than the sheet has said once for all.
fn expanded(found: Measured, value: f64, standard: f64, unit: Option<&Unit>, rule: CoverageRule) -> Figure {
    let coverage = found.coverage(rule);
    let (number, doubt) = crate::units::with_doubt(value, coverage.k * standard);
    let mut figure = assemble(number, doubt, unit, value, found.value, standard);
    figure.k = coverage.k;
    figure.degrees = match found.freedom {
        Freedom::Effective(degrees) => Some(degrees),
        Freedom::Endless | Freedom::Correlated => None,
    };
    let usual = rule.usual();
    if coverage.k != usual && factor(coverage.k) != factor(usual) {
        let factor = factor(coverage.k);
        figure.coverage = format!("k\u{a0}=\u{a0}{factor}");
        figure.text = format!("{} ({})", figure.text, figure.coverage);
    }
    figure
}

/// A coverage factor as printed, like the table of JCGM 100:2008, G.2; a whole one without decimals.
pub(super) fn factor(k: f64) -> String {
    if k == libm::trunc(k) { crate::units::places(k, 0) } else { crate::units::places(k, 2) }
}

/// A share as a percentage, with all the figures it was stated with.
pub(super) fn level(share: f64) -> String {
    crate::units::spaced(&crate::units::typed(&format!("{}", (share * 1e12).round() / 1e10)), "%")
}

/// How doubts are expanded, in the fewest words: `k = 2`, `95 %`.
pub(super) fn coverage_words(rule: CoverageRule) -> String {
    match rule {
        CoverageRule::Factor(k) => format!("k\u{a0}=\u{a0}{}", factor(k)),
        CoverageRule::Level(share) => level(share),
    }
}

/// Like [`figure_in`], with just so many decimals in `unit` and no doubt.
pub(super) fn placed(si: f64, quantity: Quantity, unit: Option<&Unit>, decimals: usize) -> Figure {
    let value = in_unit(si, quantity, unit);
    assemble(crate::units::places(value, decimals), String::new(), unit, value, si, 0.0)
}

/// A value in SI units in `unit`.
pub(super) fn in_unit(si: f64, quantity: Quantity, unit: Option<&Unit>) -> f64 {
    let (scale, offset) =
        unit.map_or((1.0, 0.0), |unit| (unit.scale, if quantity.nature == Nature::TemperaturePoint { unit.offset } else { 0.0 }));
    (si - offset) / scale
}

/// A number as its author typed it.
pub(super) fn as_typed(typed: &str, unit: Option<&Unit>, si: f64) -> Figure {
    let (scale, offset) = unit.map_or((1.0, 0.0), |unit| (unit.scale, unit.offset));
    assemble(crate::units::typed(typed), String::new(), unit, (si - offset) / scale, si, 0.0)
}

/// A value in SI units with its number and its doubt as the author typed them, in the unit they were typed in.
pub(super) fn doubted(number: &str, doubt: &str, unit: Option<&Unit>, si: f64, uncertainty: f64) -> Figure {
    let (scale, offset) = unit.map_or((1.0, 0.0), |unit| (unit.scale, unit.offset));
    assemble(crate::units::typed(number), crate::units::typed(doubt), unit, (si - offset) / scale, si, uncertainty / scale)
}

// A number with its doubt, in brackets where a unit follows; spaces that do not break keep it on one line.
fn together(number: &str, doubt: &str, symbol: &str) -> String {
    let mut text = String::with_capacity(number.len() + doubt.len() + symbol.len() + 12);
    let (open, close) = if symbol.is_empty() { ("", "") } else { ("(", ")") };
    // As where there is no doubt, the unit one is not told.
    let unit = if symbol == "1" { "" } else { symbol };
    for part in [open, number, "\u{a0}±\u{a0}", doubt, close, crate::units::between(unit), unit] {
        text.push_str(part);
    }
    text
}

fn assemble(number: String, doubt: String, unit: Option<&Unit>, value: f64, si: f64, standard: f64) -> Figure {
    let symbol = unit.map(|unit| unit.symbol.clone()).unwrap_or_default();
    let text = if doubt.is_empty() { crate::units::spaced(&number, &symbol) } else { together(&number, &doubt, &symbol) };
    let unit_spoken = unit.map(|unit| unit.spoken.clone()).unwrap_or_default();
    FigureParts {
        text,
        number,
        doubt,
        unit_spoken,
        unit: symbol,
        value,
        si,
        standard_uncertainty: standard,
        k: 0.0,
        degrees: None,
        coverage: String::new(),
    }
    .into()
}

// The author's unit is kept while the number in it stays easy to read.
fn readable(si: f64, unit: &Unit, quantity: Quantity) -> bool {
    if unit.dimension != quantity.dimension {
        return false;
    }
    let size = ((si - unit.offset) / unit.scale).abs();
    size == 0.0 || (0.01..100_000.0).contains(&size)
}

/// The entries of a model as printed, each worked out when it is first asked for and kept: one value stands in several
/// lines, tables and drawings.
pub(super) struct Printed<'p> {
    model: &'p Model,
    evaluation: &'p Evaluation,
    style: Style,
    entries: Vec<OnceCell<Vec<Figure>>>,
}

impl<'p> Printed<'p> {
    /// Nothing printed yet.
    pub(super) fn new(model: &'p Model, evaluation: &'p Evaluation, style: Style) -> Self {
        Printed { model, evaluation, style, entries: vec![OnceCell::new(); model.entries.len()] }
    }

    /// Every item of an entry as printed; empty when it may not be printed.
    pub(super) fn of(&self, id: EntryId) -> &[Figure] {
        let worked = || of_entry(self.model, self.evaluation, id, self.style);
        self.entries.get(id.0).map_or(&[], |kept| kept.get_or_init(worked))
    }
}

// The US unit for what the author did not write: a default of a kind, the standard gravity. Kinds are written in SI.
fn foreign(entry: &Entry) -> Option<Unit> {
    let unwritten = matches!(entry.role, Role::Field { given: false } | Role::Gravity { declared: false });
    let metric = entry.shown_in.as_ref().is_some_and(|unit| !unit.dimension.is_none() && unit.offset == 0.0);
    let constant = entry.doubts.is_empty() && matches!(entry.value.form, TreeForm::Constant(_));
    (unwritten && metric && constant)
        .then(|| crate::units::for_reader(0.0, entry.quantity.dimension, entry.quantity.nature, true))
        .flatten()
}

/// Every item of an entry as printed; empty when it may not be printed.
fn of_entry(model: &Model, evaluation: &Evaluation, id: EntryId, style: Style) -> Vec<Figure> {
    let entry = model.entry(id);
    let Some(values) = evaluation.entry(id) else { return Vec::new() };
    // What is only passed on is printed as it was.
    if let TreeForm::Entry(from) = &entry.value.form
        && entry.doubts.is_empty()
        && entry.shown_in == model.entry(*from).shown_in
        && entry.asked == model.entry(*from).asked
    {
        return of_entry(model, evaluation, *from, style);
    }
    if style.us_customary
        && let Some(unit) = foreign(entry)
        && let [Measured { value, .. }] = values.as_slice()
    {
        let figures = if matches!(entry.role, Role::Gravity { .. }) { GRAVITY_DIGITS } else { DIGITS };
        let number = crate::units::significant(value / unit.scale, figures);
        return vec![assemble(
            if *value == 0.0 { "0".into() } else { number },
            String::new(),
            Some(&unit),
            value / unit.scale,
            *value,
            0.0,
        )];
    }
    let (sign, constant) = match &entry.value.form {
        TreeForm::Negative(of) => ("-", &of.form),
        form => ("", form),
    };
    if entry.doubts.is_empty()
        && let TreeForm::Constant(constant) = constant
        && let [(typed, unit)] = constant.parts.as_slice()
        && entry.shown_in.as_ref() == unit.as_ref()
        && let [Measured { value: si, .. }] = values.as_slice()
    {
        return vec![as_typed(&format!("{sign}{typed}"), unit.as_ref(), *si)];
    }
    // One unit down a list, chosen by its greatest item.
    let greatest = values.iter().map(|found| found.value.abs()).fold(0.0, f64::max);
    let common = match &entry.shown_in {
        Some(unit) if entry.asked || readable(greatest, unit, entry.quantity) => Some(unit.clone()),
        _ => crate::units::for_reader(greatest, entry.quantity.dimension, entry.quantity.nature, style.us_customary),
    };
    values.into_iter().map(|found| figure_in(found, entry.quantity, common.as_ref(), true, style)).collect()
}
