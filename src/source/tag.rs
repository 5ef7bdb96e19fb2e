//! The tag of a language (BCP 47), as a page names the one that a text is in.

use std::fmt;

/// Letters that are kept of a tag: language, script and region, and some to spare.
const MOST: usize = 16;

/// The tag of a language: `en`, `de`, `pt-BR`. Small, so that it goes wherever a text of its language goes.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Tag {
    letters: [u8; MOST],
    length: usize,
}

impl Tag {
    /// English.
    pub const ENGLISH: Tag = Tag::of(b"en");
    /// German.
    pub const GERMAN: Tag = Tag::of(b"de");

    const fn of(text: &[u8]) -> Tag {
        let (mut letters, mut at) = ([0; MOST], 0);
        while at < text.len() && at < MOST {
            letters[at] = text[at];
            at += 1;
        }
        Tag { letters, length: at }
    }

    /// `text` as a tag; none where it has not the form of one: a language of two or three letters, and subtags of letters and
    /// digits behind hyphens (RFC 5646, 2.1).
    pub fn read(text: &str) -> Option<Tag> {
        let mut parts = text.split('-');
        let language = parts.next().filter(|part| (2..=3).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_alphabetic()))?;
        let whole =
            text.len() <= MOST && parts.all(|part| (2..=8).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_alphanumeric()));
        whole.then(|| Tag::of(text.replacen(language, &language.to_ascii_lowercase(), 1).as_bytes()))
    }

    /// The tag in letters.
    pub fn as_str(&self) -> &str {
        self.letters.get(..self.length).and_then(|letters| std::str::from_utf8(letters).ok()).unwrap_or("")
    }

    /// Whether both name one language, whatever its script and region.
    pub fn is_like(&self, other: &Tag) -> bool {
        let language = |tag: &Tag| tag.as_str().split('-').next().map(str::to_string);
        language(self) == language(other)
    }
}

impl fmt::Debug for Tag {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl Default for Tag {
    fn default() -> Tag {
        Tag::ENGLISH
    }
}

#[cfg(test)]
mod tests {
    use super::Tag;

    // Examples of RFC 5646, appendix A, as far as they name a language that is written today.
    #[test]
    fn tags_of_the_standard_are_read_and_other_words_are_not() {
        for text in ["de", "fr", "ja", "zh-Hant", "zh-Hans-CN", "sr-Latn-RS", "de-DE", "en-US", "es-419", "hy-Latn-IT", "ast"] {
            assert_eq!(Tag::read(text).map(|tag| tag.as_str().to_string()).as_deref(), Some(text));
        }
        for text in ["", "e", "deutsch", "de_DE", "de-", "-de", "d3", "de-D", "de DE", "de\"", "zh-Hans-CN-Hans-CN"] {
            assert_eq!(Tag::read(text), None, "{text}");
        }
        assert_eq!(Tag::read("DE"), Some(Tag::GERMAN));
        assert!(Tag::GERMAN.is_like(&Tag::read("de-AT").expect("a tag")) && !Tag::GERMAN.is_like(&Tag::ENGLISH));
    }
}
