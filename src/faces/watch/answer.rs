//! Answers as they go out: the page with what it needs to stay up to date, its policy, and plain refusals.

use crate::faces::watch::board::{Board, Page, as_sent};
use crate::faces::watch::link::Token;
use crate::faces::watch::serve::Sent;
use crate::words::{Language, template_in};
use hyper::body::Bytes;
use hyper::header::{CACHE_CONTROL, CONTENT_SECURITY_POLICY, CONTENT_TYPE, HeaderValue, LOCATION, REFERRER_POLICY};
use hyper::{Response, StatusCode};
use serde_json::json;
use std::sync::LazyLock;

/// What a page is given only while it is served.
const SCRIPT: &str = include_str!("live.js");
/// The script in the language of an English and of a German page.
static SPOKEN: [LazyLock<String>; 2] =
    [LazyLock::new(|| template_in(Language::English, SCRIPT)), LazyLock::new(|| template_in(Language::German, SCRIPT))];
const STYLE: &str = include_str!("live.css");
/// From how many bytes on a page is a long one: what is out of sight need not be laid out then.
const LONG: usize = 2 << 20;
/// What it is given besides. What is out of sight is still found by its words and by links, and is printed.
const LONG_STYLE: &str = include_str!("long.css");

/// Why a request is not answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Refusal {
    /// It was meant for a host of another name.
    Host,
    /// A page from elsewhere made it.
    Origin,
    /// It wants to do something other than read.
    Method,
    /// It carries something.
    Body,
    /// There is nothing here by that address.
    Unknown,
}

/// The refusal in its status and one line of words; it tells nothing about what there is.
pub(super) fn refusal(refused: Refusal) -> Response<Sent> {
    match refused {
        Refusal::Host => plain(StatusCode::MISDIRECTED_REQUEST, "this answers on 127.0.0.1 and localhost alone\n"),
        Refusal::Origin => plain(StatusCode::FORBIDDEN, "pages from elsewhere are not answered\n"),
        Refusal::Method => plain(StatusCode::METHOD_NOT_ALLOWED, "pages can only be read here\n"),
        Refusal::Body => plain(StatusCode::PAYLOAD_TOO_LARGE, "a request carries nothing here\n"),
        Refusal::Unknown => plain(StatusCode::NOT_FOUND, "nothing is here; the whole address stands on the terminal\n"),
    }
}

/// One line of text.
pub(super) fn plain(status: StatusCode, words: &'static str) -> Response<Sent> {
    sent(status, "text/plain; charset=utf-8", Sent::Whole(Some(Bytes::from_static(words.as_bytes()))))
}

/// Sends the reader on to the first page.
pub(super) fn turned_to(board: &Board) -> Response<Sent> {
    let mut response = plain(StatusCode::SEE_OTHER, "the pages begin elsewhere\n");
    if let Ok(place) = HeaderValue::from_str(&format!("/{}/sheets/{}", board.token.text(), board.home)) {
        response.headers_mut().insert(LOCATION, place);
    }
    response
}

/// The generation and the pages, for another program to read.
pub(super) fn state(board: &Board) -> Response<Sent> {
    let (generation, pages) = board.state();
    let pages: Vec<_> =
        pages.into_iter().map(|(name, changed, errors)| json!({ "page": name, "generation": changed, "errors": errors })).collect();
    let text = format!("{}\n", json!({ "generation": generation, "pages": pages }));
    sent(StatusCode::OK, "application/json", Sent::Whole(Some(Bytes::from(text))))
}

/// The beginning of a stream.
pub(super) fn news(stream: Sent) -> Response<Sent> {
    sent(StatusCode::OK, "text/event-stream", stream)
}

/// What makes the page `name` of the one that a reader holds since the generation `held`; none where that is not the one before, or
/// a banner stands over either.
pub(super) fn renewal(board: &Board, name: &str, held: u64) -> Option<Response<Sent>> {
    let page = board.page(name)?;
    let ((since, before), shown) = (page.before?, page.shown?);
    if since != held || !before.banner.is_empty() || !shown.banner.is_empty() {
        return None;
    }
    let changes = page.changes.or_else(|| as_sent(&before.html, &shown.html))?;
    let mut response = sent(StatusCode::OK, "application/json", Sent::Whole(Some(changes)));
    response.headers_mut().insert("parbuckle-generation", HeaderValue::from(page.changed));
    Some(response)
}

