//! Work on a machine's own parts: nothing unless its kind says so, and whether those parts help.

use crate::model::elaborate::Work;
use crate::model::quantity::Quantity;
use crate::model::resolve::Resolver;
use crate::model::tree::{Constant, Shape, Tree, TreeForm};
use crate::model::{Member, Role, Wording};
use std::sync::Arc;

impl Work {
    /// Settles whether parts of the machine give work beside effort and load, so that what every machine has can ask for it.
    pub(super) fn settle_help(&mut self) {
        let helped = matches!(self.members.get("given_work"), Some(Member::Value(_)));
        self.choices.push(("helped".into(), if helped { "yes" } else { "no" }.into()));
    }
}

impl Resolver<'_> {
    // A kind that says nothing of work done on its own parts does none.
    pub(super) fn own_work(&mut self, work: &mut Work) {
        if work.members.contains_key("own_work") || !work.loaded {
            return;
        }
        let quantity = Quantity { dimension: Quantity::TORQUE.dimension, nature: crate::units::Nature::Energy };
        let form = TreeForm::Constant(Constant { si: 0.0, parts: vec![("0".into(), crate::units::parse("J").ok())] });
        let value = Tree { form, span: work.place, quantity, shape: Shape::Single };
        let wording = Wording { local: "own_work".into(), label: "work done on the machine's own parts".into(), evidence: Vec::new() };
        let said = (format!("{}.own_work", work.prefix), Arc::new(wording));
        let mut entry = self.worded_entry(said, value, Role::Passed, work.place, work.owner);
        (entry.quantity, entry.shown_in) = (quantity, None);
        let id = self.model.push(entry);
        work.members.insert("own_work", Member::Value(id));
    }
}
