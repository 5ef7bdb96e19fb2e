//! What of a page has become another: found in the text of two whole pages, so that a browser need not read all of the new one.
//!
//! A part is an element that always has an end tag, and is known by its number among those of its page. Which element stands
//! where is read off the tags; of a page that is not as orderly as ours nothing is said, and it is sent whole.

use serde::Serialize;

/// The elements that are parts. None of them ends without an end tag, wherever it stands. `live.js` has the same list.
const NAMES: [&str; 13] = ["article", "details", "div", "dl", "figure", "footer", "header", "main", "nav", "ol", "section", "table", "ul"];
/// A drawing is a part, and nothing within it is.
const DRAWING: &str = "svg";
/// What holds letters, and no tags, up to its end.
const RAW: [&str; 4] = ["script", "style", "textarea", "title"];
/// Deeper than any page goes.
const DEEPEST: usize = 200;

/// What makes one page of another.
#[derive(Debug, PartialEq, Eq, Serialize)]
pub(super) struct Changes<'p> {
    /// How many parts the old page has.
    count: usize,
    /// The number of a part in the old page, its name, and the whole of it in the new page. None of them is within another.
    parts: Vec<(usize, &'static str, &'p str)>,
}

/// The parts in which `new` differs from `old`; none where they differ elsewhere, or in so much that the whole is no more to read.
pub(super) fn changes<'p>(old: &str, new: &'p str) -> Option<Changes<'p>> {
    let (before, after) = (Outline::read(old)?, Outline::read(new)?);
    let mut parts = Vec::new();
    if !differ(&before, None, &after, None, &mut parts) {
        return None;
    }
    let sent: usize = parts.iter().map(|(_, _, html)| html.len()).sum();
    (sent < new.len() / 4 * 3).then_some(Changes { count: before.parts.len(), parts })
}

struct Outline<'t> {
    text: &'t str,
    // In the order of their start tags.
    parts: Vec<Part>,
    // The parts that are within no other.
    outermost: Vec<usize>,
}

struct Part {
    name: &'static str,
    start: usize,
    end: usize,
    within: Vec<usize>,
}

// Notes the parts in which two elements (none: two pages) differ; false when they differ outside of all parts within them.
fn differ<'p>(
    old: &Outline<'_>,
    was: Option<usize>,
    new: &Outline<'p>,
    is: Option<usize>,
    found: &mut Vec<(usize, &'static str, &'p str)>,
) -> bool {
    let (before, after) = (old.within(was), new.within(is));
    if before.len() != after.len() || !old.own(was).eq(new.own(is)) {
        return false;
    }
    for (was, is) in before.iter().zip(after) {
        let (Some(one), Some(other)) = (old.parts.get(*was), new.parts.get(*is)) else { return false };
        let html = new.text.get(other.start..other.end);
        if old.text.get(one.start..one.end) != html && !differ(old, Some(*was), new, Some(*is), found) {
            if one.name != other.name {
                return false;
            }
            // What was found within it goes with it.
            found.retain(|(number, ..)| number < was);
            found.extend(html.map(|html| (*was, one.name, html)));
        }
    }
    true
}

