//! Units against their published factors, and numbers against the rules for printing them.
//!
//! `tests/units/expected.tsv` names the source of each factor (SI Brochure 9, NIST SP 811 Appendix B.8, the agreement of 1959).

use std::collections::BTreeMap;

use num_bigint::BigInt;
use num_rational::BigRational;
use parbuckle::measure::{Doubt, combine, expanded};
use parbuckle::units::{
    Dimension, Nature, Prefixes, UnitFault, all, describe, for_reader, parse, places, prefixes, quantity, quantity_name, refused_spellings,
    significant, spaced, typed, with_doubt,
};

const EXPECTED: &str = include_str!("units/expected.tsv");

struct Expected {
    kind: &'static str,
    written: &'static str,
    factor: BigRational,
    pi: i32,
    nearest: f64,
    offset: f64,
    dimension: Dimension,
}

fn expected() -> Vec<Expected> {
    let rows = EXPECTED.lines().filter(|line| !line.starts_with('#'));
    rows.map(|line| {
        let part: Vec<&str> = line.split('\t').collect();
        let (num, den) = part[2].split_once('/').expect("a fraction");
        let whole = |text: &str| text.parse::<i32>().expect("a whole number");
        Expected {
            kind: part[0],
            written: part[1],
            factor: BigRational::new(num.parse::<BigInt>().expect("numerator"), den.parse::<BigInt>().expect("denominator")),
            pi: whole(part[3]),
            nearest: part[4].parse().expect("binary64"),
            offset: part[5].parse().expect("binary64"),
            dimension: Dimension::whole(whole(part[6]), whole(part[7]), whole(part[8]), whole(part[9])),
        }
    })
    .collect()
}

#[test]
fn every_published_factor_is_exact_and_rounds_to_the_nearest_number() {
    let rows = expected();
    assert_eq!(rows.iter().filter(|row| row.kind == "unit").count(), 129);
    assert_eq!(rows.iter().filter(|row| row.kind == "compound").count(), 65);
    for row in rows {
        let unit = parse(row.written).unwrap_or_else(|fault| panic!("{}: {fault:?}", row.written));
        assert_eq!(unit.factor.rational(), row.factor, "{}", row.written);
        assert_eq!(unit.factor.pi_power(), row.pi, "{}", row.written);
        assert_eq!(unit.scale.to_bits(), row.nearest.to_bits(), "{}: {} for {}", row.written, unit.scale, row.nearest);
        assert_eq!(unit.factor.to_f64().to_bits(), row.nearest.to_bits(), "{} from its exact factor", row.written);
        assert_eq!(unit.offset.to_bits(), row.offset.to_bits(), "{}", row.written);
        assert_eq!(unit.dimension, row.dimension, "{}", row.written);
    }
}

// The spellings that the facts of the trade say to refuse; each candidate offered must itself be readable.
#[test]
fn ambiguous_spellings_are_refused_with_readable_candidates() {
    let refused = [
        "lbs",
        "pounds",
        "pound",
        "#",
        "ton",
        "tons",
        "T",
        "G",
        "g's",
        "ft-lb",
        "foot-pound",
        "in-lb",
        "lb-ft",
        "lb-in",
        "oz-in",
        "M",
        "mn",
        "mins",
        "mil",
        "grade",
        "grad",
        "C",
        "F",
        "k",
        "'",
        "\"",
        "psia",
        "psig",
        "barg",
        "bara",
        "pcf",
        "plf",
        "klf",
        "pci",
        "kt",
        "kts",
        "NM",
        "N-m",
        "mps",
        "Cal",
        "therm",
        "a",
        "yr",
        "year",
        "month",
        "ppb",
        "ppt",
        "bp",
        "‱",
        "pt",
        "r",
        "P",
        "st",
        "amp",
        "pct",
        "ft lb",
    ];
    let listed: Vec<&str> = refused_spellings().collect();
    for spelling in refused {
        assert!(listed.contains(&spelling), "{spelling} is not listed");
        match parse(spelling) {
            Err(UnitFault::Ambiguous { candidates, reason, at, .. }) => {
                assert_eq!(at, 0..spelling.len(), "{spelling}");
                assert!(!reason.is_empty());
                assert!(spelling == "amp" || !candidates.is_empty(), "{spelling} offers nothing");
                for candidate in candidates {
                    assert!(parse(&candidate.write).is_ok(), "{spelling} offers {}, which cannot be read", candidate.write);
                }
            }
            other => panic!("{spelling}: {other:?}"),
        }
        assert!(describe(spelling).is_some(), "{spelling} has no page");
    }
}

