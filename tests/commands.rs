//! The real program: what it prints, what it writes, and the status it ends with.

use crate::support::program::{Ran, finish, folder, program, put, read, run};
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

const STARTER: &str = include_str!("../src/faces/starter.md");

// Findings of the severity that makes a document one with errors.
trait Counted {
    fn errors(&self) -> usize;
}

impl Counted for Ran {
    fn errors(&self) -> usize {
        self.err.lines().filter(|line| line.starts_with("error")).count()
    }
}

// The starter sheet with one thing in it changed; fails when the thing is not there.
fn starter_with(old: &str, new: &str) -> String {
    assert!(STARTER.contains(old), "the starter sheet no longer says {old:?}");
    STARTER.replacen(old, new, 1)
}

// A pull that two people cannot hold: 2 x 150 N against 941 N over three parts (at best 314 N).
fn failing() -> String {
    starter_with("= 220 N", "= 150 N")
}

fn broken() -> String {
    starter_with("weight(crate)", "weight(crat)")
}

// Every file below `folder` with its bytes, by path; the records of builds are theirs alone.
fn files(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("an entry").path();
        if path.ends_with(".stowed") {
            continue;
        }
        if path.is_dir() { found.extend(files(&path)) } else { found.push((path.clone(), fs::read(&path).expect("a file"))) }
    }
    found.sort();
    found
}

// The kinds that come with the program, as `explain kinds` lists them.
fn listed_kinds(folder: &Path) -> Vec<String> {
    let listed = run(folder, &["explain", "kinds"]).out;
    let words: Vec<String> =
        listed.lines().filter(|line| line.starts_with("  ")).filter_map(|line| line.split_whitespace().next()).map(String::from).collect();
    assert!(words.len() >= 3 && words.iter().any(|word| word == "tackle"), "{listed}");
    words
}

#[test]
fn help_gives_examples_and_version_a_number() {
    let here = folder();
    assert_eq!(run(here.path(), &["--version"]).out, format!("parbuckle {}\n", env!("CARGO_PKG_VERSION")));
    for command in ["build", "check", "watch", "show", "explain", "new"] {
        let ran = run(here.path(), &[command, "--help"]);
        assert!(ran.status == 0 && ran.out.contains("Examples:") && ran.out.contains("Exit status"), "{command}: {}", ran.out);
    }
}

#[test]
fn a_command_line_that_cannot_be_carried_out_ends_with_two() {
    let here = folder();
    put(here.path(), "notes.md", "# Notes\n\nNo calculation here.\n");
    put(here.path(), "a/slates.md", STARTER);
    put(here.path(), "a/slates.txt", STARTER);
    let wrong: &[&[&str]] = &[
        &[],
        &["hoist"],
        &["build"],
        &["build", "nowhere.md"],
        &["build", ".", "--colour", "sometimes"],
        &["check", "a", "--format", "xml"],
        &["show", "a"],
        &["show"],
        &["build", "a/slates.md", "a/slates.txt"],
        &["build", "a/slates.md", "a/slates.txt", "--out", "-"],
        &["build", "a/slates.md", "--root", "nowhere"],
        &["explain", "no-such-word-anywhere"],
    ];
    for arguments in wrong {
        let ran = run(here.path(), arguments).without_fault();
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{arguments:?}: {}", ran.err);
        assert!(!ran.err.is_empty());
    }
    fs::remove_dir_all(here.path().join("a")).expect("the folder goes");
    let empty = run(here.path(), &["build", "."]);
    assert!(empty.status == 2 && empty.err.contains("no sheet") && !here.path().join("out").exists(), "{}", empty.err);
}

