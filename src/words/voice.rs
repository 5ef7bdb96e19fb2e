//! The voice a page speaks in: its language, its decimal sign and its form of dates.
//!
//! A voice is a scope and not a parameter: labels and numbers are asked for in a thousand places, a dozen calls deep, and all of
//! a page is in one voice. [`speaking`] is entered in two places, where a sheet is built and where it is printed.

use crate::source::{Numbered, Tag};
use crate::words::{DateForm, DecimalSign, Language, Row, TABLE};
use std::cell::Cell;
use std::fmt::Display;
use std::sync::LazyLock;

/// Language, decimal sign and form of dates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Voice {
    /// The language of what the page prints of itself.
    pub language: Language,
    /// The sign between units and tenths.
    pub decimal_sign: DecimalSign,
    /// How a date is written.
    pub date_form: DateForm,
    /// The language that the author of the sheet writes in.
    pub author: Tag,
}

thread_local! {
    static VOICE: Cell<Voice> = const { Cell::new(Voice { language: Language::English, decimal_sign: DecimalSign::Point, date_form: DateForm::Iso, author: Tag::ENGLISH }) };
}

// Gives the voice back that was there before, even when what is said ends in a panic.
struct Before(Voice);

impl Drop for Before {
    fn drop(&mut self) {
        VOICE.set(self.0);
    }
}

/// What `say` comes to when it is said in `voice`.
pub fn speaking<T>(voice: Voice, say: impl FnOnce() -> T) -> T {
    let _before = Before(VOICE.replace(voice));
    crate::units::with_decimal_sign(voice.decimal_sign, say)
}

/// The voice of this moment; that of an English page where nobody speaks.
pub fn voice() -> Voice {
    VOICE.get()
}

/// `row` in the language of this moment.
pub fn said(row: &'static Row) -> &'static str {
    match voice().language {
        Language::English => english(row),
        Language::German => row.1,
    }
}

/// A pattern of the table with its holes filled: `{name}` by the value of that name.
pub fn filled(pattern: &str, values: &[(&str, &dyn Display)]) -> String {
    let mut out = String::with_capacity(pattern.len() + 16 * values.len());
    let mut rest = pattern;
    while let Some((before, hole)) = rest.split_once('{') {
        out.push_str(before);
        let Some((name, after)) = hole.split_once('}') else { break };
        if let Some((_, value)) = values.iter().find(|(known, _)| *known == name) {
            out.push_str(&value.to_string());
        }
        rest = after;
    }
    out.push_str(rest);
    out
}

/// A text put together of a preposition and a noun with its article, as German runs the two into one: `vom Seil`. Not for texts in
/// which `dem` begins a clause.
pub fn contracted(text: &str) -> String {
    const ROWS: [(&str, &str); 6] =
        [("von dem ", "vom "), ("zu dem ", "zum "), ("zu der ", "zur "), ("in dem ", "im "), ("an dem ", "am "), ("bei dem ", "beim ")];
    let row = ROWS.iter().filter(|_| voice().language == Language::German).find(|(long, _)| text.starts_with(long));
    row.map_or_else(|| text.to_owned(), |(long, short)| format!("{short}{}", text.get(long.len()..).unwrap_or_default()))
}

/// How many there are, in one of two texts: of one, and of several, with `{count}` for their number.
pub fn counted(count: usize, one: &str, several: &str) -> String {
    if count == 1 { one.to_string() } else { filled(several, &[("count", &count)]) }
}

/// `text` in the language of this moment when it is a text of the table, and as it is when it is not.
pub fn word(text: &str) -> &str {
    match voice().language {
        Language::English => text,
        Language::German => found(text).map_or(text, |(_, german)| german),
    }
}

// The row of the table whose English is `text`.
fn found(text: &str) -> Option<&'static Row> {
    static ROWS: LazyLock<(Numbered<'static>, Vec<&'static Row>)> = LazyLock::new(|| {
        let (mut texts, mut rows) = (Numbered::default(), Vec::new());
        for row in TABLE {
            // Of two rows alike the first counts.
            if texts.number(row.0) == rows.len() {
                rows.push(row);
            }
        }
        (texts, rows)
    });
    ROWS.0.find(text).and_then(|number| ROWS.1.get(number).copied())
}

/// The sign between the items of a list of numbers: a comma would not do where it is the decimal sign.
pub fn between_numbers() -> &'static str {
    match voice().decimal_sign {
        DecimalSign::Point => ", ",
        DecimalSign::Comma => "; ",
    }
}

/// A plain number, as it is written without a unit beside it, with the decimal sign of this moment.
pub fn plain(number: f64) -> String {
    match voice().decimal_sign {
        DecimalSign::Point => number.to_string(),
        DecimalSign::Comma => number.to_string().replace('.', ","),
    }
}

/// A date of ISO 8601 in the form of this moment. Whatever is not such a date stays as it is.
pub fn date(text: &str) -> String {
    let form = voice().date_form;
    let parts: Vec<&str> = text.trim().split('-').collect();
    let [year, month, day] = parts.as_slice() else { return text.to_string() };
    let figures = |part: &str, count: usize| part.len() == count && part.bytes().all(|byte| byte.is_ascii_digit());
    if form == DateForm::Iso || !figures(year, 4) || !figures(month, 2) || !figures(day, 2) {
        return text.to_string();
    }
    let Some(name) = month.parse::<usize>().ok().and_then(|month| MONTHS.get(month.checked_sub(1)?)) else { return text.to_string() };
    let (name, short) = (word(name), day.trim_start_matches('0'));
    match (form, voice().language) {
        (DateForm::DottedFigures, _) => format!("{day}.{month}.{year}"),
        (DateForm::DayFirst, Language::German) => format!("{short}.\u{a0}{name} {year}"),
        (DateForm::MonthFirst, _) => format!("{name}\u{a0}{short}, {year}"),
        _ => format!("{short}\u{a0}{name} {year}"),
    }
}

