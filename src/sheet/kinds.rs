//! A kind as a report: what its text says, set for readers. Nothing is worked; a machine's own numbers stand with the
//! machine.

use crate::model::KindSource;
use crate::sheet::kind_parts::{ConditionRow, FieldRow, Formula, FormulaGroup, KindCaution, KindReport, OptionRow, PortsRow, Runs};
use crate::sheet::symbols::symbol;
use crate::sheet::tongues;
use crate::sheet::written::{broken, comparison, expression, guard, spaced};
use crate::source::{Extent, Sources};
use crate::syntax::ast::{Condition, Definition, Evidence, Field, Guard, KindItem, Port, Ports};
use crate::words::say;

/// Where the report of a kind stands on the page that has one.
pub(super) fn anchor(word: &str) -> String {
    format!("kind-{word}")
}

/// The report of the kind `written`.
pub(super) fn report(written: &KindSource, sources: &Sources) -> KindReport {
    let kind = &written.kind;
    let teller = Teller { text: sources.text_of(written.home), kind: &kind.name.text };
    let mut report = KindReport {
        anchor: anchor(&kind.name.text),
        name: kind.name.text.clone(),
        label: kind.label.as_ref().map(|label| label.text.clone()).unwrap_or_default(),
        is_load: false,
        ports: Vec::new(),
        fields: Vec::new(),
        options: Vec::new(),
        formulas: Vec::new(),
        limits: Vec::new(),
        questions: Vec::new(),
        sustains: Vec::new(),
        cautions: Vec::new(),
        sources: Vec::new(),
        sketch: None,
        free_body: None,
        sketch_of: String::new(),
    };
    for item in &kind.items {
        match item {
            KindItem::Field(written) => report.fields.push(field(written)),
            KindItem::Choice(choice) => report.options.push(OptionRow {
                name: spaced(&choice.name.text),
                label: choice.label.as_ref().map(|label| label.text.clone()).unwrap_or_default(),
                choices: choice.choices.iter().map(|words| words.text.clone()).collect(),
                default: choice.default.as_ref().map(|words| words.text.clone()).unwrap_or_default(),
            }),
            KindItem::Ports(written) => {
                report.is_load |= written.from.is_none();
                report.ports.push(teller.ports(written));
            }
            KindItem::Relation(definition) => teller.formula(definition, false, &mut report.formulas),
            KindItem::Node(definition) => teller.formula(definition, true, &mut report.formulas),
            KindItem::Limit(condition) => report.limits.push(teller.condition(condition, true)),
            KindItem::Question(condition) => report.questions.push(teller.condition(condition, true)),
            KindItem::Sustains(condition) => report.sustains.push(teller.condition(condition, false)),
            KindItem::Caution(caution) => report.cautions.push(KindCaution {
                text: caution.says.text.clone(),
                when: teller.when(caution.when.as_ref()),
                source: joined(&caution.evidence),
            }),
            // Its finding says what is wrong; the text of the kind, folded beneath the report, shows it.
            KindItem::Broken(_) => {}
        }
        for text in evidence(item).iter().flat_map(|one| one.text.text.split("; ")) {
            if is_published(text) && !report.sources.iter().any(|known| known == text) {
                report.sources.push(text.to_string());
            }
        }
    }
    report
}

fn evidence(item: &KindItem) -> &[Evidence] {
    match item {
        KindItem::Field(field) => &field.evidence,
        KindItem::Relation(definition) | KindItem::Node(definition) => &definition.evidence,
        KindItem::Limit(condition) | KindItem::Question(condition) | KindItem::Sustains(condition) => &condition.evidence,
        KindItem::Caution(caution) => &caution.evidence,
        KindItem::Choice(_) | KindItem::Ports(_) | KindItem::Broken(_) => &[],
    }
}

// A publication is called by its name; a reason such as "derived here" or "W + P is the most" is not.
fn is_published(text: &str) -> bool {
    let mut letters = text.chars();
    match (letters.next(), letters.next()) {
        (Some(first), Some(second)) => first.is_ascii_digit() || (first.is_uppercase() && second.is_alphanumeric()),
        _ => false,
    }
}

