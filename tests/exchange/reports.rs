//! `check --format sarif` and `junit`. SARIF is held to the schema of its standard here; the XML is held to its schema by
//! `tests/schemas/validate_junit.py`, for which there is a validator in Python.

use crate::exchange::{broken, sarif};
use crate::support::program::{folder, put, run};
use parbuckle::diagnostics::catalogue;
use serde_json::Value;
use std::path::Path;

const STARTER: &str = include_str!("../../src/faces/starter.md");

// Sheets with every sort of finding and verdict, and names that need escaping.
fn yard(folder: &Path) {
    put(folder, "yard/good.md", STARTER);
    put(folder, "yard/weak crew.md", STARTER.replacen("= 220 N", "= 150 N", 1));
    put(folder, "yard/Böcke & Co/broken.md", STARTER.replacen("weight(crate)", "weight(crat)", 1));
    let checks = "```rig\nsheet CK-1 \"Checks\"\n    rule guard band\ntake pull = 98 N ± 3 N from \"balance\"\ntake over = 101 N ± 3 N from \"balance\"\ngear hook \"hook <\\\"&'>\"\n    \
        breaking 5 kN from \"tag\"\ncheck \"near <&> it\": pull <= 100 N\ncheck \"over it\": over <= 100 N\ncheck \"hook\": pull <= hook.rated\n\
        check \"hook\": over <= hook.rated\n```\n";
    put(folder, "yard/checks.md", format!("# Checks\n\n{checks}"));
    put(folder, "yard/latin.md", b"# Stra\xdfe\n\n```rig\ntake a = 1 m from \"tape\"\n```\n");
}

fn log(folder: &Path, path: &str) -> (i32, Value) {
    let ran = run(folder, &["check", path, "--format", "sarif"]).without_fault();
    (ran.status, serde_json::from_str(&ran.out).unwrap_or_else(|error| panic!("{error}: {}", ran.out)))
}

fn results(log: &Value) -> &[Value] {
    log["runs"][0]["results"].as_array().map_or(&[], Vec::as_slice)
}

#[test]
fn sarif_keeps_to_the_schema_of_its_standard() {
    let here = folder();
    yard(here.path());
    let sarif = sarif();
    for path in ["yard", "yard/good.md", "yard/checks.md"] {
        let (status, log) = log(here.path(), path);
        assert_eq!(broken(&sarif, &log), Vec::<String>::new(), "{path}");
        assert_eq!(status, run(here.path(), &["check", path]).status, "{path}");
    }
    let (_, mut log) = log(here.path(), "yard");
    log["runs"][0]["results"][0]["level"] = "grave".into();
    assert!(!broken(&sarif, &log).is_empty(), "the schema refuses what it should");
}

#[test]
fn every_result_has_a_rule_of_a_stable_name_and_a_relative_place() {
    let here = folder();
    yard(here.path());
    let (_, log) = log(here.path(), "yard");
    let rules = log["runs"][0]["tool"]["driver"]["rules"].as_array().expect("rules").clone();
    for result in results(&log) {
        let id = result["ruleId"].as_str().expect("a rule");
        assert_eq!(rules[result["ruleIndex"].as_u64().expect("its place") as usize]["id"], id);
        assert!(id.starts_with("verdict-") || catalogue::pages().any(|page| page.slug == id), "{id}");
        let uri = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"].as_str().expect("a place");
        assert!(uri.starts_with("yard/") && !uri.contains(' '), "{uri}");
    }
    let count = |id: &str| results(&log).iter().filter(|result| result["ruleId"] == id).count();
    let verdicts = ["fail", "fail-within", "pass-within", "not-evaluated"].map(|class| count(&format!("verdict-{class}")));
    assert!(verdicts[0] >= 1 && verdicts[1..] == [1, 1, 5], "{verdicts:?}");
    assert!(count("unknown-name") == 1, "{rules:?}");
    // The place of a check is the line that its author wrote it in.
    let near = results(&log).iter().find(|result| result["ruleId"] == "verdict-pass-within").expect("the near one");
    assert_eq!(near["locations"][0]["physicalLocation"]["region"]["startLine"], 10);
    assert!(!log.to_string().contains(&*here.path().to_string_lossy()), "no path of the machine");
}

