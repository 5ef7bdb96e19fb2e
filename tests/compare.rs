//! `compare` against a repository made here with a real git: twenty revisions of three sheets, each with a change that is
//! known, and the lists that must come of it. What the figures must be follows from the change by hand.

use crate::support::program::{folder, put, run};
use std::path::Path;
use std::process::Command;

const HOIST: &str = r#"# Hoist

Bring the crate up.

```rig
sheet CR-01 "Crate to the loft"
    revision  A
    duty      lift

take crate "crate" = 100 kg ± 2 kg  weighed "scale"
assume loss "loss at one sheave" = 0.05  because "bronze bushes"

gear rope "hauling rope"
    rated  600 N  from "tag"

w "weight" = weight(crate) as N

machine falls = tackle
    parts        4
    sheave loss  loss

train haul: hand -> falls -> w

check "rope": falls.largest_part <= rope.rated
```
"#;

const PRY: &str = r#"# Pry

```rig
sheet CR-02 "Stone on its edge"

take stone = 1.2 kN  from "drawing"
take long  = 1.5 m   measured "tape"
take short = 0.25 m  measured "tape"

effort "at the end of the bar" = stone * short / long as N
check "one person": effort <= 250 N
```
"#;

const SHARED: &str = r#"# Locker

```rig
sheet CR-03 "Rope locker"

gear cord "cord"
    rated  900 N  from "tag"
```
"#;

fn git(repository: &Path, arguments: &[&str]) {
    let ran = Command::new("git")
        .current_dir(repository)
        .args(["-c", "user.name=t", "-c", "user.email=t@example.org", "-c", "commit.gpgsign=false", "-c", "init.defaultBranch=main"])
        .args(arguments)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .output()
        .expect("git is installed");
    assert!(ran.status.success(), "git {arguments:?}: {}", String::from_utf8_lossy(&ran.stderr));
}

// A change of one sheet and what must be told of it, line by line (trimmed), below the line that names the sheet.
struct Edit {
    sheet: &'static str,
    old: &'static str,
    new: &'static str,
    summary: &'static str,
    told: &'static [&'static str],
}

const fn edit(sheet: &'static str, old: &'static str, new: &'static str, summary: &'static str, told: &'static [&'static str]) -> Edit {
    Edit { sheet, old, new, summary, told }
}

