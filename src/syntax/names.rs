//! One spelling for every name: Greek letters become their English names.

/// The words of the language that neither a name nor a unit can be, as `reserved` in the grammar has them.
pub(crate) const RESERVED: [&str; 40] = [
    "sheet",
    "take",
    "assume",
    "gear",
    "machine",
    "train",
    "check",
    "kind",
    "use",
    "readings",
    "law",
    "vary",
    "size",
    "propagate",
    "exercise",
    "from",
    "because",
    "effect",
    "ref",
    "measured",
    "marked",
    "weighed",
    "drawing",
    "as",
    "for",
    "when",
    "and",
    "or",
    "is",
    "not",
    "given",
    "to",
    "default",
    "optional",
    "each",
    "showing",
    "instrument",
    "correlation",
    "agreement",
    "confirmed",
];

/// Other words that are no unit behind a number, as `unit_word` in the grammar has them.
pub(crate) const NO_UNITS: [&str; 11] =
    ["of", "over", "by", "confirm", "least", "greatest", "resolution", "repeats", "against", "with", "pinned"];

const GREEK: [(char, &str); 25] = [
    ('α', "alpha"),
    ('β', "beta"),
    ('γ', "gamma"),
    ('δ', "delta"),
    ('ε', "epsilon"),
    ('ζ', "zeta"),
    ('η', "eta"),
    ('θ', "theta"),
    ('ι', "iota"),
    ('κ', "kappa"),
    ('λ', "lambda"),
    ('μ', "mu"),
    ('ν', "nu"),
    ('ξ', "xi"),
    ('ο', "omicron"),
    ('π', "pi"),
    ('ρ', "rho"),
    ('σ', "sigma"),
    ('ς', "sigma"),
    ('τ', "tau"),
    ('υ', "upsilon"),
    ('φ', "phi"),
    ('χ', "chi"),
    ('ψ', "psi"),
    ('ω', "omega"),
];

/// `name` with each Greek letter replaced by its English name, a capital by its capitalised name: `μ_s` is `mu_s`,
/// `ΔT` is `DeltaT`. The micro sign and the script forms of theta, phi and epsilon count as the letters.
pub(crate) fn plain(name: &str) -> String {
    if name.is_ascii() {
        return name.to_string();
    }
    let mut out = String::with_capacity(name.len());
    for letter in name.chars() {
        let small = match letter {
            'µ' => 'μ',
            'ϑ' => 'θ',
            'ϕ' => 'φ',
            'ϵ' => 'ε',
            'ϱ' => 'ρ',
            other => other.to_lowercase().next().unwrap_or(other),
        };
        match GREEK.iter().find(|(greek, _)| *greek == small) {
            None => out.push(letter),
            Some((_, english)) if letter.is_uppercase() => {
                let mut letters = english.chars();
                out.extend(letters.next().map(|first| first.to_ascii_uppercase()));
                out.extend(letters);
            }
            Some((_, english)) => out.push_str(english),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn greek_letters_and_their_english_names_are_one_name() {
        for (written, name) in [
            ("μ", "mu"),
            ("µ", "mu"),
            ("μ_s", "mu_s"),
            ("θ1", "theta1"),
            ("Δ", "Delta"),
            ("ΔT", "DeltaT"),
            ("ω", "omega"),
            ("Ω", "Omega"),
            ("boat", "boat"),
            ("Länge", "Länge"),
            ("ϕ", "phi"),
        ] {
            assert_eq!(plain(written), name);
        }
    }
}
