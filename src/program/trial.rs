//! The whole sheet worked once more with another value in one place, and what came of it. Nothing of it is told but the
//! reason why something has no value.

use crate::diagnostics::catalogue::machines::Question;
use crate::diagnostics::{Diagnostic, Severity, Sink};
use crate::measure::Measured;
use crate::model::studies::{Study, Substitute};
use crate::model::tree::{EntryId, Tree};
use crate::model::{Material, Model, Owner, Purpose, resolve_with};
use crate::program::lower::{Program, StudyPlaces, lower};
use crate::program::operations::{Operation, slopes};
use crate::program::run::{Evaluation, evaluate, spoken};
use crate::source::{FileId, Span};
use crate::syntax::ast::Relation;
use std::borrow::Cow;
use std::collections::BTreeSet;

/// Where trials of one study are made.
pub(super) struct Bench<'b> {
    root: FileId,
    material: &'b Material,
    model: &'b Model,
    entry: EntryId,
    span: Span,
    /// Findings of the sheet as it stands, which are no reason of a trial.
    told: BTreeSet<(&'static str, Span)>,
    /// Questions of kinds that are asked on the sheet as it stands, by their places.
    asked: BTreeSet<Span>,
    /// The sheet laid flat with a number in the place of what is varied; none where its shape may change with it.
    flat: Option<(Model, Program, usize)>,
}

/// The sheet worked with one value put in.
pub(super) struct Trial<'t> {
    pub(super) model: Cow<'t, Model>,
    pub(super) evaluation: Evaluation,
    /// The study as it stands in this model; none when it could not be made out.
    study: Option<usize>,
    /// The operation that holds the value put in.
    place: Option<usize>,
    // The first finding that the sheet as it stands does not have.
    fault: Option<String>,
    // Places in kinds whose questions are asked on the sheet as it stands.
    asked: &'t BTreeSet<Span>,
}

/// A limit of a machine at work, by its place: which machine, which condition.
pub(super) type LimitAt = (usize, usize);

impl<'b> Bench<'b> {
    /// A bench for `study`. `shape` says that the shape of the program may change with the value.
    pub(super) fn new(root: FileId, material: &'b Material, model: &'b Model, study: &Study, shape: bool, told: &Sink) -> Self {
        let questions = told.clone().into_sorted().into_iter().filter(|finding| finding.slug == Question::SLUG);
        let asked = questions.flat_map(|finding| finding.secondary.into_iter().map(|label| label.span)).collect();
        let told = told.clone().into_sorted().iter().map(|finding| (finding.slug, finding.primary.span)).collect();
        let flat = (!shape).then(|| {
            let with = model.with_value(study.entry, 0.0);
            let program = lower(&with, &mut Sink::new());
            let place = program.entries.get(study.entry.0).and_then(|places| places.first().copied());
            place.map(|place| (with, program, place))
        });
        Bench { root, material, model, entry: study.entry, span: study.span, told, asked, flat: flat.flatten() }
    }

    /// Works the sheet with `si` put in.
    pub(super) fn with(&self, si: f64) -> Trial<'_> {
        let mut sink = Sink::new();
        match &self.flat {
            Some((model, program, place)) => {
                let mut program = program.clone();
                if let Some(operation) = program.operations.get_mut(*place) {
                    *operation = Operation::Constant(si);
                }
                let evaluation = evaluate(program, model, &mut sink);
                self.trial(Cow::Borrowed(model), evaluation, sink, Some(*place))
            }
            None => {
                let model = resolve_with(self.root, self.material, Substitute::new(self.model, self.entry, si), &mut sink);
                let program = lower(&model, &mut sink);
                let found = model.studies.iter().find(|study| study.span == self.span).map(|study| study.entry);
                let place = found.and_then(|id| program.entries.get(id.0)?.first().copied());
                let evaluation = evaluate(program, &model, &mut sink);
                self.trial(Cow::Owned(model), evaluation, sink, place)
            }
        }
    }

    fn trial<'t>(&'t self, model: Cow<'t, Model>, evaluation: Evaluation, sink: Sink, place: Option<usize>) -> Trial<'t> {
        let fresh =
            |finding: &Diagnostic| finding.severity == Severity::Error && !self.told.contains(&(finding.slug, finding.primary.span));
        let fault = sink.into_sorted().into_iter().find(fresh).map(|finding| finding.headline);
        let study = model.studies.iter().position(|study| study.span == self.span);
        Trial { model, evaluation, study, place, fault, asked: &self.asked }
    }
}

