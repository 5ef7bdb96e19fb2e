//! One file from text to pieces: what is refused, then Markdown, then cleaning, then cutting.

use crate::diagnostics::catalogue::document::{EmptySheet, HtmlHides, NestedTooDeep, NulByte};
use crate::diagnostics::{Finding, Sink};
use crate::document::clean::{self, Mark};
use crate::document::outline::{Outline, outline};
use crate::document::pieces::cut;
use crate::document::prose::{self, Page, Placed, Raw};
use crate::document::{Document, Piece};
use crate::source::{Extent, FileId, Home};
use pulldown_cmark::{Options, Parser};

// Marks of quotations and lists that one line may open. The Markdown reader walks all of them again for every line.
const DEEPEST: usize = 64;

/// Takes the text of `file` apart. Gives an empty document, and says why, when there is nothing to be read or the text
/// must not be read.
pub fn read(text: &str, file: FileId, sink: &mut Sink) -> Document {
    let home = Home::file(file);
    // Some editors begin a file with a byte order mark; to the Markdown reader it would be a letter.
    let base = if text.starts_with('\u{FEFF}') { '\u{FEFF}'.len_utf8() } else { 0 };
    let body = text.get(base..).unwrap_or("");
    if let Some((extent, finding)) = refused(text, body, base) {
        sink.push(home.span(extent), finding.as_ref());
        return Document::default();
    }
    let events: Vec<Placed<'_>> =
        Parser::new_ext(body, options()).into_offset_iter().map(|(event, range)| (event, range.start + base..range.end + base)).collect();
    let outline = outline(&events);
    let mark = Mark::new(text);

    // What is found belongs to the way of writing that is used in the end.
    let mut found = Sink::new();
    let page = prose::write(text, home, &events, &outline, mark, Raw::Kept, &mut found);
    let (page, pieces) = match cut_clean(&page, &outline, mark) {
        Some(pieces) => (page, pieces),
        None => {
            let first = page.first_raw.clone().unwrap_or(base..text.len());
            found = Sink::new();
            found.push(home.span(Extent::new(first.start, first.end)), &HtmlHides {});
            let page = prose::write(text, home, &events, &outline, mark, Raw::Shown, &mut found);
            let pieces = cut(&page.html, mark, &page.held).unwrap_or_default();
            (page, pieces)
        }
    };
    sink.absorb(found);
    let title = outline.headings.iter().find(|heading| heading.level == 1).map(|heading| heading.text.clone());
    Document { pieces, fragments: page.fragments, outline: outline.headings, title }
}

// Cleaning costs more than all the rest, so a page without raw HTML goes without: our own writer writes clean HTML.
fn cut_clean(page: &Page, outline: &Outline, mark: Mark) -> Option<Vec<Piece>> {
    if page.first_raw.is_none() {
        return cut(&page.html, mark, &page.held);
    }
    if clean::is_tangled(&page.raw) {
        return None;
    }
    cut(&clean::settled(&page.html, &outline.anchors)?, mark, &page.held)
}

fn options() -> Options {
    Options::ENABLE_TABLES
        | Options::ENABLE_FOOTNOTES
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_TASKLISTS
        | Options::ENABLE_HEADING_ATTRIBUTES
        | Options::ENABLE_MATH
}

fn refused(text: &str, body: &str, base: usize) -> Option<(Extent, Box<dyn Finding>)> {
    if let Some(at) = text.find('\0') {
        return Some((Extent::new(at, at + 1), Box::new(NulByte {})));
    }
    if body.trim().is_empty() {
        return Some((Extent::new(base, base), Box::new(EmptySheet {})));
    }
    let mut start = base;
    for line in body.split_inclusive('\n') {
        if marks(line) > DEEPEST {
            let end = start + line.trim_end().len();
            return Some((Extent::new(start, end), Box::new(NestedTooDeep { limit: DEEPEST.to_string() })));
        }
        start += line.len();
    }
    None
}

