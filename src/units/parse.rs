//! Reading unit text: words, prefixes, exponents, products and one quotient.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::ops::Range;

use crate::units::compose::{Part, compose};
use crate::units::factor::Factor;
use crate::units::fault::{Candidate, UnitFault};
use crate::units::near::near;
use crate::units::refused::refusal;
use crate::units::row::{Row, prefixable, spelled};
use crate::units::table::PREFIXES;
use crate::units::unit::{Facts, Unit};

// The greatest exponent a unit may carry.
const HIGHEST: i32 = 12;

// Spellings without a sign of multiplication that are accepted because everybody writes them, and what is meant.
const CLOSED: &[(&str, &str)] = &[("Nm", "N·m"), ("kNm", "kN·m"), ("Nmm", "N·mm")];

// Spellings accepted on input although SP 811 6.1.8 does not print them.
const ABBREVIATED: &[&str] = &["cc", "sec", "hr", "kph", "kmh", "mph", "cfm", "gpm", "fpm", "fps", "ips", "Wh", "kWh"];

/// Reads unit text such as `kN`, `lbf·ft`, `m/s^2` or `W/(m²·K)`.
///
/// # Errors
/// A [`UnitFault`] when a word is unknown or refused, a prefix is not allowed, or the text is not put together as a unit is.
/// Its place is counted in `text` as given, spaces before the unit included.
pub fn parse(text: &str) -> Result<Unit, UnitFault> {
    if let Some(unit) = READ.with_borrow(|read| read.get(text).cloned()) {
        return Ok(unit);
    }
    let unit = read(text)?;
    READ.with_borrow_mut(|read| {
        if read.len() < KEPT {
            read.insert(text.into(), unit.clone());
        }
    });
    Ok(unit)
}

// A sheet has few units and writes each of them many times.
const KEPT: usize = 256;

thread_local! {
    static READ: RefCell<BTreeMap<Box<str>, Unit>> = const { RefCell::new(BTreeMap::new()) };
}

fn read(text: &str) -> Result<Unit, UnitFault> {
    let before = text.len() - text.trim_start().len();
    parse_bare(text.trim()).map_err(|fault| fault.moved(before))
}

fn parse_bare(text: &str) -> Result<Unit, UnitFault> {
    // The Greek mu and the micro sign are one letter here, and of one length, so that places stay true.
    let written = text.replace('μ', "µ");
    let text = written.as_str();
    if let Some((_, meant)) = CLOSED.iter().find(|(spelling, _)| *spelling == text) {
        return Ok(parse(meant)?.with_hint(Some(format!("`{text}` is printed {meant}"))));
    }
    // A spelling of its own, such as `lbf/in²`, is met before it would be taken apart.
    if text != "r" && refusal(text).is_none() {
        if let Some(row) = spelled(text) {
            return Ok(of_row(row, text));
        }
    } else {
        return Err(refused(text, 0..text.len()));
    }
    let parts = Reader { text, at: 0 }.parts()?;
    if let [(part, _)] = parts.as_slice()
        && part.power == 1
    {
        return Ok(part.unit.clone());
    }
    if let Some((part, at)) = parts.iter().find(|(part, _)| part.unit.offset != 0.0) {
        let symbol = part.unit.symbol.clone();
        return Err(UnitFault::AffineInProduct { difference: format!("Δ{symbol}"), symbol, at: at.clone() });
    }
    let parts: Vec<Part> = parts.into_iter().map(|(part, _)| part).collect();
    compose(&parts).ok_or(UnitFault::TooLarge { at: 0..text.len() })
}

fn of_row(row: &'static Row, written: &str) -> Unit {
    Unit::new(facts(row, written))
}

fn facts(row: &'static Row, written: &str) -> Facts {
    let hint = if ABBREVIATED.contains(&written) {
        Some(format!("`{written}` is printed {}", row.print))
    } else if row.note.is_empty() || !matches!(row.id, "psf" | "hp" | "hp_boiler" | "sn" | "micron" | "ft_us" | "gal" | "gal_imp") {
        None
    } else {
        Some(format!("`{written}`: {}", note(row)))
    };
    Facts {
        symbol: row.print.to_owned(),
        spoken: row.name.to_owned(),
        factor: row.factor(),
        scale: row.scale,
        offset: row.offset,
        dimension: row.dimension,
        nature: row.nature,
        system: row.system,
        hint,
    }
}

