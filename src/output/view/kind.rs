//! A kind of machine as the templates print it: its settings, formulas and limits.

use crate::output::linear::linear;
use crate::output::markup::Shared;
use crate::output::mathml::{equals, mathml};
use crate::output::templates::render;
use crate::output::view::pieces::Sketch;
use crate::sheet::parts::{ConditionRow, FieldRow, Formula, FormulaGroup, KindCaution, KindReport, Math, OptionRow, PortsRow};
use crate::words::say;
use serde::Serialize;

/// Characters of its one-line text that the column of the working holds, fractions and the like allowed for.
const LONG: usize = 90;

/// A kind with its text as written, at the end of the page so far.
///
/// # Errors
/// The reason when the template fails.
pub(in crate::output) fn kind<'a>(
    report: &'a KindReport,
    source: &'a str,
    shared: &mut Shared<'a>,
    out: &mut String,
) -> Result<(), String> {
    out.push_str(&render("kind.html", &Whole { level: shared.level, below: shared.below(), kind: Kind::new(report, source, shared) })?);
    Ok(())
}

#[derive(Debug, Serialize)]
struct Whole<'a> {
    level: usize,
    below: usize,
    kind: Kind<'a>,
}

#[derive(Debug, Serialize)]
struct Kind<'a> {
    id: &'a str,
    name: &'a str,
    label: &'a str,
    is_load: bool,
    ports: &'a [PortsRow],
    sketch: Option<Sketch<'a>>,
    free_body: Option<Sketch<'a>>,
    sketch_of: &'a str,
    fields: Vec<Field<'a>>,
    options: &'a [OptionRow],
    formulas: Vec<Group<'a>>,
    conditions: Vec<Conditions<'a>>,
    cautions: &'a [KindCaution],
    sources: &'a [String],
    source: &'a str,
}

#[derive(Debug, Serialize)]
struct Field<'a> {
    name: &'a str,
    symbol_html: String,
    label: &'a str,
    quantity: &'a str,
    each_html: String,
    required: bool,
    default_html: String,
    source: &'a str,
}

/// The formulas of one name, the label and the reference printed only where they are not those of the line above.
#[derive(Debug, Serialize)]
struct Group<'a> {
    symbol_html: String,
    node: bool,
    alternatives: Vec<Alternative<'a>>,
}

#[derive(Debug, Serialize)]
struct Alternative<'a> {
    label: &'a str,
    formula_html: String,
    /// Whether it is too long for its column and cannot be broken, so that it runs on across the margin.
    across: bool,
    first_html: String,
    last_html: String,
    when: &'a str,
    reference: &'a str,
}

/// Conditions of one sort under their heading.
#[derive(Debug, Serialize)]
struct Conditions<'a> {
    heading: &'static str,
    remark: &'static str,
    rows: Vec<Condition<'a>>,
}

#[derive(Debug, Serialize)]
struct Condition<'a> {
    case_html: String,
    says: &'a str,
    when: &'a str,
    reference: &'a str,
}

impl<'a> Kind<'a> {
    fn new(report: &'a KindReport, source: &'a str, shared: &mut Shared<'a>) -> Self {
        let id = shared.claim(&report.anchor);
        let sketch = report.sketch.as_ref().filter(|_| !id.is_empty());
        let sorts = [
            (say!("Refused when"), "", &report.limits),
            (say!("Asked about when"), "", &report.questions),
            (
                say!("Holds its load by itself when"),
                say!("The margin is printed with the machine; nothing is certified."),
                &report.sustains,
            ),
        ];
        Kind {
            sketch: sketch.map(|part| Sketch::new(part, id)),
            free_body: report
                .free_body
                .as_ref()
                .filter(|_| !id.is_empty())
                .map(|part| Sketch::marked(&part.sketch, &format!("sheet.free-body.{id}"))),
            id,
            name: &report.name,
            label: &report.label,
            is_load: report.is_load,
            ports: &report.ports,
            sketch_of: &report.sketch_of,
            fields: report.fields.iter().map(field).collect(),
            options: &report.options,
            formulas: report.formulas.iter().map(group).collect(),
            conditions: sorts
                .into_iter()
                .filter(|(_, _, rows)| !rows.is_empty())
                .map(|(heading, remark, rows)| Conditions { heading, remark, rows: rows.iter().map(condition).collect() })
                .collect(),
            cautions: &report.cautions,
            sources: &report.sources,
            source,
        }
    }
}

fn field(row: &FieldRow) -> Field<'_> {
    let set = |math: &Option<_>| math.as_ref().map_or(String::new(), |math| mathml(math, false));
    Field {
        name: &row.name,
        symbol_html: mathml(&row.symbol, false),
        label: &row.label,
        quantity: &row.quantity,
        each_html: set(&row.each),
        required: row.required,
        default_html: set(&row.default),
        source: &row.source,
    }
}

fn group(group: &FormulaGroup) -> Group<'_> {
    let mut before: Option<&Formula> = None;
    let mut alternatives = Vec::new();
    for formula in &group.alternatives {
        let fresh = |text: fn(&Formula) -> &str| before.is_none_or(|before| text(before) != text(formula));
        let formula_html = equals(&formula.formula);
        alternatives.push(Alternative {
            label: if fresh(|formula| &formula.label) { &formula.label } else { "" },
            across: linear(&formula.formula).chars().count() > LONG && !formula_html.contains("<span class=long"),
            formula_html,
            first_html: formula.runs.as_ref().map_or(String::new(), |runs| {
                let first = Math::Infix { operator: "=".into(), left: Box::new(runs.index.clone()), right: Box::new(runs.from.clone()) };
                mathml(&first, false)
            }),
            last_html: formula.runs.as_ref().map_or(String::new(), |runs| mathml(&runs.to, false)),
            when: &formula.when,
            reference: if fresh(|formula| &formula.reference) { &formula.reference } else { "" },
        });
        before = Some(formula);
    }
    Group { symbol_html: mathml(&group.symbol, false), node: group.node, alternatives }
}

fn condition(row: &ConditionRow) -> Condition<'_> {
    Condition { case_html: mathml(&row.case, false), says: &row.says, when: &row.when, reference: &row.reference }
}
