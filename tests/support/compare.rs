//! Compares what came of a case with what its file says, and words the differences.

use super::case::{Case, MAIN, Mark};
use super::compile::{self, Seen};
use super::expect::{Expect, Expected, Number};
use super::factors::factor;
use approx::{abs_diff_eq, relative_eq};
use parbuckle::Engine;
use parbuckle::sheet::parts::{Block, Figure, NamedValue, Notice, Sheet};

/// All differences of one case, with what came of it.
pub fn differences(case: &Case) -> (Seen, Vec<String>) {
    let mut engine = Engine::new();
    let seen = compile::compile_with(&mut engine, &case.documents);
    let mut out = case.faults.clone();
    findings(case, &seen, &mut out);
    match &seen.sheet {
        None => out.push("no sheet came of it".to_string()),
        Some(sheet) => {
            out.extend(case.expected.iter().filter_map(|expected| expectation(expected, sheet)));
            out.extend(consistency(sheet));
            let anywhere = seen.notices.iter().any(|notice| notice.severity == "error");
            let errors = seen.notices.iter().any(|notice| notice.severity == "error" && notice.place.path == MAIN);
            // What is wrong in a used file may or may not touch what this sheet asks of it.
            if (sheet.complete && errors) || (!sheet.complete && !anywhere) {
                let (is, why) = if errors { ("complete", "there are errors") } else { ("incomplete", "nothing is wrong") };
                out.push(format!("the sheet calls itself {is}, though {why}"));
            }
        }
    }
    for (way, documents) in compile::variants(case) {
        if let Some(difference) = otherwise(&seen, &compile::compile_with(&mut engine, &documents)) {
            out.push(format!("{way}: {difference}"));
        }
    }
    // Warm by now; what it says must not have changed.
    if let Some(difference) = otherwise(&seen, &compile::compile_with(&mut engine, &case.documents)) {
        out.push(format!("compiled again by the same engine: {difference}"));
    }
    (seen, out)
}

/// The findings that are neither marked nor expected, and the marks that nothing answers to.
fn findings(case: &Case, seen: &Seen, out: &mut Vec<String>) {
    let mut left: Vec<&Notice> = seen.notices.iter().collect();
    for mark in &case.marks {
        match take(&mut left, |notice| answers(notice, mark)) {
            None => out.push(format!(
                "line {}: marked {}[{}] at columns {} to {} is not found",
                mark.line,
                mark.severity,
                mark.slug,
                mark.column,
                mark.column + mark.width - 1
            )),
            Some(notice) if !says(notice, &mark.words) => out.push(format!(
                "line {}: {}[{}] should say \"{}\" and says \"{}\" ({})",
                mark.line, mark.severity, mark.slug, mark.words, notice.headline, notice.place.label
            )),
            Some(_) => {}
        }
    }
    for Expected { what, .. } in &case.expected {
        let Expect::Finding { severity, slug, line, column, words } = what else { continue };
        let number = case.heading + line - 1;
        let fits = |notice: &Notice| {
            notice.place.path == MAIN
                && (notice.place.line, notice.place.column) == (number, *column)
                && notice.severity == *severity
                && notice.slug == *slug
        };
        match take(&mut left, fits) {
            None => out.push(format!("line {number}:{column}: expected {severity}[{slug}] is not found")),
            Some(notice) if !says(notice, words) => {
                out.push(format!("line {number}: {severity}[{slug}] should say \"{words}\" and says \"{}\"", notice.headline));
            }
            Some(_) => {}
        }
    }
    for notice in left {
        let place = &notice.place;
        out.push(format!(
            "{} line {}, columns {} to {}: {}[{}] {} ({}) is not marked",
            place.path,
            place.line,
            place.column,
            place.column + place.width.max(1) - 1,
            notice.severity,
            notice.slug,
            notice.headline,
            place.label
        ));
    }
}

fn take<'n>(left: &mut Vec<&'n Notice>, fits: impl Fn(&Notice) -> bool) -> Option<&'n Notice> {
    let at = left.iter().position(|notice| fits(notice))?;
    Some(left.remove(at))
}

