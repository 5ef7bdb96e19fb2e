//! Solving from the other end: a load that is sought, and what is known instead of it.

use crate::diagnostics::catalogue::machines::ValueMissing;
use crate::diagnostics::catalogue::names::{ListForValue, UnknownName};
use crate::diagnostics::nearest;
use crate::model::expressions::unfit;
use crate::model::quantity::Quantity;
use crate::model::resolve::Resolver;
use crate::model::settings::Matched;
use crate::model::tree::{Constant, EntryId, Shape, Tree, TreeForm};
use crate::model::{Owner, Role};
use crate::source::Extent;
use crate::syntax::ast::Setting;

/// A load that is not stated, and what it has to meet.
#[derive(Debug, Clone, PartialEq)]
pub struct Sought {
    /// The load.
    pub load: EntryId,
    /// The value that is known; none when what was named could not be made out.
    pub target: Option<Tree>,
    /// What it is known to be.
    pub known: EntryId,
}

/// What is known of a machine or train instead of its load.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// The name, part by part.
    pub path: Vec<String>,
    /// The item, of a list.
    pub item: Option<i64>,
    /// Where it is named.
    pub at: Extent,
    /// Its value.
    pub value: EntryId,
}

impl Resolver<'_> {
    /// `known effort 440 N`, `known falls.hauling_part 2.4 kN`, `known part[3] 1.2 kN`.
    pub(super) fn known_setting(&mut self, of: &str, found: &Matched<'_>, setting: &Setting, owner: Owner) -> Option<Known> {
        let end = found.rest.find(char::is_whitespace).unwrap_or(found.rest.len());
        let (path, rest) = found.rest.split_at(end);
        let value = rest.trim_start();
        let value = value.strip_prefix('=').map_or(value, str::trim_start);
        if path.is_empty() || value.is_empty() {
            let name = if path.is_empty() { "known".to_string() } else { format!("known {path}") };
            let wants = if path.is_empty() { "the name of a force of it, with its value," } else { "its value" };
            let place = if path.is_empty() { found.name_at } else { found.rest_at };
            self.put(place, &ValueMissing { name, wants: wants.into() });
            return None;
        }
        let base = found.rest_at.start as usize;
        let path_at = Extent::new(base, base + path.len());
        let value_at = base + found.rest.len() - value.len();
        let stated = crate::syntax::stated(value, u32::try_from(value_at).unwrap_or(found.rest_at.start), self.home, &mut self.sink)?;
        let (names, item) = match path.split_once('[') {
            Some((names, item)) => (names, item.trim_end_matches(']').trim().parse::<i64>().ok()),
            None => (path, None),
        };
        let span = self.home.span(setting.at);
        let mut entry = self.stated_entry(&format!("{of}.known.{path}"), &stated, Role::Field { given: true }, span, None)?;
        entry.local = path.into();
        entry.label = format!("known: {}", path.replace(['_', '.'], " "));
        entry.owner = owner;
        let value = self.model.push(entry);
        Some(Known { path: names.split('.').map(String::from).collect(), item, at: path_at, value })
    }

    /// An entry for a load that is not known yet.
    pub(super) fn sought_load(&mut self, name: &str, known: &Known, load: Option<Quantity>, owner: Owner) -> EntryId {
        let at = self.model.sought.len();
        let span = self.home.span(known.at);
        let quantity = load.unwrap_or(Quantity::FORCE);
        let value = Tree { form: TreeForm::Sought(at), span, quantity, shape: Shape::Single };
        let mut entry = self.plain_entry(name, value, Role::Relation, span);
        entry.local = "load".into();
        entry.label = "load that this moves".into();
        entry.owner = owner;
        let id = self.model.push(entry);
        self.model.sought.push(Sought { load: id, target: None, known: known.value });
        id
    }

    /// Says what the sought `load` has to meet. `find` gives the value that a path inside the machine or train names.
    pub(super) fn seek(&mut self, load: EntryId, known: &Known, find: &dyn Fn(&Self, &[&str]) -> Option<EntryId>, names: &[String]) {
        let path: Vec<&str> = known.path.iter().map(String::as_str).collect();
        let whole = path.join(".");
        let Some(id) = find(self, &path) else {
            let near = nearest(&whole, names.iter().map(String::as_str)).into_iter().map(String::from).collect();
            self.put(known.at, &UnknownName { name: whole, of: "what is known".into(), near });
            return;
        };
        let (quantity, shape) = (self.model.entry(id).quantity, self.model.entry(id).shape);
        let span = self.home.span(known.at);
        let tree = match (shape, known.item) {
            (Shape::Single, None) => Tree::entry(id, quantity, Shape::Single, span),
            (Shape::List { .. }, Some(item)) => {
                let form = TreeForm::Constant(Constant { si: item as f64, parts: vec![(item.to_string(), None)] });
                let place = Tree { form, span, quantity: Quantity::RATIO, shape: Shape::Single };
                Tree { form: TreeForm::Item(id, Box::new(place)), span, quantity, shape: Shape::Single }
            }
            _ => {
                self.put(known.at, &ListForValue { name: whole });
                return;
            }
        };
        let value = self.model.entry(known.value);
        if quantity.meets(value.quantity).is_none() {
            let (span, finding) = (value.value.span, unfit(&format!("`{whole}`"), quantity, &value.value));
            self.sink.push(span, finding.as_ref());
            return;
        }
        if let Some(sought) = self.model.sought.iter_mut().find(|sought| sought.load == load) {
            sought.target = Some(tree);
        }
    }
}