#[test]
fn the_starter_sheet_is_written_once_and_builds() {
    let here = folder();
    assert_eq!(run(here.path(), &["new", "slates"]).status, 0);
    assert_eq!(read(here.path().join("slates.md")), STARTER);
    let again = run(here.path(), &["new", "slates.md"]);
    assert!(again.status == 2 && again.err.contains("already there"), "{}", again.err);
    assert_eq!(run(here.path(), &["new", "nowhere/slates.md"]).status, 2);
    assert_eq!(run(here.path(), &["new", "-"]).out, STARTER);

    let built = run(here.path(), &["build", "slates.md"]).without_fault();
    assert_eq!((built.status, built.out.as_str()), (0, ""), "{}", built.err);
    assert!(built.err.contains("1 sheet; no findings") && built.err.contains("3 PASS"), "{}", built.err);
    let page = read(here.path().join("out/slates.html"));
    assert!(page.contains("Raising slates to the scaffold") && page.contains("PASS"));
    let json: serde_json::Value = serde_json::from_str(&read(here.path().join("out/slates.json"))).expect("JSON");
    assert_eq!((&json["complete"], &json["path"]), (&true.into(), &"slates.md".into()));
    assert!(!here.path().join("out/index.html").exists(), "one sheet needs no index");
}

#[test]
fn a_folder_gives_a_page_a_sheet_and_an_index() {
    let here = folder();
    put(here.path(), "yard/slates.md", STARTER);
    put(here.path(), "yard/more/again.md", STARTER);
    put(here.path(), "yard/README.md", "# The yard\n\n````markdown\n```rig\ntake a = 1 m\n```\n````\n");
    put(here.path(), "yard/.hidden/slates.md", STARTER);
    put(here.path(), "yard/out/slates.md", STARTER);
    let built = run(here.path(), &["build", "yard", "--out", "yard/out"]).without_fault();
    assert_eq!(built.status, 0, "{}", built.err);
    let written: Vec<PathBuf> = files(&here.path().join("yard/out")).into_iter().map(|(path, _)| path).collect();
    let kinds = listed_kinds(here.path());
    let expected = ["index.html", "kinds/index.html", "slates.md", "yard/more/again.html", "yard/more/again.json", "yard/slates.html"];
    let expected = expected.map(String::from).into_iter().chain(["yard/slates.json".to_string()]);
    let mut expected: Vec<PathBuf> =
        expected.chain(kinds.iter().map(|word| format!("kinds/{word}.html"))).map(|name| here.path().join("yard/out").join(name)).collect();
    expected.sort();
    assert_eq!(written, expected);
    let index = read(here.path().join("yard/out/index.html"));
    assert!(index.contains("yard/slates.html") && index.contains("yard/more/again.html"));
}

#[test]
fn a_failed_check_is_told_apart_from_a_broken_document() {
    let here = folder();
    put(here.path(), "slates.md", STARTER);
    put(here.path(), "weak.md", failing());
    put(here.path(), "broken.md", broken());
    for (arguments, expected) in [
        (&["slates.md"][..], 0),
        (&["weak.md"], 3),
        (&["broken.md"], 1),
        (&["slates.md", "weak.md"], 3),
        (&["weak.md", "broken.md"], 1),
        (&["."], 1),
    ] {
        for command in ["check", "build"] {
            let ran = run(here.path(), &[&[command], arguments].concat()).without_fault();
            // A page with a failed check on it is a page well built.
            let expected = if command == "build" && expected == 3 { 0 } else { expected };
            assert_eq!(ran.status, expected, "{command} {arguments:?}: {}", ran.err);
        }
    }
    let page = read(here.path().join("out/broken.html"));
    assert!(page.to_lowercase().contains("incomplete"), "a broken sheet is built and says that it is incomplete");
}

// Acceptance under a rule as in ILAC-G8:09/2019, 4.2: within the guard band a lift is not accepted, by simple acceptance it is.
#[test]
fn the_decision_rule_settles_the_exit_status() {
    let here = folder();
    let sheet = |rule: &str, capacity: &str| {
        format!(
            "```rig\nsheet 1 \"Hook\"\n    duty lift\n{rule}take pull = 9 kN ± 2 kN (k=2) from \"load cell\"\n\
                 gear hook \"hook\"\ncheck \"hook\": pull <= {capacity}\n```\n"
        )
    };
    for (name, rule, capacity, expected) in [
        ("default.md", "", "10 kN", 3),
        ("simple.md", "    rule simple acceptance\n", "10 kN", 0),
        ("failing.md", "    rule simple acceptance\n", "8 kN", 3),
        ("loose.md", "    rule probability 80 %\n", "10 kN", 0),
        ("strict.md", "    rule probability 90 %\n", "10 kN", 3),
        ("clear.md", "", "11 kN", 0),
        ("without.md", "", "hook.rated", 0),
    ] {
        put(here.path(), name, sheet(rule, capacity));
        let ran = run(here.path(), &["check", name]).without_fault();
        assert_eq!(ran.status, expected, "{name}: {} {}", ran.out, ran.err);
        assert_eq!(ran.err.contains("1 not accepted"), expected == 3, "{name}: {}", ran.err);
    }
}

