//! What was found in several sheets in the XML that build servers read as JUnit reports: a suite for each sheet, a case for
//! its document and one for each check. It holds no times, so that the same sheets give the same bytes.

use crate::house::SignOff;
use crate::output::Style;
use crate::output::departure::departure_text;
use crate::output::json::Findings;
use crate::output::sarif::verdict_words;
use crate::output::terminal::{fault_words, notice};
use crate::sheet::parts::{CheckRow, Notice};
use crate::sheet::{ASSUMPTION_OPEN, BY_CONVENTION, Departure, NOT_EVALUATED, STALE, UNSIGNED};
use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesText, Event};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::io;

const DOCUMENT: &str = "the document is in order";
const RESULTS: &str = "the results are as accepted";
const SIGNED: &str = "the sign-off is as the project file demands";

// One case of a suite, ready to be written.
struct Case {
    name: String,
    outcome: Outcome,
    // What is to be told although nothing is wrong.
    aside: String,
}

enum Outcome {
    Passed,
    // Each with its sort, a line, and the whole text.
    Failed(String, String, String),
    Wrong(String, String, String),
    Skipped(String),
}

/// The report, ending with a line feed.
pub fn junit(documents: &[Findings<'_>]) -> String {
    let suites: Vec<(&str, Vec<Case>)> = documents.iter().map(|document| (document.path, cases(document))).collect();
    let mut writer = Writer::new_with_indent(Vec::new(), b' ', 2);
    // Writing into memory does not fail; the report would end where it did.
    let _ = written(&mut writer, &suites);
    let mut text = String::from_utf8(writer.into_inner()).unwrap_or_default();
    text.push('\n');
    text
}

fn written(writer: &mut Writer<Vec<u8>>, suites: &[(&str, Vec<Case>)]) -> io::Result<()> {
    writer.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)))?;
    let all = || suites.iter().flat_map(|(_, cases)| cases);
    let counts = |cases: &mut dyn Iterator<Item = &Case>| {
        let (mut failed, mut wrong, mut skipped, mut tests) = (0, 0, 0, 0);
        for case in cases {
            tests += 1;
            match case.outcome {
                Outcome::Passed => {}
                Outcome::Failed(..) => failed += 1,
                Outcome::Wrong(..) => wrong += 1,
                Outcome::Skipped(_) => skipped += 1,
            }
        }
        [tests, failed, wrong, skipped].map(|count| count.to_string())
    };
    let [tests, failed, wrong, _] = counts(&mut all());
    let root = writer.create_element("testsuites").with_attributes([
        ("name", env!("CARGO_PKG_NAME")),
        ("tests", tests.as_str()),
        ("failures", failed.as_str()),
        ("errors", wrong.as_str()),
    ]);
    root.write_inner_content(|writer| {
        for (path, cases) in suites {
            let [tests, failed, wrong, skipped] = counts(&mut cases.iter());
            let path = legal(path);
            let suite = writer.create_element("testsuite").with_attributes([
                ("name", path.as_ref()),
                ("tests", tests.as_str()),
                ("failures", failed.as_str()),
                ("errors", wrong.as_str()),
                ("skipped", skipped.as_str()),
                ("file", path.as_ref()),
            ]);
            suite.write_inner_content(|writer| cases.iter().try_for_each(|case| one(writer, &path, case)))?;
        }
        Ok(())
    })?;
    Ok(())
}

fn one(writer: &mut Writer<Vec<u8>>, path: &str, case: &Case) -> io::Result<()> {
    let name = legal(&case.name);
    let element = writer.create_element("testcase").with_attributes([("name", name.as_ref()), ("classname", path)]);
    if matches!(case.outcome, Outcome::Passed) && case.aside.is_empty() {
        element.write_empty()?;
        return Ok(());
    }
    element.write_inner_content(|writer| {
        match &case.outcome {
            Outcome::Passed => {}
            Outcome::Skipped(message) => {
                writer.create_element("skipped").with_attribute(("message", legal(message).as_ref())).write_empty()?;
            }
            Outcome::Failed(sort, message, text) => told(writer, "failure", (sort, message, text))?,
            Outcome::Wrong(sort, message, text) => told(writer, "error", (sort, message, text))?,
        }
        if !case.aside.is_empty() {
            writer.create_element("system-out").write_text_content(BytesText::new(&legal(&case.aside)))?;
        }
        Ok(())
    })?;
    Ok(())
}

