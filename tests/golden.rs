//! Every worked example as it is printed, byte for byte: text, JSON and page. `UPDATE=1 cargo test golden` rewrites them
//! and removes those of examples that are gone; a change of a golden is to be read like a change of the program.

use crate::support::folders;
use parbuckle::{Engine, MemoryFiles, Sheet, SheetPath, engine, output};
use std::collections::BTreeSet;
use std::io::Write;
use std::path::Path;

fn sheets() -> Vec<(String, Sheet)> {
    let folder = folders::project().join("worked-examples");
    let mut files = MemoryFiles::new();
    let mut roots = Vec::new();
    for path in folders::files_under(&folder, "md") {
        let name = folders::relative(&path);
        files = files.with(&name, &folders::text_of(&path));
        roots.push(SheetPath::new(&name));
    }
    for path in ["csv", "signoff"].iter().flat_map(|ending| folders::files_under(&folder, ending)) {
        files = files.with(&folders::relative(&path), &folders::text_of(&path));
    }
    let report = Engine::new().compile(&files, &roots);
    let sheets = report.outcomes.into_iter().map(|outcome| {
        let sheet = outcome.sheet.map(std::sync::Arc::unwrap_or_clone).unwrap_or_else(|| panic!("{}: {:?}", outcome.path, outcome.notices));
        let stem = outcome.path.as_str().trim_start_matches("worked-examples/").trim_end_matches(".md").to_string();
        (stem, sheet)
    });
    sheets.collect()
}

fn compare(path: &Path, printed: &str, faults: &mut Vec<String>) {
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(path, printed).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        return;
    }
    let before = std::fs::read_to_string(path).unwrap_or_default().replace("\r\n", "\n");
    let differs = before.lines().zip(printed.lines()).position(|(old, new)| old != new);
    if before != printed {
        let line = differs.unwrap_or_else(|| before.lines().count().min(printed.lines().count()));
        let show = |text: &str| text.lines().nth(line).unwrap_or("").chars().take(160).collect::<String>();
        faults.push(format!("{} line {}:\n  was {}\n  is  {}", folders::relative(path), line + 1, show(&before), show(printed)));
    }
}

#[test]
fn the_worked_examples_print_as_they_did() {
    let folder = folders::project().join("tests/golden");
    let mut faults = Vec::new();
    let mut names = BTreeSet::new();
    let sheets = sheets();
    assert!(sheets.len() >= 5, "four examples and the file one of them uses");
    for (stem, sheet) in &sheets {
        for (ending, printed) in [("txt", output::text(sheet)), ("json", output::json(sheet)), ("html", output::html(sheet))] {
            names.insert(format!("{stem}.{ending}"));
            compare(&folder.join(format!("{stem}.{ending}")), &printed, &mut faults);
        }
    }
    // The schema that the JSON keeps to, as `explain --schema` prints it.
    names.insert("sheet.schema.json".to_string());
    compare(&folder.join("sheet.schema.json"), &output::json_schema(), &mut faults);
    // One page of reference, as `build` writes it and as `explain` prints it.
    let tackle = engine::reference("tackle").expect("a kind of ours");
    let beside = output::Beside {
        kinds: engine::kind_words().map(|word| (word.to_string(), format!("kinds/{word}.html"))).collect(),
        kinds_index: "kinds/index.html".into(),
        ..output::Beside::default()
    };
    let page = output::html_beside(&tackle, &beside, "kinds/tackle.html");
    for (name, printed) in [("kinds-tackle.txt", output::reference(&tackle)), ("kinds-tackle.html", page)] {
        names.insert(name.to_string());
        compare(&folder.join(name), &printed, &mut faults);
    }
    for entry in std::fs::read_dir(&folder).into_iter().flatten().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if !names.contains(&name) {
            if std::env::var_os("UPDATE").is_some() {
                std::fs::remove_file(entry.path()).unwrap_or_else(|error| panic!("{name}: {error}"));
            } else {
                faults.push(format!("tests/golden/{name} belongs to no worked example"));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_worked_examples_are_complete_and_nothing_fails() {
    for (stem, sheet) in sheets() {
        assert!(sheet.complete, "{stem}: {:?}", sheet.notices);
        let failed: Vec<_> = sheet.checks.iter().filter(|check| check.verdict == "FAIL").map(|check| &check.title).collect();
        assert!(failed.is_empty(), "{stem}: {failed:?}");
        for train in &sheet.trains {
            assert!(train.balance_words.contains("leaves nothing"), "{stem}: {}", train.balance_words);
        }
    }
}

#[test]
fn the_answer_of_every_worked_example_has_its_five_lines() {
    let mut questions = 0;
    for (stem, sheet) in sheets() {
        if sheet.checks.is_empty() && sheet.machines.is_empty() && sheet.title_block.question.is_empty() {
            assert!(sheet.answer.is_empty(), "{stem} answers nothing");
            continue;
        }
        let labels: Vec<&str> = sheet.answer.iter().map(|line| line.label.as_str()).collect();
        assert_eq!(labels, ["Question", "Governing check", "What it allows", "Rests on", "Still open"], "{stem}");
        let page = output::html(&sheet);
        for line in &sheet.answer {
            assert_eq!(line.text, line.parts.iter().map(|part| part.text.as_str()).collect::<String>(), "{stem}");
            assert!(!line.text.is_empty() && !line.text.contains(['{', '}']), "{stem}: {line:?}");
            for part in line.parts.iter().filter(|part| !part.anchor.is_empty()) {
                assert!(page.contains(&format!("<a href=\"#{}\">", part.anchor)), "{stem}: {part:?} leads nowhere");
            }
        }
        questions += usize::from(sheet.answer[0].text == sheet.title_block.question);
        // What is open is named there: every check without a verdict, and every assumption that nobody has made sure of.
        let open = &sheet.answer[4].text;
        for check in sheet.checks.iter().filter(|check| check.verdict != "PASS" && check.accepted != Some(true)) {
            assert!(open.contains(&check.number), "{stem}: {} is not in {open}", check.number);
        }
    }
    assert!(questions >= 10, "most worked examples ask something");
}

/// The largest page, packed as servers pack it (RFC 1952), in bytes: what a page may be where the line is slow.
const PACKED: usize = 60_000;

#[test]
fn the_largest_worked_example_is_small_when_packed() {
    let packed = |page: &str| {
        let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
        packer.write_all(page.as_bytes()).expect("memory takes it all");
        packer.finish().expect("memory takes it all").len()
    };
    let sizes: Vec<(String, usize)> = sheets().iter().map(|(stem, sheet)| (stem.clone(), packed(&output::html(sheet)))).collect();
    let (stem, most) = sizes.iter().max_by_key(|(_, size)| *size).expect("there are worked examples");
    assert!(*most < PACKED, "{stem} takes {most} bytes of {PACKED}");
    // A page is whole: the largest is not small for want of its working.
    assert!(*most > 20_000, "{stem} takes {most} bytes");
}