const EDITS: [Edit; 20] = [
    edit("a.md", "Bring the crate up.", "Bring it up.", "text changed, calculation unchanged", &["Prose, or who and when, changed."]),
    edit("a.md", "revision  A", "revision  B", "text changed, calculation unchanged", &["revision: A → B"]),
    edit("a.md", "take crate \"crate\" =", "take   crate \"crate\"   =", "nothing changed", &[]),
    edit("a.md", "\ngear rope", "\n# the rope\ngear rope", "nothing changed", &[]),
    // Weight follows mass: 9.80665 N for each kilogram, 98.0665 N for 10.
    edit(
        "a.md",
        "= 100 kg",
        "= 110 kg",
        "1 input changed,",
        &["crate (crate): (100 ± 2) kg → (110 ± 2) kg", "w: (981 ± 23) N → (1079 ± 23) N  (+98.1 N, +10.0 %, 4.3 U)"],
    ),
    edit(
        "a.md",
        "± 2 kg",
        "± 3 kg",
        "1 input changed,",
        &["crate (crate, doubt): ± 2 kg, limits of error (rectangular) → ± 3 kg, limits of error (rectangular)"],
    ),
    edit("a.md", "\"scale\"", "\"crane scale\"", "1 source changed", &["crate (crate, source): weighed scale → weighed crane scale"]),
    edit("a.md", "rated  600 N", "rated  200 N", "1 input changed, 1 verdict flipped", &["rope.rated (rated load): 600 N → 200 N"]),
    edit("a.md", "parts        4", "parts        5", "1 input changed,", &["falls.parts (rope parts at the running block): 4 → 5"]),
    edit(
        "a.md",
        "    sheave loss  loss\n",
        "    sheave loss  loss\n    rove         to advantage\n",
        "",
        &["falls (rove): to disadvantage → to advantage"],
    ),
    edit("a.md", "falls", "fall_rig", "", &["fall_rig (renamed): falls → fall_rig"]),
    edit(
        "b.md",
        "take long  = 1.5 m   measured \"tape\"\ntake short = 0.25 m  measured \"tape\"",
        "take short = 0.25 m  measured \"tape\"\ntake long  = 1.5 m   measured \"tape\"",
        "written otherwise, with the same inputs, results and verdicts",
        &[],
    ),
    // Moments: 1.2 kN x 0.25 m / 1.5 m = 200 N, and with 1.2 m it is 250 N.
    edit(
        "b.md",
        "1.5 m ",
        "1.2 m ",
        "1 input changed, 1 result moved",
        &["long: 1.5 m → 1.2 m", "effort: 200 N → 250 N  (+50.0 N, +25.0 %)", "one person (PASS): 0.80 → 1.00"],
    ),
    edit(
        "b.md",
        "1.2 m ",
        "1.0 m ",
        "1 input changed, 1 result moved, 1 verdict flipped",
        &["one person: PASS, 1.00 → FAIL, 1.20", "effort: 250 N → 300 N  (+50.0 N, +20.0 %)"],
    ),
    edit("b.md", "<= 250 N", "<= 250 N  ref \"handbook, 2020\"", "1 source changed", &["one person (reference): new, handbook, 2020"]),
    edit("b.md", "check \"one person\"", "half = effort / 2\ncheck \"one person\"", "1 result came or went", &["half: new, 150 N"]),
    edit("b.md", "half = effort / 2\n", "", "1 result came or went", &["half: gone, was 150 N"]),
    edit("b.md", "\"Stone on its edge\"", "\"Stone turned\"", "text changed", &["title: Stone on its edge → Stone turned"]),
    edit("c.md", "rated  900 N", "rated  800 N", "1 input changed", &["cord.rated (rated load): 900 N → 800 N"]),
    edit(
        "c.md",
        "gear cord \"cord\"\n    rated  800 N  from \"tag\"\n",
        "gear cord \"cord\"\n    rated  800 N  from \"tag\"\ngear line \"line\"\n    rated  1 kN  from \"tag\"\n",
        "1 input changed",
        &["line.rated (rated load, rating): new, 1 kN"],
    ),
];

#[test]
fn every_revision_gives_the_list_of_its_change() {
    let here = folder();
    let repository = here.path();
    git(repository, &["init", "-q"]);
    let mut texts =
        std::collections::BTreeMap::from([("a.md", HOIST.to_string()), ("b.md", PRY.to_string()), ("c.md", SHARED.to_string())]);
    for (name, text) in &texts {
        put(repository, &format!("sheets/{name}"), text);
    }
    git(repository, &["add", "-A"]);
    git(repository, &["commit", "-q", "-m", "0"]);
    for (number, edit) in EDITS.iter().enumerate() {
        let text = texts.get_mut(edit.sheet).expect("one of the three");
        assert!(text.contains(edit.old), "revision {number}: {}", edit.old);
        *text = text.replace(edit.old, edit.new);
        put(repository, &format!("sheets/{}", edit.sheet), &*text);
        git(repository, &["commit", "-q", "-a", "-m", &number.to_string()]);
        let ran = run(repository, &["compare", "HEAD~1:sheets", "HEAD:sheets"]).without_fault();
        assert_eq!(ran.status, 0, "revision {number}: {}", ran.err);
        let plain = ran.out.replace('\u{a0}', " ");
        let (mut other, mut own) = (0, String::new());
        for section in plain.split("\nHEAD~1:").map(|section| section.trim_start_matches("HEAD~1:")) {
            if section.starts_with(&format!("sheets/{}", edit.sheet)) {
                own = section.to_string();
            } else {
                assert!(section.contains(": nothing changed"), "revision {number}: {section}");
                other += 1;
            }
        }
        assert_eq!(other, 2, "revision {number}: {plain}");
        assert!(own.lines().next().is_some_and(|line| line.contains(&format!(": {}", edit.summary))), "revision {number}: {own}");
        for told in edit.told {
            assert!(own.lines().any(|line| line.trim() == *told), "revision {number}: {told:?} in\n{own}");
        }
        if edit.told.is_empty() {
            assert_eq!(own.trim_end().lines().count(), 1, "revision {number}: {own}");
        }
    }
    // A change of names alone moves nothing; a machine rove otherwise moves its forces.
    let renamed = run(repository, &["compare", "HEAD~10:sheets/a.md", "HEAD~9:sheets/a.md"]);
    assert!(!renamed.out.contains("Results") && !renamed.out.contains("gone"), "{}", renamed.out);
    // The work tree is as it was, and may be one side.
    put(repository, "sheets/b.md", texts["b.md"].replace("1.0 m", "1.1 m"));
    let beside = run(repository, &["compare", "HEAD:sheets", "sheets"]);
    assert!(beside.out.contains("long: 1\u{a0}m → 1.1\u{a0}m") || beside.out.contains("long: 1.0\u{a0}m → 1.1\u{a0}m"), "{}", beside.out);
    // From a folder inside, paths count from there.
    let inside = run(&repository.join("sheets"), &["compare", "HEAD:b.md", "b.md", "--format", "json"]);
    let read: serde_json::Value = serde_json::from_str(&inside.out).expect("JSON");
    assert_eq!(read["sheets"][0]["difference"]["inputs"][0]["what"], "long");
}

