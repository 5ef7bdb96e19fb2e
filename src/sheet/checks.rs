//! Checks: demand against capacity, in words and in numbers.

use crate::measure::{CoverageRule, Measured};
use crate::model::dates::Day;
use crate::model::quantity::Quantity;
use crate::model::studies::Asks;
use crate::model::tree::{Tree, TreeForm};
use crate::model::{Check, Gear, Model};
use crate::program::{Evaluation, Margin};
use crate::sheet::figures::{coverage_words, exact, factor, figure, level};
use crate::sheet::parts::{Cell, CheckRow, CoverageUsed, Figure};
use crate::sheet::symbols::anchor;
use crate::sheet::tongues;
use crate::sheet::verdicts::{Verdict, chance, decide, rule_words};
use crate::sheet::working::Setter;
use crate::source::{FileId, Sources};
use crate::syntax::ast::Relation;
use crate::units::Nature;
use crate::words::{date, say, word};

/// How doubt is written, and how the verdicts were reached.
pub(super) fn rule(model: &Model, evaluation: &Evaluation) -> String {
    let mut words = doubt_words(evaluation);
    if !model.checks.is_empty() {
        words += " ";
        words += &rule_words(&model.head, evaluation.coverage);
    }
    if model.studies.iter().any(|study| matches!(study.asks, Asks::Holds { .. })) {
        words += say!(" A size statement compares values alone: it serves where every condition holds, whatever the doubt.");
    }
    words
}

// What stands behind the sign ±.
fn doubt_words(evaluation: &Evaluation) -> String {
    let usual = factor(evaluation.coverage.usual());
    let second = evaluation.to_second_order();
    let CoverageRule::Level(share) = evaluation.coverage else {
        return match second {
            true => say!(
                "A number after ± is the expanded uncertainty with coverage factor k = {k}, carried through with the terms of second order (JCGM 100:2008, 5.1.2, note); an input keeps its doubt as its author stated it.",
                k = usual
            ),
            false => say!(
                "A number after ± is the expanded uncertainty with coverage factor k = {k}, carried through by first-order propagation (JCGM 100:2008, 5.1.2); an input keeps its doubt as its author stated it.",
                k = usual
            ),
        };
    };
    let share = level(share);
    let mut words = match second {
        true => say!(
            "A number after ± is the expanded uncertainty U = ku for a level of confidence of {level}, carried through with the terms of second order (JCGM 100:2008, 5.1.2, note); an input keeps its doubt as its author stated it.",
            level = share
        ),
        false => say!(
            "A number after ± is the expanded uncertainty U = ku for a level of confidence of {level}, carried through by first-order propagation (JCGM 100:2008, 5.1.2); an input keeps its doubt as its author stated it.",
            level = share
        ),
    };
    words += &say!(
        " k is {k} unless another stands beside the number: that is then Student's t for the effective degrees of freedom by the formula of Welch and Satterthwaite (JCGM 100:2008, G.4).",
        k = usual
    );
    if !evaluation.correlations().is_empty() {
        words += say!(" Where correlated inputs meet, that formula may not be used, and k is that of the normal distribution.");
    }
    words
}

/// How doubts are expanded.
pub(super) fn coverage(rule: CoverageRule) -> CoverageUsed {
    let level = match rule {
        CoverageRule::Factor(_) => None,
        CoverageRule::Level(level) => Some(level),
    };
    CoverageUsed { k: rule.usual(), level, words: coverage_words(rule) }
}

