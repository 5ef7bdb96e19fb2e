//! What can be said about a word: a finding, a unit, a kind or a function.

use crate::diagnostics::catalogue::pages;
use crate::engine::reference::reference;
use crate::model::functions::FUNCTIONS;

/// What `explain` prints for a word. None when nothing goes by that name.
pub fn explain(word: &str) -> Option<String> {
    let word = word.trim();
    match word {
        "findings" => return Some(listing("Findings", pages().map(|page| (page.slug.to_string(), first_line(page.text))))),
        "kinds" => return Some(listing("Kinds of machine", crate::kinds::words().map(|word| (word.to_string(), kind_title(word))))),
        "functions" => {
            return Some(listing("Functions", FUNCTIONS.iter().map(|(name, _, _, says)| ((*name).to_string(), (*says).to_string()))));
        }
        "units" => return Some(listing("Units", crate::units::all().map(|row| (row.spellings.join(", "), row.name.to_string())))),
        _ => {}
    }
    if let Some(page) = pages().find(|page| page.slug == word) {
        return Some(format!("{}\n\n{}\n", page.slug, unindented(page.text)));
    }
    if let Some(sheet) = reference(word) {
        return Some(crate::output::reference(&sheet));
    }
    if let Some((name, _, _, says)) = FUNCTIONS.iter().find(|(name, ..)| *name == word) {
        return Some(format!("{name}(...)\n\n{says}\n"));
    }
    crate::units::describe(word)
}

/// Words of one sort that [`explain`] has a page for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Subjects {
    /// What they are: "Findings" ...
    pub title: &'static str,
    /// The words, in the order to list them.
    pub words: Vec<String>,
}

/// Every word that [`explain`] answers to, by sort.
pub fn subjects() -> Vec<Subjects> {
    vec![
        Subjects { title: "Lists", words: ["findings", "kinds", "functions", "units"].map(String::from).to_vec() },
        Subjects { title: "Kinds", words: crate::kinds::words().map(String::from).collect() },
        Subjects { title: "Functions", words: FUNCTIONS.iter().map(|(name, ..)| (*name).to_string()).collect() },
        Subjects { title: "Findings", words: pages().map(|page| page.slug.to_string()).collect() },
        Subjects { title: "Units", words: crate::units::all().flat_map(spellings).collect() },
    ]
}

fn listing(title: &str, rows: impl Iterator<Item = (String, String)>) -> String {
    let rows: Vec<(String, String)> = rows.collect();
    let width = rows.iter().map(|(word, _)| word.chars().count()).max().unwrap_or(0).min(40);
    let mut text = format!("{title}\n\n");
    for (word, says) in rows {
        let gap = width.saturating_sub(word.chars().count());
        text.push_str(&format!("  {word}{}  {says}\n", " ".repeat(gap)));
    }
    text
}

fn first_line(text: &str) -> String {
    unindented(text).lines().next().unwrap_or("").to_string()
}

fn kind_title(word: &str) -> String {
    let document = crate::kinds::document(word).unwrap_or("");
    document.lines().find_map(|line| line.strip_prefix("# ")).unwrap_or("").to_string()
}

fn unindented(text: &str) -> String {
    text.lines().map(|line| line.strip_prefix(' ').unwrap_or(line)).collect::<Vec<_>>().join("\n").trim_end().to_string()
}

// A unit's spellings, and its symbol with the prefixes of everyday work.
fn spellings(row: &'static crate::units::Row) -> Vec<String> {
    let mut words: Vec<String> = row.spellings.iter().map(|spelling| (*spelling).to_string()).collect();
    let prefixed = ["m", "k", "M"].into_iter().filter(|prefix| row.takes(prefix));
    words.extend(prefixed.map(|prefix| format!("{prefix}{}", row.print)));
    words
}
