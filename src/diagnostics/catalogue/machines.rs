//! Findings of the machines family.

/// The pages of this family.
pub const PAGES: &[crate::diagnostics::Page] = &[];
