//! Texts of another language than the page's, marked where they come onto a sheet, so that a page can say their language to
//! whoever reads it aloud (WCAG 2.2, 3.1.2). A mark stands within the text, for such texts become parts of our own sentences.
//!
//! The marks are noncharacters of Unicode, which are kept for the inside of a program (23.7 of the standard): [`spoken`] makes
//! elements of them when a page is finished, [`unmarked`] takes them out of whatever is no page.

use crate::source::Tag;
use crate::words::voice;
use std::borrow::Cow;

/// Opens what the author of the sheet has written.
const AUTHOR: char = '\u{FDD0}';
/// Opens what stands in English in a document of a kind, or in a finding.
const ENGLISH: char = '\u{FDD1}';
/// Closes either.
const END: char = '\u{FDD2}';

/// `text` as its author wrote it, marked where that is in another language than the page.
pub fn theirs(text: &str) -> String {
    marked(text, AUTHOR, voice().author)
}

/// An English `text` of ours that there is in no other language: of a kind, or of a finding.
pub fn in_english(text: &str) -> String {
    marked(text, ENGLISH, Tag::ENGLISH)
}

/// The attribute that says the language of an element that holds nothing but what the author wrote; empty where that is the
/// language of the page.
pub fn lang_of_author() -> String {
    lang(voice().author)
}

/// The same for what is in English.
pub fn lang_of_english() -> String {
    lang(Tag::ENGLISH)
}

fn lang(tag: Tag) -> String {
    if tag.is_like(&voice().language.tag()) { String::new() } else { format!(" lang=\"{}\"", tag.as_str()) }
}

fn marked(text: &str, mark: char, tag: Tag) -> String {
    // A text without a letter is of no language.
    if tag.is_like(&voice().language.tag()) || !text.contains(char::is_alphabetic) {
        return text.to_string();
    }
    let inner = unmarked(text);
    format!("{mark}{inner}{END}")
}

fn is_mark(letter: char) -> bool {
    matches!(letter, AUTHOR | ENGLISH | END)
}

/// Whether `text` holds a mark. Most texts, whole pages above all, do not even hold the byte that each begins with: that is
/// sought first, many bytes at once.
fn is_marked(text: &str) -> bool {
    let begins = |bytes: &[u8]| bytes.iter().fold(false, |found, byte| found | (*byte == 0xEF));
    text.as_bytes().chunks(256).any(begins) && text.contains(is_mark)
}

/// `text` without marks.
pub fn unmarked(text: &str) -> Cow<'_, str> {
    if is_marked(text) { Cow::Owned(text.replace(is_mark, "")) } else { Cow::Borrowed(text) }
}

/// Elements within which a mark becomes nothing: they hold no elements of a page, or say their language themselves.
const CLOSED: [&str; 7] = ["style", "script", "title", "svg", "math", "option", "textarea"];

/// Elements that may stand within a marked text: what its backticks have become.
const WITHIN: [&str; 3] = ["code", "span", "bdi"];

/// A finished page with an element for each marked text. Whatever stands in it, what is opened is closed.
pub fn spoken(page: String) -> String {
    if !is_marked(&page) {
        return page;
    }
    let author = voice().author;
    let mut out = String::with_capacity(page.len() + 4096);
    let mut rest = page.as_str();
    // Whether an element of ours is open, and how many were opened within it.
    let (mut open, mut within) = (false, 0_usize);
    while let Some(at) = rest.find(|letter| letter == '<' || is_mark(letter)) {
        let (before, found) = rest.split_at(at);
        out.push_str(before);
        let letter = found.chars().next().unwrap_or('<');
        if is_mark(letter) {
            rest = found.get(letter.len_utf8()..).unwrap_or("");
            if open && within == 0 {
                out.push_str("</span>");
                open = false;
            }
            if letter != END && !open {
                let tag = if letter == AUTHOR { author } else { Tag::ENGLISH };
                out.push_str(&format!("<span lang=\"{}\">", tag.as_str()));
                (open, within) = (true, 0);
            }
            continue;
        }
        let end = end_of_tag(found);
        let (tag, after) = found.split_at(end);
        let closes = tag.starts_with("</");
        let name: String = tag.trim_start_matches(['<', '/']).chars().take_while(char::is_ascii_alphanumeric).collect();
        if open {
            let fits = WITHIN.contains(&name.as_str()) && (!closes || within > 0);
            within = match (fits, closes) {
                (true, true) => within - 1,
                (true, false) => within + 1,
                (false, _) => 0,
            };
            if !fits {
                out.push_str("</span>");
                open = false;
            }
        }
        out.push_str(&unmarked(tag));
        rest = after;
        if !closes && CLOSED.contains(&name.as_str()) && !tag.ends_with("/>") {
            let length = rest.find(&format!("</{name}")).unwrap_or(rest.len());
            let (inside, after) = rest.split_at(length);
            out.push_str(&unmarked(inside));
            rest = after;
        }
    }
    out.push_str(rest);
    if open {
        out.push_str("</span>");
    }
    out
}