/// The remark of a row, in the words of a sheet.
pub(crate) fn note(row: &Row) -> String {
    match row.id {
        "hp" | "hp_boiler" => format!("read as {}, {} W", row.name, row.scale),
        "gal" => "read as the US liquid gallon, 3.785 L; the imperial gallon, 4.546 L, is `gal_imp`".to_owned(),
        "gal_imp" => "read as the imperial gallon, 4.546 L; the US liquid gallon, 3.785 L, is `gal`".to_owned(),
        _ => row.note.to_owned(),
    }
}

/// One word without an exponent.
pub(crate) fn word(word: &str, at: Range<usize>) -> Result<Unit, UnitFault> {
    if word != "r" && refusal(word).is_some() {
        return Err(refused(word, at));
    }
    if let Some(row) = spelled(word) {
        return Ok(of_row(row, word));
    }
    for (prefix, power) in PREFIXES {
        let Some(rest) = word.strip_prefix(prefix) else { continue };
        let Some(row) = prefixable(rest) else { continue };
        if row.takes(prefix) {
            return Ok(prefixed(row, prefix, *power, word));
        }
    }
    if let Some((_, meant)) = CLOSED.iter().find(|(spelling, _)| *spelling == word) {
        return Err(UnitFault::Ambiguous {
            spelling: word.to_owned(),
            at,
            candidates: vec![Candidate { write: (*meant).to_owned(), means: "with its sign of multiplication".to_owned() }],
            reason: format!("`{word}` stands only by itself; within a longer unit the product must be written"),
        });
    }
    Err(prefix_fault(word, &at).unwrap_or_else(|| UnitFault::Unknown { word: word.to_owned(), at, near: near(word) }))
}

fn prefixed(row: &'static Row, prefix: &str, power: i32, written: &str) -> Unit {
    let sign = if matches!(prefix, "u" | "μ") { "µ" } else { prefix };
    let factor = row.factor().times(&Factor::ten(power));
    let scale = factor.to_f64();
    let mut facts = facts(row, written);
    facts.symbol = format!("{sign}{}", row.print);
    facts.spoken = format!("{}{}", spoken_prefix(sign), row.name);
    facts.factor = factor;
    facts.scale = scale;
    if written == "kWh" {
        facts.hint = Some("`kWh` is printed kW·h".to_owned());
    }
    Unit::new(facts)
}

fn spoken_prefix(sign: &str) -> &'static str {
    match sign {
        "Q" => "quetta",
        "R" => "ronna",
        "Y" => "yotta",
        "Z" => "zetta",
        "E" => "exa",
        "P" => "peta",
        "T" => "tera",
        "G" => "giga",
        "M" => "mega",
        "k" => "kilo",
        "h" => "hecto",
        "da" => "deca",
        "d" => "deci",
        "c" => "centi",
        "m" => "milli",
        "µ" => "micro",
        "n" => "nano",
        "p" => "pico",
        "f" => "femto",
        "a" => "atto",
        "z" => "zepto",
        "y" => "yocto",
        "r" => "ronto",
        _ => "quecto",
    }
}

fn refused(spelling: &str, at: Range<usize>) -> UnitFault {
    let (candidates, reason) = refusal(spelling).map_or((&[][..], ""), |refusal| (refusal.candidates, refusal.reason));
    UnitFault::Ambiguous {
        spelling: spelling.to_owned(),
        at,
        candidates: candidates.iter().map(|(write, means)| Candidate { write: (*write).into(), means: (*means).into() }).collect(),
        reason: format!("`{spelling}` is refused: {reason}"),
    }
}

// A common prefix on a unit that does not take it; rarer prefixes are more likely letters of another word.
fn prefix_fault(word: &str, at: &Range<usize>) -> Option<UnitFault> {
    ["k", "M", "G", "m", "µ", "u", "c"].iter().find_map(|prefix| {
        let rest = word.strip_prefix(prefix)?;
        let base = spelled(rest).is_some() || rest == "kg" || rest == "km" || rest == "kN" || rest == "mm";
        if !base || rest == "r" {
            return None;
        }
        let mend = match word {
            "kpsi" => Some("write `ksi`"),
            "klb" | "kpound" => Some("write `kip` for a force, or the mass in `lb`"),
            "kkg" => Some("write `t` or `Mg`"),
            "Mlbf" => Some("write the force in `kip`"),
            _ => None,
        };
        Some(UnitFault::Prefix {
            word: word.to_owned(),
            prefix: (*prefix).to_owned(),
            unit: rest.to_owned(),
            at: at.clone(),
            mend: mend.map(str::to_owned),
        })
    })
}

