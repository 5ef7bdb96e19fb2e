//! Signatures: what the program takes and what it refuses, what becomes of a record in the hands of others and of version
//! control, and that a change is told as what it is.

use crate::support::program::{Ran, finish, folder, program, put, read, run};
use crate::support::{case, folders};
use parbuckle::sheet::{Act, Ask};
use parbuckle::{Engine, MemoryFiles, SheetPath, engine};
use proptest::prelude::{ProptestConfig, any, prop_assert_eq, proptest};
use proptest::test_runner::RngSeed;
use std::fs;
use std::path::Path;
use std::process::Command;

const SHEET: &str = r#"# Pull

The winch is at the gate.

```rig
sheet PL-01 "Pull at the gate"
    revision    A
    date        2026-02-01
    originator  "M. Tolland"

take pull = 2.25 kN ± 0.1 kN   from "spring balance"
take part = 0.5                from "drawing 12"

gear rope "rope"
    rated  3 kN  from "tag"
```

Half of it goes to the post.

```rig
post "at the post" = pull * part as N   # the other half is held
check "rope": pull <= rope.rated  ref "site rule 4"
```

That is all.
"#;

fn sign(folder: &Path, role: &str, name: &str) -> Ran {
    run(folder, &["sign", "pull.md", "--role", role, "--name", name, "--meaning", "gone through", "--date", "2026-03-14"]).without_fault()
}

fn signed(folder: &Path, role: &str, name: &str) {
    let ran = sign(folder, role, name);
    assert_eq!(ran.status, 0, "{}", ran.err);
}

// What `check` says of the status.
fn status(folder: &Path) -> String {
    let ran = run(folder, &["check", "pull.md"]).without_fault();
    let line = ran.out.lines().find(|line| line.contains("  status ")).unwrap_or_else(|| panic!("{}\n{}", ran.out, ran.err));
    line.split_once("  status ").map(|(_, status)| status.to_string()).unwrap_or_default()
}

