//! Numbers for readers: a unit chosen, a doubt rounded with its value, and nothing lost of the full precision.

use crate::measure;
use crate::model::Model;
use crate::model::quantity::Quantity;
use crate::model::tree::{EntryId, TreeForm};
use crate::program::Evaluation;
use crate::sheet::parts::Figure;
use crate::units::{Nature, Unit};
use std::cell::OnceCell;

/// Coverage factor of every printed expanded uncertainty.
pub(super) const COVERAGE: f64 = 2.0;

/// Significant digits of a number that states no doubt.
const DIGITS: usize = 4;

/// A value in SI units with its standard uncertainty, printed in `unit` or in the unit chosen for the reader.
pub(super) fn figure(si: f64, uncertainty: f64, quantity: Quantity, unit: Option<&Unit>, us_customary: bool) -> Figure {
    figure_in(si, uncertainty, quantity, unit, false, us_customary)
}

/// Like [`figure`]; a unit that was `asked` for is kept however the number reads.
pub(super) fn figure_in(si: f64, uncertainty: f64, quantity: Quantity, unit: Option<&Unit>, asked: bool, us_customary: bool) -> Figure {
    let chosen = match unit {
        Some(unit) if asked || readable(si, unit, quantity) => Some(unit.clone()),
        _ => crate::units::for_reader(si, quantity.dimension, quantity.nature, us_customary),
    };
    let (scale, offset) = chosen
        .as_ref()
        .map_or((1.0, 0.0), |unit| (unit.scale, if quantity.nature == Nature::TemperaturePoint { unit.offset } else { 0.0 }));
    let value = (si - offset) / scale;
    let standard = uncertainty / scale;
    let (number, doubt) = if standard > 0.0 {
        crate::units::with_doubt(value, measure::expanded(standard, COVERAGE))
    } else if value == libm::trunc(value) && value.abs() < 1e6 {
        (crate::units::places(value, 0), String::new())
    } else {
        (crate::units::significant(value, DIGITS), String::new())
    };
    assemble(number, doubt, chosen.as_ref(), value, si, standard)
}

/// A number as its author typed it.
pub(super) fn as_typed(typed: &str, unit: Option<&Unit>, si: f64) -> Figure {
    let (scale, offset) = unit.map_or((1.0, 0.0), |unit| (unit.scale, unit.offset));
    assemble(crate::units::typed(typed), String::new(), unit, (si - offset) / scale, si, 0.0)
}

fn assemble(number: String, doubt: String, unit: Option<&Unit>, value: f64, si: f64, standard: f64) -> Figure {
    let symbol = unit.map(|unit| unit.symbol.clone()).unwrap_or_default();
    let body = if doubt.is_empty() {
        number.clone()
    } else if symbol.is_empty() {
        format!("{number} ± {doubt}")
    } else {
        format!("({number} ± {doubt})")
    };
    Figure {
        text: crate::units::spaced(&body, &symbol),
        number,
        doubt,
        unit_spoken: unit.map(|unit| unit.spoken.clone()).unwrap_or_default(),
        unit: symbol,
        value,
        si,
        standard_uncertainty: standard,
    }
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
    us_customary: bool,
    entries: Vec<OnceCell<Vec<Figure>>>,
}

impl<'p> Printed<'p> {
    /// Nothing printed yet.
    pub(super) fn new(model: &'p Model, evaluation: &'p Evaluation, us_customary: bool) -> Self {
        Printed { model, evaluation, us_customary, entries: vec![OnceCell::new(); model.entries.len()] }
    }

    /// Every item of an entry as printed; empty when it may not be printed.
    pub(super) fn of(&self, id: EntryId) -> &[Figure] {
        let worked = || of_entry(self.model, self.evaluation, id, self.us_customary);
        self.entries.get(id.0).map_or(&[], |kept| kept.get_or_init(worked))
    }
}

fn of_entry(model: &Model, evaluation: &Evaluation, id: EntryId, us_customary: bool) -> Vec<Figure> {
    let entry = model.entry(id);
    let Some(values) = evaluation.entry(id) else { return Vec::new() };
    if entry.doubt.is_none()
        && let TreeForm::Constant(constant) = &entry.value.form
        && let [(typed, unit)] = constant.parts.as_slice()
        && entry.shown_in.as_ref() == unit.as_ref()
    {
        return vec![as_typed(typed, unit.as_ref(), constant.si)];
    }
    // One unit down a list, chosen by its greatest item.
    let greatest = values.iter().map(|(value, _)| value.abs()).fold(0.0, f64::max);
    let common = match &entry.shown_in {
        Some(unit) if entry.asked || readable(greatest, unit, entry.quantity) => Some(unit.clone()),
        _ => crate::units::for_reader(greatest, entry.quantity.dimension, entry.quantity.nature, us_customary),
    };
    values
        .into_iter()
        .map(|(value, uncertainty)| figure_in(value, uncertainty, entry.quantity, common.as_ref(), true, us_customary))
        .collect()
}
