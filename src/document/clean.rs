//! Raw HTML made fit for a page: what may stay is named here, all else goes.
//!
//! The page is cleaned as a whole, so that a tag opened in one place and closed in another survives. What the cleaner
//! must not touch (values, fences, formulas) stands in it as marks, see [`Mark`].

use crate::document::links::{self, Picture};
use crate::document::outline::{Anchors, PREFIX};
use ammonia::Builder;
use std::borrow::Cow;
use std::collections::BTreeSet;

// Elements may stand this deep inside each other in raw HTML, and a tag may have this many words. Beyond either the
// cleaner's work grows with the square of the text.
const DEEPEST: usize = 256;
const WORDS: usize = 5000;
// The classes that our own prose uses; an author's classes could make a sentence look like a verdict.
const CLASSES: [&str; 9] =
    ["align-left", "align-center", "align-right", "continued", "footnote", "footnote-mark", "footnote-back", "refused", "unread"];
// Tags that stand alone, and tags whose end may be left out: neither adds to the depth.
pub(super) const ALONE: [&str; 9] = ["area", "br", "col", "hr", "img", "input", "link", "meta", "wbr"];
const IMPLIED: [&str; 9] = ["p", "li", "dt", "dd", "td", "th", "tr", "tbody", "thead"];

/// The character that fences off a mark: one that the document can produce in no way, so that no text can pass for a
/// mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Mark(pub(super) char);

impl Mark {
    /// Finds a character for `source`: for private use, neither written in it nor named by a character reference.
    pub(super) fn new(source: &str) -> Self {
        // Most documents hold no letter as high as that, nor name one.
        let high = |part: &[u8]| part.iter().fold(0, |highest: u8, byte| highest.max(*byte)) >= 0xEE;
        let named = || source.match_indices('&').any(|(at, _)| source.as_bytes().get(at + 1) == Some(&b'#'));
        if !source.as_bytes().chunks(256).any(high) && !named() {
            return Mark('\u{E000}');
        }
        let mut taken: BTreeSet<u32> = source.chars().map(u32::from).filter(|code| *code >= 0xE000).collect();
        for reference in source.split("&#").skip(1) {
            let (radix, digits) = match reference.strip_prefix(['x', 'X']) {
                Some(digits) => (16, digits),
                None => (10, reference),
            };
            let end = digits.find(|c: char| !c.is_digit(radix)).unwrap_or(digits.len());
            let digits = digits.get(..end).unwrap_or("").trim_start_matches('0');
            taken.extend(u32::from_str_radix(digits, radix).ok());
        }
        let free = ('\u{E000}'..='\u{F8FF}').chain('\u{F0000}'..='\u{FFFFD}').chain('\u{100000}'..='\u{10FFFD}');
        // A file would have to be larger than a sheet may be to name all of them.
        Mark(free.into_iter().find(|c| !taken.contains(&u32::from(*c))).unwrap_or('\u{10FFFD}'))
    }
}

/// Whether raw HTML is nested or stuffed beyond what is worth cleaning.
pub(super) fn is_tangled(raw: &str) -> bool {
    let mut open: Vec<Cow<'_, str>> = Vec::new();
    for tag in raw.split('<').skip(1) {
        if tag.split_whitespace().take(WORDS + 1).count() > WORDS {
            return true;
        }
        let name = tag_name(tag);
        if tag.starts_with('/') {
            if open.last() == Some(&name) {
                open.pop();
            }
        } else if !name.is_empty() && !ALONE.contains(&&*name) && !IMPLIED.contains(&&*name) {
            open.push(name);
        }
        if open.len() > DEEPEST {
            return true;
        }
    }
    false
}

/// The name in `tag`, the text behind a `<`; empty when that opens no tag.
pub(super) fn tag_name(tag: &str) -> Cow<'_, str> {
    let tag = tag.strip_prefix('/').unwrap_or(tag);
    if !tag.as_bytes().first().is_some_and(u8::is_ascii_alphabetic) {
        return Cow::Borrowed("");
    }
    let end = tag.bytes().take_while(|byte| byte.is_ascii_alphanumeric() || *byte == b'-').count();
    let name = tag.get(..end).unwrap_or("");
    if name.bytes().any(|byte| byte.is_ascii_uppercase()) { name.to_lowercase().into() } else { name.into() }
}

