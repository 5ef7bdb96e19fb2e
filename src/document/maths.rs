//! Formulas between dollar signs, written for the page in MathML Core.

use crate::document::escape;
use pulldown_latex::config::{DisplayMode, RenderConfig};
use pulldown_latex::event::{Content, Event};
use pulldown_latex::{Parser, Storage, push_mathml};
use std::panic::{AssertUnwindSafe, catch_unwind};

// A formula longer than this is not read by a person either; the limit bounds the work spent on one.
const LONGEST: usize = 4000;
// Commands that make new commands could expand without end, and a character by its number can be written as itself.
const REFUSED: [&str; 6] = ["def", "let", "futurelet", "newcommand", "renewcommand", "char"];

const UNREADABLE: &str = "it cannot be made sense of";
const FAILED: &str = "the reader of formulas failed at it";
const UNKNOWN: &str = "one of its commands is not known";
// The reader writes the name of an operator into the page as it is.
const TAG_IN_NAME: &str = "the name of an operator has a sign in it that is none of a name";
// A part of what the reader says, and how we say it.
const REASONS: [(&str, &str); 19] = [
    (TAG_IN_NAME, TAG_IN_NAME),
    ("relax", "`\\relax` cannot stand here"),
    ("primitive", UNKNOWN),
    ("closed with", "a bracket or an environment is opened and not closed"),
    ("group closing", "a bracket or an environment is closed and was not opened"),
    ("subscript twice", "it has two subscripts in the same place; put braces around what belongs together"),
    ("superscript twice", "it has two superscripts in the same place; put braces around what belongs together"),
    ("subscript and/or superscript", "a command is followed by `_` or `^` where it needs something to work on"),
    ("control sequence found", "a command needs braces around what it works on"),
    ("environment", "the environment is not known, or a line break or `&` stands outside one"),
    ("math shift", "a dollar sign stands inside it; write `\\$`"),
    ("delimiter", "`\\left` or `\\right` has no bracket behind it"),
    ("color", "the colour is not known"),
    ("dimension", "a length is missing, or its unit is"),
    ("units", "a length needs the unit mu here"),
    ("array", "the columns of an array are `c`, `l` or `r`"),
    ("empty control", "a backslash stands at its end"),
    ("argument", "something is missing behind a command"),
    ("token", "something is missing at its end"),
];

/// Why a formula could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fault {
    /// In words, to stand after "because".
    pub(super) reason: String,
    /// The command at fault with its backslash, when it is one.
    pub(super) command: Option<String>,
}

/// The formula `source` as a `<math>` element, on a line of its own when `display`.
pub(super) fn mathml(source: &str, display: bool) -> Result<String, Fault> {
    check(source)?;
    let text = plain_spaces(source);
    write(&text, source, display).map_err(|reason| {
        // The reader tells of an unknown command but not which; each is tried alone.
        let mut names = commands(&text).filter(|_| reason == UNKNOWN);
        match names.find(|name| attempt(&format!("\\{name}")).is_some_and(|reason| reason == UNKNOWN)) {
            Some(name) => Fault { reason: format!("the command `\\{name}` is not known"), command: Some(format!("\\{name}")) },
            None => Fault { reason, command: None },
        }
    })
}

// What is refused before the formula is read at all.
fn check(source: &str) -> Result<(), Fault> {
    let fault = |reason: &str| Err(Fault { reason: reason.to_string(), command: None });
    if source.len() > LONGEST {
        return fault("it is longer than 4000 bytes");
    }
    if let Some(name) = commands(source).find(|name| REFUSED.contains(name)) {
        return Err(Fault { reason: format!("`\\{name}` is not offered here"), command: Some(format!("\\{name}")) });
    }
    let mut escaped = false;
    for c in source.chars() {
        if c == '#' && !escaped {
            return fault("`#` has no meaning in a formula; write `\\#` for the sign itself");
        }
        escaped = c == '\\' && !escaped;
    }
    Ok(())
}

// Blanks of other scripts trip the reader up.
fn plain_spaces(source: &str) -> String {
    source.chars().map(|c| if c.is_whitespace() && c != '\n' { ' ' } else { c }).collect()
}

// The names of the commands in `source`: a backslash and letters.
fn commands(source: &str) -> impl Iterator<Item = &str> {
    source.split('\\').skip(1).filter_map(|rest| {
        let end = rest.find(|c: char| !c.is_ascii_alphabetic()).unwrap_or(rest.len());
        rest.get(..end).filter(|name| !name.is_empty())
    })
}

// The first thing wrong with `text`, in words.
fn attempt(text: &str) -> Option<String> {
    let storage = Storage::new();
    let fault = Parser::new(text, &storage).find_map(|event| match event {
        Ok(Event::Content(Content::Function(name))) => name.contains(['<', '>', '&', '"']).then(|| TAG_IN_NAME.to_string()),
        Ok(_) => None,
        Err(fault) => Some(fault.to_string()),
    })?;
    // The first line says what is wrong; below it the reader draws the place in its own way.
    let fault = fault.lines().next().unwrap_or("");
    let known = REASONS.iter().find(|(part, _)| fault.contains(part));
    Some(known.map_or(UNREADABLE, |(_, reason)| reason).to_string())
}

