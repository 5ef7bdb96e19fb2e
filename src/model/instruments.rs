//! Instruments, and what a reading owes to the one it was read with.
//!
//! A reading is worked as ((shown - zero) × relative calibration) + absolute calibration, with the weight that an inverted
//! instrument carries added. The calibrations are entries of the instrument, worth 1 and 0, so that all its readings share
//! their doubts; the resolution is a doubt of each reading.

use crate::diagnostics::catalogue::machines::{FieldTwice, SourceMissing, ValueMissing};
use crate::diagnostics::catalogue::measuring::{InstrumentMismatch, InvertedWeight, NotAnInstrument};
use crate::model::definitions::label;
use crate::model::quantity::Quantity;
use crate::model::resolve::{Resolver, kept};
use crate::model::scope::Bound;
use crate::model::settings::{self, Matched, matched};
use crate::model::tree::{Constant, EntryId, Shape, Tree, TreeForm};
use crate::model::{Entry, Role, StatedDoubt};
use crate::source::{Extent, Span};
use crate::syntax::ast;
use crate::syntax::ast::{Meaning, Operator};

/// An instrument as stated.
#[derive(Debug, Clone, PartialEq)]
pub struct Instrument {
    /// Name.
    pub name: String,
    /// What it is.
    pub label: String,
    /// Where.
    pub span: Span,
    /// What it shows; none where it states nothing but shares of a reading.
    pub quantity: Option<Quantity>,
    /// The step of its scale.
    pub resolution: Option<EntryId>,
    /// What it shows with nothing on it.
    pub zero: Option<EntryId>,
    /// What its calibration leaves open.
    pub calibrations: Vec<Calibration>,
    /// Its whole weight: joins the pull when it is used, and was set to zero, upside down.
    pub own_weight: Option<EntryId>,
    /// The weight of hook and rod: counts twice when it is used upside down and was set to zero upright.
    pub hook_weight: Option<EntryId>,
}

/// What a calibration leaves open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Calibration {
    /// The entry with its doubt.
    pub entry: EntryId,
    /// Whether it is a factor of every reading, worth 1; otherwise it is added to every reading, worth 0.
    pub relative: bool,
}

impl Instrument {
    /// Everything that is stated of it, in the order of the page.
    pub fn values(&self) -> Vec<EntryId> {
        let single = [self.resolution, self.zero].into_iter().flatten();
        single
            .chain(self.calibrations.iter().map(|calibration| calibration.entry))
            .chain([self.own_weight, self.hook_weight].into_iter().flatten())
            .collect()
    }
}

/// How a value was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The instrument, by its place in [`crate::model::Model::instruments`].
    pub instrument: usize,
    /// What it showed.
    pub shown: Tree,
    /// Whether it was used upside down.
    pub inverted: bool,
}

