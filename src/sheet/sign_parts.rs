//! What is printed of the signatures of a sheet.

use crate::sheet::difference::Difference;
use schemars::JsonSchema;
use serde::Serialize;

/// Who has signed the sheet, and whether that still holds.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema, Default)]
pub struct SignOff {
    /// Path of the record; empty when there is none.
    pub record: String,
    /// What a reader may rely on the sheet for, in words; empty for an approved one.
    pub legend: String,
    /// The signatures in the order of the record.
    pub signatures: Vec<SignatureRow>,
    /// What has changed since signatures that are stale.
    pub stale: Vec<Stale>,
}

/// One signature.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SignatureRow {
    /// "originator", "checker", "approver", "void", "superseded".
    pub role: String,
    /// The name as declared.
    pub name: String,
    /// When.
    pub date: String,
    /// What it means; why the sheet is void; by what it is superseded.
    pub meaning: String,
    /// Revision that was signed, perhaps empty.
    pub revision: String,
    /// Whether it counts for the status.
    pub counts: bool,
    /// What became of it: "current", "text changed since, calculation unchanged", "check is stale: 1 input changed" ...
    pub standing: String,
    /// Digest of the calculation that was signed.
    pub calculation: String,
    /// Digest of the text that was signed.
    pub telling: String,
}

/// What has changed since a calculation was signed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Stale {
    /// Who had signed it, and as what.
    pub signed: Vec<String>,
    /// One line: `1 input changed, 7 results moved, 1 verdict flipped`.
    pub summary: String,
    /// The lists.
    pub changes: Difference,
}
