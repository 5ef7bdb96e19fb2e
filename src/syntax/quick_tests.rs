//! What is read quickly is read as the grammar reads it: on every document that comes with the program, on the cases of its syntax,
//! and on edits of them. The grammar is the outside here: it is the language's definition.

use crate::syntax::ast::{KindItem, Statement};
use crate::syntax::expression::{Fault, Lowered};
use crate::syntax::names::{NO_UNITS, RESERVED};
use crate::syntax::parser::{Grammar, Rule};
use crate::syntax::split::{Line, groups, lines, whole};
use crate::syntax::{quick_lines, read};
use pest::Parser;

// Without a fault of form, and meant to be typical.
const DOCUMENTS: [&str; 44] = [
    include_str!("../kinds/belt/kind.md"),
    include_str!("../kinds/capstan/kind.md"),
    include_str!("../kinds/differential_screw/kind.md"),
    include_str!("../kinds/differential_windlass/kind.md"),
    include_str!("../kinds/dragged/kind.md"),
    include_str!("../kinds/every/kind.md"),
    include_str!("../kinds/gears/kind.md"),
    include_str!("../kinds/hoist/kind.md"),
    include_str!("../kinds/lead_block/kind.md"),
    include_str!("../kinds/lever/kind.md"),
    include_str!("../kinds/lifted/kind.md"),
    include_str!("../kinds/parbuckle/kind.md"),
    include_str!("../kinds/press/kind.md"),
    include_str!("../kinds/pulleys/kind.md"),
    include_str!("../kinds/rack/kind.md"),
    include_str!("../kinds/ramp/kind.md"),
    include_str!("../kinds/resistance/kind.md"),
    include_str!("../kinds/screw/kind.md"),
    include_str!("../kinds/sling/kind.md"),
    include_str!("../kinds/tackle/kind.md"),
    include_str!("../kinds/toggle/kind.md"),
    include_str!("../kinds/train/kind.md"),
    include_str!("../kinds/turnbuckle/kind.md"),
    include_str!("../kinds/wedge/kind.md"),
    include_str!("../kinds/windlass/kind.md"),
    include_str!("../kinds/worm/kind.md"),
    include_str!("../../worked-examples/awning-frame.md"),
    include_str!("../../worked-examples/bench-two-and-three.md"),
    include_str!("../../worked-examples/boat-on-a-slip.md"),
    include_str!("../../worked-examples/bowser-in-the-gateway.md"),
    include_str!("../../worked-examples/jack-and-rule.md"),
    include_str!("../../worked-examples/jack-under-a-beam.md"),
    include_str!("../../worked-examples/lathe-up-a-ramp.md"),
    include_str!("../../worked-examples/log-up-the-bank.md"),
    include_str!("../../worked-examples/loom-across-the-floor.md"),
    include_str!("../../worked-examples/millstone-on-a-post.md"),
    include_str!("../../worked-examples/post-jig-clamp.md"),
    include_str!("../../worked-examples/pump-set-on-two-legs.md"),
    include_str!("../../worked-examples/rope-locker.md"),
    include_str!("../../worked-examples/sack-to-the-bin-floor.md"),
    include_str!("../../worked-examples/sluice-gate.md"),
    include_str!("../../worked-examples/stone-lintel.md"),
    include_str!("../../worked-examples/two-rovings-compared.md"),
    include_str!("../../worked-examples/yard-kinds.md"),
];
// With one of every mistake.
const CASES: [&str; 7] = [
    include_str!("../../tests/cases/syntax/lists.md"),
    include_str!("../../tests/cases/syntax/more-mistakes.md"),
    include_str!("../../tests/cases/syntax/recovery.md"),
    include_str!("../../tests/cases/syntax/single-mistakes.md"),
    include_str!("../../tests/cases/syntax/slips.md"),
    include_str!("../../tests/cases/syntax/statements.md"),
    include_str!("../../tests/cases/syntax/tables.md"),
];

