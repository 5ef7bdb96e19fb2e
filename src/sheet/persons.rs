//! Whether two declared names may be one person's.

use unicode_normalization::UnicodeNormalization;
use unicode_security::skeleton;

/// Whether the names differ in nothing but case, blanks, stops, accents and letters that look alike. Two that are alike may
/// still be two people, and two that differ one: all there is to compare is what was declared.
pub(super) fn may_be_one(one: &str, other: &str) -> bool {
    // A capital I looks like a small l, and a Cyrillic M like a Latin one only as a capital: both orders are tried.
    let (one, other) = (folds(one), folds(other));
    one.iter().zip(&other).any(|(one, other)| !one.is_empty() && one == other)
}

/// Whether there is a letter in it at all.
pub(super) fn has_letters(name: &str) -> bool {
    name.chars().any(char::is_alphabetic)
}

fn folds(name: &str) -> [String; 2] {
    let plain: String = name.nfkc().collect();
    let seen: String = skeleton(&plain).collect();
    let small = plain.to_lowercase();
    [letters(&seen), letters(&skeleton(&small).collect::<String>())]
}

fn letters(text: &str) -> String {
    text.to_lowercase().nfkd().filter(|letter| letter.is_alphanumeric()).collect()
}

#[cfg(test)]
mod tests {
    use super::{has_letters, may_be_one};

    // Look-alikes after Unicode Technical Standard 39, section 4; the letters are named by their numbers.
    #[test]
    fn case_blanks_stops_accents_and_look_alikes_make_no_other_person() {
        for (one, other) in [
            ("M. Tolland", "m.tolland"),
            ("M. Tolland", "  M  TOLLAND "),
            ("M. Tolland", "M.\u{a0}Tolland"),
            ("M. T.", "\u{41c}. \u{422}."),
            ("Ian Orr", "lan Orr"),
            ("R\u{e9}gis", "Re\u{301}gis"),
            ("R\u{e9}gis", "Regis"),
            ("M. Tolland", "\u{ff2d}. \u{ff34}olland"),
            ("M. Tolland", "M. To\u{200b}lland"),
            ("S. Orr", "\u{405}. \u{41e}rr"),
        ] {
            assert!(may_be_one(one, other) && may_be_one(other, one), "{one} and {other}");
        }
        for (one, other) in [("M. Tolland", "N. Tolland"), ("M. T.", "M. R."), ("Ada Orr", "Ida Orr"), ("", ""), ("...", ". .")] {
            assert!(!may_be_one(one, other), "{one} and {other}");
        }
        assert!(has_letters("Ørsted") && !has_letters(" . 7 "));
    }
}
