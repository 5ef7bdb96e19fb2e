//! The sheet as one HTML file that stands by itself: no request, no font from elsewhere, and whole without its one script.

use crate::house::Paper;
use crate::output::beside::Beside;
use crate::output::markup::{document, registers, shared};
use crate::output::mathml::escape;
use crate::output::plain::text;
use crate::output::templates::{Matter, render, render_pieces, style, wearing};
use crate::output::view;
use crate::output::view::{page, running_head};
use crate::sheet::parts::{Notice, Sheet};
use crate::words::{speaking, spoken};
use std::sync::Arc;

/// The page of `sheet`, ready to be written to a file or printed from a browser.
pub fn html(sheet: &Sheet) -> String {
    in_house(sheet, |sheet| spoken(set(sheet, None, "")))
}

/// The page of `sheet` as it is going to stand at `place` among the pages `beside` it, with links to those.
pub fn html_beside(sheet: &Sheet, beside: &Beside, place: &str) -> String {
    in_house(sheet, |sheet| spoken(set(sheet, Some(beside), place)))
}

/// What `print` makes of `sheet` as its house has it set, in the voice of that house and with its parts of the page.
pub(super) fn in_house<T>(sheet: &Sheet, print: impl Fn(&Sheet) -> T) -> T {
    let set = sheet.as_set.as_deref().unwrap_or(sheet);
    speaking(set.house.voice, || wearing(&set.house.parts, || print(set)))
}

/// The page of `sheet` for a printer, on paper of the CSS `size`: only what stands on it or on the net is linked to, so
/// that no folder of this machine is named in what is printed.
pub fn html_on_paper(sheet: &Sheet, size: Option<&str>) -> String {
    on_paper(sheet, &html(sheet), size)
}

/// `page`, which was made of `sheet`, for a printer in the same way.
pub fn on_paper(sheet: &Sheet, page: &str, size: Option<&str>) -> String {
    let size = size.or_else(|| sheet.house.paper.map(Paper::size)).unwrap_or_else(|| Paper::default().size());
    let (head, rest) = page.split_once("</style>").unwrap_or(("", page));
    format!("{head}@page {{ size: {size}; }}\n</style>{}", without_links_to_files(rest))
}

// Text never holds a bare `<`, nor a value in quotation marks a bare `"`: an `<a ` opens a link, and its first `href="` is its own.
fn without_links_to_files(page: &str) -> String {
    const LINK: &str = "<a ";
    let mut parts = page.split(LINK);
    let mut out = parts.next().unwrap_or("").to_string();
    for part in parts {
        out.push_str(LINK);
        let kept = ["href=\"#", "href=\"http:", "href=\"https:", "href=\"mailto:", "href=\"tel:"];
        match part.find("href=\"") {
            Some(at) if part.find('>').is_none_or(|end| at < end) && !kept.iter().any(|kind| part[at..].starts_with(kind)) => {
                out.push_str(&part[..at]);
                out.push_str("data-to=\"");
                out.push_str(&part[at + "href=\"".len()..]);
            }
            _ => out.push_str(part),
        }
    }
    out
}

/// The exercises of `sheet` as a page for learners, without any answer; none where it poses none.
pub fn learners(sheet: &Sheet) -> Option<String> {
    let title = &sheet.title_block.title;
    let set = |sheet: &Sheet| view::learners(sheet).unwrap_or_else(|reason| bare(title, "", &reason));
    (!sheet.exercises.is_empty()).then(|| in_house(sheet, |sheet| spoken(set(sheet))))
}

/// The errors among `notices` as a part that is set over a page while it is served, with `words` on what the page is.
pub fn banner(notices: &[Notice], words: &str) -> String {
    render("banner.html", &view::banner(notices, words))
        .unwrap_or_else(|reason| format!("<aside id=\"live.banner\">{}</aside>", escape(&reason)))
}

