//! One long page with marks in it, cut into prose and fences.
//!
//! The page is what our own writer or the HTML cleaner put out: tags are closed, quoted and properly nested.

use crate::document::clean::{ALONE, Mark, tag_name};
use crate::document::{Piece, Run};
use crate::source::Extent;
use memchr::memchr2;
use std::borrow::Cow;

// An item of a list that goes on behind a fence.
const CONTINUED: &str = "<li class=\"continued\">";

/// What a mark in the page stands for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Held {
    /// A value, by its fragment.
    Value(u32),
    /// A fence, by its fragment, with its place in the file.
    Rig(u32, Extent),
    /// HTML that is not to be cleaned.
    Html(String),
}

/// The text that stands in the page for the `index`-th thing held.
pub(super) fn mark_text(mark: Mark, index: usize) -> String {
    format!("{}{index}{}", mark.0, mark.0)
}

struct Open<'h> {
    name: Cow<'h, str>,
    tag: &'h str,
    // For a list: items begun so far.
    items: usize,
    // Where the tag stands: how many runs were put down before, and its place in the text since.
    from: (usize, usize),
    // Opened again behind a fence.
    again: bool,
}

struct Cutter<'h> {
    open: Vec<Open<'h>>,
    text: String,
    runs: Vec<Run>,
    pieces: Vec<Piece>,
}

/// Cuts `html`. None when a mark is missing, stands where text cannot (inside a tag), or when fences have changed their
/// order: then raw HTML has hidden or moved a part of the document.
pub(super) fn cut(html: &str, mark: Mark, held: &[Held]) -> Option<Vec<Piece>> {
    let mut cutter = Cutter { open: Vec::new(), text: String::new(), runs: Vec::new(), pieces: Vec::new() };
    let mut seen = vec![false; held.len()];
    let mut last_fence = None;
    let mut rest = html;
    let lead = mark.0.encode_utf8(&mut [0; 4]).bytes().next()?;
    while let Some((before, from)) = stop(rest, mark, lead) {
        cutter.text.push_str(before);
        if let Some(body) = from.strip_prefix(mark.0) {
            let (digits, after) = body.split_once(mark.0)?;
            let index: usize = digits.parse().ok()?;
            if std::mem::replace(seen.get_mut(index)?, true) {
                return None;
            }
            match held.get(index)? {
                Held::Value(fragment) => cutter.value(*fragment),
                Held::Html(html) => cutter.text.push_str(html),
                Held::Rig(fragment, span) => {
                    if last_fence.replace(index).is_some_and(|last| last > index) {
                        return None;
                    }
                    cutter.fence(*fragment, *span);
                }
            }
            rest = after;
        } else {
            let tag = from.get(..tag_length(from)?)?;
            if tag.bytes().any(|byte| byte == lead) && tag.contains(mark.0) {
                return None;
            }
            cutter.tag(tag);
            rest = from.get(tag.len()..)?;
        }
    }
    cutter.text.push_str(rest);
    cutter.end_prose();
    seen.into_iter().all(|seen| seen).then_some(cutter.pieces)
}

// `text` cut where the next tag or mark begins. `lead` is the first byte of a mark.
fn stop(text: &str, mark: Mark, lead: u8) -> Option<(&str, &str)> {
    let mut from = 0;
    loop {
        let at = from + memchr2(b'<', lead, text.as_bytes().get(from..)?)?;
        let cut = text.split_at_checked(at)?;
        if cut.1.starts_with(['<', mark.0]) {
            return Some(cut);
        }
        from = at + 1;
    }
}

// The bytes of the tag at the start of `text`; a `>` between quotes does not end it.
fn tag_length(text: &str) -> Option<usize> {
    let mut quote = None;
    for (at, byte) in text.bytes().enumerate() {
        match (quote, byte) {
            (None, b'>') => return Some(at + 1),
            (None, b'"' | b'\'') => quote = Some(byte),
            (Some(open), byte) if open == byte => quote = None,
            _ => {}
        }
    }
    None
}

