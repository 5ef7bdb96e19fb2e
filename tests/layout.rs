//! The one layout of fences: done twice it is done once, and it never changes what a sheet says.

use crate::support::folders;
use parbuckle::{Engine, MemoryFiles, SheetPath, engine, output};
use proptest::prelude::*;

// Every document of the tests and examples, those with mistakes included.
fn documents() -> Vec<(String, String)> {
    let mut found = Vec::new();
    for folder in ["worked-examples", "tests/cases", "src/kinds"] {
        for path in folders::files_under(&folders::project().join(folder), "md") {
            found.push((folders::relative(&path), folders::text_of(&path)));
        }
    }
    assert!(found.len() > 100, "{} documents", found.len());
    found
}

fn in_fences(text: &str, change: impl Fn(&str) -> String) -> String {
    let mut inside = false;
    let lines = text.lines().map(|line| {
        if line.starts_with("```") {
            inside = line.starts_with("```rig");
            return line.to_string();
        }
        if inside { change(line) } else { line.to_string() }
    });
    lines.map(|line| line + "\n").collect()
}

// What a sheet comes to, less the places that its findings name and the digests of its file.
fn printed(text: &str) -> String {
    let files = MemoryFiles::new().with("a.md", text);
    let report = Engine::new().compile(&files, &[SheetPath::new("a.md")]);
    report
        .outcomes
        .into_iter()
        .filter_map(|outcome| outcome.sheet.map(std::sync::Arc::unwrap_or_clone))
        .map(|mut sheet| {
            let told: Vec<String> = sheet.notices.iter().map(|notice| format!("{} {}", notice.slug, notice.headline)).collect();
            sheet.notices.clear();
            let lines = output::text(&sheet);
            let kept: Vec<&str> = lines.lines().filter(|line| !line.contains("digest") && !line.contains("a.md")).collect();
            format!("{told:?}\n{}", kept.join("\n"))
        })
        .collect()
}

#[test]
fn done_twice_it_is_done_once() {
    for (name, text) in documents() {
        let once = engine::formatted(&text);
        let twice = engine::formatted(&once);
        assert!(once == twice, "{name}: {:?}", once.lines().zip(twice.lines()).find(|(one, two)| one != two));
        assert_eq!(engine::calculation(&text), engine::calculation(&once), "{name}");
    }
}

#[test]
fn prose_and_comments_stay() {
    for (name, text) in documents() {
        let remarks = |text: &str| {
            text.lines().filter(|line| !line.trim().is_empty()).map(|line| line.split_whitespace().collect::<String>()).collect::<Vec<_>>()
        };
        assert!(remarks(&text) == remarks(&engine::formatted(&text)), "{name}");
    }
}

#[test]
fn the_worked_examples_print_the_same_and_stand_laid_out() {
    for path in folders::files_under(&folders::project().join("worked-examples"), "md") {
        let text = folders::text_of(&path);
        assert!(engine::formatted(&text) == text, "{}: run `parbuckle format worked-examples`", folders::relative(&path));
        // One that needs another file prints nothing but that it is missing.
        if !text.contains("\nuse ") && !text.contains("\n    file ") {
            let ragged = in_fences(&text, |line| line.replace("    ", "\t").replace("  from", "     from").replace(" = ", "   =   "));
            assert!(printed(&ragged) == printed(&engine::formatted(&ragged)), "{}", folders::relative(&path));
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    // Blanks and comments put in anywhere between two pieces where there is a blank already are layout and nothing else.
    #[test]
    fn layout_is_not_calculation(pick in 0usize..1000, places in prop::collection::vec((0usize..4000, 0usize..4), 1..12)) {
        let examples: Vec<_> = documents().into_iter().filter(|(name, _)| name.starts_with("worked-examples")).collect();
        let (name, text) = &examples[pick % examples.len()];
        let calculation = engine::calculation(text);
        let mut lines: Vec<String> = text.lines().map(str::to_string).collect();
        let mut inside = false;
        let fenced: Vec<usize> = lines.iter().enumerate().filter_map(|(at, line)| {
            if line.starts_with("```") { inside = line.starts_with("```rig"); return None }
            inside.then_some(at)
        }).collect();
        for (at, what) in places {
            let line = &mut lines[fenced[at % fenced.len()]];
            match what {
                0 => line.push_str("   "),
                1 if !line.trim().is_empty() => line.push_str("  # a remark"),
                2 => if let Some(word) = line.find(" = ") { line.insert_str(word, "  ") },
                _ => if line.trim().is_empty() { line.push_str("\n\n") },
            }
        }
        let ragged = lines.join("\n");
        prop_assert_eq!(&calculation, &engine::calculation(&ragged), "{}", name);
        prop_assert_eq!(&calculation, &engine::calculation(&engine::formatted(&ragged)), "{}", name);
    }
}
