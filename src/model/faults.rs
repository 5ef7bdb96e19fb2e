//! Faults of a kind: each told once, at the kind, with the machine that met it beside it.

use crate::diagnostics::catalogue::machines::{KindBroken, RelationMissing, RelationTwice};
use crate::diagnostics::{Diagnostic, Finding, Label, Sink};
use crate::model::KindSource;
use crate::model::elaborate::{Work, asked};
use crate::model::resolve::Resolver;
use crate::model::tree::EntryId;
use crate::source::Span;
use crate::syntax::ast;
use crate::syntax::ast::{Definition, Guard, KindItem};

/// What every machine must have of its kind.
pub(super) const NEEDED: &[&str] = &["velocity_ratio", "effort", "friction_work"];

/// What stands at a machine beside a fault of its kind.
pub(super) const USED: &str = "used by this machine";

impl Resolver<'_> {
    /// What a kind never gives is its own fault; what it does not give in this direction or with this choice is told where
    /// it is asked for.
    pub(super) fn must_have(&mut self, name: &str, source: &KindSource, work: &mut Work) {
        if work.members.contains_key(name) || work.broken {
            return;
        }
        let kind = source.home.span(source.kind.name.at);
        let ever = source.kind.items.iter().any(|item| defined(item).is_some_and(|defined| defined.text == name));
        let finding = RelationMissing { kind: source.kind.name.text.clone(), name: name.into(), here: ever };
        if ever {
            self.sink.push_with(work.place, &finding, vec![Label { span: kind, text: "the kind".into() }]);
        } else {
            self.kind_fault(kind, &finding, work);
        }
        work.broken = true;
    }

    /// Two alternatives of one name hold. Where the machine may have stated one thing in two ways it is told there,
    /// otherwise at the kind.
    pub(super) fn twice(&mut self, source: &KindSource, definition: &Definition, first: EntryId, work: &mut Work) {
        let second = source.home.span(definition.name.at);
        let optional = |item: &KindItem| match item {
            KindItem::Field(field) => (field.optional || field.default.is_some()) && work.given.contains_key(&field.name.text),
            _ => false,
        };
        let by_settings = |item: &KindItem| match item {
            KindItem::Relation(other) | KindItem::Node(other) if other.name.text == definition.name.text => {
                let mut fields = Vec::new();
                other.when.iter().for_each(|guard| asked(guard, &mut fields));
                !fields.is_empty() || other.when.as_ref().is_some_and(compares)
            }
            _ => false,
        };
        let finding = RelationTwice { name: definition.name.text.clone() };
        if source.kind.items.iter().any(optional) && source.kind.items.iter().any(by_settings) {
            let kind = Label { span: second, text: "the second alternative".into() };
            self.sink.push_with(work.place, &finding, vec![kind]);
        } else {
            let before = Label { span: self.model.entry(first).span, text: "this one holds".into() };
            self.kind_fault_with(second, &finding, vec![before], work);
        }
        work.broken = true;
    }

    /// Puts down a fault of the kind at `span`, once.
    pub(super) fn kind_fault(&mut self, span: Span, finding: &dyn Finding, work: &mut Work) {
        self.kind_fault_with(span, finding, Vec::new(), work);
    }

    /// The same, with places that set the expectation.
    pub(super) fn kind_fault_with(&mut self, span: Span, finding: &dyn Finding, beside: Vec<Label>, work: &mut Work) {
        work.broken = true;
        let mut sink = Sink::new();
        sink.push_with(span, finding, beside);
        sink.into_sorted().into_iter().for_each(|fault| self.tell(fault, work.place));
    }

    /// Tells what the machine at `user` has met in its kind: at the kind, or here when another file describes the kind.
    pub(super) fn tell(&mut self, mut fault: Diagnostic, user: Span) {
        if !self.kind_faults.insert((fault.primary.span, fault.slug)) {
            return;
        }
        let file = fault.primary.span.home.file;
        let Some((_, path, told)) = self.used_at.get_mut(&file).filter(|_| file != self.home.file) else {
            fault.secondary.push(Label { span: user, text: USED.into() });
            self.sink.adopt(fault);
            return;
        };
        *told = true;
        let path = path.clone();
        let kind = self.model.machines.iter().find(|machine| machine.span == user).map(|machine| machine.kind.clone()).unwrap_or_default();
        // One finding a machine; the rest is told with that file.
        if self.kind_faults.insert((user, KindBroken::SLUG)) {
            let there = Label { span: fault.primary.span, text: fault.headline };
            self.sink.push_with(user, &KindBroken { kind, path }, vec![there]);
        }
    }
}

/// The name that an item of a kind defines.
pub(super) fn defined(item: &KindItem) -> Option<&ast::Name> {
    match item {
        KindItem::Field(field) => Some(&field.name),
        KindItem::Relation(definition) | KindItem::Node(definition) => Some(&definition.name),
        _ => None,
    }
}

fn compares(guard: &Guard) -> bool {
    match guard {
        Guard::Any(guards) | Guard::All(guards) => guards.iter().any(compares),
        Guard::Compare(_) => true,
        Guard::State(_) | Guard::Is { .. } | Guard::Given { .. } => false,
    }
}