/// The rows of all checks, in the order of the document, governing one marked.
pub(super) fn rows(setter: &Setter<'_>, sources: &Sources, day: Option<Day>) -> Vec<CheckRow> {
    let mut rows: Vec<(CheckRow, Option<Rank>)> =
        setter.model.checks.iter().enumerate().map(|(at, check)| row(setter, at, check)).collect();
    // The gravest verdict governs, and among equals the one that uses most of its capacity; the first of those.
    let governing = rows
        .iter()
        .enumerate()
        .filter_map(|(at, row)| row.1.map(|rank| (at, rank)))
        .max_by(|a, b| a.1.0.cmp(&b.1.0).then(a.1.1.total_cmp(&b.1.1)).then(b.0.cmp(&a.0)))
        .map(|(at, _)| at);
    if let Some((row, _)) = governing.and_then(|at| rows.get_mut(at)) {
        row.governing = true;
    }
    let mut rows: Vec<CheckRow> = rows.into_iter().map(|(row, _)| row).collect();
    for (row, check) in rows.iter_mut().zip(&setter.model.checks) {
        let start = sources.in_file(check.span).start;
        row.line = sources.file(check.span.home.file).map_or(1, |file| file.text.lines().line_of(start));
        let gear = setter.model.gear_of(check);
        row.limits = gear.iter().filter_map(|at| limit(setter, *at, check.span.home.file, sources)).collect();
        let late = |at: &usize| setter.model.gear.get(*at).and_then(|gear| Some((gear, gear.inspect_by.filter(|by| Some(*by) < day)?)));
        for (gear, by) in gear.iter().filter_map(late) {
            let joint = if row.remark.is_empty() { "" } else { "; " };
            row.remark +=
                &format!("{joint}{}", say!("{gear}: was to be inspected by {day}", gear = named(gear), day = date(&by.to_string())));
        }
    }
    rows
}

// What a piece of gear is rated by. Gear of the sheet itself is listed there; what it says beside the rating is told here too.
fn limit(setter: &Setter<'_>, at: usize, root: FileId, sources: &Sources) -> Option<Cell> {
    let gear = setter.model.gear.get(at)?;
    let elsewhere = gear.span.home.file != root;
    if !elsewhere && gear.edition.is_empty() && gear.inspect_by.is_none() {
        return None;
    }
    let mut said: Vec<String> = Vec::new();
    // What is stated of gear of the sheet itself stands there; of gear from elsewhere it is told here, as it is stated.
    for (name, id) in gear.ratings.iter().filter(|_| elsewhere) {
        let stated = !matches!(setter.model.entry(*id).value.form, TreeForm::Binary(..));
        if let Some(figure) = setter.printed.of(*id).first().filter(|_| stated) {
            said.push(format!("{} {}", word(&name.replace('_', " ")), figure.text));
        }
    }
    let evidence = gear.ratings.values().flat_map(|id| &setter.model.entry(*id).evidence).map(|(_, text)| text.clone());
    evidence.for_each(|text| {
        if !said.contains(&text) {
            said.push(text)
        }
    });
    said.extend((!gear.edition.is_empty()).then(|| say!("edition {edition}", edition = gear.edition)));
    said.extend(gear.inspect_by.map(|by| say!("to be inspected by {day}", day = date(&by.to_string()))));
    said.extend(sources.file(gear.span.home.file).filter(|_| elsewhere).map(|file| file.path.to_string()));
    Some(Cell { label: named(gear), value: said.join("; ") })
}

fn named(gear: &Gear) -> String {
    if gear.label.is_empty() { gear.name.clone() } else { gear.label.clone() }
}

/// Whether dates of inspection were looked at, in one sentence; empty where no gear that a check leans on states one.
pub(super) fn dates(model: &Model, day: Option<Day>) -> String {
    let dated = |at: &usize| model.gear.get(*at).is_some_and(|gear| gear.inspect_by.is_some());
    if !model.checks.iter().any(|check| model.gear_of(check).iter().any(dated)) {
        return String::new();
    }
    match day {
        Some(day) => say!(" Dates of inspection were looked at on {day}.", day = date(&day.to_string())),
        None => say!(" Dates of inspection are stated and were not looked at: no day was given.").to_string(),
    }
}

// How grave a check is: its verdict, and how much of its capacity it uses.
type Rank = (Verdict, f64);

