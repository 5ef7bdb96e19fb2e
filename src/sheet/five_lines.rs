//! The answer of a sheet in five lines, put together from its finished parts.

use crate::sheet::inputs;
use crate::sheet::parts::{AnswerLine, AnswerPart, CheckRow, InputRow, Sheet, StudyReport, SummaryRow};
use crate::words::{counted, say, word};

/// Assumptions that are named; beyond them a reader is better served by the register.
const NAMED: usize = 3;

/// Five lines: the question, what governs, what that allows, what it rests on, what is still open. None where the sheet neither
/// asks nor answers anything.
pub(super) fn answer(sheet: &Sheet) -> Vec<AnswerLine> {
    let asked = &sheet.title_block.question;
    if asked.is_empty() && sheet.checks.is_empty() && sheet.trains.is_empty() && sheet.machines.is_empty() {
        return Vec::new();
    }
    let question = if asked.is_empty() { &sheet.title_block.title } else { asked };
    vec![
        line(say!("Question"), vec![part(question, "")]),
        line(say!("Governing check"), governing(&sheet.checks)),
        line(say!("What it allows"), allowed(sheet)),
        line(say!("Rests on"), rests_on(sheet)),
        line(say!("Still open"), open(sheet)),
    ]
}

fn part(text: &str, anchor: &str) -> AnswerPart {
    AnswerPart { text: text.into(), anchor: anchor.into() }
}

fn line(label: &str, parts: Vec<AnswerPart>) -> AnswerLine {
    let anchor = parts.iter().map(|part| &part.anchor).find(|anchor| !anchor.is_empty()).cloned().unwrap_or_default();
    AnswerLine { label: label.into(), text: parts.iter().map(|part| part.text.as_str()).collect(), anchor, parts }
}

fn governing(checks: &[CheckRow]) -> Vec<AnswerPart> {
    let Some(check) = checks.iter().find(|check| check.governing) else {
        return vec![part(say!("none: nothing is held against a limit"), "")];
    };
    let doubted = if check.chance.is_empty() { String::new() } else { say!("; chance of a wrong verdict {chance}", chance = check.chance) };
    let mut parts = vec![part(&(decided(check) + &doubted), &check.anchor)];
    if let Some(next) = runner_up(checks) {
        parts.push(part(say!(". Next after it: "), ""));
        parts.push(part(&decided(next), &next.anchor));
    }
    parts
}

fn decided(check: &CheckRow) -> String {
    let uses = check.utilisation.as_ref().map(|ratio| say!(", uses {ratio} of its capacity", ratio = ratio.text)).unwrap_or_default();
    format!("{} {}: {}{uses}", check.number, check.title, check.verdict)
}

// The check that would govern if the one that does were not there.
fn runner_up(checks: &[CheckRow]) -> Option<&CheckRow> {
    const GRAVER: [&str; 4] = ["pass", "pass-within", "fail-within", "fail"];
    checks.iter().find(|check| check.governing)?;
    let grave = |check: &CheckRow| GRAVER.iter().position(|class| *class == check.verdict_class);
    let others = checks.iter().filter(|check| !check.governing);
    let ranked = others.filter_map(|check| Some((grave(check)?, check.utilisation.as_ref()?.si, check)));
    ranked.reduce(|most, each| if (each.0, each.1) > (most.0, most.1) { each } else { most }).map(|(_, _, check)| check)
}

// How the figures stand to the limits first, then the figures.
fn allowed(sheet: &Sheet) -> Vec<AnswerPart> {
    let alone = sheet.machines.iter().filter(|_| sheet.trains.is_empty());
    let alone = alone.map(|machine| (&machine.name, &machine.direction, &machine.summary, &machine.anchor));
    let joined = sheet.trains.iter().map(|train| (&train.name, &train.direction, &train.summary, &train.anchor));
    let efforts = alone.chain(joined);
    let mut parts: Vec<AnswerPart> =
        efforts.filter_map(|(name, direction, summary, anchor)| Some(part(&effort_words(name, direction, summary)?, anchor))).collect();
    parts.extend(sheet.studies.iter().filter(|study| !study.answer.is_empty()).map(|study| part(&sized(study), &study.anchor)));
    let checked = sheet.checks.iter().filter(|check| check.accepted.is_some()).count();
    let refused = sheet.checks.iter().filter(|check| check.accepted == Some(false)).count();
    let lead = match (checked, refused) {
        (0, _) if parts.is_empty() => say!("nothing is said of what is allowed"),
        (0, _) => say!("worked, and held against no limit"),
        (_, 0) if checked < sheet.checks.len() => say!("within the stated limits, as far as they are known"),
        (_, 0) => say!("within the stated limits"),
        _ => say!("not as it stands: a stated limit is not kept as the decision rule asks"),
    };
    let mut whole = vec![part(lead, "")];
    for figure in parts {
        whole.push(part("; ", ""));
        whole.push(figure);
    }
    // What the author concludes stands under a heading of that name; what the figures say is said here either way.
    let concludes = |text: &str| text.eq_ignore_ascii_case("conclusion") || text == say!("Conclusion");
    if let Some(heading) = sheet.outline.iter().find(|heading| concludes(heading.text.trim())) {
        whole.push(part(". ", ""));
        whole.push(part(say!("The author's conclusion"), &heading.anchor));
    }
    whole
}

