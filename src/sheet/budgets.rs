//! The budget of a checked quantity: which inputs its doubt comes from, largest share first (JCGM 100, annex H.1).

use crate::measure::{CoverageRule, Freedom, Measured, covered, dominated};
use crate::model::quantity::Quantity;
use crate::model::tree::{EntryId, Shape, TreeForm};
use crate::sheet::figures::{factor, figure, level};
use crate::sheet::inputs;
use crate::sheet::parts::{Budget, BudgetRow, Figure, Math, SecondOrderRow};
use crate::sheet::symbols::{anchor, symbol};
use crate::sheet::working::Setter;
use crate::syntax::ast::Meaning;
use crate::units::Unit;
use crate::words::say;

/// A share below this is added up with others like it in one last row.
const SMALL: f64 = 0.001;

/// Terms of second order below this share change no uncertainty by a four-hundredth.
const SLIGHT: f64 = 0.005;

/// Fewer degrees of freedom than these, and a stated factor covers noticeably less than it seems to.
const FEW: f64 = 10.0;

/// Which budgets a sheet has besides those of its checks.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum BudgetsAsked {
    /// None.
    #[default]
    None,
    /// Those of values by name, `falls.part[3]` for one item of a list.
    Named(Vec<String>),
    /// That of every worked value that has a doubt.
    Every,
}

// What a budget is made of.
struct Wanted<'w> {
    formula: Math,
    quantity: Quantity,
    unit: Option<Unit>,
    place: usize,
    parts: &'w [(usize, f64)],
}

/// The budgets of every checked quantity whose doubt comes from an input.
pub(super) fn budgets(setter: &Setter<'_>) -> Vec<Budget> {
    let mut made: Vec<Budget> = Vec::new();
    for (check, places) in setter.model.checks.iter().zip(&setter.evaluation.program.checks) {
        for (tree, place) in [(check.demand(), places.0), (check.capacity(), places.1)] {
            let Some(place) = place.filter(|_| setter.evaluation.knows(tree)) else { continue };
            let parts = setter.evaluation.parts(place);
            // The doubt of a single input stands with that input already.
            if parts.len() == 1 && matches!(tree.form, TreeForm::Entry(id) if !setter.model.entry(id).doubts.is_empty()) {
                continue;
            }
            let unit = match &tree.form {
                TreeForm::Entry(id) => setter.model.entry(*id).shown_in.clone(),
                _ => None,
            };
            let wanted = Wanted { formula: setter.formula(tree), quantity: tree.quantity, unit, place, parts };
            let Some(mut budget) = budget(setter, wanted) else { continue };
            budget.checks.push(check.title.clone());
            // One quantity is often checked twice; its doubt comes from the same inputs both times.
            match made.iter_mut().find(|other| other.formula == budget.formula) {
                Some(other) => other.checks.extend(budget.checks),
                None => made.push(budget),
            }
        }
    }
    made
}

/// The budgets of values that were asked for; `named` holds every value by its name. A value without doubt has one without rows.
pub(super) fn asked(setter: &Setter<'_>, asked: &BudgetsAsked, named: &[(String, EntryId)]) -> Vec<Budget> {
    let mut wanted: Vec<(EntryId, Option<usize>, String)> = Vec::new();
    match asked {
        BudgetsAsked::None => return Vec::new(),
        BudgetsAsked::Named(names) => {
            for name in names {
                let (base, item) = item_of(name);
                let found = named.iter().find(|(name, _)| name == base);
                wanted.extend(found.map(|(name, id)| (*id, item, name.clone())));
            }
        }
        BudgetsAsked::Every => {
            for (name, id) in named {
                let worked = !inputs::is_stated(setter.model.entry(*id)) && !wanted.iter().any(|(other, ..)| other == id);
                if worked {
                    wanted.push((*id, None, name.clone()));
                }
            }
        }
    }
    let places = |id: EntryId| setter.evaluation.program.entries.get(id.0).map_or(&[][..], Vec::as_slice);
    let rows = setter.evaluation.owed(&wanted.iter().flat_map(|(id, ..)| places(*id)).copied().collect());
    let mut made = Vec::new();
    for (id, item, name) in wanted {
        let Some(count) = setter.evaluation.entry(id).map(|values| values.len()) else { continue };
        let entry = setter.model.entry(id);
        let list = entry.shape != Shape::Single;
        for (at, place) in places(id).iter().enumerate().take(count).filter(|(at, _)| item.is_none_or(|item| item == at + 1)) {
            let index = if list { vec![Math::Number { text: (at + 1).to_string() }] } else { Vec::new() };
            let parts = rows.get(place).map_or(&[][..], Vec::as_slice);
            let unit = setter.printed.of(id).get(at).and_then(|figure| crate::units::parse(&figure.unit).ok()).or(entry.shown_in.clone());
            let wanted = Wanted { formula: symbol(&name, index), quantity: entry.quantity, unit, place: *place, parts };
            let without = *asked != BudgetsAsked::Every;
            made.extend(budget(setter, wanted).or_else(|| without.then(|| exactly(setter, id, at, &name, list)).flatten()));
        }
    }
    made
}

