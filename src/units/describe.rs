//! The page that explains one unit, or a refused spelling.

use crate::units::nature::quantity_name;
use crate::units::parse::{note, parse};
use crate::units::refused::refusal;
use crate::units::row::{Prefixes, spelled};

/// What a spelling means, in plain lines: the unit and its factor, or why it is refused and what to write; `None` when unknown.
pub fn describe(spelling: &str) -> Option<String> {
    let spelling = spelling.trim();
    if let Some(refusal) = refusal(spelling) {
        let mut page = format!("{spelling}: not accepted alone.\nReason: {}.\n", refusal.reason);
        for (write, means) in refusal.candidates {
            page.push_str(&format!("Write {write}: {means}.\n"));
        }
        return Some(page);
    }
    let unit = parse(spelling).ok()?;
    let mut page = format!("{}: {}.\n", unit.symbol, unit.spoken);
    page.push_str(&format!("Quantity: {}; dimension {}.\n", quantity_name(unit.dimension, unit.nature), unit.dimension));
    let rational = unit.factor.rational();
    let pi = match unit.factor.pi_power() {
        0 => String::new(),
        1 => " × π".to_owned(),
        power => format!(" × π^{power}"),
    };
    page.push_str(&format!("Factor to the coherent SI unit: {rational}{pi}, nearest number {:e}.\n", unit.scale));
    if unit.offset != 0.0 {
        page.push_str(&format!("The scale starts at {} K.\n", unit.offset));
    }
    if let Some(row) = spelled(spelling) {
        page.push_str(&format!("Spellings: {}.\n", row.spellings.join(", ")));
        match row.prefixes {
            Prefixes::None => page.push_str("Prefixes: none.\n"),
            Prefixes::All => page.push_str("Prefixes: all of the SI.\n"),
            Prefixes::Some(allowed) => page.push_str(&format!("Prefixes: {}.\n", allowed.join(", "))),
        }
        page.push_str(&format!("Source: {}.\n", row.source));
        if !row.note.is_empty() {
            page.push_str(&format!("Note: {}\n", note(row)));
        }
    }
    Some(page)
}
