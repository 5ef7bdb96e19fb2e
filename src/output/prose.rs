//! The author's prose, which arrives as clean HTML: its paragraphs as plain words for the terminal, and the anchors it
//! already uses.

/// Elements that end a paragraph of plain words.
const BLOCKS: &[&str] = &[
    "p",
    "h1",
    "h2",
    "h3",
    "h4",
    "h5",
    "h6",
    "li",
    "ul",
    "ol",
    "tr",
    "table",
    "blockquote",
    "pre",
    "div",
    "section",
    "figure",
    "hr",
    "dt",
    "dd",
];

/// The paragraphs of `html` as plain words, in order; list items begin with a dash, table cells are kept apart.
pub(super) fn words(html: &str) -> Vec<String> {
    let mut paragraphs = Vec::new();
    let mut words = String::new();
    let mut rest = html;
    while let Some(open) = rest.find('<') {
        let (before, tag) = rest.split_at(open);
        words.push_str(&decoded(before));
        let Some(close) = tag.find('>') else {
            rest = "";
            break;
        };
        let (inside, after) = (tag.get(1..close).unwrap_or(""), tag.get(close + 1..).unwrap_or(""));
        rest = after;
        let name: String =
            inside.trim_start_matches('/').chars().take_while(char::is_ascii_alphanumeric).collect::<String>().to_lowercase();
        if BLOCKS.contains(&name.as_str()) {
            end(&mut words, &mut paragraphs);
            if name == "li" && !inside.starts_with('/') {
                words.push_str("- ");
            }
        } else if name == "br" {
            words.push(' ');
        } else if matches!(name.as_str(), "td" | "th") && !inside.starts_with('/') && !words.trim().is_empty() {
            words.push_str(" | ");
        } else if matches!(name.as_str(), "annotation" | "style" | "script" | "title") && !inside.starts_with('/') {
            // What follows is a second wording of the same thing, or none at all.
            rest = after.find(&format!("</{name}")).and_then(|end| after.get(end..)).unwrap_or("");
        }
    }
    words.push_str(&decoded(rest));
    end(&mut words, &mut paragraphs);
    paragraphs
}

/// `html` cut before each heading of its text, in order; nothing is lost.
pub(super) fn sections(html: &str) -> Vec<String> {
    let mut cuts: Vec<usize> = ["<h1", "<h2", "<h3"].iter().flat_map(|tag| html.match_indices(tag)).map(|(at, _)| at).collect();
    cuts.sort_unstable();
    let mut sections = Vec::new();
    let mut from = 0;
    for cut in cuts.into_iter().chain([html.len()]) {
        let section = html.get(from..cut).unwrap_or("");
        if !section.trim().is_empty() {
            sections.push(section.to_owned());
        }
        from = cut;
    }
    sections
}

/// The level of the last heading in `html`.
pub(super) fn last_heading(html: &str) -> Option<usize> {
    // Most prose has none, which is soon seen.
    if !html.contains("</h") {
        return None;
    }
    let levels = html.match_indices("</h").filter_map(|(at, _)| html.get(at + 3..at + 5)?.strip_suffix('>')?.parse().ok());
    levels.last()
}

fn end(words: &mut String, paragraphs: &mut Vec<String>) {
    let joined = words.split_ascii_whitespace().collect::<Vec<_>>().join(" ");
    if !joined.is_empty() && joined != "-" {
        paragraphs.push(joined);
    }
    words.clear();
}

/// Text with its character references put back into characters.
fn decoded(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(start) = rest.find('&') {
        let (before, reference) = rest.split_at(start);
        out.push_str(before);
        let known = reference.find(';').filter(|end| *end <= 10).and_then(|end| {
            let character = character(reference.get(1..end)?)?;
            Some((character, reference.get(end + 1..)?))
        });
        match known {
            Some((character, after)) => {
                out.push(character);
                rest = after;
            }
            None => {
                out.push('&');
                rest = reference.get(1..).unwrap_or("");
            }
        }
    }
    out.push_str(rest);
    out
}

fn character(name: &str) -> Option<char> {
    match name {
        "amp" => Some('&'),
        "lt" => Some('<'),
        "gt" => Some('>'),
        "quot" => Some('"'),
        "apos" => Some('\''),
        "nbsp" => Some('\u{a0}'),
        _ => {
            let digits = name.strip_prefix('#')?;
            let code = match digits.strip_prefix(['x', 'X']) {
                Some(hexadecimal) => u32::from_str_radix(hexadecimal, 16).ok()?,
                None => digits.parse().ok()?,
            };
            char::from_u32(code)
        }
    }
}

/// The values of the `id` attributes in `html`, in order.
pub(super) fn anchors(html: &str) -> Vec<String> {
    if !html.contains(" id=\"") {
        return Vec::new();
    }
    html.split('<')
        .skip(1)
        .filter_map(|tag| tag.split('>').next())
        .filter_map(|tag| tag.split_once(" id=\"").and_then(|(_, value)| value.split('"').next()))
        .map(decoded)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{anchors, last_heading, words};

    #[test]
    fn prose_becomes_paragraphs_of_words() {
        let html = "<h2 id=\"ways\">The ways &amp; the boat</h2>\n<p>Two people\nhaul <em>steadily</em>.</p><ul><li>one</li><li>two &lt; three</li></ul>";
        assert_eq!(words(html), ["The ways & the boat", "Two people haul steadily.", "- one", "- two < three"]);
        assert_eq!(words("loose text & more"), ["loose text & more"]);
        assert_eq!(words("<p>x<math><mi>a</mi><annotation>\\alpha</annotation></math></p>"), ["xa"]);
        assert!(words("").is_empty() && words("<p").is_empty());
    }

    #[test]
    fn the_last_heading_gives_its_level() {
        assert_eq!(last_heading("<h1>a</h1><p>b</p><h3 id=\"c\">c</h3><p>d</p><hr>"), Some(3));
        assert_eq!(last_heading("<p>a</p><hr>"), None);
    }

    #[test]
    fn anchors_are_found_where_tags_carry_them() {
        assert_eq!(anchors("<h2 id=\"a-b\">x</h2><p class=\"c\" id=\"d\">not id=\"e\"</p>"), ["a-b", "d"]);
    }
}