/// The first tag in `raw` that does not stay.
pub(super) fn removed_tag(raw: &str) -> Option<String> {
    let kept = Builder::default().clone_tags();
    let opened = raw.split('<').skip(1).filter(|tag| !tag.starts_with('/'));
    opened.map(tag_name).find(|name| !name.is_empty() && name != "input" && !kept.contains(&**name)).map(Cow::into_owned)
}

/// The address of the first image in `raw` that another machine would have to send.
pub(super) fn remote_image(raw: &str) -> Option<String> {
    let mut images = raw.split('<').skip(1).filter(|tag| tag_name(tag) == "img").flat_map(|tag| values(tag, "src"));
    images.find(|source| links::picture(source) == Picture::Remote).map(str::to_string)
}

/// The page with everything taken out of it that may not stay. None when it would not be read the same again.
///
/// Where an element between two others has gone, these may no longer stand inside each other, and some misplaced tags
/// make a page that no text can be written for. A browser would then see another page than the one that was cleaned.
pub(super) fn settled(html: &str, anchors: &Anchors) -> Option<String> {
    let mut page = clean(html, anchors);
    for _ in 0..2 {
        let again = clean(&page, anchors);
        if again == page {
            return Some(page);
        }
        page = again;
    }
    None
}

fn clean(html: &str, anchors: &Anchors) -> String {
    let anchors = anchors.clone();
    let mut cleaner = Builder::default();
    cleaner
        .add_tags(["input"])
        .add_generic_attributes(["class", "id"])
        .add_tag_attributes("a", ["aria-label"])
        .add_tag_attributes("input", ["checked"])
        .set_tag_attribute_value("input", "type", "checkbox")
        .set_tag_attribute_value("input", "disabled", "")
        .url_schemes(["http", "https", "mailto", "tel", "data"].into())
        .link_rel(None)
        .id_prefix(Some(PREFIX))
        .attribute_filter(move |tag, name, value| attribute(tag, name, value, &anchors));
    cleaner.clean(html).to_string()
}

fn attribute<'v>(tag: &str, name: &str, value: &'v str, anchors: &Anchors) -> Option<Cow<'v, str>> {
    match (tag, name) {
        (_, "class") => (CLASSES.contains(&value) || is_language(value)).then_some(value.into()),
        ("img", "src") => (links::picture(value) == Picture::Kept).then_some(value.into()),
        (_, "href" | "cite") => links::target(value, anchors).map(Cow::Owned),
        _ => Some(value.into()),
    }
}

/// Whether `class` is that of a listing in some language, as [`language`] writes it.
fn is_language(class: &str) -> bool {
    class.strip_prefix("language-").is_some_and(|word| !word.is_empty() && language(word) == word)
}

/// The word behind a fence, cut down to what may stand in a class.
pub(super) fn language(word: &str) -> String {
    word.chars().take_while(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '+' | '.' | '#')).collect()
}

/// Every `id` written in `raw`.
pub(super) fn identifiers(raw: &str) -> impl Iterator<Item = &str> {
    raw.split('<').skip(1).flat_map(|tag| values(tag, "id"))
}

// What `tag` gives to the attribute `name`. A text that looks like the attribute within another one counts too: this
// serves findings and anchors, not the cleaning.
fn values<'t>(tag: &'t str, name: &'static str) -> impl Iterator<Item = &'t str> {
    tag.match_indices([' ', '\t', '\n', '/', '"', '\'']).filter_map(move |(at, mark)| {
        let rest = tag.get(at + mark.len()..)?;
        let found = rest.get(..name.len())?.eq_ignore_ascii_case(name);
        let value = rest.get(name.len()..)?.trim_start().strip_prefix('=')?.trim_start();
        let value = match value.chars().next()? {
            quote @ ('"' | '\'') => value.get(1..)?.split(quote).next()?,
            _ => value.split([' ', '\t', '\n', '>']).next()?,
        };
        found.then_some(value)
    })
}

