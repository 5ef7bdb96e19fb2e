//! The project file as the real program finds it and follows it.

use crate::support::folders;
use crate::support::program::read;
use crate::support::program::{Ran, folder, put};
use std::collections::BTreeSet;
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
    // What a terminal says is in one language from end to end: English, with the comma of a house that speaks it.
    for (project, wanted) in [("language = \"de\"\ndecimal_sign = \"comma\"\n", "410.5"), ("decimal_sign = \"comma\"\n", "410,5")] {
        put(here.path(), "parbuckle.toml", project);
        let shown = [&["show", "a.md"][..], &["show", "a.md", "--budget", "w"]].map(|arguments| run(here.path(), arguments).out).concat();
        assert!(["PASS", "Inputs", "draft", wanted].iter().all(|words| shown.contains(words)), "{project}: {shown}");
        assert!(
            !["ERFÜLLT", "Entwurf", "Eingaben", "Freiheitsgrade", "März"].iter().any(|words| shown.contains(words)),
            "{project}: {shown}"
        );
    }
}

#[test]
fn registers_and_pages_of_reference_are_in_the_language_of_the_house_also_when_nothing_has_changed() {
    let here = folder();
    put(here.path(), "a.md", LIFT);
    for (house, word, titles) in [("language = \"de\"\n", "de", ["Verzeichnis", "Hebel"]), ("", "en", ["Register", "Lever"])] {
        put(here.path(), "parbuckle.toml", house);
        for round in ["first", "second"] {
            assert_eq!(run(here.path(), &["build", "."]).status, 0);
            for (page, title) in [("index.html", titles[0]), ("kinds/index.html", titles[1]), ("kinds/lever.html", titles[1])] {
                let page_text = read(here.path().join("out").join(page));
                assert!(page_text.contains(&format!("<html lang=\"{word}\">")) && page_text.contains(title), "{word}, {round}: {page}");
            }
        }
    }
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

#[test]
fn what_is_wrong_in_a_part_is_told_at_its_line() {
    let here = folder();
    put(here.path(), "a.md", SHEET);
    put(here.path(), "parbuckle.toml", "[templates]\nfolder = \"parts\"\n");
    let told = |name: &str, text: &str, line: usize, words: &str| {
        put(here.path(), &format!("parts/{name}"), text);
        let built = run(here.path(), &["build", "a.md"]);
        let place = format!("parts/{name}:{line}:");
        assert!(built.status == 1 && built.err.contains(&place) && built.err.contains(words), "{place} {words}: {}", built.err);
        assert_eq!(built.err.matches("[template-part]").count(), 1, "{}", built.err);
        std::fs::remove_file(here.path().join("parts").join(name)).expect("the part");
    };
    told("answer.html", "<p>[[Inputs]]\n\n{{ no_such_thing }}</p>\n", 3, "no_such_thing");
    told("answer.html", "<p>\n{{ answer | shouted }}</p>\n", 2, "unknown filter `shouted`");
    told("answer.html", "<p>\n\n\n{% if answer is shouted %}!{% endif %}</p>\n", 4, "unknown test `shouted`");
    told("answer.html", "<p></p>\n\n{% include \"foot.html\" %}\n", 3, "unknown template `foot.html`");
    told("answer.html", "<p>\n{% if answer %}\n{{ answer | length }}\n</p>\n", 2, "not ended");
    told("answer.html", "<p>\n{% if title %}\n{{ title.no_such_field }}\n{% endif %}</p>\n", 3, "no_such_field");
    told("pieces.html", "<!-- nothing -->\n", 1, "fails with it");
    // Names are looked up in branches that no trial takes, and in lists.
    told("answer.html", "{% for one in answer %}\n{{ one.labl }}\n{% endfor %}\n", 2, "no `labl` in `one`");
    told("answer.html", "{% if complete %}\n{% elif titl %}\n{% endif %}\n", 2, "given no `titl`");
    told(
        "learners.html",
        &folders::text_of(&folders::project().join("templates/learners.html")).replace("step.asks", "step.ask"),
        35,
        "`asks`",
    );
    // Behind the places where the program writes, lines count on.
    let page = folders::text_of(&folders::project().join("templates/page.html"));
    for mark in ["{% include \"answer.html\" %}\n", "{% include \"colophon.html\" %}\n"] {
        let (before, after) = page.split_once(mark).expect("the mark");
        let line = before.matches('\n').count() + 1;
        assert!(line > 10, "behind a cut");
        told("page.html", &format!("{before}<p>{{{{ no_such_thing }}}}</p>\n{mark}{after}"), line, "no_such_thing");
        told("page.html", &format!("{before}<p>{{{{ title | shouted }}}}</p>\n{mark}{after}"), line, "unknown filter `shouted`");
    }
}

#[test]
fn a_file_that_nobody_reads_for_a_slip_in_its_name_is_told_once() {
    let here = folder();
    put(here.path(), "a.md", SHEET);
    put(here.path(), "stones/b.md", SHEET.replace("H-1", "H-2"));
    put(here.path(), "Cargo.toml", "");
    for slip in ["parbuckle.tml", ".parbuckle.toml", "parbukle.toml"] {
        put(here.path(), slip, "prefer = [\"N\"]\n");
        for arguments in [&["build", "."][..], &["check", "."], &["check", "a.md", "stones/b.md"], &["build", "a.md", "--out", "-"]] {
            let ran = run(here.path(), arguments);
            assert_eq!(ran.err.matches("[project-file-name]").count(), 1, "{slip}: {arguments:?}: {}", ran.err);
            let told = format!("`{slip}` is not read as a project file");
            assert!(ran.status == 0 && ran.err.contains(&told) && ran.err.contains("call it `parbuckle.toml`"), "{}", ran.err);
            assert!(ran.err.contains("1 warning"), "{}", ran.err);
        }
        let shown = run(here.path(), &["show", "a.md"]);
        assert!(shown.status == 0 && shown.err.matches("[project-file-name]").count() == 1, "{}", shown.err);
        let checked = run(here.path(), &["check", ".", "--format", "json"]);
        let told: serde_json::Value = serde_json::from_str(&checked.out).expect("JSON");
        let paths: Vec<&str> = told["sheets"].as_array().into_iter().flatten().filter_map(|one| one["path"].as_str()).collect();
        assert_eq!(paths, ["a.md", "stones/b.md", slip]);
        std::fs::remove_file(here.path().join(slip)).expect("the file");
    }
    // Beside the project file itself nobody looks for another.
    put(here.path(), "parbuckle.toml", "[templates]\nfolder = \"parts\"\n");
    for arguments in [&["build", "."][..], &["check", "a.md"], &["show", "a.md"]] {
        let ran = run(here.path(), arguments);
        let told = ran.err.contains("parbuckle.toml:2:10") && ran.err.contains("there is no template folder `parts`");
        assert!(ran.status == 0 && told && ran.err.matches("[template-folder]").count() == 1, "{arguments:?}: {}", ran.err);
    }
    // Parts of pages that belong to no one house are not replaced.
    put(here.path(), "parts/index.html", "");
    assert!(run(here.path(), &["check", "a.md"]).err.contains("`index.html` replaces no part of the page"));
    std::fs::remove_file(here.path().join("parts/index.html")).expect("the file");
    put(here.path(), "parbukle.toml", "");
    for (name, help) in [("titel.html", Some("`title.html`")), ("trace.js", None), ("whole-page.html", None)] {
        put(here.path(), &format!("parts/{name}"), "");
        put(here.path(), "parts/mark.svg", "<svg/>");
        put(here.path(), "parts/README.md", "how they are made\n");
        for arguments in [&["build", "."][..], &["build", "."], &["check", "."]] {
            let ran = run(here.path(), arguments);
            assert_eq!(ran.err.matches("[template-part-name]").count(), 1, "{arguments:?}: {}", ran.err);
            let told = format!("`{name}` replaces no part of the page");
            let help = help.map_or("known here: `page.html`".to_string(), |near| format!("did you mean {near}?"));
            assert!(ran.status == 0 && ran.err.contains(&told) && ran.err.contains(&help), "{}", ran.err);
            assert!(!ran.err.contains("project-file-name"), "{}", ran.err);
        }
        std::fs::remove_file(here.path().join("parts").join(name)).expect("the file");
    }
}

/// The words of `text`, in small letters.
fn words_of(text: &str) -> BTreeSet<String> {
    let words = text.split(|letter: char| !letter.is_alphabetic()).filter(|word| word.chars().count() > 1);
    words.map(str::to_lowercase).collect()
}

// A page as whoever listens to it hears it, text by text: what is said in English, and what in the language of the page. Names of the
// document, mathematics, drawings and code are of no language.
fn heard(page: &str) -> (Vec<String>, Vec<String>) {
    const SILENT: [&str; 8] = ["style", "script", "math", "svg", "code", "pre", "var", "title"];
    const EMPTY: [&str; 6] = ["meta", "br", "col", "img", "input", "hr"];
    let (mut english, mut own) = (Vec::new(), Vec::new());
    // What is open: name, whether it is in English, whether it is silent. An end closes what was left open within.
    let mut open: Vec<(String, bool, bool)> = Vec::new();
    let mut rest = page;
    while let Some((before, tag)) = rest.split_once('<') {
        let (is_english, silent) = open.last().map_or((false, false), |(_, english, silent)| (*english, *silent));
        let text = before.replace("&#39;", "'").replace("&quot;", "\"").replace("&gt;", ">").replace("&lt;", "<").replace("&amp;", "&");
        if !silent && !text.trim().is_empty() {
            if is_english { &mut english } else { &mut own }.push(text.trim().to_string());
        }
        let (tag, after) = tag.split_once('>').expect("a tag ends");
        rest = after;
        let name: String = tag.trim_start_matches('/').chars().take_while(char::is_ascii_alphanumeric).collect();
        if tag.starts_with('/') {
            if let Some(at) = open.iter().rposition(|(opened, ..)| *opened == name) {
                open.truncate(at);
            }
        } else if !tag.ends_with('/') && !name.is_empty() && !EMPTY.contains(&name.as_str()) {
            // A paragraph, a row or a cell that was not ended ends where the next begins.
            let ends: &[&str] = match name.as_str() {
                "p" | "div" | "details" | "figure" | "table" => &["p"],
                "tr" => &["td", "th", "tr"],
                "td" | "th" => &["td", "th"],
                "li" | "dt" | "dd" => &["li", "dt", "dd"],
                _ => &[],
            };
            while open.last().is_some_and(|(last, ..)| ends.contains(&last.as_str())) {
                open.pop();
            }
            let spoken = tag.contains("lang=\"en\"") || is_english && !tag.contains("lang=\"de\"");
            let named = tag.contains("class=name") || tag.contains("class=\"name\"");
            open.push((name.clone(), spoken, silent || named || SILENT.contains(&name.as_str())));
        }
    }
    (english, own)
}

// Every name of a sheet, whole and its last part, as it is written and with its blanks.
fn names_below(folder: &Path) -> BTreeSet<String> {
    fn names_in(value: &serde_json::Value, names: &mut BTreeSet<String>) {
        match value {
            serde_json::Value::Object(object) => {
                for name in ["name", "kind"].iter().filter_map(|key| object.get(*key)).filter_map(serde_json::Value::as_str) {
                    for name in [name, name.rsplit('.').next().unwrap_or(name)] {
                        names.extend([name.to_string(), name.replace(['.', '_'], " ")]);
                    }
                }
                // The options of a kind are called by their words.
                for choice in object.get("choices").and_then(serde_json::Value::as_array).into_iter().flatten() {
                    names.extend(choice["label"].as_str().map(str::to_string));
                }
                object.values().for_each(|below| names_in(below, names));
            }
            serde_json::Value::Array(items) => items.iter().for_each(|below| names_in(below, names)),
            _ => {}
        }
    }
    let mut names = BTreeSet::new();
    for path in folders::files_under(folder, "json") {
        names_in(&serde_json::from_str(&read(&path)).expect("JSON"), &mut names);
    }
    // A word that our own sentences are made of is no name of the document, whatever a sheet calls by it.
    FILLERS.iter().for_each(|word| {
        names.remove(*word);
    });
    names
}

/// What is called so in any language: publications, and a measure.
const TITLES: [&str; 15] = [
    "Theory of Machines",
    "Textbook of Engineering Mechanics",
    "Text-Book of Mechanical Engineering",
    "Statics and Strength of Materials",
    "Machine Design",
    "Mechanical Engineering Design",
    "Textbook of Seamanship",
    "Seamanship and Nautical Knowledge",
    "Pipeline Rules of Thumb Handbook",
    "Practical Boat Owner",
    "Basic Machines",
    "Experimental Mechanics",
    "Marks' handbook",
    "Army correspondence course",
    "Short Ton",
];

// `text` without titles; lines that were broken are one.
fn untitled(text: &str) -> String {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    TITLES.iter().fold(text, |text, title| text.replace(title, " "))
}

const FILLERS: [&str; 12] = ["of", "the", "and", "is", "in", "not", "from", "to", "when", "for", "or", "given"];

/// Every worked example in a German house, in every form of page: what it says in German holds no word of the English column of our
/// table that is none of the German one; and what it says to be English is its author's, a kind's or a finding's, and not ours.
#[test]
fn a_german_page_says_nothing_of_its_own_in_english() {
    let table = parbuckle::words::TABLE;
    let column = |texts: Vec<&str>| -> BTreeSet<String> {
        texts.iter().flat_map(|text| words_of(&text.split(['{', '}']).step_by(2).collect::<Vec<_>>().join(" "))).collect()
    };
    let mut german = column(table.iter().map(|(_, german)| *german).collect());
    for path in folders::files_under(&folders::project().join("src/kinds"), "rs").into_iter().filter(|path| path.ends_with("german.rs")) {
        let text = folders::text_of(&path);
        german.extend(text.lines().filter_map(|line| line.split("\", \"").nth(1)).flat_map(|german| words_of(&untitled(german))));
    }
    for path in folders::files_under(&folders::project().join("src/kinds"), "md").into_iter().filter(|path| path.ends_with("german.md")) {
        german.extend(words_of(&untitled(&folders::text_of(&path).split('`').step_by(2).collect::<String>())));
    }
    let mut english: BTreeSet<String> = column(table.iter().map(|(english, _)| *english).collect()).difference(&german).cloned().collect();
    // A kind is called so, and so is the program.
    english.remove("parbuckle");
    assert!(["the", "of", "inputs", "signed"].iter().all(|word| english.contains(*word)), "{english:?}");
    let here = folder();
    let examples = folders::project().join("worked-examples");
    let mut theirs = String::new();
    for ending in ["md", "csv", "signoff"] {
        for path in folders::files_under(&examples, ending) {
            let text = folders::text_of(&path);
            put(here.path(), &path.strip_prefix(&examples).expect("a worked example").to_string_lossy(), &text);
            theirs.push_str(&text);
        }
    }
    put(here.path(), "parbuckle.toml", "language = \"de\"\nauthor_language = \"en\"\ndecimal_sign = \"comma\"\n");
    for arguments in [
        &["build", ".", "--out", "sheets"][..],
        &["build", "boat-on-a-slip.md", "--out", "checking", "--for", "checking"],
        &["build", ".", "--out", "blind", "--for", "blind"],
        &["build", "sack-to-the-bin-floor.md", "--out", "learners", "--for", "learners"],
        &["build", "boat-on-a-slip.md", "--out", "brief", "--brief"],
    ] {
        let built = run(here.path(), arguments);
        assert_eq!(built.status, 0, "{arguments:?}: {}", built.err);
    }
    // Of the documents of kinds, names of settings and choices stand on a page as they are written in a sheet, and nothing else.
    let mut written = String::new();
    for path in folders::files_under(&folders::project().join("src/kinds"), "md").into_iter().filter(|path| path.ends_with("kind.md")) {
        let text = folders::text_of(&path);
        let fences = text.split("\n```rig\n").skip(1).filter_map(|rest| rest.split("\n```").next());
        fences.for_each(|fence| written.extend(fence.split('"').step_by(2).flat_map(|code| [code, " "])));
    }
    let known = words_of(&(theirs + &written));
    let mut names = names_below(here.path());
    names.extend(written.split(|letter: char| !letter.is_alphanumeric() && letter != '_').map(|name| name.replace('_', " ")));
    FILLERS.iter().for_each(|word| {
        names.remove(*word);
    });
    let longer: Vec<&String> = names.iter().filter(|name| name.contains(' ')).rev().collect();
    let (mut faults, mut marked) = (BTreeSet::new(), 0);
    for path in folders::files_under(here.path(), "html") {
        let name = path.strip_prefix(here.path()).expect("a page").display().to_string();
        let page = read(&path);
        assert!(page.contains("<html lang=\"de\">"), "{name}");
        // Findings are in English, with names and places of the program's; the rest of their part is looked at in its template.
        let (before, findings) = page.split_once("<section class=\"row findings\"").unwrap_or((&page, ""));
        let page = format!("{before}{}", findings.split_once("</section>").map_or("", |(_, rest)| rest));
        let (told, mut own) = heard(&page);
        // What a kind letters on its drawings is the program's own as well.
        for drawings in page.split("class=\"row drawings\"").skip(1) {
            let end = ["</figure></div>", "</figure>\n</div>"].iter().filter_map(|end| drawings.find(end)).min().expect("drawings end");
            for drawing in drawings[..end].split("<svg").skip(1) {
                let lettered = drawing.split("</svg>").next().unwrap_or("");
                own.extend(lettered.split('<').filter_map(|part| part.split_once('>')).map(|(_, text)| text.trim().to_string()));
            }
        }
        marked += told.len();
        for text in own {
            // Names stand on a page as they are written, alone, in a sentence or in a condition; so do paths and digests.
            if names.contains(text.as_str()) || text.contains(['≤', '≥']) {
                continue;
            }
            let text = longer.iter().fold(untitled(&text), |text, name| text.replace(name.as_str(), " "));
            let plain = |word: &&str| {
                let bare = word.trim_matches(|letter: char| !letter.is_alphanumeric());
                !bare.contains(['_', '/', '.', '[']) && !bare.contains(|letter: char| letter.is_ascii_digit()) && !names.contains(bare)
            };
            let sentence = text.split_whitespace().filter(plain).collect::<Vec<_>>().join(" ");
            let left: Vec<String> = words_of(&sentence).intersection(&english).cloned().collect();
            if !left.is_empty() {
                faults.insert(format!("{text}: {left:?}"));
            }
        }
        for text in told {
            let ours: Vec<String> = words_of(&text).difference(&known).cloned().collect();
            if !ours.is_empty() {
                faults.insert(format!("{name}: said to be an author's or a kind's: {text}: {ours:?}"));
            }
        }
    }
    assert!(marked > 2000, "{marked} texts are said to be English");
    assert!(faults.is_empty(), "{} texts:\n{}", faults.len(), faults.iter().take(60).cloned().collect::<Vec<_>>().join("\n"));
}
