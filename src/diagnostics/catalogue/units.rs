//! Findings of the units family.

/// The pages of this family.
pub const PAGES: &[crate::diagnostics::Page] = &[];
