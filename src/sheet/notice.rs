//! Findings cooked for readers: path, line, column and the line itself. The only place that slices source by a span.

use crate::diagnostics::Diagnostic;
use crate::sheet::parts::{Notice, Place};
use crate::source::{Sources, Span};

/// The findings of one compilation, in order of place.
pub fn notices(findings: &[Diagnostic], sources: &Sources) -> Vec<Notice> {
    let mut cooked: Vec<Notice> = findings
        .iter()
        .map(|finding| Notice {
            slug: finding.slug.into(),
            severity: finding.severity.word().into(),
            headline: finding.headline.clone(),
            place: place(finding.primary.span, &finding.primary.text, sources),
            others: finding.secondary.iter().map(|label| place(label.span, &label.text, sources)).collect(),
            why: finding.why.clone().unwrap_or_default(),
            help: finding.help.clone().unwrap_or_default(),
            replacement: finding.fix.as_ref().map(|fix| fix.replacement.clone()),
        })
        .collect();
    cooked.sort_by(|a, b| {
        (&a.place.path, a.place.line, a.place.column, &a.slug).cmp(&(&b.place.path, b.place.line, b.place.column, &b.slug))
    });
    cooked
}

fn place(span: Span, label: &str, sources: &Sources) -> Place {
    let Some(file) = sources.file(span.home.file) else {
        return Place { path: String::new(), line: 1, column: 1, width: 1, excerpt: String::new(), label: label.into() };
    };
    let text = file.text.as_str();
    let range = sources.in_file(span);
    let start = boundary(text, range.start);
    let end = boundary(text, range.end.max(start));
    let position = file.text.position(start);
    let line = file.text.lines().line(text, position.line);
    let covered = text.get(start..end).unwrap_or("");
    let first = covered.split('\n').next().unwrap_or("").trim_end();
    Place {
        path: file.path.to_string(),
        line: position.line,
        // With CRLF endings the end of a line is two bytes; both are the place just after its last character.
        column: position.column.min(line.chars().count() + 1),
        width: first.chars().count().clamp(1, 280),
        excerpt: clipped(line, position.column),
        label: label.into(),
    }
}

fn boundary(text: &str, offset: usize) -> usize {
    let offset = offset.min(text.len());
    (0..=offset).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0)
}

// A line as long as a book is no help; it is cut a little after the place, or left out when the place is far along.
fn clipped(line: &str, column: usize) -> String {
    const MOST: usize = 300;
    if line.chars().count() <= MOST {
        return line.to_string();
    }
    if column + 20 > MOST {
        return String::new();
    }
    let mut cut: String = line.chars().take(MOST - 1).collect();
    cut.push('…');
    cut
}