// The sheet as text, on one line.
fn shown(folder: &Path) -> String {
    run(folder, &["show", "pull.md"]).out.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn change(folder: &Path, old: &str, new: &str) {
    let text = read(folder.join("pull.md"));
    assert!(text.contains(old), "{old}");
    put(folder, "pull.md", text.replacen(old, new, 1));
}

#[test]
fn each_role_signs_in_its_turn_and_a_change_undoes_it() {
    let here = folder();
    let here = here.path();
    put(here, "pull.md", SHEET);
    assert_eq!(status(here), "draft");
    let refused = sign(here, "checker", "R. Okafor");
    assert!(refused.status == 2 && refused.err.contains("nobody has signed it as originator"), "{}", refused.err);
    signed(here, "originator", "M. Tolland");
    assert_eq!(status(here), "for review");
    for name in ["M. Tolland", "m. tolland", "  M.TOLLAND ", "\u{41c}. Tolland"] {
        let refused = sign(here, "checker", name);
        assert!(refused.status == 2 && refused.err.contains("cannot be told from"), "{name}: {}", refused.err);
    }
    let refused = sign(here, "approver", "S. Hale");
    assert!(refused.status == 2 && refused.err.contains("nobody has checked it"), "{}", refused.err);
    signed(here, "checker", "R. Okafor");
    assert_eq!(status(here), "checked");
    signed(here, "approver", "S. Hale");
    assert_eq!(status(here), "approved");
    let before = read(here.join("pull.signoff"));
    let again = sign(here, "approver", "S. Hale");
    assert!(again.status == 0 && again.err.contains("nothing was written") && read(here.join("pull.signoff")) == before, "{}", again.err);

    // Layout, comments and another place change nothing; prose changes the text alone.
    change(here, "take pull = 2.25", "# weighed twice\ntake  pull  =  2.25");
    assert_eq!(status(here), "approved");
    fs::create_dir(here.join("yard")).expect("a folder");
    for name in ["pull.md", "pull.signoff"] {
        fs::rename(here.join(name), here.join("yard").join(name)).expect("moved");
    }
    let moved = run(here, &["check", "yard"]);
    assert!(moved.out.contains("yard/pull.md  status approved"), "{}", moved.out);
    for name in ["pull.md", "pull.signoff"] {
        fs::rename(here.join("yard").join(name), here.join(name)).expect("moved back");
    }
    change(here, "The winch is", "The winch stands");
    assert!(shown(here).contains("text changed since, calculation unchanged"));
    assert_eq!(status(here), "approved");

    // 2.25 kN to 3.25 kN: above the 3 kN of the rope, and half of it at the post.
    change(here, "2.25 kN", "3.25 kN");
    assert_eq!(status(here), "draft (S. Hale as approver: approval is stale: 1 input changed, 1 result moved, 1 verdict flipped)");
    let shown = shown(here);
    assert!(shown.contains("check is stale: 1 input changed") && shown.contains("+500 N"), "{shown}");
    let page = run(here, &["build", "pull.md", "--out", "-"]).out;
    assert!(page.contains("Changed since") && page.contains("Names are declared, not proven"), "the page says so too");
    let refused = sign(here, "approver", "S. Hale");
    assert!(refused.status == 2 && refused.err.contains("its check is stale"), "{}", refused.err);
    assert_eq!(read(here.join("pull.signoff")), before, "a refusal writes nothing");
}

#[test]
fn nothing_is_approved_with_something_open() {
    let here = folder();
    let here = here.path();
    let open = SHEET.replace("take part = 0.5                from \"drawing 12\"", "assume part = 0.5  because \"even load\"");
    put(here, "pull.md", &open);
    signed(here, "originator", "M. Tolland");
    signed(here, "checker", "R. Okafor");
    let refused = sign(here, "approver", "S. Hale");
    assert!(refused.status == 2 && refused.err.contains("1 assumption is open (`part`)"), "{}", refused.err);

    for (old, new, words) in [
        ("rated  3 kN", "rated  2 kN", "1 check is not accepted (\"rope\")"),
        ("    rated  3 kN  from \"tag\"\n", "", "1 check is not evaluated (\"rope\")"),
    ] {
        let here = folder();
        let here = here.path();
        put(here, "pull.md", SHEET.replace(old, new));
        signed(here, "originator", "M. Tolland");
        signed(here, "checker", "R. Okafor");
        let refused = sign(here, "approver", "S. Hale");
        assert!(refused.status == 2 && refused.err.contains(words), "{}", refused.err);
    }
    for (old, new, words) in [
        ("sheet PL-01 \"Pull at the gate\"", "sheet \"Pull at the gate\"", "no number"),
        ("pull * part", "pull * parts", "the sheet has errors"),
    ] {
        let here = folder();
        put(here.path(), "pull.md", SHEET.replace(old, new));
        let refused = sign(here.path(), "originator", "M. Tolland");
        assert!(refused.status == 2 && refused.err.contains(words), "{}", refused.err);
        assert!(!here.path().join("pull.signoff").exists());
    }
    let here = folder();
    put(here.path(), "pull.md", SHEET);
    for date in ["2026-02-30", "14.03.2026", "2026-3-14", "today"] {
        let arguments = ["sign", "pull.md", "--role", "originator", "--name", "M. Tolland", "--meaning", "made", "--date", date];
        let refused = run(here.path(), &arguments).without_fault();
        assert!(refused.status == 2 && refused.err.contains("no date of the calendar"), "{date}: {}", refused.err);
    }
    assert_eq!(run(here.path(), &["sign", "pull.md", "--name", "M. Tolland"]).status, 2, "as what?");
}

// README, "Assumptions": confirming one changes what the sheet tells, not what it calculates.
#[test]
fn an_assumption_that_was_confirmed_between_two_signatures_is_no_input_that_changed() {
    let here = folder();
    let here = here.path();
    put(here, "pull.md", SHEET.replace("take part = 0.5                from \"drawing 12\"", "assume part = 0.5  because \"even load\""));
    signed(here, "originator", "M. Tolland");
    signed(here, "checker", "R. Okafor");
    change(here, "because \"even load\"", "because \"even load\" confirmed \"both legs weighed, M. T., May\"");
    assert_eq!(status(here), "checked");
    assert!(shown(here).contains("text changed since, calculation unchanged"));
    signed(here, "approver", "S. Hale");
    assert_eq!(status(here), "approved");

    // 2.25 kN to 2.5 kN and half of it: one input, one result, for whoever signed, and told once.
    change(here, "2.25 kN", "2.5 kN");
    let shown = shown(here);
    for what in ["signature", "check", "approval"] {
        assert!(shown.contains(&format!("{what} is stale: 1 input changed, 1 result moved")), "{what}: {shown}");
    }
    assert!(!shown.contains("2 inputs changed") && shown.matches("+125 N").count() == 1, "{shown}");
    let page = run(here, &["build", "pull.md", "--out", "-"]).out;
    let told: Vec<&str> = page.lines().filter(|line| line.contains("Changed since")).collect();
    assert!(told.len() == 1, "{told:?}");
    for who in ["M. Tolland as originator", "R. Okafor as checker", "S. Hale as approver"] {
        assert!(told[0].contains(who), "{who}: {told:?}");
    }

    // Who signed another state is told what changed since that one.
    signed(here, "originator", "M. Tolland");
    signed(here, "checker", "R. Okafor");
    change(here, "2.5 kN", "2.75 kN");
    let page = run(here, &["build", "pull.md", "--out", "-"]).out;
    let told: Vec<&str> = page.lines().filter(|line| line.contains("Changed since")).collect();
    assert!(told.len() == 2 && told[0].contains("R. Okafor") && told[1].contains("S. Hale"), "{told:?}");
}

#[test]
fn out_of_use_is_the_end_of_it() {
    let here = folder();
    let here = here.path();
    put(here, "pull.md", SHEET);
    let ran = run(here, &["sign", "pull.md", "--superseded-by", "PL-02", "--name", "M. Tolland", "--date", "2026-03-14"]);
    assert_eq!((ran.status, status(here).as_str()), (0, "superseded"), "{}", ran.err);
    let ran = run(here, &["sign", "pull.md", "--void", "the winch was sold", "--name", "M. Tolland", "--date", "2026-03-15"]);
    assert_eq!((ran.status, status(here).as_str()), (0, "void"), "{}", ran.err);
    let page = run(here, &["build", "pull.md", "--out", "-"]).out;
    assert!(page.contains("not to be used: the winch was sold"), "at the top of the page");
    let refused = sign(here, "originator", "M. Tolland");
    assert!(refused.status == 2 && refused.err.contains("the sheet is void"), "{}", refused.err);
}

#[test]
fn a_record_in_other_hands_does_not_count() {
    let here = folder();
    let here = here.path();
    put(here, "gear.md", "# Gear\n\n```rig\ngear rope \"rope\"\n    rated  3 kN  from \"tag\"\n```\n");
    let using = SHEET.replace("gear rope \"rope\"\n    rated  3 kN  from \"tag\"\n", "use \"gear.md\"\n");
    put(here, "pull.md", &using);
    signed(here, "originator", "M. Tolland");
    signed(here, "checker", "R. Okafor");
    let record = read(here.join("pull.signoff"));
    let slugs = |wanted: &str| {
        let ran = run(here, &["check", "pull.md"]).without_fault();
        assert!(ran.status == 1 && ran.err.contains(&format!("error[{wanted}]")), "{wanted}: {}", ran.err);
    };

    // A used file swapped for one that says something else; moved elsewhere it is the same file.
    put(here, "gear.md", "# Gear\n\n```rig\ngear rope \"rope\"\n    rated  5 kN  from \"tag\"\n```\n");
    assert!(status(here).starts_with("draft (R. Okafor as checker: check is stale: 1 "), "{}", status(here));
    put(here, "locker/gear.md", "# Gear, moved\n\n```rig\ngear rope \"rope\"\n    rated  3 kN  from \"tag\"   # as before\n```\n");
    change(here, "use \"gear.md\"", "use \"locker/gear.md\"");
    assert_eq!(status(here), "checked");

    // A digest edited to that of another calculation.
    let calc = record.split_once(" calc ").and_then(|(_, rest)| rest.get(..32)).expect("a digest").to_string();
    put(here, "pull.signoff", record.replace(&calc, &calc.chars().rev().collect::<String>()));
    slugs("signature-altered");
    put(here, "pull.signoff", record.replace("R. Okafor", "R. Okafar"));
    slugs("signature-altered");
    // Copied beside another sheet.
    put(here, "pull.signoff", &record);
    put(here, "other.md", read(here.join("pull.md")).replace("PL-01", "PL-02"));
    put(here, "other.signoff", &record);
    let ran = run(here, &["check", "other.md"]);
    assert!(ran.status == 1 && ran.err.contains("error[signature-elsewhere]") && ran.out.contains("status draft"), "{}", ran.err);
    // What is not a record at all is told, and nothing is added to it.
    put(here, "pull.signoff", b"\xff\xfe");
    slugs("file-not-text");
    let refused = sign(here, "approver", "S. Hale");
    assert!(refused.status == 2 && refused.err.contains("cannot be relied on"), "{}", refused.err);
    assert_eq!(fs::read(here.join("pull.signoff")).expect("left alone"), b"\xff\xfe");
}

fn git(repository: &Path, arguments: &[&str]) -> bool {
    let ran = Command::new("git")
        .current_dir(repository)
        .args(["-c", "user.name=t", "-c", "user.email=t@example.org", "-c", "commit.gpgsign=false", "-c", "init.defaultBranch=main"])
        .args(arguments)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .output()
        .expect("git is installed");
    ran.status.success()
}

// Two branches on each of which another checker signs, brought together.
fn merged(repository: &Path, from_nothing: bool) -> bool {
    let ok = |arguments: &[&str]| assert!(git(repository, arguments), "git {arguments:?}");
    put(repository, "pull.md", SHEET);
    if !from_nothing {
        signed(repository, "originator", "M. Tolland");
    }
    ok(&["add", "-A"]);
    ok(&["commit", "-qm", "sheet"]);
    for (branch, name) in [("a", "R. Okafor"), ("b", "S. Hale")] {
        ok(&["checkout", "-q", "-b", branch, "main"]);
        if from_nothing {
            signed(repository, "originator", "M. Tolland");
        }
        signed(repository, "checker", name);
        ok(&["add", "-A"]);
        ok(&["commit", "-qm", branch]);
    }
    git(repository, &["merge", "-q", "--no-edit", "a"])
}

#[test]
fn signatures_of_two_branches_are_kept() {
    for from_nothing in [false, true] {
        let here = folder();
        let here = here.path();
        assert!(git(here, &["init", "-q"]));
        put(here, ".gitattributes", "*.signoff merge=union\n");
        assert!(merged(here, from_nothing), "the merge goes through");
        assert_eq!(status(here), "checked");
        let shown = run(here, &["show", "pull.md"]);
        assert_eq!(
            (shown.status, shown.out.matches("as checker").count(), shown.out.matches(": current").count()),
            (0, 2, 3),
            "{}",
            shown.out
        );
    }
    // Without that line the merge stops, the sheet says why, and taking out the marks of the merge is all there is to do.
    let here = folder();
    let here = here.path();
    assert!(git(here, &["init", "-q"]));
    assert!(!merged(here, false), "git does not know that the lines stand by themselves");
    let ran = run(here, &["check", "pull.md"]);
    assert!(ran.status == 1 && ran.err.contains("error[record-unmerged]"), "{}", ran.err);
    let kept: Vec<String> =
        read(here.join("pull.signoff")).lines().filter(|line| !line.starts_with(['<', '=', '>'])).map(String::from).collect();
    put(here, "pull.signoff", kept.join("\n"));
    assert_eq!(status(here), "checked");
}

#[test]
fn what_a_project_demands_makes_the_exit_status() {
    let here = folder();
    let here = here.path();
    let checked = |expected: i32, words: &str| {
        let ran = run(here, &["check", "pull.md"]).without_fault();
        assert!(ran.status == expected && (ran.out + &ran.err).contains(words), "{expected}, {words}: {}", ran.err);
    };
    put(here, "pull.md", SHEET);
    checked(0, "status draft");
    put(here, "parbuckle.toml", "[demands]\nsign_off = \"checked\"\nnot_evaluated = \"refuse\"\nopen_assumptions = \"refuse\"\n");
    checked(5, "1 sheet without the sign-off that the project file demands");
    signed(here, "originator", "M. Tolland");
    checked(5, "status for review");
    signed(here, "checker", "R. Okafor");
    checked(0, "status checked");
    // 4 goes before 5, 3 before 4, 1 before 3.
    change(here, "take part = 0.5                from \"drawing 12\"", "assume part = 0.5  because \"even load\"");
    checked(4, "1 assumption open, 1 sheet without");
    change(here, "    rated  3 kN  from \"tag\"\n", "");
    checked(4, "1 check not evaluated, 1 assumption open");
    change(here, "gear rope \"rope\"\n", "gear rope \"rope\"\n    rated  1 kN  from \"tag\"\n");
    checked(3, "1 not accepted");
    change(here, "pull * part", "pull * parts");
    checked(1, "unknown-name");
    put(here, "parbuckle.toml", "");
    let built = run(here, &["build", "pull.md"]);
    assert_eq!(built.status, 1, "{}", built.err);
}

#[test]
fn two_builds_are_equal_wherever_and_whenever() {
    let build = |zone: &str, locale: &str| {
        let here = folder();
        put(here.path(), "pull.md", SHEET);
        signed(here.path(), "originator", "M. Tolland");
        signed(here.path(), "checker", "R. Okafor");
        let mut command = program(here.path());
        command.args(["build", ".", "--out", "out"]).env("TZ", zone).env("LC_ALL", locale).env("LANG", locale);
        let ran = finish(&mut command, b"");
        assert_eq!(ran.status, 0, "{}", ran.err);
        let mut files = vec![("record".to_string(), read(here.path().join("pull.signoff")))];
        for name in ["index.html", "pull.html", "pull.json", "kinds/tackle.html"] {
            files.push((name.to_string(), read(here.path().join("out").join(name))));
        }
        files
    };
    let (one, other) = (build("Pacific/Kiritimati", "C"), build("America/Adak", "tr_TR.UTF-8"));
    for ((name, one), (_, other)) in one.iter().zip(&other) {
        assert!(one == other, "{name} differs");
    }
}

// What one edit should be told as.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Sort {
    Layout,
    Text,
    Calculation,
}

