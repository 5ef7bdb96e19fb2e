//! Machines and trains as reported: settings, ideal beside actual, forces at every joint, and the balance of work.

use crate::kinds::sketching::{Drawing, Figures, FreeBody};
use crate::measure::Measured;
use crate::model::tree::EntryId;
use crate::model::{Direction, Instance, Member, Members, Owner, Purpose, Train};
use crate::sheet::answers;
use crate::sheet::figures;
use crate::sheet::free_body_parts::{CoupleOn, ForceOn, FreeBodyPart};
use crate::sheet::inputs;
use crate::sheet::parts::{BalanceRow, Cell, Figure, Joint, MachineReport};
use crate::sheet::parts::{SketchPart, SummaryRow, TrainReport, WorkingLine};
use crate::sheet::symbols::anchor;
use crate::sheet::working::Setter;
use crate::source::Sources;
use crate::words::{say, word};

/// Quantity of the summary, the member for ideal, the member for actual.
const SUMMARY: &[(&str, &str, &str)] = &[
    ("Effort", "ideal_effort", "effort"),
    ("Load", "load", "load"),
    ("Mechanical advantage", "velocity_ratio", "mechanical_advantage"),
    ("Efficiency", "", "efficiency"),
    ("Travel of the effort", "effort_travel", "effort_travel"),
    ("Travel of the load", "load_travel", "load_travel"),
    ("Work in", "", "work_in"),
    ("Work out", "", "work_out"),
    ("Loss", "", "loss"),
];

/// Whether the summary of a machine or train shows its member `name`.
pub(super) fn in_summary(name: &str) -> bool {
    SUMMARY.iter().any(|(_, ideal, actual)| name == *ideal || name == *actual)
}

/// The lines of one machine or train, and where the next line's number comes from.
pub(super) struct Numbering {
    pub(super) next: usize,
}

impl Numbering {
    /// The next whole number.
    pub(super) fn take(&mut self) -> usize {
        self.next += 1;
        self.next
    }
}

fn value_of(members: &Members, name: &str) -> Option<EntryId> {
    match members.get(name) {
        Some(Member::Value(id)) => Some(*id),
        _ => None,
    }
}

fn first(setter: &Setter<'_>, members: &Members, name: &str) -> Option<Figure> {
    let id = value_of(members, name)?;
    setter.printed.of(id).first().cloned()
}

fn summary(setter: &Setter<'_>, members: &Members) -> Vec<SummaryRow> {
    let rows = SUMMARY.iter().filter_map(|(quantity, ideal, actual)| {
        let actual_figure = first(setter, members, actual)?;
        Some(SummaryRow {
            quantity: word(quantity).into(),
            ideal: first(setter, members, ideal),
            actual: Some(actual_figure),
            anchor: value_of(members, actual).map(|id| anchor(&setter.model.entry(id).name)).unwrap_or_default(),
        })
    });
    rows.collect()
}

fn lines(setter: &Setter<'_>, ids: &[EntryId], number: usize) -> Vec<WorkingLine> {
    ids.iter().enumerate().map(|(at, id)| setter.line(*id, format!("{number}.{}", at + 1))).collect()
}

/// The report of one machine at work.
pub(super) fn machine(outer: &Setter<'_>, at: usize, sources: &Sources, numbering: &mut Numbering) -> Option<MachineReport> {
    let instance = outer.model.instances.get(at)?;
    let machine = outer.model.machines.get(instance.machine)?;
    let setter = Setter { inside: Some(Owner::Instance(at)), ..*outer };
    let number = numbering.take();
    let brief = setter.brief;
    let relations = if brief { Vec::new() } else { lines(&setter, &instance.relations, number) };
    let from = relations.len();
    let mut nodes: Vec<WorkingLine> = Vec::new();
    for (place, id) in instance.nodes.iter().enumerate().filter(|_| !brief) {
        nodes.push(setter.line(*id, format!("{number}.{}", from + place + 1)));
    }
    // A load that is stated with the machine has a source like any other setting.
    let stated = machine.load.iter().chain(machine.fields.values());
    let mut settings: Vec<_> = stated.map(|id| inputs::setting(&setter, *id, sources)).collect();
    settings.extend(instance.fields.iter().map(|id| inputs::setting(&setter, *id, sources)));
    let choices = machine.choices.iter().map(|(name, _, choice)| Cell { label: name.replace('_', " "), value: choice.clone() }).collect();
    let view = View { setter: &setter, instance, choices: &machine.choices };
    let is_load = machine.ends.load.is_none();
    let drawing = (!brief && (instance.loaded || is_load))
        .then(|| crate::kinds::sketch(&machine.kind, &view).unwrap_or_else(|| crate::kinds::sketch_of_any(&machine.kind, &view)));
    Some(MachineReport {
        anchor: anchor(&instance.prefix),
        name: instance.prefix.clone(),
        label: machine.label.clone(),
        kind: machine.kind.clone(),
        kind_label: machine.kind_label.clone(),
        kind_path: String::new(),
        direction: word(instance.state.direction().word()).into(),
        friction_state: word(instance.state.friction().word()).into(),
        train: instance.train.and_then(|train| setter.model.trains.get(train)).map(|train| train.name.clone()).unwrap_or_default(),
        settings,
        choices,
        summary: if is_load { Vec::new() } else { summary(&setter, &instance.members) },
        answers: if brief {
            Vec::new()
        } else {
            answers::answers(&setter, instance.state, value_of(&instance.members, "effort"), &machine.others)
        },
        nodes,
        relations,
        is_load,
        sustains: sustains(&setter, at, instance, is_load),
        free_body: drawing.as_ref().and_then(|sketch| crate::kinds::free_body(&machine.kind, &view, sketch.newtons)).map(cut_free),
        sketch: drawing.map(drawn),
    })
}

