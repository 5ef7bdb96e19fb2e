//! The built-in kinds: each is a document in our own language, and must stand the tests a sheet must stand.

use crate::support::case::{Document, MAIN};
use crate::support::fences::fences;
use crate::support::{compile, folders};
use std::path::PathBuf;

/// What every machine and every train has: documents too, but no kinds an author can name.
const SHARED: [&str; 2] = ["every", "train"];

fn documents() -> Vec<(String, PathBuf)> {
    let folder = folders::project().join("src/kinds");
    folders::files_under(&folder, "md").into_iter().map(|path| (folders::relative(&path), path)).collect()
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
        // A worked case may raise a question of its kind: that is what the question is for.
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
        let text = folders::text_of(&document);
        assert!(text.lines().any(|line| line.starts_with(&format!("kind {word}"))), "src/kinds/{word}/kind.md declares no `kind {word}`");
    }
    assert!(count >= 3, "only {count} kinds");
}