// How many quotations and lists the marks at the start of `line` can open.
fn marks(line: &str) -> usize {
    let first = line.bytes().find(|byte| !matches!(byte, b' ' | b'\t'));
    if !first.is_some_and(|byte| matches!(byte, b'>' | b'-' | b'+' | b'*' | b'0'..=b'9')) {
        return 0;
    }
    if line.trim().chars().all(|c| matches!(c, '*' | '-' | '_' | ' ' | '\t')) {
        // A ruled line, however long.
        return 0;
    }
    let mut count = 0;
    let mut rest = line.trim_start_matches([' ', '\t']);
    loop {
        let number = rest.trim_start_matches(|c: char| c.is_ascii_digit());
        let behind = match rest.chars().next() {
            Some('>') => rest.get(1..),
            Some('-' | '+' | '*') => rest.get(1..).filter(|behind| behind.starts_with([' ', '\t'])),
            _ if number.len() < rest.len() => number.strip_prefix(['.', ')']).filter(|behind| behind.starts_with([' ', '\t'])),
            _ => None,
        };
        let Some(behind) = behind else { return count };
        count += 1;
        rest = behind.trim_start_matches([' ', '\t']);
    }
}

#[cfg(test)]
mod tests {
    use crate::diagnostics::{Diagnostic, Sink};
    use crate::document::{Document, Piece, Run, read};
    use crate::source::FileId;
    use proptest::prelude::{ProptestConfig, Strategy, prop, prop_assert, prop_assert_eq, proptest};
    use proptest::sample::select;

    fn take_apart(text: &str) -> (Document, Vec<Diagnostic>) {
        let mut sink = Sink::new();
        let document = read(text, FileId(0), &mut sink);
        (document, sink.into_sorted())
    }

