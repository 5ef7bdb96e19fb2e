//! The text of a fence cut into statements and lines, before anything is parsed: one fault can spoil only its piece.

use crate::source::Extent;

/// One line that is neither blank nor only a comment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Line {
    /// Its text without indentation, comment and line end.
    pub(crate) at: Extent,
    /// How far it is indented, in characters (a tab counts as four).
    pub(crate) indent: usize,
}

/// The lines of `text` that say something.
pub(crate) fn lines(text: &str) -> Vec<Line> {
    let mut found = Vec::new();
    let mut start = 0;
    for whole in text.split_inclusive('\n') {
        let said = whole.get(..comment(whole)).unwrap_or(whole).trim_end();
        let body = said.trim_start();
        if !body.is_empty() {
            let margin = said.len() - body.len();
            let indent = said.chars().take_while(|c| c.is_whitespace()).map(|c| if c == '\t' { 4 } else { 1 }).sum();
            found.push(Line { at: Extent::new(start + margin, start + said.len()), indent });
        }
        start += whole.len();
    }
    found
}

/// `lines` gathered so that each group begins with a line no deeper than the first of all.
pub(crate) fn groups(lines: &[Line]) -> Vec<&[Line]> {
    let Some(margin) = lines.first().map(|line| line.indent) else { return Vec::new() };
    lines.chunk_by(|_, next| next.indent > margin).collect()
}

/// From the first of `group` to its last.
pub(crate) fn whole(group: &[Line]) -> Extent {
    match (group.first(), group.last()) {
        (Some(first), Some(last)) => first.at.to(last.at),
        _ => Extent::default(),
    }
}

// Where the comment of a line begins: at a `#` outside quotation marks; the length of the line when there is none.
pub(crate) fn comment(line: &str) -> usize {
    if !line.contains('#') {
        return line.len();
    }
    let (mut quoted, mut escaped) = (false, false);
    for (at, letter) in line.char_indices() {
        match letter {
            '#' if !quoted => return at,
            '"' if !escaped => quoted = !quoted,
            _ => {}
        }
        escaped = quoted && letter == '\\' && !escaped;
    }
    line.len()
}