#[test]
fn check_puts_verdicts_on_standard_output_and_findings_on_standard_error() {
    let here = folder();
    put(here.path(), "weak.md", failing());
    let ran = run(here.path(), &["check", "weak.md"]);
    let lines: Vec<&str> = ran.out.lines().collect();
    let Some((status, verdicts)) = lines.split_last() else { panic!("{}", ran.out) };
    assert_eq!((*status, verdicts.len()), ("weak.md  status draft", 3), "{}", ran.out);
    assert!(verdicts.iter().all(|line| line.starts_with("weak.md  C")));
    let [failed] = verdicts.iter().filter(|line| line.contains("FAIL")).collect::<Vec<_>>()[..] else { panic!("{}", ran.out) };
    assert!(failed.contains("two people can hold the pull"), "{failed}");

    put(here.path(), "broken.md", broken());
    let ran = run(here.path(), &["check", "broken.md"]);
    // `crat` stands on the line of `weight(crat)`, after `load "weight of the crate" = weight(`.
    let line = broken().lines().position(|line| line.contains("(crat)")).expect("the mistake") + 1;
    assert!(ran.err.contains("error[unknown-name]") && ran.err.contains(&format!("broken.md:{line}:37")), "{}", ran.err);
    assert_eq!(ran.errors(), 1, "{}", ran.err);
    assert!(!here.path().join("out").exists(), "check writes nothing");

    let ran = run(here.path(), &["check", "broken.md", "--format", "json"]);
    let json: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    assert!(ran.status == 1 && ran.err.is_empty() && json.to_string().contains("unknown-name"), "{} {}", ran.out, ran.err);
}

#[test]
fn show_prints_the_budget_of_any_value_and_helps_with_its_name() {
    let here = folder();
    put(here.path(), "slates.md", STARTER);
    let asked = run(here.path(), &["show", "slates.md", "--budget", "falls.effort"]);
    assert_eq!((asked.status, asked.err.as_str()), (0, ""));
    for column in ["combined standard uncertainty", "degrees of freedom", "sensitivity", "contribution", "k = 2", "crate = "] {
        assert!(asked.out.replace('\u{a0}', " ").contains(column), "{column}: {}", asked.out);
    }
    let every = run(here.path(), &["show", "slates.md", "--budget", "every"]);
    assert!(every.status == 0 && every.out.len() > 2 * asked.out.len(), "{}", every.out);
    let misspelt = run(here.path(), &["show", "slates.md", "--budget", "falls.efort"]);
    assert_eq!((misspelt.status, misspelt.out.as_str()), (2, ""));
    assert!(
        misspelt.err.contains("no value of this sheet is called `falls.efort`") && misspelt.err.contains("`falls.effort`"),
        "{}",
        misspelt.err
    );
    let beyond = run(here.path(), &["show", "slates.md", "--budget", "falls.part[40]"]);
    assert!(beyond.status == 2 && beyond.err.contains("has no item 40"), "{}", beyond.err);
}

#[test]
fn show_prints_the_sheet_and_leaves_its_verdicts_to_the_reader() {
    let here = folder();
    put(here.path(), "weak.md", failing());
    let ran = run(here.path(), &["show", "weak.md"]).without_fault();
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    assert!(ran.out.contains("Raising slates to the scaffold") && ran.out.contains("FAIL"), "{}", ran.out);
    assert!(!ran.out.contains('\x1b') && ran.out.ends_with('\n'));
    put(here.path(), "broken.md", broken());
    assert_eq!(run(here.path(), &["show", "broken.md"]).status, 1);
}

