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
