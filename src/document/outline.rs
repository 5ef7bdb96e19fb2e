//! Headings and anchors: every `id` that a document has on its page is given out here, once.

use crate::document::{Heading, clean};
use pulldown_cmark::{Event, Tag, TagEnd};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// What every anchor of the prose begins with, so that none can be taken for an anchor of the working.
pub(super) const PREFIX: &str = "s-";

/// The anchors given out so far.
#[derive(Debug, Default, Clone)]
pub(super) struct Anchors {
    used: BTreeSet<String>,
    // How often a wish was met, so that a thousand equal headings do not each try a thousand numbers.
    counts: BTreeMap<String, usize>,
}

impl Anchors {
    /// An anchor for `wish`: its letters and digits in lower case, joined by hyphens; numbered from the second on.
    pub(super) fn take(&mut self, wish: &str) -> String {
        let slug = slug(wish);
        let count = self.counts.entry(slug.clone()).or_insert(0);
        loop {
            *count += 1;
            let anchor = if *count == 1 { format!("{PREFIX}{slug}") } else { format!("{PREFIX}{slug}-{count}") };
            if self.used.insert(anchor.clone()) {
                return anchor;
            }
        }
    }

    /// Notes an `id` written in raw HTML, which keeps it under our prefix.
    fn note(&mut self, written: &str) {
        let prefix = if written.starts_with(PREFIX) { "" } else { PREFIX };
        self.used.insert(format!("{prefix}{written}"));
    }

    /// Whether the page has an element with this `id`.
    pub(super) fn has(&self, anchor: &str) -> bool {
        self.used.contains(anchor)
    }
}

/// A footnote as the page shows it.
#[derive(Debug, Clone, Default)]
pub(super) struct Note {
    /// Its number, in the order in which the text refers to the notes.
    pub(super) number: usize,
    /// The anchor of the note.
    pub(super) anchor: String,
    /// The anchors of the places that refer to it, in order.
    pub(super) callers: Vec<String>,
}

/// Headings and footnotes of a document.
#[derive(Debug, Default)]
pub(super) struct Outline {
    pub(super) headings: Vec<Heading>,
    pub(super) notes: BTreeMap<String, Note>,
    pub(super) anchors: Anchors,
}

/// The name under which a footnote is looked up: Markdown does not tell capitals apart here.
pub(super) fn note_name(label: &str) -> String {
    label.to_lowercase()
}

/// Finds the headings and footnotes. Headings take their anchors first: they are what other documents point at.
pub(super) fn outline(events: &[(Event<'_>, Range<usize>)]) -> Outline {
    let mut outline = Outline::default();
    let mut open: Option<(u8, Option<String>, String)> = None;
    let mut labels = Vec::new();
    let mut raw = String::new();
    for (event, _) in events {
        match event {
            Event::Start(Tag::Heading { level, id, .. }) => {
                open = Some((*level as u8, id.as_ref().map(|id| id.to_string()), String::new()));
            }
            Event::End(TagEnd::Heading(_)) => {
                if let Some((level, id, text)) = open.take() {
                    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
                    let anchor = outline.anchors.take(id.as_deref().unwrap_or(&text));
                    outline.headings.push(Heading { level, text, anchor });
                }
            }
            Event::FootnoteReference(label) => labels.push((note_name(label), true)),
            Event::Start(Tag::FootnoteDefinition(label)) => labels.push((note_name(label), false)),
            Event::Html(html) | Event::InlineHtml(html) => raw.push_str(html),
            event => {
                if let Some((_, _, text)) = &mut open {
                    text.push_str(plain(event));
                }
            }
        }
    }
    // Notes that nothing refers to come after the others.
    labels.sort_by_key(|(_, refers)| !refers);
    for (label, refers) in labels {
        let number = outline.notes.len() + 1;
        if !outline.notes.contains_key(&label) {
            let anchor = outline.anchors.take(&format!("note {label}"));
            outline.notes.insert(label.clone(), Note { number, anchor, callers: Vec::new() });
        }
        if let (true, Some(note)) = (refers, outline.notes.get_mut(&label)) {
            note.callers.push(outline.anchors.take(&format!("note {label} from")));
        }
    }
    clean::identifiers(&raw).for_each(|id| outline.anchors.note(id));
    outline
}

/// What `event` adds to plain text.
pub(super) fn plain<'e>(event: &'e Event<'_>) -> &'e str {
    match event {
        Event::Text(text) | Event::InlineMath(text) | Event::DisplayMath(text) => text,
        Event::Code(code) => code.strip_prefix("rig ").unwrap_or(code),
        Event::SoftBreak | Event::HardBreak => " ",
        _ => "",
    }
}

fn slug(text: &str) -> String {
    let mut slug = String::new();
    for c in text.chars().flat_map(char::to_lowercase) {
        if c.is_alphanumeric() {
            slug.push(c);
        } else if (c.is_whitespace() || matches!(c, '-' | '_')) && !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    let slug = slug.trim_end_matches('-');
    if slug.is_empty() { "section".to_string() } else { slug.to_string() }
}

#[cfg(test)]
mod tests {
    use crate::diagnostics::Sink;
    use crate::document::{Heading, read};
    use crate::source::FileId;

    fn headings(text: &str) -> Vec<Heading> {
        read(text, FileId(0), &mut Sink::new()).outline
    }

    fn anchors(text: &str) -> Vec<String> {
        headings(text).into_iter().map(|heading| heading.anchor).collect()
    }

    #[test]
    fn anchors_are_stable_and_unique() {
        assert_eq!(anchors("# The falls\n\n## Pull, in *N*!\n"), ["s-the-falls", "s-pull-in-n"]);
        assert_eq!(anchors("# Load\n# Load\n# Load 2\n# Load\n"), ["s-load", "s-load-2", "s-load-2-2", "s-load-3"]);
        assert_eq!(anchors("# a {#Slip-way}\n# b {#slip way}\n# \n# <i>\n"), ["s-slip-way", "s-slip", "s-section", "s-section-2"]);
        assert_eq!(anchors("# Größe µ\n"), ["s-größe-µ"]);
        let odd = anchors("# x\" onload=\"f()\n# y {#\"onload=\"f()}\n");
        assert!(odd.concat().chars().all(|c| c.is_alphanumeric() || c == '-'), "{odd:?}");
    }

    #[test]
    fn headings_are_plain_text() {
        let found = headings("A `b` *c*\nd `rig e as kN` $x^2$ {#f}\n===\n\n###### g ######\n\n> ## h\n");
        let texts: Vec<(u8, &str)> = found.iter().map(|heading| (heading.level, heading.text.as_str())).collect();
        assert_eq!(texts, [(1, "A b c d e as kN x^2"), (6, "g"), (2, "h")]);
    }

    #[test]
    fn links_within_the_document_find_their_heading() {
        let document = read("# Load\n\n[a](#load) [b](#other) <i id=\"other\">x</i>\n", FileId(0), &mut Sink::new());
        let page = format!("{:?}", document.pieces);
        for part in ["href=\\\"#s-load\\\"", "href=\\\"#s-other\\\"", "id=\\\"s-other\\\""] {
            assert!(page.contains(part), "{part} in {page}");
        }
    }
}
