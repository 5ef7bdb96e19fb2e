//! Values in a sentence: inline code that begins with `rig `, and where each byte of it stands in the file.

use crate::source::Fragment;
use std::collections::BTreeSet;
use std::ops::Range;

// A value that runs over more lines than this is no longer a value in a sentence; the limit bounds the search below.
const LINES: usize = 16;

/// What a piece of inline code is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Inline {
    /// Ordinary code.
    Code,
    /// A value.
    Value(Fragment),
    /// It begins like a value but stands on too many lines to be one.
    TooLong,
}

/// Reads the inline code `text` that stands at `range` of `source`, backticks included.
pub(super) fn read(source: &str, range: &Range<usize>, text: &str) -> Inline {
    let Some(code) = text.strip_prefix("rig ") else { return Inline::Code };
    let wanted = code.trim();
    if wanted.is_empty() {
        return Inline::Code;
    }
    let skip = text.len() - code.trim_start().len();
    let whole = source.get(range.clone()).unwrap_or("");
    let opened = whole.trim_start_matches('`');
    let start = range.start + (whole.len() - opened.len());
    let inner = opened.trim_end_matches('`');
    if inner.bytes().filter(|byte| *byte == b'\n').count() >= LINES {
        return Inline::TooLong;
    }
    let Some(places) = align(text, inner) else { return Inline::TooLong };
    let mut fragment = Fragment::new();
    // Neighbours in the file are put down together, so that the fragment has few pieces.
    let mut run: Option<(usize, usize, usize)> = None;
    for (at, place) in places.into_iter().filter(|(at, _)| (skip..skip + wanted.len()).contains(at)) {
        let width = text.get(at..).and_then(|rest| rest.chars().next()).map_or(1, char::len_utf8);
        run = match run {
            Some((from, to, home)) if home + (to - from) == place => Some((from, at + width, home)),
            earlier => {
                flush(&mut fragment, text, earlier, start);
                Some((at, at + width, place))
            }
        };
    }
    flush(&mut fragment, text, run, start);
    Inline::Value(fragment)
}

fn flush(fragment: &mut Fragment, text: &str, run: Option<(usize, usize, usize)>, start: usize) {
    if let Some((from, to, home)) = run {
        fragment.push(text.get(from..to).unwrap_or(""), start + home);
    }
}

// For every character of `text`, its byte in `inner`. The Markdown reader gives the code of several lines with line ends
// turned into spaces and the marks of a quotation taken out, but not where these were; so the two are laid side by side.
fn align(text: &str, inner: &str) -> Option<Vec<(usize, usize)>> {
    let mut failed = BTreeSet::new();
    let blank = inner.len() - inner.trim_start_matches([' ', '\t', '\r', '\n', '>']).len();
    (0..=blank).find_map(|from| walk(text, 0, inner, from, &mut failed))
}

fn walk(text: &str, at: usize, inner: &str, place: usize, failed: &mut BTreeSet<(usize, usize)>) -> Option<Vec<(usize, usize)>> {
    if failed.contains(&(at, place)) {
        return None;
    }
    let found = walk_on(text, at, inner, place, failed);
    if found.is_none() {
        failed.insert((at, place));
    }
    found
}

// Goes along one line; at its end every possible length of the next line's marks is tried.
fn walk_on(text: &str, mut at: usize, inner: &str, mut place: usize, failed: &mut BTreeSet<(usize, usize)>) -> Option<Vec<(usize, usize)>> {
    let mut places = Vec::new();
    loop {
        let rest = inner.get(place..)?;
        let Some(wanted) = text.get(at..)?.chars().next() else {
            return rest.chars().all(|c| c.is_whitespace() || c == '>').then_some(places);
        };
        let found = rest.chars().next()?;
        if found == wanted {
            places.push((at, place));
            place += found.len_utf8();
        } else if wanted == ' ' && found == '\r' {
            places.push((at, place));
            place += 1;
        } else if wanted == ' ' && found == '\n' {
            places.push((at, place));
            let line = rest.get(1..)?;
            let marks = line.len() - line.trim_start_matches([' ', '\t', '>']).len();
            let tail = (0..=marks).find_map(|skipped| walk(text, at + 1, inner, place + 1 + skipped, failed))?;
            places.extend(tail);
            return Some(places);
        } else if wanted == '|' && rest.starts_with("\\|") {
            places.push((at, place + 1));
            place += 2;
        } else {
            return None;
        }
        at += wanted.len_utf8();
    }
}

#[cfg(test)]
mod tests {
    use crate::diagnostics::Sink;
    use crate::document::read;
    use crate::source::FileId;

    // CommonMark 0.31.2, section 6.1: line ends become spaces, one blank on each side is taken off.
    #[test]
    fn every_byte_of_a_value_finds_its_way_home() {
        for (file, code) in [
            ("It is `rig haul.effort as lbf`.", "haul.effort as lbf"),
            ("``rig a`` b", "a"),
            ("x `` rig µ * load `` y", "µ * load"),
            ("`rig   a  `", "a"),
            ("x `rig a\nas kN` y", "a as kN"),
            ("x `rig a\r\nas kN` y\r\n", "a  as kN"),
            ("> x `rig a\n> as kN` y", "a as kN"),
            ("> x `rig a\nas kN` y", "a as kN"),
            ("- x `rig a\n  / b\n  / c` y", "a / b / c"),
            ("|a|\n|-|\n| `rig x\\|y` |\n", "x|y"),
            ("# `rig a`\n", "a"),
            ("[see `rig a`](b.md)", "a"),
            ("\\``rig a`", "a"),
        ] {
            let document = read(file, FileId(0), &mut Sink::new());
            let [found] = document.fragments.as_slice() else { panic!("one fragment in {file:?}") };
            assert_eq!(found.text(), code, "{file:?}");
            for (at, byte) in found.text().bytes().enumerate() {
                let there = file.as_bytes()[found.to_file(at as u32) as usize];
                assert!(there == byte || byte == b' ' && matches!(there, b'\r' | b'\n'), "{file:?} at {at}");
            }
        }
    }

    #[test]
    fn other_code_stays_code() {
        for file in ["`rig`", "`rig `", "`rigging`", "`Rig a`", "`a rig b`", "\\`rig a`", "![`rig a`](b.png)"] {
            let document = read(file, FileId(0), &mut Sink::new());
            assert!(document.fragments.is_empty(), "{file:?}");
        }
    }

    #[test]
    fn a_value_over_a_page_is_told() {
        let mut sink = Sink::new();
        let document = read(&format!("`rig {}`", "a +\n".repeat(1000)), FileId(0), &mut sink);
        assert!(document.fragments.is_empty());
        assert_eq!(sink.into_sorted().first().map(|finding| finding.slug), Some("value-too-long"));
    }
}
