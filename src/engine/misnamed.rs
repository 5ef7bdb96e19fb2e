//! Files that nobody reads for a slip in their name: a project file that is none, a part of the page that replaces none.

use crate::diagnostics::catalogue::house::{ProjectFileName, TemplatePartName};
use crate::diagnostics::{Finding, Sink, nearest};
use crate::engine::{Files, Unreadable};
use crate::house::{FILE, read};
use crate::output;
use crate::sheet::parts::Notice;
use crate::source::{Extent, Home, SheetPath, Sources, Text};
use std::collections::BTreeSet;

/// Endings of files that are plainly something else than a project file or a part of a page, however near they come.
const OTHERWISE: [&str; 21] = [
    "bak", "csv", "gif", "ini", "jpeg", "jpg", "json", "lock", "md", "orig", "pdf", "png", "rej", "signoff", "svg", "swp", "tmp", "txt",
    "webp", "yaml", "yml",
];

/// The files in the folders of `sheets` and above them that were likely meant to be a project file, and those in the template folders
/// of the project files there that replace no part: each once, with what is said of it. `names` gives those of the files in a folder.
pub fn misnamed(files: &dyn Files, sheets: &[SheetPath], names: impl Fn(&SheetPath) -> Vec<String>) -> Vec<(SheetPath, Vec<Notice>)> {
    let (mut folders, mut templates, mut told) = (BTreeSet::new(), BTreeSet::new(), Vec::new());
    for sheet in sheets {
        let mut folder = sheet.as_str();
        loop {
            folder = folder.rfind('/').and_then(|slash| folder.get(..slash)).unwrap_or("");
            // What is above a folder that was met has been met too.
            if !folders.insert(folder) || folder.is_empty() {
                break;
            }
        }
    }
    for folder in folders {
        let path = below(folder, FILE);
        match files.read(&path) {
            Ok(text) => {
                let (mut sources, mut sink) = (Sources::new(), Sink::new());
                let file = sources.add(path.clone(), text.clone());
                templates.extend(read(text.as_str(), &path, file, &mut sink).templates);
            }
            Err(Unreadable::Missing) => {
                let mut found = names(&SheetPath::new(folder));
                found.retain(|name| is_likely_meant(name));
                found.sort();
                for file in found {
                    let path = below(folder, &file);
                    told.push(alone(path, &ProjectFileName { file, wanted: FILE.to_string() }));
                }
            }
            Err(_) => {}
        }
    }
    let known: Vec<String> = output::part_names().map(String::from).collect();
    for folder in templates {
        let mut found = names(&folder);
        found.retain(|name| !name.starts_with('.') && !known.contains(name) && !is_otherwise(name));
        found.sort();
        for file in found {
            let mut near: Vec<String> = nearest(&file, known.iter().map(String::as_str)).into_iter().map(String::from).collect();
            // Where a system takes large and small letters for the same, the file is read.
            if near.iter().any(|near| near.eq_ignore_ascii_case(&file) && files.read(&below(folder.as_str(), near)).is_ok()) {
                continue;
            }
            // A house brings no script, so a script is near to nothing.
            near.truncate(usize::from(!file.to_ascii_lowercase().ends_with(".js")));
            told.push(alone(below(folder.as_str(), &file), &TemplatePartName { file, near, known: known.clone() }));
        }
    }
    told
}

fn below(folder: &str, name: &str) -> SheetPath {
    SheetPath::new(&if folder.is_empty() { name.to_string() } else { format!("{folder}/{name}") })
}

fn alone(path: SheetPath, finding: &dyn Finding) -> (SheetPath, Vec<Notice>) {
    let (mut sources, mut sink) = (Sources::new(), Sink::new());
    let file = sources.add(path.clone(), Text::new(""));
    sink.push(Home::file(file).span(Extent::default()), finding);
    (path, crate::sheet::notices(&sink.into_sorted(), &sources))
}

fn is_otherwise(name: &str) -> bool {
    let ending = name.rsplit_once('.').map_or("", |(_, ending)| ending).to_ascii_lowercase();
    ending.ends_with('~') || OTHERWISE.contains(&ending.as_str())
}

// Whether a file called `name` was likely meant to be the project file. The name or its ending may have slipped, but not both; and a
// page or a style sheet of the same name as ours is one.
fn is_likely_meant(name: &str) -> bool {
    // Some editors put an ending of their own behind.
    if name.strip_suffix(".txt") == Some(FILE) {
        return true;
    }
    let (Some((stem, ending)), Some((meant_stem, meant_ending))) = (name.rsplit_once('.'), FILE.rsplit_once('.')) else { return false };
    let near = |word: &str, meant: &str| !nearest(word, [meant]).is_empty();
    let plain = |word: &str, meant: &str| word.trim_start_matches('.').eq_ignore_ascii_case(meant);
    if name == FILE || is_otherwise(name) || ["htm", "html", "css"].iter().any(|other| ending.eq_ignore_ascii_case(other)) {
        return false;
    }
    plain(ending, meant_ending) && (plain(stem, meant_stem) || near(stem, meant_stem))
        || plain(stem, meant_stem) && near(ending, meant_ending)
}

#[cfg(test)]
mod tests {
    use super::is_likely_meant;

    #[test]
    fn a_slip_in_the_name_of_the_project_file_is_told_from_another_file() {
        for slip in [
            "Parbuckle.toml",
            "parbuckle.tml",
            ".parbuckle.toml",
            "parbukle.toml",
            "parbuckel.toml",
            "PARBUCKLE.TOML",
            "parbuckle.tolm",
            "parbuckles.toml",
            "parbuckle.toml.txt",
        ] {
            assert!(is_likely_meant(slip), "{slip}");
        }
        for other in [
            "parbuckle.toml",
            "Cargo.toml",
            "pyproject.toml",
            "parbuckle.md",
            "parbuckle.html",
            "parbuckle.yaml",
            "parbuckle.toml.bak",
            "parbuckle.toml~",
            "parbuckle.json",
            ".parbuckle.toml.swp",
            "parbuckle",
            "buckets.toml",
            "rustfmt.toml",
        ] {
            assert!(!is_likely_meant(other), "{other}");
        }
    }
}
