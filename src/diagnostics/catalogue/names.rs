//! Findings of the names family.

/// The pages of this family.
pub const PAGES: &[crate::diagnostics::Page] = &[];