#[test]
fn the_closed_list_of_abbreviations_is_accepted_and_printed_properly() {
    // SP 811 6.1.8 and 6.1.5: what is printed instead.
    let rows = [
        ("Nm", "N·m"),
        ("kNm", "kN·m"),
        ("Nmm", "N·mm"),
        ("Wh", "W·h"),
        ("kWh", "kW·h"),
        ("sec", "s"),
        ("hr", "h"),
        ("kph", "km/h"),
        ("mph", "mi/h"),
        ("cc", "cm³"),
        ("cfm", "ft³/min"),
        ("gpm", "gal/min"),
        ("fpm", "ft/min"),
        ("fps", "ft/s"),
    ];
    for (written, printed) in rows {
        let unit = parse(written).expect(written);
        assert_eq!(unit.symbol, printed, "{written}");
        assert!(unit.hint.is_some(), "{written} says nothing of its printing");
        let same = parse(printed).expect(printed);
        assert_eq!((&same.factor, same.dimension, same.nature), (&unit.factor, unit.dimension, unit.nature), "{written}");
    }
    assert!(matches!(parse("msec"), Err(UnitFault::Prefix { .. })), "no prefix on sec");
}

#[test]
fn words_that_a_loose_prefix_reader_misreads_are_read_rightly() {
    // (spelling, coherent SI value, dimension): not milli-inch, femto-tonne, nano-mile, atto-tonne, yocto-day, ...
    let rows = [
        ("min", 60.0, Dimension::TIME),
        ("ft", 0.3048, Dimension::LENGTH),
        ("nmi", 1852.0, Dimension::LENGTH),
        ("at", 98066.5, Dimension::PRESSURE),
        ("yd", 0.9144, Dimension::LENGTH),
        ("hr", 3600.0, Dimension::TIME),
        ("cfm", 0.000_471_947_443_2, Dimension::VOLUME.over(Dimension::TIME)),
        ("kips", 4448.2216152605, Dimension::FORCE),
        ("nm", 1e-9, Dimension::LENGTH),
        ("mN", 1e-3, Dimension::FORCE),
        ("kn", 463.0 / 900.0, Dimension::SPEED),
        ("kN", 1e3, Dimension::FORCE),
    ];
    for (written, value, dimension) in rows {
        let unit = parse(written).expect(written);
        assert_eq!(unit.scale, value, "{written}");
        assert_eq!(unit.dimension, dimension, "{written}");
    }
    assert!(matches!(parse("pt"), Err(UnitFault::Ambiguous { .. })), "not a pico-tonne");
}

#[test]
fn no_allowed_prefix_makes_one_spelling_of_two_units() {
    let mut seen: BTreeMap<String, (&str, &str)> = BTreeMap::new();
    for row in all() {
        for (prefix, _) in prefixes().filter(|(prefix, _)| row.prefixes != Prefixes::None && row.takes(prefix)) {
            for base in row.prefixed {
                let spelling = format!("{prefix}{base}");
                if let Some(other) = seen.insert(spelling.clone(), (row.id, prefix)) {
                    panic!("{spelling} is {prefix}+{} and {other:?}", row.id);
                }
            }
        }
    }
    for row in all() {
        for spelling in row.spellings {
            if let Some((id, prefix)) = seen.get(*spelling) {
                panic!("{spelling} ({}) is also {prefix}+{id}", row.id);
            }
        }
    }
}

#[test]
fn what_is_printed_is_read_back_as_the_same_unit() {
    // Printed in words, or by a sign that stands for another unit elsewhere: not meant to be read back.
    let words = [
        "floz",
        "bdft",
        "ton_short",
        "ton_long",
        "cwt_short",
        "cwt_long",
        "ozt",
        "yr_j",
        "rev",
        "mil_angle",
        "tonf_short",
        "tonf_long",
        "therm",
        "hp_metric",
        "hp_electric",
        "hp_boiler",
        "hp_water",
        "P",
        "delta_degC",
        "delta_degF",
        "grade_pct",
    ];
    for row in all().filter(|row| !words.contains(&row.id)) {
        let unit = parse(row.print).unwrap_or_else(|fault| panic!("{}: {fault:?}", row.print));
        assert_eq!((&unit.factor, unit.dimension), (&row.factor(), row.dimension), "{}", row.id);
    }
    for row in expected().iter().filter(|row| row.kind == "compound" && !row.written.contains("tonf_short")) {
        let unit = parse(row.written).expect(row.written);
        let again = parse(&unit.symbol).unwrap_or_else(|fault| panic!("{}: {fault:?}", unit.symbol));
        assert_eq!((&again.factor, again.nature, &again.symbol), (&unit.factor, unit.nature, &unit.symbol), "{}", row.written);
    }
}