// One text that is read by itself, and how.
#[derive(Debug, Clone, Copy)]
enum Sort {
    Statement(Rule),
    Item(Rule),
    Stated,
    Inline,
}

fn fences(document: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut fence: Option<String> = None;
    for line in document.lines() {
        if line.trim_start().starts_with("```") {
            match fence.take() {
                Some(fence) => found.push(fence),
                None if line.contains("rig") => fence = Some(String::new()),
                None => {}
            }
        } else if let Some(fence) = &mut fence {
            fence.push_str(line);
            fence.push('\n');
        }
    }
    found
}

fn word(text: &str) -> &str {
    text.split(|c: char| !(c.is_alphanumeric() || c == '_')).next().unwrap_or("")
}

fn texts(documents: &[&str]) -> Vec<(Sort, String)> {
    let mut found = Vec::new();
    for fence in documents.iter().flat_map(|document| fences(document)) {
        let all = lines(&fence);
        let said = |group: &[Line]| fence.get(whole(group).range()).unwrap_or("").to_string();
        for group in groups(&all) {
            let text = said(group);
            let rule = read::form_of(word(&text), &text);
            let (head, below) = group.split_at(if read::has_lines(rule) { 1 } else { group.len() });
            found.push((Sort::Statement(rule), said(head)));
            for line in groups(below) {
                let text = said(line);
                match read::item_form(word(&text)) {
                    Some(item) if rule == Rule::kind => found.push((Sort::Item(item), text)),
                    _ => {
                        // The value begins behind one word or two, and what stands behind is read whichever it is.
                        let cut = text.find(' ').map_or("", |at| &text[at..]);
                        found.push((Sort::Stated, cut.to_string()));
                        found.push((Sort::Stated, cut.trim_start().find(' ').map_or("", |at| &cut.trim_start()[at..]).to_string()));
                    }
                }
            }
        }
    }
    let values: Vec<(Sort, String)> =
        found.iter().filter_map(|(_, text)| Some((Sort::Inline, text.split_once('=')?.1.split('"').next()?.to_string()))).collect();
    found.extend(values);
    found
}

// What the grammar makes of a text where it was read quickly; the two have to be one and the same.
fn same(sort: Sort, text: &str) -> bool {
    fn hold<T: std::fmt::Debug + PartialEq>(quick: Option<T>, grammar: impl FnOnce() -> Lowered<T>, text: &str) -> bool {
        let Some(quick) = quick else { return false };
        match grammar() {
            Ok(read) => assert_eq!(quick, read, "{text}"),
            Err(Fault { finding, .. }) => panic!("read quickly, and refused by the grammar: {text:?}: {}", finding.headline()),
        }
        true
    }
    const BASE: u32 = 7;
    match sort {
        Sort::Statement(rule) => {
            hold::<Statement>(quick_lines::statement(rule, text, BASE), || read::statement_by_grammar(rule, text, BASE), text)
        }
        Sort::Item(rule) => hold::<KindItem>(quick_lines::item(rule, text, BASE), || read::item_by_grammar(rule, text, BASE), text),
        Sort::Stated => hold(quick_lines::stated(text, BASE), || read::stated_by_grammar(text, BASE), text),
        Sort::Inline => hold(quick_lines::inline(text, 0), || read::inline_by_grammar(text), text),
    }
}

#[test]
fn both_readers_make_one_tree_of_every_document() {
    let all = texts(&DOCUMENTS);
    let statements = |(sort, _): &&(Sort, String)| matches!(sort, Sort::Statement(_) | Sort::Item(_));
    let quick = all.iter().filter(|(sort, text)| same(*sort, text) && statements(&&(*sort, String::new()))).count();
    let whole = all.iter().filter(statements).count();
    assert!(quick * 10 > whole * 9, "most lines are read quickly: {quick} of {whole}");
    texts(&CASES).iter().for_each(|(sort, text)| {
        same(*sort, text);
    });
}