// Walks the text once. A place is a byte offset on a character boundary.
struct Reader<'t> {
    text: &'t str,
    at: usize,
}

type Parts = Vec<(Part, Range<usize>)>;

impl Reader<'_> {
    fn rest(&self) -> &str {
        self.text.get(self.at..).unwrap_or_default()
    }

    fn take(&mut self, signs: &[char]) -> bool {
        match self.rest().chars().next() {
            Some(sign) if signs.contains(&sign) => {
                self.at += sign.len_utf8();
                true
            }
            _ => false,
        }
    }

    fn malformed(&self) -> UnitFault {
        let width = self.rest().chars().next().map_or(0, char::len_utf8);
        UnitFault::Malformed { at: self.at..self.at + width }
    }

    fn parts(mut self) -> Result<Parts, UnitFault> {
        let mut parts = Vec::new();
        self.product(1, &mut parts)?;
        if self.take(&['/']) {
            if self.take(&['(']) {
                self.product(-1, &mut parts)?;
                if !self.take(&[')']) {
                    return Err(self.solidus_or_malformed());
                }
            } else {
                self.term(-1, &mut parts)?;
            }
            if matches!(self.rest().chars().next(), Some('·' | '⋅' | '/')) {
                return Err(UnitFault::TwoSolidi { at: self.at..self.text.len() });
            }
        }
        if self.rest().is_empty() { Ok(parts) } else { Err(self.malformed()) }
    }

    fn solidus_or_malformed(&self) -> UnitFault {
        if self.rest().starts_with('/') { UnitFault::TwoSolidi { at: self.at..self.text.len() } } else { self.malformed() }
    }

    fn product(&mut self, sign: i32, parts: &mut Parts) -> Result<(), UnitFault> {
        self.term(sign, parts)?;
        while self.take(&['·', '⋅']) {
            self.term(sign, parts)?;
        }
        Ok(())
    }

    fn term(&mut self, sign: i32, parts: &mut Parts) -> Result<(), UnitFault> {
        let start = self.at;
        let end = self.rest().find(|sign: char| matches!(sign, '·' | '⋅' | '/' | '(' | ')' | '^' | '*') || figure(sign).is_some());
        let name = end.map_or(self.rest(), |end| self.rest().get(..end).unwrap_or_default()).to_owned();
        if name.is_empty() || name.contains(char::is_whitespace) {
            return Err(self.malformed());
        }
        self.at += name.len();
        let unit = word(&name, start..self.at)?;
        let power = self.power()?;
        parts.push((Part { unit, power: power * sign }, start..self.at));
        Ok(())
    }

    fn power(&mut self) -> Result<i32, UnitFault> {
        let start = self.at;
        let raised = self.take(&['^']);
        let mut figures = String::new();
        while let Some(sign) = self.rest().chars().next() {
            let plain =
                if raised { Some(sign).filter(|sign| sign.is_ascii_digit() || matches!(sign, '-' | '−' | '+')) } else { figure(sign) };
            let Some(plain) = plain else { break };
            figures.push(if plain == '−' { '-' } else { plain });
            self.at += sign.len_utf8();
        }
        if !raised && figures.is_empty() {
            return Ok(1);
        }
        match figures.parse::<i32>() {
            Ok(power) if power != 0 && power.abs() <= HIGHEST => Ok(power),
            _ => Err(UnitFault::Power { written: self.text.get(start..self.at).unwrap_or_default().to_owned(), at: start..self.at }),
        }
    }
}

// The plain figure of a superscript one.
fn figure(sign: char) -> Option<char> {
    Some(match sign {
        '⁻' => '-',
        '⁰' => '0',
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        '⁴' => '4',
        '⁵' => '5',
        '⁶' => '6',
        '⁷' => '7',
        '⁸' => '8',
        '⁹' => '9',
        _ => return None,
    })
}
