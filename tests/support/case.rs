//! Reads a file of cases. A `##` heading begins a case; its fences and prose are the input. The case is compiled as a
//! document of its own in which all that stands before it is blanked, so that its line numbers are those of the file.
//!
//! Below a line of a `rig` fence, `#    ^^^^ error[slug] words` marks a finding: the carets stand under its place, and
//! the words must occur in its headline or label. When the place begins in the first column, the `#` stands for it.
//! An `expect` fence holds expectations (`expect.rs`). A fence of four marks, `file gear/ropes.md`, holds another file.

use super::expect::{self, Expected};
use super::fences::{Fence, fences};
use super::folders;
use std::path::Path;

/// The path the document of a case is compiled under.
pub const MAIN: &str = "case.md";

/// One file of cases.
#[derive(Debug, Clone)]
pub struct CaseFile {
    /// The same, from the project's folder.
    pub name: String,
    /// Its lines, without line ends.
    pub lines: Vec<String>,
    /// Its cases in order.
    pub cases: Vec<Case>,
}

/// One case.
#[derive(Debug, Clone)]
pub struct Case {
    /// The heading without its marks.
    pub title: String,
    /// The line of the heading, from 1.
    pub heading: usize,
    /// The last line of the case.
    pub last: usize,
    /// The documents, the case's own first.
    pub documents: Vec<Document>,
    /// Findings that are marked under their line.
    pub marks: Vec<Mark>,
    /// What else is expected.
    pub expected: Vec<Expected>,
    /// The fences of the case.
    pub fences: Vec<Fence>,
    /// Lines of the case file that cannot be read as what they seem to be.
    pub faults: Vec<String>,
}

/// A document to compile.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Document {
    /// Path from the root of the project.
    pub path: String,
    /// Its text, with `\n`.
    pub text: String,
}

/// An expected finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// The document.
    pub path: String,
    /// The line it stands under.
    pub line: usize,
    /// First column, from 1.
    pub column: usize,
    /// How many columns.
    pub width: usize,
    /// `error`, `warning`, `note`.
    pub severity: String,
    /// The finding.
    pub slug: String,
    /// Words of the headline or the label; perhaps empty.
    pub words: String,
    /// The line of the mark itself.
    pub at: usize,
}

impl Case {
    /// Whether the case ends inside a fence that nobody closes.
    pub fn open_ended(&self) -> bool {
        self.fences.iter().any(|fence| fence.close.is_none())
    }

    /// Whether `line` holds a mark.
    pub fn is_mark(&self, line: usize) -> bool {
        self.marks.iter().any(|mark| mark.at == line)
    }
}

/// Reads the file at `path`.
pub fn read(path: &Path) -> CaseFile {
    let text = folders::text_of(path);
    let mut lines: Vec<String> = text.split('\n').map(str::to_string).collect();
    if lines.last().is_some_and(String::is_empty) {
        lines.pop();
    }
    let all = fences(&lines, 1);
    let outside = |line: usize| !all.iter().any(|fence| fence.covers(line));
    let headings: Vec<usize> = (1..=lines.len()).filter(|line| outside(*line) && lines[line - 1].starts_with("## ")).collect();
    let cases = headings
        .iter()
        .enumerate()
        .map(|(at, heading)| {
            let last = headings.get(at + 1).map_or(lines.len(), |next| next - 1);
            let within = all.iter().filter(|fence| (*heading..=last).contains(&fence.open)).cloned().collect();
            one_case(&lines, *heading, last, within)
        })
        .collect();
    CaseFile { name: folders::relative(path), lines, cases }
}