#[test]
fn the_order_of_force_and_length_tells_torque_from_work() {
    // SP 811 B.8 lists lbf·ft under moment of force and ft·lbf under energy.
    for (written, nature) in [
        ("N·m", Nature::Torque),
        ("lbf·ft", Nature::Torque),
        ("kN·mm", Nature::Torque),
        ("ft·lbf", Nature::Energy),
        ("J", Nature::Energy),
        ("kW·h", Nature::Energy),
        ("Wh", Nature::Energy),
        ("N·m·rad", Nature::Energy),
        ("rad", Nature::Angle),
        ("°", Nature::Angle),
        ("rpm", Nature::Rotation),
        ("rad/s", Nature::Rotation),
        ("deg/s", Nature::Rotation),
        ("rev/h", Nature::Rotation),
        ("Hz", Nature::Frequency),
        ("kHz", Nature::Frequency),
        ("1/s", Nature::Plain),
        ("%grade", Nature::Slope),
        ("°C", Nature::TemperaturePoint),
        ("Δ°C", Nature::TemperatureDifference),
        ("N·m/deg", Nature::Plain),
        ("mm/m", Nature::Plain),
    ] {
        assert_eq!(parse(written).expect(written).nature, nature, "{written}");
    }
}

#[test]
fn badly_joined_units_are_refused_where_the_fault_is() {
    assert!(matches!(parse("m/s/s"), Err(UnitFault::TwoSolidi { .. })));
    assert!(matches!(parse("W/m²·K"), Err(UnitFault::TwoSolidi { .. })));
    assert_eq!(parse("W/(m²·K)").expect("brackets").symbol, "W/(m²·K)");
    assert_eq!(parse("W/(m^2·K)").expect("brackets").symbol, "W/(m²·K)");
    assert!(matches!(parse("m^0"), Err(UnitFault::Power { .. })));
    assert!(matches!(parse("m^99"), Err(UnitFault::Power { .. })));
    assert!(matches!(parse("W/(m²·°C)"), Err(UnitFault::AffineInProduct { .. })));
    assert!(matches!(parse("kft"), Err(UnitFault::Prefix { .. })));
    assert!(matches!(parse("km/lbs"), Err(UnitFault::Ambiguous { at, .. }) if at == (3..6)));
    assert!(matches!(parse("Qm^12"), Err(UnitFault::TooLarge { .. })));
    for broken in ["", "·m", "m·", "m/", "N m", "m*s", "(m", "m)", "W/(m", "^2"] {
        let fault = parse(broken).expect_err(broken);
        assert!(!fault.words().0.is_empty(), "{broken}");
    }
    assert!(matches!(parse("KN"), Err(UnitFault::Unknown { near, .. }) if near.contains(&"kN".to_owned())));
    assert!(matches!(parse("metre"), Err(UnitFault::Unknown { near, .. }) if near == ["m"]));
    assert!(matches!(parse("x"), Err(UnitFault::Unknown { near, .. }) if near.is_empty()));
}

#[test]
fn dimensions_obey_their_laws() {
    assert_eq!(Dimension::FORCE.times(Dimension::LENGTH), Dimension::ENERGY);
    assert_eq!(Dimension::FORCE.over(Dimension::MASS), Dimension::ACCELERATION);
    assert_eq!(Dimension::FORCE.to_string(), "L·M·T⁻²");
    assert_eq!(Dimension::AREA.power(1, 2), Some(Dimension::LENGTH));
    assert_eq!(Dimension::LENGTH.power(1, 5), None);
    assert_eq!(Dimension::LENGTH.power(1, 2).expect("a root").to_string(), "L^(1/2)");
    assert_eq!(quantity_name(Dimension::ENERGY, Nature::Plain), "torque or energy");
    assert_eq!(quantity_name(Dimension::whole(5, 0, 0, 0), Nature::Plain), "L⁵");
    let words = "force mass length angle slope ratio count torque energy power pressure area volume time speed";
    for word in words.split(' ').chain(["acceleration", "stiffness", "temperature", "density"]) {
        let (dimension, nature) = quantity(word).expect(word);
        assert_eq!(quantity_name(dimension, nature), if word == "count" { "ratio" } else { word });
    }
}

