//! The revision record in the head of a sheet: `revised A 2026-01-12 "M. T." "first issue"`, one line a revision, the
//! first first.

use crate::diagnostics::catalogue::machines::{FieldTwice, HeadValue};
use crate::model::resolve::Resolver;
use crate::model::settings::{Matched, plain};
use std::collections::BTreeMap;

/// One line of the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Revised {
    /// Its letter or number.
    pub revision: String,
    /// The day, as ISO 8601 writes it.
    pub date: String,
    /// Who made it.
    pub by: String,
    /// Why.
    pub why: String,
}

impl Resolver<'_> {
    /// One line of the record, put behind those before it.
    pub(super) fn revised(&mut self, found: &Matched<'_>, record: &mut Vec<Revised>) {
        let refused = |wanted: String| HeadValue { name: "revised".into(), found: found.rest.into(), wanted };
        let Some(line) = read(found.rest) else {
            let date = found.rest.split_whitespace().nth(1).filter(|word| word.starts_with(|c: char| c.is_ascii_digit()) && !is_date(word));
            let mut wanted =
                "a revision, its date, who made it and why, as in `revised B 2026-03-14 \"M. T.\" \"lead block added\"`,".to_string();
            if let Some(date) = date {
                wanted = format!("a date of year, month and day, as in `2026-03-14`, in place of `{date}`");
            }
            return self.put(found.rest_at, &refused(wanted));
        };
        if record.iter().any(|before| before.revision == line.revision) {
            return self.put(found.rest_at, &FieldTwice { name: format!("revised {}", line.revision) });
        }
        match record.last().filter(|before| before.date > line.date) {
            Some(before) => {
                self.put(found.rest_at, &refused(format!("a date that is not before {}, that of the line above,", before.date)))
            }
            None => record.push(line),
        }
    }

    /// The revision that a sheet stands at is the last of its record; where the head does not state it, it is taken from there.
    pub(super) fn stands_at(&mut self, cells: &mut BTreeMap<String, String>, stated: Option<&Matched<'_>>, record: &[Revised]) {
        let Some(last) = record.last() else { return };
        if let Some(stated) = stated.filter(|stated| plain(stated.rest) != last.revision) {
            let wanted = format!("`{}`, the last of the record, or a line `revised` for this one,", last.revision);
            self.put(stated.rest_at, &HeadValue { name: "revision".into(), found: plain(stated.rest), wanted });
        }
        for (name, value) in [("revision", &last.revision), ("date", &last.date)] {
            cells.entry(name.into()).or_insert_with(|| value.clone());
        }
    }
}

// A word, a date, and two texts in quotation marks.
fn read(line: &str) -> Option<Revised> {
    let (revision, rest) = line.trim().split_once(char::is_whitespace)?;
    let (date, rest) = rest.trim_start().split_once(char::is_whitespace)?;
    let (by, rest) = quoted(rest)?;
    let (why, rest) = quoted(rest)?;
    let whole = !revision.contains('"') && is_date(date) && rest.trim().is_empty();
    whole.then(|| Revised { revision: revision.into(), date: date.into(), by: plain(by), why: plain(why) })
}

// The text in quotation marks at the front, marks included, and what follows it.
fn quoted(text: &str) -> Option<(&str, &str)> {
    let text = text.trim_start();
    let mut escaped = false;
    let end = text.strip_prefix('"')?.char_indices().find(|(_, letter)| {
        let ends = *letter == '"' && !escaped;
        escaped = *letter == '\\' && !escaped;
        ends
    });
    text.split_at_checked(end?.0 + 2)
}

// Year, month and day with hyphens between them (ISO 8601-1, calendar date, extended format), of a day that there is.
fn is_date(text: &str) -> bool {
    let mut parts = text.split('-');
    let mut number = |count| {
        let part = parts.next().filter(|part| part.len() == count && part.bytes().all(|letter| letter.is_ascii_digit()))?;
        part.parse::<u32>().ok()
    };
    let (Some(year), Some(month), Some(day)) = (number(4), number(2), number(2)) else { return false };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let longest = match month {
        2 => 28 + u32::from(leap),
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    };
    parts.next().is_none() && (1..=12).contains(&month) && (1..=longest).contains(&day)
}

#[cfg(test)]
mod tests {
    use super::{is_date, read};

    #[test]
    fn a_line_of_the_record_is_taken_apart() {
        let line = read(r#" P1  2026-02-28 "M. \"T\" T."   "angle measured, not scaled" "#).expect("a whole line");
        assert_eq!((line.revision.as_str(), line.date.as_str()), ("P1", "2026-02-28"));
        assert_eq!((line.by.as_str(), line.why.as_str()), ("M. \"T\" T.", "angle measured, not scaled"));
        for partial in [
            "",
            "A",
            "A 2026-02-28",
            "A 2026-02-28 \"M\"",
            "A 2026-02-28 M \"why\"",
            "A 2026-02-28 \"M\" \"why\" x",
            "\"A\" 2026-02-28 \"M\" \"w\"",
        ] {
            assert_eq!(read(partial), None, "{partial}");
        }
    }

    #[test]
    fn dates_are_days_that_there_are() {
        for (text, there) in [
            ("2026-02-28", true),
            ("2024-02-29", true),
            ("2000-02-29", true),
            ("1900-02-29", false),
            ("2026-02-29", false),
            ("2026-04-31", false),
            ("2026-13-01", false),
            ("2026-00-10", false),
            ("2026-1-10", false),
            ("26-01-10", false),
            ("2026-01-10-", false),
            ("+026-01-10", false),
        ] {
            assert_eq!(is_date(text), there, "{text}");
        }
    }
}
