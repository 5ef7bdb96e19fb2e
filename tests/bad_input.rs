//! What cannot be a sheet, or is meant to break one: a clear finding each, and never a panic.

use crate::support::compile::compile_text;
use parbuckle::source::Text;
use parbuckle::{Engine, Files, Notice, Outcome, SheetPath, Unreadable};
use std::collections::BTreeMap;

// Files of which some cannot be read.
struct Shelf(BTreeMap<String, Result<Text, Unreadable>>);

impl Files for Shelf {
    fn read(&self, path: &SheetPath) -> Result<Text, Unreadable> {
        self.0.get(path.as_str()).cloned().unwrap_or(Err(Unreadable::Missing))
    }
}

fn outcome(path: &str, entries: Vec<(&str, Result<Text, Unreadable>)>) -> Outcome {
    let shelf = Shelf(entries.into_iter().map(|(path, entry)| (path.to_string(), entry)).collect());
    let report = Engine::new().compile(&shelf, &[SheetPath::new(path)]);
    report.outcomes.into_iter().next().expect("one outcome a root")
}

fn only_error(notices: &[Notice]) -> &Notice {
    let errors: Vec<&Notice> = notices.iter().filter(|notice| notice.severity == "error").collect();
    assert_eq!(errors.len(), 1, "{notices:?}");
    errors[0]
}

#[test]
fn a_root_that_cannot_be_read_says_why() {
    let faults = [
        (Unreadable::Missing, "file-missing"),
        (Unreadable::NotText { at: 17 }, "file-not-text"),
        (Unreadable::TooLarge { bytes: 52_428_800, limit: 16_777_216 }, "file-too-large"),
        (Unreadable::Outside, "file-outside-project"),
        (Unreadable::Denied("permission denied".to_string()), "file-denied"),
    ];
    for (fault, slug) in faults {
        let seen = outcome("sheet.md", vec![("sheet.md", Err(fault.clone()))]);
        assert!(seen.sheet.is_none(), "{fault:?}");
        let notice = only_error(&seen.notices);
        assert_eq!((notice.slug.as_str(), notice.place.path.as_str()), (slug, "sheet.md"), "{fault:?}");
    }
}

#[test]
fn a_used_file_that_cannot_be_read_says_why_where_it_is_used() {
    let sheet = "# Sheet\n\n```rig\nuse \"gear.md\" as locker\ntake run = 4 m from \"tape\"\n```\n";
    let faults = [
        (Unreadable::Missing, "file-missing"),
        (Unreadable::NotText { at: 17 }, "file-not-text"),
        (Unreadable::TooLarge { bytes: 52_428_800, limit: 16_777_216 }, "file-too-large"),
        (Unreadable::Denied("permission denied".to_string()), "file-denied"),
    ];
    for (fault, slug) in faults {
        let seen = outcome("sheet.md", vec![("sheet.md", Ok(Text::new(sheet))), ("gear.md", Err(fault.clone()))]);
        let notice = only_error(&seen.notices);
        assert_eq!((notice.slug.as_str(), notice.place.path.as_str(), notice.place.line), (slug, "sheet.md", 4), "{fault:?}");
        let sheet = seen.sheet.expect("the rest is still worked");
        assert!(!sheet.complete && sheet.values.iter().any(|value| value.name == "run"));
    }
}

#[test]
fn a_setting_by_another_name_is_led_to_those_that_begin_alike() {
    for (written, meant) in [
        ("driver radius 60 mm", "did you mean `driver diameter`, `driver teeth`?"),
        ("driver diamter 60 mm", "did you mean `driver diameter`?"),
        ("frction 0.3", "did you mean `friction`?"),
    ] {
        let text = format!("```rig\nmachine far = belt\n    load 40 N·m\n    {written}\n```\n");
        let seen = compile_text(&text);
        let unknown = seen.notices.iter().find(|notice| notice.slug == "field-unknown").expect("it is no setting");
        let help = &unknown.help;
        assert!(help.starts_with(meant.trim_end_matches('?')), "{written}: {help}");
    }
}

#[test]
fn an_empty_document_is_an_empty_sheet() {
    for text in ["", "\n", "   \n\t\n", "\u{feff}"] {
        let seen = compile_text(text);
        let slugs: Vec<&str> = seen.notices.iter().map(|notice| notice.slug.as_str()).collect();
        assert_eq!(slugs, ["empty-sheet"], "{text:?}");
        assert_eq!(seen.notices[0].severity, "warning");
        assert!(seen.sheet.is_some_and(|sheet| sheet.complete && sheet.values.is_empty()), "{text:?}");
    }
}

#[test]
fn a_byte_order_mark_moves_nothing() {
    let text = "```rig\ntake run = 4 m from \"tape\"\nx = 2 * rum\n```\n";
    let with = compile_text(&format!("\u{feff}{text}"));
    assert_eq!(with.notices.len(), 1, "{:?}", with.notices);
    assert_eq!((with.notices[0].place.line, with.notices[0].place.column), (3, 9));
}

