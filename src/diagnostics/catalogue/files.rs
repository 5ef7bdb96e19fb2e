//! Findings of the files family.

/// The pages of this family.
pub const PAGES: &[crate::diagnostics::Page] = &[];
