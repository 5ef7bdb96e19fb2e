//! Where links and images may lead. The same answers hold for Markdown and for raw HTML.

use crate::document::outline::{Anchors, PREFIX};

// Schemes (RFC 3986, 3.1) that a reader may follow from a sheet. Everything else could run, or could look like text.
const FOLLOWED: [&str; 4] = ["http", "https", "mailto", "tel"];
// Pictures that carry their own bytes and cannot carry a script.
const PICTURES: [&str; 4] = ["data:image/png;base64,", "data:image/jpeg;base64,", "data:image/gif;base64,", "data:image/webp;base64,"];

/// Where an image comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Picture {
    /// From beside the sheet, or from the address itself.
    Kept,
    /// From another machine.
    Remote,
    /// By a scheme that is not followed.
    Refused,
}

/// The scheme of `url`, in lower case. A browser leaves out tabs and line ends and skips blanks in front; so do we.
pub(super) fn scheme(url: &str) -> Option<String> {
    let url: String = url.chars().filter(|c| !matches!(c, '\t' | '\n' | '\r')).collect();
    let url = url.trim_start_matches(|c: char| c <= ' ');
    let end = url.find(['/', '?', '#', ':'])?;
    url.get(end..)?.starts_with(':').then(|| url.get(..end).unwrap_or("").to_lowercase())
}

/// What to write as the target of a link to `url`; none when it must not be followed. A link to another sheet's
/// source leads to its page, and a place named there or here is an anchor of the prose.
pub(super) fn target(url: &str, anchors: &Anchors) -> Option<String> {
    if let Some(scheme) = scheme(url) {
        return FOLLOWED.contains(&scheme.as_str()).then(|| url.to_string());
    }
    let (rest, place) = url.split_once('#').map_or((url, None), |(rest, place)| (rest, Some(place)));
    let (path, query) = rest.split_once('?').map_or((rest, None), |(path, query)| (path, Some(query)));
    let sheet = path.strip_suffix(".md").filter(|_| !path.starts_with("//"));
    let mut out = sheet.map_or_else(|| path.to_string(), |stem| format!("{stem}.html"));
    if let Some(query) = query {
        out.push('?');
        out.push_str(query);
    }
    if let Some(place) = place {
        let here = rest.is_empty() && anchors.has(&format!("{PREFIX}{place}"));
        let there = sheet.is_some() && !place.is_empty() && !place.starts_with(PREFIX);
        out.push('#');
        if here || there {
            out.push_str(PREFIX);
        }
        out.push_str(place);
    }
    Some(out)
}

/// Where the image at `url` comes from.
pub(super) fn picture(url: &str) -> Picture {
    let trimmed = url.trim_start_matches(|c: char| c <= ' ');
    match scheme(url).as_deref() {
        Some("http" | "https") => Picture::Remote,
        Some(_) if PICTURES.iter().any(|start| trimmed.starts_with(start)) => Picture::Kept,
        Some(_) => Picture::Refused,
        // Browsers read a backslash in an address as a slash.
        None if trimmed.replace('\\', "/").starts_with("//") => Picture::Remote,
        None => Picture::Kept,
    }
}

#[cfg(test)]
mod tests {
    use super::{Picture, picture, target};
    use crate::document::outline::Anchors;

    // Spellings that browsers read as `javascript:` (WHATWG URL Standard, 4.4: leading control characters and blanks, tabs
    // and line ends anywhere), and other schemes that run or hide something.
    #[test]
    fn what_could_run_is_not_followed() {
        let anchors = Anchors::default();
        for url in [
            "javascript:alert(1)",
            "JaVaScRiPt:x",
            " javascript:x",
            "\u{1}javascript:x",
            "java\tscript:x",
            "java\nscript:x",
            "vbscript:x",
            "data:text/html;base64,PHNjcmlwdD4=",
            "file:///etc/passwd",
            "blob:x",
            "about:blank",
            "javascript&colon;:x",
            ":x",
        ] {
            assert_eq!(target(url, &anchors), None, "{url:?}");
        }
    }

    #[test]
    fn what_may_be_followed_is() {
        let anchors = Anchors::default();
        for url in [
            "https://example.org/a.md#b",
            "http://h",
            "mailto:a@example.org",
            "tel:+1",
            "a.html",
            "../a/b",
            "#x",
            "?q=a:b",
            "a/b:c",
            "//h/a.md",
            "",
        ] {
            assert_eq!(target(url, &anchors).as_deref(), Some(url));
        }
        for (url, to) in [
            ("a.md", "a.html"),
            ("../a.md#pull", "../a.html#s-pull"),
            ("a.md#s-pull", "a.html#s-pull"),
            ("a.md?x=1#", "a.html?x=1#"),
            ("a.mdx", "a.mdx"),
        ] {
            assert_eq!(target(url, &anchors).as_deref(), Some(to));
        }
    }

    #[test]
    fn pictures_come_from_beside_the_sheet() {
        for url in ["a.png", "../a.svg", "data:image/png;base64,iVBO"] {
            assert_eq!(picture(url), Picture::Kept, "{url}");
        }
        for url in ["http://h/a.png", "HTTPS://h/a.png", "//h/a.png", "\\\\h\\a.png", "/\\h/a.png"] {
            assert_eq!(picture(url), Picture::Remote, "{url}");
        }
        for url in ["javascript:x", "data:image/svg+xml,<svg onload=x>", "data:text/html,x", "ftp://h/a.png"] {
            assert_eq!(picture(url), Picture::Refused, "{url}");
        }
    }
}