const EDITS: [(Sort, &[(&str, &str)]); 3] = [
    (
        Sort::Layout,
        &[
            ("take pull =", "take   pull ="),
            ("take pull = 2.25 kN ± 0.1 kN", "take pull=2.25 kN±0.1 kN"),
            ("# the other half is held", "# N"),
            ("gear rope \"rope\"\n", "gear rope \"rope\"   # N\n"),
            ("    rated  3 kN", "  rated 3 kN"),
            ("take part", "\n\ntake part"),
            ("    revision    A", "    revision  A   # N"),
            ("winch is at the gate.\n", "winch is at the gate.  \n"),
            ("check \"rope\": pull", "# N\ncheck \"rope\":   pull"),
        ],
    ),
    (
        Sort::Text,
        &[
            ("The winch is", "The winch N is"),
            ("Half of it", "Half N of it"),
            ("That is all.", "That is N."),
            ("revision    A", "revision    BN"),
            ("2026-02-01", "2026-02-1N"),
            ("\"M. Tolland\"", "\"M. Tolland N\""),
            ("Pull at the gate", "Pull N at the gate"),
            ("# Pull", "# Pull N"),
            ("PL-01", "PL-N1"),
        ],
    ),
    (
        Sort::Calculation,
        &[
            ("2.25 kN", "2.25N kN"),
            ("± 0.1 kN", "± 0.1N kN"),
            ("± 0.1 kN", "± 0.1 kN (u)"),
            ("0.5 ", "0.5N "),
            ("pull * part", "pull / part"),
            ("pull * part as N", "part + N * pull as N"),
            ("<= rope.rated", "< rope.rated"),
            ("from \"tag\"", "from \"tag N\""),
            ("from \"drawing 12\"", "measured \"drawing 12\""),
            ("3 kN", "3 N"),
            ("3 kN", "3N kN"),
            ("\"at the post\"", "\"at post N\""),
            ("site rule 4", "site rule 4N"),
            ("That is all.", "```rig\nmore = N * pull\n```\n"),
            ("    rated  3 kN  from \"tag\"\n", ""),
        ],
    ),
];