    fn slugs(text: &str) -> Vec<&'static str> {
        take_apart(text).1.into_iter().map(|finding| finding.slug).collect()
    }

    // The page with values as `{n}` and fences as `[n]`.
    fn page(document: &Document) -> String {
        let piece = |piece: &Piece| match piece {
            Piece::Prose(runs) => runs.iter().map(run).collect::<String>(),
            Piece::Rig { fragment, .. } => format!("[{fragment}]"),
        };
        document.pieces.iter().map(piece).collect()
    }

    fn run(run: &Run) -> String {
        match run {
            Run::Html(html) => html.clone(),
            Run::Value { fragment } => format!("{{{fragment}}}"),
        }
    }

    #[test]
    fn prose_values_and_fences_come_in_reading_order() {
        let text = "# Lift\n\nIt weighs `rig w as kN`.\n\n```rig\ntake w = 2 kN\n```\n\nTwice: `rig 2 * w`.\n";
        let (document, findings) = take_apart(text);
        assert!(findings.is_empty());
        assert_eq!(document.title.as_deref(), Some("Lift"));
        assert_eq!(page(&document).replace('\n', ""), "<h1 id=\"s-lift\">Lift</h1><p>It weighs {0}.</p>[1]<p>Twice: {2}.</p>");
        let texts: Vec<&str> = document.fragments.iter().map(|fragment| fragment.text()).collect();
        assert_eq!(texts, ["w as kN", "take w = 2 kN\n", "2 * w"]);
        let Some(Piece::Rig { span_of_fence, .. }) = document.pieces.get(1) else { panic!("a fence stands second") };
        assert_eq!(&text[span_of_fence.range()], "```rig\ntake w = 2 kN\n```");
    }

    #[test]
    fn what_cannot_be_a_sheet_is_told_and_not_read() {
        assert_eq!(slugs("# a\n\0\n"), ["nul-byte"]);
        assert_eq!(slugs(""), ["empty-sheet"]);
        assert_eq!(slugs("\u{FEFF} \r\n\t\n"), ["empty-sheet"]);
        assert_eq!(slugs(&">".repeat(100_000)), ["markup-too-deep"]);
        assert_eq!(slugs(&"1. ".repeat(100_000)), ["markup-too-deep"]);
        assert_eq!(slugs(&format!("a\n\n{}\n", "- ".repeat(500))), [""; 0], "a ruled line nests nothing");
        assert_eq!(slugs(&format!("{} a\n", ">".repeat(60))), [""; 0]);
    }

    #[test]
    fn a_byte_order_mark_is_no_letter() {
        let text = "\u{FEFF}# Title\n\n```rig\ntake a = 1\n```\n";
        let (document, findings) = take_apart(text);
        assert!(findings.is_empty());
        assert_eq!(document.title.as_deref(), Some("Title"));
        assert_eq!(document.fragments[0].to_file(0) as usize, text.find("take").unwrap_or(0));
    }

    // CommonMark 0.31.2, sections 4.9 and 6, and the table, task list and strikethrough extensions of GitHub Flavored
    // Markdown 0.29; written from memory of the specifications. `scope` as the HTML Living Standard, 4.9.10, asks.
    #[test]
    fn markdown_reads_as_its_specifications_say() {
        for (text, html) in [
            ("*a* **b** ~~c~~ `d<e`", "<p><em>a</em> <strong>b</strong> <del>c</del> <code>d&lt;e</code></p>\n"),
            ("    a & b\n", "<pre><code>a &amp; b\n</code></pre>\n"),
            ("~~~ruby\nx\n~~~\n", "<pre><code class=\"language-ruby\">x\n</code></pre>\n"),
            ("a  \nb\\\nc", "<p>a<br>\nb<br>\nc</p>\n"),
            ("3. x\n4. y\n", "<ol start=\"3\">\n<li>x</li>\n<li>y</li>\n</ol>\n"),
            ("- [x] x\n", "<ul>\n<li><input type=\"checkbox\" disabled=\"\" checked=\"\"> x</li>\n</ul>\n"),
            (
                "|a|b|\n|:-:|-|\n|1|2|\n",
                "<table>\n<thead><tr><th scope=\"col\" class=\"align-center\">a</th><th scope=\"col\">b</th></tr></thead>\n<tbody>\n\
                 <tr><td class=\"align-center\">1</td><td>2</td></tr>\n</tbody></table>\n",
            ),
            ("&copy; &lt;b&gt;", "<p>© &lt;b&gt;</p>\n"),
            ("---\n", "<hr>\n"),
        ] {
            assert_eq!(page(&take_apart(text).0), html);
        }
    }

    #[test]
    fn footnotes_lead_there_and_back() {
        let (document, findings) = take_apart("a[^x] b[^x] c[^Y]\n\n[^y]: late\n\n[^x]: with `rig v`\n");
        assert!(findings.is_empty());
        let html = page(&document);
        for part in [
            "a<sup class=\"footnote-mark\" id=\"s-note-x-from\"><a href=\"#s-note-x\">1</a></sup>",
            "id=\"s-note-x-from-2\"><a href=\"#s-note-x\">1</a>",
            "<a href=\"#s-note-y\">2</a>",
            "<div class=\"footnote\" id=\"s-note-x\">",
            "href=\"#s-note-x-from-2\"",
            "with {0}",
        ] {
            assert!(html.contains(part), "{part} in {html}");
        }
    }

    #[test]
    fn raw_html_is_cleaned_as_a_whole() {
        let text = "<b>a `rig x` $y$</b> <script>alert(1)</script><p onclick=\"f()\" class=\"verdict\" style=\"color:red\">c</p>\n\n\
                    <a href=\"javascript:f()\">d</a> <a href=\"other.md#e\">e</a> <img src=\"https://example.org/f.png\" alt=\"f\">\n";
        let (document, findings) = take_apart(text);
        let html = page(&document);
        assert!(html.contains("<b>a {0} <math"), "{html}");
        assert!(html.contains("</math></b>"), "{html}");
        for gone in ["script", "alert", "onclick", "verdict", "style", "javascript", "example.org"] {
            assert!(!html.contains(gone), "{gone} in {html}");
        }
        assert!(html.contains("<a>d</a> <a href=\"other.html#s-e\">e</a>"), "{html}");
        let slugs: Vec<_> = findings.iter().map(|finding| finding.slug).collect();
        assert_eq!(slugs, ["html-removed", "remote-image"]);
    }

    #[test]
    fn raw_html_cannot_hide_the_working() {
        for text in [
            "a <script> b\n\n```rig\nx = 1\n```\n",
            "<div title=\"\n\nc `rig y` d\n\n```rig\nx = 1\n```\n",
            "<div title='\n\n```rig\nx = 1\n```\n\n'>",
        ] {
            let (document, findings) = take_apart(text);
            assert!(findings.iter().any(|finding| finding.slug == "html-hides"), "{text}");
            let fences = document.pieces.iter().filter(|piece| matches!(piece, Piece::Rig { .. })).count();
            assert_eq!(fences, 1, "{text}");
            assert!(page(&document).contains("&lt;"), "{text}");
        }
        assert_eq!(slugs("a\n\n<!-- b\n\n```rig\nx = 1\n```\n"), ["comment-not-closed"]);
        assert_eq!(slugs("<!-- b\n```rig\n``` -->\n\na"), [""; 0]);
        assert_eq!(slugs(&"<div>\n\n".repeat(5000)), ["html-hides"]);
        assert_eq!(slugs(&format!("<a {}>x</a>", "y ".repeat(20_000))), ["html-hides"]);
    }

    #[test]
    fn no_text_passes_for_a_mark() {
        let text = "\u{E000}0\u{E000} &#xE001;0&#57345; <i>&#XE002;0&#57346 \u{E003}</i> `rig x`";
        let (document, _) = take_apart(text);
        let html = page(&document);
        assert_eq!(html.matches("{0}").count(), 1, "{html}");
        assert!(html.contains("\u{E000}0\u{E000} \u{E001}0\u{E001} <i>\u{E002}0&amp;#57346 \u{E003}</i>"), "{html}");
        // In raw HTML a reference needs no semicolon (HTML Living Standard, 13.2.5.80).
        let (document, _) = take_apart("<div>&#57344 0&#xE000</div>\n\n`rig x`\n");
        assert_eq!(page(&document).replace('\n', ""), "<div>\u{E000} 0\u{E000}</div><p>{0}</p>");
    }

    #[test]
    fn lists_and_quotations_are_closed_before_a_fence_and_go_on_behind_it() {
        let (document, _) = take_apart("7. a\n8. b\n   ```rig\n   x = 1\n   ```\n   c\n9. d\n\n> ```rig\n> y = 2\n> ```\n");
        let html = page(&document).replace('\n', "");
        assert_eq!(html, "<ol start=\"7\"><li>a</li><li>b</li></ol>[0]<ol start=\"8\"><li class=\"continued\">c</li><li>d</li></ol>[1]");
        let (document, _) = take_apart("1. ```rig\n   x = 1\n   ```\n2. d\n");
        let html = page(&document).replace('\n', "");
        assert_eq!(html, "<ol><li></li></ol>[0]<ol start=\"1\"><li class=\"continued\"></li><li>d</li></ol>");
    }

    #[test]
    fn links_and_images_stay_with_the_sheet() {
        let (document, findings) = take_apart(
            "[a](JavaScript:f) [b](data:text/html,x) ![c](https://example.org/c.png \"t\") ![d](d.png) [e](f.md) [![g](//h/g.png)](i)\n",
        );
        let html = page(&document);
        let found: Vec<_> = findings.iter().map(|finding| finding.slug).collect();
        assert_eq!(found, ["link-refused", "link-refused", "remote-image", "remote-image"]);
        assert_eq!(
            html,
            "<p><span class=\"refused\">a</span> <span class=\"refused\">b</span> <a href=\"https://example.org/c.png\">c</a> \
             <img src=\"d.png\" alt=\"d\"> <a href=\"f.html\">e</a> <a href=\"i\">g</a></p>\n"
        );
    }

    #[test]
    fn a_formula_is_shown_or_its_source_is() {
        let (document, findings) = take_apart("a $x^2$ b\n\n> $$\n> \\frac{a}{b}\n> $$\n\n$\\wrong{x}$ and 5 $ or 6 $ too\n");
        let html = page(&document);
        assert!(html.contains("<msup><mi>x</mi><mn>2</mn></msup>") && html.contains("<math display=\"block\">"), "{html}");
        assert!(html.contains("<code class=\"unread\">\\wrong{x}</code> and 5 $ or 6 $ too"), "{html}");
        let [finding] = findings.as_slice() else { panic!("one finding") };
        assert_eq!((finding.slug, finding.primary.span.end - finding.primary.span.start), ("math-not-read", 6));
    }

    fn document() -> impl Strategy<Value = String> {
        let parts = select(vec![
            "```rig\n",
            "```\n",
            "~~~rig\n",
            "~~~\n",
            "````\n",
            "> ",
            ">",
            "- ",
            "1. ",
            "\t",
            "    ",
            "  ",
            " ",
            "\n",
            "\n\n",
            "\r\n",
            "\r",
            "take a = 1\n",
            "`rig a`",
            "`rig ",
            "`",
            "``rig b ``",
            "$x$",
            "$",
            "$$",
            "\\",
            "|",
            "|-|\n",
            "|a|\n",
            "\\|",
            "[^1]",
            "[^1]: ",
            "# ",
            "{#i}",
            "é",
            "→",
            "<b>",
            "</b>",
            "<div>",
            "</div>",
            "<div title=\"",
            "<script>",
            "</script>",
            "<!--",
            "-->",
            "<p onclick=\"x()\">",
            "<table>",
            "<tr><td>",
            "</table>",
            "<a href=\"javascript:x\">",
            "<select>",
            "<ol><li>",
            "</ol>",
            "<textarea>",
            "<template>",
            "<svg><p>",
            "![i](",
            "[l](",
            ")",
            "https://h/",
            "other.md",
            "&#xE000;",
            "\u{E000}0\u{E000}",
            "*",
            "**",
            "~~",
            "[x] ",
            "---\n",
            "word",
            "\u{3000}",
            "\u{FEFF}",
            "rig",
            "Rig\n",
            "```",
        ]);
        prop::collection::vec(parts, 0..40).prop_map(|parts| parts.concat())
    }

    fn check(text: &str) -> Result<(), proptest::test_runner::TestCaseError> {
        let (document, findings) = take_apart(text);
        for finding in findings {
            let span = finding.primary.span;
            prop_assert!(text.get(span.start as usize..span.end as usize).is_some(), "{:?}", finding);
        }
        for fragment in &document.fragments {
            for (at, byte) in fragment.text().bytes().enumerate() {
                let home = fragment.to_file(at as u32) as usize;
                let there = text.as_bytes().get(home).copied();
                // In a value a line end has become a space.
                let same = there == Some(byte) || (byte == b' ' && matches!(there, Some(b'\n' | b'\r')));
                prop_assert!(same, "{:?} at {}", fragment, at);
            }
        }
        let mut named = Vec::new();
        let mut fences = Vec::new();
        for piece in &document.pieces {
            match piece {
                Piece::Rig { fragment, .. } => fences.push(*fragment),
                Piece::Prose(runs) => {
                    named.extend(runs.iter().filter_map(|run| if let Run::Value { fragment } = run { Some(*fragment) } else { None }));
                    let html: String = runs.iter().map(run).collect();
                    prop_assert!(
                        !html.contains("<script") && !html.contains("<p onclick") && !html.contains("<a href=\"javascript"),
                        "{}",
                        html
                    );
                    prop_assert_eq!(closings(&html), closings(&reparsed(&html)), "{}", html);
                }
            }
        }
        prop_assert!(fences.is_sorted());
        named.extend(fences);
        named.sort_unstable();
        prop_assert_eq!(named, (0..document.fragments.len() as u32).collect::<Vec<_>>());
        Ok(())
    }

    fn closings(html: &str) -> usize {
        html.matches("</").count() - html.matches("</math").count()
    }

    // What an HTML parser (html5ever, through the cleaner) makes of a piece of prose alone.
    fn reparsed(html: &str) -> String {
        let mut all = ammonia::Builder::default();
        all.add_tags(["math", "semantics", "annotation", "mrow", "mi", "mo", "mn", "mtext", "msub", "msup", "input"])
            .clean(html)
            .to_string()
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn any_text_is_taken_apart_and_finds_its_way_home(text in document()) {
            check(&text)?;
            check(&text.replace('\n', "\r\n"))?;
            check(&text.replace('\n', "\n> "))?;
        }
    }
}