#[test]
fn a_brief_sheet_keeps_its_numbers_and_verdicts() {
    let here = folder();
    put(here.path(), "slates.md", STARTER);
    let whole = run(here.path(), &["show", "slates.md"]).without_fault();
    let brief = run(here.path(), &["show", "slates.md", "--brief"]).without_fault();
    assert_eq!((brief.status, brief.err.as_str()), (0, ""));
    assert!(brief.out.len() * 2 < whole.out.len(), "{} and {} bytes", brief.out.len(), whole.out.len());
    let verdicts = |text: &str| text.lines().filter(|line| line.contains(": PASS")).map(str::to_string).collect::<Vec<_>>();
    assert!(!verdicts(&brief.out).is_empty());
    assert!(verdicts(&brief.out).iter().all(|line| verdicts(&whole.out).contains(line)), "{}", brief.out);
    assert_eq!(run(here.path(), &["build", "slates.md", "--brief"]).without_fault().status, 0);
    let page = std::fs::read_to_string(here.path().join("out/slates.html")).expect("it was written");
    assert!(page.contains("A brief sheet:") && !page.contains("<figure class=sketch") && !page.contains("<figure class=\"sketch"));
    let json = std::fs::read_to_string(here.path().join("out/slates.json")).expect("it was written");
    assert!(json.contains("\"left_out\""));
    assert_eq!(run(here.path(), &["show", "slates.md", "--brief", "--table", "results"]).status, 2);
}

#[test]
fn standard_input_is_a_document_like_any_other() {
    let here = folder();
    let shown = finish(program(here.path()).args(["show", "-"]), STARTER.as_bytes()).without_fault();
    assert!(shown.status == 0 && shown.out.contains("Raising slates to the scaffold"), "{}", shown.err);
    let checked = finish(program(here.path()).args(["check", "-"]), failing().as_bytes());
    assert!(checked.status == 3 && checked.out.starts_with("standard-input  C"), "{}", checked.out);
    let printed = finish(program(here.path()).args(["build", "-", "--out", "-"]), STARTER.as_bytes());
    assert!(printed.status == 0 && printed.out.to_lowercase().starts_with("<!doctype html>"));
    assert!(!here.path().join("out").exists());
    let built = finish(program(here.path()).args(["build", "-"]), STARTER.as_bytes());
    assert_eq!(built.status, 0, "{}", built.err);
    // A page by itself cannot lead to another; the one in a folder leads to the kind of its machine.
    let linked = read(here.path().join("out/standard-input.html"));
    assert_eq!(linked.replace("<a href=\"kinds/tackle.html\">tackle</a>", "tackle"), printed.out);
    assert_ne!(linked, printed.out);
    let binary = finish(program(here.path()).args(["check", "-"]), b"take \xff");
    assert_eq!((binary.without_fault().errors(), here.path().join("out/standard-input.json").exists()), (1, true));
}

#[test]
fn explain_has_a_page_for_a_finding_a_unit_and_a_kind_and_knows_near_misses() {
    let here = folder();
    let list = run(here.path(), &["explain"]).out;
    for word in ["unknown-name", "unit-mismatch", "lbf", "kN", "tackle", "lever", "ramp"] {
        let ran = run(here.path(), &["explain", word]).without_fault();
        assert!(ran.status == 0 && ran.out.trim().len() > word.len() && ran.err.is_empty(), "{word}: {} {}", ran.out, ran.err);
        assert!(list.split([' ', ',', '\n']).any(|listed| listed == word), "{word} is not in the list");
    }
    // Every statement the parser knows has its page.
    for word in ["sheet", "take", "assume", "gear", "machine", "load", "train", "check", "vary", "size", "propagate", "use", "kind"] {
        let ran = run(here.path(), &["explain", word]);
        assert!(ran.status == 0 && ran.out.starts_with(&format!("{word} ")), "{word}: {}", ran.out);
    }
    let near = run(here.path(), &["explain", "unknown-nam"]);
    let kind = run(here.path(), &["explain", "tackel"]);
    assert!(kind.status == 2 && kind.err.contains("did you mean `tackle`"), "{}", kind.err);
    assert!(near.status == 2 && near.err.contains("did you mean `unknown-name`"), "{}", near.err);
}

