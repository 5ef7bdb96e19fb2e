//! What a document calculates and what it tells beside that, each as text to compare or to take a digest of.

use crate::diagnostics::Sink;
use crate::document::{self, Piece};
use crate::sheet;
use crate::source::{FileId, Sources};
use crate::syntax;

/// The statements of all fences of `text`, in their order, in one spelling: without comments, layout, and the settings of
/// the head that say who and when. Two documents with the same calculation come to the same numbers.
pub fn calculation(text: &str) -> String {
    let document = document::read(text, FileId(0), &mut Sink::new());
    let mut said = String::new();
    for piece in &document.pieces {
        let Piece::Rig { fragment, .. } = piece else { continue };
        let Some(fragment) = document.fragments.get(*fragment as usize) else { continue };
        let canonical = syntax::canonical(fragment.text());
        if !canonical.is_empty() {
            said.push_str(&canonical);
            said.push('\n');
        }
    }
    said
}

/// Everything that [`calculation`] leaves out, comments and layout again excepted: the prose, with a mark where a fence
/// stands, and who and when from the head. Blanks at the ends of lines and kinds of line end are layout.
pub fn telling(text: &str) -> String {
    let document = document::read(text, FileId(0), &mut Sink::new());
    let mut told = String::new();
    let mut copied = 0;
    for piece in &document.pieces {
        let Piece::Rig { fragment, span_of_fence } = piece else { continue };
        push_lines(&mut told, text.get(copied..span_of_fence.start as usize).unwrap_or(""));
        told.push_str("```rig\n");
        if let Some(fragment) = document.fragments.get(*fragment as usize) {
            told.push_str(&syntax::administrative(fragment.text()));
        }
        told.push_str("```\n");
        copied = span_of_fence.end as usize;
    }
    push_lines(&mut told, text.get(copied..).unwrap_or(""));
    told
}

/// Moves when the same calculation may come to other numbers than it did in an earlier version of this program; kinds of the
/// program, which are part of a calculation by what they reckon, do not count for it.
const NUMBERS: &str = "numbers 1";

/// The digests of what a sheet calculates, with all the files it rests on, and of what it tells beside that. Where the
/// files stand is not part of either.
pub(super) fn digests(sources: &Sources, file: FileId, used: &[FileId], data: &[FileId], kinds: &[String]) -> (String, String) {
    let text = |file: &FileId| sources.file(*file).map_or("", |file| file.text.as_str());
    let mut calculated = String::from(NUMBERS);
    for file in std::iter::once(&file).chain(used) {
        calculated.push_str("\nfile\n");
        for line in calculation(text(file)).lines() {
            // The place of a used file is left out; what it says follows.
            let line = line.strip_prefix("use \"").and_then(|rest| rest.split_once('"')).map_or(line, |(_, behind)| behind);
            calculated.push_str(line);
            calculated.push('\n');
        }
    }
    for kind in kinds {
        calculated.push_str("\nkind ");
        calculated.push_str(kind);
    }
    for table in data {
        calculated.push_str("\ntable\n");
        calculated.push_str(&text(table).replace("\r\n", "\n"));
    }
    (sheet::digest(&calculated), sheet::digest(&telling(text(&file))))
}

/// The digest of what a kind reckons: its lines in their order, without what they say in words.
pub(super) fn reckoning(kind: &str) -> String {
    let document = document::read(kind, FileId(0), &mut Sink::new());
    let fences = document.fragments.iter().map(|fragment| syntax::canonical(fragment.text()));
    let mut said = String::new();
    for fence in fences.filter(|fence| fence.starts_with("kind ")) {
        for line in fence.lines().filter(|line| !["caution ", "question "].iter().any(|word| line.trim_start().starts_with(word))) {
            // What stands between quotation marks is a label, a reference or what is wrong when a limit fails.
            let unescaped = line.replace("\\\"", "");
            let reckoned = unescaped.split('"').step_by(2).collect::<Vec<_>>().join("\"");
            said.push_str(reckoned.trim());
            said.push('\n');
        }
    }
    sheet::digest(&said)
}

fn push_lines(told: &mut String, text: &str) {
    let lines: Vec<&str> = text.lines().map(str::trim_end).collect();
    let said = |line: &&str| !line.is_empty();
    let (first, last) = (lines.iter().position(|line| said(&line)), lines.iter().rposition(|line| said(&line)));
    let Some((first, last)) = first.zip(last) else { return };
    for line in lines.get(first..=last).unwrap_or_default() {
        told.push_str(line);
        told.push('\n');
    }
}

#[cfg(test)]
mod tests {
    use super::{calculation, reckoning, telling};

    #[test]
    fn words_of_a_kind_are_not_what_it_reckons() {
        let kind = |relation: &str, label: &str| {
            format!(
                "# K\n\n```rig\nkind k \"{label}\"\n    relation a \"{label}\" = {relation} ref \"{label}\"\n    caution \"{label}\"\n```\n\nProse.\n"
            )
        };
        assert_eq!(reckoning(&kind("2 * b", "one")), reckoning(&kind("2  *  b", "two, \\\"quoted\\\"")));
        assert_ne!(reckoning(&kind("2 * b", "one")), reckoning(&kind("3 * b", "one")));
        // Each kind that comes with the program has something to reckon, and no two reckon the same.
        let all: std::collections::BTreeSet<String> =
            crate::kinds::words().chain(["every", "train"]).filter_map(|word| crate::kinds::document(word)).map(reckoning).collect();
        assert_eq!(all.len(), crate::kinds::words().count() + 2);
    }

    #[test]
    fn each_change_is_of_one_sort() {
        let sheet = "# Slip\n\nHaul it.\n\n```rig\nsheet A \"T\"\n    date 2026-01-02\ntake x = 3 N  from \"tape\"\n```\n\nDone.\n";
        let prose = sheet.replace("Haul it", "Heave it");
        let date = sheet.replace("01-02", "02-03");
        let value = sheet.replace("3 N", "4 N");
        let layout = sheet.replace("take x =", "take  x  =").replace("Haul it.\n", "Haul it.  \r\n");
        let sorts = |other: &str| (calculation(sheet) == calculation(other), telling(sheet) == telling(other));
        assert_eq!(sorts(&prose), (true, false));
        assert_eq!(sorts(&date), (true, false));
        assert_eq!(sorts(&value), (false, true));
        assert_eq!(sorts(&layout), (true, true));
    }
}