impl<'h> Cutter<'h> {
    fn tag(&mut self, tag: &'h str) {
        let from = (self.runs.len(), self.text.len());
        self.text.push_str(tag);
        let opened = tag.bytes().take_while(|byte| *byte == b'<').count();
        let name = tag_name(tag.get(opened..).unwrap_or(""));
        if name.is_empty() || ALONE.contains(&&*name) {
            return;
        }
        if tag.starts_with("</") {
            if let Some(at) = self.open.iter().rposition(|open| open.name == name) {
                if let Some(from) = self.open.get(at).filter(|open| open.again).map(|open| open.from) {
                    self.drop_if_empty(from, &name);
                }
                self.open.truncate(at);
            }
            return;
        }
        if name == "li"
            && let Some(list) = self.open.last_mut()
        {
            list.items += 1;
        }
        self.open.push(Open { name, tag, items: 0, from, again: false });
    }

    // What was opened only to be closed is left out. An item stays: its number carries the count on.
    fn drop_if_empty(&mut self, from: (usize, usize), name: &str) {
        if name == "li" || from.0 != self.runs.len() {
            return;
        }
        let inside = self.text.get(from.1..).and_then(|text| text.split_once('>')).map_or("", |(_, inside)| inside);
        if inside.replace(&format!("{CONTINUED}</li>"), "").trim() == format!("</{name}>") {
            self.text.truncate(from.1);
        }
    }

    fn value(&mut self, fragment: u32) {
        self.end_text();
        self.runs.push(Run::Value { fragment });
    }

    fn fence(&mut self, fragment: u32, span_of_fence: Extent) {
        let closing: Vec<_> = self.open.iter().rev().map(|open| (open.name.clone(), open.from)).collect();
        for (name, from) in closing {
            self.text.push_str(&format!("</{name}>"));
            self.drop_if_empty(from, &name);
        }
        self.end_prose();
        self.pieces.push(Piece::Rig { fragment, span_of_fence });
        for open in &mut self.open {
            (open.from, open.again) = ((0, self.text.len()), true);
            self.text.push_str(&reopened(open));
        }
    }

    fn end_text(&mut self) {
        if !self.text.is_empty() {
            self.runs.push(Run::Html(std::mem::take(&mut self.text)));
        }
    }

    fn end_prose(&mut self) {
        self.end_text();
        let runs = std::mem::take(&mut self.runs);
        if runs.iter().any(shows_something) {
            self.pieces.push(Piece::Prose(runs));
        }
    }
}

// The tag that opens the same element once more behind a fence. It must not repeat an `id`, and a numbered list goes on
// with the number of the item that the fence stands in.
fn reopened(open: &Open<'_>) -> String {
    match &*open.name {
        "li" => CONTINUED.to_string(),
        "ol" => {
            let start = attribute(open.tag, "start").and_then(|start| start.parse().ok()).unwrap_or(1_u64);
            format!("<ol start=\"{}\">", start.saturating_add(open.items.saturating_sub(1) as u64))
        }
        _ => match attribute(open.tag, "id") {
            Some(id) => open.tag.replacen(&format!(" id=\"{id}\""), "", 1),
            None => open.tag.to_string(),
        },
    }
}

fn attribute<'t>(tag: &'t str, name: &str) -> Option<&'t str> {
    tag.split_once(&format!(" {name}=\""))?.1.split('"').next()
}

// Whether a reader would see anything of `run`: text, a value, a picture, a rule, a box, or the number of an item.
fn shows_something(run: &Run) -> bool {
    let Run::Html(html) = run else { return true };
    let mut rest = html.as_str();
    while let Some(at) = rest.find('<') {
        let (before, from) = rest.split_at(at);
        if !before.trim().is_empty() {
            return true;
        }
        let Some(length) = tag_length(from) else { return true };
        let (tag, after) = from.split_at(length);
        let name = tag_name(tag.trim_start_matches('<'));
        let item = name == "li" && !tag.starts_with("</") && tag != CONTINUED;
        if item || matches!(&*name, "img" | "hr" | "input") {
            return true;
        }
        rest = after;
    }
    !rest.trim().is_empty()
}
