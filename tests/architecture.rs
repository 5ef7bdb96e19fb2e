//! The doors test: reads the source as text and holds it to the table of rooms and the habits of the house.

mod scan;

use crate::support::folders;
use scan::{SourceText, identifiers_after, sources, words};

/// One room: what it takes, what it gives, and whose doors it may use.
struct Room {
    name: &'static str,
    takes: &'static str,
    gives: &'static str,
    uses: &'static [&'static str],
}

const ROOMS: &[Room] = &[
    Room { name: "source", takes: "text", gives: "`Text`, `Span`, `LineIndex`, `Fragment`", uses: &[] },
    Room { name: "units", takes: "unit text", gives: "`Dimension`, `Unit`, printing of numbers", uses: &[] },
    Room {
        name: "words",
        takes: "an English text of the program",
        gives: "the same in the language of the page, and the voice of a page",
        uses: &["source", "units"],
    },
    Room { name: "measure", takes: "numbers and doubts", gives: "values with their doubt", uses: &["units"] },
    Room { name: "diagnostics", takes: "facts", gives: "`Diagnostic`, `Sink`, the catalogue", uses: &["source"] },
    Room {
        name: "house",
        takes: "the project file",
        gives: "`House`: style and demands of a team",
        uses: &["source", "units", "words", "diagnostics"],
    },
    Room { name: "document", takes: "Markdown", gives: "`Document` of prose and fences", uses: &["source", "diagnostics"] },
    Room { name: "syntax", takes: "one fence", gives: "`Ast`", uses: &["source", "diagnostics"] },
    Room { name: "kinds", takes: "a kind's word", gives: "its document and its sketch", uses: &["words"] },
    Room {
        name: "model",
        takes: "trees, kinds and imports",
        gives: "`Model`: names bound, dimensions checked, machines and trains laid out, order fixed",
        uses: &["source", "diagnostics", "syntax", "units", "kinds"],
    },
    Room {
        name: "program",
        takes: "`Model` and inputs",
        gives: "the flat program and its runs: values, sensitivities, verdicts",
        uses: &["source", "diagnostics", "units", "measure", "syntax", "model"],
    },
    Room {
        name: "sheet",
        takes: "document and evaluation",
        gives: "`Sheet`: plain data to print",
        uses: &["source", "units", "words", "measure", "diagnostics", "house", "document", "syntax", "kinds", "model", "program"],
    },
    // The drawing of a sketch is data of `kinds::sketching`; the page turns its shapes into SVG.
    Room {
        name: "output",
        takes: "`Sheet`",
        gives: "HTML, JSON, plain text",
        uses: &["source", "words", "diagnostics", "house", "kinds", "sheet"],
    },
    Room {
        name: "engine",
        takes: "`Files`",
        gives: "import order, sheets, answers",
        uses: &[
            "source",
            "units",
            "words",
            "measure",
            "diagnostics",
            "house",
            "document",
            "syntax",
            "kinds",
            "model",
            "program",
            "sheet",
            "output",
        ],
    },
    Room {
        name: "faces",
        takes: "the world",
        gives: "commands",
        uses: &["source", "words", "diagnostics", "house", "sheet", "output", "engine"],
    },
];

