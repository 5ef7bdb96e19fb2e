//! Findings of the document family.

/// The pages of this family.
pub const PAGES: &[crate::diagnostics::Page] = &[];