#[test]
fn explain_prints_a_kind_as_a_page_to_read() {
    let here = folder();
    for word in listed_kinds(here.path()) {
        let page = run(here.path(), &["explain", &word]).out;
        for part in ["What it is given", "Its formulas", "Refused when", "Worked cases", "PASS"] {
            assert!(page.contains(part), "{word}: no {part}\n{page}");
        }
        for raw in ["```", "\nrelation ", "\n    relation ", "| ---", "FAIL", "NOT EVALUATED"] {
            assert!(!page.contains(raw), "{word}: {raw} is still there\n{page}");
        }
        assert!(page.lines().all(|line| line.chars().count() <= 80), "{word}");
    }
    let tackle = run(here.path(), &["explain", "tackle"]).out;
    assert!(tackle.contains("sheaves = parts − 1, when rove is to advantage"), "{tackle}");
    assert!(tackle.contains("plain bearing | 0.09 | API RP 9B (from memory)"), "{tackle}");
}

#[test]
fn a_build_sets_out_the_kinds_its_sheets_use_and_leads_to_them() {
    let here = folder();
    put(here.path(), "yard/slates.md", STARTER);
    assert_eq!(run(here.path(), &["build", "yard/slates.md", "--out", "one"]).without_fault().status, 0);
    let written: Vec<PathBuf> = files(&here.path().join("one")).into_iter().map(|(path, _)| path).collect();
    let expected = ["kinds/tackle.html", "yard/slates.html", "yard/slates.json"];
    assert_eq!(written, expected.map(|name| here.path().join("one").join(name)), "one sheet: the kinds it uses and no index");
    assert!(read(here.path().join("one/yard/slates.html")).contains("href=\"../kinds/tackle.html\""));
    assert!(!read(here.path().join("one/kinds/tackle.html")).contains("index.html"), "there is no index to lead to");

    assert_eq!(run(here.path(), &["build", "yard", "--out", "all"]).without_fault().status, 0);
    let index = read(here.path().join("all/kinds/index.html"));
    for word in listed_kinds(here.path()) {
        assert!(index.contains(&format!("href=\"{word}.html\"")), "{word}");
        let page = read(here.path().join(format!("all/kinds/{word}.html")));
        assert!(page.contains(&format!("id=\"kind-{word}\"")) && page.contains("href=\"index.html\""), "{word}");
        assert!(
            page.contains("Drawn from the worked case") && page.contains("PASS") && !page.contains("This sheet is incomplete"),
            "{word}"
        );
    }
    assert!(read(here.path().join("all/index.html")).contains("href=\"kinds/index.html\""));
    assert!(index.contains("href=\"../index.html\""));
}

#[test]
fn a_sheet_of_the_author_keeps_its_place_among_the_kinds() {
    let here = folder();
    let own = "# A winch of our own\n\n```rig\nkind winch \"hand winch\"\n    from load : force to effort : force\n    \
        relation velocity_ratio = 4\n    relation effort = load / 4\n    relation friction_work = 0 J\n```\n";
    let uses = "```rig\nuse \"../kinds/winch.md\"\ntake pull = 2 kN from \"balance\"\nmachine a = winch\n    load pull\n```\n";
    put(here.path(), "kinds/winch.md", own);
    put(here.path(), "kinds/tackle.md", STARTER);
    put(here.path(), "yard/pull.md", uses);
    let built = run(here.path(), &["build", ".", "--out", "out"]).without_fault();
    assert_eq!(built.status, 0, "{}", built.err);
    assert!(built.err.contains("no reference page of `tackle` was written: the sheet `kinds/tackle` has its place"), "{}", built.err);
    assert!(read(here.path().join("out/kinds/tackle.html")).contains("Raising slates to the scaffold"));
    let page = read(here.path().join("out/yard/pull.html"));
    assert!(page.contains("href=\"../kinds/winch.html#kind-winch\"") && page.contains("from kinds/winch.md"), "{page}");
    assert!(read(here.path().join("out/kinds/winch.html")).contains("id=\"kind-winch\""));
    // A sheet that writes the kind itself leads to the report on its own page.
    put(here.path(), "yard/both.md", format!("{own}\n```rig\nmachine a = winch\n    load 2 kN\n```\n"));
    assert_eq!(run(here.path(), &["build", "yard/both.md", "--out", "both"]).status, 0);
    assert!(read(here.path().join("both/yard/both.html")).contains("href=\"#kind-winch\""));
}