#[test]
fn what_cannot_be_compared_is_told() {
    let here = folder();
    put(here.path(), "a.md", PRY);
    for arguments in [["compare", "none:a.md", "a.md"], ["compare", "--help:a.md", "a.md"], ["compare", "b.md", "a.md"]] {
        let ran = run(here.path(), &arguments).without_fault();
        assert_eq!(ran.status, 2, "{arguments:?}: {}", ran.err);
    }
    git(here.path(), &["init", "-q"]);
    git(here.path(), &["add", "-A"]);
    git(here.path(), &["commit", "-q", "-m", "0"]);
    for side in ["none:a.md", "HEAD:../a.md", "HEAD:b.md", "--help:a.md"] {
        let ran = run(here.path(), &["compare", side, "a.md"]).without_fault();
        assert_eq!(ran.status, 2, "{side}: {}", ran.err);
    }
}

#[test]
fn a_moved_sheet_is_found_by_its_number() {
    let here = folder();
    put(here.path(), "old/x/a.md", HOIST);
    put(here.path(), "old/b.md", PRY);
    put(here.path(), "new/a.md", HOIST);
    put(here.path(), "new/c.md", SHARED);
    let ran = run(here.path(), &["compare", "old", "new"]).without_fault();
    let lines: Vec<&str> = ran.out.lines().filter(|line| !line.is_empty()).collect();
    assert_eq!(
        lines,
        [
            "old/x/a.md → new/a.md  CR-01 Crate to the loft: nothing changed",
            "new/c.md  CR-03 Rope locker: a new sheet",
            "old/b.md  CR-02 Stone on its edge: the sheet is gone"
        ]
    );
}

// The two lines of the README, tried: git's own diff of a sheet shows what it comes to.
#[test]
fn show_serves_as_the_text_that_git_compares() {
    let here = folder();
    let repository = here.path();
    git(repository, &["init", "-q"]);
    put(repository, ".gitattributes", "*.md diff=sheet\n");
    put(repository, "pry.md", PRY);
    let converter = format!("\"{}\" show", env!("CARGO_BIN_EXE_parbuckle"));
    git(repository, &["config", "diff.sheet.textconv", &converter]);
    git(repository, &["add", "-A"]);
    git(repository, &["commit", "-q", "-m", "0"]);
    put(repository, "pry.md", PRY.replace("1.5 m ", "1.2 m "));
    let ran = Command::new("git").current_dir(repository).args(["diff", "--no-color", "-U0"]).output().expect("git is installed");
    let text = String::from_utf8_lossy(&ran.stdout).replace('\u{a0}', " ");
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    let changed: Vec<&str> =
        text.lines().filter(|line| line.starts_with(['+', '-']) && !line.starts_with("+++") && !line.starts_with("---")).collect();
    assert!(changed.iter().any(|line| line.starts_with('-') && line.contains("200 N")), "{text}");
    assert!(changed.iter().any(|line| line.starts_with('+') && line.contains("250 N")), "{text}");
    assert!(!text.contains("nowhere"), "{text}");
}
