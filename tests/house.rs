//! The project file as the real program finds it and follows it.

use crate::support::program::{Ran, folder, put};
use std::path::Path;

const SHEET: &str = "```rig\nsheet H-1 \"Millstone\"\ntake m \"millstone\" = 410 kg  from \"drawing\"\nw \"weight\" = weight(m)\n```\n";

// Numbers and units hold together by a space that breaks no line; here any space will do.
fn run(folder: &Path, arguments: &[&str]) -> Ran {
    let ran = crate::support::program::run(folder, arguments);
    Ran { out: ran.out.replace('\u{a0}', " "), ..ran }
}

#[test]
fn the_project_file_is_found_from_any_folder_below_it() {
    let here = folder();
    put(here.path(), "parbuckle.toml", "prefer = [\"N\"]\n");
    put(here.path(), "sheets/stones/millstone.md", SHEET);
    let below = here.path().join("sheets/stones");
    for (place, path) in [(here.path(), "sheets/stones/millstone.md"), (below.as_path(), "millstone.md")] {
        let shown = run(place, &["show", path]);
        assert!(shown.status == 0 && shown.out.contains("4021 N"), "{}{}", shown.out, shown.err);
        // Counted from the folder of the project file, so that a page is the same from wherever it is built.
        assert!(shown.out.contains("sheets/stones/millstone.md"), "{}", shown.out);
    }
    let rooted = run(&below, &["show", "millstone.md", "--root", "."]);
    assert!(rooted.out.contains("4.021 kN"), "nothing above the folder that --root names counts: {}", rooted.out);
}

#[test]
fn a_mistake_in_it_is_told_once_for_all_sheets_and_makes_the_status() {
    let here = folder();
    put(here.path(), "parbuckle.toml", "paper = \"A3\"\nprefer = [\"N\"]\n");
    put(here.path(), "a.md", SHEET);
    put(here.path(), "b.md", SHEET.replace("H-1", "H-2"));
    let built = run(here.path(), &["build", "."]);
    assert_eq!(built.err.matches("project-file-value").count(), 1, "{}", built.err);
    assert!(built.status == 1 && built.err.contains("2 sheets; 1 error;"), "{}", built.err);
    let page = crate::support::program::read(here.path().join("out/a.html"));
    assert!(page.contains("4021") && !page.contains("A3"), "the sheet is built with the rest of the style");
    let checked = run(here.path(), &["check", ".", "--format", "json"]);
    let told: serde_json::Value = serde_json::from_str(&checked.out).expect("JSON");
    assert_eq!(told["sheets"].as_array().map(Vec::len), Some(3), "the project file and two sheets: {told}");
    assert_eq!((told["sheets"][0]["path"].as_str(), checked.status), (Some("parbuckle.toml"), 1));
}

#[test]
fn a_project_file_that_cannot_be_read_is_told_and_the_sheets_are_built() {
    let here = folder();
    put(here.path(), "a.md", SHEET);
    for bytes in [&b"owner = \"Gr\xfcn\""[..], &[b'#'; 70_000][..]] {
        put(here.path(), "parbuckle.toml", bytes);
        let shown = run(here.path(), &["show", "a.md"]);
        assert!(shown.status == 1 && shown.err.contains("[project-file-unreadable]") && shown.out.contains("4.021 kN"), "{}", shown.err);
    }
}
