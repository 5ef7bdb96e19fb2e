//! Markdown to one page of HTML with marks in it for what is set in later: values, fences, formulas.

use crate::diagnostics::catalogue::document::{
    CommentNotClosed, FenceNotClosed, FenceWord, HtmlRemoved, LinkRefused, ListingNotClosed, MathNotRead, RemoteImage, ValueTooLong,
};
use crate::diagnostics::{Finding, Sink};
use crate::document::clean::{self, Mark};
use crate::document::inline::Inline;
use crate::document::links::Picture;
use crate::document::outline::{Outline, note_name, plain};
use crate::document::pieces::{Held, mark_text};
use crate::document::{escape, fence, inline, links, maths};
use crate::source::{Extent, Fragment, Home};
use pulldown_cmark::{Alignment, CodeBlockKind, CowStr, Event, LinkType, Tag, TagEnd};
use std::collections::BTreeMap;
use std::ops::Range;

/// An event of the Markdown reader and the bytes of the file it stands for.
pub(super) type Placed<'s> = (Event<'s>, Range<usize>);

/// What becomes of raw HTML.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Raw {
    /// It goes into the page, which must then be cleaned.
    Kept,
    /// It is shown as text.
    Shown,
}

/// The page before it is cleaned and cut.
#[derive(Debug, Default)]
pub(super) struct Page {
    /// HTML with marks.
    pub(super) html: String,
    /// What the marks stand for.
    pub(super) held: Vec<Held>,
    /// Fences and values.
    pub(super) fragments: Vec<Fragment>,
    /// All raw HTML of the document, joined.
    pub(super) raw: String,
    /// Where the first of it stands.
    pub(super) first_raw: Option<Range<usize>>,
}

struct Writer<'a, 's> {
    source: &'s str,
    home: Home,
    events: &'a [Placed<'s>],
    outline: &'a Outline,
    mark: Mark,
    raw: Raw,
    sink: &'a mut Sink,
    page: Page,
    // What the page is in the middle of.
    heading: usize,
    calls: BTreeMap<String, usize>,
    // How each open link ends.
    links: Vec<&'static str>,
    aligns: Vec<Alignment>,
    cell: usize,
    in_head: bool,
}

/// Writes the page of a document. The outline must be that of the same events.
pub(super) fn write<'s>(
    source: &'s str,
    home: Home,
    events: &[Placed<'s>],
    outline: &Outline,
    mark: Mark,
    raw: Raw,
    sink: &mut Sink,
) -> Page {
    let mut writer = Writer {
        source,
        home,
        events,
        outline,
        mark,
        raw,
        sink,
        page: Page::default(),
        heading: 0,
        calls: BTreeMap::new(),
        links: Vec::new(),
        aligns: Vec::new(),
        cell: 0,
        in_head: false,
    };
    let mut at = 0;
    while let Some((event, range)) = events.get(at) {
        at = match event {
            Event::Start(Tag::CodeBlock(kind)) => writer.listing(kind, range, at),
            Event::Start(Tag::HtmlBlock) => writer.html_block(range, at),
            Event::Start(Tag::Image { dest_url, title, .. }) => writer.image(dest_url, title, range, at),
            Event::Start(tag) => {
                writer.start(tag, range);
                at + 1
            }
            Event::End(tag) => {
                writer.end(tag);
                at + 1
            }
            event => {
                writer.inline(event, range);
                at + 1
            }
        };
    }
    writer.page
}

