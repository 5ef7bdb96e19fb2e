//! Numbers as they are printed: groups of three, a true minus, powers of ten, and a value to the place of its doubt.
//!
//! Sources: NIST SP 811 10.5 and 7.2, ISO 80000-1:2009 7.3, JCGM 100:2008 7.2.6. Exact halves go to even (SP 811 B.7.1).

use std::borrow::Cow;
use std::cell::Cell;
use std::ops::Deref;

/// The sign between units and tenths: both are allowed by ISO 80000-1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DecimalSign {
    /// `1.5`
    #[default]
    Point,
    /// `1,5`
    Comma,
}

impl DecimalSign {
    fn character(self) -> char {
        match self {
            DecimalSign::Point => '.',
            DecimalSign::Comma => ',',
        }
    }
}

thread_local! {
    // Numbers are printed everywhere, and all of a page with one sign; see `with_decimal_sign`.
    static DECIMAL_SIGN: Cell<DecimalSign> = const { Cell::new(DecimalSign::Point) };
}

/// What `print` comes to when numbers are printed with `sign`.
pub fn with_decimal_sign<T>(sign: DecimalSign, print: impl FnOnce() -> T) -> T {
    // The sign of before comes back even when `print` ends in a panic.
    struct Before(DecimalSign);
    impl Drop for Before {
        fn drop(&mut self) {
            DECIMAL_SIGN.set(self.0);
        }
    }
    let _before = Before(DECIMAL_SIGN.replace(sign));
    print()
}

// Beyond these powers of ten a number takes the form `2.5 × 10⁹`.
const LEAST: i32 = -4;
const GREATEST: i32 = 7;
const GROUP: char = '\u{202f}';
const MINUS: char = '\u{2212}';
const NO_BREAK: char = '\u{a0}';
// Figures beyond the seventeenth say nothing about a binary64 number.
const FIGURES: usize = 17;
const LAST: i32 = 16;

// Powers of ten from this one on, one by one.
const SMALLEST: i32 = -12;
const POWERS: [f64; 25] = [
    1e-12, 1e-11, 1e-10, 1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 1e-1, 1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10,
    1e11, 1e12,
];

// A decimal number: figures without a point, the place of the last one as a power of ten.
struct Decimal {
    negative: bool,
    figures: Figures,
    place: i32,
}

// Figures in a row. Nearly all numbers have few, and those need no room of their own.
enum Figures {
    Few { room: [u8; FEW], from: usize, to: usize },
    Many(String),
}

// As many as a number of 64 bits can have.
const FEW: usize = 20;

impl Figures {
    // Those of `number`, with noughts before it up to `width`.
    fn of(mut number: u64, width: usize) -> Figures {
        let (mut room, mut from) = ([b'0'; FEW], FEW);
        while number > 0 && from > 0 {
            from -= 1;
            if let Some(figure) = room.get_mut(from) {
                *figure = b'0' + u8::try_from(number % 10).unwrap_or(0);
            }
            number /= 10;
        }
        Figures::Few { room, from: from.min(FEW.saturating_sub(width)), to: FEW }
    }

    fn bytes(&self) -> &[u8] {
        match self {
            Figures::Few { room, from, to } => room.get(*from..*to).unwrap_or(&[]),
            Figures::Many(figures) => figures.as_bytes(),
        }
    }

    // Without the noughts before the first other figure, cut to a count.
    fn leading(self, count: usize) -> Figures {
        match self {
            Figures::Few { room, mut from, to } => {
                while from < to && room.get(from) == Some(&b'0') {
                    from += 1;
                }
                Figures::Few { room, from, to: to.min(from + count) }
            }
            Figures::Many(figures) => Figures::Many(figures.trim_start_matches('0').chars().take(count).collect()),
        }
    }
}

impl Deref for Figures {
    type Target = str;

    fn deref(&self) -> &str {
        match self {
            Figures::Few { .. } => std::str::from_utf8(self.bytes()).unwrap_or(""),
            Figures::Many(figures) => figures,
        }
    }
}