/// Which dependency may be named in which rooms.
const DEPENDENCIES: &[(&str, &[&str])] = &[
    ("ammonia", &["document"]),
    ("blake3", &["faces"]),
    // Dates of the calendar; today's is asked for in `faces` alone.
    ("chrono", &["sheet", "faces"]),
    ("clap", &["faces"]),
    ("csv", &["output"]),
    ("getrandom", &["faces"]),
    ("hyper", &["faces"]),
    ("hyper_util", &["faces"]),
    // Tables that are read off in the order in which they were filled.
    ("indexmap", &["source", "model"]),
    ("indicatif", &["faces"]),
    ("libm", &["units", "measure", "kinds", "model", "program", "sheet", "output"]),
    ("memchr", &["document", "sheet"]),
    // Named in `main.rs` and in the benches alone: the library leaves the choice of allocator to whoever uses it.
    ("mimalloc", &["src/main.rs"]),
    ("notify", &["faces"]),
    ("num_bigint", &["units"]),
    ("num_integer", &["units"]),
    ("num_rational", &["units"]),
    ("num_traits", &["units"]),
    ("open", &["faces"]),
    ("pest", &["syntax"]),
    ("pest_derive", &["syntax"]),
    ("pulldown_cmark", &["document"]),
    ("pulldown_latex", &["document"]),
    ("quick_xml", &["output"]),
    // A generator of random numbers, and nothing else.
    ("rand_xoshiro", &["measure"]),
    ("rayon", &["faces"]),
    ("rustc_hash", &["source", "model"]),
    // The JSON Schema of what is printed, from the types themselves.
    ("schemars", &["sheet", "output"]),
    ("serde", &["sheet", "output", "faces"]),
    ("serde_json", &["output", "faces"]),
    ("sha2", &["source", "sheet", "output", "faces"]),
    // Quantiles and distributions, and nothing else.
    ("statrs", &["measure"]),
    ("tempfile", &["faces"]),
    ("tera", &["output"]),
    ("tokio", &["faces"]),
    ("toml", &["house"]),
    // Names that look alike.
    ("unicode_normalization", &["sheet"]),
    ("unicode_security", &["sheet"]),
];

const WORLD: [&str; 10] =
    ["std::fs", "std::env", "std::time", "std::thread", "std::net", "std::process", "println!", "eprintln!", "print!", "eprint!"];

fn room(name: &str) -> Option<&'static Room> {
    ROOMS.iter().find(|room| room.name == name)
}

