//! Fenced code: its text with the way back to the file, and whether its fence was ever closed.

use crate::source::{Extent, Fragment};
use std::ops::Range;

/// The text of a fenced block, given the stretches of it that the Markdown reader found. Marks of a quotation, the
/// indentation of a list and the `\r` of a line end are not part of it.
pub(super) fn fragment<'t>(source: &str, stretches: impl Iterator<Item = (&'t str, Range<usize>)>) -> Fragment {
    let mut fragment = Fragment::new();
    for (text, range) in stretches {
        let tab = range.start.checked_sub(1).filter(|at| source.as_bytes().get(*at) == Some(&b'\t'));
        match tab {
            // A tab of which the list has used up some columns comes as the spaces that are left, at a place of no
            // length. The tab itself keeps both the indentation and the place.
            Some(tab) if range.is_empty() && text.bytes().all(|byte| byte == b' ') => fragment.push("\t", tab),
            _ => fragment.push(text, range.start),
        }
    }
    fragment
}

/// The line that opens the fenced block at `block`.
pub(super) fn opening_line(source: &str, block: &Range<usize>) -> Extent {
    let line = source.get(block.clone()).and_then(|text| text.lines().next()).unwrap_or("");
    Extent::new(block.start, block.start + line.trim_end().len())
}

/// The place of `word` behind the fence marks, or the opening line when it is not written there letter by letter.
pub(super) fn word(source: &str, block: &Range<usize>, word: &str) -> Extent {
    let line = opening_line(source, block);
    let marks = mark(source, block).len();
    let behind = source.get(line.start as usize + marks..line.end as usize).unwrap_or("");
    let start = line.end as usize - behind.trim_start().len();
    if behind.trim_start().starts_with(word) { Extent::new(start, start + word.len()) } else { line }
}

/// The fence marks at the start of the block: three or more backticks or tildes.
pub(super) fn mark<'s>(source: &'s str, block: &Range<usize>) -> &'s str {
    let text = source.get(block.clone()).unwrap_or("");
    let first = text.chars().next().filter(|c| matches!(c, '`' | '~'));
    let rest = text.trim_start_matches(|c| Some(c) == first);
    text.get(..text.len() - rest.len()).unwrap_or("")
}

/// Whether the block has a closing fence; `text_end` is where the last stretch of its text ends. A block that runs out
/// with its file, its quotation or its list has none, and the Markdown reader does not say so.
pub(super) fn is_closed(source: &str, block: &Range<usize>, text_end: Option<usize>) -> bool {
    let mark = mark(source, block);
    let from = text_end.unwrap_or(opening_line(source, block).end as usize);
    let rest = source.get(from..block.end).unwrap_or("").trim_matches([' ', '\t', '\r', '\n', '>']);
    !mark.is_empty() && rest.len() >= mark.len() && rest.chars().all(|c| mark.starts_with(c))
}

#[cfg(test)]
mod tests {
    use crate::diagnostics::Sink;
    use crate::document::{Document, Piece, read};
    use crate::source::FileId;

