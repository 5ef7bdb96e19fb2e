//! The shape of a row of the table, and the way through all of them.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use crate::units::dimension::Dimension;
use crate::units::factor::Factor;
use crate::units::nature::Nature;
use crate::units::table::{PREFIXES, ROWS};
use crate::units::unit::System;

/// Which prefixes a unit takes. Only these: an unrestricted prefix would read `cfm` as a centi-femtometre.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Prefixes {
    /// None at all.
    None,
    /// Every SI prefix.
    All,
    /// These and no others.
    Some(&'static [&'static str]),
}

/// One unit with a symbol of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The key of the row.
    pub id: &'static str,
    /// Every spelling that is read as this unit.
    pub spellings: &'static [&'static str],
    /// The spellings among them that take a prefix.
    pub prefixed: &'static [&'static str],
    /// The symbol that is printed (SP 811).
    pub print: &'static str,
    /// The name in words.
    pub name: &'static str,
    /// The quantity measured.
    pub quantity: &'static str,
    /// Its dimension.
    pub dimension: Dimension,
    /// Its nature.
    pub nature: Nature,
    /// Where it is at home.
    pub system: System,
    /// The prefixes it takes.
    pub prefixes: Prefixes,
    /// Numerator of the exact factor, in lowest terms.
    pub num: i128,
    /// Denominator of the exact factor.
    pub den: i128,
    /// Power of pi in the exact factor.
    pub pi: i32,
    /// The binary64 number nearest to the factor.
    pub scale: f64,
    /// What is added, in kelvin, after scaling; zero except on a temperature scale.
    pub offset: f64,
    /// Where the factor is published.
    pub source: &'static str,
    /// A remark for the reader, or nothing.
    pub note: &'static str,
}

impl Row {
    /// The exact factor to the coherent SI unit.
    pub fn factor(&self) -> Factor {
        Factor::of_row(self.num, self.den, self.pi)
    }

    /// Whether the unit takes `prefix`.
    pub fn takes(&self, prefix: &str) -> bool {
        match self.prefixes {
            Prefixes::None => false,
            Prefixes::All => true,
            Prefixes::Some(allowed) => allowed.contains(&plain(prefix)),
        }
    }
}

// The three spellings of micro are one prefix.
fn plain(prefix: &str) -> &str {
    if matches!(prefix, "µ" | "μ") { "u" } else { prefix }
}

static SPELLINGS: LazyLock<BTreeMap<&'static str, &'static Row>> =
    LazyLock::new(|| ROWS.iter().flat_map(|row| row.spellings.iter().map(move |spelling| (*spelling, row))).collect());

// Where two rows have a spelling that takes a prefix, the first has it.
static PREFIXABLE: LazyLock<BTreeMap<&'static str, &'static Row>> =
    LazyLock::new(|| ROWS.iter().rev().flat_map(|row| row.prefixed.iter().map(move |spelling| (*spelling, row))).collect());

/// Every unit with a symbol of its own, in the order of the table.
pub fn all() -> impl Iterator<Item = &'static Row> {
    ROWS.iter()
}

/// Every prefix with its power of ten; the three spellings of micro stand apart.
pub fn prefixes() -> impl Iterator<Item = (&'static str, i32)> {
    PREFIXES.iter().copied()
}

/// The row that has this spelling with a prefix before it.
pub(crate) fn prefixable(spelling: &str) -> Option<&'static Row> {
    PREFIXABLE.get(spelling).copied()
}

/// The row that has this spelling, without any prefix.
pub(crate) fn spelled(spelling: &str) -> Option<&'static Row> {
    SPELLINGS.get(spelling).copied()
}
