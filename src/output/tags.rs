//! A template cut into its tags, and a tag into its words and signs, each with its place.

use std::ops::Range;

/// What stands between two pairs of braces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tag {
    /// `{{ ... }}`.
    Print,
    /// `{% ... %}`.
    Statement,
}

/// One word, text, number or sign of a tag.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Piece<'t> {
    pub text: &'t str,
    pub at: Range<usize>,
}

/// Words of the template language.
const RESERVED: [&str; 12] = ["and", "or", "not", "in", "is", "if", "else", "for", "true", "false", "none", "null"];

impl<'t> Piece<'t> {
    /// Itself where it may be a name.
    pub(super) fn word(&self) -> Option<&'t str> {
        self.text.starts_with(|c: char| c.is_alphabetic() || c == '_').then_some(self.text)
    }

    /// What stands in its quotation marks.
    pub(super) fn quoted(&self) -> Option<&'t str> {
        let mark = self.text.chars().next().filter(|mark| is_quote(*mark))?;
        self.text.strip_prefix(mark)?.strip_suffix(mark)
    }

    pub(super) fn is(&self, text: &str) -> bool {
        self.text == text
    }

    pub(super) fn is_reserved(&self) -> bool {
        RESERVED.iter().any(|word| self.text.eq_ignore_ascii_case(word))
    }
}

fn is_quote(letter: char) -> bool {
    matches!(letter, '"' | '\'' | '`')
}

/// The tags of `text` in their order, each with the place of what it says. What stands in comments, or is to be printed raw, is none.
pub(super) fn tags(text: &str) -> Vec<(Tag, Range<usize>)> {
    let (mut found, mut from, mut raw) = (Vec::new(), 0, false);
    while let Some(open) = text.get(from..).and_then(|rest| rest.find('{')).map(|at| from + at) {
        let after = open + 2;
        let (tag, close) = match text.get(open..after) {
            Some("{#") => {
                from = text.get(after..).and_then(|rest| rest.find("#}")).map_or(text.len(), |at| after + at + 2);
                continue;
            }
            Some("{{") => (Tag::Print, "}}"),
            Some("{%") => (Tag::Statement, "%}"),
            _ => {
                from = open + 1;
                continue;
            }
        };
        let end = end(text, after, close);
        let within = after..end;
        let word = text.get(within.clone()).unwrap_or("").trim_matches(['-', ' ', '\n', '\t']);
        from = (end + 2).min(text.len());
        match (raw, tag, word) {
            (false, Tag::Statement, "raw") => raw = true,
            (true, Tag::Statement, "endraw") => raw = false,
            (false, ..) => found.push((tag, within)),
            (true, ..) => from = after,
        }
    }
    found
}

// Where the tag that begins at `from` is closed, which it is not within quotation marks or braces of its own.
fn end(text: &str, from: usize, close: &str) -> usize {
    let (mut quote, mut depth) = (None, 0_usize);
    for (at, letter) in text.get(from..).unwrap_or("").char_indices() {
        let here = text.get(from + at..).unwrap_or("");
        match quote {
            Some(mark) if letter == mark => quote = None,
            Some(_) => {}
            None if depth == 0 && here.starts_with(close) => return from + at,
            None if is_quote(letter) => quote = Some(letter),
            None if letter == '{' => depth += 1,
            None if letter == '}' => depth = depth.saturating_sub(1),
            None => {}
        }
    }
    text.len()
}

/// The words and signs of the tag whose inside is at `within`.
pub(super) fn pieces(text: &str, within: Range<usize>) -> Vec<Piece<'_>> {
    let inside = text.get(within.clone()).unwrap_or("");
    // The mark by which blanks about a tag are taken away is none of its signs.
    let inside = inside.strip_suffix('-').unwrap_or(inside);
    let start = usize::from(inside.starts_with('-'));
    let (mut found, mut from) = (Vec::new(), start);
    while let Some(letter) = inside.get(from..).and_then(|rest| rest.chars().next()) {
        let rest = inside.get(from..).unwrap_or("");
        let is_part = |c: char| c.is_alphanumeric() || c == '_';
        let length = if letter.is_whitespace() {
            from += letter.len_utf8();
            continue;
        } else if is_quote(letter) {
            let after = rest.get(1..).unwrap_or("");
            after.find(letter).map_or(rest.len(), |end| end + 2)
        } else if letter.is_ascii_digit() {
            rest.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '_')).unwrap_or(rest.len())
        } else if is_part(letter) {
            rest.find(|c: char| !is_part(c)).unwrap_or(rest.len())
        } else {
            let pair = ["==", "!=", ">=", "<=", "?.", "?[", "//", "**", "..."].iter().find(|pair| rest.starts_with(**pair));
            pair.map_or(letter.len_utf8(), |pair| pair.len())
        };
        let at = within.start + from;
        found.push(Piece { text: rest.get(..length).unwrap_or(rest), at: at..at + length });
        from += length;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::{Tag, pieces, tags};

    #[test]
    fn tags_end_where_they_are_closed_and_not_before() {
        let text = "a{# {{ b }} #}{{<c d={e}/>}}{%- if f == \"%}\" -%}{{ {\"g\": {\"h\": 1}} }}{% raw %}{{ i }}{% endraw %}{ {{ j";
        let found: Vec<(Tag, &str)> = tags(text).into_iter().map(|(tag, at)| (tag, &text[at])).collect();
        let print = Tag::Print;
        assert_eq!(found, [(print, "<c d={e}/>"), (Tag::Statement, "- if f == \"%}\" -"), (print, " {\"g\": {\"h\": 1}} "), (print, " j")]);
    }

    #[test]
    fn a_tag_is_cut_into_words_and_signs() {
        let text = "{{- a.b[0] | c(d='e f') >= 1.5 -}}";
        let (_, within) = tags(text).remove(0);
        let found = pieces(text, within);
        let words: Vec<&str> = found.iter().map(|piece| piece.text).collect();
        assert_eq!(words, ["a", ".", "b", "[", "0", "]", "|", "c", "(", "d", "=", "'e f'", ")", ">=", "1.5"]);
        assert!(found.iter().all(|piece| &text[piece.at.clone()] == piece.text));
        assert_eq!((found[11].quoted(), found[0].quoted(), found[2].word()), (Some("e f"), None, Some("b")));
    }
}