fn answers(notice: &Notice, mark: &Mark) -> bool {
    let place = &notice.place;
    place.path == mark.path
        && (place.line, place.column, place.width) == (mark.line, mark.column, mark.width)
        && notice.severity == mark.severity
        && notice.slug == mark.slug
}

/// Whether `words` occur in the headline or the label.
pub fn says(notice: &Notice, words: &str) -> bool {
    notice.headline.contains(words) || notice.place.label.contains(words)
}

fn expectation(Expected { at, what }: &Expected, sheet: &Sheet) -> Option<String> {
    let differs = match what {
        Expect::Finding { .. } => return None,
        Expect::Value(number) => value(sheet, number, |figure, _| figure.si),
        Expect::Doubt(number) => value(sheet, number, |figure, printed| figure.standard_uncertainty * printed),
        Expect::Text { name, text } => match figure(sheet, name, None) {
            Err(why) => Some(why),
            Ok(figure) => (plain(&figure.text) != plain(text)).then(|| format!("`{name}` prints \"{}\", not \"{text}\"", figure.text)),
        },
        Expect::Unknown { name } if in_study(name) => match figure(sheet, name, None) {
            Ok(figure) => Some(format!("`{name}` is {}", figure.text)),
            Err(why) => (!why.ends_with(NOTHING)).then_some(why),
        },
        Expect::Study { number, words } if number.starts_with('R') => match sheet.readings.iter().find(|found| found.number == *number) {
            None => Some(format!("there are no readings {number}")),
            Some(readings) => {
                let told = readings_told(readings);
                (!told.contains(&plain(words))).then(|| format!("{number} does not say \"{words}\"; it reads: {told}"))
            }
        },
        Expect::Study { number, words } if number.starts_with(['L', 'A']) => {
            let law = sheet.laws.iter().find(|law| law.number == *number).map(law_told);
            let told = law.or_else(|| sheet.agreements.iter().find(|row| row.number == *number).map(agreement_told));
            match told {
                None => Some(format!("there is no {number}")),
                Some(told) => (!told.contains(&plain(words))).then(|| format!("{number} does not say \"{words}\"; it reads: {told}")),
            }
        }
        Expect::Study { number, words } => match sheet.studies.iter().find(|study| study.number == *number) {
            None => Some(format!("there is no study {number}")),
            Some(study) => {
                let told = told(study);
                (!told.contains(&plain(words))).then(|| format!("{number} does not say \"{words}\"; it reads: {told}"))
            }
        },
        Expect::Unknown { name } => match named(sheet, name) {
            None => None,
            Some(found) => (found.figure.is_some() || !found.items.is_empty()).then(|| format!("`{name}` has a value")),
        },
        Expect::Quantity { name, quantity } => match named(sheet, name) {
            None => Some(format!("there is no `{name}`")),
            Some(found) => (found.quantity != *quantity).then(|| format!("`{name}` is a {}, not a {quantity}", found.quantity)),
        },
        Expect::Verdict { title, verdict } => match sheet.checks.iter().find(|check| check.title == *title) {
            None => Some(format!("there is no check \"{title}\"")),
            Some(check) => {
                let chance = if check.chance.is_empty() { String::new() } else { format!(", wrong {}", plain(&check.chance)) };
                let reads = if verdict.contains(", wrong ") { check.verdict.clone() + &chance } else { check.verdict.clone() };
                (reads != *verdict).then(|| format!("check \"{title}\" reads {reads}, not {verdict}"))
            }
        },
        Expect::Rule(words) => (!plain(&sheet.decision_rule).contains(words)).then(|| format!("the rule reads: {}", sheet.decision_rule)),
        Expect::Status(status) => (sheet.status != *status).then(|| format!("the status is {}", sheet.status)),
        Expect::Signed(words) => {
            let said: Vec<&str> = sheet.sign_off.signatures.iter().map(|row| row.standing.as_str()).collect();
            (!said.iter().any(|standing| standing.contains(words.as_str()))).then(|| format!("of the signatures it says {said:?}"))
        }
        Expect::Caution(words) => {
            (!sheet.cautions.iter().any(|caution| caution.text.contains(words))).then(|| format!("no caution says \"{words}\""))
        }
        Expect::Prose(words) => {
            let prose = prose_of(sheet);
            (!prose.contains(&plain(words))).then(|| format!("the prose does not say \"{words}\"; it reads: {prose}"))
        }
        Expect::Complete(complete) => {
            let word = |complete: bool| if complete { "complete" } else { "incomplete" };
            (sheet.complete != *complete).then(|| format!("the sheet is {}, not {}", word(sheet.complete), word(*complete)))
        }
    };
    differs.map(|difference| format!("line {at}: {difference}"))
}

