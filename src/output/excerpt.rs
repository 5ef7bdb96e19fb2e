//! A line of source with the place marked beneath it, measured in columns of a terminal: tabs stand on stops, wide
//! characters take two columns, marks that combine take none.

use crate::sheet::parts::Place;

/// A tab reaches the next multiple of this many columns.
const TAB: usize = 4;

/// A line and where its marks stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Excerpt {
    /// The line with tabs turned into spaces and unprintable characters into `·`.
    pub text: String,
    /// Columns before the mark.
    pub before: usize,
    /// Columns under the mark, at least 1.
    pub width: usize,
}

impl Excerpt {
    /// The same place on at most about `limit` columns: what is cut away far from the mark leaves an ellipsis.
    pub fn shortened(self, limit: usize) -> Excerpt {
        if columns(&self.text) <= limit {
            return self;
        }
        let end = (self.before + self.width).max(limit);
        // The mark stands in the window, with the greater part of it before the mark.
        let start = (self.before + self.width.min(limit / 3)).saturating_sub(limit.saturating_sub(4));
        let (mut text, mut column, mut cut) = (String::new(), 0, false);
        for character in self.text.chars() {
            if (start..end).contains(&column) {
                text.push(character);
            } else if column >= end {
                cut = true;
                break;
            }
            column += columns_of(character);
        }
        let text = format!("{}{}{}", if start > 0 { "…" } else { "" }, text.trim_end(), if cut { " …" } else { "" });
        Excerpt { text, before: self.before.saturating_sub(start) + usize::from(start > 0), width: self.width }
    }
}

/// The line of `place` and the columns of its mark.
pub(super) fn excerpt(place: &Place) -> Excerpt {
    let (first, last) = (place.column.saturating_sub(1), place.column.saturating_sub(1).saturating_add(place.width.max(1)));
    let mut text = String::new();
    let (mut column, mut before, mut end) = (0, None, None);
    for (index, character) in place.excerpt.chars().enumerate() {
        if index == first {
            before = Some(column);
        }
        if index == last {
            end = Some(column);
        }
        if character == '\t' {
            let stop = TAB - column % TAB;
            text.push_str(&" ".repeat(stop));
            column += stop;
        } else if character.is_control() {
            text.push('·');
            column += 1;
        } else {
            text.push(character);
            column += columns_of(character);
        }
    }
    // A place at the very end of its line, as for something missing, is marked just behind the last character.
    let before = before.unwrap_or(column);
    let width = end.unwrap_or(column).saturating_sub(before).max(1);
    Excerpt { text: text.trim_end().to_owned(), before, width }
}

/// How many columns `text` takes.
pub(super) fn columns(text: &str) -> usize {
    text.chars().map(columns_of).sum()
}

/// Columns of one character, after the East Asian widths of the Unicode standard (annex 11) in their common blocks.
fn columns_of(character: char) -> usize {
    match u32::from(character) {
        0x0300..=0x036F | 0x0483..=0x0489 | 0x0591..=0x05BD | 0x200B..=0x200F | 0x2060..=0x2064 | 0x20D0..=0x20F0 => 0,
        0xFE00..=0xFE0F | 0xFE20..=0xFE2F | 0xFEFF | 0xE0100..=0xE01EF => 0,
        0x1100..=0x115F | 0x2E80..=0x303E | 0x3041..=0x33FF | 0x3400..=0x4DBF | 0x4E00..=0x9FFF | 0xA000..=0xA4CF => 2,
        0xAC00..=0xD7A3 | 0xF900..=0xFAFF | 0xFE30..=0xFE4F | 0xFF00..=0xFF60 | 0xFFE0..=0xFFE6 => 2,
        0x1F300..=0x1F64F | 0x1F680..=0x1F6FF | 0x1F900..=0x1F9FF | 0x20000..=0x3FFFD => 2,
        _ => 1,
    }
}

/// `text` in lines of at most `width` columns, broken between words; a longer word has a line to itself.
pub(super) fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    let mut used = 0;
    for word in text.split([' ', '\n', '\t', '\r']).filter(|word| !word.is_empty()) {
        let wide = columns(word);
        if used > 0 && used + 1 + wide > width {
            lines.push(std::mem::take(&mut line));
            used = 0;
        }
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        line.push_str(word);
        used += wide;
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::{columns, excerpt, wrap};
    use crate::sheet::parts::Place;

    #[test]
    fn a_long_line_is_cut_away_from_its_mark() {
        let line = format!("{}here{}", "a ".repeat(20), " b".repeat(60));
        let cut = excerpt(&place(&line, 41, 4)).shortened(88);
        assert_eq!((cut.before, cut.width), (40, 4));
        assert!(cut.text.ends_with(" …") && columns(&cut.text) <= 90, "{}", cut.text);
        assert_eq!(cut.text.chars().skip(40).take(4).collect::<String>(), "here");
        let line = format!("{}here", "a ".repeat(80));
        let cut = excerpt(&place(&line, 161, 4)).shortened(88);
        assert!(cut.text.starts_with('…') && columns(&cut.text) <= 90, "{}", cut.text);
        assert_eq!(cut.text.chars().skip(cut.before).collect::<String>(), "here");
        assert_eq!(excerpt(&place("short", 1, 2)).shortened(88).text, "short");
    }

    fn place(line: &str, column: usize, width: usize) -> Place {
        Place { path: "a.md".into(), line: 1, column, width, excerpt: line.into(), label: String::new() }
    }

    #[test]
    fn tabs_stand_on_stops_and_wide_characters_take_two_columns() {
        let tabbed = excerpt(&place("\tboat = 3", 2, 4));
        assert_eq!((tabbed.text.as_str(), tabbed.before, tabbed.width), ("    boat = 3", 4, 4));
        // U+8377 and U+91CD are wide (W) in EastAsianWidth.txt.
        let wide = excerpt(&place("荷重 = x", 6, 1));
        assert_eq!((wide.before, wide.width), (7, 1));
        assert_eq!(excerpt(&place("荷重 = x", 1, 2)).width, 4);
        // A combining acute accent takes no column of its own.
        assert_eq!(columns("e\u{301}"), 1);
    }

    #[test]
    fn a_place_behind_the_end_of_its_line_is_still_marked() {
        let end = excerpt(&place("a = ", 5, 1));
        assert_eq!((end.before, end.width), (4, 1));
        let empty = excerpt(&place("", 1, 1));
        assert_eq!((empty.before, empty.width), (0, 1));
        let far = excerpt(&place("abc", 3, usize::MAX));
        assert_eq!((far.before, far.width), (2, 1));
    }

    #[test]
    fn words_are_never_lost_in_wrapping() {
        let text = "one two three four_and_a_very_long_word five";
        let lines = wrap(text, 10);
        assert_eq!(lines.join(" "), text);
        assert!(lines.iter().all(|line| columns(line) <= 10 || !line.contains(' ')));
    }
}