impl Decimal {
    // To a count of significant figures; `None` when the number is not finite.
    fn significant(value: f64, digits: usize) -> Option<Decimal> {
        if !value.is_finite() {
            return None;
        }
        let after = digits.clamp(1, FIGURES) - 1;
        if let Some(quick) = Decimal::leading(value, after) {
            return Some(quick);
        }
        let mut figures = format!("{:.*e}", after, value.abs());
        let end = figures.find('e')?;
        let exponent: i32 = figures.get(end + 1..)?.parse().ok()?;
        figures.truncate(end);
        figures.retain(|sign| sign.is_ascii_digit());
        let place = exponent - i32::try_from(after).ok()?;
        let negative = value < 0.0 && figures.contains(|figure| figure != '0');
        Some(Decimal { negative, figures: Figures::Many(figures), place })
    }

    // As `significant` has it, with `after` figures behind the first, where the last of them is no whole number of tens.
    fn leading(value: f64, after: usize) -> Option<Decimal> {
        let place = exponent_of(value) - i32::try_from(after).ok()?;
        let all = exact(value.abs(), usize::try_from(-place).ok()?)?;
        // Rounded up to the next power of ten, there is one figure more.
        let noughts = all.bytes().iter().take_while(|figure| **figure == b'0').count();
        let more = all.bytes().len().checked_sub(noughts + after + 1).filter(|more| *more <= 1)?;
        let figures = all.leading(after + 1);
        Some(Decimal { negative: value < 0.0, figures, place: place + i32::try_from(more).ok()? })
    }

    // To a place, such as -2 for hundredths or 3 for thousands.
    fn to_place(value: f64, place: i32) -> Option<Decimal> {
        if !value.is_finite() {
            return None;
        }
        if place <= 0 {
            let decimals = usize::try_from(-place).ok()?.min(330);
            let figures = exact(value.abs(), decimals).unwrap_or_else(|| {
                let mut figures = format!("{:.*}", decimals, value.abs());
                figures.retain(|sign| sign.is_ascii_digit());
                Figures::Many(figures)
            });
            let negative = value < 0.0 && figures.bytes().iter().any(|figure| *figure != b'0');
            return Some(Decimal { negative, figures, place: -i32::try_from(decimals).ok()? });
        }
        let digits = exponent_of(value) - place + 1;
        if digits > 0 {
            return Decimal::significant(value, usize::try_from(digits).ok()?);
        }
        let half = libm::pow(10.0, f64::from(place)) / 2.0;
        let up = digits == 0 && value.abs() > half;
        Some(Decimal { negative: value < 0.0 && up, figures: Figures::of(u64::from(up), 1), place })
    }

    // The power of ten of the leading figure.
    fn exponent(&self) -> i32 {
        let figures = self.figures.bytes();
        let lead = figures.iter().position(|figure| *figure != b'0').unwrap_or(figures.len().saturating_sub(1));
        self.place + i32::try_from(figures.len() - lead).unwrap_or(0) - 1
    }

    fn is_zero(&self) -> bool {
        self.figures.bytes().iter().all(|figure| *figure == b'0')
    }

    // Written out in full after division by ten to the `power`.
    fn plain(&self, power: i32) -> String {
        let place = self.place - power;
        let mut figures = Cow::Borrowed(&*self.figures);
        if place > 0 && !self.is_zero() {
            figures.to_mut().extend(std::iter::repeat_n('0', usize::try_from(place).unwrap_or(0)));
        }
        let decimals = usize::try_from(-place).unwrap_or(0);
        if figures.len() <= decimals {
            let mut padded = String::with_capacity(decimals + 1);
            padded.extend(std::iter::repeat_n('0', decimals + 1 - figures.len()));
            padded.push_str(&figures);
            figures = Cow::Owned(padded);
        }
        let (whole, part) = figures.split_at(figures.len() - decimals);
        let whole = whole.trim_start_matches('0');
        joined(self.negative, if whole.is_empty() { "0" } else { whole }, part)
    }

    fn printed(&self) -> String {
        let exponent = self.exponent();
        if self.is_zero() || (LEAST..GREATEST).contains(&exponent) { self.plain(0) } else { scaled(&self.plain(exponent), exponent) }
    }
}

