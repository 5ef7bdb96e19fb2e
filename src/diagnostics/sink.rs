//! Where findings are put down as they are met; order and repeats are settled once, on reading.

use crate::diagnostics::{Diagnostic, Finding, Fix, Label, Severity};
use crate::source::Span;

/// A push-only collector of findings.
#[derive(Debug, Default, Clone)]
pub struct Sink {
    findings: Vec<Diagnostic>,
}

impl Sink {
    /// Nothing found yet.
    pub fn new() -> Self {
        Sink::default()
    }

    /// Puts down `finding` at `span`.
    pub fn push(&mut self, span: Span, finding: &dyn Finding) {
        self.push_with(span, finding, Vec::new());
    }

    /// Puts down `finding` at `span`, with places that set the expectation.
    pub fn push_with(&mut self, span: Span, finding: &dyn Finding, secondary: Vec<Label>) {
        self.findings.push(Diagnostic {
            slug: finding.slug(),
            severity: finding.severity(),
            headline: finding.headline(),
            primary: Label { span, text: finding.label() },
            secondary,
            why: finding.why(),
            help: finding.help(),
            fix: finding.replacement().map(|replacement| Fix { span, replacement }),
        });
    }

    /// Takes over one finding that is ready.
    pub(crate) fn adopt(&mut self, finding: Diagnostic) {
        self.findings.push(finding);
    }

    /// Takes over all that `other` holds.
    pub fn absorb(&mut self, other: Sink) {
        self.findings.extend(other.findings);
    }

    /// Whether an error has been put down.
    pub fn has_errors(&self) -> bool {
        self.findings.iter().any(|finding| finding.severity == Severity::Error)
    }

    /// How many errors have been put down.
    pub fn error_count(&self) -> usize {
        self.findings.iter().filter(|finding| finding.severity == Severity::Error).count()
    }

    /// How many findings have been put down.
    pub fn len(&self) -> usize {
        self.findings.len()
    }

    /// Whether nothing has been put down.
    pub fn is_empty(&self) -> bool {
        self.findings.is_empty()
    }

    /// The findings by place, each once.
    pub fn into_sorted(self) -> Vec<Diagnostic> {
        let mut findings = self.findings;
        findings.sort_by(|a, b| (a.primary.span, a.severity, a.slug).cmp(&(b.primary.span, b.severity, b.slug)));
        findings.dedup();
        findings
    }
}
