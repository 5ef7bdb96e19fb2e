//! Runs every case under `tests/cases`, one test a folder, so that a folder's failures are read together.

use crate::support::{case, compare, folders, renew};
use std::fmt::Write;
use std::path::Path;

const FOLDERS: [&str; 14] = [
    "checks",
    "comparing",
    "document",
    "doubt",
    "files",
    "house",
    "machines",
    "names",
    "published",
    "readings",
    "signing",
    "studies",
    "syntax",
    "units",
];

fn run(folder: &str) {
    let files = folders::files_under(&folders::project().join("tests/cases").join(folder), "md");
    assert!(!files.is_empty(), "tests/cases/{folder} holds no case file");
    let mut report = String::new();
    let (mut failed, mut all) = (0, 0);
    for path in files {
        if folders::updating() {
            update(&path);
        }
        let file = case::read(&path);
        assert!(!file.cases.is_empty(), "{} holds no case", file.name);
        for one in &file.cases {
            let (_, differences) = compare::differences(one);
            all += 1;
            if differences.is_empty() {
                continue;
            }
            failed += 1;
            let _ = writeln!(report, "\n{}:{}: {}", file.name, one.heading, one.title);
            for difference in differences {
                let _ = writeln!(report, "    {difference}");
            }
        }
    }
    assert!(failed == 0, "{failed} of {all} cases in tests/cases/{folder} differ\n{report}");
}

// A mark that is put in moves what stands below it, so the file is rewritten until it stays as it is.
fn update(path: &Path) {
    for _ in 0..3 {
        let file = case::read(path);
        let seen: Vec<_> = file.cases.iter().map(|one| compare::differences(one).0).collect();
        let text = renew::renewed(&file, &seen);
        if text == folders::text_of(path) {
            return;
        }
        std::fs::write(path, text).unwrap_or_else(|error| panic!("{}: {error}", file.name));
    }
}

#[test]
fn checks() {
    run("checks");
}

#[test]
fn comparing() {
    run("comparing");
}

#[test]
fn document() {
    run("document");
}

#[test]
fn doubt() {
    run("doubt");
}

#[test]
fn files() {
    run("files");
}

#[test]
fn house() {
    run("house");
}

#[test]
fn machines() {
    run("machines");
}

#[test]
fn names() {
    run("names");
}

#[test]
fn published() {
    run("published");
}

#[test]
fn readings() {
    run("readings");
}

#[test]
fn signing() {
    run("signing");
}

#[test]
fn studies() {
    run("studies");
}

#[test]
fn syntax() {
    run("syntax");
}

#[test]
fn units() {
    run("units");
}

#[test]
fn no_folder_is_forgotten() {
    let root = folders::project().join("tests/cases");
    let mut found: Vec<String> = std::fs::read_dir(&root)
        .expect("the folder of cases is there")
        .flatten()
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect();
    found.sort();
    assert_eq!(found, FOLDERS, "a folder of cases without its test, or a file beside the folders");
}

#[test]
fn no_title_is_used_twice_in_a_file() {
    for path in folders::files_under(&folders::project().join("tests/cases"), "md") {
        let file = case::read(&path);
        let mut titles: Vec<&str> = file.cases.iter().map(|case| case.title.as_str()).collect();
        titles.sort_unstable();
        let twice: Vec<_> = titles.windows(2).filter(|pair| pair[0] == pair[1]).map(|pair| pair[0]).collect();
        assert!(twice.is_empty(), "{}: {twice:?}", file.name);
    }
}

/// At least seventy published examples, each with its source beside it and at least one number compared.
#[test]
fn published_examples_name_their_source() {
    let files = folders::files_under(&folders::project().join("tests/cases/published"), "md");
    let mut count = 0;
    let mut faults = Vec::new();
    for path in files {
        let file = case::read(&path);
        for one in &file.cases {
            count += 1;
            let prose = file.lines[one.heading..one.last].iter().find(|line| line.starts_with("Source: "));
            let place = format!("{}:{}: {}", file.name, one.heading, one.title);
            match prose {
                None => faults.push(format!("{place}: no line begins with `Source: `")),
                Some(line) if !["(read)", "(read in a companion)", "(memory)", "(derived)"].iter().any(|how| line.contains(how)) => {
                    faults.push(format!("{place}: the source does not say how it is known"));
                }
                Some(_) => {}
            }
            let compared = one.expected.iter().any(|expected| matches!(expected.what, crate::support::expect::Expect::Value(_)));
            if !compared {
                faults.push(format!("{place}: nothing is compared"));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(count >= 70, "only {count} published examples");
}

/// At least forty mistakes of one kind each: one finding, the rest of the sheet worked, and the sheet incomplete.
#[test]
fn single_mistakes_are_forty_and_single() {
    let file = case::read(&folders::project().join("tests/cases/syntax/single-mistakes.md"));
    assert!(file.cases.len() >= 40, "only {} single mistakes", file.cases.len());
    for one in &file.cases {
        use crate::support::expect::Expect;
        let apart = one.expected.iter().filter(|expected| matches!(expected.what, Expect::Finding { .. })).count();
        assert_eq!(one.marks.len() + apart, 1, "{}:{}: one mistake, one mark", file.name, one.heading);
        let value = one.expected.iter().any(|expected| matches!(expected.what, Expect::Value(_)));
        let incomplete = one.expected.iter().any(|expected| expected.what == Expect::Complete(false));
        assert!(value && incomplete, "{}:{}: a later value and `incomplete` are to be expected", file.name, one.heading);
    }
}