const PIECES: [&str; 84] = [
    " ",
    "\n",
    "\t",
    "# x\n",
    "(",
    ")",
    "[",
    "]",
    ",",
    ".",
    "..",
    "-",
    "->",
    "−",
    "−>",
    "+",
    "+/-",
    "*",
    "**",
    "×",
    "·",
    "/",
    "÷",
    "^",
    "^-2",
    "²",
    "⁻¹",
    "°",
    "'",
    "′",
    "%",
    "‰",
    "±",
    "=",
    "==",
    "<",
    "<=",
    "≤",
    ">",
    ":",
    "|",
    "\"",
    "\\",
    "\"a\"",
    "\"\\\"\"",
    "1",
    "2.5",
    "1_0",
    "1e",
    "e3",
    "1e400",
    "_",
    "a",
    " kN",
    "kN/m",
    " ft-lb",
    " in",
    " in 3 steps",
    " of value",
    " of ",
    ".each",
    " each ",
    " for i from 1 to 3",
    " as kN",
    " from \"x\"",
    " when ",
    " and ",
    " or ",
    " is not ",
    " given",
    "raising",
    " default ",
    "μ",
    "é",
    "日",
    "\u{301}",
    "\u{A0}",
    "\u{2009}",
    " (k=2)",
    " (u)",
    " repeats",
    " by x",
    "sum(",
    "weight(",
];

#[test]
fn both_readers_make_one_tree_of_edits() {
    let all = texts(&DOCUMENTS);
    let mut state = 0x9E37_79B9_7F4A_7C15_u64;
    let mut next = |below: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        usize::try_from(state % below.max(1) as u64).unwrap_or(0)
    };
    let mut quick = 0;
    for _ in 0..8_000 {
        let (sort, text) = &all[next(all.len())];
        let mut letters: Vec<String> = text.chars().map(String::from).collect();
        for _ in 0..=next(2) {
            let at = next(letters.len() + 1);
            let end = (at + next(3)).min(letters.len());
            letters.splice(at..end, std::iter::once(PIECES[next(PIECES.len())].to_string()));
        }
        // The form goes by the first word, and that may be another now.
        let text = letters.concat();
        let sort = match sort {
            Sort::Statement(_) => Sort::Statement(read::form_of(word(&text), &text)),
            Sort::Item(_) => read::item_form(word(&text)).map_or(Sort::Stated, Sort::Item),
            other => *other,
        };
        quick += usize::from(same(sort, &text));
    }
    assert!(quick > 1_000, "enough of the edits are still well formed: {quick}");
}

// The first was found by edits in great number, the others stand near it.
#[test]
fn both_readers_stop_at_the_same_blank() {
    for text in
        ["post.\u{A0}ated", "post. ated", "post.\nated", "3\u{A0}kN", "3 kN\u{2009}/ 2", "f\u{A0}(2)", "2 kN ^ 2", "5 m-2", "1e\u{2212}3"]
    {
        same(Sort::Inline, text);
    }
}

#[test]
fn the_words_kept_apart_are_those_of_the_grammar() {
    for word in RESERVED {
        assert!(Grammar::parse(Rule::name, word).is_err(), "{word}");
    }
    for word in NO_UNITS {
        assert!(Grammar::parse(Rule::name, word).is_ok() && Grammar::parse(Rule::unit, word).is_err(), "{word}");
    }
    // A word of the grammar that is missing above would be read as a name, or as a unit.
    let words = Rule::all_rules().iter().filter_map(|rule| format!("{rule:?}").strip_prefix("word_").map(String::from));
    for word in words {
        assert_eq!(Grammar::parse(Rule::name, &word).is_err(), RESERVED.contains(&word.as_str()), "{word}");
        let no_unit = RESERVED.contains(&word.as_str()) || NO_UNITS.contains(&word.as_str());
        assert_eq!(Grammar::parse(Rule::unit, &word).is_err(), no_unit, "{word}");
    }
}
