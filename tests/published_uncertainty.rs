//! Every printed figure of published examples of uncertainty that propagate to first order or follow a formula (a table):
//! the place of each in `tests/cases/published/uncertainty.md`, or what the library gives for it here, or why it is not held.

use crate::support::expect::{Expect, Number};
use crate::support::factors::factor as factor_of;
use crate::support::{case, compare, compile, folders};
use parbuckle::Sheet;
use parbuckle::measure::{Contribution, Coverage, CoverageRule, Freedom, coverage_factor, dominated, effective_degrees, expanded};

/// Where a printed figure is held.
enum Stands {
    /// As an expected value of this name and unit, within the tolerance of the print.
    Value(&'static str),
    /// As the expected standard uncertainty of this name and unit.
    Doubt(&'static str),
    /// Like a doubt, in the case of the same title with `-second`, which counts terms of second order.
    SecondOrder(&'static str),
    /// Another value is expected there, or another doubt (`doubt of ...`), for the reason that stands in the case and here.
    Differs(&'static str, &'static str),
    /// By [`library`], from the sheet of the case.
    Library,
    /// The library gives another figure, for this reason.
    LibraryDiffers(&'static str),
    /// It is not held by these cases.
    Not(&'static str),
}

use Stands::{Differs, Doubt, Library, LibraryDiffers, Not, SecondOrder, Value};

const F_TEST: &str = "a quantile of F: an analysis of variance is not the program's work";
const TWO_DIGITS: &str = "the print comes from unrounded correlations, these inputs have two digits";

/// Figure, as printed, half a unit of its last place (or as far as the source allows), and where it is held.
type Figure = (&'static str, f64, f64, Stands);

const EXAMPLES: &[(&str, &[Figure])] = &[
    (
        "gum-h1",
        &[
            ("value", 50_000_838.0, 0.5, Value("length as nm")),
            ("u", 32.0, 0.5, Doubt("length as nm")),
            ("part standard", 25.0, 0.5, Library),
            ("part repeated", 5.8, 0.05, Library),
            ("part random", 3.9, 0.05, Library),
            ("part systematic", 6.7, 0.05, Library),
            ("part expansions", 2.9, 0.05, Library),
            ("part apart", 16.6, 0.05, Library),
            ("part expansion", 0.0, 1e-9, Library),
            ("part mean_off", 0.0, 1e-9, Library),
            ("u of comparison", 9.7, 0.05, Doubt("comparison as nm")),
            ("degrees of comparison", 25.6, 0.05, LibraryDiffers("the print takes 9.7 for 9.68; unrounded it is 25.4")),
            ("u to second order", 34.0, 0.5, SecondOrder("length as nm")),
            ("degrees", 16.0, 0.0, Library),
            ("t at 99 %", 2.92, 0.005, Library),
            ("U at 99 %", 93.0, 0.5, LibraryDiffers("the print multiplies the rounded 32; unrounded it is 92.5")),
            ("U at 99 % from 32", 93.0, 0.5, Library),
        ],
    ),
    (
        "gum-h2-inputs",
        &[
            ("V", 4.999, 0.00005, Value("voltage")),
            ("u(V)", 0.0032, 0.00005, Doubt("voltage")),
            ("I", 19.661, 0.00005, Value("current")),
            ("u(I)", 0.0095, 0.00005, Doubt("current")),
            ("phi", 1.04446, 0.000005, Value("phase as rad")),
            ("u(phi)", 0.00075, 0.000005, Doubt("phase as rad")),
        ],
    ),
    (
        "gum-h2",
        &[
            ("R", 127.732, 0.0005, Value("resistance")),
            ("u(R)", 0.071, 0.0005, Doubt("resistance")),
            ("X", 219.847, 0.0005, Value("reactance")),
            ("u(X)", 0.295, 0.0005, Differs("doubt of reactance", "the print is the scatter of five results, 0.29549")),
            ("Z", 254.26, 0.0005, Value("impedance")),
            ("u(Z)", 0.236, 0.0005, Doubt("impedance")),
            ("r resistance reactance", -0.588, 0.0005, Library),
            ("r resistance impedance", -0.485, 0.0005, Library),
            ("r reactance impedance", 0.993, 0.0005, Library),
        ],
    ),
    (
        "gum-h2-rounded",
        &[
            ("u(R)", 0.071, 0.0005, Differs("doubt of resistance", TWO_DIGITS)),
            ("u(X)", 0.295, 0.0005, Differs("doubt of reactance", TWO_DIGITS)),
            ("u(Z)", 0.236, 0.0005, Differs("doubt of impedance", TWO_DIGITS)),
            ("r resistance reactance", -0.59, 0.005, Library),
            ("r resistance impedance", -0.49, 0.005, Library),
            ("r reactance impedance", 0.99, 0.005, Library),
        ],
    ),
    (
        "gum-h2-approach2",
        &[
            ("R", 127.732, 0.0005, Value("resistance")),
            ("u(R)", 0.071, 0.0005, Value("of_resistance")),
            ("X", 219.847, 0.0005, Value("reactance")),
            ("u(X)", 0.295, 0.0005, Value("of_reactance")),
            ("Z", 254.26, 0.0005, Value("impedance")),
            ("u(Z)", 0.236, 0.0005, Value("of_impedance")),
        ],
    ),
    (
        "gum-h4",
        &[
            ("A", 0.43, 0.00005, Differs("activity", "0.4299 from the printed rates and from the unrounded ones alike")),
            ("u(A)", 0.0083, 0.00005, Doubt("activity")),
        ],
    ),
    ("gum-h4-approach2", &[("A", 0.4304, 0.00005, Value("activity")), ("u(A)", 0.0084, 0.00005, Doubt("activity"))]),
    (
        "gum-h5",
        &[
            ("V", 10.000097, 5e-7, Value("voltage")),
            ("s(V)", 57.0, 0.5, Value("of_means")),
            ("s_a", 128.0, 0.5, Value("from_means")),
            ("s_b", 85.0, 0.5, Value("from_within")),
            ("F", 2.25, 0.03, Value("quotient")),
            ("F at 95 %", 2.12, 0.005, Not(F_TEST)),
            ("F at 97.5 %", 2.45, 0.005, Not(F_TEST)),
            ("u(V)", 18.0, 0.5, Doubt("above")),
            ("s_B", 43.0, 0.5, Value("between_days")),
        ],
    ),
    (
        "gum-4.3.3",
        &[
            ("u", 80.0, 0.5, Doubt("mass_standard as µg")),
            ("relative", 80e-9, 0.5e-9, Doubt("relative")),
            ("variance", 6.4e-9, 0.05e-9, Library),
        ],
    ),
    ("gum-4.3.4", &[("k", 2.58, 0.005, Library), ("u", 50.0, 0.5, Doubt("micro")), ("relative", 5.0e-6, 0.05e-6, Doubt("relative"))]),
    ("gum-4.3.5", &[("1/k", 1.48, 0.005, Library), ("u", 0.06, 0.005, Doubt("dimension as mm")), ("variance", 3.5e-3, 0.05e-3, Library)]),
    ("gum-4.3.7-1", &[("variance", 53.3e-15, 0.05e-15, Library), ("u", 0.23, 0.005, Doubt("millionths"))]),
    (
        "gum-4.3.7-2",
        &[
            ("limits", 15.0, 0.5, Value("limits")),
            ("u of limits", 8.7, 0.05, Doubt("correction")),
            ("u", 15.0, 0.5, Doubt("micro")),
            ("relative", 16e-6, 0.5e-6, Doubt("relative")),
        ],
    ),
    ("gum-4.4.5", &[("rectangle", 2.3, 0.05, Doubt("rectangle as K")), ("triangle", 1.6, 0.05, Doubt("triangle as K"))]),
    (
        "gum-g4.1",
        &[
            ("u", 1.03, 0.005, Doubt("product_of_all as %")),
            ("degrees", 19.0, 0.05, Library),
            ("t at 95 %", 2.09, 0.005, Library),
            ("U at 95 %", 2.2, 0.05, Library),
        ],
    ),
    ("tn1297-k2", &[("U", 0.0007, 0.000005, Library)]),
    ("s1-9.2.2", &[("u", 2.0, 0.05, Doubt("all")), ("half width", 3.92, 0.005, Library)]),
    (
        "s1-9.3-guf",
        &[
            ("value", 1.234, 0.00005, Value("deviation as mg")),
            ("u", 0.0539, 0.00005, Doubt("deviation as mg")),
            ("low end", 1.1285, 0.00005, Library),
            ("high end", 1.3395, 0.00005, Library),
            ("u to second order", 0.075, 0.00005, SecondOrder("deviation as mg")),
        ],
    ),
    (
        "s1-9.4-guf",
        &[
            ("value", 2500e-6, 0.5e-6, Value("loss")),
            ("u", 500e-6, 0.5e-6, Doubt("loss")),
            ("u to second order", 502e-6, 0.5e-6, SecondOrder("loss")),
        ],
    ),
    (
        "s1-9.4-guf-zero",
        &[
            ("value", 0.0, 1e-12, Value("loss")),
            ("u", 0.0, 1e-12, Doubt("loss")),
            ("u to second order", 50e-6, 0.5e-6, SecondOrder("loss")),
        ],
    ),
    ("ea-s4", &[("value", 49.999926, 5e-7, Value("block as mm")), ("u", 36.4, 0.05, Doubt("block as nm")), ("U", 73.0, 0.5, Library)]),
    (
        "ea-s9",
        &[
            ("value", 0.1, 0.05, Value("error")),
            ("u", 0.03, 0.0005, Doubt("error")),
            ("U", 0.05, 0.005, Library),
            ("k", 1.65, 0.005, Library),
        ],
    ),
];

// What the sheet gives as the standard uncertainty of a name, in a unit.
fn doubt(sheet: &Sheet, name: &str, unit: &str) -> f64 {
    let asked = Number { name: name.into(), item: None, unit: unit.into(), written: String::new(), number: f64::NAN, tolerance: None };
    compare::compared(sheet, &asked, |figure, printed| figure.standard_uncertainty * printed).expect("the case has it")
}

// The contribution of an input to the only budget, in nanometres; nothing where it has no row. Its row prints two digits, but
// has its share of the variance in full.
fn part(sheet: &Sheet, name: &str) -> f64 {
    let budget = sheet.budgets.first().expect("a budget");
    let row = budget.rows.iter().find(|row| row.name == name);
    let unit = factor_of(&budget.result.unit).expect("a length");
    row.map_or(0.0, |row| row.share.sqrt() * budget.result.standard_uncertainty * unit / 1e-9)
}

// The correlation of two results, from the doubt of their sum: u²(A + B) = u²(A) + u²(B) + 2 r u(A) u(B).
fn correlation(sheet: &Sheet, first: &str, second: &str) -> f64 {
    let (a, b) = (doubt(sheet, first, ""), doubt(sheet, second, ""));
    let sum = doubt(sheet, &format!("{first}_{second}"), "");
    (sum * sum - a * a - b * b) / (2.0 * a * b)
}

fn degrees(parts: impl IntoIterator<Item = (f64, Option<f64>)>) -> f64 {
    match effective_degrees(parts.into_iter().map(|(part, degrees)| Contribution { part, degrees, pool: None })) {
        Freedom::Effective(found) => found,
        Freedom::Endless | Freedom::Correlated => f64::INFINITY,
    }
}

fn of_end_gauge(sheet: &Sheet) -> f64 {
    let stated = [("standard", 18.0), ("repeated", 24.0), ("random", 5.0), ("systematic", 8.0), ("expansions", 50.0), ("apart", 2.0)];
    degrees(stated.map(|(name, degrees)| (part(sheet, name), Some(degrees))))
}

// The factor of the one rectangle that outweighs everything else, the resolution of half a step of 0.1.
fn rectangle(sheet: &Sheet) -> f64 {
    dominated(0.95, doubt(sheet, "step", ""), doubt(sheet, "error", "")).expect("it outweighs the rest")
}

fn factor(level: f64, degrees: Option<f64>) -> f64 {
    coverage_factor(level, degrees).expect("level and degrees are in range")
}

/// A figure that is no value or doubt of a line, by the library, from the sheet of its case.
fn library(example: &str, figure: &str, sheet: &Sheet) -> f64 {
    if let Some(name) = figure.strip_prefix("part ") {
        return part(sheet, name);
    }
    if let Some((first, second)) = figure.strip_prefix("r ").and_then(|names| names.split_once(' ')) {
        return correlation(sheet, first, second);
    }
    let product = [(0.25, Some(9.0)), (0.57, Some(4.0)), (0.82, Some(14.0))];
    let of_product = |level: f64| Coverage::new(CoverageRule::Level(level), Freedom::Effective(degrees(product)));
    let gauge = |level: f64| Coverage::new(CoverageRule::Level(level), Freedom::Effective(of_end_gauge(sheet)));
    let half = |name: &str, unit: &str| expanded(doubt(sheet, name, unit), factor(0.95, None));
    match (example, figure) {
        ("gum-h1", "degrees of comparison") => {
            let stated = [("repeated", 24.0), ("random", 5.0), ("systematic", 8.0)];
            degrees(stated.map(|(name, degrees)| (part(sheet, name), Some(degrees))))
        }
        ("gum-h1", "degrees") => gauge(0.99).degrees().expect("there are some"),
        ("gum-h1", "t at 99 %") => gauge(0.99).k,
        ("gum-h1", "U at 99 %") => expanded(doubt(sheet, "length", "nm"), gauge(0.99).k),
        ("gum-h1", "U at 99 % from 32") => expanded(32.0, gauge(0.99).k),
        ("gum-4.3.3", "variance") => doubt(sheet, "mass_standard", "g").powi(2),
        ("gum-4.3.4", "k") => factor(0.99, None),
        ("gum-4.3.5", "1/k") => 1.0 / factor(0.5, None),
        ("gum-4.3.5", "variance") => doubt(sheet, "dimension", "mm").powi(2),
        ("gum-4.3.7-1", "variance") => (doubt(sheet, "millionths", "") * 1e-6).powi(2),
        ("gum-g4.1", "degrees") => degrees(product),
        ("gum-g4.1", "t at 95 %") => of_product(0.95).k,
        ("gum-g4.1", "U at 95 %") => expanded(doubt(sheet, "product_of_all", "%"), of_product(0.95).k),
        ("tn1297-k2", "U") => expanded(doubt(sheet, "mass_of_standard", "g"), Coverage::new(CoverageRule::default(), Freedom::Endless).k),
        ("s1-9.2.2", "half width") => half("all", ""),
        ("s1-9.3-guf", "low end") => 1.234 - half("deviation", "mg"),
        ("s1-9.3-guf", "high end") => 1.234 + half("deviation", "mg"),
        ("ea-s9", "k") => rectangle(sheet),
        ("ea-s9", "U") => expanded(doubt(sheet, "error", ""), rectangle(sheet)),
        ("ea-s4", "U") => expanded(doubt(sheet, "block", "nm"), Coverage::new(CoverageRule::default(), Freedom::Endless).k),
        _ => f64::NAN,
    }
}

// The expected number of a case by its name and unit, a doubt or a value.
fn expected<'c>(one: &'c case::Case, key: &str, of_doubt: bool) -> Option<&'c Number> {
    one.expected.iter().find_map(|expected| {
        let (number, is_doubt) = match &expected.what {
            Expect::Value(number) => (number, false),
            Expect::Doubt(number) => (number, true),
            _ => return None,
        };
        let named = if number.unit.is_empty() { number.name.clone() } else { format!("{} as {}", number.name, number.unit) };
        (named == key && of_doubt == is_doubt).then_some(number)
    })
}

/// Ninety-nine figures: held as printed, held with a known difference, or left out with a reason.
#[test]
fn every_figure_stands_or_says_why_not() {
    let file = case::read(&folders::project().join("tests/cases/published/uncertainty.md"));
    let (mut stand, mut differ, mut left) = (0, 0, 0);
    let mut faults = Vec::new();
    for (example, figures) in EXAMPLES {
        let titled = |title: &str| {
            let found = file.cases.iter().find(|one| one.title.split(':').next() == Some(title));
            found.unwrap_or_else(|| panic!("{title} has no case"))
        };
        let one = titled(example);
        let sheet = compile::compile(&one.documents).sheet.unwrap_or_else(|| panic!("{example} makes no sheet"));
        for (figure, printed, half, stands) in *figures {
            let place = format!("{example}, {figure}");
            // A hair is added, for a printed half may be met exactly.
            let agrees = |found: f64| (found - printed).abs() <= half * (1.0 + 1e-9) + 1e-12 * printed.abs();
            match stands {
                Value(key) | Doubt(key) | SecondOrder(key) => match expected(
                    if matches!(stands, SecondOrder(_)) { titled(&format!("{example}-second")) } else { one },
                    key,
                    !matches!(stands, Value(_)),
                ) {
                    None => faults.push(format!("{place}: its case expects nothing of `{key}`")),
                    Some(number) => {
                        let exactly = (number.number - printed).abs() <= 1e-12 * printed.abs();
                        // Without a tolerance of its own a case compares to one in 10^9.
                        let near = number.tolerance.unwrap_or(1e-12) <= half * (1.0 + 1e-9);
                        if exactly && near {
                            stand += 1;
                        } else {
                            faults.push(format!("{place}: printed {printed} ± {half}, the case expects {}", number.written));
                        }
                    }
                },
                Differs(key, why) => {
                    let (name, of_doubt) = key.strip_prefix("doubt of ").map_or((*key, false), |name| (name, true));
                    match expected(one, name, of_doubt).filter(|number| !agrees(number.number)) {
                        Some(number) if number.tolerance.is_some_and(|tolerance| tolerance < *half) && why.len() > 20 => differ += 1,
                        _ => faults.push(format!("{place}: listed as differing, but the case expects nothing else")),
                    }
                }
                Library => {
                    let found = library(example, figure, &sheet);
                    if agrees(found) {
                        stand += 1;
                    } else {
                        faults.push(format!("{place}: printed {printed} ± {half}, found {found}"));
                    }
                }
                LibraryDiffers(why) => {
                    let found = library(example, figure, &sheet);
                    if found.is_finite() && !agrees(found) && why.len() > 20 {
                        differ += 1;
                    } else {
                        faults.push(format!("{place}: listed as differing, but {found} agrees with {printed}"));
                    }
                }
                Not(why) => {
                    assert!(why.len() > 20, "{place}: say why");
                    left += 1;
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert_eq!((stand, differ, left), (90, 7, 2), "figures that stand, differ for a known reason, are left out");
}
