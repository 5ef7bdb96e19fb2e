//! `accept` and what `check` makes of it: accepted results beside a sheet, and the status 6 when they moved.

use crate::exchange::{broken, sarif};
use crate::support::program::{folder, put, read, run};
use serde_json::Value;

const SHEET: &str = "# Drag\n\n```rig\ntake pull \"pull\" = 900 N ± 20 N from \"balance\"\ntake way = 4 m from \"tape\"\n\
    half = pull / 2\nwork = pull * way as J\nshares[i] = pull / i for i from 1 to 3\nshare = half / pull\ncheck \"enough\": half <= 800 N\n```\n";

#[test]
fn accepted_results_stand_one_a_line_at_full_precision() {
    let here = folder();
    put(here.path(), "yard/drag.md", SHEET);
    let accepted = run(here.path(), &["accept", "yard"]).without_fault();
    assert_eq!((accepted.status, accepted.out.as_str()), (0, ""), "{}", accepted.err);
    assert!(accepted.err.contains("1 sheet; 6 results accepted; 1 file written"), "{}", accepted.err);
    let text = read(here.path().join("yard/drag.accepted"));
    // Limits of ±20 N are a standard uncertainty of 20/√3 N (JCGM 100:2008, 4.3.7).
    let half = format!("half\t450.0\t{:?}\tN", 10.0 / 3f64.sqrt());
    let lines: Vec<&str> = text.lines().skip(1).collect();
    assert_eq!(lines[0], "name\tvalue\tstandard uncertainty\tunit");
    assert!(lines.contains(&half.as_str()) && lines.contains(&"share\t0.5\t0.0\t"), "{text}");
    assert!(
        lines.iter().any(|line| line.starts_with("shares[3]\t300.0\t")) && lines.iter().any(|line| line.starts_with("work\t3600.0\t")),
        "{text}"
    );
    assert!(!lines.iter().any(|line| line.starts_with("pull\t")), "an input is no result: {text}");

    let checked = run(here.path(), &["check", "yard"]).without_fault();
    let told = ["  moved  ", "  new  ", "  gone  "].iter().any(|word| checked.out.contains(word));
    assert_eq!((checked.status, told), (0, false), "{} {}", checked.out, checked.err);
    let again = run(here.path(), &["accept", "yard"]);
    assert!(again.err.contains("0 files written"), "{}", again.err);
}

#[test]
fn results_that_moved_are_named_and_give_six() {
    let here = folder();
    put(here.path(), "drag.md", SHEET);
    assert_eq!(run(here.path(), &["accept", "drag.md"]).status, 0);
    // A part in ten thousand of the pull is within the tolerance, a part in a hundred is not.
    put(here.path(), "drag.md", SHEET.replace("900 N ±", "900.09 N ±"));
    assert_eq!(run(here.path(), &["check", "drag.md"]).status, 0);
    put(here.path(), "drag.md", SHEET.replace("900 N ±", "909 N ±").replace("share =", "fraction ="));
    let moved = run(here.path(), &["check", "drag.md"]).without_fault();
    assert_eq!(moved.status, 6, "{}{}", moved.out, moved.err);
    for told in ["moved  half: 454.5 N", "was 450.0 N", "(moved by 1.0 %)", "moved  shares[2]", "new    fraction", "gone   share\n"] {
        assert!(moved.out.contains(told), "{told} is missing in {}", moved.out);
    }
    assert!(moved.err.contains("5 results moved"), "{}", moved.err);
    // The project file may allow more.
    put(here.path(), "parbuckle.toml", "[results]\ntolerance = \"2 %\"\n");
    assert_eq!(run(here.path(), &["check", "drag.md"]).status, 0);
    put(here.path(), "parbuckle.toml", "[results]\ntolerance = \"0 %\"\n");
    assert_eq!(run(here.path(), &["check", "drag.md"]).status, 6);
    // A failed check comes first: its status is the smaller.
    put(here.path(), "drag.md", SHEET.replace("900 N ±", "1909 N ±"));
    assert_eq!(run(here.path(), &["check", "drag.md"]).status, 3);
    // Accepting says what it accepts.
    put(here.path(), "drag.md", SHEET.replace("900 N ±", "909 N ±"));
    let accepted = run(here.path(), &["accept", "drag.md"]);
    assert!(
        accepted.status == 0 && accepted.out.contains("moved  work: 3636 J (u = 46 J), was 3600 J (u = 46 J) (moved by 1.0 %)"),
        "{}",
        accepted.out
    );
    assert_eq!(run(here.path(), &["check", "drag.md"]).status, 0);
}

#[test]
fn another_unit_of_print_is_no_move() {
    let here = folder();
    put(here.path(), "drag.md", SHEET);
    assert_eq!(run(here.path(), &["accept", "drag.md"]).status, 0);
    put(here.path(), "drag.md", SHEET.replace("```rig\n", "```rig\nsheet D \"Drag\"\n    prefer kN\n").replace("as J", "as kJ"));
    let checked = run(here.path(), &["check", "drag.md"]).without_fault();
    assert_eq!(checked.status, 0, "{}", checked.out);
}

