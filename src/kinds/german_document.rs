//! The German document of a kind, from its own: the prose of `german.md`, and the fences of `kind.md` in the places marked there.
//!
//! So nothing is worked in two places. Quoted words of a worked case are said in German; the kind itself stands as it is.
use crate::kinds::german;

/// Where a fence goes.
const MARK: &str = "<!-- rig -->";
/// What opens a fence, and what closes it.
const OPEN: &str = "\n```rig\n";
const CLOSE: &str = "\n```\n";

/// `prose` with the fences of `document`, one for each mark in order.
pub fn joined(word: &str, document: &str, prose: &str) -> String {
    let mut fences = document.split(OPEN).skip(1).map(|rest| rest.split_once(CLOSE).map_or(rest, |(fence, _)| fence));
    let mut out = String::with_capacity(document.len() + document.len() / 4);
    let mut parts = prose.split(MARK);
    out.push_str(parts.next().unwrap_or(""));
    for part in parts {
        let fence = fences.next().unwrap_or("");
        out.push_str(OPEN.trim_start());
        if fence.starts_with("kind ") {
            out.push_str(fence);
        } else {
            for (place, piece) in fence.split('"').enumerate() {
                let quotes = if place == 0 { "" } else { "\"" };
                out.push_str(quotes);
                out.push_str(if place % 2 == 1 { german(word, piece).unwrap_or(piece) } else { piece });
            }
        }
        out.push_str(CLOSE.trim_end());
        out.push_str(part);
    }
    out
}

#[cfg(test)]
mod tests {
    use crate::kinds::{document, german_document, words};

    // Lines that open a fence, headings by their depth, rows of tables by their columns, and what is written as code.
    fn shape(text: &str) -> (usize, Vec<usize>, Vec<usize>) {
        let prose: Vec<&str> = text.split("\n```").step_by(2).flat_map(str::lines).collect();
        let headings = prose.iter().filter(|line| line.starts_with('#')).map(|line| line.bytes().take_while(|byte| *byte == b'#').count());
        let rows = prose.iter().filter(|line| line.starts_with('|')).map(|line| line.matches('|').count());
        (text.matches("\n```rig\n").count(), headings.collect(), rows.collect())
    }

    // The numbers of the prose, whatever sign stands between units and tenths.
    fn numbers(text: &str) -> Vec<&str> {
        let prose = text.split("\n```").step_by(2);
        let mut all: Vec<&str> = prose.flat_map(|part| part.split(|letter: char| !letter.is_ascii_digit())).collect();
        all.retain(|digits| !digits.is_empty());
        all.sort_unstable();
        all
    }

    #[test]
    fn a_german_document_has_what_the_english_one_has() {
        for word in words() {
            let (english, german) = (document(word).expect("a document"), german_document(word).expect("a document in German"));
            assert_eq!(shape(english), shape(&german), "{word}");
            assert_eq!(numbers(english), numbers(&german), "{word}");
            let kind = |text: &str| {
                text.split("\n```rig\n").find(|part| part.starts_with("kind ")).map(|part| part.split("\n```").next().map(str::to_string))
            };
            assert_eq!(kind(english), kind(&german), "{word}");
            assert!(!german.contains("<!--"), "{word}");
        }
    }
}
