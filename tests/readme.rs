//! README's own examples, compiled: each block that shows statements stands in a sheet that gives it what it rests on.

use crate::support::case::{Document, MAIN};
use crate::support::compile::{compile, compile_text};
use crate::support::folders;

/// The blocks of README that begin with `opens`: what stands before and behind them in a sheet, and what they may be told.
struct Around {
    opens: &'static str,
    before: &'static str,
    behind: &'static str,
    /// Findings that the block is meant to raise, one word each.
    told: &'static [&'static str],
}

const TACKLE: &str = "machine falls = tackle\n    parts 3\n    sheave loss 5 %\n";
const HAUL: &str = "take sack = 75 kg ± 1 kg from \"scale\"\nassume person = 220 N because \"a steady pull\"\nload = weight(sack) as N\n\
machine falls = tackle\n    parts 3\n    sheave loss 5 % ± 1 % of value\ntrain haul: hand -> falls -> load\n";

const fn alone(opens: &'static str) -> Around {
    Around { opens, before: "", behind: "", told: &[] }
}

const BLOCKS: &[Around] = &[
    // A force against a mass: the slip that the tour is about.
    Around {
        opens: "check \"hauling rope\": ",
        before: "take crate = 96 kg from \"scale\"\nmachine falls = tackle\n    parts 3\n    sheave loss 5 %\n    load weight(crate)\n",
        behind: "",
        told: &["unit-mismatch"],
    },
    alone("instrument balance"),
    alone("assume mu \"greased ways\""),
    alone("gear rope \"hauling rope, 12 mm\""),
    alone("machine pry = lever"),
    Around { opens: "load trailer = resistance", before: TACKLE, behind: "train haul: crew -> falls -> trailer\n", told: &["question"] },
    Around {
        opens: "train haul: crew -> falls -> slip",
        before: "machine falls = tackle\n    parts 3\n    sheave loss 5 %\nmachine slip = ramp\n    angle 8 deg\n    friction 0.2\n",
        behind: "",
        told: &[],
    },
    Around {
        opens: "readings bench",
        before: "instrument balance \"300 N\"\n    resolution 1 N\nmachine falls = tackle\n    parts 4\n    sheave loss 5 %\n    load 100 N\n",
        behind: "",
        told: &[],
    },
    Around {
        opens: "law pull_law",
        before: "machine falls = tackle\n    parts 4\n    sheave loss 5 %\n    load 100 N\nreadings bench of falls, raising\n    \
                 trial  load  effort\n    1  100 N  31 N\n    2  200 N  58 N\n    3  400 N  112 N\n\
                 take loads = [100 N, 200 N, 400 N] ± 1 N from \"log\"\n\
                 take pulls = [31 N, 58 N, 112 N] ± 1 N from \"log\"\n\
                 take pull = 100 N ± 2 N measured \"balance\"\n",
        behind: "",
        told: &[],
    },
    Around {
        opens: "vary falls.parts",
        before: "take sack = 75 kg ± 1 kg from \"scale\"\ntake slope = 8 deg from \"level\"\ntake mu = 0.16 from \"table\"\n\
                 assume person = 220 N because \"a steady pull\"\ngear rope \"r\"\n    rated 2 kN from \"tag\"\n\
                 load = weight(sack) * (sin(slope) + mu * cos(slope)) as N\nmachine falls = tackle\n    parts 3\n    sheave loss 5 %\n\
                 train haul: hand -> falls -> load\ncheck \"hauling part\": falls.hauling_part <= rope.rated\n",
        behind: "",
        told: &[],
    },
    Around { opens: "propagate haul.effort", before: HAUL, behind: "", told: &[] },
    Around { opens: "exercise \"How hard must the miller pull?\"", before: HAUL, behind: "", told: &[] },
    alone("kind well_windlass"),
];

/// Blocks that hold no statements: a list of gear, the project file, a line of git's own.
const OTHER: &[&str] = &["name,label,rated", "owner ", "*.signoff"];