/// The value named `name`.
pub fn named<'s>(sheet: &'s Sheet, name: &str) -> Option<&'s NamedValue> {
    sheet.values.iter().find(|value| value.name == name)
}

/// The figure named `name`, or its `item`-th item.
pub fn figure<'s>(sheet: &'s Sheet, name: &str, item: Option<usize>) -> Result<&'s Figure, String> {
    if in_study(name) {
        return study_figure(sheet, name);
    }
    let found = named(sheet, name).ok_or_else(|| format!("there is no `{name}`"))?;
    match item {
        None => found.figure.as_ref().ok_or_else(|| format!("`{name}` has no value")),
        Some(item) => {
            found.items.get(item.wrapping_sub(1)).ok_or_else(|| format!("`{name}` has {} items and no item {item}", found.items.len()))
        }
    }
}

/// What is said of a figure that is not there though its place is.
const NOTHING: &str = "has no figure";

// `S1 at 4, column 2` and `S2 answer`.
fn in_study(name: &str) -> bool {
    name.strip_prefix('S').is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()) && rest.contains(' '))
}

fn study_figure<'s>(sheet: &'s Sheet, name: &str) -> Result<&'s Figure, String> {
    let fault = || format!("`{name}` is not of the form `S1 at VALUE, column N` or `S1 answer`");
    let (number, rest) = name.split_once(' ').ok_or_else(fault)?;
    let study = sheet.studies.iter().find(|study| study.number == number).ok_or_else(|| format!("there is no study {number}"))?;
    if rest == "answer" {
        return study.value.as_ref().ok_or_else(|| format!("`{name}` {NOTHING}"));
    }
    let (value, column) = rest.strip_prefix("at ").and_then(|rest| rest.rsplit_once(", column ")).ok_or_else(fault)?;
    let rows: Vec<String> = study.rows.iter().map(|row| plain(&row.value.text)).collect();
    let row = study.rows.iter().find(|row| plain(&row.value.text) == plain(value));
    let row = row.ok_or_else(|| format!("{number} has no row {value}, but {rows:?}"))?;
    let column: usize = column.parse().map_err(|_| fault())?;
    let cell = row.cells.get(column.wrapping_sub(1)).ok_or_else(fault)?;
    cell.as_ref().ok_or_else(|| format!("`{name}` {NOTHING}"))
}

// The words of a law: its caption, its parts, its correlation and its remarks.
fn law_told(law: &parbuckle::sheet::parts::LawReport) -> String {
    let rows = law.rows.iter().map(|row| {
        let value = row.figure.as_ref().map_or("not known", |figure| &figure.text);
        format!("{}: {value}", row.quantity)
    });
    let correlation = format!("correlation {}", law.correlation);
    let parts = std::iter::once(law.caption.clone()).chain(rows).chain([correlation]).chain(law.remarks.iter().cloned());
    plain(&parts.collect::<Vec<_>>().join("; "))
}

fn agreement_told(row: &parbuckle::sheet::parts::AgreementRow) -> String {
    let difference = row.difference.as_ref().map_or("not known", |figure| &figure.text);
    plain(&format!("{}; difference {difference}; normalised error {}; {}", row.words, row.normalised, row.share))
}

fn told(study: &parbuckle::sheet::parts::StudyReport) -> String {
    let mut parts = vec![study.caption.as_str(), &study.answer];
    parts.extend(study.remarks.iter().map(String::as_str));
    for row in &study.rows {
        parts.extend([row.decides.as_str(), &row.reason]);
    }
    parts.extend(study.plot.iter().map(|plot| plot.description.as_str()));
    plain(&parts.join(" "))
}

