//! Rewrites a case file after what was found: marks, findings outside fences, and numbers. Published numbers are never
//! rewritten: there the file is right and the program is not.

use super::case::{Case, CaseFile, MAIN, write_mark};
use super::compare::{compared, plain, says};
use super::compile::Seen;
use super::expect::{Expect, Expected, Number};
use super::fences::fences;
use parbuckle::Notice;
use std::collections::BTreeMap;

/// The text of `file` with the marks and numbers of `seen`, one for each of its cases.
pub fn renewed(file: &CaseFile, seen: &[Seen]) -> String {
    let keep_numbers = file.name.contains("/published/");
    let mut out: Vec<String> = Vec::new();
    let mut next = 1;
    for (case, seen) in file.cases.iter().zip(seen) {
        out.extend(file.lines[next - 1..case.heading - 1].iter().cloned());
        out.extend(renewed_case(file, case, seen, keep_numbers));
        next = case.last + 1;
    }
    out.extend(file.lines[next - 1..].iter().cloned());
    out.join("\n") + "\n"
}

fn renewed_case(file: &CaseFile, case: &Case, seen: &Seen, keep_numbers: bool) -> Vec<String> {
    let mut below: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    let mut apart: Vec<String> = Vec::new();
    for notice in &seen.notices {
        let line = notice.place.line;
        let words = words_for(case, notice);
        let mark = write_mark(notice.place.column, notice.place.width, &notice.severity, &notice.slug, &words);
        match mark {
            Some(mark) if in_rig(file, case, line) => below.entry(line).or_default().push(mark),
            _ if notice.place.path == MAIN => apart.push(format!(
                "finding {}[{}] at {}:{} {words}",
                notice.severity,
                notice.slug,
                (line + 1).saturating_sub(case.heading),
                notice.place.column
            )),
            _ => {}
        }
    }
    let fence = case.fences.iter().find(|fence| fence.word() == "expect");
    let mut out = Vec::new();
    for number in case.heading..=case.last {
        if case.is_mark(number) {
            continue;
        }
        match case.expected.iter().find(|expected| expected.at == number) {
            Some(Expected { what: Expect::Finding { .. }, .. }) => {}
            Some(Expected { what, .. }) if !keep_numbers => out.push(line_for(&file.lines[number - 1], what, seen)),
            _ => out.push(file.lines[number - 1].clone()),
        }
        if fence.is_some_and(|fence| fence.open == number) {
            out.append(&mut apart);
        }
        out.extend(below.remove(&number).unwrap_or_default());
    }
    if !apart.is_empty() {
        let mut new = vec!["```expect".to_string()];
        new.append(&mut apart);
        new.extend(["```".to_string(), String::new()]);
        // Before everything else but the heading, for the case may end in an open fence.
        let at = 2.min(out.len());
        out.splice(at..at, new);
    }
    out
}

fn words_for(case: &Case, notice: &Notice) -> String {
    let kept = case.marks.iter().find(|mark| mark.line == notice.place.line && mark.slug == notice.slug && says(notice, &mark.words));
    kept.map(|mark| mark.words.clone()).filter(|words| !words.is_empty()).unwrap_or_else(|| notice.headline.clone())
}

fn in_rig(file: &CaseFile, case: &Case, line: usize) -> bool {
    case.fences.iter().any(|fence| match fence.word() {
        "rig" => fence.holds(line),
        "file" if fence.holds(line) && !fence.info.trim().ends_with(".md") => true,
        "file" if fence.holds(line) => {
            let end = fence.close.unwrap_or(case.last + 1);
            fences(&file.lines[fence.open..end - 1], fence.open + 1).iter().any(|inner| inner.word() == "rig" && inner.holds(line))
        }
        _ => false,
    })
}

fn line_for(written: &str, what: &Expect, seen: &Seen) -> String {
    let Some(sheet) = &seen.sheet else { return written.to_string() };
    let renew = |number: &Number, found: Result<f64, String>| match found {
        Ok(found) if found.is_finite() => written.replacen(&format!("= {}", number.written), &format!("= {}", shown(found, number)), 1),
        _ => written.to_string(),
    };
    match what {
        Expect::Value(number) => renew(number, compared(sheet, number, |figure, _| figure.si)),
        Expect::Doubt(number) => renew(number, compared(sheet, number, |figure, printed| figure.standard_uncertainty * printed)),
        Expect::Verdict { title, verdict } => match sheet.checks.iter().find(|check| check.title == *title) {
            // The chance of a wrong verdict is asked for by being written.
            Some(check) if verdict.contains(", wrong ") => format!("check \"{title}\" {}, wrong {}", check.verdict, plain(&check.chance)),
            Some(check) => format!("check \"{title}\" {}", check.verdict),
            None => written.to_string(),
        },
        Expect::Complete(_) => if sheet.complete { "complete" } else { "incomplete" }.to_string(),
        _ => written.to_string(),
    }
}

// A number that still holds is left as it was written.
fn shown(found: f64, number: &Number) -> String {
    let holds = match number.tolerance {
        Some(tolerance) => (found - number.number).abs() <= tolerance,
        None => (found - number.number).abs() <= 1e-9 * found.abs().max(1e-3),
    };
    if holds { number.written.clone() } else { format!("{found}") }
}