impl Trial<'_> {
    /// The study as it stands here, with its places.
    pub(super) fn study(&self) -> Option<(&Study, &StudyPlaces)> {
        let at = self.study?;
        self.model.studies.get(at).zip(self.evaluation.program.studies.get(at))
    }

    /// The value of `tree`, laid flat at `place`, with its doubt; the reason when it has none.
    pub(super) fn value(&self, tree: &Tree, place: Option<usize>) -> Result<Measured, String> {
        let known = !tree.is_unknown() && self.evaluation.knows(tree);
        let found = place.filter(|_| known).and_then(|place| self.evaluation.at(place)).filter(|found| found.uncertainty.is_finite());
        found.ok_or_else(|| self.reason(tree))
    }

    /// Why `tree` has no value here.
    pub(super) fn reason(&self, tree: &Tree) -> String {
        if let crate::model::tree::TreeForm::Missing(what) = &tree.form {
            return what.replace('`', "");
        }
        let mut open = Vec::new();
        tree.each_entry(&mut |id| open.push(id));
        let mut seen: BTreeSet<EntryId> = BTreeSet::new();
        // The earliest entry without a value whose own inputs have theirs is where it begins.
        let mut first: Option<EntryId> = None;
        while let Some(id) = open.pop() {
            let known = self.evaluation.known.get(id.0).copied().unwrap_or(false);
            if known || !seen.insert(id) {
                continue;
            }
            first = Some(first.map_or(id, |before| before.min(id)));
            self.model.each_behind(&self.model.entry(id).value, &mut |id| open.push(id));
        }
        let Some(first) = first else {
            return self.fault.clone().unwrap_or_else(|| "it comes to no number".into()).replace('`', "");
        };
        let entry = self.model.entry(first);
        if let Owner::Instance(at) = entry.owner
            && let Some(words) = self.broken_limit(at)
        {
            return words;
        }
        match &self.fault {
            Some(fault) => fault.replace('`', ""),
            None => format!("{} comes to no number", entry.name),
        }
    }

    fn broken_limit(&self, instance: usize) -> Option<String> {
        let machine = self.model.instances.get(instance)?;
        let outcomes = self.evaluation.conditions.get(instance)?;
        machine.conditions.iter().zip(outcomes).find_map(|(condition, outcome)| {
            let outcome = outcome.filter(|outcome| !outcome.holds && condition.purpose == Purpose::Limit)?;
            let found = spoken(&condition.left, &condition.right, outcome);
            Some(format!("{}: {} ({found})", machine.prefix, condition.says))
        })
    }

    /// The machines at work that `trees` rest on.
    pub(super) fn machines<'a>(&self, trees: impl Iterator<Item = &'a Tree>) -> BTreeSet<usize> {
        let mut open = Vec::new();
        trees.for_each(|tree| tree.each_entry(&mut |id| open.push(id)));
        let mut seen: BTreeSet<EntryId> = BTreeSet::new();
        let mut machines = BTreeSet::new();
        while let Some(id) = open.pop() {
            if seen.insert(id) {
                let entry = self.model.entry(id);
                if let Owner::Instance(at) = entry.owner {
                    machines.insert(at);
                }
                self.model.each_behind(&entry.value, &mut |id| open.push(id));
            }
        }
        machines
    }

    /// How much is in hand of each limit of `machines`, and the words of each.
    pub(super) fn limits(&self, machines: &BTreeSet<usize>) -> Vec<(LimitAt, Option<f64>)> {
        let mut margins = Vec::new();
        for machine in machines {
            let Some(instance) = self.model.instances.get(*machine) else { continue };
            let outcomes = self.evaluation.conditions.get(*machine).map(Vec::as_slice).unwrap_or_default();
            for (place, (condition, outcome)) in instance.conditions.iter().zip(outcomes).enumerate() {
                if condition.purpose != Purpose::Limit {
                    continue;
                }
                let margin = outcome.map(|outcome| match condition.relation {
                    Relation::AtLeast | Relation::Above => outcome.margin,
                    Relation::AtMost | Relation::Below => -outcome.margin,
                    Relation::Equal => {
                        if outcome.holds {
                            0.0
                        } else {
                            -1.0
                        }
                    }
                });
                // A strict limit that is just reached is broken; its margin must not read as held.
                let margin = match (margin, outcome) {
                    (Some(margin), Some(outcome)) if !outcome.holds && margin >= 0.0 => Some(-f64::MIN_POSITIVE),
                    (margin, _) => margin,
                };
                margins.push(((*machine, place), margin));
            }
        }
        margins
    }

    /// The questions of machines at work that do not hold here, though they do on the sheet as it stands.
    pub(super) fn questions(&self) -> Vec<String> {
        let mut words = Vec::new();
        for (instance, outcomes) in self.model.instances.iter().zip(&self.evaluation.conditions) {
            for (condition, outcome) in instance.conditions.iter().zip(outcomes) {
                let Some(outcome) = outcome.filter(|outcome| !outcome.holds && condition.purpose == Purpose::Question) else { continue };
                if !self.asked.contains(&condition.span) {
                    words.push(format!("{}: {} ({})", instance.prefix, condition.says, spoken(&condition.left, &condition.right, outcome)));
                }
            }
        }
        words
    }

    /// What a limit says, with both its sides.
    pub(super) fn limit_words(&self, at: LimitAt) -> Option<String> {
        let instance = self.model.instances.get(at.0)?;
        let condition = instance.conditions.get(at.1)?;
        let outcome = (*self.evaluation.conditions.get(at.0)?.get(at.1)?)?;
        Some(format!("{}: {} ({})", instance.prefix, condition.says, spoken(&condition.left, &condition.right, outcome)))
    }

    /// Both sides of a limit as laid flat.
    pub(super) fn limit_places(&self, at: LimitAt) -> Option<(usize, usize)> {
        *self.evaluation.program.conditions.get(at.0)?.get(at.1)?
    }

    /// What one value leaves in hand over another, both laid flat, what they owe to one source left out.
    pub(super) fn apart(&self, demand: usize, capacity: usize) -> Option<Measured> {
        self.evaluation.margin(demand, capacity).map(|margin| margin.measured())
    }

    /// The value put in with its doubt, if it is the one at which the operations `left` and `right` are equal:
    /// by the derivative of an implicit function, dx = −dm / (∂m/∂x), each source of doubt on its own (JCGM 100:2008, 5.1).
    pub(super) fn where_equal(&self, value: f64, left: usize, right: usize) -> Option<Measured> {
        let changes = self.changes(self.place?);
        let slope = changes.get(left)? - changes.get(right)?;
        // The difference of the two is one step more, and its doubt is worked as that of any other.
        let mut program = self.evaluation.program.clone();
        let difference = program.operations.len();
        program.operations.push(Operation::Subtract(left, right));
        program.inlines.push((u32::MAX, Some(difference)));
        let found = evaluate(program, &self.model, &mut Sink::new()).at(difference)?;
        let uncertainty = found.uncertainty / slope.abs();
        // Where the two barely part, no number is worth printing.
        (uncertainty.is_finite() && slope != 0.0).then_some(Measured { value, uncertainty, ..found })
    }

    // How every operation changes with that of `place`: one pass forward.
    fn changes(&self, place: usize) -> Vec<f64> {
        let values = &self.evaluation.values;
        let of = |at: usize| values.get(at).copied().unwrap_or(f64::NAN);
        let program = &self.evaluation.program;
        let step = |at: usize, operation: Operation, changes: &[f64]| {
            let mut change = if at == place { 1.0 } else { 0.0 };
            for (operand, slope) in slopes(operation, of(at), of).into_iter().flatten() {
                match changes.get(operand) {
                    Some(below) if *below != 0.0 => change += slope * below,
                    _ => {}
                }
            }
            change
        };
        let mut changes: Vec<f64> = Vec::with_capacity(values.len());
        for (at, operation) in program.operations.iter().enumerate() {
            let sought = match operation {
                Operation::Sought(number) => program.sought.get(*number).and_then(|sought| Some((sought, sought.target?))),
                _ => None,
            };
            let Some((sought, target)) = sought else {
                changes.push(step(at, *operation, &changes));
                continue;
            };
            // With the load held fast what it has to meet moves by so much; the load makes up for that.
            let mut held = changes.clone();
            held.push(0.0);
            let mut moved = vec![0.0; at];
            moved.push(1.0);
            for (below, operation) in program.operations.iter().enumerate().take(target + 1).skip(at + 1) {
                held.push(step(below, *operation, &held));
                moved.push(step(below, *operation, &moved));
            }
            let last = |changes: &[f64]| changes.get(target).copied().unwrap_or(0.0);
            changes.push((changes.get(sought.known).copied().unwrap_or(0.0) - last(&held)) / last(&moved));
        }
        changes
    }
}

