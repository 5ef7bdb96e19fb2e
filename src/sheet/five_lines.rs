//! The answer of a sheet in five lines, put together from its finished parts.

use crate::house::{say, word};
use crate::sheet::inputs;
use crate::sheet::parts::{AnswerLine, Sheet};

/// Five lines: the question, what governs, what that allows, what it rests on, what is still open.
pub(super) fn answer(sheet: &Sheet) -> Vec<AnswerLine> {
    if sheet.checks.is_empty() && sheet.trains.is_empty() && sheet.machines.is_empty() {
        return Vec::new();
    }
    let mut lines = Vec::new();
    let mut line = |label: &str, text: String, anchor: &str| lines.push(AnswerLine { label: label.into(), text, anchor: anchor.into() });
    line(say!("Question"), sheet.title_block.title.clone(), "");
    if let Some(check) = sheet.checks.iter().find(|check| check.governing) {
        let use_of = check
            .utilisation
            .as_ref()
            .map(|utilisation| say!(", uses {ratio} of its capacity", ratio = utilisation.text))
            .unwrap_or_default();
        let doubted =
            if check.chance.is_empty() { String::new() } else { say!("; chance of a wrong verdict {chance}", chance = check.chance) };
        line(say!("Governing check"), format!("{} {}: {}{}", check.number, check.title, check.verdict, use_of + &doubted), &check.anchor);
    }
    let efforts: Vec<String> = if sheet.trains.is_empty() {
        sheet.machines.iter().filter_map(|machine| effort_words(&machine.name, &machine.direction, &machine.summary)).collect()
    } else {
        sheet.trains.iter().filter_map(|train| effort_words(&train.name, &train.direction, &train.summary)).collect()
    };
    if !efforts.is_empty() {
        line(say!("Effort"), efforts.join("; "), sheet.trains.first().map_or("", |train| train.anchor.as_str()));
    }
    for study in sheet.studies.iter().filter(|study| !study.answer.is_empty()) {
        line(
            say!("Sizing"),
            study.caption.clone() + ": " + &study.value.as_ref().map_or(say!("none serves").to_string(), |value| value.text.clone()),
            &study.anchor,
        );
    }
    let inputs = match sheet.inputs.len() {
        1 => say!("1 input").to_string(),
        count => say!("{count} inputs", count = count),
    };
    let assumptions = match sheet.assumptions.len() {
        1 => say!("1 assumption").to_string(),
        count => say!("{count} assumptions", count = count),
    };
    line(say!("Rests on"), say!("{one} and {other}", one = inputs, other = assumptions), "inputs");
    let count = |wanted: &[&str]| sheet.checks.iter().filter(|check| wanted.contains(&check.verdict_class.as_str())).count();
    let (failed, unevaluated) = (count(&["fail", "fail-within"]), count(&["not-evaluated"]));
    let short = sheet.checks.iter().filter(|check| check.verdict_class == "pass-within" && check.accepted == Some(false)).count();
    let mut open = Vec::new();
    if !sheet.complete {
        open.push(say!("the sheet is incomplete: some statements could not be worked").to_string());
    }
    if failed > 0 {
        open.push(match failed {
            1 => say!("1 check failed").to_string(),
            count => say!("{count} checks failed", count = count),
        });
    }
    if short > 0 {
        open.push(match short {
            1 => say!("1 check within uncertainty and not accepted by the decision rule").to_string(),
            count => say!("{count} checks within uncertainty and not accepted by the decision rule", count = count),
        });
    }
    if unevaluated > 0 {
        open.push(match unevaluated {
            1 => say!("1 check not evaluated").to_string(),
            count => say!("{count} checks not evaluated", count = count),
        });
    }
    let to_confirm = sheet.assumptions.iter().filter(|row| row.state == word(inputs::OPEN)).count();
    if to_confirm > 0 {
        open.push(match to_confirm {
            1 => say!("1 assumption to confirm").to_string(),
            count => say!("{count} assumptions to confirm", count = count),
        });
    }
    line(say!("Still open"), if open.is_empty() { say!("nothing recorded").into() } else { open.join("; ") }, "assumptions");
    lines
}

fn effort_words(name: &str, direction: &str, summary: &[crate::sheet::parts::SummaryRow]) -> Option<String> {
    let row = summary.iter().find(|row| row.quantity == say!("Effort"))?;
    let actual = row.actual.as_ref()?;
    let ideal = row.ideal.as_ref().map(|ideal| say!(" (ideal {figure})", figure = ideal.text)).unwrap_or_default();
    Some(format!("{name}, {direction}: {}{ideal}", actual.text))
}
