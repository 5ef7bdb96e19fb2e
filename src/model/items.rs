//! What an item of a kind says and names, made once for all machines of the kind and shared by them.

use crate::model::Entry;
use crate::model::definitions::label;
use crate::model::resolve::kept;
use crate::syntax::ast::{Evidence, EvidenceWord, KindItem, Name, Quoted};
use crate::units::Unit;
use std::ops::{Deref, DerefMut};
use std::sync::Arc;

/// What is said of an entry in words. Read as if it stood in the entry; an entry that is told something else has its own from then on.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wording {
    /// The name within its machine or train; the same as the full name elsewhere.
    pub local: String,
    /// What it is, in words.
    pub label: String,
    /// Its evidence.
    pub evidence: Vec<(EvidenceWord, String)>,
}

impl Deref for Entry {
    type Target = Wording;

    fn deref(&self) -> &Wording {
        &self.wording
    }
}

impl DerefMut for Entry {
    fn deref_mut(&mut self) -> &mut Wording {
        Arc::make_mut(&mut self.wording)
    }
}

/// One item, in the order of the kind.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Item {
    /// What it defines; empty where it defines nothing.
    pub(super) name: Arc<str>,
    // What is said of what it defines.
    wording: Option<Arc<Wording>>,
    /// The same of the list that one stated value is spread over.
    pub(super) without_evidence: Option<Arc<Wording>>,
    /// The unit it is shown in.
    pub(super) unit: Option<Unit>,
    /// What a condition means.
    pub(super) says: Arc<str>,
    /// Text and source of a caution.
    pub(super) caution: Option<Arc<(String, String)>>,
}

impl Item {
    /// What is said of what it defines.
    pub(super) fn wording(&self) -> Arc<Wording> {
        self.wording.clone().unwrap_or_default()
    }

    /// What is the same of `item` for every machine.
    pub(super) fn of(item: &KindItem) -> Item {
        match item {
            KindItem::Field(field) => {
                let made = Item::defining(&field.name, field.label.as_ref(), &field.evidence);
                let bare = || Wording { local: field.name.text.clone(), label: label(field.label.as_ref()), evidence: Vec::new() };
                Item { without_evidence: field.each.as_ref().map(|_| Arc::new(bare())), ..made }
            }
            KindItem::Relation(written) | KindItem::Node(written) => {
                let unit = written.shown_in.as_ref().and_then(|text| crate::units::parse(&text.text).ok());
                Item { unit, ..Item::defining(&written.name, written.label.as_ref(), &written.evidence) }
            }
            KindItem::Limit(condition) | KindItem::Question(condition) | KindItem::Sustains(condition) => {
                Item { says: condition.says.text.as_str().into(), ..Item::default() }
            }
            KindItem::Caution(caution) => {
                let from = caution.evidence.iter().map(|evidence| evidence.text.text.as_str()).collect::<Vec<_>>().join("; ");
                Item { caution: Some(Arc::new((caution.says.text.clone(), from))), ..Item::default() }
            }
            KindItem::Broken(broken) => {
                Item { name: broken.name.as_ref().map_or_else(Arc::default, |name| name.text.as_str().into()), ..Item::default() }
            }
            KindItem::Choice(_) | KindItem::Ports(_) => Item::default(),
        }
    }

    fn defining(name: &Name, said: Option<&Quoted>, evidence: &[Evidence]) -> Item {
        let wording = Wording { local: name.text.clone(), label: label(said), evidence: kept(evidence) };
        Item { name: name.text.as_str().into(), wording: Some(Arc::new(wording)), ..Item::default() }
    }
}