#[test]
fn bad_input_gets_one_clear_message_and_no_page() {
    let here = folder();
    let mut huge = fs::File::create(here.path().join("huge.md")).expect("a file");
    let line = [b'a'; 1024 * 1024];
    (0..50).for_each(|_| huge.write_all(&line).expect("a megabyte"));
    put(here.path(), "latin.md", b"# Stra\xdfe\n\n```rig\ntake a = 1 m from \"x\"\n```\n");
    put(here.path(), "folder.md/inside.txt", "");
    for (name, words) in [("huge.md", "8"), ("latin.md", "UTF-8")] {
        for command in ["check", "build"] {
            let ran = run(here.path(), &[command, name]).without_fault();
            assert_eq!((ran.status, ran.errors()), (1, 1), "{command} {name}: {}", ran.err);
            assert!(ran.err.contains(name) && ran.err.contains(words), "{}", ran.err);
        }
    }
    assert_eq!(files(&here.path().join("out")), [], "what cannot be read leaves no page");
    assert_eq!(run(here.path(), &["check", "folder.md"]).status, 2);
}

#[test]
fn odd_but_readable_input_gets_one_message_and_no_fault() {
    let here = folder();
    let deep =
        |open: &str, close: &str| format!("```rig\ntake a = 1 m from \"x\"\nb = {}a{}\n```\n", open.repeat(100_000), close.repeat(100_000));
    put(here.path(), "deep.md", deep("(", ")"));
    put(here.path(), "open.md", deep("(", ""));
    put(here.path(), "list.md", deep("[", "]"));
    put(here.path(), "nul.md", "```rig\ntake a = 1 m from \"x\"\nb = a +\0 a\n```\n");
    for name in ["deep.md", "open.md", "list.md", "nul.md"] {
        let ran = run(here.path(), &["check", name]).without_fault();
        assert_eq!((ran.status, ran.errors()), (1, 1), "{name}: {}", &ran.err[..ran.err.len().min(2000)]);
        assert!(ran.err.len() < 4000, "{name}: a message that long is no help");
    }
    put(here.path(), "empty.md", "");
    put(here.path(), "quoted.md", format!("{}x\n", ">".repeat(100_000)));
    for name in ["empty.md", "quoted.md"] {
        let ran = run(here.path(), &["check", name]).without_fault();
        assert!(
            ran.status < 2 && ran.err.len() < 4000 && ran.err.lines().filter(|line| line.contains("[")).count() <= 1,
            "{name}: {}",
            ran.err
        );
    }
    put(here.path(), "mark.md", format!("\u{feff}{STARTER}"));
    assert_eq!(run(here.path(), &["check", "mark.md"]).status, 0, "a byte order mark is no part of the text");
}

#[test]
fn a_shared_file_that_is_missing_circular_or_outside_is_one_error() {
    let here = folder();
    let uses = |path: &str| format!("```rig\nuse \"{path}\" as stores\n```\n");
    put(here.path(), "project/missing.md", uses("nowhere.md"));
    put(here.path(), "project/outside.md", uses("../secret.md"));
    put(here.path(), "project/absolute.md", uses("/etc/hostname"));
    put(here.path(), "project/round.md", uses("about.md"));
    put(here.path(), "project/about.md", uses("round.md"));
    put(here.path(), "secret.md", "```rig\ntake a = 1 m from \"x\"\n```\n");
    let project = here.path().join("project");
    for (name, slug) in
        [("missing", "file-missing"), ("outside", "file-outside-project"), ("absolute", "file-outside-project"), ("round", "use-cycle")]
    {
        let ran = run(&project, &["check", &format!("{name}.md")]).without_fault();
        assert_eq!((ran.status, ran.errors()), (1, 1), "{name}: {}", ran.err);
        assert!(ran.err.contains(&format!("error[{slug}]")), "{name}: {}", ran.err);
    }
    // From a wider root the same file is inside.
    assert_eq!(run(&project, &["check", "outside.md", "--root", ".."]).status, 0);
}