impl<'t> Outline<'t> {
    fn read(text: &'t str) -> Option<Outline<'t>> {
        let mut outline = Outline { text, parts: Vec::new(), outermost: Vec::new() };
        let mut open: Vec<usize> = Vec::new();
        let mut at = 0;
        while let Some(found) = text.get(at..)?.find('<') {
            let start = at + found;
            let rest = text.get(start + 1..)?;
            if let Some(comment) = rest.strip_prefix("!--") {
                at = start + 4 + comment.find("-->")? + 3;
                continue;
            }
            let ends = rest.starts_with('/');
            let named = rest.strip_prefix('/').unwrap_or(rest);
            if !named.starts_with(|letter: char| letter.is_ascii_alphabetic()) {
                at = start + 1;
                continue;
            }
            let name = named.split(|letter: char| !letter.is_ascii_alphanumeric()).next().unwrap_or_default();
            let end = start + 1 + tag_end(rest)?;
            at = end;
            if ends {
                if let Some(name) = part_named(name) {
                    let last = outline.parts.get_mut(open.pop()?)?;
                    if last.name != name {
                        return None;
                    }
                    last.end = end;
                }
            } else if RAW.contains(&name) {
                let close = format!("</{name}");
                at = end + text.get(end..)?.find(&close)?;
            } else if let Some(name) = part_named(name) {
                let number = outline.parts.len();
                match open.last() {
                    Some(around) => outline.parts.get_mut(*around)?.within.push(number),
                    None => outline.outermost.push(number),
                }
                outline.parts.push(Part { name, start, end, within: Vec::new() });
                if name == DRAWING {
                    at = drawing_end(text, end)?;
                    outline.parts.last_mut()?.end = at;
                } else {
                    open.push(number);
                }
            }
            if open.len() > DEEPEST {
                return None;
            }
        }
        open.is_empty().then_some(outline)
    }

    fn within(&self, part: Option<usize>) -> &[usize] {
        part.and_then(|part| self.parts.get(part)).map_or(&self.outermost, |part| &part.within)
    }

    // The text of an element less the parts within it, piece by piece.
    fn own(&self, part: Option<usize>) -> impl Iterator<Item = Option<&'t str>> {
        let (start, end) = part.and_then(|part| self.parts.get(part)).map_or((0, self.text.len()), |part| (part.start, part.end));
        let within = self.within(part).iter().filter_map(|part| self.parts.get(*part));
        let starts = std::iter::once(start).chain(within.clone().map(|part| part.end));
        starts.zip(within.map(|part| part.start).chain(std::iter::once(end))).map(|(from, to)| self.text.get(from..to))
    }
}

fn part_named(name: &str) -> Option<&'static str> {
    if name == DRAWING { Some(DRAWING) } else { NAMES.into_iter().find(|known| *known == name) }
}

// Just behind the tag that `rest` begins in, without its `<`; values in quotes may hold anything.
fn tag_end(rest: &str) -> Option<usize> {
    let mut quote = None;
    for (at, byte) in rest.bytes().enumerate() {
        match quote {
            Some(open) if byte == open => quote = None,
            Some(_) => {}
            None if byte == b'>' => return Some(at + 1),
            None if matches!(byte, b'"' | b'\'') => quote = Some(byte),
            None => {}
        }
    }
    None
}

// Just behind the drawing whose start tag ends at `at`; a drawing may stand within a drawing.
fn drawing_end(text: &str, at: usize) -> Option<usize> {
    let (mut at, mut depth) = (at, 1_usize);
    while depth > 0 {
        let start = at + text.get(at..)?.find('<')?;
        let rest = text.get(start + 1..)?;
        if let Some(comment) = rest.strip_prefix("!--") {
            at = start + 4 + comment.find("-->")? + 3;
            continue;
        }
        let end = start + 1 + tag_end(rest)?;
        let tag = text.get(start + 1..end)?;
        let name = tag.trim_start_matches('/').split(|letter: char| !letter.is_ascii_alphanumeric()).next();
        if name == Some(DRAWING) {
            match (tag.starts_with('/'), tag.ends_with("/>")) {
                (true, _) => depth -= 1,
                (false, false) => depth += 1,
                (false, true) => {}
            }
        }
        at = end;
    }
    Some(at)
}

#[cfg(test)]
mod tests {
    use super::{Changes, DRAWING, NAMES, Outline, changes};

    const PAGE: &str = include_str!("../../../tests/golden/boat-on-a-slip.html");

    #[test]
    fn the_script_of_the_page_knows_the_same_parts() {
        let mut names = [&NAMES[..], &[DRAWING]].concat();
        names.sort_unstable();
        assert!(include_str!("live.js").contains(&format!("\":is({}):not(svg *)\"", names.join(", "))));
    }

