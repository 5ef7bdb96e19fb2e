//! One finding, ready to be placed on a line.

use crate::source::{Home, Span};

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The sheet is incomplete.
    Error,
    /// The sheet is complete but doubtful.
    Warning,
    /// Worth knowing.
    Note,
}

impl Severity {
    /// The word printed before the slug.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "note",
        }
    }
}

/// A place and what is to be said about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// What stands here.
    pub text: String,
}

/// A mend that is certain: put `replacement` in place of `span`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fix {
    /// The text to be replaced.
    pub span: Span,
    /// What to write instead.
    pub replacement: String,
}

/// One finding: what is wrong, where, why it matters and how to mend it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// Stable name, for `explain` and for machines.
    pub slug: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// One phrase that stands alone: lower case, no full stop.
    pub headline: String,
    /// What stands at the place.
    pub primary: Label,
    /// Places that set the expectation.
    pub secondary: Vec<Label>,
    /// What it would do in the trade, in one clause.
    pub why: Option<String>,
    /// What to do.
    pub help: Option<String>,
    /// The mend, where one is certain.
    pub fix: Option<Fix>,
}

impl Diagnostic {
    /// The same finding with every place counted from the home that `to` names in place of its own.
    pub(crate) fn moved(&self, to: impl Fn(Home) -> Home) -> Diagnostic {
        let mut moved = self.clone();
        let places = std::iter::once(&mut moved.primary.span).chain(moved.secondary.iter_mut().map(|label| &mut label.span));
        for span in places.chain(moved.fix.as_mut().map(|fix| &mut fix.span)) {
            span.home = to(span.home);
        }
        moved
    }
}