// The sheet with some of the edits; with what has to come of it.
fn edited(picks: &[(usize, usize, u16)]) -> (String, Sort) {
    let (mut text, mut sort) = (SHEET.to_string(), [false; 2]);
    for (which, at, number) in picks {
        let (kind, list) = EDITS[which % 3];
        let (old, new) = list[at % list.len()];
        // 1 to 9, so that no number ends in a nought that says nothing.
        let digit = (number % 9 + 1).to_string();
        let new = if new.contains("kN") || new.contains("as N") || new.contains("3 N") {
            new.replacen("5N", &format!("5{digit}"), 1)
                .replacen("1N", &format!("1{digit}"), 1)
                .replacen("3N", &format!("3{digit}"), 1)
                .replacen("+ N", &format!("+ {digit}"), 1)
        } else {
            new.replace('N', &digit)
        };
        if !text.contains(old) {
            continue;
        }
        text = text.replacen(old, &new, 1);
        match kind {
            Sort::Layout => {}
            Sort::Text => sort[0] = true,
            Sort::Calculation => sort[1] = true,
        }
    }
    let said = match sort {
        [_, true] => Sort::Calculation,
        [true, false] => Sort::Text,
        [false, false] => Sort::Layout,
    };
    (text, said)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 10_000, failure_persistence: None, rng_seed: RngSeed::Fixed(811), ..ProptestConfig::default() })]

    #[test]
    fn every_edit_is_told_as_what_it_is(picks in proptest::collection::vec((0usize..3, 0usize..60, any::<u16>()), 1..4)) {
        let (text, sort) = edited(&picks);
        let calculates = engine::calculation(&text) != calculated();
        let tells = engine::telling(&text) != told();
        let found = if calculates { Sort::Calculation } else if tells { Sort::Text } else { Sort::Layout };
        prop_assert_eq!(found, sort, "{}", text);
    }
}

