//! Who may ask, and for what: the secret part of every address, the hosts and origins that are answered, the routes.

use std::fmt::Write;

/// What is wanted of the board.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Wanted {
    /// The address to begin at.
    Home,
    /// The page of this name.
    Page(String),
    /// To be told when the page of this name changes.
    News(String),
    /// The generation, and which pages there are.
    State,
}

/// A word that only this run and whoever it was shown to can know: 128 bits from the system's source of chance.
#[derive(Debug, Clone)]
pub(super) struct Token(String);

impl Token {
    /// A new one; none when the system gives no random bytes.
    pub(super) fn new() -> Option<Self> {
        let mut bytes = [0_u8; 16];
        getrandom::fill(&mut bytes).ok()?;
        let mut text = String::with_capacity(32);
        for byte in bytes {
            // Writing into a string cannot fail.
            let _ = write!(text, "{byte:02x}");
        }
        Some(Token(text))
    }

    /// It as it stands in an address.
    pub(super) fn text(&self) -> &str {
        &self.0
    }

    // Takes the same time wherever the first wrong letter stands.
    fn is(&self, word: &str) -> bool {
        let differences = self.0.bytes().zip(word.bytes()).fold(0, |sum, (a, b)| sum | (a ^ b));
        self.0.len() == word.len() && differences == 0
    }
}

/// Whether a request is meant for this machine: a name of the loopback with our port. A page from elsewhere whose name
/// has been made to point here sends its own name.
pub(super) fn is_own_host(host: &str, port: u16) -> bool {
    ["127.0.0.1", "localhost"]
        .iter()
        .any(|name| host.strip_prefix(name).and_then(|rest| rest.strip_prefix(':')) == Some(port.to_string().as_str()))
}

/// Whether a request was made by a page of ours.
pub(super) fn is_own_origin(origin: &str, port: u16) -> bool {
    origin.strip_prefix("http://").is_some_and(|host| is_own_host(host, port))
}

/// What `path` asks for; none for anything but the routes of this run.
pub(super) fn wanted(path: &str, token: &Token) -> Option<Wanted> {
    let rest = path.strip_prefix('/')?;
    let (word, rest) = rest.split_once('/').unwrap_or((rest, ""));
    if !token.is(word) {
        return None;
    }
    match rest.split_once('/') {
        Some(("sheets", name)) => named(name).map(Wanted::Page),
        Some(("news", name)) => named(name).map(Wanted::News),
        None if rest.is_empty() => Some(Wanted::Home),
        None if rest == "state" => Some(Wanted::State),
        _ => None,
    }
}

// The name of a page as the board knows it. Nothing is ever looked up on disk by it.
fn named(address: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(address.len());
    let mut rest = address.as_bytes();
    while let Some((byte, after)) = rest.split_first() {
        if *byte == b'%' {
            let (digits, beyond) = after.split_at_checked(2)?;
            bytes.push(u8::from_str_radix(std::str::from_utf8(digits).ok()?, 16).ok()?);
            rest = beyond;
        } else {
            bytes.push(*byte);
            rest = after;
        }
    }
    String::from_utf8(bytes).ok().filter(|name| !name.is_empty())
}

#[cfg(test)]
mod tests {
    use super::{Token, Wanted, is_own_host, is_own_origin, wanted};

    #[test]
    fn a_token_is_long_and_never_the_same() {
        let (one, two) = (Token::new().expect("entropy"), Token::new().expect("entropy"));
        assert!(one.text().len() == 32 && one.text() != two.text());
        assert!(one.is(one.text()) && !one.is(two.text()) && !one.is("") && !one.is(&one.text()[..31]));
    }

    #[test]
    fn only_names_of_the_loopback_with_the_port_are_ours() {
        for host in ["127.0.0.1:4000", "localhost:4000"] {
            assert!(is_own_host(host, 4000) && is_own_origin(&format!("http://{host}"), 4000), "{host}");
        }
        for host in [
            "127.0.0.1",
            "localhost",
            "127.0.0.1:4001",
            "127.0.0.1.example:4000",
            "yard.example:4000",
            "0.0.0.0:4000",
            "127.0.0.1:40000",
            "",
        ] {
            assert!(!is_own_host(host, 4000) && !is_own_origin(&format!("http://{host}"), 4000), "{host}");
        }
        assert!(!is_own_origin("null", 4000) && !is_own_origin("https://localhost:4000", 4000));
    }

    #[test]
    fn routes_begin_with_the_token_and_names_are_decoded_once() {
        let token = Token::new().expect("entropy");
        let ask = |rest: &str| wanted(&format!("/{}{rest}", token.text()), &token);
        assert_eq!(ask(""), Some(Wanted::Home));
        assert_eq!(ask("/"), Some(Wanted::Home));
        assert_eq!(ask("/state"), Some(Wanted::State));
        assert_eq!(ask("/sheets/a%20b/c.html"), Some(Wanted::Page("a b/c.html".into())));
        assert_eq!(ask("/sheets/%2525.html"), Some(Wanted::Page("%25.html".into())));
        assert_eq!(ask("/news/a.html"), Some(Wanted::News("a.html".into())));
        for wrong in ["/sheets", "/sheets/", "/sheets/%", "/sheets/%zz", "/sheets/%ff", "/other", "/state/x", "//state", "x"] {
            assert_eq!(ask(wrong), None, "{wrong}");
        }
        assert_eq!(wanted("/sheets/a.html", &token), None);
        assert_eq!(wanted("", &token), None);
    }
}
