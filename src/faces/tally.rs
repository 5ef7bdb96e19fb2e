//! Counts of findings and verdicts over many sheets, and the exit status that follows from them.

use crate::engine::Outcome;
use crate::faces::Status;
use crate::faces::session::{Finished, projects};
use crate::sheet::parts::Notice;

/// What a run has come to.
#[derive(Debug, Default)]
pub(super) struct Tally {
    sheets: usize,
    errors: usize,
    warnings: usize,
    notes: usize,
    incomplete: usize,
    // Checks that the decision rule of their sheet does not accept.
    not_accepted: usize,
    /// Results that moved from the accepted ones, for who compares with them.
    pub(super) moved: usize,
    // Verdicts in the order they were first met, with their class and how often.
    verdicts: Vec<(String, String, usize)>,
}

impl Tally {
    /// Counts over `finished`; a fault of the program counts as an error.
    pub(super) fn of<T>(finished: &[Finished<T>]) -> Self {
        Tally::of_each(finished)
    }

    /// The same over what is not in one piece.
    pub(super) fn of_each<'f, T: 'f>(finished: impl IntoIterator<Item = &'f Finished<T>>) -> Self {
        let mut tally = Tally::default();
        let finished: Vec<&Finished<T>> = finished.into_iter().collect();
        for project in projects(finished.iter().copied()) {
            tally.count(&project.notices);
        }
        for one in finished {
            tally.sheets += 1;
            match &one.result {
                Ok((outcome, _)) => tally.add(outcome),
                Err(_) => tally.errors += 1,
            }
        }
        tally
    }

    fn count(&mut self, notices: &[Notice]) {
        for notice in notices {
            match notice.severity.as_str() {
                "error" => self.errors += 1,
                "warning" => self.warnings += 1,
                _ => self.notes += 1,
            }
        }
    }

    fn add(&mut self, outcome: &Outcome) {
        self.count(&outcome.notices);
        let Some(sheet) = &outcome.sheet else {
            self.incomplete += 1;
            return;
        };
        self.incomplete += usize::from(!sheet.complete);
        self.not_accepted += sheet.checks.iter().filter(|check| check.accepted == Some(false)).count();
        for check in &sheet.checks {
            match self.verdicts.iter_mut().find(|(class, _, _)| *class == check.verdict_class) {
                Some((_, _, count)) => *count += 1,
                None => self.verdicts.push((check.verdict_class.clone(), check.verdict.clone(), 1)),
            }
        }
    }

    /// Errors come before checks: the verdicts of a broken document say little.
    pub(super) fn status(&self) -> Status {
        if self.errors > 0 || self.incomplete > 0 {
            Status::Errors
        } else if self.not_accepted > 0 {
            Status::Check
        } else if self.moved > 0 {
            Status::Moved
        } else {
            Status::Clean
        }
    }

    /// The status of a command that prints or writes sheets: what the checks say stands on the sheet.
    pub(super) fn status_of_writing(&self) -> Status {
        match self.status() {
            Status::Check | Status::Moved | Status::Pages => Status::Clean,
            other => other,
        }
    }

    /// One line: `4 sheets; 1 error, 2 warnings; checks: 5 PASS, 1 FAIL; 1 not accepted`.
    pub(super) fn summary(&self) -> String {
        let mut line = count(self.sheets, "sheet");
        let found: Vec<String> = [(self.errors, "error"), (self.warnings, "warning"), (self.notes, "note")]
            .into_iter()
            .filter(|(number, _)| *number > 0)
            .map(|(number, word)| count(number, word))
            .collect();
        line += "; ";
        line += &if found.is_empty() { "no findings".to_string() } else { found.join(", ") };
        let verdicts: Vec<String> = self.verdicts.iter().map(|(_, words, number)| format!("{number} {words}")).collect();
        line += &if verdicts.is_empty() { "; no checks".to_string() } else { format!("; checks: {}", verdicts.join(", ")) };
        if self.not_accepted > 0 {
            line += &format!("; {} not accepted", self.not_accepted);
        }
        if self.moved > 0 {
            line += &format!("; {} moved", count(self.moved, "result"));
        }
        line
    }
}

/// `1 sheet`, `2 sheets`.
pub(super) fn count(number: usize, word: &str) -> String {
    format!("{number} {word}{}", if number == 1 { "" } else { "s" })
}