fn write(text: &str, source: &str, display: bool) -> Result<String, String> {
    // The faults of the reader that are known of are kept from it above. This net is for the others: a formula must not
    // be able to take the whole sheet with it.
    let attempted = catch_unwind(AssertUnwindSafe(|| {
        if let Some(reason) = attempt(text) {
            return Err(reason);
        }
        let storage = Storage::new();
        let annotation = escape::escaped(source);
        let display_mode = if display { DisplayMode::Block } else { DisplayMode::Inline };
        let config = RenderConfig { display_mode, annotation: Some(&annotation), ..RenderConfig::default() };
        let mut out = String::new();
        match push_mathml(&mut out, Parser::new(text, &storage), config) {
            Ok(()) => Some(mended(out)).filter(|html| is_balanced(html)).ok_or_else(|| UNREADABLE.to_string()),
            Err(_) => Err(UNREADABLE.to_string()),
        }
    }));
    attempted.unwrap_or_else(|_| Err(FAILED.to_string()))
}

// What the reader writes wrongly: `~` and `\ ` as the name of a character, spelt out; `\mu` as the micro sign; and the
// signs that mean something in HTML as they are. Each stands alone in its element, at most with a stroke over it.
fn mended(mut html: String) -> String {
    for (from, to) in [
        (">&amp;nbsp;</mtext>", ">\u{A0}</mtext>"),
        ("<mi>\u{B5}</mi>", "<mi>\u{3BC}</mi>"),
        (">&</", ">&amp;</"),
        (">&\u{338}</", ">&amp;\u{338}</"),
        ("><</", ">&lt;</"),
        ("><\u{338}</", ">&lt;\u{338}</"),
        (">></", ">&gt;</"),
        (">>\u{338}</", ">&gt;\u{338}</"),
    ] {
        if html.contains(from) {
            html = html.replace(from, to);
        }
    }
    html
}

// Whether every tag that is opened is closed, in order. The writer of formulas is left behind in the middle of a row by
// some mistakes that its reader lets pass.
fn is_balanced(html: &str) -> bool {
    let upto = |text: &'_ str, end: u8| text.bytes().position(|byte| byte == end);
    let mut open = Vec::new();
    let mut rest = html;
    while let Some(at) = upto(rest, b'<') {
        let behind = rest.get(at + 1..).unwrap_or("");
        let next = upto(behind, b'<').unwrap_or(behind.len());
        let Some(tag) = upto(behind, b'>').filter(|end| *end < next).and_then(|end| behind.get(..end)) else { return false };
        match tag.strip_prefix('/') {
            Some(name) if open.pop() != Some(name) => return false,
            None if !tag.ends_with('/') => open.push(tag.get(..upto(tag, b' ').unwrap_or(tag.len())).unwrap_or("")),
            _ => {}
        }
        rest = behind;
    }
    open.is_empty()
}

#[cfg(test)]
mod tests {
    use super::mathml;
    use proptest::prelude::{ProptestConfig, Strategy, any, prop, prop_assert, proptest};
    use proptest::sample::select;

    // What W3C MathML Core says the elements are: 3.3.2 fractions, 3.3.3 radicals, 3.4.1 scripts.
    #[test]
    fn formulas_become_elements_of_mathml() {
        for (source, parts) in [
            ("\\frac{F}{A}", &["<mfrac>", "<mi>F</mi>", "<mi>A</mi>", "</mfrac>"][..]),
            ("\\sqrt{2}", &["<msqrt>", "<mn>2</mn>"]),
            ("T_1 e^{\\mu\\theta}", &["<msub>", "<msup>", "<mi>μ</mi>", "<mi>θ</mi>"]),
        ] {
            let html = mathml(source, false).unwrap_or_default();
            assert!(parts.iter().all(|part| html.contains(part)), "{html}");
            assert!(html.starts_with("<math display=\"inline\">") && html.ends_with("</math>"), "{html}");
        }
        assert!(mathml("x", true).unwrap_or_default().starts_with("<math display=\"block\">"));
    }

    #[test]
    fn text_in_a_formula_cannot_become_a_tag() {
        let html = mathml("\\text{<script>} < x", false).unwrap_or_default();
        assert!(html.contains("&lt;script&gt;") && !html.contains("<script"), "{html}");
    }

    #[test]
    fn blanks_are_blanks() {
        for source in ["a~b", "a\\ b", "a\\\u{3000}b", "a\u{3000}b", "\\kern1\u{3000}em"] {
            let html = mathml(source, false).unwrap_or_default();
            assert!(!html.contains("nbsp"), "{html}");
        }
        assert!(mathml("a~b", false).unwrap_or_default().contains("<mtext>\u{A0}</mtext>"));
    }

