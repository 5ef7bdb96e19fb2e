//! Machines and trains as the templates print them, and the bar that cuts the work put in into what became of it.

use crate::output::svg::svg;
use crate::output::view::check::percent;
use crate::output::view::line::{Input, Line, Quantity, Shared, ticked_names};
use crate::sheet::parts::{BalanceRow, Cell, EffortAnswer, Joint, MachineReport, SketchPart, SummaryRow, TrainReport};
use serde::Serialize;

/// A machine.
#[derive(Debug, Serialize)]
pub(super) struct Machine<'a> {
    id: String,
    name: &'a str,
    label: &'a str,
    kind: &'a str,
    kind_label: &'a str,
    kind_href: String,
    /// The document that describes the kind, where it is another one.
    kind_path: &'a str,
    direction: &'a str,
    friction_state: &'a str,
    train: &'a str,
    sketch: Option<Sketch<'a>>,
    free_body: Option<Sketch<'a>>,
    choices: &'a [Cell],
    settings: Vec<Input<'a>>,
    summary: Vec<Row<'a>>,
    nodes: Vec<Line<'a>>,
    relations: Vec<Line<'a>>,
    answers: Vec<Answer<'a>>,
    sustains_html: String,
}

/// A drawing with its words.
#[derive(Debug, Serialize)]
pub(super) struct Sketch<'a> {
    pub title: &'a str,
    pub description: &'a str,
    /// The id that the drawing names for its description.
    pub words: String,
    pub svg_html: String,
}

impl<'a> Sketch<'a> {
    /// The drawing of a part of the page whose id is `id`.
    pub fn new(part: &'a SketchPart, id: &str) -> Self {
        Self::marked(part, &format!("sheet.drawing.{id}"))
    }

    /// The drawing, with ids that begin with `mark`.
    pub fn marked(part: &'a SketchPart, mark: &str) -> Self {
        let svg_html = svg(&part.drawing, mark);
        Sketch { title: &part.title, description: &part.description, words: format!("{mark}.words"), svg_html }
    }
}

#[derive(Debug, Serialize)]
struct Row<'a> {
    quantity: &'a str,
    ideal: Option<Quantity<'a>>,
    actual: Option<Quantity<'a>>,
    anchor: &'a str,
}

impl<'a> Machine<'a> {
    pub fn new(report: &'a MachineReport, shared: &mut Shared<'a>) -> Self {
        let id = shared.claim(&report.anchor);
        // A machine is printed once; a second print of it would repeat the ids inside its drawing.
        let sketch = report.sketch.as_ref().filter(|_| !id.is_empty());
        Machine {
            sketch: sketch.map(|part| Sketch::new(part, &id)),
            free_body: report
                .free_body
                .as_ref()
                .filter(|_| !id.is_empty())
                .map(|part| Sketch::marked(&part.sketch, &format!("sheet.free-body.{id}"))),
            id,
            name: &report.name,
            label: &report.label,
            kind: &report.kind,
            // A kind whose label is its own word is named once.
            kind_label: if report.kind_label == report.kind { "" } else { &report.kind_label },
            kind_href: shared.kind(&report.kind, &report.kind_path),
            kind_path: if report.kind_path == shared.path { "" } else { &report.kind_path },
            direction: &report.direction,
            friction_state: &report.friction_state,
            train: &report.train,
            choices: &report.choices,
            settings: Input::all(&report.settings, shared),
            summary: rows(&report.summary, shared),
            nodes: Line::all(&report.nodes, shared),
            relations: Line::all(&report.relations, shared),
            answers: Answer::all(&report.answers),
            sustains_html: ticked_names(&report.sustains),
        }
    }
}

fn rows<'a>(rows: &'a [SummaryRow], shared: &Shared<'_>) -> Vec<Row<'a>> {
    rows.iter()
        .map(|row| Row {
            quantity: &row.quantity,
            ideal: Quantity::maybe(&row.ideal),
            actual: Quantity::maybe(&row.actual),
            anchor: shared.link(&row.anchor),
        })
        .collect()
}

/// What effort something takes, with the names in it set as names.
#[derive(Debug, Serialize)]
struct Answer<'a> {
    question: &'a str,
    answer_html: String,
}

impl<'a> Answer<'a> {
    fn all(answers: &'a [EffortAnswer]) -> Vec<Self> {
        let set = |answer: &'a EffortAnswer| Answer { question: &answer.question, answer_html: ticked_names(&answer.answer) };
        answers.iter().map(set).collect()
    }
}

