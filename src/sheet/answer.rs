//! The answer at the top of a sheet, in a few lines: the question, what governs, what that allows, what it rests on, what is
//! still open.

use crate::sheet::inputs;
use crate::sheet::parts::{AnswerLine, CheckRow, Sheet, SummaryRow};

/// Five lines: the question, what governs, what that allows, what it rests on, what is still open.
pub(super) fn answer(sheet: &Sheet) -> Vec<AnswerLine> {
    if sheet.checks.is_empty() && sheet.trains.is_empty() && sheet.machines.is_empty() {
        return Vec::new();
    }
    let mut lines = Vec::new();
    let mut line = |label: &str, text: String, anchor: &str| lines.push(AnswerLine { label: label.into(), text, anchor: anchor.into() });
    line("Question", sheet.title_block.title.clone(), "");
    if let Some(check) = sheet.checks.iter().find(|check| check.governing) {
        let use_of =
            check.utilisation.as_ref().map(|utilisation| format!(", uses {} of its capacity", utilisation.text)).unwrap_or_default();
        let doubted = if check.chance.is_empty() { String::new() } else { format!("; chance of a wrong verdict {}", check.chance) };
        line("Governing check", format!("{} {}: {}{}", check.number, check.title, check.verdict, use_of + &doubted), &check.anchor);
    }
    if let Some((check, utilisation)) = runner_up(&sheet.checks) {
        line("Next after it", format!("{} {}: {}, uses {utilisation}", check.number, check.title, check.verdict), &check.anchor);
    }
    let efforts: Vec<String> = if sheet.trains.is_empty() {
        sheet.machines.iter().filter_map(|machine| effort_words(&machine.name, &machine.direction, &machine.summary)).collect()
    } else {
        sheet.trains.iter().filter_map(|train| effort_words(&train.name, &train.direction, &train.summary)).collect()
    };
    if !efforts.is_empty() {
        line("Effort", efforts.join("; "), sheet.trains.first().map_or("", |train| train.anchor.as_str()));
    }
    let sized = sheet.studies.iter().filter(|study| !study.answer.is_empty());
    let sizes = sized
        .clone()
        .map(|study| study.caption.clone() + ": " + &study.value.as_ref().map_or("none serves".to_string(), |value| value.text.clone()));
    let sizes: Vec<String> = sizes.collect();
    if let Some(first) = sized.clone().next() {
        line("Sizing", sizes.join("; "), &first.anchor);
    }
    // What the author concludes stands under a heading of that name; what the figures say is said here either way.
    if let Some(heading) = sheet.outline.iter().find(|heading| heading.text.trim().eq_ignore_ascii_case("conclusion")) {
        line("Conclusion", "the author's, in the document".into(), &heading.anchor);
    }
    line("Rests on", format!("{} and {}", counted(sheet.inputs.len(), "input"), counted(sheet.assumptions.len(), "assumption")), "inputs");
    let count = |wanted: &[&str]| sheet.checks.iter().filter(|check| wanted.contains(&check.verdict_class.as_str())).count();
    let (failed, unevaluated) = (count(&["fail", "fail-within"]), count(&["not-evaluated"]));
    let short = sheet.checks.iter().filter(|check| check.verdict_class == "pass-within" && check.accepted == Some(false)).count();
    let mut open = Vec::new();
    if !sheet.complete {
        open.push("the sheet is incomplete: some statements could not be worked".to_string());
    }
    if failed > 0 {
        open.push(format!("{} failed", counted(failed, "check")));
    }
    if short > 0 {
        open.push(format!("{} within uncertainty and not accepted by the decision rule", counted(short, "check")));
    }
    if unevaluated > 0 {
        open.push(format!("{} not evaluated", counted(unevaluated, "check")));
    }
    let to_confirm = sheet.assumptions.iter().filter(|row| row.state == inputs::OPEN).count();
    if to_confirm > 0 {
        open.push(format!("{} to confirm", counted(to_confirm, "assumption")));
    }
    line("Still open", if open.is_empty() { "nothing recorded".into() } else { open.join("; ") }, "assumptions");
    lines
}

// The check that would govern if the one that does were not there.
fn runner_up(checks: &[CheckRow]) -> Option<(&CheckRow, &str)> {
    const GRAVER: [&str; 4] = ["pass", "pass-within", "fail-within", "fail"];
    checks.iter().find(|check| check.governing)?;
    let grave = |check: &CheckRow| GRAVER.iter().position(|class| *class == check.verdict_class);
    let others = checks.iter().filter(|check| !check.governing);
    let ranked = others.filter_map(|check| Some((grave(check)?, check.utilisation.as_ref()?, check)));
    let next = ranked.reduce(|most, each| if (each.0, each.1.si) > (most.0, most.1.si) { each } else { most })?;
    Some((next.2, &next.1.text))
}

fn effort_words(name: &str, direction: &str, summary: &[SummaryRow]) -> Option<String> {
    let row = summary.iter().find(|row| row.quantity == "Effort")?;
    let actual = row.actual.as_ref()?;
    let ideal = row.ideal.as_ref().map(|ideal| format!(" (ideal {})", ideal.text)).unwrap_or_default();
    Some(format!("{name}, {direction}: {}{ideal}", actual.text))
}

fn counted(count: usize, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}