fn calculated() -> &'static str {
    static SAID: std::sync::LazyLock<String> = std::sync::LazyLock::new(|| engine::calculation(SHEET));
    &SAID
}

fn told() -> &'static str {
    static SAID: std::sync::LazyLock<String> = std::sync::LazyLock::new(|| engine::telling(SHEET));
    &SAID
}

fn ask(act: Act, name: &str) -> Ask {
    Ask { act, name: name.into(), meaning: "gone through".into(), date: "2026-03-14".into() }
}

// A record of a checked sheet, made through the library.
fn checked_record(path: &SheetPath) -> String {
    let mut record = String::new();
    for (act, name) in [(Act::Originator, "M. Tolland"), (Act::Checker, "R. Okafor")] {
        let files = MemoryFiles::new().with("pull.md", SHEET);
        let files = if record.is_empty() { files } else { files.with("pull.signoff", &record) };
        let (_, place, signed) = Engine::new().sign(&files, path, &ask(act, name)).expect("a sheet");
        assert_eq!(place.as_str(), "pull.signoff");
        record = signed.expect("taken").expect("new");
    }
    record
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, rng_seed: RngSeed::Fixed(811), ..ProptestConfig::default() })]

    #[test]
    fn a_signed_sheet_says_what_became_of_its_signatures(picks in proptest::collection::vec((0usize..3, 0usize..60, any::<u16>()), 1..3)) {
        static RECORD: std::sync::LazyLock<String> = std::sync::LazyLock::new(|| checked_record(&SheetPath::new("pull.md")));
        let (text, sort) = edited(&picks);
        if text.contains("PL-01") && !text.contains("# Pull 1\u{a0}") {
            let path = SheetPath::new("pull.md");
            let files = MemoryFiles::new().with("pull.md", &text).with("pull.signoff", &RECORD);
            let report = Engine::new().compile(&files, std::slice::from_ref(&path));
            let sheet = report.outcomes[0].sheet.as_ref().expect("a sheet");
            let standing = &sheet.sign_off.signatures[1].standing;
            let (status, words) = match sort {
                Sort::Layout => ("checked", "current"),
                Sort::Text => ("checked", "text changed since, calculation unchanged"),
                Sort::Calculation => ("draft", "check is stale: "),
            };
            assert!(sheet.status == status && standing.starts_with(words), "{} {standing}\n{text}", sheet.status);
            let words = standing.strip_prefix("check is stale: ").unwrap_or("something changed");
            assert!(!words.contains("nothing") && !words.is_empty(), "{standing}");
        }
    }
}

