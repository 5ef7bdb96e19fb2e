//! The page's two small scripts, each with the digest by which the policy of its page lets it run and no other. A page says
//! all it has to say without them.

use crate::words::{Language, Voice, speaking, template_in, voice};
use sha2::{Digest, Sha256};
use std::sync::LazyLock;

/// A script as it stands in a page.
#[derive(Debug)]
pub(super) struct Script {
    /// Its text, without comments and indents.
    pub text: String,
    /// Its source in a content security policy: `'sha256-…'` (W3C Content Security Policy Level 3, 2.3.1).
    pub source: String,
}

/// The files they are made of.
pub(super) const SCRIPTS: &[(&str, &str)] =
    &[("trace.js", include_str!("../../templates/trace.js")), ("register.js", include_str!("../../templates/register.js"))];

/// What a number rests on and what rests on it.
pub(super) fn trace() -> &'static Script {
    static TRACE: [LazyLock<Script>; 2] =
        [LazyLock::new(|| made("trace.js", Language::English)), LazyLock::new(|| made("trace.js", Language::German))];
    spoken(&TRACE, voice().language)
}

/// Filter and order of the register of sheets.
pub(super) fn register() -> &'static Script {
    static REGISTER: [LazyLock<Script>; 2] =
        [LazyLock::new(|| made("register.js", Language::English)), LazyLock::new(|| made("register.js", Language::German))];
    spoken(&REGISTER, voice().language)
}

fn spoken(scripts: &'static [LazyLock<Script>; 2], language: Language) -> &'static Script {
    let [english, german] = scripts;
    match language {
        Language::English => english,
        Language::German => german,
    }
}

/// The sources of both in every language, for the policy of a page that is served.
pub fn script_sources() -> String {
    let both = |language| {
        let voice = Voice { language, ..Voice::default() };
        speaking(voice, || format!("{} {}", trace().source, register().source))
    };
    format!("{} {}", both(Language::English), both(Language::German))
}

fn made(name: &str, language: Language) -> Script {
    let written = SCRIPTS.iter().find(|(file, _)| *file == name).map_or("", |(_, text)| text);
    let written = template_in(language, written);
    let lines = written.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with("//"));
    let text = lines.collect::<Vec<_>>().join("\n");
    let source = format!("'sha256-{}'", base64(&Sha256::digest(text.as_bytes())));
    Script { text, source }
}

/// `bytes` as an address that holds them itself (RFC 2397).
pub fn data_address(kind: &str, bytes: &[u8]) -> String {
    format!("data:{kind};base64,{}", base64(bytes))
}

/// Base64 (RFC 4648, section 4).
pub(super) fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::new();
    for three in bytes.chunks(3) {
        let at = |place: usize| u32::from(three.get(place).copied().unwrap_or(0));
        let held = at(0) << 16 | at(1) << 8 | at(2);
        for place in 0..4 {
            let letter = LETTERS.get((held >> (18 - 6 * place) & 63) as usize).copied().unwrap_or(b'=');
            out.push(if place > three.len() { '=' } else { char::from(letter) });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{SCRIPTS, base64, register, trace};
    use sha2::{Digest, Sha256};

    #[test]
    fn base64_and_the_digest_are_as_the_standards_have_them() {
        // RFC 4648, section 10.
        for (bytes, text) in [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foob", "Zm9vYg=="), ("foobar", "Zm9vYmFy")] {
            assert_eq!(base64(bytes.as_bytes()), text);
        }
        // FIPS 180-2, appendix B.1: the digest of "abc", as base64 (by hand from its 64 digits).
        assert_eq!(base64(&Sha256::digest(b"abc")), "ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0=");
    }

    #[test]
    fn scripts_ask_for_nothing_and_cannot_end_their_own_tag() {
        for (name, text) in SCRIPTS {
            for wanted in ["fetch", "XMLHttp", "import", "http", "eval", "innerHTML", "localStorage", "cookie", "</", "<!--"] {
                assert!(!text.contains(wanted), "{name}: {wanted}");
            }
        }
        assert!(trace().text.len() > 1000 && register().text.len() > 500 && trace().source != register().source);
    }
}