// The figures of a number to so many decimals, without its point, exact halves to even: as the standard library has them, in a
// tenth of its time, where everything fits into 128 bits; none elsewhere.
fn exact(value: f64, decimals: usize) -> Option<Figures> {
    // Odd times a power of two: 53 bits and the place of the last.
    let bits = value.to_bits();
    let biased = i32::try_from(bits >> 52).ok().filter(|biased| (1..0x7ff).contains(biased))?;
    let (odd, power) = ((bits & ((1 << 52) - 1)) | (1 << 52), biased - 1075);
    let ten = 10_u64.checked_pow(u32::try_from(decimals).ok()?)?;
    let product = u128::from(odd) * u128::from(ten);
    let rounded = match power {
        0..=10 => product.checked_mul(1 << power)?,
        -120..=-1 => {
            let (whole, rest, half) = (product >> -power, product & ((1 << -power) - 1), 1_u128 << (-power - 1));
            whole + u128::from(rest > half || rest == half && whole % 2 == 1)
        }
        _ => return None,
    };
    // At least one figure before the point.
    let width = decimals + 1;
    Some(match u64::try_from(rounded) {
        Ok(rounded) => Figures::of(rounded, width),
        Err(_) => Figures::Many(format!("{rounded:0width$}")),
    })
}

// The power of ten of the leading figure of a number, before any rounding.
fn exponent_of(value: f64) -> i32 {
    let size = value.abs();
    // A number is below a power of ten exactly when it is below the binary64 number nearest to that power.
    let below = POWERS.partition_point(|power| *power <= size);
    if below > 0 && below < POWERS.len() {
        return i32::try_from(below).unwrap_or(0) + SMALLEST - 1;
    }
    let text = format!("{size:e}");
    text.split_once('e').and_then(|(_, exponent)| exponent.parse().ok()).unwrap_or(0)
}

fn scaled(number: &str, power: i32) -> String {
    format!("{number}{NO_BREAK}×{NO_BREAK}10{}", crate::units::dimension::raised(power))
}

fn joined(negative: bool, whole: &str, part: &str) -> String {
    let mut text = String::with_capacity(whole.len() + part.len() + 8);
    if negative {
        text.push(MINUS);
    }
    // Threes counted from the point; a group of four stands whole (SP 811 10.5.3).
    let count = whole.len();
    groups(whole, |index| (count - index).is_multiple_of(3), &mut text);
    if !part.is_empty() {
        text.push(DECIMAL_SIGN.get().character());
    }
    groups(part, |index| index.is_multiple_of(3), &mut text);
    text
}

fn groups(figures: &str, begins: impl Fn(usize) -> bool, text: &mut String) {
    if figures.len() <= 4 {
        text.push_str(figures);
        return;
    }
    for (index, figure) in figures.chars().enumerate() {
        if index > 0 && begins(index) {
            text.push(GROUP);
        }
        text.push(figure);
    }
}

// A number that is not finite, in words.
fn unprintable(value: f64) -> String {
    if value.is_nan() {
        "not a number".to_owned()
    } else if value < 0.0 {
        format!("{MINUS}∞")
    } else {
        "∞".to_owned()
    }
}

/// A number to a count of significant figures, from 1 to 17; trailing zeros are kept.
pub fn significant(value: f64, digits: usize) -> String {
    Decimal::significant(value, digits).map_or_else(|| unprintable(value), |number| number.printed())
}

/// A number to a count of decimals, written out in full; from 10¹⁵ on, as a power of ten to 17 significant figures at most.
pub fn places(value: f64, decimals: usize) -> String {
    if value.abs() >= 1e15 {
        return significant(value, FIGURES);
    }
    let place = -i32::try_from(decimals.min(FIGURES)).unwrap_or(0);
    Decimal::to_place(value, place).map_or_else(|| unprintable(value), |number| number.plain(0))
}

/// A value and its doubt: the doubt to two significant figures, the value to the same place (JCGM 100:2008 7.2.6).
///
/// When the value is printed with a power of ten, its doubt has the same power. Without a doubt the value has six figures;
/// with one too small for a binary64 number to show, seventeen.
pub fn with_doubt(value: f64, doubt: f64) -> (String, String) {
    let doubt = doubt.abs();
    let first = if doubt == 0.0 { None } else { Decimal::significant(doubt, 2) };
    let Some(doubt) = first else {
        return (significant(value, 6), significant(doubt, 2));
    };
    let Some(value_to_place) = Decimal::to_place(value, carried(&doubt).max(exponent_of(value) - LAST)) else {
        return (unprintable(value), doubt.printed());
    };
    let value = value_to_place;
    let lead = if value.is_zero() { doubt.exponent() } else { value.exponent().max(doubt.exponent()) };
    if (LEAST..GREATEST).contains(&lead) {
        (value.plain(0), doubt.plain(0))
    } else {
        (scaled(&value.plain(lead), lead), scaled(&doubt.plain(lead), lead))
    }
}

