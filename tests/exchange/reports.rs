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