/// A name with the item asked for, counted from 1: `falls.part[3]`.
pub fn item_of(name: &str) -> (&str, Option<usize>) {
    let parted = name.strip_suffix(']').and_then(|name| name.split_once('['));
    parted.and_then(|(base, item)| Some((base, Some(item.trim().parse().ok()?)))).unwrap_or((name, None))
}

// A value that no doubt reaches.
fn exactly(setter: &Setter<'_>, id: EntryId, at: usize, name: &str, list: bool) -> Option<Budget> {
    let result = setter.printed.of(id).get(at)?.clone();
    let index = if list { vec![Math::Number { text: (at + 1).to_string() }] } else { Vec::new() };
    Some(Budget {
        checks: Vec::new(),
        formula: symbol(name, index),
        result,
        standard: "0".into(),
        degrees: "∞".into(),
        coverage: String::new(),
        rows: Vec::new(),
        second: None,
        rest: String::new(),
        remarks: vec![say!("No stated doubt reaches it.").into()],
    })
}

fn budget(setter: &Setter<'_>, wanted: Wanted<'_>) -> Option<Budget> {
    let Wanted { formula, quantity, unit, place, parts } = wanted;
    let found = setter.evaluation.at(place)?;
    let first = setter.evaluation.first_order(place)?.uncertainty;
    let terms = setter.evaluation.second_order(place);
    let counted = setter.evaluation.to_second_order();
    // With the terms of second order, where they are not counted.
    let whole = terms.map_or(first, |terms| libm::sqrt((first * first + terms.variance).max(0.0)));
    if found.uncertainty.max(whole) <= 0.0 {
        return None;
    }
    let result = figure(found, quantity, unit.as_ref(), setter.style);
    let variance = if found.uncertainty > 0.0 { found.uncertainty * found.uncertainty } else { whole * whole };
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
    let together = (first * first - parts.iter().map(|(_, part)| part * part).sum::<f64>()) / variance;
    if together.abs() >= SMALL {
        let share = percent(together.abs());
        rest.push(match together < 0.0 {
            true => say!("correlations of these inputs, which take away {share} of the variance", share = share),
            false => say!("correlations of these inputs, which add {share} of the variance", share = share),
        });
    }
    let second = terms.map(|terms| (terms, terms.variance / variance)).filter(|(_, share)| share.abs() >= SLIGHT);
    let second = second.map(|(terms, share)| {
        let changed = in_unit_of(&result, if counted { first } else { whole });
        let words = if counted {
            say!("without them the standard uncertainty is {changed}", changed = changed)
        } else {
            say!("not counted in; with them the standard uncertainty is {changed}", changed = changed)
        };
        let mean = in_unit_of(&result, terms.shift);
        let shift = match terms.shift.abs() > 0.05 * whole {
            true => say!("; the mean lies {mean} off the value", mean = mean),
            false => String::new(),
        };
        SecondOrderRow {
            counted,
            contribution: in_unit_of(&result, libm::sqrt(terms.variance.abs())),
            share,
            percent: percent(share),
            words: words + &shift,
        }
    });
    let coverage = found.coverage(setter.style.coverage);
    let level = coverage.level.map(|share| format!(" ({})", level(share))).unwrap_or_default();
    Some(Budget {
        checks: Vec::new(),
        formula,
        standard: in_unit_of(&result, found.uncertainty),
        degrees: match found.freedom {
            Freedom::Endless => "∞".into(),
            Freedom::Effective(degrees) => crate::units::significant(degrees, 3),
            Freedom::Correlated => say!("not combined, for some of its inputs are correlated").into(),
        },
        coverage: format!("k\u{a0}=\u{a0}{}{level}", factor(coverage.k)),
        rows: rows.into_iter().map(|(_, row)| row).collect(),
        second,
        rest: rest.join("; "),
        remarks: remarks(setter, found, parts),
        result,
    })
}

