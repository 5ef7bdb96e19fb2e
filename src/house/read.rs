//! The project file as TOML, with the place of every key and value.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::house::ProjectFileBroken;
use crate::house::House;
use crate::house::keys::Keys;
use crate::source::{Extent, FileId, Home, SheetPath};
use std::ops::Range;
use toml::de::DeTable;

/// So many broken lines are told; a file with more of them is not a project file.
const MOST: usize = 40;

/// Reads the project file at `path`, which is `file` among the sources. What is wrong in it goes to `sink`; the default
/// holds in its place.
pub fn read(text: &str, path: &SheetPath, file: FileId, sink: &mut Sink) -> House {
    let home = Home::file(file);
    let house = House { file: Some(path.clone()), ..House::default() };
    // A line that cannot be read is put aside, and the rest read again: one slip costs one line.
    let mut rest = text.to_string();
    for _ in 0..MOST {
        let error = match DeTable::parse(&rest) {
            Ok(table) => {
                let mut keys = Keys { house, path, home, sink };
                keys.top(table.get_ref());
                return keys.house;
            }
            Err(error) => error,
        };
        let (at, problem) = blamed(&rest, place(&rest, error.span()), error.message());
        let lines = lines(&rest, &at);
        sink.push(home.span(Extent::new(at.start, at.end)), &ProjectFileBroken { problem });
        let Some(line) = rest.get(lines.clone()).filter(|line| !line.trim().is_empty()) else { break };
        let blank: String = line.bytes().map(|byte| if byte == b'\n' { '\n' } else { ' ' }).collect();
        rest.replace_range(lines, &blank);
    }
    house
}

// The place that is to blame for what was found at `at`. A list or a text that nobody closes is noticed on a line below it
// only, so the lines above are looked at one by one.
fn blamed(text: &str, at: Range<usize>, message: &str) -> (Range<usize>, String) {
    let (mut at, mut problem) = (at, message.lines().collect::<Vec<_>>().join("; "));
    for _ in 0..MOST {
        let start = text.get(..at.start).and_then(|before| before.rfind('\n')).map_or(0, |newline| newline + 1);
        let above = text.get(..start).unwrap_or("");
        let Err(error) = DeTable::parse(above) else { break };
        let written = above.trim_end();
        let line = written.rfind('\n').map_or(0, |newline| newline + 1);
        let indent = written.get(line..).map_or(0, |line| line.len() - line.trim_start().len());
        at = line + indent..written.len();
        problem = error.message().lines().collect::<Vec<_>>().join("; ");
    }
    (at, problem)
}

// A place with at least one character in it, on one line where there is such a character.
fn place(text: &str, span: Option<Range<usize>>) -> Range<usize> {
    let span = span.unwrap_or(0..0);
    let start = (0..=span.start.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
    let end = (span.end.min(text.len())..=text.len()).find(|at| text.is_char_boundary(*at)).unwrap_or(text.len());
    let here = text.get(start..).and_then(|rest| rest.chars().next()).filter(|c| !"\r\n".contains(*c));
    let before = text.get(..start).and_then(|before| before.chars().next_back()).filter(|c| !"\r\n".contains(*c));
    match (here, before) {
        (Some(c), _) => start..end.max(start + c.len_utf8()),
        // Something is missing at the end of a line: the mark stands under its last character.
        (None, Some(c)) => start - c.len_utf8()..start,
        (None, None) => start..end.max(start),
    }
}

// All of the lines that `at` touches; for the head of a table the table as well, whose keys would be taken for those of another.
fn lines(text: &str, at: &Range<usize>) -> Range<usize> {
    let start = text.get(..at.start).and_then(|before| before.rfind('\n')).map_or(0, |newline| newline + 1);
    let rest = text.get(at.end..).unwrap_or("");
    let end = if text.get(start..).is_some_and(|line| line.trim_start().starts_with('[')) {
        rest.find("\n[")
    } else if text.get(start..at.end).is_some_and(|within| within.ends_with('\n')) {
        Some(0)
    } else {
        rest.find('\n')
    };
    start..end.map_or(text.len(), |newline| at.end + newline)
}
