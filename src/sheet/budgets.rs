//! The budget of a checked quantity: which inputs its doubt comes from, largest share first (JCGM 100, annex H.1).

use crate::house::say;
use crate::model::tree::{EntryId, Tree, TreeForm};
use crate::sheet::figures::figure;
use crate::sheet::parts::{Budget, BudgetRow, Figure};
use crate::sheet::symbols::{anchor, symbol};
use crate::sheet::working::Setter;
use crate::syntax::ast::Meaning;

/// A share below this is added up with others like it in one last row.
const SMALL: f64 = 0.001;

/// The budgets of every checked quantity whose doubt comes from an input.
pub(super) fn budgets(setter: &Setter<'_>) -> Vec<Budget> {
    let mut made: Vec<Budget> = Vec::new();
    for (check, places) in setter.model.checks.iter().zip(&setter.evaluation.program.checks) {
        for (tree, place) in [(check.demand(), places.0), (check.capacity(), places.1)] {
            let Some(place) = place.filter(|_| setter.evaluation.knows(tree)) else { continue };
            let Some(budget) = budget(setter, tree, place, &check.title) else { continue };
            // One quantity is often checked twice; its doubt comes from the same inputs both times.
            match made.iter_mut().find(|other| other.formula == budget.formula) {
                Some(other) => other.checks.extend(budget.checks),
                None => made.push(budget),
            }
        }
    }
    made
}

fn budget(setter: &Setter<'_>, tree: &Tree, place: usize, title: &str) -> Option<Budget> {
    let (si, uncertainty) = setter.evaluation.at(place)?;
    let parts = setter.evaluation.parts(place);
    // The doubt of a single input stands with that input already.
    if uncertainty <= 0.0 || (parts.len() == 1 && matches!(tree.form, TreeForm::Entry(id) if !setter.model.entry(id).doubts.is_empty())) {
        return None;
    }
    let unit = match &tree.form {
        TreeForm::Entry(id) => setter.model.entry(*id).shown_in.clone(),
        _ => None,
    };
    let printed = |si: f64, u: f64| figure(si, u, tree.quantity, unit.as_ref(), setter.us_customary);
    let result = printed(si, uncertainty);
    let variance = uncertainty * uncertainty;
    let mut rows: Vec<(f64, BudgetRow)> = Vec::new();
    let (mut small, mut left) = (0_usize, 0.0);
    for (source, part) in parts {
        let share = part * part / variance;
        if share < SMALL {
            small += 1;
            left += part * part;
            continue;
        }
        if let Some(row) = row(setter, *source, *part, share, &result) {
            rows.push((share, row));
        }
    }
    rows.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut rest: Vec<String> = Vec::new();
    if small > 0 {
        rest.push(say!("{count} more, together {figure}", count = small, figure = in_unit_of(&result, left.sqrt())));
    }
    // What correlated inputs owe to each other is no square of a contribution.
    let together = 1.0 - parts.iter().map(|(_, part)| part * part).sum::<f64>() / variance;
    if together.abs() >= SMALL {
        let share = percent(together.abs());
        rest.push(match together < 0.0 {
            true => say!("correlations of these inputs, which take away {share} of the variance", share = share),
            false => say!("correlations of these inputs, which add {share} of the variance", share = share),
        });
    }
    Some(Budget {
        checks: vec![title.into()],
        formula: setter.formula(tree),
        result,
        standard: in_unit_of(&printed(si, uncertainty), uncertainty),
        rows: rows.into_iter().map(|(_, row)| row).collect(),
        rest: rest.join("; "),
    })
}

fn row(setter: &Setter<'_>, source: usize, part: f64, share: f64, result: &Figure) -> Option<BudgetRow> {
    let stated = setter.evaluation.program.sources.get(source)?;
    let standard = setter.evaluation.standard_uncertainty(source)?;
    let id = EntryId(stated.entry);
    let entry = setter.model.entry(id);
    let item = setter
        .evaluation
        .program
        .sources
        .iter()
        .take(source)
        .filter(|other| (other.entry, other.doubt) == (stated.entry, stated.doubt))
        .count();
    let value = setter.printed.of(id).get(item).cloned()?;
    let scale = if value.value == 0.0 || value.si == 0.0 { None } else { Some(value.si / value.value) };
    let standard_printed = match scale {
        Some(scale) => spaced(standard / scale, &value.unit),
        None => figure(standard, 0.0, entry.quantity, None, setter.us_customary).text.clone(),
    };
    Some(BudgetRow {
        anchor: anchor(&entry.name),
        name: entry.name.clone(),
        symbol: symbol(&entry.name, Vec::new()),
        label: entry.label.clone(),
        value: crate::units::spaced(&value.number, &value.unit),
        standard: standard_printed,
        distribution: distribution(stated.meaning).into(),
        degrees: stated.degrees.map_or("∞".into(), |degrees| crate::units::significant(degrees, 3)),
        sensitivity: sensitivity(part / standard, scale, &value.unit, result),
        contribution: in_unit_of(result, part.abs()),
        share,
        percent: percent(share),
    })
}

// How much the result moves for one unit of the input, in the units both are printed in.
fn sensitivity(slope: f64, input: Option<f64>, input_unit: &str, result: &Figure) -> String {
    let (Some(input), Some(output)) = (input, scale_of(result)) else { return crate::units::significant(slope, 3) };
    let number = crate::units::significant(slope * input / output, 3);
    match (result.unit.as_str(), input_unit) {
        (same, other) if same == other => number,
        ("", other) => say!("{number} per {unit}", number = number, unit = other),
        (unit, "") => crate::units::spaced(&number, unit),
        (unit, other) => say!("{number} per {unit}", number = crate::units::spaced(&number, unit), unit = other),
    }
}

fn scale_of(figure: &Figure) -> Option<f64> {
    (figure.value != 0.0 && figure.si != 0.0).then(|| figure.si / figure.value)
}

fn in_unit_of(result: &Figure, si: f64) -> String {
    spaced(si / scale_of(result).unwrap_or(1.0), if scale_of(result).is_some() { &result.unit } else { "" })
}

fn spaced(value: f64, unit: &str) -> String {
    crate::units::spaced(&crate::units::significant(value, 2), unit)
}

fn percent(share: f64) -> String {
    crate::units::spaced(&crate::units::places(share * 100.0, 1), "%")
}

fn distribution(meaning: Meaning) -> &'static str {
    match meaning {
        Meaning::Limits => say!("rectangular"),
        Meaning::Triangular => say!("triangular"),
        Meaning::Arcsine => say!("arcsine"),
        Meaning::Trapezoidal(_) => say!("trapezoidal"),
        Meaning::Level(_) | Meaning::Expanded(_) => say!("normal"),
        Meaning::Standard => say!("as stated"),
        Meaning::Resolution => say!("resolution, rectangular"),
        Meaning::Repeats => say!("mean of repeats"),
        Meaning::Scatter => say!("what the trials leave open"),
    }
}
