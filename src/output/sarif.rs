//! What was found in several sheets as SARIF 2.1.0 (OASIS): a rule for each finding and for each verdict that is not accepted.
//! Paths are counted from the project root, and a fingerprint knows a result again when it has moved to another line.

use crate::diagnostics::catalogue;
use crate::output::beside::address;
use crate::output::departure::moved_words;
use crate::output::json::{Findings, pretty};
use crate::output::terminal::fault_words;
use crate::sheet::parts::{CheckRow, Notice, Place};
use crate::sheet::{ASSUMPTION_OPEN, NOT_EVALUATED, STALE, UNSIGNED, digest};
use serde_json::{Value, json};
use std::collections::BTreeMap;

const SCHEMA: &str = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

// The rules of verdicts: the class of the verdict, how grave it is, and what the rule asks.
const VERDICTS: [(&str, &str, &str); 4] = [
    ("fail", "error", "The demand of a check is no greater than its capacity"),
    ("fail-within", "error", "The demand of a check is no greater than its capacity: it is greater, by less than the uncertainty"),
    ("pass-within", "error", "A check holds by as much as the decision rule of its sheet asks: it holds, by less than that"),
    ("not-evaluated", "warning", "Every check is evaluated"),
];

// The rules of accepted results, in the same form.
const RESULTS: [(&str, &str, &str); 3] = [
    ("result-moved", "error", "A result is where it was when the results of its sheet were accepted"),
    ("result-new", "note", "Every result of a sheet is among its accepted results"),
    ("result-gone", "warning", "Every accepted result of a sheet is still there"),
];

// The rules of what a project file refuses, in the same form.
const DEMANDS: [(&str, &str, &str); 3] = [
    (ASSUMPTION_OPEN, "error", "No assumption is open where the project file refuses it"),
    (UNSIGNED, "error", "Every sheet has the sign-off that the project file demands"),
    (STALE, "error", "The sign-off that the project file demands holds for the sheet as it is"),
];

/// The name of the rule that a verdict of `class` stands under; none for a verdict that needs no telling.
fn rule_of(check: &CheckRow) -> Option<(String, &'static str)> {
    let told = check.accepted != Some(true);
    let (class, level, _) = VERDICTS.iter().find(|(class, _, _)| told && *class == check.verdict_class)?;
    Some((format!("verdict-{class}"), level))
}

