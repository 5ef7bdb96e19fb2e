//! How a name is set as a symbol.

use crate::sheet::parts::Math;
use memchr::memchr3_iter;

// The letter that a name spells.
fn letter(word: &str) -> Option<&'static str> {
    Some(match word {
        "alpha" => "α",
        "beta" => "β",
        "gamma" => "γ",
        "delta" => "δ",
        "epsilon" => "ε",
        "zeta" => "ζ",
        "eta" => "η",
        "theta" => "θ",
        "iota" => "ι",
        "kappa" => "κ",
        "lambda" => "λ",
        "mu" => "μ",
        "nu" => "ν",
        "xi" => "ξ",
        "pi" => "π",
        "rho" => "ρ",
        "sigma" => "σ",
        "tau" => "τ",
        "upsilon" => "υ",
        "phi" => "φ",
        "chi" => "χ",
        "psi" => "ψ",
        "omega" => "ω",
        "Gamma" => "Γ",
        "Delta" => "Δ",
        "Theta" => "Θ",
        "Lambda" => "Λ",
        "Xi" => "Ξ",
        "Pi" => "Π",
        "Sigma" => "Σ",
        "Phi" => "Φ",
        "Psi" => "Ψ",
        "Omega" => "Ω",
        _ => return None,
    })
}

/// The symbol for a name: `F_max` is F with subscript max, `mu` the letter, `hauling_part` words, and what stands before
/// a dot goes below.
pub(super) fn symbol(name: &str, mut index: Vec<Math>) -> Math {
    // One reading of a list has its number in its name: `bench.each.effort[2]`.
    let (name, number) = name.strip_suffix(']').and_then(|name| name.split_once('[')).map_or((name, None), |(name, at)| (name, Some(at)));
    index.extend(number.map(|number| Math::Number { text: number.into() }));
    let (owner, local) = match name.rsplit_once('.') {
        Some((owner, local)) => (owner.replace('.', " "), local),
        None => (String::new(), name),
    };
    let (head, tail) = local.split_once('_').unwrap_or((local, ""));
    let letter = letter(head);
    let short = letter.is_some() || head.chars().nth(2).is_none();
    let (base, mut subscript) = if short { (letter.unwrap_or(head).to_string(), words(tail)) } else { (words(local), String::new()) };
    if !owner.is_empty() {
        subscript = if subscript.is_empty() { owner } else { format!("{subscript}, {owner}") };
    }
    let italic = base.chars().nth(1).is_none() && !base.is_empty();
    Math::Symbol { base, subscript, italic, index }
}

// A name as the words it is.
fn words(name: &str) -> String {
    if name.bytes().any(|byte| byte == b'_') { name.replace('_', " ") } else { name.to_owned() }
}

/// An anchor made from a name.
pub(super) fn anchor(name: &str) -> String {
    let mut anchor = String::with_capacity(name.len() + 2);
    anchor.push_str("v-");
    let mut from = 0;
    for at in memchr3_iter(b'.', b'[', b']', name.as_bytes()) {
        anchor.push_str(name.get(from..at).unwrap_or(""));
        if name.as_bytes().get(at) != Some(&b']') {
            anchor.push('-');
        }
        from = at + 1;
    }
    anchor.push_str(name.get(from..).unwrap_or(""));
    anchor
}
