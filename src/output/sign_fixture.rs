//! Signatures with everything that a page may have to print of them.

use crate::sheet::parts::{SignOff, SignatureRow, Stale};
use crate::sheet::{Change, Difference};

/// A current signature and a stale one with what has changed since, each text being `text` where there is one.
pub fn sign_off(text: Option<&str>) -> SignOff {
    let said = |own: &str| text.unwrap_or(own).to_string();
    let row = |role: &str, name: &str, standing: &str, counts: bool| SignatureRow {
        role: said(role),
        name: said(name),
        date: said("2026-03-14"),
        meaning: said("every line followed"),
        revision: said("B"),
        counts,
        standing: said(standing),
        calculation: said("0f12"),
        telling: said("9a77"),
    };
    let change = Change { what: said("boat"), label: said("the workboat"), from: said("1850 kg"), to: said("1900 kg") };
    let changes = Difference { inputs: vec![change], ..Difference::default() };
    SignOff {
        record: said("sheets/slip.signoff"),
        legend: said("signed by its originator and not yet checked"),
        signatures: vec![
            row("originator", "M. Tolland", "current", true),
            row("checker", "R. Okafor", "check is stale: 1 input changed", false),
        ],
        stale: vec![Stale { signed: vec![said("R. Okafor as checker on 2026-03-14")], summary: said("1 input changed"), changes }],
    }
}
