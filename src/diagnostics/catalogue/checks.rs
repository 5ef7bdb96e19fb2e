//! Findings of the checks family.

/// The pages of this family.
pub const PAGES: &[crate::diagnostics::Page] = &[];
