//! The spellings that are refused because the trade reads them in more than one way (a table).
//! Source: the sections of NIST SP 811 (2008) named in each reason; shop usage is common practice.

use std::collections::BTreeMap;
use std::sync::LazyLock;

/// A refused spelling, or several refused for one reason.
pub(crate) struct Refusal {
    pub spellings: &'static [&'static str],
    // What to write, and what that means.
    pub candidates: &'static [(&'static str, &'static str)],
    pub reason: &'static str,
}

const SHORT_FORCE: (&str, &str) = ("tonf_short", "short ton-force, 8896.4 N");
const LONG_FORCE: (&str, &str) = ("tonf_long", "long ton-force, 9964.0 N");

#[rustfmt::skip]
pub(crate) const REFUSALS: &[Refusal] = &[
    Refusal {
        spellings: &["lbs", "pound", "pounds", "#"],
        candidates: &[("lb", "pound, a mass of 0.45359237 kg"), ("lbf", "pound-force, 4.4482 N")],
        reason: "in the shop this means a force, on a scale ticket a mass; a calculation must say which",
    },
    Refusal {
        spellings: &["ton", "tons"],
        candidates: &[
            ("t", "tonne, 1000 kg"), ("ton_short", "short ton, 907.18474 kg"), ("ton_long", "long ton, 1016.0469088 kg"),
            SHORT_FORCE, LONG_FORCE, ("tf", "metric ton-force, 9806.65 N"),
        ],
        reason: "a ton is three masses and three forces, 12 % apart and more",
    },
    Refusal {
        spellings: &["T"],
        candidates: &[("t", "tonne, 1000 kg"), ("ton_short", "short ton, 907.18474 kg"), ("tf", "metric ton-force, 9806.65 N")],
        reason: "T is the tesla, and a sign for tension; on drawings it stands for any of the tons",
    },
    Refusal {
        spellings: &["G", "g's"],
        candidates: &[("g_n", "standard acceleration of free fall, 9.80665 m/s²"), ("g", "gram")],
        reason: "an acceleration counted in falls is written g_n; G alone is a prefix and the constant of gravitation",
    },
    Refusal {
        spellings: &["ft-lb", "ft lb", "ft-lbs", "foot-pound", "foot-pounds", "lb-ft", "ft·lbs"],
        candidates: &[("ft·lbf", "energy or work, 1.3558 J"), ("lbf·ft", "torque, 1.3558 N·m")],
        reason: "lb is a mass and a hyphen is not a product; the order of the two says whether it is work or torque (SP 811 B.8)",
    },
    Refusal {
        spellings: &["in-lb", "in lb", "in-lbs", "inch-pound", "inch-pounds", "lb-in"],
        candidates: &[("in·lbf", "energy or work, 0.11298 J"), ("lbf·in", "torque, 0.11298 N·m")],
        reason: "lb is a mass and a hyphen is not a product; the order of the two says whether it is work or torque (SP 811 B.8)",
    },
    Refusal {
        spellings: &["oz-in", "in-oz"],
        candidates: &[("ozf·in", "torque, 0.0070616 N·m"), ("in·ozf", "energy or work")],
        reason: "oz is a mass and a hyphen is not a product",
    },
    Refusal {
        spellings: &["N-m", "m-N"],
        candidates: &[("N·m", "torque"), ("J", "energy or work")],
        reason: "a hyphen is not a product",
    },
    Refusal {
        spellings: &["kN-m"], candidates: &[("kN·m", "torque"), ("kJ", "energy or work")],
        reason: "a hyphen is not a product",
    },
    Refusal {
        spellings: &["kip-ft", "ft-kip"], candidates: &[("kip·ft", "torque"), ("ft·kip", "energy or work")],
        reason: "a hyphen is not a product",
    },
    Refusal {
        spellings: &["NM"],
        candidates: &[("N·m", "newton metre, a torque"), ("nmi", "nautical mile, 1852 m"), ("nm", "nanometre")],
        reason: "NM is read as a newton metre and as a nautical mile",
    },
    Refusal {
        spellings: &["M"], candidates: &[("m", "metre"), ("min", "minute"), ("Mm", "megametre")],
        reason: "a prefix does not stand alone (SP 811 6.2.6)",
    },
    Refusal {
        spellings: &["mn", "mins"], candidates: &[("min", "minute, 60 s"), ("mN", "millinewton")],
        reason: "a minute is written min",
    },
    Refusal {
        spellings: &["r"], candidates: &[("rev", "revolution, 2π rad"), ("r/min", "revolution per minute"), ("rad", "radian")],
        reason: "r alone is a radius; it is a revolution only within a unit such as r/min",
    },
    Refusal {
        spellings: &["P"], candidates: &[("poise", "0.1 Pa·s"), ("cP", "centipoise, 0.001 Pa·s")],
        reason: "P is usually the name of a load",
    },
    Refusal {
        spellings: &["mil", "mils"], candidates: &[("thou", "0.001 in"), ("mil_angle", "1/6400 of a turn")],
        reason: "SP 811 lists mil as a thousandth of an inch and as an angle; in speech it is a millimetre too",
    },
    Refusal {
        spellings: &["grade", "grad", "pct"],
        candidates: &[("gon", "angle, π/200 rad"), ("%grade", "slope, 100 tan θ in percent"), ("%", "one hundredth")],
        reason: "an angle, a slope and a percentage share this spelling; a slope becomes an angle only through atan",
    },
    Refusal {
        spellings: &["C"], candidates: &[("°C", "degree Celsius"), ("Δ°C", "a difference of temperatures")],
        reason: "C is the coulomb",
    },
    Refusal {
        spellings: &["F"], candidates: &[("°F", "degree Fahrenheit"), ("Δ°F", "a difference of temperatures")],
        reason: "F is the farad, and usually the name of a force",
    },
    Refusal {
        spellings: &["k"], candidates: &[("kip", "1000 lbf"), ("K", "kelvin"), ("kg", "kilogram"), ("kN", "kilonewton")],
        reason: "a prefix does not stand alone (SP 811 6.2.6); on US drawings k is a kip",
    },
    Refusal {
        spellings: &["'"], candidates: &[("ft", "foot"), ("′", "minute of arc, after degrees"), ("arcmin", "minute of arc")],
        reason: "this mark is a foot on a drawing and a minute of arc in a bearing",
    },
    Refusal {
        spellings: &["\"", "''"], candidates: &[("in", "inch"), ("″", "second of arc, after degrees"), ("arcsec", "second of arc")],
        reason: "this mark is an inch on a drawing and a second of arc in a bearing",
    },
    Refusal {
        spellings: &["psia", "psig"], candidates: &[("psi", "pound-force per square inch")],
        reason: "absolute or gauge belongs to the quantity, not to the unit (SP 811 7.4)",
    },
    Refusal {
        spellings: &["bara", "barg"], candidates: &[("bar", "100 kPa")],
        reason: "absolute or gauge belongs to the quantity, not to the unit (SP 811 7.4)",
    },
    Refusal {
        spellings: &["pcf"], candidates: &[("lb/ft³", "density"), ("lbf/ft³", "specific weight")],
        reason: "pounds per cubic foot are read as mass and as force",
    },
    Refusal {
        spellings: &["pci"], candidates: &[("lb/in³", "density"), ("lbf/in³", "specific weight, or modulus of subgrade reaction")],
        reason: "pounds per cubic inch are read as mass and as force",
    },
    Refusal {
        spellings: &["plf"], candidates: &[("lb/ft", "linear density"), ("lbf/ft", "line load")],
        reason: "pounds per linear foot are read as mass and as force",
    },
    Refusal {
        spellings: &["klf"], candidates: &[("kip/ft", "line load"), ("ton_short/ft", "linear density in short tons")],
        reason: "thousands of pounds per linear foot are read as mass and as force",
    },
    Refusal {
        spellings: &["kt", "kts"], candidates: &[("kn", "knot"), ("kN", "kilonewton"), ("Gg", "kilotonne, 1000 t")],
        reason: "kt is read as a knot and as a kilotonne",
    },
    Refusal {
        spellings: &["mps"], candidates: &[("m/s", "metre per second"), ("mi/s", "mile per second")],
        reason: "mps is read as metres and as miles per second",
    },
    Refusal {
        spellings: &["Cal"], candidates: &[("kcal", "kilocalorie, thermochemical"), ("cal", "calorie, thermochemical, 4.184 J")],
        reason: "the capital stands for a thousand calories, and a reader may not see it",
    },
    Refusal {
        spellings: &["therm"], candidates: &[("therm_US", "105 480 400 J"), ("Btu", "1055.06 J")],
        reason: "the therms of the United States and of the European Communities differ",
    },
    Refusal {
        spellings: &["a", "yr", "year", "years"], candidates: &[("d", "day"), ("a_j", "Julian year, 365.25 d")],
        reason: "four lengths of year are in use",
    },
    Refusal {
        spellings: &["month", "months"], candidates: &[("d", "day"), ("week", "7 d")],
        reason: "a month is 28 to 31 days",
    },
    Refusal {
        spellings: &["ppb", "ppt", "bp", "‱"], candidates: &[("ppm", "part per million"), ("%", "one hundredth")],
        reason: "what is meant depends on the language of the reader (SP 811 7.10.3)",
    },
    Refusal {
        spellings: &["pt", "pts"], candidates: &[("pint", "US liquid pint"), ("in", "inch, of which a printer's point is about 1/72")],
        reason: "pt is a pint, a printer's point, and to a careless reader a pico-tonne",
    },
    Refusal {
        spellings: &["st"], candidates: &[("stone", "14 lb"), ("ton_short", "short ton, 2000 lb"), ("St", "stokes")],
        reason: "st is read as a stone and as a short ton",
    },
    Refusal {
        spellings: &["amp"], candidates: &[],
        reason: "an electric current has no place in these units: only length, mass, time and temperature are carried",
    },
];

/// Every refused spelling.
pub fn refused_spellings() -> impl Iterator<Item = &'static str> {
    REFUSALS.iter().flat_map(|refusal| refusal.spellings.iter().copied())
}

// Where a spelling stands in two rows, the first has it.
static BY_SPELLING: LazyLock<BTreeMap<&'static str, &'static Refusal>> = LazyLock::new(|| {
    REFUSALS.iter().rev().flat_map(|refusal| refusal.spellings.iter().map(move |spelling| (*spelling, refusal))).collect()
});

/// The refusal of a spelling, if it is refused.
pub(crate) fn refusal(spelling: &str) -> Option<&'static Refusal> {
    BY_SPELLING.get(spelling).copied()
}