/// The page `name` with its script; where there is none, a page that waits for it.
pub(super) fn page(board: &Board, name: &str, host: &str) -> Response<Sent> {
    // 128 bits, like the token, and for this answer alone.
    let Some(nonce) = Token::new() else {
        return plain(StatusCode::INTERNAL_SERVER_ERROR, "the system gives no random bytes\n");
    };
    let page = board.page(name);
    let changed = page.as_ref().map_or(0, |page| page.changed);
    let place = crate::output::address(name);
    let (status, html) = match page {
        Some(Page { shown: Some(shown), .. }) => {
            let script = script(spoken(&shown.html), board.token.text(), &place, changed, nonce.text());
            (StatusCode::OK, served(&shown.html, &shown.banner, &script))
        }
        _ => {
            let script = script(spoken(ABSENT), board.token.text(), &place, changed, nonce.text());
            (StatusCode::NOT_FOUND, served(ABSENT, "", &script))
        }
    };
    let policy = format!(
        "default-src 'none'; script-src 'nonce-{}' {}; connect-src http://{host}/{}/; style-src 'unsafe-inline'; img-src data:; \
         base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
        nonce.text(),
        crate::output::script_sources(),
        board.token.text()
    );
    let mut response = sent(status, "text/html; charset=utf-8", Sent::Whole(Some(Bytes::from(html))));
    let headers = response.headers_mut();
    if let Ok(policy) = HeaderValue::from_str(&policy) {
        headers.insert(CONTENT_SECURITY_POLICY, policy);
    }
    headers.insert("parbuckle-generation", HeaderValue::from(changed));
    response
}

const ABSENT: &str = "<!DOCTYPE html>\n<html lang=\"en\">\n<head><meta charset=\"utf-8\"><title>No sheet here</title></head>\n\
<body>\n<main><h1>No sheet here</h1><p>As soon as there is one by this name, it shows in this place.</p></main>\n</body>\n</html>\n";

fn sent(status: StatusCode, kind: &'static str, body: Sent) -> Response<Sent> {
    let mut response = Response::new(body);
    *response.status_mut() = status;
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static(kind));
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    headers.insert(REFERRER_POLICY, HeaderValue::from_static("no-referrer"));
    for (name, value) in [
        ("x-content-type-options", "nosniff"),
        ("x-frame-options", "DENY"),
        ("cross-origin-resource-policy", "same-origin"),
        ("cross-origin-opener-policy", "same-origin"),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}

// Everything that goes into the tag is made of letters, digits and what an address is written with.
fn script(script: &str, token: &str, place: &str, generation: u64, nonce: &str) -> String {
    format!(
        "<script data-live nonce=\"{nonce}\" data-base=\"/{token}\" data-place=\"{place}\" data-generation=\"{generation}\">\n{script}</script>\n"
    )
}

// The script in the language of `html`.
fn spoken(html: &str) -> &'static str {
    let [english, german] = &SPOKEN;
    let german_page = html.get(..64).unwrap_or(html).contains("<html lang=\"de\"");
    if german_page { german } else { english }
}

// The page with what it is given while it is served. Its own policy lets no script run but its own, so it goes; a
// stricter one, but for our two, is in the answer's head.
fn served(html: &str, banner: &str, script: &str) -> String {
    let (head, rest) = html.split_once("</head>").unwrap_or(("", html));
    let head = match head.split_once("<meta http-equiv=\"Content-Security-Policy\"") {
        Some((before, after)) => format!("{before}{}", after.split_once('>').map_or("", |(_, after)| after.trim_start())),
        None => head.to_string(),
    };
    let (before, body) = rest.split_once("<body>").unwrap_or(("", rest));
    let (body, end) = body.rsplit_once("</body>").unwrap_or((body, ""));
    let long = if html.len() > LONG { LONG_STYLE } else { "" };
    [&head, "<style data-live>\n", STYLE, long, "</style>\n</head>", before, "<body>", banner, body, script, "</body>", end].concat()
}

#[cfg(test)]
mod tests {
    use super::{served, spoken};

    #[test]
    fn a_page_is_kept_up_to_date_in_its_own_language() {
        let (english, german) = (spoken("<!DOCTYPE html>\n<html lang=\"en\">"), spoken("<!DOCTYPE html>\n<html lang=\"de\">"));
        assert!(english.contains("{count} numbers have changed") && german.contains("{count} Zahlen haben sich geändert"));
        assert!(!english.contains("[[") && !german.contains("[["), "a text without its row in the table");
    }

    #[test]
    fn what_a_page_is_given_stands_in_its_place_and_the_rest_stays_as_it_is() {
        let page = "<!DOCTYPE html>\n<html>\n<head>\n<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'\">\n<title>a</title>\n</head>\n<body>\n<p>&lt;/head&gt;</p>\n</body>\n</html>\n";
        let made = served(page, "<aside></aside>", "<script></script>");
        let (head, rest) = made.split_once("<style data-live>").expect("the style");
        assert_eq!(head, "<!DOCTYPE html>\n<html>\n<head>\n<title>a</title>\n");
        let rest = rest.split_once("</style>\n").expect("its end").1;
        assert_eq!(rest, "</head>\n<body><aside></aside>\n<p>&lt;/head&gt;</p>\n<script></script></body>\n</html>\n");
    }
}