/// A train.
#[derive(Debug, Serialize)]
pub(super) struct Train<'a> {
    id: String,
    name: &'a str,
    label: &'a str,
    direction: &'a str,
    /// Whether the chain has too many stations to stand in one row.
    long: bool,
    chain: Vec<Station<'a>>,
    summary: Vec<Row<'a>>,
    /// Id of the hatching in its work bar.
    hatch: String,
    pieces: Vec<Piece>,
    balance: Vec<Balance<'a>>,
    balance_words: &'a str,
    answers: Vec<Answer<'a>>,
    sustains_html: String,
    relations: Vec<Line<'a>>,
}

/// A station and the joint that leads on from it towards the load.
#[derive(Debug, Serialize)]
struct Station<'a> {
    name: String,
    joint: Option<Passing<'a>>,
}

#[derive(Debug, Serialize)]
struct Passing<'a> {
    force: Option<Quantity<'a>>,
    travel: Option<Quantity<'a>>,
    work: Option<Quantity<'a>>,
}

/// A piece of the work bar.
#[derive(Debug, Serialize)]
struct Piece {
    key: usize,
    start: String,
    width: String,
    middle: String,
    loss: bool,
    /// Whether its key finds room inside it.
    roomy: bool,
}

#[derive(Debug, Serialize)]
struct Balance<'a> {
    key: Option<usize>,
    label: String,
    work: Option<Quantity<'a>>,
    loss: bool,
}

/// Stations that stand side by side on the widest page.
const ABREAST: usize = 5;

impl<'a> Train<'a> {
    pub fn new(report: &'a TrainReport, shared: &mut Shared<'a>) -> Self {
        let last = report.stations.len().saturating_sub(1);
        let chain = report.stations.iter().enumerate().map(|(place, name)| Station {
            name: name.replace('_', " "),
            joint: if place < last { Some(report.joints.get(place).map_or(Passing::none(), Passing::new)) } else { None },
        });
        let (pieces, balance) = balance(&report.balance);
        shared.trains += 1;
        Train {
            hatch: format!("sheet.hatch-{}", shared.trains),
            id: shared.claim(&report.anchor),
            name: &report.name,
            label: &report.label,
            direction: &report.direction,
            long: report.stations.len() > ABREAST,
            chain: chain.collect(),
            summary: rows(&report.summary, shared),
            pieces,
            balance,
            balance_words: &report.balance_words,
            answers: Answer::all(&report.answers),
            sustains_html: ticked_names(&report.sustains),
            relations: Line::all(&report.relations, shared),
        }
    }
}

impl<'a> Passing<'a> {
    fn none() -> Self {
        Passing { force: None, travel: None, work: None }
    }

    fn new(joint: &'a Joint) -> Self {
        Passing { force: Quantity::maybe(&joint.force), travel: Quantity::maybe(&joint.travel), work: Quantity::maybe(&joint.work) }
    }
}

/// The pieces of the bar, and the rows beneath it with the keys of their pieces. The whole itself is no piece.
fn balance(rows: &[BalanceRow]) -> (Vec<Piece>, Vec<Balance<'_>>) {
    let (mut pieces, mut table) = (Vec::new(), Vec::new());
    let mut start = 0.0;
    for row in rows {
        let whole = row.label.eq_ignore_ascii_case("work in");
        let loss = row.label.to_ascii_lowercase().starts_with("lost");
        let share = row.share.filter(|share| !whole && share.is_finite() && *share >= 0.0);
        let key = share.map(|share| {
            let share = share.min(1.0 - start);
            let key = pieces.len() + 1;
            pieces.push(Piece {
                key,
                start: percent(start),
                width: percent(share),
                middle: percent(start + share / 2.0),
                loss,
                roomy: share > 0.05,
            });
            start += share;
            key
        });
        table.push(Balance { key, label: row.label.replace('_', " "), work: Quantity::maybe(&row.work), loss });
    }
    (pieces, table)
}

#[cfg(test)]
mod tests {
    use super::balance;
    use crate::output::fixture::fullest;

    #[test]
    fn the_pieces_of_the_work_bar_lie_end_to_end() {
        let sheet = fullest();
        let report = sheet.trains.first().expect("a train");
        let (pieces, table) = balance(&report.balance);
        assert_eq!(table.len(), report.balance.len());
        let read = |text: &str| text.trim_end_matches('%').parse::<f64>().expect("a percentage");
        let mut end = 0.0;
        for piece in &pieces {
            assert!((read(&piece.start) - end).abs() < 0.02, "{} is not at {end}", piece.start);
            end = read(&piece.start) + read(&piece.width);
        }
        assert!((end - 100.0).abs() < 0.1, "the bar ends at {end}");
        assert!(pieces.iter().filter(|piece| piece.loss).count() >= 2);
    }
}