fn readings_told(readings: &parbuckle::sheet::parts::ReadingsReport) -> String {
    let mut parts: Vec<&str> = readings.remarks.iter().map(String::as_str).collect();
    parts.extend(readings.rows.iter().flat_map(|row| &row.cells).flat_map(|cell| [cell.mark.as_str(), &cell.raw]));
    parts.extend(readings.groups.iter().flat_map(|group| &group.remarks).map(String::as_str));
    parts.extend(readings.groups.iter().flat_map(|group| &group.results.rows).map(|row| row.mark.as_str()));
    for alarm in &readings.alarms {
        parts.push(&alarm.says);
        parts.extend(alarm.explanations.iter().map(String::as_str));
    }
    plain(&parts.join(" "))
}

/// The number that is compared with `number`: in its unit, from the coherent value that `of` gives.
pub fn compared(sheet: &Sheet, number: &Number, of: impl Fn(&Figure, f64) -> f64) -> Result<f64, String> {
    let found = figure(sheet, &number.name, number.item)?;
    let unit = factor(&number.unit).ok_or_else(|| format!("the tests have no factor for `{}`", number.unit))?;
    let printed = factor(&found.unit).unwrap_or(f64::NAN);
    Ok(of(found, printed) / unit)
}

fn value(sheet: &Sheet, number: &Number, of: impl Fn(&Figure, f64) -> f64) -> Option<String> {
    let found = match compared(sheet, number, of) {
        Err(why) => return Some(why),
        Ok(found) => found,
    };
    let close = match number.tolerance {
        // A hair is added, for a printed half may be met exactly.
        Some(tolerance) => abs_diff_eq!(found, number.number, epsilon = tolerance + 1e-9 * number.number.abs()),
        None => relative_eq!(found, number.number, max_relative = 1e-9, epsilon = 1e-12),
    };
    let item = number.item.map_or(String::new(), |item| format!("[{item}]"));
    (!close).then(|| format!("`{}{item}` is {found} {}, not {}", number.name, number.unit, number.written))
}

// A figure's two forms of one value must agree, by the factors of the tests.
fn consistency(sheet: &Sheet) -> Vec<String> {
    let figures = sheet.values.iter().flat_map(|value| value.figure.iter().chain(&value.items).map(move |f| (&value.name, f)));
    figures
        .filter_map(|(name, figure)| {
            let si = figure.value * factor(&figure.unit)?;
            let agrees = relative_eq!(si, figure.si, max_relative = 1e-12, epsilon = 1e-300);
            (!agrees).then(|| format!("`{name}` is {} {} and {} in SI units, which differ", figure.value, figure.unit, figure.si))
        })
        .collect()
}

// What is different in `again`, if anything.
fn otherwise(first: &Seen, again: &Seen) -> Option<String> {
    let short = |seen: &Seen| {
        let notices = seen.notices.iter();
        notices.map(|n| format!("{}:{}:{} {} {}", n.place.path, n.place.line, n.place.column, n.slug, n.headline)).collect::<Vec<_>>()
    };
    if first.notices != again.notices {
        let (before, after) = (short(first), short(again));
        return Some(if before == after {
            "the findings stand at the same places but say something else".to_string()
        } else {
            format!("the findings are {after:?} instead of {before:?}")
        });
    }
    let values = |seen: &Seen| seen.sheet.as_ref().map(|sheet| sheet.values.clone());
    (values(first) != values(again)).then(|| "the values are not the same".to_string())
}

/// Text with its special spaces made plain, for comparing.
pub fn plain(text: &str) -> String {
    let spaced: String = text.chars().map(|c| if matches!(c, '\u{a0}' | '\u{202f}' | '\u{2009}') { ' ' } else { c }).collect();
    spaced.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn prose_of(sheet: &Sheet) -> String {
    let mut text = String::new();
    for block in &sheet.blocks {
        if let Block::Prose { html } = block {
            let mut inside = false;
            for c in html.chars() {
                match c {
                    '<' => inside = true,
                    '>' => inside = false,
                    c if !inside => text.push(c),
                    _ => {}
                }
            }
            text.push(' ');
        }
    }
    plain(&text.replace("&nbsp;", " ").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&").replace("&quot;", "\""))
}