// What a coverage factor leaves open.
fn remarks(setter: &Setter<'_>, found: Measured, parts: &[(usize, f64)]) -> Vec<String> {
    let mut remarks = Vec::new();
    let coverage = found.coverage(setter.style.coverage);
    let few = coverage.degrees().filter(|degrees| *degrees < FEW);
    if let (CoverageRule::Factor(k), Some(degrees)) = (setter.style.coverage, few)
        && let Some(share) = covered(k, Some(degrees))
    {
        remarks.push(say!(
            "With so few degrees of freedom a factor of {k} covers {share} of Student's t; `coverage level 95 %` in the head of the sheet takes the factor that covers 95\u{a0}%.",
            k = factor(k),
            share = percent(share)
        ));
    }
    let largest = parts.iter().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
    if let (CoverageRule::Level(share), Some((source, part))) = (setter.style.coverage, largest)
        && matches!(setter.evaluation.program.sources.get(*source), Some(source) if rectangular(source.meaning))
        && let Some(k) = dominated(share, *part, found.uncertainty)
    {
        remarks.push(say!(
            "One rectangle outweighs all else: {share} of it lie within k\u{a0}=\u{a0}{k} (EA-4/02, S9). The factor stated covers more.",
            share = level(share),
            k = factor(k)
        ));
    }
    remarks
}

fn rectangular(meaning: Meaning) -> bool {
    matches!(meaning, Meaning::Limits | Meaning::Resolution)
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
    let scale = scale_of(&value);
    Some(BudgetRow {
        anchor: anchor(&entry.name),
        name: entry.name.clone(),
        symbol: symbol(&entry.name, Vec::new()),
        label: entry.label.clone(),
        value: crate::units::spaced(&value.number, &value.unit),
        standard: spaced(standard / scale, &value.unit),
        distribution: distribution(stated.meaning, stated.degrees).into(),
        degrees: stated.degrees.map_or("∞".into(), |degrees| crate::units::significant(degrees, 3)),
        sensitivity: sensitivity(part / standard, scale, &value.unit, result),
        contribution: in_unit_of(result, part.abs()),
        share,
        percent: percent(share),
    })
}

// How much the result moves for one unit of the input, in the units both are printed in.
fn sensitivity(slope: f64, input: f64, input_unit: &str, result: &Figure) -> String {
    let number = crate::units::significant(slope * input / scale_of(result), 3);
    match (result.unit.as_str(), input_unit) {
        (same, other) if same == other => number,
        ("", other) => say!("{number} per {unit}", number = number, unit = other),
        (unit, "") => crate::units::spaced(&number, unit),
        (unit, other) => say!("{number} per {unit}", number = crate::units::spaced(&number, unit), unit = other),
    }
}

// The unit of a figure in SI units.
fn scale_of(figure: &Figure) -> f64 {
    crate::units::parse(&figure.unit).map_or(1.0, |unit| unit.scale)
}

pub(super) fn in_unit_of(result: &Figure, si: f64) -> String {
    spaced(si / scale_of(result), &result.unit)
}

fn spaced(value: f64, unit: &str) -> String {
    crate::units::spaced(&crate::units::significant(value, 2), unit)
}

pub(super) fn percent(share: f64) -> String {
    crate::units::spaced(&crate::units::places(share * 100.0, 1), "%")
}

fn distribution(meaning: Meaning, degrees: Option<f64>) -> &'static str {
    match meaning {
        Meaning::Limits => say!("rectangular"),
        Meaning::Triangular => say!("triangular"),
        Meaning::Arcsine => say!("arcsine"),
        Meaning::Trapezoidal(_) => say!("trapezoidal"),
        Meaning::Level(_) | Meaning::Expanded(_) | Meaning::Standard if degrees.is_some() => say!("Student's t"),
        Meaning::Level(_) | Meaning::Expanded(_) | Meaning::Standard => say!("normal"),
        Meaning::Resolution => say!("resolution, rectangular"),
        Meaning::Repeats => say!("mean of repeats"),
        Meaning::Scatter => say!("what the trials leave open"),
    }
}
