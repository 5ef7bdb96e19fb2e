//! What a document calculates and what it tells beside that, each as text to compare or to take a digest of.

use crate::diagnostics::Sink;
use crate::document::{self, Document, Piece};
use crate::model::Material;
use crate::sheet;
use crate::source::{FileId, Fragment, Home, Sources};
use crate::syntax;
use crate::syntax::Said;

/// The statements of all fences of `text`, in their order, in one spelling: without comments, layout, and the settings of
/// the head that say who and when. Two documents with the same calculation come to the same numbers.
pub fn calculation(text: &str) -> String {
    let document = document::read(text, FileId(0), &mut Sink::new());
    let mut said = String::new();
    for fragment in document.pieces.iter().filter_map(|piece| fence(&document, piece)) {
        push_statements(&mut said, &syntax::said(fragment.text()));
    }
    said
}

/// Everything that [`calculation`] leaves out, comments and layout again excepted: the prose, with a mark where a fence
/// stands, and who and when from the head. Blanks at the ends of lines and kinds of line end are layout.
pub fn telling(text: &str) -> String {
    let document = document::read(text, FileId(0), &mut Sink::new());
    let fences: Vec<Said> =
        document.pieces.iter().filter_map(|piece| fence(&document, piece)).map(|fragment| syntax::said(fragment.text())).collect();
    told(text, &document, &fences)
}

fn fence<'d>(document: &'d Document, piece: &Piece) -> Option<&'d Fragment> {
    match piece {
        Piece::Rig { fragment, .. } => document.fragments.get(*fragment as usize),
        Piece::Prose(_) => None,
    }
}

fn push_statements(said: &mut String, fence: &Said) {
    if !fence.statements.is_empty() {
        said.push_str(&fence.statements);
        said.push('\n');
    }
}

// What `text` tells, of which `document` was read and whose fences say `fences`.
fn told(text: &str, document: &Document, fences: &[Said]) -> String {
    let mut told = String::with_capacity(text.len());
    let mut copied = 0;
    let spans = document.pieces.iter().filter_map(|piece| match piece {
        Piece::Rig { span_of_fence, .. } => Some(span_of_fence),
        Piece::Prose(_) => None,
    });
    for (span, fence) in spans.zip(fences) {
        push_lines(&mut told, text.get(copied..span.start as usize).unwrap_or(""));
        told.push_str("```rig\n");
        if !fence.who_and_when.is_empty() {
            told.push_str(&fence.who_and_when);
            told.push('\n');
        }
        told.push_str("```\n");
        copied = span.end as usize;
    }
    push_lines(&mut told, text.get(copied..).unwrap_or(""));
    told
}

/// Moves when the same calculation may come to other numbers than it did in an earlier version of this program; kinds of the
/// program, which are part of a calculation by what they reckon, do not count for it.
const NUMBERS: &str = "numbers 1";

/// The digests of what a sheet calculates, with all the files it rests on, and of what it tells beside that. Where the
/// files stand is not part of either. All has been read already: `document` is that of `file`.
pub(super) fn digests(
    (sources, material): (&Sources, &Material),
    (file, document): (FileId, &Document),
    used: &[FileId],
    data: &[FileId],
    kinds: &[String],
) -> (String, String) {
    let text = |file: FileId| sources.file(file).map_or("", |file| file.text.as_str());
    let fences = |file: FileId| -> Vec<Said> {
        let trees = material.files.get(&file).map_or(&[][..], |trees| trees.fences.as_slice());
        trees.iter().map(|(fragment, _)| syntax::said(sources.text_of(Home::fragment(file, *fragment)))).collect()
    };
    let own = fences(file);
    let mut calculated = String::from(NUMBERS);
    let mut calculate = |fences: &[Said]| {
        calculated.push_str("\nfile\n");
        for line in fences.iter().flat_map(|fence| fence.statements.lines()) {
            // The place of a used file is left out; what it says follows.
            let line = line.strip_prefix("use \"").and_then(|rest| rest.split_once('"')).map_or(line, |(_, behind)| behind);
            calculated.push_str(line);
            calculated.push('\n');
        }
    };
    calculate(&own);
    used.iter().for_each(|file| calculate(&fences(*file)));
    for kind in kinds {
        calculated.push_str("\nkind ");
        calculated.push_str(kind);
    }
    for table in data {
        calculated.push_str("\ntable\n");
        calculated.push_str(&text(*table).replace("\r\n", "\n"));
    }
    (sheet::digest(&calculated), sheet::digest(&told(text(file), document, &own)))
}

/// The digest of what a kind reckons: its lines in their order, without what they say in words.
pub(super) fn reckoning(kind: &Document) -> String {
    let fences = kind.fragments.iter().map(|fragment| syntax::said(fragment.text()).statements);
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
    let first = lines.iter().position(|line| !line.is_empty());
    let last = lines.iter().rposition(|line| !line.is_empty());
    let Some((first, last)) = first.zip(last) else { return };
    for line in lines.get(first..=last).unwrap_or_default() {
        told.push_str(line);
        told.push('\n');
    }
}

#[cfg(test)]
mod tests {
    use super::{calculation, reckoning, telling};
    use crate::diagnostics::Sink;
    use crate::document;
    use crate::engine::{Engine, MemoryFiles};
    use crate::sheet;
    use crate::source::{FileId, SheetPath};

    #[test]
    fn words_of_a_kind_are_not_what_it_reckons() {
        let reckoning = |kind: &str| reckoning(&document::read(kind, FileId(0), &mut Sink::new()));
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

    // What is compared between revisions and what a sheet carries are one and the same.
    #[test]
    fn a_sheet_carries_the_digest_of_what_it_tells() {
        let text = "# Slip\n\nHaul `rig x` it.\n\n```rig\nsheet A \"T\"\n    date 2026-01-02\ntake x = 3 N\n```\n\nDone.\n\n```rig\ny = 2*x\n```\n";
        let path = SheetPath::new("slip.md");
        let report = Engine::new().compile(&MemoryFiles::new().with("slip.md", text), std::slice::from_ref(&path));
        let record = report.outcomes[0].sheet.as_ref().map(|sheet| sheet.record.clone()).expect("a sheet");
        assert_eq!(record.telling, sheet::digest(&telling(text)));
        assert_eq!(record.calculation, sheet::digest(&format!("numbers 1\nfile\n{}", calculation(text))));
    }
}
