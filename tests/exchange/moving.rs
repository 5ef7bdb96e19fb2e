//! `explain SHEET::NAME`: what moves with a value over a folder of sheets, as text and as JSON.

use crate::support::program::{folder, put, run};
use serde_json::Value;
use std::path::Path;

const LOCKER: &str = "# The loft\n\n```rig\nsheet LO-1 \"Rope loft\"\ngear line \"10 mm braid\"\n    rated 2.4 kN ± 0.1 kN (u) from \"tag\"\n\
    take loss \"loss at a sheave\" = 0.06 ± 0.01 measured \"balance\"\n```\n";

// Forty sheets: of every ten one uses the loft, one uses it through another file, one names it in prose alone, the rest nothing.
fn yard(folder: &Path) {
    put(folder, "parbuckle.toml", "owner = \"Loft\"\n");
    put(folder, "loft.md", LOCKER);
    put(folder, "half/share.md", "```rig\nuse \"../loft.md\" as loft\npassed \"share passed on\" = 1 - loft.loss\n```\n");
    for at in 0..40 {
        let text = match at % 10 {
            0 => format!(
                "```rig\nsheet H-{at} \"Hoist {at}\"\n    duty lift\nuse \"../loft.md\" as loft\n\
                 take pull = {} N ± 10 N (u) from \"balance\"\ncheck \"line\": pull <= loft.line.rated\n```\n",
                2000 + 10 * at
            ),
            1 => "```rig\nuse \"../half/share.md\" as half\npull \"at the hand\" = 300 N / half.passed\n```\n".to_string(),
            2 => {
                "Uses loft.md no more.\n\n```text\nuse \"../loft.md\"\n```\n\n```rig\ntake pull = 2 kN from \"balance\"\n```\n".to_string()
            }
            // It cannot be worked, which nobody is told who asks for what it does not use.
            3 => "```rig\npull = 1 kN + 2 kg\n```\n".to_string(),
            _ => "```rig\ntake pull = 2 kN from \"balance\"\ntwice = 2 * pull\n```\n".to_string(),
        };
        put(folder, &format!("sheets/{at:02}.md"), text);
    }
}

fn json(folder: &Path, asked: &str) -> Value {
    let ran = run(folder, &["explain", asked, "--format", "json"]).without_fault();
    assert_eq!(ran.status, 0, "{}", ran.err);
    serde_json::from_str(&ran.out).expect("JSON")
}

fn paths(value: &Value) -> Vec<&str> {
    value["sheets"].as_array().expect("a list").iter().map(|sheet| sheet["path"].as_str().expect("a path")).collect()
}

#[test]
fn every_sheet_that_leads_to_a_shared_value_is_told_and_no_other() {
    let here = folder();
    yard(here.path());
    let users: Vec<String> =
        ["half/share.md".to_string()].into_iter().chain((0..40).filter(|at| at % 10 < 2).map(|at| format!("sheets/{at:02}.md"))).collect();
    let rated = json(here.path(), "loft.md::line.rated");
    assert_eq!(paths(&rated), users);
    // 2.4 kN with u = 0.1 kN over 2000 N to 2300 N with u = 10 N: U = 2·√(0.1² + 0.01²) kN is 0.201 kN, so 400 N and 300 N
    // clear it and 200 N and 100 N do not; after a step of 0.1 kN the other way 300 N falls short, after one up 200 N clears it.
    let checks: Vec<(String, bool)> = rated["sheets"]
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|sheet| sheet["checks"].get(0))
        .map(|check| (check["verdict"].as_str().expect("a verdict").to_string(), check["changes"].as_bool().expect("yes or no")))
        .collect();
    let expected = [("PASS", false), ("PASS", true), ("PASS WITHIN UNCERTAINTY", true), ("PASS WITHIN UNCERTAINTY", false)];
    assert_eq!(checks, expected.map(|(verdict, changes)| (verdict.to_string(), changes)));
    // 300 N / (1 - loss) moves by 300 N / 0.94² for each whole of the loss, which has u = 0.01/√3.
    let loss = json(here.path(), "loft.md::loss");
    let hand = loss["sheets"].as_array().expect("a list").iter().find(|sheet| sheet["path"] == "sheets/01.md").expect("it uses it");
    let row = hand["results"].as_array().expect("a list").iter().find(|row| row["name"] == "pull").expect("it moves");
    let change = row["change_si"].as_f64().expect("a change");
    approx::assert_relative_eq!(change, 300.0 / (0.94 * 0.94) * 0.01 / 3_f64.sqrt(), max_relative = 1e-12);
    let text = run(here.path(), &["explain", "loft.md::line.rated"]).without_fault();
    assert_eq!(text.status, 0, "{}", text.err);
    let told = text.out.replace('\u{a0}', " ");
    assert!(told.contains("sheets/10.md  H-10 Hoist 10") && told.contains("PASS; by the same step the other way PASS WITHIN"), "{told}");
    assert!(!text.err.contains("has errors") && text.err.contains("`loft.md` is used by 9 other sheets of 42 files"), "{}", text.err);
    // From within a folder of it, and of a value that nobody shares.
    let alone = run(&here.path().join("sheets"), &["explain", "04.md::pull"]).without_fault();
    assert!(
        alone.status == 0 && alone.out.contains("twice") && alone.err.contains("used by no other sheet of"),
        "{}{}",
        alone.out,
        alone.err
    );
}