fn none(faults: Vec<String>) {
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

// Rooms only: `lib.rs` and `main.rs` stand outside them.
fn files_in_rooms() -> Vec<SourceText> {
    sources().into_iter().filter(|file| file.room.is_some()).collect()
}

#[test]
fn every_folder_of_src_is_a_room_of_the_table() {
    let faults = files_in_rooms()
        .into_iter()
        .filter(|file| file.room.as_deref().and_then(room).is_none())
        .map(|file| format!("{} stands in no room of the table", file.name));
    none(faults.collect());
}

#[test]
fn rooms_use_only_the_doors_of_their_row() {
    let mut faults = Vec::new();
    for file in files_in_rooms() {
        let Some(own) = file.room.as_deref().and_then(room) else { continue };
        for (line, target) in file.doors() {
            let known = room(&target).is_some();
            if target != own.name && !(known && own.uses.contains(&target.as_str())) {
                faults.push(format!("{}:{line}: `{}` uses `{target}`, which is not in its row", file.name, own.name));
            }
        }
    }
    none(faults);
}

#[test]
fn pure_rooms_do_not_touch_the_world() {
    let mut faults = Vec::new();
    for file in files_in_rooms() {
        let faces = file.room.as_deref() == Some("faces");
        for (number, line) in file.lines() {
            for banned in WORLD.iter().filter(|banned| !faces && line.contains(**banned)) {
                // `println!` is found inside `eprintln!` as well; one of the two is enough.
                faults.push(format!("{}:{number}: {banned}", file.name));
            }
            for hashed in ["HashMap", "HashSet"].iter().filter(|hashed| line.contains(**hashed)) {
                if file.name != "src/engine/memo.rs" {
                    faults.push(format!("{}:{number}: {hashed}: order a reader sees must not depend on hashes", file.name));
                }
            }
        }
    }
    none(faults);
}

#[test]
fn platform_float_functions_stay_out_of_pure_rooms() {
    let functions = ["sin", "cos", "tan", "asin", "acos", "atan", "atan2", "exp", "ln", "powf", "log10", "sinh", "cosh", "tanh"];
    let mut faults = Vec::new();
    for file in files_in_rooms().iter().filter(|file| file.room.as_deref() != Some("faces")) {
        for (number, line) in file.lines() {
            if functions.iter().any(|function| line.contains(&format!("f64::{function}(")) || line.contains(&format!("f64::{function})"))) {
                faults.push(format!("{}:{number}: a function of the platform; `libm` gives the same digits everywhere", file.name));
            }
        }
    }
    none(faults);
}

#[test]
fn dependencies_stay_in_their_rooms() {
    let mut faults = Vec::new();
    for file in sources() {
        for (number, line) in file.lines() {
            for (dependency, rooms) in DEPENDENCIES {
                let named = words(line).any(|(at, word)| {
                    word == *dependency && (line[at + word.len()..].trim_start().starts_with("::") || line.trim_start().starts_with("use "))
                });
                // A file that stands outside the rooms goes by its own name.
                if named && !rooms.contains(&file.room.as_deref().unwrap_or(&file.name)) {
                    faults.push(format!("{}:{number}: `{dependency}` is for {}", file.name, rooms.join(", ")));
                }
            }
        }
    }
    none(faults);
}

#[test]
fn every_dependency_of_the_manifest_has_its_row() {
    let manifest = folders::text_of(&folders::project().join("Cargo.toml"));
    let section = manifest.split("[dependencies]").nth(1).and_then(|rest| rest.split("\n[").next()).unwrap_or("");
    let mut named: Vec<String> = section
        .lines()
        .filter_map(|line| line.split_once('='))
        .map(|(name, _)| name.trim().replace('-', "_"))
        .filter(|name| !name.starts_with('#'))
        .collect();
    named.sort();
    let rows: Vec<String> = DEPENDENCIES.iter().map(|(name, _)| (*name).to_string()).collect();
    assert_eq!(named, rows, "the manifest and the table of dependencies differ");
}

#[test]
fn every_file_says_what_it_is() {
    let mut faults = Vec::new();
    for file in sources() {
        let header = file.text.lines().take_while(|line| line.starts_with("//!")).count();
        if header == 0 {
            faults.push(format!("{}: no header", file.name));
        }
        if header > 8 {
            faults.push(format!("{}: a header of {header} lines; eight are enough", file.name));
        }
        if file.name.ends_with("/mod.rs") {
            for heading in ["*Takes and gives*:", "*Never*:", "*To add*:"] {
                if !file.text.lines().take(header).any(|line| line.contains(heading)) {
                    faults.push(format!("{}: the header lacks {heading}", file.name));
                }
            }
        }
    }
    none(faults);
}

#[test]
fn files_stay_short() {
    let mut faults = Vec::new();
    for file in sources() {
        let lines = file.text.lines().count();
        if lines > 600 && !file.text.lines().next().is_some_and(|first| first.contains("(a table)")) {
            faults.push(format!("{}: {lines} lines", file.name));
        }
        if ["utils", "helpers", "common", "misc"].iter().any(|name| file.name.contains(&format!("/{name}"))) {
            faults.push(format!("{}: the name says nothing", file.name));
        }
    }
    none(faults);
}

#[test]
fn nothing_is_left_half_done() {
    let mut faults = Vec::new();
    let tests = folders::files_under(&folders::project().join("tests"), "rs");
    let tests = tests.into_iter().filter(|path| !folders::relative(path).starts_with("tests/architecture"));
    let texts = sources().into_iter().map(|file| (file.name, file.text));
    for (name, text) in texts.chain(tests.map(|path| (folders::relative(&path), folders::text_of(&path)))) {
        for (at, line) in text.lines().enumerate() {
            for mark in ["todo!", "unimplemented!", "dbg!", "FIXME", "TODO", "#[ignore"] {
                if line.contains(mark) {
                    faults.push(format!("{name}:{}: {mark}", at + 1));
                }
            }
        }
    }
    none(faults);
}

#[test]
fn imports_name_what_they_take() {
    let mut faults = Vec::new();
    for file in sources() {
        for (number, line) in file.lines() {
            if line.trim_start().starts_with("use ") && line.contains("::*") {
                faults.push(format!("{}:{number}: a glob hides which doors are used", file.name));
            }
        }
    }
    none(faults);
}

/// Rooms that see every machine and must know none.
const KINDLESS: [&str; 5] = ["model", "program", "sheet", "output", "engine"];

#[test]
fn no_kind_is_named_where_all_kinds_are_worked() {
    let kinds = kind_words();
    assert!(kinds.len() >= 3, "the kinds were not found");
    let mut faults = Vec::new();
    for file in files_in_rooms().iter().filter(|file| file.room.as_deref().is_some_and(|room| KINDLESS.contains(&room))) {
        for (number, line) in file.lines_with_strings() {
            for (_, word) in words(line).filter(|(_, word)| kinds.iter().any(|kind| kind == word)) {
                faults.push(format!(
                    "{}:{number}: `{word}` is a kind; its document and its sketch are the only places that know it",
                    file.name
                ));
            }
        }
    }
    none(faults);
}

/// What is worked of every machine, in the kinds' own documents and nowhere else.
const RELATIONS: [&str; 10] = [
    "velocity_ratio",
    "mechanical_advantage",
    "efficiency",
    "ideal_effort",
    "effort_travel",
    "load_travel",
    "work_in",
    "work_out",
    "friction_work",
    "work_difference",
];

#[test]
fn no_machine_is_worked_in_rust() {
    let mut faults = Vec::new();
    for file in sources().iter().filter(|file| !file.name.ends_with("/sketch.rs")) {
        for (number, line) in file.lines() {
            for (at, word) in words(line).filter(|(_, word)| RELATIONS.contains(word)) {
                let before = line[..at].trim_end();
                let after = line[at + word.len()..].trim_start();
                let worked = ["*", "/", "+", "-"].iter().any(|sign| after.starts_with(sign) && !after.starts_with("->"))
                    || before.ends_with(" *")
                    || before.ends_with(" /")
                    || (after.starts_with("= ") && [" * ", " / "].iter().any(|sign| after.contains(sign)));
                if worked {
                    faults.push(format!("{}:{number}: `{word}` is worked here; a relation belongs in a kind's document", file.name));
                }
            }
        }
    }
    none(faults);
}

#[test]
fn the_relations_of_every_machine_stand_in_a_document() {
    let texts: Vec<String> =
        folders::files_under(&folders::project().join("src"), "md").iter().map(|path| folders::text_of(path)).collect();
    for relation in ["mechanical_advantage", "efficiency", "effort_travel", "work_in", "work_out", "work_difference"] {
        assert!(texts.iter().any(|text| text.contains(&format!("relation {relation}"))), "no document under src gives `{relation}`");
    }
}

fn kind_words() -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(folders::project().join("src/kinds")) else { return Vec::new() };
    // A kind has a sketch; the documents of what all machines and trains have are no kinds.
    entries
        .flatten()
        .filter(|entry| entry.path().join("sketch.rs").is_file())
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect()
}