fn drawn(drawing: Drawing) -> SketchPart {
    SketchPart { title: drawing.title.clone(), description: drawing.description.clone(), drawing }
}

fn cut_free(body: FreeBody) -> FreeBodyPart {
    FreeBodyPart {
        sketch: drawn(body.drawing),
        forces: body
            .forces
            .into_iter()
            .map(|force| ForceOn { symbol: force.symbol, text: force.printed, from: force.giver, right: force.right, up: force.up })
            .collect(),
        couples: body
            .couples
            .into_iter()
            .map(|couple| CoupleOn { symbol: couple.symbol, text: couple.printed, from: couple.giver, against_clock: couple.against_clock })
            .collect(),
    }
}

fn sustains(setter: &Setter<'_>, at: usize, instance: &Instance, is_load: bool) -> String {
    let outcomes = setter.evaluation.conditions.get(at);
    let places = setter.evaluation.program.conditions.get(at);
    let mut words = Vec::new();
    for (place, (condition, outcome)) in instance.conditions.iter().zip(outcomes.into_iter().flatten()).enumerate() {
        let (Purpose::Sustains, Some(outcome)) = (condition.purpose, outcome) else { continue };
        let sides = places.and_then(|places| *places.get(place)?);
        let spare = sides.and_then(|(left, right)| setter.evaluation.margin(right, left)).map(|margin| margin.measured());
        let spare = spare.unwrap_or_else(|| Measured::exact(outcome.margin));
        let spare = Measured { value: spare.value.abs(), ..spare };
        // A margin that lies within its doubt may in truth be none: nobody is to rely on it.
        let hardly = spare.uncertainty > 0.0 && spare.value <= spare.expanded(setter.style.coverage);
        let margin = &figures::figure(spare, condition.left.quantity, None, setter.style).text;
        let says = &condition.says;
        words.push(match (outcome.holds, is_load) {
            (true, true) if hardly => say!(
                "Hardly stays where it is: {says}, but what it has to spare, {margin}, lies within its doubt. Treat it as running back; secure the load before the line is slacked.",
                says = says,
                margin = margin
            ),
            (true, false) if hardly => say!(
                "Hardly holds its load by itself: {says}, but what it has to spare, {margin}, lies within its doubt. Treat it as running back; secure the load before the effort is released.",
                says = says,
                margin = margin
            ),
            (true, true) => say!(
                "Stays where it is on these figures: {says}; margin {margin}. Not certified: shake, wet or wear can undo it; secure the load.",
                says = says,
                margin = margin
            ),
            (true, false) => say!(
                "Holds its load by itself on these figures: {says}; margin {margin}. Not certified: shake, wet or wear can undo it; secure the load.",
                says = says,
                margin = margin
            ),
            (false, true) => say!(
                "Runs back when the line is slacked: it is short by {margin} of \"{says}\". Secure the load before the line is slacked.",
                says = says,
                margin = margin
            ),
            (false, false) => say!(
                "Runs back when the effort is let go: it is short by {margin} of \"{says}\". Secure the load before the effort is released.",
                says = says,
                margin = margin
            ),
        });
    }
    words.join(" ")
}

/// What a sketch sees of a machine at work.
struct View<'v> {
    setter: &'v Setter<'v>,
    instance: &'v Instance,
    choices: &'v [(String, String, String)],
}

impl View<'_> {
    fn figures(&self, name: &str) -> &[Figure] {
        value_of(&self.instance.members, name).map_or(&[], |id| self.setter.printed.of(id))
    }
}

impl Figures for View<'_> {
    fn value(&self, name: &str) -> Option<f64> {
        self.figures(name).first().map(|figure| figure.si)
    }
    fn item(&self, name: &str, index: usize) -> Option<f64> {
        self.figures(name).get(index.checked_sub(1)?).map(|figure| figure.si)
    }
    fn count(&self, name: &str) -> usize {
        self.figures(name).len()
    }
    fn choice(&self, name: &str) -> Option<&str> {
        self.choices.iter().find(|(option, ..)| option == name).map(|(_, _, choice)| choice.as_str())
    }
    // A drawing has no room for the doubt; it stands in the table beside it.
    fn printed(&self, name: &str) -> String {
        self.figures(name).first().map(|figure| crate::units::spaced(&figure.number, &figure.unit)).unwrap_or_default()
    }
    fn printed_item(&self, name: &str, index: usize) -> String {
        let figures = self.figures(name);
        index
            .checked_sub(1)
            .and_then(|at| figures.get(at))
            .map(|figure| crate::units::spaced(&figure.number, &figure.unit))
            .unwrap_or_default()
    }
}