/// What makes the exit status 4, 5 and 6 stands in every form of report, under names that stay.
#[test]
fn what_the_project_file_refuses_is_told_in_every_form() {
    let here = folder();
    let here = here.path();
    let sheet = "# Drag\n\n```rig\nsheet DR-1 \"Drag\"\n    revision A\n    originator \"A. Reyes\"\ntake pull = 2 kN from \"balance\"\n\
                 assume loss = 0.1 because \"usual\"\n    confirm by \"the first pull\"\ngear hook \"hook\"\n    breaking 30 kN from \"tag\"\n\
                 gear line \"line\"\n    rated 5 kN from \"tag\"\nhauled = pull / (1 - loss)\ncheck \"line\": hauled <= line.rated\n\
                 check \"hook\": hauled <= hook.rated\n```\n";
    put(here, "drag.md", sheet);
    put(here, "parbuckle.toml", "[demands]\nnot_evaluated = \"refuse\"\nopen_assumptions = \"refuse\"\nsign_off = \"checked\"\n");
    let schema = sarif();
    let told = || {
        let (status, log) = log(here, "drag.md");
        assert_eq!(broken(&schema, &log), Vec::<String>::new());
        let of = |result: &Value| {
            (result["ruleId"].as_str().unwrap_or_default().to_string(), result["level"].as_str().unwrap_or_default().to_string())
        };
        let rules: Vec<String> =
            results(&log).iter().map(of).filter(|(id, level)| level == "error" || !id.starts_with("capacity")).map(|(id, _)| id).collect();
        let json = run(here, &["check", "drag.md", "--format", "json"]).without_fault();
        let json: Value = serde_json::from_str(&json.out).expect("JSON");
        let refused = json["sheets"][0]["refused"].as_array().map_or(Vec::new(), |list| {
            list.iter().map(|one| one["rule"].as_str().unwrap_or_default().to_string()).collect::<Vec<String>>()
        });
        let junit = run(here, &["check", "drag.md", "--format", "junit"]).without_fault();
        assert_eq!(junit.status, status);
        (status, rules, refused, junit.out)
    };
    let (status, rules, refused, junit) = told();
    assert_eq!(status, 4);
    assert_eq!(rules, ["verdict-not-evaluated", "assumption-open", "sign-off-missing"]);
    assert_eq!(refused, rules);
    for rule in &rules {
        assert_eq!(junit.matches(&format!("type=\"{rule}\"")).count(), 1, "{junit}");
    }
    assert!(junit.contains("the assumption loss is confirmed") && junit.contains("tests=\"5\" failures=\"3\""), "{junit}");
    // With those mended the missing signature is left, then a stale one.
    let mended = sheet
        .replace("    confirm by \"the first pull\"", "    confirmed \"by balance, A. Reyes\"")
        .replace("breaking 30 kN", "rated 6 kN");
    put(here, "drag.md", &mended);
    let (status, rules, refused, junit) = told();
    assert_eq!((status, rules, refused), (5, vec!["sign-off-missing".to_string()], vec!["sign-off-missing".to_string()]));
    assert!(junit.contains("tests=\"5\" failures=\"1\""), "{junit}");
    let sign = |role: &str, name: &str| {
        let ran = run(here, &["sign", "drag.md", "--role", role, "--name", name, "--meaning", "done", "--date", "2026-03-14"]);
        assert_eq!(ran.status, 0, "{}", ran.err);
    };
    sign("originator", "A. Reyes");
    sign("checker", "B. Novak");
    let (status, rules, refused, junit) = told();
    assert_eq!((status, rules.len(), refused.len()), (0, 0, 0), "{junit}");
    assert!(junit.contains("name=\"the sign-off is as the project file demands\"") && junit.contains("failures=\"0\""), "{junit}");
    assert_eq!(run(here, &["accept", "drag.md"]).status, 0);
    put(here, "drag.md", mended.replace("pull = 2 kN", "pull = 2.1 kN"));
    let (status, rules, refused, junit) = told();
    // The least status that applies is given; everything that applies is told.
    assert_eq!(status, 5);
    assert_eq!((rules[0].as_str(), rules.last().map(String::as_str)), ("sign-off-stale", Some("result-moved")), "{rules:?}");
    assert_eq!(refused, ["sign-off-stale"]);
    assert!(
        junit.contains("type=\"sign-off-stale\"") && junit.contains("type=\"result-moved\"") && junit.contains("1 input changed"),
        "{junit}"
    );
    let log = log(here, "drag.md").1;
    let rule = log["runs"][0]["tool"]["driver"]["rules"].as_array().expect("rules").iter().find(|rule| rule["id"] == "sign-off-stale");
    assert!(rule.is_some_and(|rule| rule["shortDescription"]["text"].as_str().is_some_and(|text| text.contains("sign-off"))), "{log}");
}

#[test]
fn fingerprints_survive_moves_of_lines() {
    let here = folder();
    yard(here.path());
    let marks = |log: &Value| -> Vec<String> { results(log).iter().map(|result| result["partialFingerprints"].to_string()).collect() };
    let before = marks(&log(here.path(), "yard/checks.md").1);
    let text = std::fs::read_to_string(here.path().join("yard/checks.md")).expect("there");
    put(here.path(), "yard/checks.md", text.replace("# Checks\n", "# Checks\n\nMore words.\n\nAnd more.\n"));
    let after = log(here.path(), "yard/checks.md").1;
    assert_eq!(before, marks(&after));
    assert_eq!(results(&after).last().expect("one")["locations"][0]["physicalLocation"]["region"]["startLine"], 17);
    let mut distinct = before.clone();
    distinct.sort();
    distinct.dedup();
    assert_eq!(distinct.len(), before.len(), "two alike are told apart");
}

#[test]
fn a_report_for_build_servers_has_a_case_for_each_check() {
    let here = folder();
    yard(here.path());
    let ran = run(here.path(), &["check", "yard", "--format", "junit"]).without_fault();
    assert_eq!(ran.status, 1, "{}", ran.err);
    assert!(ran.out.starts_with("<?xml version=\"1.0\" encoding=\"UTF-8\"?>"), "{}", ran.out);
    for told in [
        "<testsuite name=\"yard/checks.md\" tests=\"5\" failures=\"2\" errors=\"0\" skipped=\"2\"",
        "name=\"hook (2)\"",
        "near &lt;&amp;&gt; it",
        "type=\"unknown-name\"",
        "type=\"verdict-fail-within\"",
        "type=\"file-not-text\"",
    ] {
        assert!(ran.out.contains(told), "{told} is missing in {}", ran.out);
    }
    assert_eq!(ran.out, run(here.path(), &["check", "yard", "--format", "junit"]).out);
}
