//! What is wrong with a piece that could not be read: the one most likely mistake, at its exact place.

use crate::diagnostics::catalogue::studies::StudyIncomplete;
use crate::diagnostics::catalogue::syntax;
use crate::source::Extent;
use crate::syntax::expression::Fault;
use crate::syntax::parser::Rule;
use crate::syntax::slips::Stop;
use pest::error::{Error, ErrorVariant, InputLocation};

/// How many brackets may stand inside each other.
pub(crate) const BRACKETS: usize = 60;

fn one(at: usize, letter: char, base: u32) -> Extent {
    Extent::new(at, at + letter.len_utf8()).shifted(base)
}

/// The faults that can be seen letter by letter, before parsing: marks that do not pair, marks from elsewhere.
pub(crate) fn scan(text: &str, base: u32) -> Option<Fault> {
    let mut open: Vec<(usize, char)> = Vec::new();
    let mut letters = text.char_indices().peekable();
    let mut before = ' ';
    while let Some((at, letter)) = letters.next() {
        let next = letters.peek().map(|(_, next)| *next);
        match letter {
            '"' => {
                let mut closed = false;
                while let Some((_, inside)) = letters.next() {
                    match inside {
                        '\\' => drop(letters.next_if(|(_, escaped)| *escaped != '\n')),
                        '"' => closed = true,
                        '\n' => break,
                        _ => continue,
                    }
                    if closed {
                        break;
                    }
                }
                if !closed {
                    return Some(Fault::new(one(at, letter, base), syntax::UnclosedQuote {}));
                }
            }
            '#' => while letters.next_if(|(_, inside)| *inside != '\n').is_some() {},
            '“' | '”' | '„' | '«' | '»' => {
                return Some(Fault::new(one(at, letter, base), syntax::CurlyQuote { found: letter.to_string() }));
            }
            '(' | '[' => {
                open.push((at, letter));
                if open.len() > BRACKETS {
                    return Some(Fault::new(one(at, letter, base), syntax::NestedTooDeep { limit: BRACKETS }));
                }
            }
            ')' | ']' => {
                let expected = open.pop().map(|(_, opened)| if opened == '(' { ')' } else { ']' });
                match expected {
                    None => return Some(Fault::new(one(at, letter, base), syntax::StrayBracket { bracket: letter.to_string() })),
                    Some(close) if close != letter => {
                        let finding = syntax::WrongBracket { found: letter.to_string(), close: close.to_string() };
                        return Some(Fault::new(one(at, letter, base), finding));
                    }
                    Some(_) => {}
                }
            }
            '=' if next == Some('=') && compares(text) => {
                return Some(Fault::new(Extent::new(at, at + 2).shifted(base), syntax::EqualsInComparison {}));
            }
            ':' | '=' if next == Some('=') => {
                let place = Extent::new(at, at + 2).shifted(base);
                return Some(Fault::new(place, syntax::DoubledEquals { found: format!("{letter}=") }));
            }
            ',' if before.is_ascii_digit() && next.is_some_and(|n| n.is_ascii_digit()) && !open.iter().any(|_| true) => {
                return Some(decimal_comma(text, at, base));
            }
            _ => {}
        }
        before = letter;
    }
    let (at, bracket) = open.pop()?;
    let close = if bracket == '(' { ")" } else { "]" };
    Some(Fault::new(one(at, bracket, base), syntax::UnclosedBracket { bracket: bracket.to_string(), close: close.into() }))
}

fn compares(text: &str) -> bool {
    ["check", "limit", "question", "sustains"].iter().any(|form| text.starts_with(form))
}

fn decimal_comma(text: &str, comma: usize, base: u32) -> Fault {
    let digit = |c: char| c.is_ascii_digit() || c == '_';
    let before = text.get(..comma).unwrap_or("");
    let after = text.get(comma + 1..).unwrap_or("");
    let start = before.trim_end_matches(digit).len();
    let end = comma + 1 + (after.len() - after.trim_start_matches(digit).len());
    let found = text.get(start..end).unwrap_or("").to_string();
    let mended = found.replace(',', ".");
    Fault::new(Extent::new(start, end).shifted(base), syntax::DecimalComma { found, mended })
}