#[cfg(test)]
mod tests {
    use super::Bench;
    use crate::diagnostics::Sink;
    use crate::model::{FileTrees, KindSource, Material, resolve};
    use crate::source::{FileId, Home};
    use crate::syntax::ast::Statement;
    use crate::syntax::parse;

    const SHEET: &str = "\
take boat = 1850 kg ± 30 kg from \"ticket\"
take slope = 8.1 deg ± 0.3 deg from \"level\"
take loss = 5 % ± 1 % of value from \"bench\"
take unit_load = 2 kN from \"plate\"
assume mu = 0.16 ± 0.03 because \"greased\"
gear rope
    rated 2.4 kN ± 0.1 kN from \"tag\"
load = weight(boat)
share = load
machine slip = ramp
    angle slope
    friction mu
    effort parallel
machine falls = tackle
    parts 4
    sheave loss loss
    lead blocks 1
train haul: crew -> falls -> slip -> share
    load travel 6 m
machine known = tackle
    parts 3
    sheave loss loss
    known effort unit_load
reserve = rope.rated - falls.hauling_part
vary boat over 1 kg .. 2 kg showing reserve
vary slope over 1 deg .. 2 deg showing reserve
vary loss over 0.01 .. 0.02 showing reserve
vary unit_load over 1 kN .. 2 kN showing known.load
vary mu over 0.1 .. 0.2 showing reserve
vary rope.rated over 1 kN .. 2 kN showing reserve
vary load over 1 kN .. 2 kN showing reserve
vary share over 1 kN .. 2 kN showing reserve, load
vary haul.load_travel over 1 m .. 2 m showing haul.effort_travel
vary falls.lead_angle over 1 deg .. 2 deg showing falls.lead_block[1]
vary falls.sheave_loss over 1 % .. 2 % showing reserve
";

