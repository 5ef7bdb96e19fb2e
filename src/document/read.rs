//! One file from text to pieces: what is refused, then Markdown, then cleaning, then cutting.

use crate::diagnostics::catalogue::document::{EmptySheet, HtmlHides, NestedTooDeep, NulByte};
use crate::diagnostics::{Finding, Sink};
use crate::document::clean::{self, Mark};
use crate::document::outline::{Outline, outline};
use crate::document::pieces::cut;
use crate::document::prose::{self, Page, Placed, Raw};
use crate::document::{Document, Piece};
use crate::source::{Extent, FileId, Home};
use pulldown_cmark::{Options, Parser};

// Marks of quotations and lists that one line may open. The Markdown reader walks all of them again for every line.
const DEEPEST: usize = 64;

/// Takes the text of `file` apart. Gives an empty document, and says why, when there is nothing to be read or the text
/// must not be read.
pub fn read(text: &str, file: FileId, sink: &mut Sink) -> Document {
    let home = Home::file(file);
    // Some editors begin a file with a byte order mark; to the Markdown reader it would be a letter.
    let base = if text.starts_with('\u{FEFF}') { '\u{FEFF}'.len_utf8() } else { 0 };
    let body = text.get(base..).unwrap_or("");
    if let Some((extent, finding)) = refused(text, body, base) {
        sink.push(home.span(extent), finding.as_ref());
        return Document::default();
    }
    let events: Vec<Placed<'_>> = Parser::new_ext(body, options())
        .into_offset_iter()
        .map(|(event, range)| (event, range.start + base..range.end + base))
        .collect();
    let outline = outline(&events);
    let mark = Mark::new(text);

    // What is found belongs to the way of writing that is used in the end.
    let mut found = Sink::new();
    let page = prose::write(text, home, &events, &outline, mark, Raw::Kept, &mut found);
    let (page, pieces) = match cut_clean(&page, &outline, mark) {
        Some(pieces) => (page, pieces),
        None => {
            let first = page.first_raw.clone().unwrap_or(base..text.len());
            found = Sink::new();
            found.push(home.span(Extent::new(first.start, first.end)), &HtmlHides {});
            let page = prose::write(text, home, &events, &outline, mark, Raw::Shown, &mut found);
            let pieces = cut(&page.html, mark, &page.held).unwrap_or_default();
            (page, pieces)
        }
    };
    sink.absorb(found);
    let title = outline.headings.iter().find(|heading| heading.level == 1).map(|heading| heading.text.clone());
    Document { pieces, fragments: page.fragments, outline: outline.headings, title }
}

// Cleaning costs more than all the rest, so a page without raw HTML goes without: our own writer writes clean HTML.
fn cut_clean(page: &Page, outline: &Outline, mark: Mark) -> Option<Vec<Piece>> {
    if page.first_raw.is_none() {
        return cut(&page.html, mark, &page.held);
    }
    if clean::is_tangled(&page.raw) {
        return None;
    }
    cut(&clean::clean(&page.html, &outline.anchors), mark, &page.held)
}

fn options() -> Options {
    Options::ENABLE_TABLES
        | Options::ENABLE_FOOTNOTES
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_TASKLISTS
        | Options::ENABLE_HEADING_ATTRIBUTES
        | Options::ENABLE_MATH
}

fn refused(text: &str, body: &str, base: usize) -> Option<(Extent, Box<dyn Finding>)> {
    if let Some(at) = text.find('\0') {
        return Some((Extent::new(at, at + 1), Box::new(NulByte {})));
    }
    if body.trim().is_empty() {
        return Some((Extent::new(base, base), Box::new(EmptySheet {})));
    }
    let mut start = base;
    for line in body.split_inclusive('\n') {
        if marks(line) > DEEPEST {
            let end = start + line.trim_end().len();
            return Some((Extent::new(start, end), Box::new(NestedTooDeep { limit: DEEPEST.to_string() })));
        }
        start += line.len();
    }
    None
}

// How many quotations and lists the marks at the start of `line` can open.
fn marks(line: &str) -> usize {
    if line.trim().chars().all(|c| matches!(c, '*' | '-' | '_' | ' ' | '\t')) {
        // A ruled line, however long.
        return 0;
    }
    let mut count = 0;
    let mut rest = line.trim_start_matches([' ', '\t']);
    loop {
        let number = rest.trim_start_matches(|c: char| c.is_ascii_digit());
        let behind = match rest.chars().next() {
            Some('>') => rest.get(1..),
            Some('-' | '+' | '*') => rest.get(1..).filter(|behind| behind.starts_with([' ', '\t'])),
            _ if number.len() < rest.len() => {
                number.strip_prefix(['.', ')']).filter(|behind| behind.starts_with([' ', '\t']))
            }
            _ => None,
        };
        let Some(behind) = behind else { return count };
        count += 1;
        rest = behind.trim_start_matches([' ', '\t']);
    }
}