/// The words for a rule that may be reported as expected.
pub(crate) fn human(rule: Rule) -> Option<String> {
    let name = format!("{rule:?}");
    if let Some(word) = name.strip_prefix("word_").filter(|word| *word != "state") {
        return Some(format!("`{word}`"));
    }
    Some(
        match rule {
            Rule::EOI => "the end of the statement",
            Rule::word_state => "a state",
            Rule::name | Rule::path | Rule::named | Rule::call_head => "a name",
            Rule::plain_word | Rule::words => "a word",
            Rule::string => "text in quotation marks",
            Rule::equals => "`=`",
            Rule::colon => "`:`",
            Rule::comma => "`,`",
            Rule::bar => "`|`",
            Rule::dot => "`.`",
            Rule::arrow => "`->`",
            Rule::open => "`(`",
            Rule::close => "`)`",
            Rule::open_square | Rule::index | Rule::indexed => "`[`",
            Rule::close_square => "`]`",
            Rule::plus_minus | Rule::doubt => "`±`",
            Rule::plus | Rule::minus | Rule::times | Rule::divide | Rule::power => "an operator",
            Rule::at_most | Rule::below | Rule::at_least | Rule::above => "a comparison sign",
            Rule::number => "a number",
            Rule::unit => "a unit",
            Rule::quantity
            | Rule::unit_term
            | Rule::bare_term
            | Rule::expression
            | Rule::call
            | Rule::list
            | Rule::group
            | Rule::doubted => "a value",
            Rule::comparison | Rule::count_test => "a comparison",
            Rule::evidence | Rule::confirmation => "evidence",
            Rule::sheet_number => "a sheet number",
            Rule::station => "a station",
            Rule::guard | Rule::guard_all | Rule::guard_given | Rule::guard_is => "a guard",
            Rule::coverage | Rule::standard => "`k=2` or `u`",
            Rule::signed | Rule::level => "a number",
            Rule::trapeze => "`trapezoidal`",
            Rule::degrees => "degrees of freedom",
            Rule::repeats => "`repeats`",
            Rule::steps_of => "`resolution`",
            Rule::of_value => "`of value`",
            Rule::read_by => "`by`",
            Rule::running => "`for`",
            Rule::as_unit => "`as`",
            Rule::when => "`when`",
            Rule::each => "`each`",
            Rule::fallback | Rule::chosen => "`default`",
            Rule::port => "a port",
            Rule::up_to => "`..`",
            Rule::by_step => "`by`",
            Rule::in_steps => "`in`",
            Rule::trials => "`over`",
            Rule::shown => "a value",
            Rule::demand | Rule::every_check => "a condition",
            Rule::against => "`against`",
            Rule::pinned => "`pinned`",
            _ => return None,
        }
        .to_string(),
    )
}