/// The records beside the worked examples hold. `UPDATE=1 cargo test signed_examples` has the same people sign again, which
/// is right when the example was changed on purpose and has been looked at.
#[test]
fn the_signed_examples_are_current() {
    let folder = folders::project().join("worked-examples");
    let mut files = MemoryFiles::new();
    for ending in ["md", "csv", "toml"] {
        for path in folders::files_under(&folder, ending) {
            files = files.with(&folders::relative(&path), &folders::text_of(&path));
        }
    }
    let records = folders::files_under(&folder, "signoff");
    assert!(records.len() >= 2, "the register shows more than drafts");
    let mut statuses = Vec::new();
    for record in records {
        let name = folders::relative(&record);
        let path = SheetPath::new(&name.replace(".signoff", ".md"));
        let held = files.clone().with(&name, &folders::text_of(&record));
        let sheet = Engine::new().compile(&held, std::slice::from_ref(&path)).outcomes.remove(0).sheet.expect("a sheet");
        let rows = &sheet.sign_off.signatures;
        if folders::updating() {
            let mut text = String::new();
            for row in rows {
                let act = Act::ALL.into_iter().find(|act| act.word() == row.role).expect("a role");
                let before = if text.is_empty() { files.clone() } else { files.clone().with(&name, &text) };
                let ask = Ask { act, name: row.name.clone(), meaning: row.meaning.clone(), date: row.date.clone() };
                let (.., signed) = Engine::new().sign(&before, &path, &ask).expect("a sheet");
                text = signed.unwrap_or_else(|refusal| panic!("{name}: {}", refusal.what)).unwrap_or(text);
            }
            fs::write(&record, text).unwrap_or_else(|error| panic!("{name}: {error}"));
            continue;
        }
        let stale: Vec<&str> = rows.iter().filter(|row| row.standing != "current").map(|row| row.standing.as_str()).collect();
        assert!(!rows.is_empty() && stale.is_empty(), "{name}: {stale:?}; look at the example, then `UPDATE=1 cargo test signed_examples`");
        statuses.push(sheet.status.clone());
    }
    statuses.dedup();
    assert!(folders::updating() || statuses.len() > 1, "{statuses:?}");
}

#[test]
fn records_of_cases_are_written_by_hand_nowhere() {
    // Every mark in the case file was made by the program, but in the cases that say otherwise.
    let file = case::read(&folders::project().join("tests/cases/signing/records.md"));
    let sound = file.cases.iter().filter(|case| case.marks.is_empty()).count();
    assert!(sound >= 9 && file.cases.len() > sound + 10, "{sound} of {}", file.cases.len());
}