#[test]
fn no_verdict_says_safe() {
    let mut faults = Vec::new();
    for file in sources() {
        for (number, text) in file.strings() {
            // Behind a bar it is the name of a filter of templates, as below.
            let said = words(&text).any(|(at, word)| word.eq_ignore_ascii_case("safe") && !text[..at].trim_end().ends_with('|'));
            if said {
                faults.push(format!("{}:{number}: \"{text}\"", file.name));
            }
        }
    }
    for path in folders::files_under(&folders::project().join("templates"), "html") {
        for (at, line) in folders::text_of(&path).lines().enumerate() {
            let said = words(line).any(|(at, word)| word.eq_ignore_ascii_case("safe") && !line[..at].trim_end().ends_with('|'));
            if said {
                faults.push(format!("{}:{}: {}", folders::relative(&path), at + 1, line.trim()));
            }
        }
    }
    none(faults);
}

#[test]
fn no_text_speaks_of_its_making() {
    let root = folders::project();
    let mut paths = Vec::new();
    for (folder, endings) in [
        ("src", &["rs", "md"][..]),
        ("templates", &["html", "css"]),
        ("grammar", &["pest"]),
        ("tests", &["rs", "md"]),
        ("worked-examples", &["md"]),
    ] {
        endings.iter().for_each(|ending| paths.extend(folders::files_under(&root.join(folder), ending)));
    }
    paths.extend(
        ["README.md", "DEVELOPERS.md", "CHANGELOG.md", "Cargo.toml"].map(|name| root.join(name)).into_iter().filter(|p| p.is_file()),
    );
    let mut faults = Vec::new();
    for path in paths.iter().filter(|path| !folders::relative(path).starts_with("tests/architecture")) {
        for (at, line) in folders::text_of(path).lines().enumerate() {
            let lower = line.to_lowercase();
            let word = words(&lower).any(|(_, word)| [concat!("trans", "cript"), concat!("trans", "cripts")].contains(&word));
            if word
                || [concat!("seed ", "document"), concat!("lesson ", "recording"), "/work/", "/tmp/", "/root/"]
                    .iter()
                    .any(|text| lower.contains(text))
            {
                faults.push(format!("{}:{}: {}", folders::relative(path), at + 1, line.trim()));
            }
        }
    }
    none(faults);
}

