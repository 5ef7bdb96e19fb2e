//! The answer of a sheet in five lines, put together from its finished parts.

use crate::house::{say, word};
use crate::sheet::inputs;
use crate::sheet::parts::{AnswerLine, CheckRow, Sheet};

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
    if let Some((check, utilisation)) = runner_up(&sheet.checks) {
        let uses = say!(", uses {ratio} of its capacity", ratio = utilisation);
        line(say!("Next after it"), format!("{} {}: {}{uses}", check.number, check.title, check.verdict), &check.anchor);
    }
    let efforts: Vec<String> = if sheet.trains.is_empty() {
        sheet.machines.iter().filter_map(|machine| effort_words(&machine.name, &machine.direction, &machine.summary)).collect()
    } else {
        sheet.trains.iter().filter_map(|train| effort_words(&train.name, &train.direction, &train.summary)).collect()
    };
    if !efforts.is_empty() {
        line(say!("Effort"), efforts.join("; "), sheet.trains.first().map_or("", |train| train.anchor.as_str()));
    }
    let sized = sheet.studies.iter().filter(|study| !study.answer.is_empty());
    let sizes = sized.clone().map(|study| {
        study.caption.clone() + ": " + &study.value.as_ref().map_or(say!("none serves").to_string(), |value| value.text.clone())
    });
    let sizes: Vec<String> = sizes.collect();
    if let Some(first) = sized.clone().next() {
        line(say!("Sizing"), sizes.join("; "), &first.anchor);
    }
    // What the author concludes stands under a heading of that name; what the figures say is said here either way.
    let concludes = |text: &str| text.eq_ignore_ascii_case("conclusion") || text == say!("Conclusion");
    if let Some(heading) = sheet.outline.iter().find(|heading| concludes(heading.text.trim())) {
        line(say!("Conclusion"), say!("the author's, in the document").into(), &heading.anchor);
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