fn one_case(lines: &[String], heading: usize, last: usize, fences_of_case: Vec<Fence>) -> Case {
    let mut case = Case {
        title: lines[heading - 1].trim_start_matches('#').trim().to_string(),
        heading,
        last,
        documents: Vec::new(),
        marks: Vec::new(),
        expected: Vec::new(),
        fences: fences_of_case,
        faults: Vec::new(),
    };
    let mut main: Vec<String> = lines[..last].to_vec();
    main[..heading - 1].iter_mut().for_each(|line| *line = blank(line));
    let mut others = Vec::new();
    for fence in case.fences.clone() {
        let inside = fence.open + 1..fence.close.unwrap_or(last + 1);
        match fence.word() {
            "expect" => {
                for line in inside.clone() {
                    match expect::read(&lines[line - 1], line) {
                        Ok(Some(expected)) => case.expected.push(expected),
                        Ok(None) => {}
                        Err(fault) => case.faults.push(format!("line {line}: {fault}")),
                    }
                }
                (fence.open..inside.end.min(last) + 1).for_each(|line| main[line - 1] = blank(&lines[line - 1]));
            }
            "file" => {
                let path = fence.info.trim_start_matches("file").trim().to_string();
                let mut text: Vec<String> = lines[..fence.open].iter().map(|_| String::new()).collect();
                text.extend(lines[fence.open..inside.end - 1].iter().cloned());
                // A table of readings or a project file has no fences of its own: findings may be marked in all of it.
                if !path.ends_with(".md") {
                    marks_of(lines, inside.clone(), &path, &mut case);
                }
                for inner in fences(&lines[fence.open..inside.end - 1], fence.open + 1) {
                    marks_of(lines, inner.open + 1..inner.close.unwrap_or(inside.end), &path, &mut case);
                }
                for mark in &case.marks {
                    if mark.path == path {
                        text[mark.at - 1] = blank(&text[mark.at - 1]);
                    }
                }
                others.push(Document { path, text: joined(&text) });
                (fence.open..inside.end.min(last) + 1).for_each(|line| main[line - 1] = blank(&lines[line - 1]));
            }
            _ => {
                marks_of(lines, inside, MAIN, &mut case);
            }
        }
    }
    for mark in &case.marks {
        main[mark.at - 1] = blank(&main[mark.at - 1]);
    }
    case.documents = vec![Document { path: MAIN.to_string(), text: joined(&main) }];
    case.documents.extend(others);
    case
}

fn joined(lines: &[String]) -> String {
    let mut text = lines.join("\n");
    text.push('\n');
    text
}

fn blank(line: &str) -> String {
    " ".repeat(line.chars().count())
}

fn marks_of(lines: &[String], range: std::ops::Range<usize>, path: &str, case: &mut Case) {
    let mut above = range.start;
    for number in range {
        match mark(&lines[number - 1]) {
            Some(found) => case.marks.push(Mark { path: path.to_string(), line: above, at: number, ..found }),
            None => above = number,
        }
    }
}

// `#   ^^^ error[slug] words`, or `#^^ error[slug]` for a place that begins in the column of the `#`.
fn mark(line: &str) -> Option<Mark> {
    let hash = line.chars().take_while(|c| *c == ' ').count();
    let rest = line.trim_start_matches(' ').strip_prefix('#')?;
    let spaces = rest.chars().take_while(|c| *c == ' ').count();
    let rest = rest.trim_start_matches(' ');
    let carets = rest.chars().take_while(|c| *c == '^').count();
    if carets == 0 {
        return None;
    }
    let said = rest.trim_start_matches('^').trim();
    let (severity, said) = said.split_once('[')?;
    let (slug, words) = said.split_once(']')?;
    if !matches!(severity, "error" | "warning" | "note") {
        return None;
    }
    let (column, width) = if spaces == 0 { (hash + 1, carets + 1) } else { (hash + 2 + spaces, carets) };
    Some(Mark {
        path: String::new(),
        line: 0,
        column,
        width,
        severity: severity.to_string(),
        slug: slug.to_string(),
        words: words.trim().to_string(),
        at: 0,
    })
}

/// The mark for a finding at `column` with `width`; none when there is no room for one.
pub fn write_mark(column: usize, width: usize, severity: &str, slug: &str, words: &str) -> Option<String> {
    let carets = match (column, width) {
        (1, 0 | 1) | (2, _) => return None,
        (1, width) => format!("#{}", "^".repeat(width - 1)),
        (column, width) => format!("#{}{}", " ".repeat(column - 2), "^".repeat(width.max(1))),
    };
    Some(format!("{carets} {severity}[{slug}] {words}").trim_end().to_string())
}

#[cfg(test)]
mod tests {
    use super::{mark, write_mark};

    #[test]
    fn a_mark_reads_back_as_it_was_written() {
        for (column, width) in [(1, 2), (1, 9), (3, 1), (14, 6)] {
            let line = write_mark(column, width, "error", "unknown-name", "`mu`").expect("there is room");
            let read = mark(&line).expect("it is a mark");
            assert_eq!((read.column, read.width), (column, width));
            assert_eq!((read.severity.as_str(), read.slug.as_str(), read.words.as_str()), ("error", "unknown-name", "`mu`"));
        }
        assert_eq!(write_mark(2, 3, "error", "x", ""), None);
        assert!(mark("# a remark about 2^3").is_none());
    }
}