#[test]
fn numbers_are_set_as_the_standards_say() {
    // SP 811 10.5.2 to 10.5.4: groups of three from the point, four figures whole, a zero before the point, a true minus.
    for (value, digits, printed) in [
        (1234.0, 4, "1234"),
        (12345.0, 5, "12\u{202f}345"),
        (0.0123456, 6, "0.012\u{202f}345\u{202f}6"),
        (-0.25, 2, "−0.25"),
        (0.0, 3, "0.00"),
        (2.0, 3, "2.00"),
        (9_999_999.0, 3, "1.00\u{a0}×\u{a0}10⁷"),
        (2.5e9, 2, "2.5\u{a0}×\u{a0}10⁹"),
        (0.0001, 2, "0.000\u{202f}10"),
        (0.00005, 2, "5.0\u{a0}×\u{a0}10⁻⁵"),
        (123456.0, 3, "123\u{202f}000"),
        (-1e-9, 1, "−1\u{a0}×\u{a0}10⁻⁹"),
    ] {
        assert_eq!(significant(value, digits), printed, "{value} to {digits}");
    }
    // Exact halves go to even (SP 811 B.7.1).
    for (value, decimals, printed) in
        [(0.125, 2, "0.12"), (0.375, 2, "0.38"), (2.5, 0, "2"), (3.5, 0, "4"), (-0.001, 2, "0.00"), (12345.678, 1, "12\u{202f}345.7")]
    {
        assert_eq!(places(value, decimals), printed);
    }
    assert_eq!(typed("1_850"), "1850");
    assert_eq!(typed("-12345.60"), "−12\u{202f}345.60");
    assert_eq!(typed("1.5e3"), "1.5\u{a0}×\u{a0}10³");
    assert_eq!(spaced("30", "°"), "30°");
    assert_eq!(spaced("20", "°C"), "20\u{a0}°C");
    assert_eq!(spaced("0.16", "1"), "0.16");
}

#[test]
fn a_value_is_printed_to_the_place_of_its_doubt() {
    let pair = |value, doubt| with_doubt(value, doubt);
    // JCGM 100:2008 7.2.2 (from memory): m_S = 100.021 47 g with u_c = 0.35 mg.
    assert_eq!(pair(100.02147, 0.00035), ("100.021\u{202f}47".into(), "0.000\u{202f}35".into()));
    // JCGM 100:2008 7.2.6 (from memory): 10.057 62 Ω with 27 mΩ becomes 10.058 Ω.
    assert_eq!(pair(10.05762, 0.027), ("10.058".into(), "0.027".into()));
    // By the same rule, reckoned by hand.
    assert_eq!(pair(123456.0, 1234.0), ("123\u{202f}500".into(), "1200".into()));
    assert_eq!(pair(5.0, 0.0999), ("5.00".into(), "0.10".into()));
    assert_eq!(pair(3.0, 400.0), ("0".into(), "400".into()));
    assert_eq!(pair(1.23456e9, 1.2e6), ("1.2346\u{a0}×\u{a0}10⁹".into(), "0.0012\u{a0}×\u{a0}10⁹".into()));
}

#[test]
fn a_reader_gets_a_unit_of_fitting_size() {
    let symbol = |value, word: &str, us| {
        let (dimension, nature) = quantity(word).expect(word);
        for_reader(value, dimension, nature, us).map(|unit| unit.symbol.clone())
    };
    for (value, word, us, printed) in [
        (850.0, "force", false, "N"),
        (0.5, "force", false, "N"),
        (0.05, "force", false, "mN"),
        (5e-5, "force", false, "µN"),
        (0.002, "energy", false, "mJ"),
        (2e-6, "length", false, "µm"),
        (0.0, "force", false, "N"),
        (0.0, "mass", false, "kg"),
        (4905.0, "force", false, "kN"),
        (2e6, "force", false, "MN"),
        (0.0, "length", false, "m"),
        (0.012, "length", false, "mm"),
        (1850.0, "mass", false, "t"),
        (12.0, "torque", false, "N·m"),
        (12e3, "energy", false, "kJ"),
        (5e6, "pressure", false, "MPa"),
        (0.5, "angle", false, "°"),
        (850.0, "force", true, "lbf"),
        (1.0, "length", true, "ft"),
        (0.01, "length", true, "in"),
        (12.0, "torque", true, "lbf·ft"),
        (12.0, "energy", true, "ft·lbf"),
        (5e4, "pressure", true, "psi"),
        (0.1, "speed", true, "ft/min"),
        (0.5, "angle", true, "°"),
        (500.0, "mass", true, "lb"),
    ] {
        assert_eq!(symbol(value, word, us).as_deref(), Some(printed), "{value} {word}");
    }
    assert_eq!(symbol(3.0, "ratio", false), None);
    let odd = Dimension::FORCE.times(Dimension::FORCE);
    assert_eq!(for_reader(1.0, odd, Nature::Plain, false).expect("composed").symbol, "kg²·m²/s⁴");
    let pounds = for_reader(1.0, odd, Nature::Plain, true).expect("composed");
    assert_eq!((pounds.symbol.as_str(), pounds.dimension), ("lbf²", odd));
    assert_eq!(for_reader(1.0, Dimension::LENGTH.power(1, 2).expect("root"), Nature::Plain, false).expect("root").symbol, "m^(1/2)");
}

