//! Results that were accepted, as text that a person can read and a tool can merge, and how far a sheet has moved from them.

use crate::sheet::parts::{Figure, Sheet};
use crate::sheet::snapshot::snapshot;
use crate::units;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// The line that names the columns.
const COLUMNS: &str = "name\tvalue\tstandard uncertainty\tunit";
const HEAD: &str = concat!(
    "# Accepted results of a sheet. `",
    env!("CARGO_PKG_NAME"),
    " accept` writes them, `",
    env!("CARGO_PKG_NAME"),
    " check` compares with them."
);

/// How far a value or its doubt may be from the accepted value, as a share of that value, where nobody has said.
pub const TOLERANCE: f64 = 0.001;

/// One accepted result, in its unit of print, at full precision.
#[derive(Debug, Clone, PartialEq)]
pub struct Accepted {
    /// Full name, with the item in a list.
    pub name: String,
    /// Value.
    pub value: f64,
    /// Standard uncertainty; 0 when there is none.
    pub doubt: f64,
    /// Unit, empty for plain numbers.
    pub unit: String,
}

/// What is wrong with a line of a baseline: its number, from 1, and what was expected.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BaselineFault {
    /// The line.
    pub line: usize,
    /// What was expected there.
    pub expected: String,
}

/// How a sheet stands to its accepted results.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Departure {
    /// How many were compared.
    pub compared: usize,
    /// The tolerance, as a share of the accepted value.
    pub tolerance: f64,
    /// Results that moved by more than the tolerance.
    pub moved: Vec<MovedResult>,
    /// Results that were not there when the others were accepted.
    pub new: Vec<String>,
    /// Accepted results that are not there any more.
    pub gone: Vec<String>,
}

/// A result that moved by more than the tolerance.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MovedResult {
    /// Full name, with the item in a list.
    pub name: String,
    /// The accepted value, at full precision with its doubt and unit.
    pub accepted: String,
    /// The value now.
    pub now: String,
    /// The accepted value with as many digits as it takes to see the move.
    #[serde(skip)]
    pub accepted_in_short: String,
    /// The value now, likewise.
    #[serde(skip)]
    pub now_in_short: String,
    /// The greater of the moves of value and doubt, as a share of the accepted value; none when that was 0 or of another sort.
    pub share: Option<f64>,
}

impl Departure {
    /// Whether anything differs that is to be told as a departure.
    pub fn departs(&self) -> bool {
        !(self.moved.is_empty() && self.new.is_empty() && self.gone.is_empty())
    }
}

/// The results of a sheet, in its order: every named value that nobody stated.
pub fn accepted(sheet: &Sheet) -> Vec<Accepted> {
    let worked: BTreeSet<String> = snapshot(sheet).results.into_iter().map(|result| result.name).collect();
    let mut results = Vec::new();
    for value in sheet.values.iter().filter(|value| worked.contains(&value.name)) {
        let one = |name: String, figure: &Figure| Accepted {
            name,
            value: figure.value,
            doubt: figure.standard_uncertainty,
            unit: figure.unit.clone(),
        };
        results.extend(value.figure.iter().map(|figure| one(value.name.clone(), figure)));
        results.extend(value.items.iter().enumerate().map(|(at, figure)| one(format!("{}[{}]", value.name, at + 1), figure)));
    }
    results
}

/// A baseline as text: a line for each result, columns divided by tabs.
pub fn baseline_text(results: &[Accepted]) -> String {
    let mut text = format!("{HEAD}\n{COLUMNS}\n");
    for one in results {
        // The shortest digits that read back to the same number.
        text += &format!("{}\t{:?}\t{:?}\t{}\n", one.name, one.value, one.doubt, one.unit);
    }
    text
}