impl Resolver<'_> {
    /// `instrument`.
    pub(super) fn instrument(&mut self, stated: &ast::Instrument) -> Option<usize> {
        if !self.is_free(&stated.name) {
            return None;
        }
        let of = format!("the instrument `{}`", stated.name.text);
        let mut made = Instrument {
            name: stated.name.text.clone(),
            label: label(stated.label.as_ref()),
            span: self.home.span(stated.at),
            quantity: None,
            resolution: None,
            zero: None,
            calibrations: Vec::new(),
            own_weight: None,
            hook_weight: None,
        };
        for setting in &stated.settings {
            let Some(found) = matched(setting, |name| settings::INSTRUMENT.contains(&name)) else {
                self.unknown_setting(setting, &of, settings::INSTRUMENT);
                continue;
            };
            let span = self.home.span(setting.at);
            if found.name == "calibration" {
                self.calibration(&found, span, &mut made);
                continue;
            }
            let place = match found.name.as_str() {
                "resolution" => made.resolution,
                "zero" => made.zero,
                "own_weight" => made.own_weight,
                _ => made.hook_weight,
            };
            if place.is_some() {
                self.put(found.name_at, &FieldTwice { name: found.name.replace('_', " ") });
                continue;
            }
            let Some(id) = self.of_instrument(&found, span, &mut made) else { continue };
            match found.name.as_str() {
                "resolution" => made.resolution = Some(id),
                "zero" => made.zero = Some(id),
                "own_weight" => made.own_weight = Some(id),
                _ => made.hook_weight = Some(id),
            }
        }
        self.model.instruments.push(made);
        let at = self.model.instruments.len() - 1;
        self.bind(&stated.name, Bound::Instrument(at));
        Some(at)
    }

    // A line of an instrument that states a value.
    fn of_instrument(&mut self, found: &Matched<'_>, span: Span, made: &mut Instrument) -> Option<EntryId> {
        let words = found.name.replace('_', " ");
        if found.rest.is_empty() {
            self.put(found.name_at, &ValueMissing { name: words, wants: "a value in a unit of what it shows".into() });
            return None;
        }
        let stated = crate::syntax::stated(found.rest, found.rest_at.start, self.home, &mut self.sink)?;
        let mut entry = self.stated_entry(&format!("{}.{}", made.name, found.name), &stated, Role::Instrument, span, None)?;
        self.suits(made, &format!("the {words}"), entry.quantity, stated.value.at)?;
        entry.local.clone_from(&found.name);
        entry.label = settings::of_instrument(&found.name).into();
        Some(self.model.push(entry))
    }

    fn calibration(&mut self, found: &Matched<'_>, span: Span, made: &mut Instrument) -> Option<()> {
        if found.rest.is_empty() {
            self.put(found.name_at, &ValueMissing { name: "calibration".into(), wants: "a doubt, such as `± 1 % of value (k=2)`".into() });
            return None;
        }
        let stated = crate::syntax::doubt(found.rest, found.rest_at.start, self.home, &mut self.sink)?;
        let amount = self.read(|reader| reader.single(&stated.doubt.amount));
        if amount.is_unknown() {
            return None;
        }
        let percent = match &amount.form {
            TreeForm::Constant(constant) => constant.parts.iter().any(|(_, unit)| unit.as_ref().is_some_and(|unit| unit.symbol == "%")),
            _ => false,
        };
        let relative = stated.doubt.of_value || percent;
        if !relative {
            self.suits(made, "the calibration", amount.quantity, stated.doubt.amount.at)?;
        } else if !amount.quantity.is_number() {
            let finding = InstrumentMismatch {
                instrument: made.name.clone(),
                what: "the calibration".into(),
                wanted: "a share of the reading".into(),
                found: amount.quantity.name(),
            };
            self.put(stated.doubt.amount.at, &finding);
            return None;
        }
        let several = made.calibrations.len() + 1;
        let local = if several == 1 { "calibration".to_owned() } else { format!("calibration_{several}") };
        let (si, unit) = match (&amount.form, relative) {
            (TreeForm::Constant(constant), false) => (0.0, constant.parts.first().and_then(|(_, unit)| unit.clone())),
            (_, false) => (0.0, None),
            (_, true) => (1.0, None),
        };
        let quantity = if relative { Quantity::RATIO } else { amount.quantity };
        let constant = TreeForm::Constant(Constant { si, parts: vec![(format!("{si}"), unit)] });
        let value = Tree { form: constant, span, quantity, shape: Shape::Single };
        let mut entry = self.plain_entry(&format!("{}.{local}", made.name), value, Role::Instrument, span);
        entry.label = if relative { "calibration, a factor on every reading" } else { "calibration, added to every reading" }.into();
        entry.local = local;
        entry.evidence = kept(&stated.evidence);
        if entry.evidence.is_empty() {
            self.put(found.name_at, &SourceMissing { name: entry.name.clone(), because: false });
        }
        let ast::Doubt { meaning, degrees, .. } = stated.doubt;
        entry.doubts.push(StatedDoubt { amount, of_value: false, meaning, degrees, pool: None });
        let entry = self.model.push(entry);
        made.calibrations.push(Calibration { entry, relative });
        Some(())
    }

    // Whether a value is of the sort that the instrument shows; the first one settles what that is.
    fn suits(&mut self, made: &mut Instrument, what: &str, found: Quantity, at: Extent) -> Option<()> {
        let Some(shows) = made.quantity else {
            made.quantity = Some(found);
            return Some(());
        };
        if shows.meets(found).is_some() || shows.minus(shows).is_some_and(|apart| apart.meets(found).is_some()) {
            return Some(());
        }
        let finding = InstrumentMismatch { instrument: made.name.clone(), what: what.into(), wanted: shows.name(), found: found.name() };
        self.put(at, &finding);
        None
    }

    /// The instrument that `by` names, with its place; puts down a finding when there is none of that name.
    pub(super) fn instrument_named(&mut self, path: &ast::Path) -> Option<usize> {
        let parts: Vec<&str> = path.parts.iter().map(|part| part.text.as_str()).collect();
        match crate::model::scope::bound(&self.scopes, self.scope, &parts) {
            Some(Bound::Instrument(at)) => Some(at),
            Some(Bound::Quiet) => None,
            _ => {
                let known = self.model.instruments.iter().map(|instrument| instrument.name.clone()).collect();
                self.put(path.at, &NotAnInstrument { name: parts.join("."), known });
                None
            }
        }
    }

    /// What a reading comes to: zero, calibration and weight of the instrument put in, with the doubt of its resolution.
    /// None when the instrument does not suit it; the finding has been put down at `at`.
    pub(super) fn read_with(
        &mut self,
        instrument: usize,
        inverted: Option<Extent>,
        shown: Tree,
        at: Extent,
    ) -> Option<(Tree, Option<StatedDoubt>)> {
        let made = self.model.instruments.get(instrument)?.clone();
        if let Some(shows) = made.quantity
            && shows.meets(shown.quantity).is_none()
        {
            let (wanted, found) = (shows.name(), shown.quantity.name());
            self.put(at, &InstrumentMismatch { instrument: made.name, what: "the reading".into(), wanted, found });
            return None;
        }
        let quantity = shown.quantity;
        let span = shown.span;
        let joined = |operator: Operator, left: Tree, right: Tree| Tree {
            form: TreeForm::Binary(operator, Box::new(left), Box::new(right)),
            span,
            quantity,
            shape: Shape::Single,
        };
        let of = |id: EntryId| Tree::entry(id, self.model.entry(id).quantity, Shape::Single, span);
        let mut value = shown;
        if let Some(zero) = made.zero {
            value = joined(Operator::Subtract, value, of(zero));
        }
        for factor in made.calibrations.iter().filter(|calibration| calibration.relative) {
            value = joined(Operator::Multiply, value, of(factor.entry));
        }
        for added in made.calibrations.iter().filter(|calibration| !calibration.relative) {
            value = joined(Operator::Add, value, of(added.entry));
        }
        if let Some(place) = inverted {
            match (made.own_weight, made.hook_weight) {
                (Some(own), None) => value = joined(Operator::Add, value, of(own)),
                (None, Some(hook)) => value = joined(Operator::Add, joined(Operator::Add, value, of(hook)), of(hook)),
                (own, _) => {
                    self.put(place, &InvertedWeight { instrument: made.name, both: own.is_some() });
                    return None;
                }
            }
        }
        let resolution = made.resolution.map(|id| StatedDoubt {
            amount: of(id),
            of_value: false,
            meaning: Meaning::Resolution,
            degrees: None,
            pool: None,
        });
        Some((value, resolution))
    }

    /// Puts what `by` says into an entry whose doubts, unit and evidence stand already.
    pub(super) fn taken_with(&mut self, by: &ast::By, entry: &mut Entry) -> Option<()> {
        let instrument = self.instrument_named(&by.instrument)?;
        let shown = entry.value.clone();
        let inverted = by.inverted;
        let resolution = match (&mut entry.value.form, shown.shape) {
            // A list of readings, each of which owes to the instrument what a single one does.
            (TreeForm::List(items), _) => {
                let mut step = None;
                for item in items {
                    let (value, resolution) = self.read_with(instrument, inverted, item.clone(), by.instrument.at)?;
                    *item = value;
                    step = resolution;
                }
                step
            }
            (_, Shape::Single) => {
                let (value, resolution) = self.read_with(instrument, inverted, shown.clone(), by.instrument.at)?;
                entry.value = value;
                resolution
            }
            (_, Shape::List { .. }) => {
                let instrument = by.instrument.parts.iter().map(|part| part.text.as_str()).collect::<Vec<_>>().join(".");
                let (wanted, found) = ("readings listed here".into(), "the name of a list".into());
                self.put(by.instrument.at, &InstrumentMismatch { instrument, what: "a list by its name".into(), wanted, found });
                return None;
            }
        };
        // A step stated with the reading itself stands in place of the instrument's own.
        if !entry.doubts.iter().any(|doubt| doubt.meaning == Meaning::Resolution) {
            entry.doubts.extend(resolution);
        }
        entry.reading = Some(Reading { instrument, shown, inverted: by.inverted.is_some() });
        Some(())
    }
}