/// The fault that stopped the parser in `text`, which begins `base` bytes into its home.
pub(crate) fn diagnose(text: &str, base: u32, error: &Error<Rule>) -> Fault {
    let at = match error.location {
        InputLocation::Pos(at) | InputLocation::Span((at, _)) => at,
    };
    let expected: &[Rule] = match &error.variant {
        ErrorVariant::ParsingError { positives, .. } => positives,
        ErrorVariant::CustomError { .. } => &[],
    };
    let rest = text.get(at..).unwrap_or("");
    let before = text.get(..at).unwrap_or("").trim_end();
    let wants = |rule: Rule| expected.contains(&rule);
    let found: String = {
        let arrow: String = rest.chars().take_while(|c| "=-–—>".contains(*c)).collect();
        let word: String = rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
        if wants(Rule::arrow) && !arrow.is_empty() {
            arrow
        } else if word.is_empty() {
            rest.chars().take(1).collect()
        } else {
            word
        }
    };
    // At the end, the caret stands just behind the last thing that was read.
    let place = if found.is_empty() { Extent::new(before.len(), before.len()) } else { Extent::new(at, at + found.len()) }.shifted(base);
    let value =
        [Rule::quantity, Rule::unit_term, Rule::expression, Rule::named, Rule::group, Rule::list, Rule::path].into_iter().any(wants);
    let last: String = before.rsplit(|c: char| !(c.is_alphanumeric() || c == '_')).next().unwrap_or("").to_string();
    let tail = before.chars().next_back().unwrap_or(' ');
    if value && (before.ends_with('±') || before.ends_with("+/-")) {
        return Fault::new(place, syntax::DoubtWithoutAmount {});
    }
    if wants(Rule::word_triangular) || wants(Rule::degrees) || wants(Rule::word_degrees) || wants(Rule::word_freedom) {
        return Fault::new(place, syntax::UnreadDoubtMeaning {});
    }
    let form = text.split_whitespace().next().unwrap_or("").to_string();
    if let Some(fault) = by_form(&form, before, &found, place, &wants, &last) {
        return fault;
    }
    let stop = Stop { text, base, at, value, end: wants(Rule::EOI), equals: wants(Rule::equals), compared: wants(Rule::at_most) };
    if let Some(fault) = stop.slip() {
        return fault;
    }
    if value && rest.starts_with('.') && rest.chars().nth(1).is_some_and(|c| c.is_ascii_digit()) {
        return Fault::new(place, syntax::NumberWithoutLeadingDigit {});
    }
    if let (true, Some(second)) = (value && "+-*/^×÷·−".contains(tail), rest.chars().next().filter(|c| "+*/^×÷·".contains(*c))) {
        return Fault::new(place, syntax::TwoOperators { second: second.to_string() });
    }
    if rest.starts_with(['<', '>', '≤', '≥']) && !value {
        let second = before.contains(['<', '>', '≤', '≥']);
        return if second { Fault::new(place, syntax::ChainedComparison {}) } else { Fault::new(place, syntax::StrayComparison {}) };
    }
    if wants(Rule::at_most) {
        return if found == "=" {
            Fault::new(place, syntax::EqualsInComparison {})
        } else {
            Fault::new(place, syntax::MissingComparison { form })
        };
    }
    let date_wanted = last == "by" && before.trim_end().strip_suffix("by").is_some_and(|start| start.trim_end().ends_with("confirm"));
    if wants(Rule::string) && (evidence_word(&last) || date_wanted) {
        let word = if date_wanted { "confirm by".into() } else { last };
        return Fault::new(place, syntax::MissingQuotedText { word });
    }
    if last == "as" && wants(Rule::unit) {
        return Fault::new(place, syntax::MissingUnit {});
    }
    if wants(Rule::equals) && !found.starts_with(['(', '.']) {
        // Behind the text on the page stands the `=`; what is missing one is the name all the same.
        let after = if last.is_empty() { text.split_whitespace().nth(1).unwrap_or("").to_string() } else { last };
        return Fault::new(place, syntax::MissingEquals { after });
    }
    if value && (found.is_empty() || found == "\"" || evidence_word(&found)) {
        let after = if tail.is_alphanumeric() || tail == '_' { format!("`{last}`") } else { format!("`{tail}`") };
        return Fault::new(place, syntax::MissingValue { after });
    }
    if rest.starts_with('(') && before.len() < at && (tail.is_alphanumeric() || tail == '_') && !wants(Rule::open) {
        return if before.contains('±') {
            Fault::new(place, syntax::UnreadDoubtMeaning {})
        } else {
            Fault::new(place, syntax::SpaceBeforeBracket { name: last })
        };
    }
    let mut words: Vec<String> = expected.iter().filter_map(|rule| human(*rule)).collect();
    words.sort();
    words.dedup();
    if value {
        words = vec!["a value".into()];
    } else if wants(Rule::EOI) && !words.is_empty() {
        words = vec!["the end of the statement".into()];
    }
    let expected = match words.len() {
        0 => "something else".to_string(),
        _ => words.join(" or "),
    };
    let found = if found.is_empty() { "the end of the line".to_string() } else { format!("`{found}`") };
    Fault::new(place, syntax::UnexpectedText { found, expected })
}