    fn material(text: &str) -> (FileId, Material) {
        let root = FileId(0);
        let mut sink = Sink::new();
        let mut material = Material::default();
        let ast = parse(text, Home::fragment(root, 0), &mut sink);
        material.files.insert(root, FileTrees { fences: vec![(0, ast.into())], inlines: Vec::new() }.into());
        for (number, word) in ["every", "train", "ramp", "tackle"].into_iter().enumerate() {
            let document = crate::kinds::document(word).expect("a kind that comes with the program");
            let body = document.split("```rig\n").skip(1).map(|rest| rest.split("```").next().unwrap_or(""));
            for (fence, body) in body.filter(|body| body.starts_with("kind")).enumerate() {
                let home = Home::fragment(FileId(number as u32 + 1), fence as u32);
                for statement in parse(body, home, &mut sink).statements {
                    if let Statement::Kind(kind) = statement {
                        material.kinds.insert(kind.name.text.clone(), KindSource::new(kind, home));
                    }
                }
            }
        }
        assert!(sink.is_empty(), "{sink:?}");
        (root, material)
    }

    // Two independent ways to the same numbers: names bound anew with the value in, and one step of the flat program replaced.
    #[test]
    fn binding_anew_and_replacing_a_step_give_the_same_numbers() {
        let (root, material) = material(SHEET);
        let mut sink = Sink::new();
        let model = resolve(root, &material, &mut sink);
        assert!(!sink.has_errors() && model.studies.len() == 11, "{sink:?}");
        for study in &model.studies {
            let scale = if study.name == "boat" { 1000.0 } else { 1.0 };
            for value in [0.02, 0.11, 0.37].map(|value| value * scale) {
                let flat = Bench::new(root, &material, &model, study, false, &Sink::new());
                let anew = Bench::new(root, &material, &model, study, true, &Sink::new());
                let (flat, anew) = (flat.with(value), anew.with(value));
                assert_eq!(flat.model.entries.len(), anew.model.entries.len());
                let mut compared = 0;
                for at in 0..flat.model.entries.len() {
                    let id = crate::model::tree::EntryId(at);
                    let name = &flat.model.entry(id).name;
                    assert_eq!(flat.evaluation.entry(id), anew.evaluation.entry(id), "{name} with {} = {value}", study.name);
                    compared += usize::from(flat.evaluation.entry(id).is_some());
                }
                assert!(compared > 100, "{compared}");
                // What is put in stands there, and its own doubt is gone.
                let own = flat.evaluation.entry(study.entry).and_then(|values| values.first().copied());
                assert_eq!(own, Some(crate::measure::Measured::exact(value)), "{}", study.name);
            }
        }
    }