fn joined(evidence: &[Evidence]) -> String {
    evidence.iter().map(|one| one.text.text.as_str()).collect::<Vec<_>>().join("; ")
}

fn field(written: &Field) -> FieldRow {
    FieldRow {
        name: spaced(&written.name.text),
        symbol: symbol(&written.name.text, Vec::new()),
        label: written.label.as_ref().map(|label| label.text.clone()).unwrap_or_default(),
        quantity: quantity(&written.quantity.text),
        each: written.each.as_ref().map(expression),
        required: !written.optional && written.default.is_none(),
        default: written.default.as_ref().map(expression),
        source: joined(&written.evidence),
    }
}

// What something is a quantity of, in the language of the page.
fn quantity(named: &str) -> String {
    let word = match named {
        "force" => say!("force"),
        "mass" => say!("mass"),
        "length" => say!("length"),
        "angle" => say!("angle"),
        "slope" => say!("slope"),
        "ratio" => say!("ratio¦of numbers"),
        "count" => say!("count"),
        "torque" => say!("torque"),
        "energy" => say!("energy"),
        "power" => say!("power"),
        "pressure" => say!("pressure"),
        "area" => say!("area"),
        "volume" => say!("volume"),
        "time" => say!("time"),
        "speed" => say!("speed"),
        "acceleration" => say!("acceleration"),
        "stiffness" => say!("stiffness"),
        "temperature" => say!("temperature"),
        "density" => say!("density"),
        "linear_density" => say!("linear_density"),
        "rotation" => say!("rotation"),
        other => other,
    };
    word.to_string()
}

/// Reads the lines of one kind against its text.
struct Teller<'t> {
    text: &'t str,
    /// Its word.
    kind: &'t str,
}

impl Teller<'_> {
    fn when(&self, written: Option<&Guard>) -> String {
        let slice = |at: Extent| self.text.get(at.range()).unwrap_or("").to_string();
        let named = |name: &str| tongues::named(self.kind, name);
        written.map(|written| guard(written, &|comparison| slice(comparison.at), &named)).unwrap_or_default()
    }

    fn ports(&self, written: &Ports) -> PortsRow {
        let end = |port: &Port| {
            let name = tongues::named(self.kind, &spaced(&port.name.text));
            say!("{name} (a {quantity})", name = name, quantity = quantity(&port.quantity.text))
        };
        let text = match &written.from {
            Some(from) => say!("from {from} to {to}", from = end(from), to = end(&written.to)),
            None => say!("gives {what}", what = end(&written.to)),
        };
        PortsRow { text, when: self.when(written.when.as_ref()) }
    }

    fn formula(&self, definition: &Definition, node: bool, groups: &mut Vec<FormulaGroup>) {
        let index: Vec<_> = definition.running.iter().map(|running| symbol(&running.index.text, Vec::new())).collect();
        let formula = Formula {
            label: definition.label.as_ref().map(|label| label.text.clone()).unwrap_or_default(),
            formula: expression(&definition.value),
            runs: definition.running.as_ref().map(|running| Runs {
                index: symbol(&running.index.text, Vec::new()),
                from: expression(&running.from),
                to: expression(&running.to),
            }),
            when: self.when(definition.when.as_ref()),
            reference: joined(&definition.evidence),
        };
        let name = &definition.name.text;
        match groups.iter_mut().find(|group| group.name == *name) {
            Some(group) => group.alternatives.push(formula),
            None => groups.push(FormulaGroup { name: name.clone(), symbol: symbol(name, index), node, alternatives: vec![formula] }),
        }
    }

    fn condition(&self, condition: &Condition, turned: bool) -> ConditionRow {
        ConditionRow {
            case: if turned { broken(&condition.comparison) } else { comparison(&condition.comparison) },
            says: condition.says.text.clone(),
            when: self.when(condition.when.as_ref()),
            reference: joined(&condition.evidence),
        }
    }
}