fn told(writer: &mut Writer<Vec<u8>>, element: &str, (sort, message, text): (&str, &str, &str)) -> io::Result<()> {
    let message = legal(message);
    let element = writer.create_element(element).with_attributes([("type", sort), ("message", message.as_ref())]);
    element.write_text_content(BytesText::new(&legal(text)))?;
    Ok(())
}

fn cases(document: &Findings<'_>) -> Vec<Case> {
    let mut cases = vec![about_document(document)];
    cases.extend(document.departure.map(|departure| about_results(document.path, departure)));
    let mut met: BTreeMap<&str, usize> = BTreeMap::new();
    for check in document.sheet.map_or(&[][..], |sheet| &sheet.checks) {
        // Servers follow a case by its name from run to run: two of one title are numbered.
        let times = met.entry(&check.title).or_default();
        *times += 1;
        let name = if *times == 1 { check.title.clone() } else { format!("{} ({times})", check.title) };
        cases.push(about_check(name, check, document.demands.refuses_not_evaluated));
    }
    cases.extend(about_demands(document));
    cases
}

fn about_document(document: &Findings<'_>) -> Case {
    let told = |notices: &mut dyn Iterator<Item = &Notice>| notices.map(|found| notice(found, Style::default())).collect::<Vec<_>>();
    let errors = || document.notices.iter().filter(|notice| notice.severity == "error");
    let aside = told(&mut document.notices.iter().filter(|notice| notice.severity != "error")).join("\n");
    let outcome = match errors().next() {
        _ if !document.fault.is_empty() => {
            let words = fault_words(document.fault);
            Outcome::Wrong("fault".to_string(), words.clone(), words)
        }
        Some(first) => {
            let more = match errors().count() - 1 {
                0 => String::new(),
                more => format!(", and {more} more"),
            };
            let message = format!("{}:{}: {}{more}", first.place.path, first.place.line, first.headline);
            Outcome::Wrong(first.slug.clone(), message, told(&mut errors()).join("\n"))
        }
        // A project file has no sheet, and may have nothing graver than a warning.
        None if document.sheet.map_or(document.notices.is_empty(), |sheet| !sheet.complete) => {
            let words = "not everything in it could be worked".to_string();
            Outcome::Wrong("incomplete".to_string(), words.clone(), words)
        }
        None => Outcome::Passed,
    };
    Case { name: DOCUMENT.to_string(), outcome, aside }
}

fn about_results(path: &str, departure: &Departure) -> Case {
    let text = departure_text(path, departure);
    let (outcome, aside) = match departure.moved.as_slice() {
        [] => (Outcome::Passed, text),
        moved => {
            let words = format!("{} of {} results moved from what was accepted", moved.len(), departure.compared);
            (Outcome::Failed("result-moved".to_string(), words, text), String::new())
        }
    };
    Case { name: RESULTS.to_string(), outcome, aside }
}

