//! The built-in kinds: each is a document in our own language, and must stand the tests a sheet must stand.

use crate::support::case::{Document, MAIN};
use crate::support::fences::fences;
use crate::support::{compile, folders};
use std::collections::BTreeSet;
use std::path::PathBuf;

/// What every machine and every train has: documents too, but no kinds an author can name.
const SHARED: [&str; 2] = ["every", "train"];

fn documents() -> Vec<(String, PathBuf)> {
    let folder = folders::project().join("src/kinds");
    let documents = folders::files_under(&folder, "md").into_iter().filter(|path| path.ends_with("kind.md"));
    documents.map(|path| (folders::relative(&path), path)).collect()
}

// The items of the kinds of a document: the first line of each with those that continue it.
fn items(text: &str) -> Vec<(usize, String)> {
    let lines: Vec<String> = text.split('\n').map(str::to_string).collect();
    let mut found: Vec<(usize, String)> = Vec::new();
    for fence in fences(&lines, 1).iter().filter(|fence| fence.word() == "rig") {
        let mut inside = false;
        let mut depth = None;
        for number in fence.open + 1..fence.close.unwrap_or(lines.len()) {
            let line = &lines[number - 1];
            let body = line.trim_start();
            if body.is_empty() || body.starts_with('#') {
                continue;
            }
            let indent = line.len() - body.len();
            if indent == 0 {
                inside = body.starts_with("kind ");
                depth = None;
            } else if inside {
                let own = *depth.get_or_insert(indent);
                match found.last_mut() {
                    Some((_, item)) if indent > own => {
                        item.push(' ');
                        item.push_str(body);
                    }
                    _ => found.push((number, body.to_string())),
                }
            }
        }
    }
    found
}

// The item without the words between quotation marks, which are left as `""`.
fn bare(item: &str) -> String {
    item.split('"').enumerate().map(|(at, part)| if at % 2 == 0 { part } else { "\"\"" }).collect()
}