    // A value put in place of a copy leaves what it was copied from alone.
    #[test]
    fn a_copy_is_varied_without_its_original() {
        let (root, material) = material(SHEET);
        let model = resolve(root, &material, &mut Sink::new());
        let study = model.studies.iter().find(|study| study.name == "share").expect("the study of `share`");
        let original = model.entries.iter().position(|entry| entry.name == "load").map(crate::model::tree::EntryId).expect("`load`");
        for shape in [false, true] {
            let bench = Bench::new(root, &material, &model, study, shape, &Sink::new());
            let trial = bench.with(5.0);
            let load = trial.evaluation.entry(original).and_then(|values| values.first().copied()).expect("a load");
            // 1850 kg under standard gravity, 9.80665 m/s² (3rd CGPM).
            approx::assert_relative_eq!(load.value, 1850.0 * 9.80665, max_relative = 1e-12);
        }
    }

    // The slope of the flat program against a small step of it, also through a load that is sought.
    #[test]
    fn changes_agree_with_a_small_step() {
        let (root, material) = material(SHEET);
        let model = resolve(root, &material, &mut Sink::new());
        for (name, value, step) in [("mu", 0.16, 1e-6), ("loss", 0.05, 1e-6), ("unit_load", 2000.0, 1e-2), ("boat", 1850.0, 1e-2)] {
            let study = model.studies.iter().find(|study| study.name == name).expect("a study");
            let bench = Bench::new(root, &material, &model, study, false, &Sink::new());
            let (low, here, high) = (bench.with(value - step), bench.with(value), bench.with(value + step));
            let changes = here.changes(here.place.expect("a place"));
            let mut moved = 0;
            for (at, change) in changes.iter().enumerate() {
                let of = |trial: &super::Trial<'_>| trial.evaluation.values.get(at).copied().unwrap_or(f64::NAN);
                // Where terms cancel nothing is left but rounding, which no step can follow.
                if of(&here).abs() < 1e-7 {
                    continue;
                }
                let found = (of(&high) - of(&low)) / (2.0 * step);
                // A difference of two large numbers keeps only so many digits.
                let noise = 1e-14 * of(&here).abs() / step;
                approx::assert_relative_eq!(*change, found, max_relative = 1e-4, epsilon = 1e-9 + 20.0 * noise);
                moved += usize::from(*change != 0.0);
            }
            assert!(moved > 10, "{name} {moved}");
        }
    }
}
