//! The sheets on which a house's own parts of the page are tried: one that has something of everything, and one that has nothing.

use crate::engine::{Engine, MemoryFiles, kind_words, reference};
use crate::output::Trial;
use crate::sheet::parts::{Sheet, SignOff, SignatureRow, Stale};
use crate::sheet::{difference, snapshot};
use crate::source::SheetPath;
use std::sync::Arc;

/// Something of everything that a page may have to print.
const FULL: &str = include_str!("specimen.md");
/// What is otherwise in it where it was signed.
const WEIGHED: &str = "40 kg ±";
const WEIGHS: &str = "45 kg ±";
/// Nothing but what every page has.
const BARE: &str = "";
/// Where it stands among its files.
const PLACE: &str = "specimen.md";

/// The trial of a part of the page.
pub(super) fn trial() -> Trial {
    let (bare, before) = (sheet(BARE), sheet(&FULL.replace(WEIGHS, WEIGHED)));
    let full = sheet(FULL).zip(before).map(|(full, before)| signed(full, &before));
    // Only a page of reference shows a kind with a drawing.
    Trial::new([full, bare, kind_words().next().and_then(reference)].into_iter().flatten().collect())
}

fn sheet(text: &str) -> Option<Sheet> {
    let files = MemoryFiles::new().with(PLACE, text);
    Some(Arc::unwrap_or_clone(Engine::new().compile(&files, &[SheetPath::new(PLACE)]).outcomes.pop()?.sheet?))
}

// A signature on what the sheet is, and one on what it was before.
fn signed(mut sheet: Sheet, before: &Sheet) -> Sheet {
    let row = |role: &str, standing: &str, counts: bool| SignatureRow {
        role: role.into(),
        name: "A. Person".into(),
        date: "2026-01-05".into(),
        meaning: "every line followed".into(),
        revision: "A".into(),
        counts,
        standing: standing.into(),
        calculation: sheet.record.calculation.clone(),
        telling: sheet.record.telling.clone(),
    };
    let changes = difference(&snapshot(before), &snapshot(&sheet));
    let stale = vec![Stale { signed: vec!["A. Person as checker on 2026-01-05".into()], summary: changes.summary(), changes }];
    let signatures = vec![row("originator", "current", true), row("checker", "check is stale", false)];
    sheet.sign_off = SignOff { record: "specimen.signoff".into(), legend: "not yet checked".into(), signatures, stale };
    sheet
}

#[cfg(test)]
mod tests {
    use super::trial;
    use crate::output::{part_is_fit, part_names};
    use crate::sheet::parts::Part;

    #[test]
    fn between_them_the_sheets_show_everything_that_a_part_may_be_given() {
        assert_eq!(trial().unseen(), [] as [&str; 0]);
    }

    /// Words of the template language, which are no names.
    const RESERVED: [&str; 23] = [
        "if",
        "elif",
        "else",
        "endif",
        "for",
        "in",
        "endfor",
        "and",
        "or",
        "not",
        "is",
        "set",
        "endset",
        "include",
        "component",
        "endcomponent",
        "filter",
        "endfilter",
        "safe",
        "length",
        "raw",
        "endraw",
        "true",
    ];

    // Every word in the tags of `text`, by its place: letters, digits and underlines in a row, outside of texts and comments.
    fn words(text: &str) -> Vec<(usize, &str)> {
        let (mut found, mut at) = (Vec::new(), 0);
        while let Some(open) = text[at..].find("{").map(|open| at + open) {
            let close = match &text[open..(open + 2).min(text.len())] {
                "{{" => "}}",
                "{%" => "%}",
                "{#" => "#}",
                _ => {
                    at = open + 1;
                    continue;
                }
            };
            let end = open + text[open..].find(close).expect("a tag is closed");
            at = end + 2;
            let (mut from, mut quoted) = (open + 2, false);
            while close != "#}" && from < end {
                let rest = &text[from..end];
                let length = rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len());
                if length == 0 {
                    quoted ^= rest.starts_with('"');
                    from += 1;
                    continue;
                }
                if !quoted && rest.starts_with(char::is_alphabetic) && !RESERVED.contains(&&rest[..length]) {
                    found.push((from, &rest[..length]));
                }
                from += length;
            }
        }
        found
    }

    fn ours(name: &str) -> String {
        let place = format!("{}/templates/{name}", env!("CARGO_MANIFEST_DIR"));
        std::fs::read_to_string(place).expect("a part").replace("\r\n", "\n")
    }

    #[test]
    fn every_name_in_every_part_is_missed_when_it_is_misspelt() {
        let trial = trial();
        let (mut passed, mut tried) = (Vec::new(), 0);
        for name in part_names().filter(|name| name.ends_with(".html")) {
            let text = ours(name);
            let part = |text: String| Part { name: name.into(), text };
            assert_eq!(part_is_fit(&part(text.clone()), &trial), Ok(()), "{name}, as it is");
            for (at, word) in words(&text) {
                let misspelt = format!("{}x{}", &text[..at + word.len()], &text[at + word.len()..]);
                tried += 1;
                if part_is_fit(&part(misspelt), &trial).is_ok() {
                    let line = text[..at].matches('\n').count() + 1;
                    passed.push(format!("{name}:{line}: {word}x"));
                }
            }
        }
        assert_eq!(passed, [] as [&str; 0]);
        assert!(tried > 500, "{tried} names");
    }
}