    // The old page with the changes in their places.
    fn put(old: &str, changes: &Changes<'_>) -> String {
        let outline = Outline::read(old).expect("it was read before");
        assert_eq!(outline.parts.len(), changes.count);
        let (mut page, mut at) = (String::new(), 0);
        for (number, name, html) in &changes.parts {
            let part = &outline.parts[*number];
            assert!(part.start >= at && part.name == *name && html.starts_with(&format!("<{name}")));
            page += &old[at..part.start];
            page += html;
            at = part.end;
        }
        page + &old[at..]
    }

    #[test]
    fn a_change_is_told_by_the_smallest_part_that_holds_it() {
        let old = "<html><head><title>a <div></title></head><body><!-- <ul> --><div id=a><p>one<p title='<dl>'>two</div><div id=b><ul><li>1<li>2</ul></div></body></html>";
        let told = |new: &str| {
            changes(old, new).map(|changes| changes.parts.iter().map(|(at, _, html)| (*at, html.to_string())).collect::<Vec<_>>())
        };
        assert_eq!(told(old), Some(Vec::new()));
        assert_eq!(told(&old.replace("<li>2", "<li>3")), Some(vec![(2, "<ul><li>1<li>3</ul>".to_string())]));
        let two = old.replace("one", "uno").replace("</ul>", "<li>3</ul>");
        let first = "<div id=a><p>uno<p title='<dl>'>two</div>".to_string();
        assert_eq!(told(&two), Some(vec![(0, first), (2, "<ul><li>1<li>2<li>3</ul>".to_string())]));
        // Another attribute, a part more, and one of another name are the affair of what holds them.
        assert_eq!(told(&old.replace("<ul><li>", "<ul class=x><li>")), Some(vec![(2, "<ul class=x><li>1<li>2</ul>".to_string())]));
        let more = told(&old.replace("</ul>", "</ul><ol></ol>"));
        assert_eq!(more, Some(vec![(1, "<div id=b><ul><li>1<li>2</ul><ol></ol></div>".to_string())]));
        // Beside all parts, and a page that is not in order.
        assert_eq!(told(&old.replace("<title>a", "<title>b")), None);
        assert_eq!(told(&old.replace("</ul></div>", "</div></ul>")), None);
        assert_eq!(told(&old.replace("</div></body>", "</body>")), None);
    }

    #[test]
    fn the_old_page_with_its_changes_is_the_new_page() {
        let (mut told, mut sent) = (0, 0);
        // Every number in turn is another.
        let digits: Vec<usize> = PAGE.match_indices(|letter: char| letter.is_ascii_digit()).map(|(at, _)| at).collect();
        for (turn, at) in digits.iter().enumerate().step_by(101) {
            let mut new = PAGE.to_string();
            for at in [*at, digits[(turn * 31) % digits.len()]] {
                let digit = if new[at..].starts_with('8') { "9" } else { "8" };
                new.replace_range(at..at + 1, digit);
            }
            if let Some(changes) = changes(PAGE, &new) {
                assert_eq!(put(PAGE, &changes), new);
                told += 1;
                sent += changes.parts.iter().map(|(.., html)| html.len()).sum::<usize>();
            }
        }
        assert!(told * 3 > digits.len() / 101 && sent / told < PAGE.len() / 8, "{told} of {}, {sent} bytes", digits.len() / 101);
    }

    #[test]
    fn a_line_that_comes_or_goes_is_told_by_what_holds_it() {
        let lines: Vec<&str> = PAGE.split_inclusive('\n').collect();
        let mut told = 0;
        for gone in (0..lines.len()).step_by(7) {
            let new: String = lines.iter().enumerate().filter(|(at, _)| *at != gone).map(|(_, line)| *line).collect();
            for (old, new) in [(PAGE, new.as_str()), (new.as_str(), PAGE)] {
                if let Some(changes) = changes(old, new) {
                    assert_eq!(put(old, &changes), new, "line {gone}");
                    told += 1;
                }
            }
        }
        assert!(told > lines.len() / 7, "{told} of {} lines", lines.len() / 7);
    }
}