#[test]
fn every_kind_document_compiles_without_a_finding_and_its_checks_pass() {
    let mut faults = Vec::new();
    for (name, path) in documents() {
        if SHARED.iter().any(|shared| name.contains(&format!("/{shared}/"))) {
            continue;
        }
        let seen = compile::compile(&[Document { path: MAIN.to_string(), text: folders::text_of(&path) }]);
        // A question is no fault: a published case may well be an unusual one.
        for notice in seen.notices.iter().filter(|notice| notice.slug != "question") {
            faults.push(format!("{name}:{}: {}[{}] {}", notice.place.line, notice.severity, notice.slug, notice.headline));
        }
        let Some(sheet) = seen.sheet else {
            faults.push(format!("{name}: no sheet came of it"));
            continue;
        };
        if sheet.checks.is_empty() {
            faults.push(format!("{name}: no worked case is checked in it"));
        }
        for check in sheet.checks.iter().filter(|check| check.verdict != "PASS") {
            faults.push(format!("{name}: check \"{}\" reads {} {}", check.title, check.verdict, check.remark));
        }
        if !sheet.complete {
            faults.push(format!("{name}: the sheet is incomplete"));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_field_and_option_is_named_in_words_and_every_default_has_a_source() {
    let mut faults = Vec::new();
    let mut fields = 0;
    for (name, path) in documents() {
        for (number, item) in items(&folders::text_of(&path)) {
            let words = bare(&item);
            let first = words.split_whitespace().next().unwrap_or("");
            if !matches!(first, "field" | "option") {
                continue;
            }
            fields += 1;
            // The label is the first quoted part; one that follows a word of evidence is none.
            let before = words.split('"').next().unwrap_or("");
            let label = words.contains('"') && !["from ", "ref ", "because "].iter().any(|word| before.ends_with(word));
            if !label {
                faults.push(format!("{name}:{number}: no label: {item}"));
            }
            let sourced = ["from \"\"", "ref \"\"", "because \"\""].iter().any(|clause| words.contains(clause));
            if first == "field" && words.contains(" default ") && !sourced {
                faults.push(format!("{name}:{number}: a default without a source: {item}"));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(fields >= 15, "only {fields} fields and options are found in src/kinds");
}

#[test]
fn every_limit_question_and_caution_says_something() {
    let mut faults = Vec::new();
    for (name, path) in documents() {
        for (number, item) in items(&folders::text_of(&path)) {
            let first = item.split_whitespace().next().unwrap_or("");
            if matches!(first, "limit" | "question" | "sustains" | "caution") && !item.contains('"') {
                faults.push(format!("{name}:{number}: {first} without words"));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_kind_folder_has_its_document_and_its_sketch() {
    let folder = folders::project().join("src/kinds");
    let mut count = 0;
    for entry in std::fs::read_dir(&folder).expect("src/kinds is there").flatten() {
        if !entry.path().is_dir() {
            continue;
        }
        count += 1;
        let word = entry.file_name().to_string_lossy().into_owned();
        let document = entry.path().join("kind.md");
        assert!(document.is_file(), "src/kinds/{word} has no kind.md");
        if SHARED.contains(&word.as_str()) {
            continue;
        }
        assert!(entry.path().join("sketch.rs").is_file(), "src/kinds/{word} has no sketch.rs");
        for own in ["german.rs", "german.md"] {
            assert!(entry.path().join(own).is_file(), "src/kinds/{word} has no {own}");
        }
        let text = folders::text_of(&document);
        assert!(text.lines().any(|line| line.starts_with(&format!("kind {word}"))), "src/kinds/{word}/kind.md declares no `kind {word}`");
    }
    assert!(count >= 3, "only {count} kinds");
}

/// What the fences of a kind's document say in words: what it is, labels, choices, what its limits and cautions say, references,
/// and what its worked cases say.
fn texts(text: &str) -> BTreeSet<String> {
    let mut all: BTreeSet<String> = BTreeSet::new();
    let lines: Vec<String> = text.split('\n').map(str::to_string).collect();
    for fence in fences(&lines, 1).iter().filter(|fence| fence.word() == "rig") {
        let inside = lines.iter().take(fence.close.unwrap_or(lines.len()) - 1).skip(fence.open);
        all.extend(inside.flat_map(|line| line.split('"').skip(1).step_by(2).map(str::to_string)));
    }
    for (_, item) in items(text) {
        let words = bare(&item);
        if let Some((name, choices)) = words.strip_prefix("option ").and_then(|rest| rest.split_once(':')) {
            all.extend(name.split_whitespace().next().map(|name| name.replace('_', " ")));
            let choices = choices.split(" default ").next().unwrap_or("");
            all.extend(choices.split('|').map(|choice| choice.trim().to_string()));
        }
    }
    all
}

// The numbers in a text, whatever sign stands between units and tenths.
fn numbers(text: &str) -> Vec<&str> {
    let mut all: Vec<&str> = text.split(|letter: char| !letter.is_ascii_digit()).filter(|digits| !digits.is_empty()).collect();
    all.sort_unstable();
    all
}

#[test]
fn every_text_of_every_kind_has_its_german_with_the_same_numbers() {
    let (mut faults, mut count) = (Vec::new(), 0);
    for (name, path) in documents() {
        let word = path.parent().and_then(|folder| folder.file_name()).expect("a kind has a folder").to_string_lossy().into_owned();
        for text in texts(&folders::text_of(&path)) {
            count += 1;
            let Some(german) = parbuckle::kinds::german(&word, &text) else {
                faults.push(format!("{name}: no German for \"{text}\"; its row belongs beside it, into german.rs"));
                continue;
            };
            let ends = |text: &str| text.chars().last().filter(|last| ".?".contains(*last));
            if german.trim().is_empty() || numbers(&text) != numbers(german) || ends(&text) != ends(german) {
                faults.push(format!("{name}: \"{text}\" and \"{german}\" do not say the same"));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(count > 1500, "only {count} texts are found in src/kinds");
}

#[test]
fn no_german_of_a_kind_is_left_over() {
    let folder = folders::project().join("src/kinds");
    let said: Vec<(PathBuf, BTreeSet<String>)> =
        documents().into_iter().map(|(_, path)| (path.with_file_name("german.rs"), texts(&folders::text_of(&path)))).collect();
    let mut faults = Vec::new();
    for path in folders::files_under(&folder, "rs").into_iter().filter(|path| path.ends_with("german.rs")) {
        for row in folders::text_of(&path).lines().filter_map(|line| line.trim().strip_prefix("(\"")) {
            let english = row.split("\", \"").next().unwrap_or("");
            // What several kinds say alike stands above them; what every machine has is said for them all.
            let own = said.iter().find(|(beside, _)| *beside == path);
            let used = match own {
                Some((_, texts)) => texts.contains(english),
                None => said.iter().filter(|(_, texts)| texts.contains(english)).count() > 1,
            };
            if !used {
                faults.push(format!("{}: \"{english}\" is said by no document it is for", folders::relative(&path)));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