/// Reads what [`baseline_text`] wrote, whatever ends its lines.
///
/// # Errors
/// Every line that is not understood.
pub fn read_baseline(text: &str) -> Result<Vec<Accepted>, Vec<BaselineFault>> {
    let (mut results, mut faults, mut headed) = (Vec::new(), Vec::new(), false);
    let mut known: BTreeMap<String, usize> = BTreeMap::new();
    for (at, line) in text.lines().enumerate() {
        let line = line.trim_end();
        let mut fault = |expected: String| faults.push(BaselineFault { line: at + 1, expected });
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        if !headed {
            headed = true;
            if line != COLUMNS {
                fault("a line that names the columns: name, value, standard uncertainty and unit, divided by tabs".into());
            }
            continue;
        }
        let cells: Vec<&str> = line.split('\t').collect();
        let (&[name, value, doubt], unit) = match cells.as_slice() {
            [name, value, doubt] => (&[*name, *value, *doubt], ""),
            [name, value, doubt, unit] => (&[*name, *value, *doubt], *unit),
            _ => {
                fault("name, value, standard uncertainty and unit, divided by tabs".into());
                continue;
            }
        };
        let number = |text: &str| text.parse::<f64>().ok().filter(|number| number.is_finite());
        let Some((value, doubt)) = number(value).zip(number(doubt).filter(|doubt| *doubt >= 0.0)) else {
            fault("two numbers behind the name: the value and its standard uncertainty".into());
            continue;
        };
        if let Some(other) = known.insert(name.to_string(), at + 1) {
            fault(format!("each name once: `{name}` stands in line {other} already"));
            continue;
        }
        results.push(Accepted { name: name.into(), value, doubt, unit: unit.into() });
    }
    if faults.is_empty() { Ok(results) } else { Err(faults) }
}

/// How the results `now` stand to those that were accepted. A result has moved when its value, or its standard uncertainty, is further
/// from the accepted one than `tolerance` times the accepted value.
pub fn departure(before: &[Accepted], now: &[Accepted], tolerance: f64) -> Departure {
    let mut open: BTreeMap<&str, &Accepted> = before.iter().map(|one| (one.name.as_str(), one)).collect();
    let mut found = Departure { tolerance, ..Departure::default() };
    for one in now {
        let Some(before) = open.remove(one.name.as_str()) else {
            found.new.push(one.name.clone());
            continue;
        };
        found.compared += 1;
        let moved = match in_unit_of(before, one) {
            Some((value, doubt)) => {
                let step = (one.value - value).abs().max((one.doubt - doubt).abs());
                // Rounding of the last digit when a unit was turned into another is no move.
                let blunt = if before.unit == one.unit { 0.0 } else { 1e-12 * value.abs() };
                (step > tolerance * value.abs() + blunt).then(|| (value != 0.0).then(|| step / value.abs()))
            }
            None => Some(None),
        };
        if let Some(share) = moved {
            let digits = seen_by(share);
            found.moved.push(MovedResult {
                name: one.name.clone(),
                accepted: words(before),
                now: words(one),
                accepted_in_short: in_short(before, digits),
                now_in_short: in_short(one, digits),
                share,
            });
        }
    }
    found.gone = before.iter().filter(|one| open.contains_key(one.name.as_str())).map(|one| one.name.clone()).collect();
    found
}

// The accepted value and doubt in the unit that the result has now; none when the two units are of different sorts.
fn in_unit_of(before: &Accepted, now: &Accepted) -> Option<(f64, f64)> {
    if before.unit == now.unit {
        return Some((before.value, before.doubt));
    }
    let unit = |text: &str| if text.is_empty() { Some(units::Unit::one()) } else { units::parse(text).ok() };
    let (old, new) = (unit(&before.unit)?, unit(&now.unit)?);
    if old.dimension != new.dimension || old.nature != new.nature {
        return None;
    }
    let turned = |number: f64| new.from_si(old.to_si(number));
    // A doubt is a difference: where units count from different zeros, only their steps matter.
    Some((turned(before.value), (turned(before.doubt) - turned(0.0)).abs()))
}

fn words(one: &Accepted) -> String {
    let unit = if one.unit.is_empty() { String::new() } else { format!(" {}", one.unit) };
    if one.doubt == 0.0 { format!("{:?}{unit}", one.value) } else { format!("{:?}{unit} (u = {:?}{unit})", one.value, one.doubt) }
}

// How many significant digits show a move of `share`: one more than the first that changes.
fn seen_by(share: Option<f64>) -> i32 {
    share.map_or(6, |share| (2 - share.max(1e-15).log10().floor() as i32).clamp(4, 17))
}

// A value and its standard uncertainty to the same decimal place, the uncertainty to two digits at least.
fn in_short(one: &Accepted, digits: i32) -> String {
    let decade = |number: f64| if number == 0.0 { 0 } else { number.abs().log10().floor() as i32 };
    let places = digits - 1 - decade(one.value);
    let least = if one.doubt == 0.0 { places } else { places.max(1 - decade(one.doubt)) };
    // Out of the range of everyday figures all digits are clearer than a row of noughts.
    if [one.value, one.doubt].iter().any(|number| *number != 0.0 && !(-9..15).contains(&decade(*number))) {
        return words(one);
    }
    let unit = if one.unit.is_empty() { String::new() } else { format!(" {}", one.unit) };
    let number = |number: f64, places: i32| format!("{number:.*}", usize::try_from(places).unwrap_or(0));
    let value = if one.value == 0.0 { "0".to_string() } else { number(one.value, places) };
    if one.doubt == 0.0 { format!("{value}{unit}") } else { format!("{value}{unit} (u = {}{unit})", number(one.doubt, least)) }
}

