//! The project file as the real program finds it and follows it.

use crate::support::program::read;
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

const LIFT: &str = "# Stein\n\n```rig\nsheet H-3 \"Millstone\"\n    date 2026-03-09\ntake m \"millstone\" = 410.5 kg ± 2.5 kg  from \"drawing\"\n\
w \"weight\" = weight(m)\ngear rope \"rope\"\n    rated 7.35 kN  from \"tag\"\ncheck \"rope\": w <= rope.rated\n```\n";

#[test]
fn a_german_house_has_german_labels_a_comma_and_its_dates_and_the_json_stays_as_it_is() {
    let here = folder();
    put(here.path(), "a.md", LIFT);
    run(here.path(), &["build", "a.md", "--out", "plain"]);
    put(here.path(), "parbuckle.toml", "language = \"de\"\ndecimal_sign = \"comma\"\ndate_form = \"D Month YYYY\"\n");
    let built = run(here.path(), &["build", "a.md"]);
    assert_eq!(built.status, 0, "{}", built.err);
    let page = read(here.path().join("out/a.html"));
    for wanted in ["<html lang=\"de\">", "Eingaben", "Nachweise", "ERFÜLLT", "Maßgebender Nachweis", "410,5", "7,35", "9.\u{a0}März 2026"]
    {
        assert!(page.contains(wanted), "{wanted}");
    }
    for unwanted in ["410.5", "7.35", ">Inputs<", ">Checks<", "PASS", "Governing check", "[[", "]]"] {
        assert!(!page.contains(unwanted), "{unwanted}");
    }
    assert_eq!(read(here.path().join("out/a.json")), read(here.path().join("plain/a.json")), "an interface has one language");
    let shown = run(here.path(), &["show", "a.md"]);
    assert!(shown.out.contains("410,5"), "{}", shown.out);
}

#[test]
fn owner_logo_paper_and_legend_are_printed() {
    let here = folder();
    put(here.path(), "a.md", LIFT);
    let logo = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 4 4\"><script>planted()</script><path d=\"M0 0h4v4z\"/></svg>";
    put(here.path(), "style/mark.svg", logo);
    let style = "owner = \"Harbour <Works> Ltd\"\nlogo = \"style/mark.svg\"\npaper = \"Letter\"\n[status_legend]\ndraft = \"not \\\"for\\\" use\"\n";
    put(here.path(), "parbuckle.toml", style);
    let built = run(here.path(), &["build", "a.md"]);
    assert_eq!(built.status, 0, "{}", built.err);
    let page = read(here.path().join("out/a.html"));
    assert!(page.contains("Legal owner") && page.contains("Harbour &lt;Works&gt; Ltd") && page.contains("@page { size: letter; }"));
    // In an <img> no script of an SVG runs; it stands there encoded.
    assert!(page.contains("<img src=\"data:image/svg+xml;base64,") && !page.contains("planted"), "the logo is in the page");
    assert!(page.contains("@bottom-left { content: \"not \\22 for\\22  use\""), "the legend cannot end its own quotes");
    put(here.path(), "style/mark.svg", "no picture");
    let built = run(here.path(), &["build", "a.md"]);
    assert!(built.err.contains("[picture-left-out]") && built.status == 0, "{}", built.err);
}

#[test]
fn pictures_beside_a_sheet_are_written_into_its_page() {
    let here = folder();
    put(here.path(), "yard/mark.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 4 4\"/>");
    put(here.path(), "yard/a b.png", b"\x89PNG\r\n\x1a\n....");
    put(here.path(), "yard/big.png", [&b"\x89PNG\r\n\x1a\n"[..], &vec![0; 600 * 1024][..]].concat());
    put(here.path(), "parbuckle.toml", "");
    let prose = "![mark](mark.svg) ![two](<a b.png>) ![gone](gone.png) ![big](big.png) ![out](../../x.png)\n\n";
    put(here.path(), "yard/a.md", format!("{prose}{SHEET}"));
    let built = run(here.path(), &["build", "yard/a.md"]);
    let page = read(here.path().join("out/yard/a.html"));
    assert!(page.contains("src=\"data:image/svg+xml;base64,") && page.contains("src=\"data:image/png;base64,"), "{}", built.err);
    assert!(!page.contains("src=\"gone") && !page.contains("src=\"big") && !page.contains("x.png\""), "nothing is asked for");
    assert_eq!(built.err.matches("[picture-left-out]").count(), 3, "{}", built.err);
    assert!(built.err.contains("yard/a.md:1:") && built.err.contains("512 KiB"), "{}", built.err);
}

#[test]
fn a_part_of_the_page_is_replaced_and_a_broken_one_is_told_and_left_out() {
    let here = folder();
    put(here.path(), "a.md", LIFT);
    put(here.path(), "parbuckle.toml", "[templates]\nfolder = \"parts\"\n");
    put(here.path(), "parts/answer.html", "<p class=\"ours\">[[The answer]]: {{ answer | length }}</p>\n");
    put(here.path(), "parts/trace.css", ".ours { color: var(--ink); }\n");
    let built = run(here.path(), &["build", "a.md"]);
    assert_eq!(built.status, 0, "{}", built.err);
    let page = read(here.path().join("out/a.html"));
    assert!(page.contains("<p class=\"ours\">The answer: ") && page.contains(".ours{color"), "the parts of the house");
    for (broken, place) in [
        ("<p>\n{{ answer | }}</p>\n", "parts/answer.html:2"),
        ("<p>{{ no_such_thing }}</p>\n", "parts/answer.html"),
        ("<p>\n<script>planted()</script></p>\n", "parts/answer.html:2"),
        ("<p>{{ path | safe }}</p>\n", "parts/answer.html:1"),
    ] {
        put(here.path(), "parts/answer.html", broken);
        let built = run(here.path(), &["build", "a.md"]);
        assert!(built.status == 1 && built.err.contains("[template-part]") && built.err.contains(place), "{broken}: {}", built.err);
        let page = read(here.path().join("out/a.html"));
        assert!(page.contains("id=\"sheet.answer\"") && !page.contains("planted"), "{broken}: our own part stands in its place");
    }
    put(here.path(), "parts/page.html", "<!DOCTYPE html>\n<html><head><title>no policy</title></head></html>\n");
    let built = run(here.path(), &["build", "a.md"]);
    assert!(built.err.contains("parts/page.html:1") && built.err.contains("policy"), "{}", built.err);
    assert!(read(here.path().join("out/a.html")).contains("Content-Security-Policy"));
}