fn set(sheet: &Sheet, beside: Option<&Beside>, place: &str) -> String {
    let page = written(sheet, beside, place);
    // A part of the house that fails costs itself alone: the page is set without the parts of the house.
    let page =
        if page.is_err() && !sheet.house.parts.is_empty() { wearing(&Arc::default(), || written(sheet, beside, place)) } else { page };
    page.unwrap_or_else(|reason| bare(&sheet.title_block.title, &text(sheet), &reason))
}

/// Room for what a page prints of each named value, in bytes, so that the text of the page is seldom moved while it grows.
const ROOM: usize = 900;

fn written(sheet: &Sheet, beside: Option<&Beside>, place: &str) -> Result<String, String> {
    let mut shared = shared(sheet, beside, place);
    let [head, opening, between, foot] = render_pieces("page.html", &page(sheet, &shared, beside, place))?;
    let style = style(&matters(sheet));
    let mut out = String::with_capacity(style.len() + 20_000 + ROOM * sheet.values.len());
    out.push_str(&head);
    out.push_str(&style);
    out.push_str(&running_head(sheet));
    out.push_str(&opening);
    document(sheet, &mut shared, &mut out)?;
    out.push_str(&between);
    registers(sheet, &mut shared, &mut out);
    out.push_str(&foot);
    Ok(out)
}

// The matters of its page that have a style sheet to themselves.
fn matters(sheet: &Sheet) -> Vec<Matter> {
    let kinds = !sheet.kinds.is_empty();
    let studies = [sheet.studies.is_empty(), sheet.readings.is_empty(), sheet.laws.is_empty(), sheet.agreements.is_empty()];
    let studies = studies.contains(&false) || !sheet.propagations.is_empty() || !sheet.exercises.is_empty();
    [(kinds, Matter::Kinds), (studies, Matter::Studies)].into_iter().filter(|(there, _)| *there).map(|(_, matter)| matter).collect()
}

/// What a reader gets should a template ever fail: the same sheet as plain text, with the reason.
pub(super) fn bare(title: &str, text: &str, reason: &str) -> String {
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head><meta charset=\"utf-8\"><title>{}</title></head>\n<body>\n\
         <p>The page could not be set; its text follows. The reason, for a report to the makers of this program:</p>\n\
         <pre>{}</pre>\n<pre>{}</pre>\n</body>\n</html>\n",
        escape(title),
        escape(reason),
        escape(text)
    )
}

#[cfg(test)]
mod tests {
    use super::{escape, html};
    use crate::output::fixture::{emptiest, fullest, hostile};
    use crate::output::reader::well_formed_page;
    use crate::output::scripts::trace;
    use crate::sheet::parts::Sheet;
    use std::collections::BTreeSet;

    fn set(sheet: &Sheet) -> String {
        let page = html(sheet);
        assert!(!page.contains("The page could not be set"), "{}", page.get(..2000).unwrap_or(&page));
        page
    }