#[cfg(test)]
mod tests {
    use super::{Accepted, baseline_text, departure, in_short, read_baseline, seen_by};

    fn result(name: &str, value: f64, doubt: f64, unit: &str) -> Accepted {
        Accepted { name: name.into(), value, doubt, unit: unit.into() }
    }

    #[test]
    fn what_is_written_reads_back_to_the_last_bit() {
        let awkward = [0.1 + 0.2, 1e-300, -6.02214076e23, 5e-324, 0.0];
        let results: Vec<Accepted> = awkward
            .iter()
            .enumerate()
            .map(|(at, value)| Accepted { name: format!("a[{at}]"), value: *value, doubt: value.abs() / 3.0, unit: "N·m".into() })
            .collect();
        let text = baseline_text(&results);
        assert_eq!(read_baseline(&text), Ok(results.clone()));
        assert_eq!(read_baseline(&text.replace('\n', "\r\n")), Ok(results));
        assert_eq!(text.lines().count(), 2 + awkward.len());
    }

    #[test]
    fn a_move_is_seen_in_the_digits_that_are_told() {
        let told = |value: f64, doubt: f64, share: f64| in_short(&result("pull", value, doubt, "kN"), seen_by(Some(share)));
        assert_eq!(told(7.256_920_999_999_999, 0.056_618_720_173_484_43, 0.057), "7.257 kN (u = 0.057 kN)");
        assert_eq!(told(6.864_655, 0.056_618_720_173_484_43, 0.057), "6.865 kN (u = 0.057 kN)");
        assert_eq!((told(403.321, 0.0, 0.001_05), told(403.746, 0.0, 0.001_05)), ("403.32 kN".into(), "403.75 kN".into()));
        assert_eq!((told(0.0, 0.0, 1.0), told(-0.5, 0.000_123, 0.9)), ("0 kN".into(), "-0.5000 kN (u = 0.00012 kN)".into()));
        assert_eq!(told(5e-324, 0.0, 0.5), "5e-324 kN");
    }

    #[test]
    fn what_cannot_be_read_is_told_line_by_line() {
        let text =
            "name\tvalue\tstandard uncertainty\tunit\na\t1.0\t0.0\tN\n<<<<<<< ours\nb\tone\t0.0\tN\na\t2.0\t0.0\tN\nc\t1.0\t-1.0\tN\n";
        let faults = read_baseline(text).expect_err("four lines are wrong");
        assert_eq!(faults.iter().map(|fault| fault.line).collect::<Vec<_>>(), [3, 4, 5, 6]);
        assert_eq!(read_baseline("a\t1.0\t0.0\tN\n").expect_err("no columns").len(), 1);
    }

    #[test]
    fn a_move_counts_from_the_tolerance_on_whatever_the_unit() {
        let before = [result("pull", 2000.0, 0.25, "N"), result("gone", 1.0, 0.25, "N"), result("turned", 3.0, 0.25, "N·m")];
        let now =
            |pull: f64, doubt: f64| [result("pull", pull, doubt, "kN"), result("turned", 3.0, 0.25, "J"), result("new[1]", 1.0, 0.0, "m")];
        let found = departure(&before, &now(2.0019, 0.000_25), 0.001);
        assert_eq!((found.moved.len(), found.moved[0].name.as_str()), (1, "turned"), "a torque is no energy: {found:?}");
        assert_eq!((found.new, found.gone, found.compared), (vec!["new[1]".to_string()], vec!["gone".to_string()], 2));
        let found = departure(&before, &now(2.0021, 0.000_25), 0.001);
        assert!(found.moved[0].name == "pull" && found.moved[0].share.is_some_and(|share| (share - 0.001_05).abs() < 1e-9), "{found:?}");
        // A doubt that grew is a move too: 250 N where it was 0.25 N.
        assert_eq!(departure(&before, &now(2.0, 0.25), 0.001).moved[0].name, "pull");
    }
}