// A case for each assumption and one for the sign-off, where the project file demands something of them.
fn about_demands(document: &Findings<'_>) -> Vec<Case> {
    let Some(sheet) = document.sheet else { return Vec::new() };
    let refused = document.refused();
    let outcome = |rules: [&str; 2], name: &str| match refused.iter().find(|one| rules.contains(&one.rule) && one.name == name) {
        Some(one) => Outcome::Failed(one.rule.to_string(), one.text.clone(), one.text.clone()),
        None => Outcome::Passed,
    };
    let case = |name: String, outcome: Outcome| Case { name, outcome, aside: String::new() };
    let mut cases = Vec::new();
    if document.demands.refuses_open_assumptions {
        let rows = sheet.assumptions.iter().filter(|row| row.state != BY_CONVENTION);
        cases.extend(rows.map(|row| case(format!("the assumption {} is confirmed", row.name), outcome([ASSUMPTION_OPEN; 2], &row.name))));
    }
    if document.demands.sign_off != SignOff::None {
        cases.push(case(SIGNED.to_string(), outcome([UNSIGNED, STALE], "")));
    }
    cases
}

fn about_check(name: String, check: &CheckRow, refused: bool) -> Case {
    let words = verdict_words(check);
    let (outcome, aside) = match check.accepted {
        Some(true) => (Outcome::Passed, words),
        Some(false) => (Outcome::Failed(format!("verdict-{}", check.verdict_class), words.clone(), words), String::new()),
        None if refused => (Outcome::Failed(NOT_EVALUATED.to_string(), words.clone(), words), String::new()),
        None => (Outcome::Skipped(words), String::new()),
    };
    Case { name, outcome, aside }
}

// XML 1.0 has no place for most control characters, not even written as references (its production 2, Char).
fn legal(text: &str) -> Cow<'_, str> {
    let barred = |c: char| matches!(c, '\0'..='\x08' | '\x0b' | '\x0c' | '\x0e'..='\x1f' | '\u{fffe}' | '\u{ffff}');
    if text.contains(barred) { text.replace(barred, "\u{fffd}").into() } else { text.into() }
}

#[cfg(test)]
mod tests {
    use super::junit;
    use crate::house::Demands;
    use crate::output::fixture::{emptiest, fullest};
    use crate::output::json::Findings;
    use quick_xml::events::Event;
    use quick_xml::{Reader, XmlVersion};

    // The names of elements, and every attribute with its value as a reader of XML has it.
    fn read(text: &str) -> Vec<(String, Vec<(String, String)>)> {
        let mut reader = Reader::from_str(text);
        let mut elements = Vec::new();
        loop {
            match reader.read_event().expect("well-formed") {
                Event::Start(element) | Event::Empty(element) => {
                    let attributes = element.attributes().map(|attribute| {
                        let attribute = attribute.expect("an attribute");
                        let value = attribute.normalized_value(XmlVersion::Implicit1_0).expect("its value").into_owned();
                        (attribute.key.as_ref().to_string(), value)
                    });
                    elements.push((element.name().as_ref().to_string(), attributes.collect()));
                }
                Event::Eof => return elements,
                _ => {}
            }
        }
    }

    #[test]
    fn counts_agree_with_what_is_listed() {
        let (full, empty) = (fullest(), emptiest());
        let text = junit(&[
            Findings {
                path: "a&b/<c>.md",
                sheet: Some(&full),
                notices: &full.notices,
                fault: "",
                departure: None,
                demands: Demands::default(),
            },
            Findings { path: "b.md", sheet: Some(&empty), notices: &[], fault: "", departure: None, demands: Demands::default() },
            Findings { path: "c.md", sheet: None, notices: &[], fault: "it \u{1} broke", departure: None, demands: Demands::default() },
        ]);
        let elements = read(&text);
        let count = |name: &str| elements.iter().filter(|(element, _)| element == name).count().to_string();
        let root = &elements.first().expect("a root").1;
        let stated = |name: &str| root.iter().find(|(key, _)| key == name).map(|(_, value)| value.clone()).unwrap_or_default();
        assert_eq!((stated("tests"), stated("failures"), stated("errors")), (count("testcase"), count("failure"), count("error")));
        assert_eq!(count("testsuite"), "3");
        assert!(elements.iter().any(|(_, attributes)| attributes.iter().any(|(_, value)| value == "a&b/<c>.md")));
        assert!(text.contains('\u{fffd}') && !text.contains('\u{1}'));
    }
}
