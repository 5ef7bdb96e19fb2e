//! Checks: demand against capacity, in words and in numbers.

use crate::model::Check;
use crate::model::quantity::Quantity;
use crate::model::tree::{Tree, TreeForm};
use crate::sheet::figures::figure;
use crate::sheet::parts::{CheckRow, Figure};
use crate::sheet::symbols::anchor;
use crate::sheet::working::Setter;
use crate::syntax::ast::Relation;

/// How the verdicts were reached.
pub(super) const RULE: &str = "A number after ± is the expanded uncertainty with \
coverage factor k = 2, carried through by first-order propagation (JCGM 100:2008, 5.1.2); an input keeps its doubt as its author stated it. Values are \
compared as they stand, unrounded; the stated doubt is printed beside them and does not yet decide \
the verdict. A check without a capacity, or that rests on something that could not be worked, reads NOT EVALUATED.";

/// The rows of all checks, in the order of the document, governing one marked.
pub(super) fn rows(setter: &Setter<'_>) -> Vec<CheckRow> {
    let mut rows: Vec<(CheckRow, Option<f64>)> = setter.model.checks.iter().enumerate().map(|(at, check)| row(setter, at, check)).collect();
    // The governing check is the one that uses most of its capacity; a failed one always outranks a passed one.
    let rank = |row: &(CheckRow, Option<f64>)| row.1.map(|utilisation| (row.0.verdict == "FAIL", utilisation));
    let governing = rows
        .iter()
        .enumerate()
        .filter_map(|(at, row)| rank(row).map(|rank| (at, rank)))
        .max_by(|a, b| a.1.0.cmp(&b.1.0).then(a.1.1.total_cmp(&b.1.1)).then(b.0.cmp(&a.0)))
        .map(|(at, _)| at);
    if let Some((row, _)) = governing.and_then(|at| rows.get_mut(at)) {
        row.governing = true;
    }
    rows.into_iter().map(|(row, _)| row).collect()
}

fn row(setter: &Setter<'_>, at: usize, check: &Check) -> (CheckRow, Option<f64>) {
    let places = setter.evaluation.program.checks.get(at).copied().unwrap_or((None, None));
    let side = |tree: &Tree, place: Option<usize>| {
        let known = setter.evaluation.knows(tree) && !matches!(tree.form, TreeForm::Missing(_));
        place.filter(|_| known).and_then(|place| setter.evaluation.at(place))
    };
    let demand = side(check.demand(), places.0);
    let capacity = side(check.capacity(), places.1);
    let unit = unit_of(setter, check.capacity()).or_else(|| unit_of(setter, check.demand()));
    let quantity = check.demand().quantity;
    let print = |tree: &Tree, value: Option<(f64, f64)>| {
        let (si, u) = value?;
        let shown = figure(si, u, quantity, unit.as_ref(), setter.us_customary);
        // A rating keeps the figures of its source.
        let written = match &tree.form {
            TreeForm::Entry(id) => setter.printed.of(*id).first().cloned(),
            _ => None,
        };
        Some(written.filter(|written| written.unit == shown.unit).unwrap_or(shown))
    };
    let strict = matches!(check.relation, Relation::Below | Relation::Above);
    let (verdict, class, remark) = match (demand, capacity) {
        (Some((demand, _)), Some((capacity, _))) => {
            let holds = if strict { demand < capacity } else { demand <= capacity };
            if holds { ("PASS", "pass", String::new()) } else { ("FAIL", "fail", "the demand is greater than the capacity".into()) }
        }
        _ => {
            let missing = [check.capacity(), check.demand()].into_iter().find_map(|tree| match &tree.form {
                TreeForm::Missing(what) => Some(what.replace('`', "")),
                _ => None,
            });
            ("NOT EVALUATED", "not-evaluated", missing.unwrap_or_else(|| "something it rests on could not be worked".into()))
        }
    };
    let utilisation =
        demand.zip(capacity).filter(|(_, (capacity, _))| *capacity > 0.0).map(|((demand, _), (capacity, _))| demand / capacity);
    let printed: Option<Figure> = utilisation.map(|ratio| {
        // Enough digits to agree with the verdict: 0.9996 is not shown as 1.00.
        let places = if (ratio - 1.0).abs() < 0.005 && ratio != 1.0 { 4 } else { 2 };
        let mut shown = figure(ratio, 0.0, Quantity::RATIO, None, false);
        shown.number = crate::units::places(ratio, places);
        shown.text.clone_from(&shown.number);
        shown
    });
    let references = check.evidence.iter().map(|(_, text)| text.clone()).collect::<Vec<_>>().join("; ");
    let row = CheckRow {
        number: format!("C{}", at + 1),
        anchor: anchor(&format!("check-{}", at + 1)),
        title: check.title.clone(),
        statement: setter.comparison(&check.left, check.relation, &check.right),
        demand: print(check.demand(), demand),
        capacity: print(check.capacity(), capacity),
        utilisation: printed,
        verdict: verdict.into(),
        verdict_class: class.into(),
        remark,
        reference: references,
        governing: false,
    };
    (row, utilisation)
}

/// The unit that `tree` is written or shown in.
pub(super) fn unit_of(setter: &Setter<'_>, tree: &Tree) -> Option<crate::units::Unit> {
    match &tree.form {
        TreeForm::Constant(constant) => constant.parts.first().and_then(|(_, unit)| unit.clone()),
        TreeForm::Entry(id) | TreeForm::Item(id, _) => setter.model.entry(*id).shown_in.clone(),
        TreeForm::Binary(_, left, right) => unit_of(setter, left).or_else(|| unit_of(setter, right)),
        _ => None,
    }
    .filter(|unit| unit.dimension == tree.quantity.dimension)
}