// The mistakes that belong to one form of statement or line.
fn by_form(form: &str, before: &str, found: &str, place: Extent, wants: &dyn Fn(Rule) -> bool, last: &str) -> Option<Fault> {
    if last == "when" {
        return Some(Fault::new(place, syntax::WhenWithoutGuard {}));
    }
    if form == "propagate" && before == form {
        let finding = StudyIncomplete { word: form.into(), missing: "a result".into(), example: "propagate haul.effort".into() };
        return Some(Fault::new(place, finding));
    }
    if form == "vary" || form == "size" {
        return study(form, before, found, place, wants, last);
    }
    if form == "exercise" {
        return crate::syntax::exercises::incomplete(before, found, place, wants);
    }
    if form == "law" || form == "agreement" {
        return crate::syntax::comparing::incomplete(form, before, found, place, wants);
    }
    let in_loop = before.split(|c: char| !(c.is_alphanumeric() || c == '_')).any(|word| word == "for");
    if last == "for" || in_loop && (wants(Rule::word_from) || wants(Rule::word_to)) {
        return Some(Fault::new(place, syntax::LoopWithoutBounds {}));
    }
    let second = before.split_whitespace().nth(1).unwrap_or("").to_string();
    Some(match form {
        "machine" | "load" if wants(Rule::name) && before.ends_with('=') => {
            let valued = found.starts_with(|c: char| c.is_ascii_digit() || "+-−.".contains(c));
            Fault::new(place, syntax::MissingKindWord { form: form.into(), name: second, valued })
        }
        "train" if wants(Rule::arrow) && found.is_empty() && !before.contains("->") && !before.contains('→') => {
            Fault::new(place, syntax::ShortTrain {})
        }
        "train" if wants(Rule::arrow) => {
            Fault::new(place, syntax::MissingArrow { worked: found.starts_with('(').then(|| last.to_string()) })
        }
        "train" if wants(Rule::colon) => Fault::new(place, syntax::MissingColon { after: format!("`{last}`") }),
        "check" if before == "check" => Fault::new(place, syntax::CheckWithoutTitle {}),
        "check" if wants(Rule::colon) => Fault::new(place, syntax::MissingColon { after: "the title".into() }),
        "field" if before.split_whitespace().count() == 2 && wants(Rule::name) => {
            Fault::new(place, syntax::FieldWithoutQuantity { name: second })
        }
        "option" if (wants(Rule::colon) || before.ends_with(':')) && !before.contains('|') => {
            Fault::new(place, syntax::OptionWithoutChoices { name: second })
        }
        "from" | "gives" if wants(Rule::colon) => Fault::new(place, syntax::MissingColon { after: format!("`{last}`") }),
        "limit" | "question" | "sustains" | "caution" | "use" if wants(Rule::string) && !wants(Rule::at_most) => {
            // Behind a comparison an operator could follow as well, but what is missing is the text.
            if !found.is_empty() && form != "caution" && form != "use" {
                return None;
            }
            Fault::new(place, syntax::MissingQuotedText { word: form.into() })
        }
        _ => return None,
    })
}

// The parts of `vary` and `size`, each missed at its own place.
fn study(form: &str, before: &str, found: &str, place: Extent, wants: &dyn Fn(Rule) -> bool, last: &str) -> Option<Fault> {
    let vary = form == "vary";
    let missing = if before == form {
        "a name"
    } else if wants(Rule::up_to) && ["to", "-", "–", "—", "until"].contains(&found) {
        "`..` between the ends of its range"
    } else if vary && (wants(Rule::trials) || wants(Rule::word_over)) {
        "`over` and a range"
    } else if wants(Rule::word_showing) {
        "`showing` and a result"
    } else if vary && last == "showing" {
        "a result to show"
    } else if !vary && wants(Rule::comma) && !before.contains(',') {
        "`, least for` or `, greatest for`"
    } else if wants(Rule::word_least) {
        "`least` or `greatest`"
    } else if wants(Rule::word_for) {
        "`for` and a condition"
    } else if !vary && (last == "for" || last == "and") {
        "a condition"
    } else {
        return None;
    };
    let example =
        if vary { "vary falls.parts over 2 .. 8 showing haul.effort" } else { "size falls.parts over 2 .. 8, least for every check" };
    let finding = StudyIncomplete { word: form.into(), missing: missing.into(), example: example.into() };
    Some(Fault::new(place, finding))
}

fn evidence_word(word: &str) -> bool {
    ["from", "because", "effect", "ref", "measured", "marked", "weighed", "drawing", "confirmed"].contains(&word)
}

#[cfg(test)]
mod tests {
    use super::human;
    use crate::syntax::parser::Rule;

    // Whole statements and lines of a kind begin where their text begins, and pieces below a word, a number or a unit
    // are never reported apart from it.
    const NEVER_REPORTED: &str = "WHITESPACE COMMENT name_start name_char reserved blank shop_force shop_length shop_unit \
        unit_letter unit_word raised unit_power unit_factor unit_part unit_joint operand operator relation_sign body evidence_word \
        stated_alone inline_alone vary size propagate law agreement exercise sheet take assume gear machine load_as train check readings use_file kind clause defined definition field option \
        instrument correlation doubt_alone ports gives relation node condition limit question sustains caution guard_atom meaning";

    #[test]
    fn every_piece_that_may_be_expected_has_human_words() {
        let silent: Vec<&str> = NEVER_REPORTED.split_whitespace().collect();
        for rule in Rule::all_rules() {
            let name = format!("{rule:?}");
            assert!(silent.contains(&name.as_str()) != human(*rule).is_some(), "{name}");
        }
    }
}