fn effort_words(name: &str, direction: &str, summary: &[SummaryRow]) -> Option<String> {
    let row = summary.iter().find(|row| row.quantity == say!("Effort"))?;
    let actual = row.actual.as_ref()?;
    let ideal = row.ideal.as_ref().map(|ideal| say!(", without friction {figure}", figure = ideal.text)).unwrap_or_default();
    Some(say!("effort of {name}, {direction}: {figure}", name = name, direction = direction, figure = actual.text) + &ideal)
}

fn sized(study: &StudyReport) -> String {
    let found = study.value.as_ref().map_or(say!("none serves"), |value| &value.text);
    let mut caption = study.caption.chars();
    let first = caption.next().map(|letter| letter.to_lowercase().to_string()).unwrap_or_default();
    format!("{first}{}: {found}", caption.as_str())
}

fn rests_on(sheet: &Sheet) -> Vec<AnswerPart> {
    let inputs = match sheet.inputs.len() {
        0 => say!("no input").to_string(),
        1 => say!("1 input").to_string(),
        count => say!("{count} inputs", count = count),
    };
    let assumptions = match sheet.assumptions.len() {
        0 => say!("no assumption").to_string(),
        1 => say!("1 assumption").to_string(),
        count => say!("{count} assumptions", count = count),
    };
    let mut parts = vec![part(&say!("{one} and {other}", one = inputs, other = assumptions), "")];
    // What the author assumed says more than what holds by convention.
    let conventional = |row: &&InputRow| row.state == word(inputs::BY_CONVENTION);
    let (last, first): (Vec<&InputRow>, Vec<&InputRow>) = sheet.assumptions.iter().partition(conventional);
    named(&[first, last].concat(), &mut parts);
    parts
}

// The first of `rows` by what they are, in brackets.
fn named(rows: &[&InputRow], parts: &mut Vec<AnswerPart>) {
    let mut said: Vec<(&str, &str)> = Vec::new();
    for row in rows {
        let label = if row.label.is_empty() { &row.name } else { &row.label };
        if said.len() < NAMED && !said.iter().any(|(told, _)| told == label) {
            said.push((label, &row.anchor));
        }
    }
    for (place, (label, anchor)) in said.iter().enumerate() {
        parts.push(part(if place == 0 { " (" } else { "; " }, ""));
        parts.push(part(label, anchor));
    }
    match rows.len() - said.len() {
        _ if rows.is_empty() => {}
        0 => parts.push(part(")", "")),
        more => parts.push(part(&say!("; and {count} more)", count = more), "")),
    }
}

fn open(sheet: &Sheet) -> Vec<AnswerPart> {
    let wanted = |wanted: &dyn Fn(&CheckRow) -> bool| sheet.checks.iter().filter(|check| wanted(check)).collect::<Vec<_>>();
    let failed = wanted(&|check| ["fail", "fail-within"].contains(&check.verdict_class.as_str()));
    let short = wanted(&|check| check.verdict_class == "pass-within" && check.accepted == Some(false));
    let unevaluated = wanted(&|check| check.verdict_class == "not-evaluated");
    let mut items: Vec<Vec<AnswerPart>> = Vec::new();
    if !sheet.complete {
        items.push(vec![part(say!("the sheet is incomplete: some statements could not be worked"), "")]);
    }
    let groups = [
        (failed, say!("1 check failed"), say!("{count} checks failed")),
        (
            short,
            say!("1 check within uncertainty and not accepted by the decision rule"),
            say!("{count} checks within uncertainty and not accepted by the decision rule"),
        ),
        (unevaluated, say!("1 check not evaluated"), say!("{count} checks not evaluated")),
    ];
    for (checks, one, several) in groups.into_iter().filter(|(checks, ..)| !checks.is_empty()) {
        let mut item = vec![part(&counted(checks.len(), one, several), "")];
        for (place, check) in checks.iter().enumerate() {
            item.push(part(if place == 0 { " (" } else { ", " }, ""));
            item.push(part(&check.number, &check.anchor));
        }
        item.push(part(")", ""));
        items.push(item);
    }
    let to_confirm: Vec<&InputRow> = sheet.assumptions.iter().filter(|row| row.state == word(inputs::OPEN)).collect();
    if !to_confirm.is_empty() {
        let said = counted(to_confirm.len(), say!("1 assumption to confirm"), say!("{count} assumptions to confirm"));
        let mut item = vec![part(&said, "")];
        named(&to_confirm, &mut item);
        items.push(item);
    }
    if items.is_empty() {
        return vec![part(say!("nothing that the sheet knows of"), "")];
    }
    let mut parts = Vec::new();
    for item in items {
        parts.extend((!parts.is_empty()).then(|| part("; ", "")));
        parts.extend(item);
    }
    parts
}