// Past the `>` of the tag at the front; one within quotation marks ends nothing.
fn end_of_tag(text: &str) -> usize {
    if text.starts_with("<!--") {
        return text.find("-->").map_or(text.len(), |at| at + 3);
    }
    let mut quoted = None;
    for (at, letter) in text.char_indices() {
        match (quoted, letter) {
            (None, '>') => return at + 1,
            (None, '"' | '\'') => quoted = Some(letter),
            (Some(mark), letter) if mark == letter => quoted = None,
            _ => {}
        }
    }
    text.len()
}

#[cfg(test)]
mod tests {
    use super::{in_english, lang_of_author, spoken, theirs, unmarked};
    use crate::source::Tag;
    use crate::words::{Language, Voice, speaking};

    #[test]
    fn what_is_in_the_language_of_the_page_is_not_marked() {
        assert_eq!((theirs("slip"), in_english("slip"), lang_of_author()), ("slip".into(), "slip".into(), String::new()));
        let german = Voice { language: Language::German, author: Tag::GERMAN, ..Voice::default() };
        speaking(german, || {
            assert_eq!(theirs("Rampe"), "Rampe");
            assert_eq!(spoken(in_english("slope")), "<span lang=\"en\">slope</span>");
            assert_eq!(in_english("12.5 %"), "12.5 %", "what has no letter has no language");
        });
    }

    #[test]
    fn a_mark_becomes_an_element_in_a_text_and_nothing_elsewhere() {
        let voice = Voice { language: Language::German, author: Tag::read("pt-BR").expect("a tag"), ..Voice::default() };
        speaking(voice, || {
            let rope = theirs("corda `x`").replace("`x`", "<code>x</code>");
            let page = format!("<title>{rope}</title><p title=\"{rope} > 1\">Grenze von {rope}: 3<p>{rope}<svg><text>{rope}</text></svg>");
            let code = "corda <code>x</code>";
            let span = format!("<span lang=\"pt-BR\">{code}</span>");
            assert_eq!(
                spoken(page),
                format!("<title>{code}</title><p title=\"{code} > 1\">Grenze von {span}: 3<p>{span}<svg><text>{code}</text></svg>")
            );
            assert_eq!(unmarked(&theirs("corda")), "corda");
        });
    }

    #[test]
    fn what_is_opened_is_closed_whatever_a_document_says() {
        let voice = Voice { language: Language::German, author: Tag::ENGLISH, ..Voice::default() };
        speaking(voice, || {
            assert_eq!(theirs("a\u{FDD0}b\u{FDD2}c"), "\u{FDD0}abc\u{FDD2}", "marks of a document are none");
            for (page, told) in [
                ("<p>\u{FDD0}a</p>", "<p><span lang=\"en\">a</span></p>"),
                ("<p>a\u{FDD2}</p>", "<p>a</p>"),
                ("<b>\u{FDD0}a<span>b</b></span>\u{FDD2}", "<b><span lang=\"en\">a<span>b</span></b></span>"),
                ("\u{FDD0}a\u{FDD1}b\u{FDD2}\u{FDD2}", "<span lang=\"en\">a</span><span lang=\"en\">b</span>"),
            ] {
                assert_eq!(spoken(page.to_string()), told);
            }
        });
    }
}