/// The log, ending with a line feed.
pub fn sarif(documents: &[Findings<'_>]) -> String {
    let mut results = Results::default();
    for document in documents {
        for notice in document.notices {
            results.notice(notice);
        }
        for check in document.sheet.map_or(&[][..], |sheet| &sheet.checks) {
            results.check(document.path, check, document.demands.refuses_not_evaluated);
        }
        results.refused(document);
        results.departure(document);
    }
    let faults: Vec<Value> = documents.iter().filter(|document| !document.fault.is_empty()).map(fault).collect();
    let driver = json!({
        "name": env!("CARGO_PKG_NAME"),
        "version": env!("CARGO_PKG_VERSION"),
        "semanticVersion": env!("CARGO_PKG_VERSION"),
        "rules": results.rules.keys().map(|id| rule(id)).collect::<Vec<Value>>(),
    });
    let places: BTreeMap<&str, usize> = results.rules.keys().enumerate().map(|(at, id)| (id.as_str(), at)).collect();
    for result in &mut results.list {
        let at = result.get("ruleId").and_then(Value::as_str).and_then(|id| places.get(id)).copied();
        if let (Some(at), Some(result)) = (at, result.as_object_mut()) {
            result.insert("ruleIndex".to_string(), json!(at));
        }
    }
    pretty(&json!({
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [{
            "tool": { "driver": driver },
            "invocations": [{ "executionSuccessful": faults.is_empty(), "toolExecutionNotifications": faults }],
            "columnKind": "unicodeCodePoints",
            "originalUriBaseIds": { "PROJECT": { "description": { "text": "the folder that the paths of sheets are counted from" } } },
            "results": results.list,
        }],
    }))
}

#[derive(Default)]
struct Results {
    // Every rule that something was found under.
    rules: BTreeMap<String, ()>,
    list: Vec<Value>,
    // How often the same was found before: a second one is told apart by its number.
    met: BTreeMap<String, usize>,
}

impl Results {
    fn notice(&mut self, notice: &Notice) {
        let words = [notice.place.label.as_str(), notice.why.as_str(), notice.help.as_str()];
        let mut text = notice.headline.clone();
        for (joint, words) in [". ", ". ", ". "].into_iter().zip(words).filter(|(_, words)| !words.is_empty()) {
            text += joint;
            text += words;
        }
        let line: String = notice.place.excerpt.split_whitespace().collect::<Vec<_>>().join(" ");
        let mark = self.fingerprint(&[&notice.slug, &notice.place.path, &line, &notice.headline]);
        let mut result = json!({
            "ruleId": notice.slug,
            "level": notice.severity,
            "message": { "text": text },
            "partialFingerprints": { "sameLineAndWords/v1": mark },
        });
        if let Some(result) = result.as_object_mut() {
            if !notice.place.path.is_empty() {
                result.insert("locations".to_string(), json!([location(&notice.place)]));
            }
            let others: Vec<Value> = notice.others.iter().filter(|place| !place.path.is_empty()).map(location).collect();
            if !others.is_empty() {
                result.insert("relatedLocations".to_string(), others.into());
            }
        }
        self.rules.insert(notice.slug.clone(), ());
        self.list.push(result);
    }

    fn check(&mut self, path: &str, check: &CheckRow, refused: bool) {
        let Some((rule, level)) = rule_of(check) else { return };
        let level = if refused { "error" } else { level };
        let mark = self.fingerprint(&["check", path, &check.title]);
        self.list.push(json!({
            "ruleId": rule,
            "level": level,
            "message": { "text": verdict_words(check) },
            "partialFingerprints": { "sameCheck/v1": mark },
            "locations": [{ "physicalLocation": {
                "artifactLocation": { "uri": address(path), "uriBaseId": "PROJECT" },
                "region": { "startLine": check.line.max(1) },
            } }],
        }));
        self.rules.insert(rule, ());
    }

    // What the project file refuses beside checks, whose verdicts stand under their own rules.
    fn refused(&mut self, document: &Findings<'_>) {
        for one in document.refused().into_iter().filter(|one| one.rule != NOT_EVALUATED) {
            let mark = self.fingerprint(&[one.rule, document.path, &one.name]);
            self.list.push(json!({
                "ruleId": one.rule,
                "level": "error",
                "message": { "text": one.text },
                "partialFingerprints": { "sameDemand/v1": mark },
                "locations": [{ "physicalLocation": { "artifactLocation": { "uri": address(document.path), "uriBaseId": "PROJECT" } } }],
            }));
            self.rules.insert(one.rule.to_string(), ());
        }
    }

    // Results that moved from the accepted ones, came or went.
    fn departure(&mut self, document: &Findings<'_>) {
        let Some(departure) = document.departure else { return };
        let moved = departure.moved.iter().map(|moved| ("result-moved", moved.name.as_str(), moved_words(moved)));
        let new = departure.new.iter().map(|name| ("result-new", name.as_str(), format!("{name}: not among the accepted results")));
        let gone = departure.gone.iter().map(|name| ("result-gone", name.as_str(), format!("{name}: accepted, and not there any more")));
        for (rule, name, text) in moved.chain(new).chain(gone) {
            let mark = self.fingerprint(&[rule, document.path, name]);
            let level = RESULTS.iter().find(|(id, _, _)| *id == rule).map_or("note", |(_, level, _)| level);
            self.list.push(json!({
                "ruleId": rule,
                "level": level,
                "message": { "text": text },
                "partialFingerprints": { "sameResult/v1": mark },
                "locations": [{ "physicalLocation": { "artifactLocation": { "uri": address(document.path), "uriBaseId": "PROJECT" } } }],
            }));
            self.rules.insert(rule.to_string(), ());
        }
    }

    fn fingerprint(&mut self, parts: &[&str]) -> String {
        let mark = digest(&parts.join("\n"));
        let times = self.met.entry(mark.clone()).or_default();
        *times += 1;
        if *times == 1 { mark } else { format!("{mark}:{times}") }
    }
}

/// A verdict in one sentence: title, demand, capacity, verdict and what is to be said of it.
pub(super) fn verdict_words(check: &CheckRow) -> String {
    let mut words = format!("{}: {}", check.title, check.verdict);
    if let Some((demand, capacity)) = check.demand.as_ref().zip(check.capacity.as_ref()) {
        words += &format!(", demand {}, capacity {}", demand.text, capacity.text);
    }
    if !check.chance.is_empty() {
        words += &format!(", chance of a wrong verdict {}", check.chance);
    }
    if !check.remark.is_empty() {
        words += &format!("; {}", check.remark);
    }
    words
}

fn rule(id: &str) -> Value {
    let verdict = id.strip_prefix("verdict-").and_then(|class| VERDICTS.iter().find(|(known, _, _)| *known == class));
    if let Some((_, level, words)) = verdict.or_else(|| RESULTS.iter().chain(&DEMANDS).find(|(known, _, _)| *known == id)) {
        return json!({ "id": id, "shortDescription": { "text": words }, "defaultConfiguration": { "level": level } });
    }
    let page = catalogue::pages().find(|page| page.slug == id).map_or("", |page| page.text);
    let lines: Vec<&str> = page.lines().map(str::trim).collect();
    let paragraphs: Vec<String> =
        lines.split(|line| line.is_empty()).map(|lines| lines.join(" ")).filter(|text| !text.is_empty()).collect();
    let first = paragraphs.first().cloned().unwrap_or_else(|| id.to_string());
    json!({ "id": id, "shortDescription": { "text": first }, "help": { "text": paragraphs.join("\n\n") } })
}

fn location(place: &Place) -> Value {
    let mut region = json!({ "startLine": place.line, "startColumn": place.column, "endColumn": place.column + place.width });
    if let Some(region) = region.as_object_mut().filter(|_| !place.excerpt.is_empty()) {
        region.insert("snippet".to_string(), json!({ "text": place.excerpt }));
    }
    let physical = json!({ "artifactLocation": { "uri": address(&place.path), "uriBaseId": "PROJECT" }, "region": region });
    if place.label.is_empty() {
        return json!({ "physicalLocation": physical });
    }
    json!({ "physicalLocation": physical, "message": { "text": place.label } })
}

fn fault(document: &Findings<'_>) -> Value {
    json!({
        "level": "error",
        "message": { "text": fault_words(document.fault) },
        "locations": [{ "physicalLocation": { "artifactLocation": { "uri": address(document.path), "uriBaseId": "PROJECT" } } }],
    })
}

#[cfg(test)]
mod tests {
    use super::sarif;
    use crate::house::Demands;
    use crate::output::fixture::fullest;
    use crate::output::json::Findings;
    use serde_json::Value;

    fn results(text: &str) -> Vec<Value> {
        let log: Value = serde_json::from_str(text).expect("JSON");
        log["runs"][0]["results"].as_array().cloned().unwrap_or_default()
    }

    #[test]
    fn a_result_that_moved_is_the_same_and_two_alike_are_two() {
        let sheet = fullest();
        let log = |moved: usize| {
            let mut notices = sheet.notices.clone();
            notices.extend(sheet.notices.clone());
            for notice in &mut notices {
                notice.place.line += moved;
                notice.place.excerpt = format!("{}{}  ", " ".repeat(moved), notice.place.excerpt);
            }
            sarif(&[Findings {
                path: "yard/a b.md",
                sheet: Some(&sheet),
                notices: &notices,
                fault: "",
                departure: None,
                demands: Demands::default(),
            }])
        };
        let marks = |text: &str| -> Vec<String> { results(text).iter().map(|result| result["partialFingerprints"].to_string()).collect() };
        let (here, there) = (marks(&log(0)), marks(&log(7)));
        assert_eq!(here, there);
        let mut distinct = here.clone();
        distinct.sort();
        distinct.dedup();
        assert!(distinct.len() == here.len() && here.len() > 2, "{here:?}");
        assert!(log(0).contains("yard/a%20b.md"));
    }

    #[test]
    fn a_fault_of_the_program_is_no_result() {
        let log: Value = serde_json::from_str(&sarif(&[Findings {
            path: "a.md",
            sheet: None,
            notices: &[],
            fault: "ouch",
            departure: None,
            demands: Demands::default(),
        }]))
        .expect("JSON");
        assert_eq!(log["runs"][0]["invocations"][0]["executionSuccessful"], false);
        assert_eq!(log["runs"][0]["results"], Value::Array(Vec::new()));
    }
}
