//! One finding as a terminal shows it: headline, place, the line with its mark, why it matters and how to mend it.
//! Whether there is colour, and which, is the caller's business.

use crate::output::excerpt::{excerpt, wrap};
use crate::sheet::parts::{Notice, Place};

/// What is written before and after the parts of a finding: escape sequences of the caller's choice, or nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Style {
    /// Before `error[...]` and the mark of an error.
    pub error: &'static str,
    /// Before `warning[...]` and the mark of a warning.
    pub warning: &'static str,
    /// Before `note[...]` and the mark of a note.
    pub note: &'static str,
    /// Before the headline.
    pub strong: &'static str,
    /// Before places, line numbers, and the marks of places that only set the expectation.
    pub quiet: &'static str,
    /// After each of them.
    pub reset: &'static str,
}

/// Columns of the page that wrapped words keep to.
const WIDTH: usize = 80;
/// Columns of an excerpt; a longer line is cut away from its mark.
const LONGEST: usize = 160;

/// Owns up to a fault of the program.
pub fn fault_words(fault: &str) -> String {
    format!("this is a fault of the program, not of the sheet: {fault}")
}

/// The finding, ending with a line feed. Tabs and wide characters in the excerpt are allowed for.
pub fn notice(notice: &Notice, style: Style) -> String {
    let hue = match notice.severity.as_str() {
        "error" => style.error,
        "warning" => style.warning,
        _ => style.note,
    };
    let reset = style.reset;
    let mut out = format!("{hue}{}[{}]{reset}: {}{}{reset}\n", notice.severity, notice.slug, style.strong, visible(&notice.headline));
    let places = || std::iter::once(&notice.place).chain(&notice.others);
    let gutter = places().map(|place| place.line.to_string().len()).max().unwrap_or(1);
    let mut path = None;
    let mut shown = None;
    for (index, place) in places().enumerate() {
        let main = index == 0;
        // A file is named once while the places stay in it; only the first place is given to the column.
        if main || path != Some(&place.path) {
            let arrow = if main { "-->" } else { ":::" };
            out.push_str(&format!(
                "{:gutter$}{}{arrow}{reset} {}:{}:{}\n",
                "",
                style.quiet,
                visible(&place.path),
                place.line,
                place.column
            ));
            out.push_str(&format!("{:gutter$} {}|{reset}\n", "", style.quiet));
        }
        // Marks in one line stand below each other; the line is not written again.
        let text = excerpt(place).shortened(LONGEST).text;
        let line = Some((place.line, text.clone()));
        let again = path == Some(&place.path) && shown == line;
        (path, shown) = (Some(&place.path), line);
        if !again {
            out.push_str(format!("{}{:>gutter$} |{reset} {text}", style.quiet, place.line).trim_end());
            out.push('\n');
        }
        marked(place, if main { ('^', hue) } else { ('-', style.quiet) }, gutter, style, &mut out);
    }
    for (word, text) in [("why", &notice.why), ("help", &notice.help)] {
        hang(word, text, gutter, style, &mut out);
    }
    if let Some(replacement) = notice.replacement.as_ref().filter(|text| !text.is_empty() && !notice.help.contains(text.as_str())) {
        hang("write", replacement, gutter, style, &mut out);
    }
    out
}

/// The mark beneath a line of source, and what is said about it.
fn marked(place: &Place, (mark, hue): (char, &str), gutter: usize, style: Style, out: &mut String) {
    let excerpt = excerpt(place).shortened(LONGEST);
    let (quiet, reset) = (style.quiet, style.reset);
    let mark = mark.to_string().repeat(excerpt.width);
    let line = format!("{:gutter$} {quiet}|{reset} {:before$}{hue}{mark} {}", "", "", visible(&place.label), before = excerpt.before);
    out.push_str(line.trim_end());
    out.push_str(reset);
    out.push('\n');
}

/// `word: text`, wrapped, with the following lines under the text.
fn hang(word: &str, text: &str, gutter: usize, style: Style, out: &mut String) {
    let indent = gutter + 1;
    let room = WIDTH.saturating_sub(indent + word.len() + 2).max(20);
    for (index, line) in wrap(&visible(text), room).iter().enumerate() {
        if index == 0 {
            out.push_str(&format!("{:indent$}{}{word}:{} {line}\n", "", style.strong, style.reset));
        } else {
            out.push_str(&format!("{:indent$}{line}\n", "", indent = indent + word.len() + 2));
        }
    }
}

/// Text from a document without control characters, which could move the cursor or recolour the screen.
pub(super) fn visible(text: &str) -> String {
    crate::words::unmarked(text)
        .chars()
        .map(|c| {
            if c == '\n' || c == '\t' {
                ' '
            } else if c.is_control() {
                '·'
            } else {
                c
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{Style, notice};
    use crate::sheet::parts::{Notice, Place};

    fn place(line: usize, column: usize, width: usize, excerpt: &str, label: &str) -> Place {
        Place { path: "slip.md".into(), line, column, width, excerpt: excerpt.into(), label: label.into() }
    }

    fn mismatch() -> Notice {
        Notice {
            slug: "unit-mismatch".into(),
            severity: "error".into(),
            headline: "cannot add a length and a force".into(),
            place: place(14, 9, 10, "total = arm + pull", "a length and a force"),
            others: vec![place(9, 1, 3, "arm   = 2.0 m", "this is a length")],
            why: "a moment left out here would go unseen in every line that follows".into(),
            help: "multiply them for a moment: `arm * pull`".into(),
            replacement: Some("arm * pull".into()),
        }
    }

    #[test]
    fn a_finding_reads_from_headline_to_mend() {
        let want = "error[unit-mismatch]: cannot add a length and a force
  --> slip.md:14:9
   |
14 | total = arm + pull
   |         ^^^^^^^^^^ a length and a force
 9 | arm   = 2.0 m
   | --- this is a length
   why: a moment left out here would go unseen in every line that follows
   help: multiply them for a moment: `arm * pull`
";
        assert_eq!(notice(&mismatch(), Style::default()), want);
    }

    #[test]
    fn colour_is_closed_wherever_it_is_opened_and_changes_no_letter() {
        let style = Style { error: "<E>", warning: "<W>", note: "<N>", strong: "<S>", quiet: "<Q>", reset: "<R>" };
        let coloured = notice(&mismatch(), style);
        for line in coloured.lines() {
            if let Some(last) = ["<E>", "<S>", "<Q>"].iter().filter_map(|open| line.rfind(open)).max() {
                assert!(line.rfind("<R>").is_some_and(|close| close > last), "{line}");
            }
        }
        let plain = ["<E>", "<S>", "<Q>", "<R>"].iter().fold(coloured, |text, mark| text.replace(mark, ""));
        let trimmed: Vec<&str> = plain.lines().map(str::trim_end).collect();
        assert_eq!(trimmed, notice(&mismatch(), Style::default()).lines().collect::<Vec<_>>());
    }

    #[test]
    fn a_document_cannot_write_escapes_to_the_terminal() {
        let mut hostile = mismatch();
        hostile.headline = "\u{1b}[31mred".into();
        hostile.place.excerpt = "a\u{1b}[2Jb".into();
        hostile.place.label = "\u{7}".into();
        assert!(!notice(&hostile, Style::default()).contains(['\u{1b}', '\u{7}']));
    }
}