fn row(setter: &Setter<'_>, at: usize, check: &Check) -> (CheckRow, Option<Rank>) {
    let places = setter.evaluation.program.checks.get(at).copied().unwrap_or((None, None));
    let side = |tree: &Tree, place: Option<usize>| {
        let known = setter.evaluation.knows(tree) && !matches!(tree.form, TreeForm::Missing(_));
        place.filter(|_| known).and_then(|place| setter.evaluation.at(place))
    };
    let demand = side(check.demand(), places.0);
    let capacity = side(check.capacity(), places.1);
    let unit = unit_of(setter, check.capacity()).or_else(|| unit_of(setter, check.demand()));
    let quantity = check.demand().quantity;
    let print = |tree: &Tree, value: Option<Measured>| {
        let shown = figure(value?, quantity, unit.as_ref(), setter.style);
        // A rating keeps the figures of its source.
        let written = match &tree.form {
            TreeForm::Entry(id) => setter.printed.of(*id).first().cloned(),
            _ => None,
        };
        Some(written.filter(|written| written.unit == shown.unit).unwrap_or(shown))
    };
    let strict = matches!(check.relation, Relation::Below | Relation::Above);
    let rule = setter.model.head.decision_rule();
    let margin = demand.and(capacity).and_then(|_| setter.evaluation.margin(places.0?, places.1?));
    let decided = margin.map(|margin| decide(margin, strict, rule, setter.style.coverage));
    let accepted = decided.map(|(verdict, _)| verdict.accepted(rule));
    let remark = match decided {
        Some((Verdict::Pass, _)) => String::new(),
        Some((Verdict::PassWithin, _)) if accepted == Some(true) => String::new(),
        Some((Verdict::PassWithin, _)) => say!("holds, but by less than the decision rule asks: not accepted").into(),
        Some(_) if margin.is_some_and(|margin| margin.value == 0.0) => say!("the demand is as great as the capacity").into(),
        Some(_) => say!("the demand is greater than the capacity").into(),
        None => {
            let missing = [check.capacity(), check.demand()].into_iter().find_map(|tree| match &tree.form {
                TreeForm::Missing(what) => Some(tongues::unrated(what)),
                _ => None,
            });
            missing.unwrap_or_else(|| say!("something it rests on could not be worked").into())
        }
    };
    let difference = margin.and_then(|margin| figure_of_margin(setter, check, margin));
    let wrong = decided.and_then(|(_, wrong)| wrong);
    let utilisation = demand.zip(capacity).and_then(|(demand, capacity)| utilisation(demand.value, capacity.value));
    let printed: Option<Figure> = utilisation.map(|ratio| {
        // Enough digits to agree with the verdict: 0.9996 is not shown as 1.00.
        let places = if (ratio - 1.0).abs() < 0.005 && ratio != 1.0 { 4 } else { 2 };
        let mut shown = exact(ratio, Quantity::RATIO, None, setter.style);
        let number = crate::units::places(ratio, places);
        shown.text.clone_from(&number);
        shown.number = number;
        shown
    });
    let references = check.evidence.iter().map(|(_, text)| text.clone()).collect::<Vec<_>>().join("; ");
    let row = CheckRow {
        number: format!("C{}", at + 1),
        anchor: anchor(&format!("check-{}", at + 1)),
        line: 1,
        title: check.title.clone(),
        statement: setter.comparison(&check.left, check.relation, &check.right),
        demand: print(check.demand(), demand),
        capacity: print(check.capacity(), capacity),
        utilisation: printed,
        verdict: decided.map_or(say!("NOT EVALUATED"), |(verdict, _)| verdict.words()).into(),
        verdict_class: decided.map_or("not-evaluated", |(verdict, _)| verdict.class()).into(),
        accepted,
        margin: difference,
        chance_of_error: wrong,
        chance: wrong.map(chance).unwrap_or_default(),
        remark,
        reference: references,
        limits: Vec::new(),
        governing: false,
        worked_from: setter.rests_on(&[&check.left, &check.right]),
    };
    // Without a ratio it uses nothing when it passes, and more than there is when it does not.
    let used = |verdict: Verdict| utilisation.unwrap_or(if verdict < Verdict::FailWithin { f64::NEG_INFINITY } else { f64::INFINITY });
    (row, decided.map(|(verdict, _)| (verdict, used(verdict))))
}

/// Demand over capacity; none where there is no capacity above nought.
pub(super) fn utilisation(demand: f64, capacity: f64) -> Option<f64> {
    (capacity > 0.0).then(|| demand / capacity)
}

/// What a check has to spare, as printed. A difference of two temperatures is none, and has no place in their units.
pub(super) fn figure_of_margin(setter: &Setter<'_>, check: &Check, margin: Margin) -> Option<Figure> {
    let quantity = check.demand().quantity;
    let unit = unit_of(setter, check.capacity()).or_else(|| unit_of(setter, check.demand()));
    (quantity.nature != Nature::TemperaturePoint).then(|| figure(margin.measured(), quantity, unit.as_ref(), setter.style))
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