    #[test]
    fn mistakes_are_told_in_words() {
        for (source, words) in [
            ("x_a_b", "two subscripts"),
            ("x^a^b", "two superscripts"),
            ("{x", "not closed"),
            ("x}", "not opened"),
            ("\\frac{a}", "missing"),
            ("\\begin{nothing}x\\end{nothing}", "environment"),
            ("\\left x", "bracket"),
            ("\\def\\a{\\a\\a}\\a", "not offered"),
            ("\\char é", "not offered"),
            ("\\textcolor{#ééé}{x}", "no meaning"),
        ] {
            let reason = mathml(source, false).err().map(|fault| fault.reason).unwrap_or_default();
            assert!(reason.contains(words), "{source}: {reason}");
        }
        let fault = mathml("a + \\fraction{a}{b}", false).err();
        assert_eq!(fault.and_then(|fault| fault.command).as_deref(), Some("\\fraction"));
        assert!(mathml(&"x".repeat(4001), false).is_err());
        assert!(mathml(&"{".repeat(4000), false).is_err());
        assert!(mathml(&format!("{}x{}", "{".repeat(1990), "}".repeat(1990)), false).is_ok());
    }

    const ELEMENTS: [&str; 22] = [
        "math",
        "semantics",
        "annotation",
        "mrow",
        "mi",
        "mn",
        "mo",
        "mtext",
        "mspace",
        "mfrac",
        "msqrt",
        "mroot",
        "msub",
        "msup",
        "msubsup",
        "mover",
        "munder",
        "munderover",
        "mtable",
        "mtr",
        "mtd",
        "merror",
    ];

    fn formula() -> impl Strategy<Value = String> {
        let parts = select(vec![
            "\\frac",
            "\\sqrt",
            "\\left",
            "\\right",
            "\\begin",
            "\\end",
            "{matrix}",
            "{array}",
            "{align}",
            "{cases}",
            "{cc|}",
            "\\\\",
            "&",
            "{",
            "}",
            "[",
            "]",
            "(",
            ")",
            "|",
            "_",
            "^",
            "x",
            "12",
            ".5",
            "1.",
            "é",
            "\u{3000}",
            "\u{85}",
            " ",
            "\n",
            "%",
            "~",
            "#",
            "\\",
            "\\text",
            "\\kern",
            "\\hskip",
            "1em",
            "-2mu",
            "plus",
            "\\color",
            "\\textcolor",
            "{red}",
            "\\not",
            "\\hline",
            "\\limits",
            "\\sum",
            "\\int",
            "\\relax",
            "\\operatorname",
            "\\big",
            "\\middle",
            "\\mathbf",
            "\\bf",
            "\\displaystyle",
            "\\over",
            "\\substack",
            "\\tag",
            "\\genfrac",
            "\\overset",
            "\\xrightarrow",
            "\\hat",
            "\\prime",
            "'",
            "<",
            ">",
            "\"",
            "\\rule",
            "\\hspace",
            "\\begingroup",
            "\\endgroup",
            "\\mathchoice",
            "\\cancel",
            "\\binom",
            "\\root",
            "\\of",
            "\\phantom",
            "\\raise",
            "\\\u{3000}",
            "\\&",
            "\\mathrel",
        ]);
        prop::collection::vec(parts, 0..24).prop_map(|parts| parts.concat())
    }

    // `<`, `>` and `&` as characters of a formula are written as references (HTML Living Standard, 13.1.2.4 and 13.1.4).
    #[test]
    fn signs_of_comparison_stay_signs() {
        assert!(mathml("a < b", false).unwrap_or_default().contains("<mo>&lt;</mo>"));
        assert!(mathml("a \\not< b", false).unwrap_or_default().contains("<mo>&lt;\u{338}</mo>"));
        assert!(mathml("a > b", false).unwrap_or_default().contains("<mo>&gt;</mo>"));
        assert!(mathml("\\&", false).unwrap_or_default().contains("<mi>&amp;</mi>"));
        assert!(mathml("\\operatorname{<img src=x onerror=alert(1)>}", false).is_err());
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]
        // The net above would hide a panic of the reader; here it must not be needed. What comes out is read by an HTML
        // parser (html5ever, through the cleaner), which must find every element where it was written.
        #[test]
        fn no_formula_upsets_the_reader(source in formula(), display in any::<bool>()) {
            let reason = mathml(&source, display).err().map(|fault| fault.reason);
            prop_assert!(reason.as_deref() != Some(super::FAILED), "{source:?}");
            let html = mathml(&source, display).unwrap_or_default();
            let parsed = ammonia::Builder::default().add_tags(ELEMENTS).clean(&html).to_string();
            let count = |html: &str| html.matches("</").count();
            prop_assert!(html.is_empty() || count(&parsed) == count(&html) + html.matches("/>").count(), "{source:?} {html} {parsed}");
            prop_assert!(!html.contains("<<") && !html.contains(">>"), "{source:?} {html}");
        }
    }
}