/// The report of a train.
pub(super) fn train(outer: &Setter<'_>, at: usize, numbering: &mut Numbering) -> Option<TrainReport> {
    let train = outer.model.trains.get(at)?;
    let setter = Setter { inside: Some(Owner::Train(at)), ..*outer };
    let names: Vec<String> = train
        .instances
        .iter()
        .filter_map(|instance| outer.model.instances.get(*instance))
        .filter_map(|instance| outer.model.machines.get(instance.machine))
        .map(|machine| machine.name.clone())
        .collect();
    let stations: Vec<String> = std::iter::once(train.effort_label.clone()).chain(names).chain([train.load_label.clone()]).collect();
    let number = numbering.take();
    let relations = if setter.brief { Vec::new() } else { lines(&setter, &train.relations, number) };
    let (balance, balance_words) = if setter.brief { (Vec::new(), String::new()) } else { balance(&setter, train) };
    Some(TrainReport {
        anchor: anchor(&train.name),
        name: train.name.clone(),
        label: train.label.clone(),
        direction: word(train.state.direction().word()).into(),
        joints: joints(&setter, train, &stations),
        stations,
        summary: summary(&setter, &train.members),
        answers: if setter.brief {
            Vec::new()
        } else {
            answers::answers(&setter, train.state, value_of(&train.members, "effort"), &train.others)
        },
        sustains: match value_of(&train.members, "effort") {
            Some(effort) => answers::self_holding(&setter, &train.others, setter.model.entry(effort).quantity),
            None => String::new(),
        },
        balance,
        balance_words,
        relations,
    })
}

fn joints(setter: &Setter<'_>, train: &Train, stations: &[String]) -> Vec<Joint> {
    let mut joints = Vec::new();
    for (place, pair) in stations.windows(2).enumerate() {
        // Each joint is the effort of the machine on its load side; the last is the load itself.
        let machine = train.instances.get(place).and_then(|instance| setter.model.instances.get(*instance));
        // What passes the effort's end is put in when raising and taken out when the load comes down; at the load the other way.
        let raising = train.state.direction() == Direction::Raising;
        let (members, force, travel, work) = match machine {
            Some(instance) => (&instance.members, "effort", "effort_travel", if raising { "work_in" } else { "work_out" }),
            None => (&train.members, "load", "load_travel", if raising { "work_out" } else { "work_in" }),
        };
        let force_figure = first(setter, members, force);
        let travel_figure = first(setter, members, travel);
        let work = first(setter, members, work);
        if let [from, to] = pair {
            joints.push(Joint { from: from.clone(), to: to.clone(), force: force_figure, travel: travel_figure, work });
        }
    }
    joints
}

fn balance(setter: &Setter<'_>, train: &Train) -> (Vec<BalanceRow>, String) {
    let Some(put_in) = first(setter, &train.members, "work_in") else { return (Vec::new(), String::new()) };
    let share = |figure: &Option<Figure>| figure.as_ref().filter(|_| put_in.si > 0.0).map(|figure| figure.si / put_in.si);
    let mut rows = vec![BalanceRow { label: say!("work in").into(), work: Some(put_in.clone()), share: Some(1.0) }];
    for place in ["friction_work", "own_work"] {
        for instance in train.instances.iter().filter_map(|at| setter.model.instances.get(*at)) {
            let work = first(setter, &instance.members, place);
            if place == "own_work" && work.as_ref().is_none_or(|work| work.si == 0.0) {
                continue;
            }
            // By its name alone, as in the chain: which train it works in is plain here.
            let name = setter.model.machines.get(instance.machine).map_or(&instance.prefix, |machine| &machine.name);
            let label = match place {
                "friction_work" => say!("lost at the surfaces of {name}", name = name),
                _ => say!("done on the parts of {name}", name = name),
            };
            rows.push(BalanceRow { label, share: share(&work), work });
        }
    }
    let out = first(setter, &train.members, "work_out");
    rows.push(BalanceRow { label: say!("work out").into(), share: share(&out), work: out });
    let difference = first(setter, &train.members, "work_difference");
    let words = difference.as_ref().map(|difference| {
        // Rounding alone leaves a few parts in 10^15; anything an engineer could measure is shown as it is.
        let negligible = difference.si.abs() <= 1e-9 * put_in.si.abs();
        let shown = if negligible {
            say!("nothing (less than a thousand-millionth of the work in, {figure})", figure = put_in.text)
        } else {
            difference.text.clone()
        };
        say!(
            "Second calculation: work in, less work out, less what is lost at each surface reckoned from the forces there, leaves {shown}.",
            shown = shown
        )
    });
    rows.push(BalanceRow { label: say!("difference").into(), work: difference, share: None });
    (rows, words.unwrap_or_default())
}