#[cfg(unix)]
#[test]
fn a_link_does_not_lead_out_of_the_project() {
    let here = folder();
    put(here.path(), "secret.md", STARTER);
    put(here.path(), "project/slates.md", STARTER);
    let project = here.path().join("project");
    std::os::unix::fs::symlink("../secret.md", project.join("link.md")).expect("a link");
    std::os::unix::fs::symlink("slates.md", project.join("near.md")).expect("a link");
    let ran = run(&project, &["check", "link.md"]).without_fault();
    assert_eq!((ran.status, ran.errors(), ran.out.as_str()), (1, 1, ""), "{}", ran.err);
    assert_eq!(run(&project, &["check", "near.md"]).status, 0);
    std::os::unix::fs::symlink(".", project.join("circle")).expect("a link");
    fs::remove_file(project.join("link.md")).expect("the link goes");
    assert_eq!(run(&project, &["build", "."]).status, 0, "a linked folder is not followed");
}

#[test]
fn an_output_folder_that_cannot_be_written_is_told_once() {
    let here = folder();
    put(here.path(), "slates.md", STARTER);
    put(here.path(), "taken", "a file, not a folder");
    for out in ["taken", "taken/below"] {
        let ran = run(here.path(), &["build", "slates.md", "--out", out]).without_fault();
        assert_eq!((ran.status, ran.errors()), (2, 1), "{}", ran.err);
        assert!(ran.err.contains(&format!("cannot write `{out}`")), "{}", ran.err);
    }
    assert_eq!(read(here.path().join("taken")), "a file, not a folder");
    // A folder where the page belongs: the page cannot be given its name, and its draft must not stay.
    put(here.path(), "out/slates.html/inside", "");
    let ran = run(here.path(), &["build", "slates.md"]).without_fault();
    assert_eq!((ran.status, ran.errors()), (2, 1), "{}", ran.err);
    assert_eq!(files(&here.path().join("out")).len(), 1, "no draft is left behind");
}

#[test]
fn a_source_is_never_written_over() {
    let here = folder();
    let source = put(here.path(), "slates.html", STARTER);
    let ran = run(here.path(), &["build", "slates.html", "--out", "."]).without_fault();
    assert_eq!((ran.status, ran.errors()), (2, 1), "{}", ran.err);
    assert_eq!(read(source), STARTER);
    assert_eq!(files(here.path()).len(), 1, "nothing at all is written");
}

#[test]
fn two_builds_agree_byte_for_byte_and_name_no_place_of_the_machine() {
    let (here, there) = (folder(), folder());
    let mut trees = Vec::new();
    for place in [here.path(), there.path()] {
        put(place, "yard/slates.md", STARTER);
        put(place, "yard/weak.md", failing());
        put(place, "yard/broken.md", broken());
        assert_eq!(run(place, &["build", "yard"]).status, 1);
        let out = place.join("out");
        let host = place.to_str().expect("text");
        trees.push(
            files(&out)
                .into_iter()
                .map(|(path, bytes)| {
                    let text = String::from_utf8(bytes).expect("an output is text");
                    assert!(!text.contains(host), "{} names {host}", path.display());
                    (path.strip_prefix(&out).expect("below").to_path_buf(), text)
                })
                .collect::<Vec<_>>(),
        );
    }
    let kinds = listed_kinds(here.path()).len();
    assert_eq!(trees[0].len(), 8 + kinds, "three pages, three JSON files, an index of sheets and one of kinds, and each kind");
    assert_eq!(trees[0], trees[1]);
}

#[test]
fn a_file_that_already_says_the_same_is_left_alone() {
    let here = folder();
    put(here.path(), "slates.md", STARTER);
    assert_eq!(run(here.path(), &["build", "slates.md"]).status, 0);
    let page = here.path().join("out/slates.html");
    let long_ago = std::time::SystemTime::UNIX_EPOCH + std::time::Duration::from_secs(1_000_000_000);
    fs::File::options().write(true).open(&page).and_then(|file| file.set_modified(long_ago)).expect("a new date");
    let ran = run(here.path(), &["build", "slates.md"]);
    assert!(ran.err.contains("0 files written to out, 3 unchanged"), "{}", ran.err);
    assert_eq!(fs::metadata(&page).and_then(|facts| facts.modified()).expect("a date"), long_ago);
}

