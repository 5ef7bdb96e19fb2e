//! Findings of the syntax family.

/// The pages of this family.
pub const PAGES: &[crate::diagnostics::Page] = &[];