#[test]
fn every_block_of_the_readme_is_what_it_says() {
    let readme = folders::text_of(&folders::project().join("README.md"));
    let mut met = vec![0; BLOCKS.len()];
    let mut faults = Vec::new();
    for (line, word, text) in blocks(&readme) {
        if word == "sh" || OTHER.iter().any(|opens| text.starts_with(opens)) {
            continue;
        }
        let Some(at) = BLOCKS.iter().position(|block| text.starts_with(block.opens)) else {
            faults.push(format!("README.md:{line}: nobody says what this block stands among: {text}"));
            continue;
        };
        let block = &BLOCKS[at];
        met[at] += 1;
        let sheet = format!("```rig\n{}{text}{}```\n", block.before, block.behind);
        let found = compile_text(&sheet);
        let slugs: Vec<&str> = found.notices.iter().map(|notice| notice.slug.as_str()).collect();
        if slugs != block.told {
            faults.push(format!("README.md:{line}: {:?} was meant to be told, and {:#?} was", block.told, found.notices));
        }
    }
    for (block, met) in BLOCKS.iter().zip(met) {
        if met != 1 {
            faults.push(format!("README.md has {met} blocks that begin `{}`", block.opens));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

fn block(opens: &str) -> String {
    let readme = folders::text_of(&folders::project().join("README.md"));
    let found = blocks(&readme).into_iter().find(|(_, _, text)| text.starts_with(opens));
    found.unwrap_or_else(|| panic!("README.md has no block that begins `{opens}`")).2
}

// What a sheet is told beside another file of the project.
fn told(sheet: &str, path: &str, text: String) -> Vec<String> {
    let documents = [(MAIN.to_string(), format!("```rig\n{sheet}```\n")), (path.to_string(), text)];
    let found = compile(&documents.map(|(path, text)| Document { path, text }));
    found.notices.iter().map(|notice| format!("{}: {}", notice.slug, notice.headline)).collect()
}

#[test]
fn the_list_of_gear_in_the_readme_is_read() {
    let sheet = "use \"gear/ropes.csv\" as locker\ntake pull = 2 kN from \"log\"\ncheck \"rope\": pull <= locker.rope.rated\n\
                 check \"strop\": pull <= locker.strop.rated\n";
    assert_eq!(told(sheet, "gear/ropes.csv", block("name,label,rated")), Vec::<String>::new());
}

#[test]
fn the_project_file_in_the_readme_is_read_to_its_last_key() {
    let told = told("take pull = 2 kN from \"log\"\n", "parbuckle.toml", block("owner "));
    // Of two things that the project file names, neither is there; every key is known and every value is one that may be.
    let slugs: Vec<&str> = told.iter().filter_map(|told| told.split(':').next()).collect();
    assert_eq!(slugs, ["picture-left-out", "template-folder"], "{told:?}");
}

#[test]
fn every_kind_has_its_row_in_the_readme() {
    let readme = folders::text_of(&folders::project().join("README.md"));
    let kinds = folders::files_under(&folders::project().join("src/kinds"), "md");
    let words = kinds.iter().filter(|path| path.ends_with("kind.md")).filter_map(|path| path.parent()?.file_name()?.to_str());
    let missing: Vec<&str> =
        words.filter(|word| !["every", "train"].contains(word) && !readme.contains(&format!("\n| `{word}`"))).collect();
    assert_eq!(missing, Vec::<&str>::new());
}

// The fenced blocks of a document that stand at the margin: line, word behind the marks, text.
fn blocks(text: &str) -> Vec<(usize, String, String)> {
    let mut found: Vec<(usize, String, String)> = Vec::new();
    let mut open = false;
    for (at, line) in text.lines().enumerate() {
        match (open, line.strip_prefix("```")) {
            (false, Some(word)) => {
                open = true;
                found.push((at + 1, word.trim().into(), String::new()));
            }
            (true, Some("")) => open = false,
            (true, _) => found.last_mut().into_iter().for_each(|block| block.2 += &format!("{line}\n")),
            (false, None) => {}
        }
    }
    found
}
