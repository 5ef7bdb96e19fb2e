//! Correlations stated between the doubts of two inputs.

use crate::diagnostics::Label;
use crate::diagnostics::catalogue::measuring::{CorrelationNotInput, CorrelationTwice};
use crate::model::Role;
use crate::model::expressions::unfit;
use crate::model::quantity::Quantity;
use crate::model::resolve::{Resolver, kept};
use crate::model::tree::{EntryId, Shape, Tree, TreeForm};
use crate::source::Span;
use crate::syntax::ast;
use crate::syntax::ast::EvidenceWord;

/// A correlation as stated.
#[derive(Debug, Clone, PartialEq)]
pub struct Correlation {
    /// One input.
    pub first: EntryId,
    /// The other.
    pub second: EntryId,
    /// The coefficient.
    pub value: Tree,
    /// Where it comes from.
    pub evidence: Vec<(EvidenceWord, String)>,
    /// Where.
    pub span: Span,
}

impl Resolver<'_> {
    /// `correlation`.
    pub(super) fn correlation(&mut self, stated: &ast::Correlation) -> Option<usize> {
        let first = self.correlated(&stated.first);
        let second = self.correlated(&stated.second);
        let value = self.read(|reader| reader.single(&stated.value));
        if value.is_unknown() {
            return None;
        }
        if !value.quantity.is_number() {
            let finding = unfit("a correlation", Quantity::RATIO, &value);
            self.put(stated.value.at, finding.as_ref());
            return None;
        }
        let (first, second) = (first?, second?);
        let name = |id: EntryId| self.model.entry(id).name.clone();
        let before = self
            .model
            .correlations
            .iter()
            .find(|other| (other.first, other.second) == (first, second) || (other.first, other.second) == (second, first));
        if first == second || before.is_some() {
            let there = before.map(|before| Label { span: before.span, text: "first stated here".into() });
            let finding = CorrelationTwice { first: name(first), second: name(second), same: first == second };
            self.sink.push_with(self.home.span(stated.second.at), &finding, there.into_iter().collect());
            return None;
        }
        let span = self.home.span(stated.at);
        self.model.correlations.push(Correlation { first, second, value, evidence: kept(&stated.evidence), span });
        Some(self.model.correlations.len() - 1)
    }

    // The input that a path names; a finding when it is none, or has no doubt of its own.
    fn correlated(&mut self, path: &ast::Path) -> Option<EntryId> {
        let tree = self.read(|reader| reader.read(&ast::Expression { form: ast::Form::Name(path.clone()), at: path.at }));
        let id = match &tree.form {
            TreeForm::Unknown => return None,
            TreeForm::Entry(id) => Some(self.spread_from(*id)),
            _ => None,
        };
        let reason = match id.map(|id| self.model.entry(id)) {
            None => "it is no input",
            Some(entry) if matches!(entry.role, Role::Relation | Role::Node | Role::Working | Role::Passed) => {
                "it is worked from other values, and goes with them by itself"
            }
            Some(entry) if entry.shape != Shape::Single => "it is a list; a correlation is stated between two single values",
            Some(entry) if entry.doubts.is_empty() => "it states no doubt of its own",
            Some(_) => return id,
        };
        let name = path.parts.iter().map(|part| part.text.as_str()).collect::<Vec<_>>().join(".");
        self.put(path.at, &CorrelationNotInput { name, reason: reason.into() });
        None
    }
}