    // Slug, place in the file, mend.
    type Found = (&'static str, String, Option<String>);

    fn take_apart(text: &str) -> (Document, Vec<Found>) {
        let mut sink = Sink::new();
        let document = read(text, FileId(0), &mut sink);
        let found = sink.into_sorted().into_iter().map(|finding| {
            let place = &text[finding.primary.span.start as usize..finding.primary.span.end as usize];
            (finding.slug, place.to_string(), finding.fix.map(|fix| fix.replacement))
        });
        let found = found.collect();
        (document, found)
    }

    // CommonMark 0.31.2, sections 2.2 (tabs), 4.5 (fenced code blocks), 5.1 and 5.2 (containers).
    #[test]
    fn every_byte_of_a_fence_finds_its_way_home() {
        for (file, fragment) in [
            ("```rig\na = 1\n  b\n```\n", "a = 1\n  b\n"),
            ("> ```rig\n> a = 1\n>\n>   b\n> ```\n", "a = 1\n\n  b\n"),
            ("- x\n\n  ```rig\n  a = 1\n    b\n  ```\n", "a = 1\n  b\n"),
            ("1) > ~~~rig\n   > a = 1\n   > ~~~\n", "a = 1\n"),
            ("- x\n\n\t```rig\n\ta = 1\n\t\tb\n\t```\n", "a = 1\n\tb\n"),
            // The tab reaches two columns past the list's indentation; it stays as the tab it is.
            ("- ```rig\n  a = 1\n\tb\n  ```\n", "a = 1\n\tb\n"),
            ("```rig\r\na = 1\r\n\r\n  b\r\n```\r\n", "a = 1\n\n  b\n"),
            ("> ```rig\r\n> a = 1\r\n> b = 2\r\n> ```\r\n", "a = 1\nb = 2\n"),
            ("```rig\nµ = 0.16 # Größe → 摩擦\n```\n", "µ = 0.16 # Größe → 摩擦\n"),
            ("````rig\na\n```\nb\n````\n", "a\n```\nb\n"),
            ("```rig\na = 1\n", "a = 1\n"),
            ("> ```rig\n> a = 1\n\nb\n", "a = 1\n"),
            ("```rig\na = 1", "a = 1"),
            ("```rig anything behind\na\n```", "a\n"),
            ("```rig\n```\n", ""),
            ("[^1]\n\n[^1]: x\n\n    ```rig\n    a = 1\n    ```\n", "a = 1\n"),
        ] {
            let (document, _) = take_apart(file);
            let [found] = document.fragments.as_slice() else { panic!("one fragment in {file:?}") };
            assert_eq!(found.text(), fragment, "{file:?}");
            for (at, byte) in found.text().bytes().enumerate() {
                assert_eq!(file.as_bytes()[found.to_file(at as u32) as usize], byte, "{file:?} at {at}");
            }
        }
    }

    #[test]
    fn what_is_no_fence_of_ours_passes_through() {
        for file in ["    ```rig\n    a\n", "a\n    ```rig\n", "```ruby\n```rig\n```\n", "<pre>\n```rig\n</pre>\n", "``rig``"] {
            let (document, _) = take_apart(file);
            assert!(document.fragments.is_empty(), "{file:?}");
        }
    }

    #[test]
    fn an_open_fence_is_told_where_it_opens() {
        for (file, slug, place) in [
            ("a\n\n```rig\nb\n", "fence-not-closed", "```rig"),
            ("```rig\r\nb\r\n", "fence-not-closed", "```rig"),
            ("```rig", "fence-not-closed", "```rig"),
            ("> ````rig\n> b\n> ```\n\nc\n", "fence-not-closed", "````rig"),
            ("- ~~~rig\n  b\n\nc\n", "fence-not-closed", "~~~rig"),
            ("```rig\nb\n> ```\n", "fence-not-closed", "```rig"),
            ("```text\nb\n", "listing-not-closed", "```text"),
        ] {
            let (_, found) = take_apart(file);
            assert_eq!(found, [(slug, place.to_string(), None)], "{file:?}");
        }
        for file in ["```rig\nb\n```", "> ```rig\n> ```\n", "~~~rig\nb\n~~~~~  \n", "- ```rig\n  b\n  ```\n\nc\n", "```\nb\n```\n"] {
            assert_eq!(take_apart(file).1, [], "{file:?}");
        }
    }

    #[test]
    fn the_fence_word_is_written_small() {
        for word in ["Rig", "RIG"] {
            let (document, found) = take_apart(&format!("> ```  {word} x\n> a\n> ```\n"));
            assert_eq!(found, [("fence-word", word.to_string(), Some("rig".to_string()))]);
            assert!(document.pieces.iter().all(|piece| matches!(piece, Piece::Prose(_))));
        }
        assert_eq!(take_apart("```rigging\na\n```\n").1, []);
    }
}