// The place of the second figure of a rounded doubt.
fn carried(doubt: &Decimal) -> i32 {
    doubt.exponent() - 1
}

// Whether a number is typed just as it is set: up to four figures, with a point and up to four more or without.
fn is_set(text: &str) -> bool {
    let few = |text: &str| (1..=4).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    match text.split_once('.') {
        Some((whole, part)) => few(whole) && few(part) && DECIMAL_SIGN.get() == DecimalSign::Point,
        None => few(text),
    }
}

/// A number as the author typed it, only set as numbers are: groups, a true minus, `× 10ⁿ` for an `e`. No figure is lost.
pub fn typed(text: &str) -> String {
    if is_set(text) {
        return text.to_owned();
    }
    let clean: String = text.trim().chars().filter(|sign| !matches!(*sign, '_' | GROUP)).collect();
    let (number, power) = match clean.split_once(['e', 'E']) {
        Some((number, power)) => (number, power.parse::<i32>().ok()),
        None => (clean.as_str(), Some(0)),
    };
    let bare = number.trim_start_matches(['-', MINUS, '+']);
    let (whole, part) = bare.split_once('.').unwrap_or((bare, ""));
    let figures = |text: &str| text.chars().all(|sign| sign.is_ascii_digit());
    let Some(power) = power.filter(|_| figures(whole) && figures(part) && !bare.is_empty()) else {
        return text.trim().to_owned();
    };
    let plain = joined(number.starts_with(['-', MINUS]), if whole.is_empty() { "0" } else { whole }, part);
    if power == 0 { plain } else { scaled(&plain, power) }
}

/// A number and its unit: a no-break space between, none before `°`, `′` and `″`, and no unit for a plain number (SP 811 7.2).
pub fn spaced(number: &str, unit: &str) -> String {
    match unit {
        "" | "1" => number.to_owned(),
        _ => [number, between(unit), unit].concat(),
    }
}

/// What stands between a number and its unit.
pub fn between(unit: &str) -> &'static str {
    match unit {
        "" | "°" | "′" | "″" => "",
        _ => "\u{a0}",
    }
}

#[cfg(test)]
mod tests {
    use super::{Decimal, exact};

    // The standard library writes any binary64 number out exactly and rounds that, exact halves to even.
    #[test]
    fn figures_are_those_of_the_standard_library() {
        let mut state = 0x2545_F491_4F6C_DD1D_u64;
        let mut next = || {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            state
        };
        let figures = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
        let (mut rounded, mut led) = (0, 0);
        for round in 0..20_000_u64 {
            // Of every size, of the sizes of a sheet, and halves.
            let value = match round % 4 {
                0 => f64::from_bits(next() >> 1),
                1 => (next() % 100_000) as f64 / 8.0,
                2 => 9.9995 * 10_f64.powi(i32::try_from(next() % 12).unwrap_or(0) - 6),
                _ => (next() % 1_000_000_000) as f64 * 10_f64.powi(-i32::try_from(next() % 12).unwrap_or(0)),
            };
            if !value.is_finite() {
                continue;
            }
            let decimals = usize::try_from(next() % 18).unwrap_or(0);
            if let Some(found) = exact(value, decimals) {
                rounded += 1;
                assert_eq!(*found, figures(&format!("{value:.decimals$}")), "{value:e} to {decimals} decimals");
            }
            if let Some(found) = Decimal::leading(value, decimals.min(16)) {
                led += 1;
                let after = decimals.min(16);
                let text = format!("{value:.after$e}");
                let (told, exponent) = text.split_once('e').unwrap_or((&text, "0"));
                let place = exponent.parse::<i32>().unwrap_or(0) - i32::try_from(after).unwrap_or(0);
                assert_eq!((&*found.figures, found.place), (figures(told).as_str(), place), "{value:e}, {after} figures behind the first");
            }
        }
        assert!(rounded > 12_000 && led > 6_000, "most numbers of a sheet: {rounded}, {led}");
    }
}