#[test]
fn doubts_become_standard_uncertainties() {
    let close = |found: f64, wanted: f64| assert!((found - wanted).abs() <= 1e-12 * wanted.abs(), "{found} for {wanted}");
    // JCGM 100:2008 4.3.3 (from memory): 240 µg at three standard deviations is 80 µg.
    close(Doubt::Expanded { size: 240e-9, k: 3.0 }.standard().expect("k above zero"), 80e-9);
    // JCGM 100:2008 4.3.7, example (from memory): limits of ±0.40e-6 °C⁻¹ give u² = 53.3e-15, u = 0.23e-6.
    let u = Doubt::Limits(0.40e-6).standard().expect("finite");
    assert!((u * u - 53.3e-15).abs() < 0.05e-15 && (u - 0.23e-6).abs() < 0.005e-6);
    assert_eq!(Doubt::Standard(-0.5).standard(), Some(0.5));
    assert_eq!(Doubt::Expanded { size: 1.0, k: 0.0 }.standard(), None);
    close(combine(&[3.0, -4.0]), 5.0);
    close(combine(&[3e200, 4e200]), 5e200);
    assert_eq!(combine(&[]), 0.0);
    assert!(combine(&[1.0, f64::NAN]).is_nan());
    assert_eq!(expanded(0.35, 2.0), 0.7);
}

#[test]
fn every_prefix_has_its_power_of_ten() {
    // SI Brochure 9, Table 7, with the four of 2022. The decimal reader of the standard library is the reference.
    let table = [
        ("Q", 30),
        ("R", 27),
        ("Y", 24),
        ("Z", 21),
        ("E", 18),
        ("P", 15),
        ("T", 12),
        ("G", 9),
        ("M", 6),
        ("k", 3),
        ("h", 2),
        ("da", 1),
        ("d", -1),
        ("c", -2),
        ("m", -3),
        ("µ", -6),
        ("n", -9),
        ("p", -12),
        ("f", -15),
        ("a", -18),
        ("z", -21),
        ("y", -24),
        ("r", -27),
        ("q", -30),
    ];
    for (prefix, power) in table {
        for base in ["m", "N", "Pa", "J", "W", "Hz", "K"] {
            let word = format!("{prefix}{base}");
            let unit = parse(&word).expect(&word);
            let wanted: f64 = format!("1e{power}").parse().expect("a number");
            assert_eq!(unit.scale.to_bits(), wanted.to_bits(), "{word}");
            assert_eq!(unit.symbol, word);
        }
    }
    for micro in ["um", "µm", "μm"] {
        assert_eq!(parse(micro).expect(micro).symbol, "µm");
    }
    assert_eq!(parse("kg").expect("kg").scale, 1.0);
    assert!(matches!(parse("kkg"), Err(UnitFault::Prefix { .. })), "one prefix only (SP 811 6.2)");
}

#[test]
fn a_unit_with_a_solidus_of_its_own_is_bracketed_in_a_product() {
    assert_eq!(parse("mph/s").expect("mph/s").symbol, "(mi/h)/s");
    assert_eq!(parse("N/cc").expect("N/cc").symbol, "N/cm³");
}

#[test]
fn no_number_however_odd_stops_the_printing() {
    let odd = [
        0.0,
        -0.0,
        1.0,
        -1.5,
        1e-320,
        f64::MIN_POSITIVE,
        5e-324,
        f64::MAX,
        f64::MIN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::NAN,
        9.995,
        99999.95,
    ];
    for value in odd {
        for digits in [0, 1, 2, 6, 17, 400] {
            assert!(!significant(value, digits).is_empty());
            assert!(places(value, digits).chars().count() < 60, "{value} to {digits} places");
        }
        for doubt in odd {
            let (value, doubt) = with_doubt(value, doubt);
            assert!(!value.is_empty() && !doubt.is_empty());
        }
    }
    assert_eq!(with_doubt(1.0, 1e-300).0, "1.000\u{202f}000\u{202f}000\u{202f}000\u{202f}000\u{202f}0");
    for text in ["", "e", "--", "1e", "1.2.3", "12e99999999999", "٣"] {
        typed(text);
    }
}
