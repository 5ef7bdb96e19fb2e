//! Every number of every worked example against the rules for printing quantities: NIST SP 811, the SI Brochure and
//! JCGM 100 as named beside each rule. The rules are stated from those documents, in part from memory.

use crate::support::compile::compile_text;
use crate::support::folders;
use parbuckle::units::with_doubt;
use serde_json::Value;

const THIN: char = '\u{202f}';
const NO_BREAK: char = '\u{a0}';

struct Printed {
    place: String,
    number: String,
    doubt: String,
    unit: String,
    text: String,
}

// Every figure of the JSON of every worked example.
fn figures() -> Vec<Printed> {
    let mut found = Vec::new();
    for path in folders::files_under(&folders::project().join("tests/golden"), "json") {
        let read: Value = serde_json::from_str(&folders::text_of(&path)).expect("JSON");
        gather(&read, &folders::relative(&path), &mut found);
    }
    assert!(found.len() > 2000, "{} figures", found.len());
    found
}

fn gather(value: &Value, place: &str, found: &mut Vec<Printed>) {
    match value {
        Value::Object(fields) => {
            let text = |name: &str| fields.get(name).and_then(Value::as_str).map(str::to_string);
            if let (Some(number), Some(doubt), Some(unit), Some(all), true) =
                (text("number"), text("doubt"), text("unit"), text("text"), fields.contains_key("si"))
            {
                found.push(Printed { place: place.to_string(), number, doubt, unit, text: all });
            }
            fields.iter().for_each(|(name, value)| gather(value, &format!("{place} {name}"), found));
        }
        Value::Array(items) => items.iter().enumerate().for_each(|(at, item)| gather(item, &format!("{place} {at}"), found)),
        _ => {}
    }
}

fn hold(rule: &str, wrong: impl Fn(&Printed) -> bool) {
    let faults: Vec<String> =
        figures().iter().filter(|one| wrong(one)).map(|one| format!("{}: {:?}", one.place, one.text)).take(10).collect();
    assert!(faults.is_empty(), "{rule}\n{}", faults.join("\n"));
}

// A list of numbers in one cell, or a number in words.
fn is_list(one: &Printed) -> bool {
    one.number.contains(", ") || one.number.contains('∞')
}

fn mantissa(number: &str) -> &str {
    number.split(&format!("{NO_BREAK}×{NO_BREAK}10")).next().unwrap_or(number)
}

fn decimals(number: &str) -> usize {
    mantissa(number).split_once('.').map_or(0, |(_, part)| part.chars().filter(char::is_ascii_digit).count())
}

#[test]
fn a_space_stands_between_number_and_unit_but_not_before_the_marks_of_an_angle() {
    // SP 811 7.2; SI Brochure 9, 5.4.3.
    hold("number, no-break space, unit", |one| {
        !one.unit.is_empty()
            && match one.unit.as_str() {
                "°" | "′" | "″" => one.text.contains(NO_BREAK) && one.doubt.is_empty() || !one.text.ends_with(&one.unit),
                unit => !one.text.ends_with(&format!("{NO_BREAK}{unit}")),
            }
    });
}

#[test]
fn units_are_joined_by_dots_and_by_one_solidus() {
    // SP 811 6.1.5, 6.1.6; no names, no plural, no stop: 6.1.2 to 6.1.4, 6.1.7.
    hold("a raised dot between units, one solidus, nothing that is no unit", |one| {
        let bare = one.unit.split('(').next().unwrap_or("");
        one.unit.contains(['*', '^', ' ', '.', ',']) || bare.matches('/').count() > 1
    });
}

#[test]
fn digits_stand_in_threes_and_the_point_has_a_zero_before_it() {
    // SP 811 10.5.2, 10.5.3; SI Brochure 9, 5.4.4; a true minus: 5.4.6.
    hold("groups of three, thin no-break spaces, a zero before the point, U+2212", |one| {
        !is_list(one)
            && [&one.number, &one.doubt].iter().any(|number| {
                let digits = mantissa(number).trim_start_matches('−');
                let long = digits.split(['.', THIN]).any(|run| run.chars().filter(char::is_ascii_digit).count() > 4);
                long || digits.starts_with('.') || digits.contains([',', '-', ' ', '*']) || digits.contains('x')
            })
    });
}

#[test]
fn doubt_has_two_figures_at_most_and_the_value_ends_where_it_ends() {
    // JCGM 100:2008 7.2.6. An input keeps the figures that its author wrote, so it is left out.
    hold("doubt to two figures, value to the same place", |one| {
        let stated = one.place.contains(" inputs ")
            || one.place.contains(" assumptions ")
            || one.place.contains("settings")
            || one.place.contains("ratings")
            || one.place.contains(" rows ");
        let figures = mantissa(&one.doubt).chars().filter(char::is_ascii_digit).collect::<String>();
        let significant = figures.trim_start_matches('0').trim_end_matches('0').len();
        !stated && !one.doubt.is_empty() && (significant > 2 || decimals(&one.number) != decimals(&one.doubt))
    });
}

#[test]
fn what_the_doubt_belongs_to_is_clear() {
    // SP 811 7.7; SI Brochure 9, 5.4.5: (value ± doubt) unit.
    hold("brackets round value and doubt before a unit", |one| {
        !one.doubt.is_empty() && !one.unit.is_empty() && !one.text.starts_with('(') && !is_list(one)
    });
}

#[test]
fn published_examples_of_rounding() {
    let pair = |value, doubt| {
        let (value, doubt) = with_doubt(value, doubt);
        (value.replace(THIN, ""), doubt.replace(THIN, ""))
    };
    // JCGM 100:2008 7.2.6: 28.05 kHz becomes 28 kHz. Of 10.47 mΩ it says that rounding up to 11 is permitted; here it is to the nearest.
    assert_eq!(pair(0.0, 28.05).1, "28");
    assert_eq!(pair(0.0, 10.47).1, "10");
    // JCGM 100:2008 7.2.2 (from memory).
    assert_eq!(pair(100.02147, 0.00035), ("100.02147".into(), "0.00035".into()));
    // By 7.2.6, reckoned by hand: no negative nothing, trailing zeros kept.
    assert_eq!(pair(-0.0004, 0.0123), ("0.000".into(), "0.012".into()));
    assert_eq!(pair(2.5, 0.25), ("2.50".into(), "0.25".into()));
    // 1.55 held in binary is a little more than 1.55, and either way 1.6.
    assert_eq!(pair(123.456, 1.55), ("123.5".into(), "1.6".into()));
}

// SP 811, 7.2 (from memory) writes an angle in degrees and minutes with the parts side by side, and so is a length in feet and inches in trade.
#[test]
fn parts_of_one_quantity_stand_side_by_side_in_a_formula() {
    let seen = compile_text("```rig\nleft = 8 ft - 5 ft 6 in as in\nacross = cos(30° 15′)\n```\n");
    let text = parbuckle::output::text(&seen.sheet.expect("a sheet")).replace(NO_BREAK, " ");
    assert!(text.contains("left = 8 ft − 5 ft 6 in = 30 in"), "{text}");
    assert!(text.contains("across = cos(30° 15′) = 0.8638"), "{text}");
}
