//! Counts of findings and verdicts over many sheets, and the exit status that follows from them.

use crate::engine::Outcome;
use crate::faces::Status;
use crate::faces::session::Finished;
use crate::house::Demands;
use crate::sheet::parts::{Block, Notice, Sheet};
use crate::sheet::{ASSUMPTION_OPEN, NOT_EVALUATED, refused};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// What a run has come to.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub(super) struct Tally {
    sheets: usize,
    errors: usize,
    warnings: usize,
    notes: usize,
    incomplete: usize,
    // Documents in which nothing is stated at all.
    idle: usize,
    // Checks that the decision rule of their sheet does not accept.
    not_accepted: usize,
    // What the project file refuses: checks that are not evaluated, assumptions that are open; and sheets without the
    // sign-off that it demands.
    not_evaluated: usize,
    open: usize,
    unsigned: usize,
    /// Results that moved from the accepted ones, for who compares with them.
    pub(super) moved: usize,
    // Verdicts in the order they were first met, with their class and how often.
    verdicts: Vec<(String, String, usize)>,
    // Project files that were met; their findings count once.
    #[serde(skip)]
    projects: BTreeSet<String>,
}

impl Tally {
    /// The count of one document.
    pub(super) fn of_outcome(outcome: &Outcome) -> Self {
        let mut tally = Tally { sheets: 1, ..Tally::default() };
        tally.add_notices(&outcome.notices);
        let Some(sheet) = &outcome.sheet else {
            tally.incomplete += 1;
            return tally;
        };
        tally.incomplete += usize::from(!sheet.complete);
        tally.idle += usize::from(outcome.notices.is_empty() && is_idle(sheet));
        tally.not_accepted += sheet.checks.iter().filter(|check| check.accepted == Some(false)).count();
        tally.demand(sheet, &outcome.project.house.demands);
        for check in &sheet.checks {
            tally.count_verdict(&check.verdict_class, &check.verdict, 1);
        }
        tally
    }

    fn demand(&mut self, sheet: &Sheet, demands: &Demands) {
        for one in refused(sheet, demands) {
            match one.rule {
                NOT_EVALUATED => self.not_evaluated += 1,
                ASSUMPTION_OPEN => self.open += 1,
                _ => self.unsigned += 1,
            }
        }
    }

    /// What of this the project file refuses, in words; empty when it refuses nothing.
    pub(super) fn refused(&self) -> String {
        let lists = [
            (self.not_evaluated, "check not evaluated", "checks not evaluated"),
            (self.open, "assumption open", "assumptions open"),
            (
                self.unsigned,
                "sheet without the sign-off that the project file demands",
                "sheets without the sign-off that the project file demands",
            ),
        ];
        let told = lists.iter().filter(|(count, ..)| *count > 0);
        told.map(|(count, one, several)| format!("{count} {}", if *count == 1 { one } else { several })).collect::<Vec<_>>().join(", ")
    }

    /// Adds what came of one more document; a fault of the program counts as an error. Gives the findings in its project
    /// file when it is the first of that project: they are told once.
    pub(super) fn add<'f, T>(&mut self, finished: &'f Finished<T>) -> &'f [Notice] {
        match &finished.result {
            Ok((account, _)) => {
                self.add_tally(&account.tally);
                if !account.project_notices.is_empty() && self.projects.insert(account.project.clone()) {
                    self.add_notices(&account.project_notices);
                    return &account.project_notices;
                }
            }
            Err(_) => {
                self.sheets += 1;
                self.errors += 1;
            }
        }
        &[]
    }

    /// Adds findings about a document that has been counted.
    pub(super) fn add_notices(&mut self, notices: &[Notice]) {
        for notice in notices {
            match notice.severity.as_str() {
                "error" => self.errors += 1,
                "warning" => self.warnings += 1,
                _ => self.notes += 1,
            }
        }
    }

    fn add_tally(&mut self, other: &Tally) {
        self.sheets += other.sheets;
        self.errors += other.errors;
        self.warnings += other.warnings;
        self.notes += other.notes;
        self.incomplete += other.incomplete;
        self.idle += other.idle;
        self.not_accepted += other.not_accepted;
        self.not_evaluated += other.not_evaluated;
        self.open += other.open;
        self.unsigned += other.unsigned;
        self.moved += other.moved;
        for (class, words, count) in &other.verdicts {
            self.count_verdict(class, words, *count);
        }
    }

    fn count_verdict(&mut self, class: &str, words: &str, more: usize) {
        match self.verdicts.iter_mut().find(|(known, _, _)| known == class) {
            Some((_, _, count)) => *count += more,
            None => self.verdicts.push((class.to_string(), words.to_string(), more)),
        }
    }

    /// Whether there is an error.
    pub(super) fn has_errors(&self) -> bool {
        self.errors > 0
    }

    /// Errors come before checks: the verdicts of a broken document say little.
    pub(super) fn status(&self) -> Status {
        if self.errors > 0 || self.incomplete > 0 {
            Status::Errors
        } else if self.not_accepted > 0 {
            Status::Check
        } else if self.not_evaluated > 0 || self.open > 0 {
            Status::Refused
        } else if self.unsigned > 0 {
            Status::Unsigned
        } else if self.moved > 0 {
            Status::Moved
        } else {
            Status::Clean
        }
    }

    /// The status of a command that prints or writes sheets: what the checks say stands on the sheet.
    pub(super) fn status_of_writing(&self) -> Status {
        match self.status() {
            Status::Check | Status::Refused | Status::Unsigned | Status::Moved | Status::Pages => Status::Clean,
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
        if self.idle > 0 {
            let which = if self.sheets == 1 { "it" } else { "some" };
            line += &format!("; nothing is worked in {which}, for no fence there begins ```rig");
        }
        if self.not_accepted > 0 {
            line += &format!("; {} not accepted", self.not_accepted);
        }
        if !self.refused().is_empty() {
            line += &format!("; refused: {}", self.refused());
        }
        if self.moved > 0 {
            line += &format!("; {} moved", count(self.moved, "result"));
        }
        line
    }
}

// Whether a document is prose alone: a fence without its word looks like a sheet to whoever wrote it.
fn is_idle(sheet: &Sheet) -> bool {
    sheet.values.is_empty()
        && sheet.kinds.is_empty()
        && sheet.record.files.len() < 2
        && sheet.blocks.iter().all(|block| matches!(block, Block::Prose { .. }))
}

/// `1 sheet`, `2 sheets`.
pub(super) fn count(number: usize, word: &str) -> String {
    format!("{number} {word}{}", if number == 1 { "" } else { "s" })
}