impl<'s> Writer<'_, 's> {
    fn push(&mut self, html: &str) {
        self.page.html.push_str(html);
    }

    fn text(&mut self, text: &str) {
        escape::push(&mut self.page.html, text);
    }

    fn find(&mut self, start: usize, end: usize, finding: &dyn Finding) {
        self.find_in(Extent::new(start, end), finding);
    }

    fn find_in(&mut self, extent: Extent, finding: &dyn Finding) {
        self.sink.push(self.home.span(extent), finding);
    }

    fn hold(&mut self, held: Held) {
        let text = mark_text(self.mark, self.page.held.len());
        self.push(&text);
        self.page.held.push(held);
    }

    fn number(&mut self, fragment: Fragment) -> u32 {
        self.page.fragments.push(fragment);
        self.page.fragments.len() as u32 - 1
    }

    // Events from `from` to the one that satisfies `last`, and the place behind that.
    fn inside(&self, from: usize, last: fn(&TagEnd) -> bool, first: fn(&Tag<'_>) -> bool) -> usize {
        let mut depth = 0_usize;
        let mut at = from;
        while let Some((event, _)) = self.events.get(at) {
            at += 1;
            match event {
                Event::Start(tag) if first(tag) => depth += 1,
                Event::End(tag) if last(tag) => {
                    depth = depth.saturating_sub(1);
                    if depth == 0 {
                        break;
                    }
                }
                _ => {}
            }
        }
        at
    }

    fn start(&mut self, tag: &Tag<'s>, range: &Range<usize>) {
        match tag {
            Tag::Paragraph => self.push("<p>"),
            Tag::Heading { .. } => {
                let heading = self.outline.headings.get(self.heading);
                let opened = heading.map_or_else(String::new, |heading| format!("<h{} id=\"{}\">", heading.level, heading.anchor));
                self.push(&opened);
            }
            Tag::BlockQuote(_) => self.push("<blockquote>\n"),
            Tag::List(None) => self.push("<ul>\n"),
            Tag::List(Some(1)) => self.push("<ol>\n"),
            Tag::List(Some(first)) => self.push(&format!("<ol start=\"{first}\">\n")),
            Tag::Item => self.push("<li>"),
            Tag::FootnoteDefinition(label) => self.note_start(label),
            Tag::Table(aligns) => {
                self.aligns.clone_from(aligns);
                self.push("<table>\n");
            }
            Tag::TableHead => {
                (self.cell, self.in_head) = (0, true);
                self.push("<thead><tr>");
            }
            Tag::TableRow => {
                (self.cell, self.in_head) = (0, false);
                self.push("<tr>");
            }
            Tag::TableCell => self.cell_start(),
            Tag::Emphasis => self.push("<em>"),
            Tag::Strong => self.push("<strong>"),
            Tag::Strikethrough => self.push("<del>"),
            Tag::Link { link_type, dest_url, title, .. } => self.link_start(*link_type, dest_url, title, range),
            // Written as wholes elsewhere, or not asked of the Markdown reader.
            _ => {}
        }
    }

    fn end(&mut self, tag: &TagEnd) {
        match tag {
            TagEnd::Paragraph => self.push("</p>\n"),
            TagEnd::Heading(_) => {
                let closed = self.outline.headings.get(self.heading).map_or_else(String::new, |heading| format!("</h{}>\n", heading.level));
                self.heading += 1;
                self.push(&closed);
            }
            TagEnd::BlockQuote(_) => self.push("</blockquote>\n"),
            TagEnd::List(ordered) => self.push(if *ordered { "</ol>\n" } else { "</ul>\n" }),
            TagEnd::Item => self.push("</li>\n"),
            TagEnd::FootnoteDefinition => self.push("</div>\n"),
            TagEnd::Table => self.push("</tbody></table>\n"),
            TagEnd::TableHead => self.push("</tr></thead>\n<tbody>\n"),
            TagEnd::TableRow => self.push("</tr>\n"),
            TagEnd::TableCell => self.push(if self.in_head { "</th>" } else { "</td>" }),
            TagEnd::Emphasis => self.push("</em>"),
            TagEnd::Strong => self.push("</strong>"),
            TagEnd::Strikethrough => self.push("</del>"),
            TagEnd::Link => {
                let closed = self.links.pop().unwrap_or("");
                self.push(closed);
            }
            _ => {}
        }
    }

    fn inline(&mut self, event: &Event<'s>, range: &Range<usize>) {
        match event {
            Event::Text(text) => self.text(text),
            Event::Code(code) => self.code(code, range),
            Event::InlineMath(formula) => self.math(formula, false, range),
            Event::DisplayMath(formula) => self.math(formula, true, range),
            Event::Html(html) | Event::InlineHtml(html) => {
                self.look_at_raw(html, range);
                match self.raw {
                    Raw::Kept => self.push(html),
                    Raw::Shown => self.text(html),
                }
            }
            Event::FootnoteReference(label) => self.note_call(label),
            Event::SoftBreak => self.push("\n"),
            Event::HardBreak => self.push("<br>\n"),
            Event::Rule => self.push("<hr>\n"),
            Event::TaskListMarker(true) => self.push("<input type=\"checkbox\" disabled=\"\" checked=\"\"> "),
            Event::TaskListMarker(false) => self.push("<input type=\"checkbox\" disabled=\"\"> "),
            Event::Start(_) | Event::End(_) => {}
        }
    }

    fn cell_start(&mut self) {
        let align = match self.aligns.get(self.cell) {
            Some(Alignment::Left) => " class=\"align-left\"",
            Some(Alignment::Center) => " class=\"align-center\"",
            Some(Alignment::Right) => " class=\"align-right\"",
            Some(Alignment::None) | None => "",
        };
        self.cell += 1;
        self.push(if self.in_head { "<th scope=\"col\"" } else { "<td" });
        self.push(align);
        self.push(">");
    }

    fn code(&mut self, code: &str, range: &Range<usize>) {
        match inline::read(self.source, range, code) {
            Inline::Value(fragment) => {
                let fragment = self.number(fragment);
                self.hold(Held::Value(fragment));
                return;
            }
            Inline::TooLong => self.find(range.start, range.end, &ValueTooLong {}),
            Inline::Code => {}
        }
        self.push("<code>");
        self.text(code);
        self.push("</code>");
    }

    fn math(&mut self, formula: &str, display: bool, range: &Range<usize>) {
        match maths::mathml(formula, display) {
            Ok(html) => self.hold(Held::Html(html)),
            Err(fault) => {
                let written = self.source.get(range.clone()).unwrap_or("");
                let extent = fault
                    .command
                    .and_then(|command| written.find(&command).map(|at| Extent::new(range.start + at, range.start + at + command.len())))
                    .unwrap_or(Extent::new(range.start, range.end));
                self.find_in(extent, &MathNotRead { formula: escape::quoted(formula), reason: fault.reason });
                self.push("<code class=\"unread\">");
                self.text(formula);
                self.push("</code>");
            }
        }
    }

    // A listing, or a fence of ours. Gives the place behind it.
    fn listing(&mut self, kind: &CodeBlockKind<'s>, range: &Range<usize>, at: usize) -> usize {
        let after = self.inside(at, |tag| matches!(tag, TagEnd::CodeBlock), |tag| matches!(tag, Tag::CodeBlock(_)));
        let events = self.events.get(at..after).unwrap_or(&[]);
        let stretches = events.iter().filter_map(|(event, range)| match event {
            Event::Text(text) => Some((text.as_ref(), range.clone())),
            _ => None,
        });
        let CodeBlockKind::Fenced(info) = kind else {
            self.push("<pre><code>");
            stretches.for_each(|(text, _)| escape::push(&mut self.page.html, text));
            self.push("</code></pre>\n");
            return after;
        };
        let word = info.split_whitespace().next().unwrap_or("");
        let text_end = stretches.clone().next_back().map(|(_, range)| range.end);
        let closed = fence::is_closed(self.source, range, text_end);
        let opening = fence::opening_line(self.source, range);
        let mark = fence::mark(self.source, range).to_string();
        if word == "rig" {
            if !closed {
                self.find_in(opening, &FenceNotClosed { mark });
            }
            let fragment = self.number(fence::fragment(self.source, stretches));
            let length = self.source.get(range.clone()).map_or(0, |text| text.trim_end().len());
            self.hold(Held::Rig(fragment, Extent::new(range.start, range.start + length)));
            self.push("\n");
            return after;
        }
        if !closed {
            self.find_in(opening, &ListingNotClosed { mark });
        }
        if word.eq_ignore_ascii_case("rig") || ["rigg", "riig", "rrig", "rgi", "irg", "rig:", "rig,"].contains(&word) {
            self.find_in(fence::word(self.source, range, word), &FenceWord { found: word.to_string() });
        }
        let language = clean::language(word);
        self.push(&if language.is_empty() { "<pre><code>".into() } else { format!("<pre><code class=\"language-{language}\">") });
        stretches.for_each(|(text, _)| escape::push(&mut self.page.html, text));
        self.push("</code></pre>\n");
        after
    }

    fn html_block(&mut self, range: &Range<usize>, at: usize) -> usize {
        let after = self.inside(at, |tag| matches!(tag, TagEnd::HtmlBlock), |tag| matches!(tag, Tag::HtmlBlock));
        let events = self.events.get(at..after).unwrap_or(&[]);
        let raw: String =
            events.iter().map(|(event, _)| if let Event::Html(text) | Event::Text(text) = event { text } else { "" }).collect();
        self.look_at_raw(&raw, range);
        if raw.trim_start().starts_with("<!--") && !raw.contains("-->") {
            let line = fence::opening_line(self.source, range);
            self.find_in(line, &CommentNotClosed {});
        }
        match self.raw {
            Raw::Kept => self.push(&raw),
            Raw::Shown => {
                self.push("<pre>");
                self.text(&raw);
                self.push("</pre>\n");
            }
        }
        after
    }

    fn look_at_raw(&mut self, raw: &str, range: &Range<usize>) {
        self.page.first_raw.get_or_insert(range.clone());
        self.page.raw.push_str(raw);
        if self.raw == Raw::Shown {
            return;
        }
        if let Some(tag) = clean::removed_tag(raw) {
            self.find(range.start, range.end, &HtmlRemoved { tag });
        }
        if let Some(target) = clean::remote_image(raw) {
            self.find(range.start, range.end, &RemoteImage { target: escape::quoted(&target) });
        }
    }

    fn link_start(&mut self, kind: LinkType, url: &CowStr<'s>, title: &CowStr<'s>, range: &Range<usize>) {
        let url = if kind == LinkType::Email { format!("mailto:{url}") } else { url.to_string() };
        let Some(target) = links::target(&url, &self.outline.anchors) else {
            self.find(range.start, range.end, &LinkRefused { target: escape::quoted(&url) });
            self.push("<span class=\"refused\">");
            self.links.push("</span>");
            return;
        };
        self.push("<a href=\"");
        self.text(&target);
        self.title(title);
        self.push("\">");
        self.links.push("</a>");
    }

    // Goes on from an open attribute value, and leaves one open.
    fn title(&mut self, title: &str) {
        if !title.is_empty() {
            self.push("\" title=\"");
            self.text(title);
        }
    }

    fn image(&mut self, url: &CowStr<'s>, title: &CowStr<'s>, range: &Range<usize>, at: usize) -> usize {
        let after = self.inside(at, |tag| matches!(tag, TagEnd::Image), |tag| matches!(tag, Tag::Image { .. }));
        let words: String = self.events.get(at..after).unwrap_or(&[]).iter().map(|(event, _)| plain(event)).collect();
        match links::picture(url) {
            Picture::Kept => {
                self.push("<img src=\"");
                self.text(url);
                self.push("\" alt=\"");
                self.text(&words);
                self.title(title);
                self.push("\">");
            }
            Picture::Remote => {
                self.find(range.start, range.end, &RemoteImage { target: escape::quoted(url) });
                let words = if words.trim().is_empty() { url.to_string() } else { words };
                // A link cannot stand in a link.
                if self.links.is_empty() {
                    self.push("<a href=\"");
                    self.text(url);
                    self.push("\">");
                    self.text(&words);
                    self.push("</a>");
                } else {
                    self.text(&words);
                }
            }
            Picture::Refused => {
                self.find(range.start, range.end, &LinkRefused { target: escape::quoted(url) });
                self.push("<span class=\"refused\">");
                self.text(&words);
                self.push("</span>");
            }
        }
        after
    }

    fn note_call(&mut self, label: &str) {
        let Some(note) = self.outline.notes.get(&note_name(label)) else { return };
        let call = self.calls.entry(note_name(label)).or_insert(0);
        let caller = note.callers.get(*call).map_or("", String::as_str);
        *call += 1;
        // A link cannot stand in a link.
        let number =
            if self.links.is_empty() { format!("<a href=\"#{}\">{}</a>", note.anchor, note.number) } else { note.number.to_string() };
        self.push(&format!("<sup class=\"footnote-mark\" id=\"{caller}\">{number}</sup>"));
    }

    fn note_start(&mut self, label: &str) {
        let Some(note) = self.outline.notes.get(&note_name(label)) else {
            self.push("<div class=\"footnote\">");
            return;
        };
        let mut opened = format!("<div class=\"footnote\" id=\"{}\"><span class=\"footnote-mark\">{}</span> ", note.anchor, note.number);
        for caller in &note.callers {
            opened.push_str(&format!("<a class=\"footnote-back\" href=\"#{caller}\" aria-label=\"back to the text\">↩</a> "));
        }
        self.push(&opened);
    }
}