#[test]
fn what_departs_is_told_in_every_form() {
    let here = folder();
    put(here.path(), "drag.md", SHEET);
    run(here.path(), &["accept", "drag.md"]);
    put(here.path(), "drag.md", SHEET.replace("900 N ±", "909 N ±").replace("share =", "fraction ="));
    let ran = |format: &str| run(here.path(), &["check", "drag.md", "--format", format]).without_fault();
    let (json, log, junit) = (ran("json"), ran("sarif"), ran("junit"));
    assert_eq!([json.status, log.status, junit.status], [6; 3]);
    let json: Value = serde_json::from_str(&json.out).expect("JSON");
    let accepted = &json["sheets"][0]["accepted_results"];
    assert_eq!((accepted["compared"].as_u64(), accepted["moved"].as_array().map(Vec::len)), (Some(5), Some(5)), "{accepted}");
    assert_eq!((&accepted["new"][0], &accepted["gone"][0]), (&"fraction".into(), &"share".into()));
    let log: Value = serde_json::from_str(&log.out).expect("JSON");
    assert_eq!(broken(&sarif(), &log), Vec::<String>::new());
    let rules: Vec<&str> = log["runs"][0]["results"].as_array().expect("results").iter().filter_map(|one| one["ruleId"].as_str()).collect();
    assert_eq!(rules.iter().filter(|rule| **rule == "result-moved").count(), 5);
    assert!(rules.contains(&"result-new") && rules.contains(&"result-gone"));
    assert!(junit.out.contains("<failure type=\"result-moved\" message=\"5 of 5 results moved"), "{}", junit.out);
}

#[test]
fn nothing_is_accepted_of_a_broken_document_nor_compared_with_a_broken_file() {
    let here = folder();
    put(here.path(), "drag.md", SHEET);
    put(here.path(), "wrong.md", SHEET.replace("pull / 2", "pul / 2"));
    let refused = run(here.path(), &["accept", "."]).without_fault();
    assert!(refused.status == 1 && refused.err.contains("no results were accepted"), "{}", refused.err);
    assert!(!here.path().join("drag.accepted").exists());
    assert_eq!(run(here.path(), &["accept", "-"]).status, 2);

    put(here.path(), "drag.accepted", "name\tvalue\tstandard uncertainty\tunit\nhalf\t450.0\t0.0\tN\n<<<<<<< ours\n");
    let torn = run(here.path(), &["check", "drag.md"]).without_fault();
    assert_eq!(torn.status, 1, "{}", torn.err);
    assert!(torn.err.contains("error[baseline-line]") && torn.err.contains("drag.accepted:3:1"), "{}", torn.err);
    put(here.path(), "drag.accepted", b"\xff\xfe");
    assert!(run(here.path(), &["check", "drag.md"]).err.contains("error[file-not-text]"));
    // Accepting anew mends it.
    assert_eq!((run(here.path(), &["accept", "drag.md"]).status, run(here.path(), &["check", "drag.md"]).status), (0, 0));
}

#[test]
fn what_stood_beside_a_sheet_that_is_gone_is_told() {
    let here = folder();
    let here = here.path();
    let sheet = "```rig\nsheet A-1 \"A\"\n    revision A\ntake pull = 2 kN from \"balance\"\nhalf = pull / 2\n```\n";
    for name in ["yard/a.md", "yard/b.md"] {
        put(here, name, sheet);
        assert_eq!(run(here, &["accept", name]).status, 0);
        assert_eq!(run(here, &["sign", name, "--role", "originator", "--name", "A. Reyes", "--meaning", "made"]).status, 0);
    }
    assert!(!run(here, &["check", "yard"]).err.contains("without the sheet"));
    std::fs::rename(here.join("yard/b.md"), here.join("yard/moved.md")).expect("moved");
    let told = run(here, &["check", "yard"]).without_fault();
    assert_eq!(told.err.matches("warning[record-without-sheet]").count(), 2, "{}", told.err);
    assert!(
        told.err.contains("yard/b.accepted:1:1") && told.err.contains("yard/b.signoff:1:1") && !told.err.contains("yard/a."),
        "{}",
        told.err
    );
    assert!(told.status == 0 && told.err.contains("2 warnings"), "{}", told.err);
    let log = run(here, &["check", "yard", "--format", "sarif"]).without_fault();
    assert_eq!(log.out.matches("\"ruleId\": \"record-without-sheet\"").count(), 2, "{}", log.out);
    let junit = run(here, &["check", "yard", "--format", "junit"]).without_fault();
    assert!(
        junit.status == 0 && junit.out.contains("yard/b.signoff") && junit.out.contains("failures=\"0\" errors=\"0\""),
        "{}",
        junit.out
    );
    // A sheet asked for by itself says nothing of its neighbours, and what is no sheet any more has lost its files too.
    assert!(!run(here, &["check", "yard/a.md"]).err.contains("without the sheet"));
    put(here, "yard/a.md", "No calculation any more.\n");
    assert_eq!(run(here, &["check", "yard"]).err.matches("warning[record-without-sheet]").count(), 4);
}
