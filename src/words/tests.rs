//! The table of words: both languages are there, and a text is found however it is asked for.

use super::{DateForm, Language, TABLE, Voice, composed, contracted, date, filled, length, speaking, template_in, text_of, word};
use std::collections::BTreeSet;

// Texts that are the same in both languages: names, and words that German took over.
const SAME: &[&str] = &["Status", "Name", "in", "April", "August", "September", "November"];

fn holes(text: &str) -> BTreeSet<&str> {
    text.split('{').skip(1).filter_map(|rest| rest.split('}').next()).collect()
}

#[test]
fn every_text_has_both_languages_and_the_same_holes() {
    let mut keys = BTreeSet::new();
    for (english, german) in TABLE {
        assert!(keys.insert(*english), "`{english}` stands twice");
        assert!(!german.trim().is_empty(), "`{english}` has no German");
        assert_eq!(holes(english), holes(german), "`{english}`");
        let ends = |text: &str| (text.starts_with(' '), text.ends_with(' '));
        assert_eq!(ends(english), ends(german), "`{english}`: blanks at the ends");
        // A pattern of holes and marks alone has no words to translate.
        let words = english.split(['{', '}']).step_by(2).any(|part| part.chars().any(char::is_alphabetic));
        assert!(!words || english != german || SAME.contains(english), "`{english}` is the same in both languages");
    }
}

#[test]
fn a_text_is_said_in_the_language_of_the_moment_and_in_no_other() {
    let german = Voice { language: Language::German, ..Voice::default() };
    assert_eq!((word("Inputs"), speaking(german, || word("Inputs")), word("Inputs")), ("Inputs", "Eingaben", "Inputs"));
    assert_eq!(speaking(german, || word("a name of the author's")), "a name of the author's");
    let panicked = std::panic::catch_unwind(|| speaking(german, || panic!("in the middle of a sentence")));
    assert!(panicked.is_err() && word("Inputs") == "Inputs", "a panic gives the voice back");
    assert_eq!(filled("{a} and {b}{c}", &[("b", &2), ("a", &"{b}")]), "{b} and 2", "what is put in is not read again");
}

#[test]
fn markup_is_put_together_in_both_languages() {
    const MARKUP: &str = "<h2>[[Inputs]]</h2> [[and]] [[x";
    const ENGLISH: [u8; length("<p>[[Inputs]]</p>", false)] = composed("<p>[[Inputs]]</p>", false);
    const GERMAN: [u8; length("<p>[[Inputs]]</p>", true)] = composed("<p>[[Inputs]]</p>", true);
    assert_eq!((text_of(&ENGLISH), text_of(&GERMAN)), ("<p>Inputs</p>", "<p>Eingaben</p>"));
    assert_eq!(template_in(Language::German, MARKUP), "<h2>Eingaben</h2> und [[x");
    assert_eq!(template_in(Language::English, "[[no such text]]"), "[[no such text]]");
}

#[test]
fn dates_are_written_as_the_house_has_them() {
    let say = |form, language| speaking(Voice { date_form: form, language, ..Voice::default() }, || date("2026-03-09"));
    assert_eq!(say(DateForm::Iso, Language::German), "2026-03-09");
    assert_eq!(say(DateForm::DottedFigures, Language::English), "09.03.2026");
    assert_eq!(say(DateForm::DayFirst, Language::English), "9\u{a0}March 2026");
    assert_eq!(say(DateForm::DayFirst, Language::German), "9.\u{a0}März 2026");
    assert_eq!(say(DateForm::MonthFirst, Language::English), "March\u{a0}9, 2026");
    let form = Voice { date_form: DateForm::DayFirst, ..Voice::default() };
    for text in ["2026-13-09", "spring 2026", "", "2026-3-9"] {
        assert_eq!(speaking(form, || date(text)), text, "what is no date stays as it is");
    }
}

#[test]
fn a_preposition_and_its_article_run_into_one() {
    let german = Voice { language: Language::German, ..Voice::default() };
    let [rope, hand, bar] = speaking(german, || ["von dem Seil", "von der Hand", "zu dem Stab"].map(contracted));
    assert_eq!((rope.as_str(), hand.as_str(), bar.as_str()), ("vom Seil", "von der Hand", "zum Stab"));
    assert_eq!(contracted("von dem Seil"), "von dem Seil", "no German is spoken");
}