#[cfg(test)]
mod tests {
    use super::{Mark, is_tangled, remote_image, settled};
    use crate::document::outline::Anchors;

    // Ways of running a script or dressing up a sentence that are published over and over (in the manner of the OWASP
    // cross-site scripting sheets; from memory).
    #[test]
    fn nothing_runs_and_nothing_dresses_up() {
        for raw in [
            "<img src=x onerror=alert(1)>",
            "<svg/onload=alert(1)>",
            "<iframe src=\"javascript:alert(1)\"></iframe>",
            "<a href=\" &#106;avascript:alert(1)\">x</a>",
            "<a href=\"java&#x0A;script:alert(1)\">x</a>",
            "<style>*{display:none}</style>",
            "<b style=\"background:url(//h/x)\">x</b>",
            "<math><mtext><table><mglyph><style><img src=x onerror=alert(1)>",
            "<form action=\"//h\"><button formaction=\"javascript:alert(1)\">x</button></form>",
            "<base href=\"//h/\">",
            "<object data=\"//h\">",
            "<meta http-equiv=refresh content=\"0;url=//h\">",
            "<link rel=stylesheet href=//h>",
            "<video src=//h onplay=alert(1)>",
            "<p class=\"verdict pass\">x</p>",
            "<noscript><p title=\"</noscript><img src=x onerror=alert(1)>\">",
        ] {
            let html = settled(raw, &Anchors::default()).unwrap_or_default().to_lowercase();
            let tags: String = html.split('<').skip(1).filter_map(|tag| tag.split_once('>')).map(|(tag, _)| format!("<{tag}>")).collect();
            for gone in
                ["alert", "script", "style", "//h", "<form", "<svg", "<iframe", "<base", "<object", "<meta", "<link", "<video", "verdict"]
            {
                let title = gone == "alert" || gone == "script";
                assert!(!tags.contains(gone) || title && tags.contains("title=\""), "{gone} in {html}");
            }
        }
    }

    #[test]
    fn what_sets_text_stays() {
        for (raw, kept) in [
            ("<kbd>a</kbd> <sub>b</sub> <mark>c</mark>", "<kbd>a</kbd> <sub>b</sub> <mark>c</mark>"),
            ("<p id=x class=continued>a</p>", "<p id=\"s-x\" class=\"continued\">a</p>"),
            ("<code class=language-c++>a</code>", "<code class=\"language-c++\">a</code>"),
            ("<details><summary>a</summary>b</details>", "<details><summary>a</summary>b</details>"),
            ("<a href=b.md#c>a</a>", "<a href=\"b.html#s-c\">a</a>"),
            ("a <!-- b --> c", "a  c"),
        ] {
            assert_eq!(settled(raw, &Anchors::default()).as_deref(), Some(kept));
        }
    }

    #[test]
    fn a_mark_is_a_character_the_document_does_not_have() {
        assert_eq!(Mark::new("plain"), Mark('\u{E000}'));
        assert_eq!(Mark::new("\u{E000} &#xE001; &#0057346 &#XE003"), Mark('\u{E004}'));
        let all: String = ('\u{E000}'..='\u{F8FF}').collect();
        assert_eq!(Mark::new(&all), Mark('\u{F0000}'));
    }

    #[test]
    fn tangles_and_remote_images_are_seen() {
        assert!(!is_tangled(&"<p>a".repeat(1000)) && !is_tangled(&"<div></div>".repeat(1000)));
        assert!(is_tangled(&"<div>".repeat(257)) && is_tangled(&"<div></p>".repeat(257)));
        assert_eq!(remote_image("<IMG alt='src=a' SRC = 'http://h/a'>").as_deref(), Some("http://h/a"));
        assert_eq!(remote_image("<img src=//h/a>").as_deref(), Some("//h/a"));
        assert_eq!(remote_image("<img src=a.png><a href=\"http://h\">"), None);
    }
}