#[test]
fn colour_is_for_terminals_and_for_those_who_ask() {
    let here = folder();
    put(here.path(), "broken.md", broken());
    let check = |extra: &[&str], no_color: Option<&str>| {
        let mut command = program(here.path());
        command.args(["check", "broken.md"]).args(extra);
        no_color.map(|value| command.env("NO_COLOR", value));
        let ran = finish(&mut command, b"");
        assert!(!ran.out.contains('\x1b'), "standard output is data");
        ran.err.contains('\x1b')
    };
    assert!(!check(&[], None), "a pipe is no terminal");
    assert!(check(&["--colour", "always"], None));
    assert!(check(&["--color", "always"], Some("1")), "the command line outranks the environment");
    assert!(!check(&["--colour", "never"], None));
    assert!(!check(&["--colour", "auto"], Some("1")));
}

#[test]
fn a_reader_who_leaves_early_is_no_fault() {
    let here = folder();
    put(here.path(), "slates.md", STARTER);
    let mut child = program(here.path()).args(["build", "slates.md", "--out", "-"]).spawn().expect("the program starts");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("the program ends");
    let err = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.code() == Some(0) && !err.contains("error"), "{err}");
}

#[test]
fn a_sheet_is_laid_out_in_place_and_then_left_alone() {
    let here = folder();
    let ragged = format!("\u{feff}{}", starter_with("take ", "take    "));
    let path = put(here.path(), "slates.md", &ragged);
    let named = run(here.path(), &["format", "slates.md", "--check"]).without_fault();
    assert_eq!((named.status, named.out.as_str()), (1, "slates.md\n"), "{}", named.err);
    assert_eq!(fs::read_to_string(&path).expect("the sheet"), ragged, "--check writes nothing");
    assert_eq!(run(here.path(), &["format", "slates.md"]).status, 0);
    assert_eq!(fs::read_to_string(&path).expect("the sheet"), format!("\u{feff}{STARTER}"), "the mark of byte order stays");
    let again = run(here.path(), &["format", "slates.md", "--check"]);
    assert_eq!((again.status, again.out.as_str()), (0, ""), "{}", again.err);
    let piped = finish(program(here.path()).args(["format", "-"]), ragged.trim_start_matches('\u{feff}').as_bytes());
    assert_eq!((piped.status, piped.out.as_str()), (0, STARTER), "{}", piped.err);
}

#[test]
fn gear_of_one_name_from_two_files_is_told_apart_wherever_it_is_printed() {
    let here = folder();
    for (file, rated) in [("store", 2), ("truck", 3)] {
        put(
            here.path(),
            &format!("{file}.md"),
            format!("# {file}\n\n```rig\ngear rope\n    rated {rated} kN ± 0.1 kN  from \"tag\"\n```\n"),
        );
    }
    let sheet = "# Both\n\n```rig\nuse \"store.md\" as store\nuse \"truck.md\" as truck\nboth = store.rope.rated + truck.rope.rated\n\
                 check \"enough\": 4 kN <= both\n```\n";
    put(here.path(), "both.md", sheet);
    let shown = run(here.path(), &["show", "both.md", "--budget", "both"]);
    assert!(shown.out.contains("store.rope.rated") && shown.out.contains("truck.rope.rated"), "{}", shown.out);
    let text = run(here.path(), &["show", "both.md"]).out;
    assert!(text.contains("rated_store rope + rated_truck rope"), "{text}");
    let told = run(here.path(), &["explain", "both.md::store.rope.rated"]);
    assert!(told.status == 0 && told.out.contains("both"), "{}{}", told.out, told.err);
    assert_eq!(run(here.path(), &["build", "both.md"]).status, 0);
    let json: serde_json::Value = serde_json::from_str(&read(here.path().join("out/both.json"))).expect("JSON");
    let names: Vec<&str> = json["values"].as_array().into_iter().flatten().filter_map(|value| value["name"].as_str()).collect();
    assert!(names.contains(&"store.rope.rated") && names.contains(&"truck.rope.rated") && !names.contains(&"rope.rated"), "{names:?}");
}