    fn attributes<'a>(page: &'a str, name: &str) -> Vec<&'a str> {
        let lead = format!(" {name}=");
        let value = |(at, _): (usize, &str)| {
            let rest = page.get(at + lead.len()..)?;
            rest.strip_prefix('"').map_or_else(|| rest.split([' ', '>']).next(), |quoted| quoted.split('"').next())
        };
        page.match_indices(&lead).filter_map(value).collect()
    }

    #[test]
    fn the_fullest_and_the_emptiest_sheet_are_set_and_well_formed() {
        for sheet in [fullest(), emptiest(), hostile()] {
            well_formed_page(&set(&sheet));
            assert_eq!(set(&sheet), set(&sheet.clone()));
        }
    }

    #[test]
    fn ids_are_unique_and_every_link_on_the_page_leads_somewhere() {
        for sheet in [fullest(), emptiest(), hostile()] {
            let page = set(&sheet);
            let ids = attributes(&page, "id");
            let unique: BTreeSet<&str> = ids.iter().copied().collect();
            assert_eq!(ids.len(), unique.len(), "an id is used twice");
            for link in attributes(&page, "href").into_iter().filter_map(|link| link.strip_prefix('#')) {
                assert!(unique.contains(link), "#{link} leads nowhere");
            }
            for name in ["aria-labelledby", "aria-describedby", "headers"] {
                for target in attributes(&page, name).iter().flat_map(|value| value.split(' ')) {
                    assert!(unique.contains(target), "{name} {target}");
                }
            }
        }
    }

    #[test]
    fn no_text_of_a_document_becomes_markup() {
        let page = set(&hostile());
        assert!(page.matches("<script").count() == 1 && !page.contains("<img") && !page.contains("onload"), "markup escaped into the page");
        assert!(page.contains("&lt;script&gt;"));
        // The running head stands in the style sheet, where a closing tag would end it.
        let style = page.split("</style>").next().unwrap_or("");
        assert!(style.len() > 5000 && style.contains("@media print"), "the style sheet was cut short");
    }

    #[test]
    fn a_banner_lists_the_errors_alone_and_no_text_of_a_document_becomes_markup() {
        let mut notices = hostile().notices;
        notices.iter_mut().for_each(|notice| notice.severity = "error".into());
        notices.extend(fullest().notices.into_iter().filter(|notice| notice.severity != "error"));
        let made = super::banner(&notices, "The page is as it was.");
        crate::output::reader::well_formed(&made);
        assert!(!made.contains("<script") && !made.contains("sheet.finding"), "{made}");
        assert_eq!(made.matches("<article").count(), notices.iter().filter(|notice| notice.severity == "error").count());
        assert!(made.contains("class=\"caret\">") && made.contains("The page is as it was."));
    }

    #[test]
    fn nothing_is_fetched_and_nothing_runs_but_the_trace() {
        let page = set(&fullest());
        let (_, script) = page.split_once("<script>").expect("the trace");
        let (script, rest) = script.split_once("</script>").expect("its end");
        assert!(script == trace().text && !rest.contains("<script"));
        assert!(page.contains(&format!("default-src 'none'; style-src 'unsafe-inline'; script-src {}; ", trace().source)));
        for wanted in ["<link", "@import", "url(http", "src=\"http", "@font-face"] {
            assert!(!page.contains(wanted), "{wanted}");
        }
    }

    #[test]
    fn everything_a_checker_needs_is_on_the_page() {
        let sheet = fullest();
        let page = set(&sheet);
        for check in &sheet.checks {
            assert!(page.contains(&check.title), "{}", check.title);
            assert!(page.contains(&check.verdict), "{}", check.verdict);
        }
        for row in sheet.inputs.iter().chain(&sheet.assumptions) {
            assert!(page.contains(&escape(&row.source)), "{}", row.source);
        }
        for text in [&sheet.decision_rule, &sheet.deference, &sheet.record.digest, &sheet.record.version] {
            assert!(page.contains(&escape(text)), "{text}");
        }
        for finding in &sheet.notices {
            for words in finding.headline.split('`') {
                assert!(page.contains(&escape(words)), "{words}");
            }
            assert!(page.contains(&escape(finding.place.excerpt.trim())), "{}", finding.place.excerpt);
        }
    }

    #[test]
    fn on_paper_nothing_leads_to_another_file() {
        let page = "<p><a class=\"x\" href=\"../other.html#s-a\">a</a> <a href=\"#b\">b</a> <a href=\"https://example.org/\">c</a> <a id=\"d\">href=\"e\"</a>";
        let mended = super::without_links_to_files(page);
        assert_eq!(mended, page.replace("href=\"../", "data-to=\"../"));
        let page = super::html_on_paper(&fullest(), Some("letter"));
        assert!(page.contains("@page { size: letter; }\n</style>") && page.matches("</style>").count() == 1);
    }

    #[test]
    fn an_incomplete_sheet_says_so_before_anything_else() {
        let mut sheet = fullest();
        sheet.complete = false;
        let page = set(&sheet);
        let said = page.find("This sheet is incomplete").expect("the banner");
        let answer = page.find("id=\"sheet.answer\"").expect("the answer");
        assert!(said < answer);
        sheet.complete = true;
        assert!(!set(&sheet).contains("This sheet is incomplete"));
    }
}
