//! A strict reader of markup for the tests: it stops at an element or a value that is not closed, at an unquoted value
//! that is not plain, and at a loose `&`.

/// Elements of a page that have no end.
const VOID: &[&str] = &["meta", "br", "hr", "col", "img", "link", "input", "wbr"];

/// Elements whose end may be left out, with the elements that begin where it is (HTML, 13.1.2.4 "Optional tags"); the end of
/// what they stand in ends them as well.
const ENDED_BY: &[(&str, &[&str])] = &[
    ("td", &["td", "th", "tr"]),
    ("th", &["td", "th", "tr"]),
    ("tr", &["tr"]),
    ("li", &["li"]),
    ("p", &["div", "ol", "p", "section", "table", "ul"]),
];

/// Ends the elements on top of `open` whose end may be left out before `next` begins; with nothing next, before an end.
fn end_left_out(open: &mut Vec<&str>, next: Option<&str>, ended: &str) {
    while let Some(top) = open.last().filter(|top| **top != ended) {
        let Some((_, before)) = ENDED_BY.iter().find(|(name, _)| name == top) else { return };
        if next.is_some_and(|next| !before.contains(&next)) {
            return;
        }
        open.pop();
    }
}

/// Panics with the place unless `markup` is well formed as XML is, but for what HTML lets be left out: marks around a plain
/// value, and the ends of cells, rows, items and paragraphs.
pub fn well_formed(markup: &str) {
    read(markup, &[]);
}

/// Panics with the place unless `page` is a whole page whose elements are closed in their order.
pub fn well_formed_page(page: &str) {
    let body = page.strip_prefix("<!DOCTYPE html>\n").expect("a page begins with its document type");
    read(body, VOID);
    let mains = page.matches("<main").count();
    assert_eq!((page.matches("<h1").count() >= 1, mains), (true, 1));
}

fn read(markup: &str, void: &[&str]) {
    let mut open: Vec<&str> = Vec::new();
    let mut rest = markup;
    loop {
        let near = |text: &str| text.chars().take(70).collect::<String>();
        let Some(start) = rest.find('<') else {
            text(rest);
            break;
        };
        let (before, tag) = rest.split_at(start);
        text(before);
        let end = end_of_tag(tag).unwrap_or_else(|| panic!("a tag is not closed: {}", near(tag)));
        let (inside, after) = (&tag[1..end], &tag[end + 1..]);
        rest = after;
        if let Some(name) = inside.strip_prefix('/') {
            end_left_out(&mut open, None, name.trim());
            let expected = open.pop();
            assert_eq!(expected, Some(name.trim()), "closed out of order: {}", near(tag));
            continue;
        }
        let closed = inside.ends_with('/');
        let inside = inside.trim_end_matches('/');
        let name = inside.split([' ', '\n', '\t']).next().unwrap_or("");
        assert!(!name.is_empty() && name.chars().all(|c| c.is_ascii_alphanumeric() || c == '-'), "no element: {}", near(tag));
        attributes(&inside[name.len()..], &near(tag));
        end_left_out(&mut open, Some(name), "");
        if let "style" | "script" = name {
            // What stands in these two is not markup.
            let close = format!("</{name}>");
            let end = rest.find(&close).expect("a style sheet or a script is closed");
            rest = &rest[end + close.len()..];
        } else if !closed && !void.contains(&name) {
            open.push(name);
        }
    }
    assert!(open.is_empty(), "never closed: {open:?}");
}

/// Where the tag that `text` begins with ends, quotation marks allowed for.
fn end_of_tag(text: &str) -> Option<usize> {
    let mut quoted = false;
    for (at, character) in text.char_indices() {
        match character {
            '"' => quoted = !quoted,
            '>' if !quoted => return Some(at),
            '<' if at > 0 => return None,
            _ => {}
        }
    }
    None
}

fn text(text: &str) {
    for piece in text.split('&').skip(1) {
        let name = piece.split(';').next().unwrap_or("");
        let fit = piece.contains(';') && !name.is_empty() && name.chars().all(|c| c.is_ascii_alphanumeric() || c == '#');
        assert!(fit, "a loose &: {}", piece.chars().take(40).collect::<String>());
    }
    assert!(!text.contains('>'), "a loose >: {text}");
}

fn attributes(list: &str, near: &str) {
    let mut seen = Vec::new();
    let mut rest = list.trim();
    while !rest.is_empty() {
        let Some((name, after)) = rest.split_once('=') else {
            // Only the few that need no value.
            assert!(rest.split_whitespace().all(|word| word == "open"), "attribute without a value: {near}");
            return;
        };
        assert!(!name.is_empty() && !name.contains(char::is_whitespace), "attribute {name} in {near}");
        assert!(!seen.contains(&name), "attribute {name} twice in {near}");
        seen.push(name);
        rest = match after.strip_prefix('"') {
            Some(quoted) => {
                let (value, after) = quoted.split_once('"').unwrap_or_else(|| panic!("{name} is not closed in {near}"));
                text(value);
                after
            }
            None => {
                let (value, after) = after.split_at(after.find(char::is_whitespace).unwrap_or(after.len()));
                let plain = value.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '#' | '-' | '_' | '.' | ':'));
                assert!(plain && !value.is_empty(), "{name} is not quoted in {near}");
                after
            }
        };
        rest = rest.trim_start();
    }
}

#[test]
fn the_reader_itself_is_strict() {
    let stops = |markup: &'static str| std::panic::catch_unwind(|| well_formed(markup)).is_err();
    well_formed("<a b=\"c&amp;d\"><e/>f</a>");
    well_formed("<table><tr><th a=b-1>c<td>d<tr><td><b>e</b></table><ul><li>f<li>g</ul><p>h<p>i<div>j</div>");
    for wrong in [
        "<a>",
        "<a></b>",
        "</a>",
        "<a b=c,d></a>",
        "<a b=></a>",
        "a & b",
        "<a b=\"1\" b=\"2\"></a>",
        "<a b=1 b=2></a>",
        "<a",
        "a > b",
        "<table><tr><td><b>c</table>",
        "<ul><li><p>a<b></ul>",
        "<td>a</tr>",
    ] {
        assert!(stops(wrong), "{wrong}");
    }
}
