//! Findings about checks.

use crate::diagnostics::{Finding, Severity, findings};

findings! {
    /// A check has no capacity to compare with, so it reads NOT EVALUATED and never PASS.
    ///
    /// State what the gear is rated for, with its source, or take the check out.
    "capacity-missing" => CapacityMissing { title: String, missing: String }
}

impl Finding for CapacityMissing {
    fn slug(&self) -> &'static str {
        Self::SLUG
    }
    fn severity(&self) -> Severity {
        Severity::Warning
    }
    fn headline(&self) -> String {
        format!("the check \"{}\" is not evaluated", self.title)
    }
    fn label(&self) -> String {
        self.missing.clone()
    }
    fn why(&self) -> Option<String> {
        Some("what is not evaluated must never be read as passed".into())
    }
    fn help(&self) -> Option<String> {
        Some(if self.missing.contains("no design factor") {
            "add an indented `design factor ...` line, or `rated ...`, with its source to the gear".into()
        } else {
            "add an indented `rated ...` line with its source to the gear".into()
        })
    }
}
