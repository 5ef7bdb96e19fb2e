//! One line of a fence cut into its smallest pieces, for those who lay text out or compare it rather than read it.
//!
//! Nothing here can fail: what the grammar would refuse is a piece like any other, so that a sheet with a mistake in
//! it can be laid out as well as one without.

/// What a piece is, as far as layout and comparison care.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sort {
    /// A name, a word, a unit's letters, or a number.
    Word,
    /// Text in quotation marks, or from a mark that is never closed to the end of the line.
    Quoted,
    /// A sign of one or more letters: `=`, `<=`, `->`, `(`.
    Mark,
}

/// A piece and whether a blank stands before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Token<'t> {
    pub(crate) sort: Sort,
    pub(crate) text: &'t str,
    pub(crate) spaced: bool,
    // Bytes from the start of the line.
    pub(crate) start: usize,
}

impl Token<'_> {
    pub(crate) fn end(&self) -> usize {
        self.start + self.text.len()
    }

    pub(crate) fn is(&self, mark: &str) -> bool {
        self.sort == Sort::Mark && self.text == mark
    }
}

// The longest first.
const MARKS: [&str; 14] = ["+/-", "+/−", "->", "−>", "<=", ">=", "==", ":=", "..", "…", "→", "≤", "≥", "±"];

/// The pieces of `line`, which holds no comment.
pub(crate) fn tokens(line: &str) -> Vec<Token<'_>> {
    let mut found = Vec::with_capacity(16);
    let mut at = 0;
    while let Some(rest) = line.get(at..).filter(|rest| !rest.is_empty()) {
        let trimmed = rest.trim_start();
        let start = line.len() - trimmed.len();
        if trimmed.is_empty() {
            break;
        }
        let (sort, length) = first(trimmed);
        let text = trimmed.get(..length).unwrap_or(trimmed);
        found.push(Token { sort, text, spaced: start > at, start });
        at = start + text.len();
    }
    found
}

fn first(text: &str) -> (Sort, usize) {
    if text.starts_with('"') {
        return (Sort::Quoted, quoted(text));
    }
    // Letters with which none of the longer marks begins.
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '(' | ')' | '[' | ']' | ',' | '*' | '/' | '^' | '|');
    if !text.starts_with(plain)
        && let Some(mark) = MARKS.iter().find(|mark| text.starts_with(**mark))
    {
        return (Sort::Mark, mark.len());
    }
    let first = text.chars().next().map_or(0, char::len_utf8);
    if text.starts_with(|c: char| c.is_ascii_digit()) {
        return (Sort::Word, number(text));
    }
    match text.find(|c: char| !in_word(c)) {
        Some(0) => (Sort::Mark, first),
        Some(end) => (Sort::Word, end),
        None => (Sort::Word, text.len()),
    }
}

fn in_word(letter: char) -> bool {
    letter.is_alphanumeric() || letter == '_' || matches!(letter, '°' | '′' | '″' | '%' | '‰' | '\'')
}

// A number may hold a point, but not the two of a range; a unit that touches it belongs to it.
fn number(text: &str) -> usize {
    let digits = |from: usize| from + text.get(from..).map_or(0, |rest| rest.find(|c: char| !in_word(c)).unwrap_or(rest.len()));
    let whole = digits(0);
    let after = text.get(whole..).unwrap_or("");
    match after.strip_prefix('.') {
        Some(fraction) if fraction.starts_with(|c: char| c.is_ascii_digit()) => digits(whole + 1),
        _ => whole,
    }
}

fn quoted(text: &str) -> usize {
    let mut escaped = false;
    for (at, letter) in text.char_indices().skip(1) {
        match letter {
            '"' if !escaped => return at + 1,
            _ => escaped = letter == '\\' && !escaped,
        }
    }
    text.len()
}

#[cfg(test)]
mod tests {
    use super::tokens;

    #[test]
    fn a_line_falls_into_its_pieces_and_nothing_is_lost() {
        for (line, expected) in [
            ("take x = 3.5 kN ± 2 %", vec!["take", "x", "=", "3.5", "kN", "±", "2", "%"]),
            ("a[i]=b/2 for i from 1 to n", vec!["a", "[", "i", "]", "=", "b", "/", "2", "for", "i", "from", "1", "to", "n"]),
            ("size n over 2..8, least for every check", vec!["size", "n", "over", "2", "..", "8", ",", "least", "for", "every", "check"]),
            (r#"ref "a \" b" -> c"#, vec!["ref", r#""a \" b""#, "->", "c"]),
            ("x = \"never closed = 3", vec!["x", "=", "\"never closed = 3"]),
            ("5ft 6in", vec!["5ft", "6in"]),
        ] {
            let found = tokens(line);
            assert_eq!(found.iter().map(|token| token.text).collect::<Vec<_>>(), expected, "{line}");
            let kept: String = found.iter().map(|token| token.text).collect();
            assert_eq!(kept.replace(' ', ""), line.replace(' ', ""), "{line}");
        }
    }
}
