//! Inputs, assumptions, gear, working lines and checks.

use crate::diagnostics::catalogue::checks::CapacityMissing;
use crate::diagnostics::catalogue::gear::DateForm;
use crate::diagnostics::catalogue::machines::{BasisMissing, FieldTwice, NotAssumed, SourceMissing, ValueMissing};
use crate::diagnostics::catalogue::units::{DoubtMismatch, DoubtTwoWays, RepeatsTooFew, ResolutionMismatch};
use crate::model::dates::Day;
use crate::model::expressions::unfit;
use crate::model::functions::Function;
use crate::model::quantity::Quantity;
use crate::model::resolve::{Resolver, kept};
use crate::model::scope::Bound;
use crate::model::settings::{self, matched, plain};
use crate::model::tree::{Constant, EntryId, Shape, Tree, TreeForm};
use crate::model::{Check, Entry, Gear, Role, StatedDoubt};
use crate::source::{Extent, Span};
use crate::syntax::ast;
use crate::syntax::ast::{EvidenceWord, Form, Meaning, Operator};
use std::collections::BTreeMap;

impl Resolver<'_> {
    /// `take` and `assume`.
    pub(super) fn input(&mut self, input: &ast::Input, role: Role) -> Option<EntryId> {
        let span = self.home.span(input.at);
        let Some(mut entry) = self.stated_entry(&input.name.text, &input.stated, role, span, None) else {
            self.bind_quiet(&input.name);
            return None;
        };
        entry.label = label(input.label.as_ref());
        let no_source = [EvidenceWord::Because, EvidenceWord::Effect];
        if role == Role::Take && entry.evidence.iter().all(|(word, _)| no_source.contains(word)) {
            let because = entry.evidence.iter().any(|(word, _)| *word == EvidenceWord::Because);
            self.put(input.name.at, &SourceMissing { name: input.name.text.clone(), because });
        }
        if role == Role::Assume
            && !entry.evidence.iter().any(|(word, _)| matches!(word, EvidenceWord::Because | EvidenceWord::From | EvidenceWord::Ref))
        {
            self.put(input.name.at, &BasisMissing { name: input.name.text.clone() });
        }
        if !self.is_free(&input.name) {
            return None;
        }
        let id = self.model.push(entry);
        self.bind(&input.name, Bound::Entry(id));
        Some(id)
    }

    /// An entry from a stated value: its expression, doubt, unit and evidence. When `wanted` is given, the value must
    /// be that quantity, and the words say who wants it.
    pub(super) fn stated_entry(
        &mut self,
        name: &str,
        stated: &ast::Stated,
        role: Role,
        span: Span,
        wanted: Option<(&str, Quantity)>,
    ) -> Option<Entry> {
        let mut value = self.read(|reader| reader.read(&stated.value));
        if value.is_unknown() {
            return None;
        }
        let mut doubts = Vec::new();
        if let Some(at) = stated.repeats {
            let (mean, spread) = self.mean(value, at)?;
            value = mean;
            doubts.push(spread);
        }
        if let Some((wanted_by, quantity)) = wanted
            && quantity.meets(value.quantity).is_none()
        {
            let finding = unfit(wanted_by, quantity, &value);
            self.put(stated.value.at, finding.as_ref());
            return None;
        }
        if let Some(doubt) = &stated.doubt {
            doubts.push(self.doubt(doubt, &value, &stated.value)?);
        }
        if let Some(step) = &stated.resolution {
            doubts.push(self.resolution(step, &value)?);
        }
        let shown_in = self.shown_in(stated.shown_in.as_ref(), &value);
        let mut entry = self.plain_entry(name, value, role, span);
        entry.doubts = doubts;
        entry.shown_in = shown_in;
        entry.asked = stated.shown_in.is_some();
        entry.evidence = kept(&stated.evidence);
        if role != Role::Assume {
            let stands = |word: EvidenceWord| matches!(word, EvidenceWord::Confirmed | EvidenceWord::ConfirmBy);
            for said in stated.evidence.iter().filter(|said| stands(said.word)) {
                self.put(
                    said.at,
                    &NotAssumed { word: if said.word == EvidenceWord::Confirmed { "confirmed" } else { "confirm by" }.into() },
                );
            }
            entry.evidence.retain(|(word, _)| !stands(*word));
        }
        if let Some(by) = &stated.by {
            self.taken_with(by, &mut entry)?;
        }
        if let Some((_, quantity)) = wanted
            && let Some(common) = quantity.meets(entry.quantity)
        {
            entry.quantity = common;
        }
        Some(entry)
    }

    fn doubt(&mut self, doubt: &ast::Doubt, value: &Tree, written: &ast::Expression) -> Option<StatedDoubt> {
        let amount = self.read(|reader| reader.single(&doubt.amount));
        if amount.is_unknown() {
            return None;
        }
        let mut of_value = doubt.of_value;
        let in_percent = |tree: &Tree| match &tree.form {
            TreeForm::Constant(constant) => constant.parts.iter().any(|(_, unit)| unit.as_ref().is_some_and(|unit| unit.symbol == "%")),
            _ => false,
        };
        // In `(12 ± 2) %` both numbers carry the one unit behind the bracket.
        let unit_at = |expression: &ast::Expression| match &expression.form {
            Form::Quantity(terms) => terms.first().and_then(|term| term.unit.as_ref()).map(|unit| unit.at),
            _ => None,
        };
        let from_bracket = unit_at(written).is_some() && unit_at(written) == unit_at(&doubt.amount);
        if !of_value && in_percent(&amount) && !from_bracket {
            if value.quantity.is_number() {
                let number = |tree: &Tree| match &tree.form {
                    TreeForm::Constant(constant) => constant.parts.first().map(|(typed, _)| typed.clone()).unwrap_or_default(),
                    _ => String::new(),
                };
                self.put(doubt.at, &DoubtTwoWays { number: number(value), doubt: number(&amount) });
                return None;
            }
            of_value = true;
        }
        let difference = value.quantity.minus(value.quantity).unwrap_or(value.quantity);
        let fits = if of_value {
            amount.quantity.is_number()
        } else {
            difference.meets(amount.quantity).is_some() || value.quantity.meets(amount.quantity).is_some()
        };
        if !fits {
            self.put(doubt.amount.at, &DoubtMismatch { value: value.quantity.name(), doubt: amount.quantity.name() });
            return None;
        }
        Some(StatedDoubt { amount, of_value, meaning: doubt.meaning, degrees: doubt.degrees, pool: None })
    }

    // The mean of readings of one thing, and what their spread says of its doubt. Written as the first reading and the
    // mean of what the others are off it, so that readings that agree in many digits lose none.
    fn mean(&mut self, readings: Tree, at: Extent) -> Option<(Tree, StatedDoubt)> {
        let single = |form: TreeForm, quantity: Quantity, of: &Tree| Tree { form, span: of.span, quantity, shape: Shape::Single };
        let items = match &readings.form {
            TreeForm::List(items) => items.as_slice(),
            _ => &[],
        };
        let [first, _, ..] = items else {
            let found = match (&readings.form, readings.shape) {
                (TreeForm::List(_), _) => "there is one reading",
                (_, Shape::Single) => "this stands behind a single value",
                (_, Shape::List { .. }) => "this stands behind a name, and the readings are to be listed here",
            };
            self.put(at, &RepeatsTooFew { found: found.into() });
            return None;
        };
        let apart = first.quantity.minus(first.quantity).unwrap_or(first.quantity);
        let off = |item: &Tree| single(TreeForm::Binary(Operator::Subtract, Box::new(item.clone()), Box::new(first.clone())), apart, item);
        let list = Tree { form: TreeForm::List(items.iter().map(off).collect()), quantity: apart, ..readings.clone() };
        let sum = single(TreeForm::Call(Function::Sum, vec![list]), apart, &readings);
        let count = Constant { si: items.len() as f64, parts: vec![(items.len().to_string(), None)] };
        let count = single(TreeForm::Constant(count), Quantity::RATIO, &readings);
        let mean_off = single(TreeForm::Binary(Operator::Divide, Box::new(sum), Box::new(count)), apart, &readings);
        let mean = TreeForm::Binary(Operator::Add, Box::new(first.clone()), Box::new(mean_off));
        let mean = single(mean, readings.quantity, &readings);
        let degrees = Some((items.len() - 1) as f64);
        Some((mean, StatedDoubt { amount: readings, of_value: false, meaning: Meaning::Repeats, degrees, pool: None }))
    }

    fn resolution(&mut self, step: &ast::Expression, value: &Tree) -> Option<StatedDoubt> {
        let amount = self.read(|reader| reader.single(step));
        if amount.is_unknown() {
            return None;
        }
        let difference = value.quantity.minus(value.quantity).unwrap_or(value.quantity);
        if difference.meets(amount.quantity).is_none() && value.quantity.meets(amount.quantity).is_none() {
            self.put(step.at, &ResolutionMismatch { value: value.quantity.name(), resolution: amount.quantity.name() });
            return None;
        }
        Some(StatedDoubt { amount, of_value: false, meaning: Meaning::Resolution, degrees: None, pool: None })
    }

    /// `gear`.
    pub(super) fn gear(&mut self, gear: &ast::Gear) -> Option<usize> {
        if !self.is_free(&gear.name) {
            return None;
        }
        let faults = self.sink.error_count();
        let mut ratings: BTreeMap<String, EntryId> = BTreeMap::new();
        let of = format!("the gear `{}`", gear.name.text);
        let (mut edition, mut inspect_by, mut inspect_at) = (String::new(), None, self.home.span(gear.at));
        for setting in &gear.settings {
            let Some(found) = matched(setting, |name| settings::GEAR.contains(&name)) else {
                self.unknown_setting(setting, &of, settings::GEAR);
                continue;
            };
            if ratings.contains_key(&found.name) {
                self.put(found.name_at, &FieldTwice { name: found.name.replace('_', " ") });
                continue;
            }
            if found.rest.is_empty() {
                let wants = match found.name.as_str() {
                    "edition" => "text in quotation marks",
                    "inspect_by" => "a date, as in `2027-03-01`",
                    _ => "a force or a mass",
                };
                self.put(found.name_at, &ValueMissing { name: found.name.replace('_', " "), wants: wants.into() });
                continue;
            }
            if found.name == "edition" || found.name == "inspect_by" {
                let (said, span) = (plain(found.rest), self.home.span(found.rest_at));
                let again = if found.name == "edition" { !edition.is_empty() } else { inspect_by.is_some() };
                match Day::read(&said) {
                    _ if again => self.put(found.name_at, &FieldTwice { name: found.name.replace('_', " ") }),
                    _ if found.name == "edition" => edition = said,
                    Some(day) => (inspect_by, inspect_at) = (Some(day), span),
                    None => self.put(found.rest_at, &DateForm { found: said }),
                }
                continue;
            }
            let Some(stated) = crate::syntax::stated(found.rest, found.rest_at.start, self.home, &mut self.sink) else { continue };
            let span = self.home.span(setting.at);
            let name = format!("{}.{}", gear.name.text, found.name);
            let wanted = (found.name == "design_factor").then_some(("a design factor", Quantity::RATIO));
            let Some(mut entry) = self.stated_entry(&name, &stated, Role::Rating, span, wanted) else { continue };
            if wanted.is_none() && entry.quantity != Quantity::FORCE && entry.quantity != Quantity::MASS {
                let finding = unfit(&format!("`{}`", found.name.replace('_', " ")), Quantity::FORCE, &entry.value);
                self.put(stated.value.at, finding.as_ref());
                continue;
            }
            entry.local = found.name.clone();
            entry.label = settings::rating(&found.name).into();
            if entry.evidence.is_empty() {
                self.put(found.name_at, &SourceMissing { name: name.clone(), because: false });
            }
            let id = self.model.push(entry);
            ratings.insert(found.name, id);
        }
        if let (None, Some(breaking), Some(factor)) = (ratings.get("rated"), ratings.get("breaking"), ratings.get("design_factor")) {
            let span = self.home.span(gear.at);
            let tree = |id: EntryId, model: &crate::model::Model| Tree::entry(id, model.entry(id).quantity, Shape::Single, span);
            let (over, under) = (tree(*breaking, &self.model), tree(*factor, &self.model));
            let quantity = over.quantity;
            let value =
                Tree { form: TreeForm::Binary(Operator::Divide, Box::new(over), Box::new(under)), span, quantity, shape: Shape::Single };
            let mut entry = self.plain_entry(&format!("{}.rated", gear.name.text), value, Role::Rating, span);
            entry.local = "rated".into();
            entry.label = settings::rating("rated").into();
            let id = self.model.push(entry);
            ratings.insert("rated".into(), id);
        }
        self.model.gear.push(Gear {
            name: gear.name.text.clone(),
            label: label(gear.label.as_ref()),
            span: self.home.span(gear.at),
            ratings,
            edition,
            inspect_by,
            inspect_at,
            unread: self.sink.error_count() > faults,
        });
        let at = self.model.gear.len() - 1;
        self.bind(&gear.name, Bound::Gear(at));
        Some(at)
    }

    /// A working line.
    pub(super) fn working(&mut self, definition: &ast::Definition) -> Option<EntryId> {
        let entry = self.defined(definition);
        let Some(entry) = entry else {
            self.bind_quiet(&definition.name);
            return None;
        };
        if !self.is_free(&definition.name) {
            return None;
        }
        let id = self.model.push(entry);
        self.bind(&definition.name, Bound::Entry(id));
        Some(id)
    }

    fn defined(&mut self, definition: &ast::Definition) -> Option<Entry> {
        let (value, index) = self.read(|reader| reader.definition(definition))?;
        let faults = self.sink.error_count();
        let shown_in = self.shown_in(definition.shown_in.as_ref(), &value);
        let readable = definition.shown_in.as_ref().is_some_and(|unit| crate::units::parse(&unit.text).is_ok());
        // A value that is another quantity than its author meant is no value to go on with.
        if readable && self.sink.error_count() > faults {
            return None;
        }
        let span = self.home.span(definition.at);
        let mut entry = self.plain_entry(&definition.name.text, value, Role::Working, span);
        if let Some(range) = &index {
            entry.shape = Shape::List { first: range.first, count: usize::try_from(range.last - range.first + 1).unwrap_or(0) };
        }
        entry.index = index.map(Box::new);
        entry.shown_in = shown_in;
        entry.asked = definition.shown_in.is_some();
        entry.label = label(definition.label.as_ref());
        entry.evidence = kept(&definition.evidence);
        Some(entry)
    }

    /// `check`.
    pub(super) fn check(&mut self, check: &ast::Check) -> Option<usize> {
        let sides = self.read(|reader| {
            reader.missing_allowed = true;
            reader.comparison(&check.comparison)
        });
        // A check with a fault still stands in the list, as one that is not evaluated.
        let unknown = |side: &ast::Expression| Tree::unknown(self.home.span(side.at));
        let (left, right) = sides.unwrap_or_else(|| (unknown(&check.comparison.left), unknown(&check.comparison.right)));
        for (tree, side) in [(&left, &check.comparison.left), (&right, &check.comparison.right)] {
            if let TreeForm::Missing(missing) = &tree.form {
                self.put(side.at, &CapacityMissing { title: check.title.text.clone(), missing: missing.clone() });
            }
        }
        if self.home.file != self.root {
            return None;
        }
        self.model.checks.push(Check {
            title: check.title.text.clone(),
            span: self.home.span(check.at),
            left,
            relation: check.comparison.relation,
            right,
            evidence: kept(&check.evidence),
        });
        Some(self.model.checks.len() - 1)
    }
}

impl crate::model::expressions::Reader<'_> {
    /// The right-hand side of a definition, and its index where it has one. None when it has a fault.
    pub(super) fn definition(&mut self, definition: &ast::Definition) -> Option<(Tree, Option<crate::model::tree::Range>)> {
        let Some(running) = &definition.running else {
            let value = if matches!(definition.value.form, Form::List(_) | Form::Name(_)) {
                self.read(&definition.value)
            } else {
                self.single(&definition.value)
            };
            return (!value.is_unknown()).then_some((value, None));
        };
        let range = self.range(running)?;
        self.loops.push((std::sync::Arc::clone(&range.name), range.first, range.last));
        let value = self.single(&definition.value);
        self.loops.pop();
        (!value.is_unknown()).then_some((value, Some(range)))
    }
}

/// A label's text, or nothing.
pub(super) fn label(label: Option<&ast::Quoted>) -> String {
    label.map(|label| label.text.clone()).unwrap_or_default()
}