#[test]
fn a_list_of_gear_is_asked_like_a_sheet_and_what_is_wrong_is_told() {
    let here = folder();
    put(here.path(), "gear/store.csv", "name,label,rated (kN),source\nrope,braid,2.4,tag\n");
    put(
        here.path(),
        "a.md",
        "```rig\nuse \"gear/store.csv\" as store\ntake pull = 2 kN from \"balance\"\ncheck \"rope\": pull <= store.rope.rated\n```\n",
    );
    let told = run(here.path(), &["explain", "gear/store.csv::rope.rated"]).without_fault();
    let text = told.out.replace('\u{a0}', " ");
    assert!(
        told.status == 0 && text.contains("gear/store.csv, line 2") && text.contains("kN, +0.024 kN; PASS either way"),
        "{text}{}",
        told.err
    );
    assert!(!here.path().join("gear/store.csv.md").exists());
    let ask = |word: &str, more: &[&str]| run(here.path(), &[&["explain", word], more].concat()).without_fault();
    let near = ask("a.md::pul", &[]);
    assert!(near.status == 2 && near.err.contains("no value of this sheet is called `pul`") && near.err.contains("`pull`"), "{}", near.err);
    for (word, said) in [("a.md::", "SHEET::NAME"), ("none.md::x", "none.md"), ("gear::x", "is a folder"), (".::x", "is a folder")] {
        let ran = ask(word, &[]);
        assert!(ran.status == 2 && ran.err.contains(said), "{word}: {}", ran.err);
    }
    assert_eq!(ask("kN", &["--every"]).status, 2, "an option of values says nothing of a unit");
    put(
        here.path(),
        "b.md",
        "```rig\nuse \"gear/store.csv\" as store\ntake pull = 2 kN from \"balance\"\nsum = pull + 3 kg\nhalf = pull / 2\n```\n",
    );
    let broken = ask("b.md::pull", &[]);
    assert!(broken.status == 1 && broken.err.contains("error[") && broken.out.contains("half"), "{}{}", broken.out, broken.err);
    let used = ask("gear/store.csv::rope.rated", &[]);
    assert!(used.status == 1 && used.err.contains("`b.md` has errors"), "{}", used.err);
    // An input is told as its author stated it, not expanded.
    put(here.path(), "d.md", "```rig\ntake x = 96 kg ± 2 kg from \"scale\"\ny = 2 * x\n```\n");
    let stated = ask("d.md::x", &[]).out.replace('\u{a0}', " ");
    assert!(stated.contains("value         (96 ± 2) kg") && stated.contains("± 2 kg, limits"), "{stated}");
    assert!(ask("d.md::y", &[]).out.replace('\u{a0}', " ").contains("value         2 x = (192.0 ± 4.6) kg"), "{}", ask("d.md::y", &[]).out);
    // What it prints must not drive a terminal.
    put(here.path(), "c.md", "```rig\ntake x \"a\u{1b}[2Jb\" = 2 kN from \"c\u{7}d\"\ny = 2 * x\n```\n");
    let hostile = ask("c.md::x", &[]);
    assert!(!hostile.out.contains(['\u{1b}', '\u{7}']), "{:?}", hostile.out);
}
