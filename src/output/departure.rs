//! How sheets stand to their accepted results, as lines of text.

use crate::sheet::{Departure, MovedResult};

/// One line for each result that moved, came or went, each standing alone; `path` is the sheet's.
pub fn departure_text(path: &str, departure: &Departure) -> String {
    let mut text = String::new();
    for moved in &departure.moved {
        text += &format!("{path}  moved  {}\n", moved_words(moved));
    }
    for (word, names) in [("new", &departure.new), ("gone", &departure.gone)] {
        names.iter().for_each(|name| text += &format!("{path}  {word:<5}  {name}\n"));
    }
    text
}

/// A result that moved, in one phrase: `haul.effort: 431.2 N, was 420.0 N (moved by 2.7 %)`.
pub(super) fn moved_words(moved: &MovedResult) -> String {
    let share = match moved.share {
        Some(share) => format!(" (moved by {} %)", percent(share)),
        None => String::new(),
    };
    format!("{}: {}, was {}{share}", moved.name, moved.now_in_short, moved.accepted_in_short)
}

// Two significant digits tell how far; a change of sign or of size needs no more.
fn percent(share: f64) -> String {
    let percent = share * 100.0;
    let places = if percent >= 10.0 { 0 } else { (1.0 - percent.max(1e-9).log10().floor()).clamp(1.0, 9.0) as usize };
    format!("{percent:.places$}")
}

#[cfg(test)]
mod tests {
    use super::percent;

    #[test]
    fn a_share_is_told_with_two_digits() {
        assert_eq!([0.5, 0.027, 0.001_05, 0.000_012].map(percent), ["50", "2.7", "0.10", "0.0012"]);
    }
}