const MONTHS: [&str; 12] =
    ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];

/// The row of the table whose English is `text`. The compiler looks it up: a label without a row does not compile.
pub const fn row(text: &str) -> &'static Row {
    let mut at = 0;
    while at < TABLE.len() {
        if same(TABLE[at].0, text) {
            return &TABLE[at];
        }
        at += 1;
    }
    panic!("this text of the page has no row in the table of words, `src/words`")
}

const fn same(a: &str, b: &str) -> bool {
    let (a, b) = (a.as_bytes(), b.as_bytes());
    if a.len() != b.len() {
        return false;
    }
    let mut at = 0;
    while at < a.len() {
        if a[at] != b[at] {
            return false;
        }
        at += 1;
    }
    true
}

// A row whose English is that of another row is told apart by what stands behind a `¦`; it is not printed.
fn english(row: &'static Row) -> &'static str {
    row.0.split_once('¦').map_or(row.0, |(text, _)| text)
}

/// A text that the page prints of itself, in the language of the moment: `say!("Inputs")`, or with its holes filled:
/// `say!("{count} inputs", count = 3)`. Its row stands in one of the tables of this room.
macro_rules! say {
    ($text:literal) => {{
        const ROW: &$crate::words::Row = $crate::words::row($text);
        $crate::words::said(ROW)
    }};
    ($text:literal, $($name:ident = $value:expr),+ $(,)?) => {{
        const ROW: &$crate::words::Row = $crate::words::row($text);
        $crate::words::filled($crate::words::said(ROW), &[$((stringify!($name), &$value as &dyn std::fmt::Display)),+])
    }};
}
pub(crate) use say;

/// Markup with texts of the page in it, each between `[[` and `]]`: `marked!("<h2>[[Inputs]]</h2>")`. Both languages are put
/// together by the compiler.
macro_rules! marked {
    ($markup:literal) => {{
        const ENGLISH: &str = {
            const BYTES: [u8; $crate::words::length($markup, false)] = $crate::words::composed($markup, false);
            $crate::words::text_of(&BYTES)
        };
        const GERMAN: &str = {
            const BYTES: [u8; $crate::words::length($markup, true)] = $crate::words::composed($markup, true);
            $crate::words::text_of(&BYTES)
        };
        match $crate::words::voice().language {
            $crate::words::Language::English => ENGLISH,
            $crate::words::Language::German => GERMAN,
        }
    }};
}
pub(crate) use marked;

/// How many bytes [`composed`] gives.
pub const fn length(markup: &str, german: bool) -> usize {
    walked::<0>(markup, german).1
}

/// `markup` with its texts in one language. `N` is its [`length`].
pub const fn composed<const N: usize>(markup: &str, german: bool) -> [u8; N] {
    walked::<N>(markup, german).0
}

/// The text of bytes that [`composed`] gave.
pub const fn text_of(bytes: &[u8]) -> &str {
    match std::str::from_utf8(bytes) {
        Ok(text) => text,
        Err(_) => panic!("a text was cut within a character"),
    }
}

// The bytes of the whole, as far as there is room for them, and how many there are.
const fn walked<const N: usize>(markup: &str, german: bool) -> ([u8; N], usize) {
    let from = markup.as_bytes();
    let (mut out, mut count, mut at) = ([0; N], 0, 0);
    while at < from.len() {
        if at + 1 < from.len() && from[at] == b'[' && from[at + 1] == b'[' {
            let mut end = at + 2;
            while !(from[end] == b']' && from[end + 1] == b']') {
                end += 1;
            }
            let row = row_of(from, at + 2, end);
            let text = if german { row.1.as_bytes() } else { row.0.as_bytes() };
            let (mut place, mut printed) = (0, true);
            while place < text.len() {
                // `¦` and what is behind it only tells rows apart.
                if !german && text[place] == 0xC2 && text[place + 1] == 0xA6 {
                    printed = false;
                }
                if printed {
                    if count < N {
                        out[count] = text[place];
                    }
                    count += 1;
                }
                place += 1;
            }
            at = end + 2;
        } else {
            if count < N {
                out[count] = from[at];
            }
            count += 1;
            at += 1;
        }
    }
    (out, count)
}

const fn row_of(bytes: &[u8], start: usize, end: usize) -> &'static Row {
    let mut at = 0;
    while at < TABLE.len() {
        let text = TABLE[at].0.as_bytes();
        if text.len() == end - start {
            let mut place = 0;
            while place < text.len() && text[place] == bytes[start + place] {
                place += 1;
            }
            if place == text.len() {
                return &TABLE[at];
            }
        }
        at += 1;
    }
    panic!("this text of the page has no row in the table of words, `src/words`")
}

/// `template` with each of its texts between `[[` and `]]` in `language`; one that is not in the table stays in its brackets.
pub fn template_in(language: Language, template: &str) -> String {
    let mut out = String::with_capacity(template.len());
    let mut rest = template;
    while let Some((before, mark)) = rest.split_once("[[") {
        out.push_str(before);
        let Some((text, after)) = mark.split_once("]]") else {
            out.push_str("[[");
            rest = mark;
            continue;
        };
        match found(text) {
            Some(row) => out.push_str(if language == Language::German { row.1 } else { english(row) }),
            None => out.push_str(&format!("[[{text}]]")),
        }
        rest = after;
    }
    out.push_str(rest);
    out
}
