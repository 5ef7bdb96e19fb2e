//! Spellings near a word that no unit has.

use crate::units::table::ROWS;

// Names in full that the table does not carry, each with its symbol.
#[rustfmt::skip]
const NAMES: &[(&str, &str)] = &[
    ("metre", "m"), ("meter", "m"), ("metres", "m"), ("meters", "m"), ("kilogram", "kg"), ("kilograms", "kg"), ("kilo", "kg"),
    ("kilos", "kg"), ("kgs", "kg"), ("millimetre", "mm"), ("millimeter", "mm"), ("centimetre", "cm"), ("centimeter", "cm"),
    ("kilometre", "km"), ("kilometer", "km"), ("kilonewton", "kN"), ("kilonewtons", "kN"), ("pascals", "Pa"), ("kelvin", "K"),
    ("hertz", "Hz"), ("horsepower", "hp"), ("celsius", "°C"), ("fahrenheit", "°F"), ("mtr", "m"), ("mtrs", "m"), ("hrs", "h"),
];
const COMMON: &[&str] = &["kg", "mg", "mm", "cm", "km", "kN", "MN", "mN", "kPa", "MPa", "GPa", "kJ", "MJ", "kW", "MW", "ms", "kHz", "mL"];

/// At most three spellings near `word`, best first. A short word must agree but for its capitals: every letter is near to every other.
pub(crate) fn near(word: &str) -> Vec<String> {
    let lower = word.to_lowercase();
    if let Some((_, symbol)) = NAMES.iter().find(|(name, _)| *name == lower) {
        return vec![(*symbol).to_owned()];
    }
    let reach = match word.chars().count() {
        0..=2 => 0,
        3..=5 => 1,
        _ => 2,
    };
    let known = ROWS.iter().flat_map(|row| row.spellings.iter().copied()).chain(COMMON.iter().copied());
    let mut found: Vec<(usize, &str)> =
        known.map(|name| (distance(&lower, &name.to_lowercase()), name)).filter(|(distance, _)| *distance <= reach).collect();
    found.sort();
    found.dedup();
    found.into_iter().take(3).map(|(_, name)| name.to_owned()).collect()
}

// Letters changed, put in or left out.
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, letter) in a.chars().enumerate() {
        let mut next = vec![i + 1];
        for (j, other) in b.iter().enumerate() {
            let cost = |index: usize, list: &[usize]| list.get(index).copied().unwrap_or(usize::MAX - 1);
            let change = cost(j, &row) + usize::from(letter != *other);
            next.push(change.min(cost(j + 1, &row) + 1).min(cost(j, &next) + 1));
        }
        row = next;
    }
    row.last().copied().unwrap_or(usize::MAX)
}