/// Every finding of the catalogue is shown by a case or a test, so that its words have been read at least once.
#[test]
fn every_finding_is_shown_somewhere() {
    let root = folders::project().join("tests");
    let mut texts: Vec<String> = folders::files_under(&root, "md").iter().map(|path| folders::text_of(path)).collect();
    texts.extend(folders::files_under(&root, "rs").iter().map(|path| folders::text_of(path)));
    let source = folders::project().join("src");
    let in_file = folders::files_under(&source, "rs").into_iter().filter(|path| !folders::relative(path).contains("catalogue"));
    texts.extend(in_file.map(|path| folders::text_of(&path)));
    let mut faults = Vec::new();
    for page in parbuckle::diagnostics::catalogue::pages() {
        if !texts.iter().any(|text| text.contains(&format!("[{}]", page.slug)) || text.contains(&format!("\"{}\"", page.slug))) {
            faults.push(format!("no case shows `{}`", page.slug));
        }
        if page.text.split_whitespace().count() < 5 {
            faults.push(format!("the page of `{}` says too little", page.slug));
        }
    }
    none(faults);
}

#[test]
fn no_finding_bears_the_name_of_another() {
    let mut slugs: Vec<&str> = parbuckle::diagnostics::catalogue::pages().map(|page| page.slug).collect();
    slugs.sort_unstable();
    let twice: Vec<_> = slugs.windows(2).filter(|pair| pair[0] == pair[1]).map(|pair| pair[0].to_string()).collect();
    none(twice);
}

#[test]
fn the_map_for_developers_holds_the_table_of_rooms() {
    let path = folders::project().join("DEVELOPERS.md");
    let text = folders::text_of(&path);
    let (begin, end) = ("<!-- rooms -->", "<!-- /rooms -->");
    let (before, rest) = text.split_once(begin).expect("DEVELOPERS.md has the mark <!-- rooms -->");
    let (held, after) = rest.split_once(end).expect("DEVELOPERS.md has the mark <!-- /rooms -->");
    let table = table();
    if folders::updating() {
        std::fs::write(&path, format!("{before}{begin}\n{table}{end}{after}")).expect("DEVELOPERS.md can be written");
        return;
    }
    assert_eq!(held.trim(), table.trim(), "the table in DEVELOPERS.md is another; `UPDATE=1 cargo test` renews it");
}

fn table() -> String {
    let mut text = String::from("| # | room | takes | gives | may use |\n| ---: | --- | --- | --- | --- |\n");
    for (at, room) in ROOMS.iter().enumerate() {
        let uses = if room.uses.is_empty() { "none".to_string() } else { room.uses.join(", ") };
        text.push_str(&format!("| {} | `{}` | {} | {} | {uses} |\n", at + 1, room.name, room.takes, room.gives));
    }
    text
}

#[test]
fn the_table_of_rooms_has_one_order() {
    for (at, room) in ROOMS.iter().enumerate() {
        for used in room.uses {
            let place = ROOMS.iter().position(|other| other.name == *used);
            assert!(place.is_some_and(|place| place < at), "`{}` uses `{used}`, which does not stand before it", room.name);
        }
    }
}

#[test]
fn the_scan_sees_what_it_should() {
    let file = SourceText::new(
        "src/model/order.rs",
        "//! Header.\nuse crate::units::Unit;\n// crate::faces is only spoken of\nlet a = \"crate::output\";\nuse super::super::program::Step;\n#[cfg(test)]\nmod tests {\n    use crate::engine::Engine;\n}\n",
    );
    assert_eq!(file.doors(), [(2, "units".to_string()), (5, "program".to_string())]);
    assert_eq!(file.strings(), [(4, "crate::output".to_string())]);
    assert_eq!(identifiers_after("use crate::{a, b};", "crate::"), ["{"]);
}