#[test]
fn brackets_without_end_are_one_finding() {
    let many = 100_000;
    for text in [
        format!("x = {}1{}", "(".repeat(many), ")".repeat(many)),
        format!("x = {}", "(".repeat(many)),
        format!("x = {}", ")".repeat(many)),
        format!("x = {}1{}", "[".repeat(many), "]".repeat(many)),
        format!("x = {}1", "-".repeat(many)),
        format!("x = 1{}", " + 1".repeat(many)),
        format!("x = 2{}", "^2".repeat(many)),
        format!("x = {}1{}", "sqrt(".repeat(many), ")".repeat(many)),
    ] {
        let seen = compile_text(&format!("```rig\n{text}\nafter = 2\n```\n"));
        let start: String = text.chars().take(16).collect();
        assert_eq!(seen.notices.len(), 1, "{start}: {} findings", seen.notices.len());
        assert_eq!(seen.notices[0].place.line, 2, "{start}");
        let slug = seen.notices[0].slug.as_str();
        let known = ["nested-too-deep", "expression-too-long", "unclosed-bracket", "stray-bracket"];
        assert!(known.contains(&slug), "{start}: {slug}");
        let sheet = seen.sheet.expect("a sheet came of it");
        assert!(sheet.values.iter().any(|value| value.name == "after" && value.figure.is_some()), "{start}");
    }
}

#[test]
fn a_value_over_many_lines_stays_code() {
    let text = format!("The pull is `rig 1{}` in all.\n", " +\n1".repeat(40));
    let seen = compile_text(&text);
    let slugs: Vec<&str> = seen.notices.iter().map(|notice| notice.slug.as_str()).collect();
    assert_eq!(slugs, ["value-too-long"]);
}

#[test]
fn a_long_sheet_is_worked() {
    let lines: String = (0..3000).map(|at| format!("x{at} = {at} m\n")).collect();
    let seen = compile_text(&format!("```rig\n{lines}```\n"));
    assert!(seen.notices.is_empty());
    assert_eq!(seen.sheet.map(|sheet| sheet.values.len() >= 3000), Some(true));
}

#[test]
fn a_long_line_and_strange_characters_are_answered() {
    let long = "a".repeat(1_000_000);
    for text in [
        format!("x = {long}"),
        format!("take x = 3 m from \"{long}\""),
        "x = \u{202e}3 m".to_string(),
        "x = 1e999".to_string(),
        "x = 1e-999".to_string(),
        "x = 99999999999999999999999999999999999999 m".to_string(),
        "t[i] = i for i from 1 to 1000000000000".to_string(),
        "x = sum(i for i from 1 to 1000000000000)".to_string(),
        "x = 10^10^10".to_string(),
        "x = exp(1e6)".to_string(),
        "x = sqrt(-1)".to_string(),
        "x = ln(0)".to_string(),
        "x = asin(2)".to_string(),
        "x = 0/0".to_string(),
    ] {
        let seen = compile_text(&format!("```rig\n{text}\nafter = 2\n```\n"));
        let start: String = text.chars().take(40).collect();
        let sheet = seen.sheet.expect("a sheet came of it");
        assert!(sheet.values.iter().any(|value| value.name == "after" && value.figure.is_some()), "{start}");
        let finite = sheet.values.iter().flat_map(|value| value.figure.iter().chain(&value.items)).all(|figure| figure.si.is_finite());
        assert!(finite, "{start}");
    }
}

#[test]
fn a_byte_of_value_zero_is_one_finding() {
    for text in ["```rig\nx = 1\u{0}2\n```\n", "\u{0}", "prose\u{0}\n"] {
        let seen = compile_text(text);
        assert_eq!(only_error(&seen.notices).slug, "nul-byte", "{text:?}");
    }
}

#[test]
fn a_long_chain_of_used_files_is_followed() {
    let count = 200;
    let entries: Vec<(String, Text)> = (0..count)
        .map(|at| {
            let body = if at + 1 < count { format!("use \"f{}.md\"\nx{at} = x{} + 1\n", at + 1, at + 1) } else { format!("x{at} = 1\n") };
            (format!("f{at}.md"), Text::new(&format!("```rig\n{body}```\n")))
        })
        .collect();
    let seen = outcome("f0.md", entries.iter().map(|(path, text)| (path.as_str(), Ok(text.clone()))).collect());
    assert!(seen.notices.is_empty(), "{:?}", seen.notices.first());
    let sheet = seen.sheet.expect("a sheet came of it");
    let x0 = sheet.values.iter().find(|value| value.name == "x0").and_then(|value| value.figure.as_ref());
    assert_eq!(x0.map(|figure| figure.si), Some(200.0));
}

#[test]
fn a_file_that_uses_itself_is_one_finding() {
    let seen = outcome("self.md", vec![("self.md", Ok(Text::new("```rig\nuse \"self.md\" as me\ntake run = 4 m from \"tape\"\n```\n")))]);
    assert_eq!(only_error(&seen.notices).slug, "use-cycle");
}

#[test]
fn a_second_head_is_one_error_and_the_rest_is_worked() {
    let seen = compile_text("```rig\nsheet A-1 \"The first\"\nsheet A-2 \"The second\"\nafter = 2\n```\n");
    assert_eq!(only_error(&seen.notices).slug, "sheet-twice");
    assert!(seen.sheet.expect("a sheet came of it").values.iter().any(|value| value.name == "after" && value.figure.is_some()));
}
