//! Draws as reported: each result beside its first-order value, and a histogram with both intervals.

use crate::kinds::sketching::{Anchor, Drawing, Ink, Point, Shape, Weight};
use crate::measure::GENERATOR;
use crate::measure::Measured;
use crate::model::studies::Shown;
use crate::model::tree::TreeForm;
use crate::program::draws::{Drawn, Propagated};
use crate::sheet::build::Work;
use crate::sheet::figures;
use crate::sheet::parts::{Figure, PropagationBin, PropagationReport, PropagationResult, PropagationRow, SketchPart};
use crate::sheet::symbols::anchor;
use crate::sheet::working::Setter;
use crate::units::Unit;
use crate::words::say;

/// Bars of a histogram.
const BARS: usize = 40;

/// The report of the statement at that place of the model; none when it could not be worked.
pub(super) fn report(setter: &Setter<'_>, work: &Work<'_>, at: usize, number: usize) -> Option<PropagationReport> {
    let stated = setter.model.propagations.get(at)?;
    let found = work.draws.get(at)?.as_ref()?;
    let level = format!("{}\u{a0}%", short(100.0 * stated.level));
    let whole = |number: usize| crate::units::places(number as f64, 0);
    let how = say!(
        "{count} draws{until}, generator {generator}, seed {seed}; {kind} interval of {level}; {digits} of the uncertainty meant.",
        count = whole(found.draws),
        until = if found.adaptive && found.steady { say!(", until the results were steady (JCGM 101:2008, 7.9)") } else { "" },
        generator = GENERATOR,
        seed = stated.seed,
        kind = if stated.shortest { say!("shortest") } else { say!("symmetric") },
        level = level,
        digits = if stated.digits == 1 { say!("1 digit") } else { say!("2 digits") },
    );
    let results: Vec<PropagationResult> =
        stated.results.iter().zip(&found.results).map(|(shown, drawn)| result(setter, work, shown, drawn.as_ref(), &level)).collect();
    let names: Vec<&str> = results.iter().map(|result| result.title.as_str()).collect();
    Some(PropagationReport {
        number: format!("P{number}"),
        anchor: anchor(&format!("draws-{number}")),
        caption: say!("Distribution of {names}", names = names.join(say!(" and of "))),
        draws: found.draws,
        kept: found.kept,
        generator: GENERATOR.into(),
        seed: stated.seed,
        how,
        remarks: remarks(found),
        results,
    })
}

fn remarks(found: &Propagated) -> Vec<String> {
    let mut remarks: Vec<String> = found
        .left_out
        .iter()
        .map(|(count, reason)| {
            let count = crate::units::places(*count as f64, 0);
            say!("Left out, {count} draws: {reason}. What is printed holds for the others.", count = count, reason = reason)
        })
        .collect();
    let listed = |names: &[String]| names.join(", ");
    if !found.together.is_empty() {
        remarks.push(say!(
            "Drawn together as normal distributions with the correlations stated (JCGM 101:2008, 6.4.8): {names}.",
            names = listed(&found.together)
        ));
    }
    if !found.reshaped.is_empty() {
        remarks.push(say!(
            "A correlation does not say how other shapes go together; what is stated of the shape or the degrees of freedom of {names} is not used here.",
            names = listed(&found.reshaped)
        ));
    }
    if found.fitted {
        remarks.push(say!("A line with errors in both keeps in every draw the weights that were found for it on the sheet.").into());
    }
    if !found.steady {
        remarks.push(say!("The draws ended before every result was steady to the digits that are meant.").into());
    }
    let wide = found.results.iter().flatten().any(|drawn| drawn.uncertainty.is_none());
    if wide {
        remarks.push(
            say!("Student's t with two degrees of freedom or fewer has no standard deviation, and with one no mean; its interval stands.")
                .into(),
        );
    }
    remarks
}

fn short(number: f64) -> String {
    let text = crate::units::significant(number, 6);
    if text.contains(['.', ',']) { text.trim_end_matches('0').trim_end_matches('.').to_string() } else { text }
}

fn result(setter: &Setter<'_>, work: &Work<'_>, shown: &Shown, drawn: Option<&Drawn>, level: &str) -> PropagationResult {
    let text = work.sources.text_of(shown.value.span.home);
    let written = text.get(shown.value.span.start as usize..shown.value.span.end as usize).unwrap_or("").to_string();
    let label = match &shown.value.form {
        TreeForm::Entry(id) if shown.label.is_empty() => setter.model.entry(*id).label.clone(),
        _ => shown.label.clone(),
    };
    let title = if label.is_empty() { written.clone() } else { label };
    let mut told = PropagationResult {
        title: title.clone(),
        name: written,
        symbol: setter.formula(&shown.value),
        level: level.into(),
        rows: Vec::new(),
        tolerance: None,
        confirmed: None,
        verdict: say!("No doubt is left in it, so there is nothing to draw.").into(),
        plot: None,
        bins: Vec::new(),
    };
    let Some(drawn) = drawn else { return told };
    let print = Print::new(setter, shown, drawn);
    let (low, high) = drawn.first.interval();
    let row = |from: &str, value: Option<f64>, standard: Option<f64>, ends: (f64, f64)| PropagationRow {
        from: from.into(),
        value: value.map(|value| print.value(value)),
        standard: standard.map(|standard| print.size(standard, 0)),
        low: Some(print.value(ends.0)),
        high: Some(print.value(ends.1)),
    };
    told.rows.push(row(say!("draws"), drawn.mean, drawn.uncertainty, drawn.interval));
    told.rows.push(row(say!("first order"), Some(drawn.first.value), Some(drawn.first.uncertainty), (low, high)));
    told.rows.push(PropagationRow {
        from: say!("ends apart").into(),
        value: None,
        standard: None,
        low: Some(print.size(drawn.apart.0, 1)),
        high: Some(print.size(drawn.apart.1, 1)),
    });
    told.tolerance = Some(print.size(drawn.tolerance, 1));
    told.confirmed = Some(drawn.confirmed);
    let tolerance = print.size(drawn.tolerance, 1).text.clone();
    let ends = say!("{low} to {top}", low = print.value(drawn.interval.0).text, top = print.value(drawn.interval.1).text);
    told.verdict = if drawn.confirmed {
        say!(
            "The first-order interval is confirmed: neither end is off by more than {tolerance} (JCGM 101:2008, 8).",
            tolerance = tolerance
        )
    } else {
        say!(
            "The first-order interval is not confirmed: an end is off by more than {tolerance} (JCGM 101:2008, 8). Use {ends} instead.",
            tolerance = tolerance,
            ends = ends
        )
    };
    if drawn.close {
        told.verdict.push_str(say!(" The verdict hangs on the scatter of the draws; another seed may give the other."));
    }
    if !setter.brief {
        histogram(&mut told, drawn, &print, &title);
    }
    told
}

// One unit and one last place for all that is printed of a result.
struct Print<'p> {
    quantity: crate::model::quantity::Quantity,
    unit: Option<Unit>,
    scale: f64,
    // The last place in that unit, and decimals that show it.
    step: f64,
    shown: &'p Shown,
}

impl<'p> Print<'p> {
    fn new(setter: &Setter<'_>, shown: &'p Shown, drawn: &Drawn) -> Self {
        let quantity = shown.value.quantity;
        let greatest = drawn.interval.0.abs().max(drawn.interval.1.abs());
        let sample = figures::figure_in(Measured::exact(greatest), quantity, shown.shown_in.as_ref(), shown.asked, setter.style);
        let unit = match &shown.shown_in {
            Some(unit) if unit.symbol == sample.unit => Some(unit.clone()),
            _ => crate::units::for_reader(greatest, quantity.dimension, quantity.nature, setter.style.us_customary),
        };
        let scale = unit.as_ref().map_or(1.0, |unit| unit.scale);
        // The tolerance is half a unit of the last digit meant.
        Print { quantity, unit, scale, step: 2.0 * drawn.tolerance / scale, shown }
    }

    fn decimals(&self, more: usize) -> usize {
        let places = if self.step > 0.0 { libm::ceil(-libm::log10(self.step) - 1e-9).max(0.0) as usize } else { 4 };
        places + more
    }

    fn value(&self, si: f64) -> Figure {
        self.stepped(figures::placed(si, self.quantity, self.unit.as_ref(), self.decimals(0)))
    }

    // A size has no zero of a scale taken off.
    fn size(&self, si: f64, more: usize) -> Figure {
        let quantity = self.quantity.minus(self.quantity).unwrap_or(self.quantity);
        let figure = figures::placed(si, quantity, self.unit.as_ref(), self.decimals(more));
        if more == 0 { self.stepped(figure) } else { figure }
    }

    // To the last digit that is meant, where that stands before the point.
    fn stepped(&self, mut figure: Figure) -> Figure {
        if self.step > 1.0 {
            let rounded = libm::round(figure.value / self.step) * self.step;
            figure.number = crate::units::places(rounded, 0);
            figure.text = crate::units::spaced(&figure.number, &figure.unit);
        }
        figure
    }

    fn along(&self) -> String {
        let name = if self.shown.label.is_empty() { "" } else { self.shown.label.as_str() };
        let unit = self.unit.as_ref().map_or("", |unit| unit.symbol.as_str());
        if name.is_empty() { unit.into() } else { format!("{name}, {unit}") }
    }
}

// Bars over the bulk of the draws, both intervals below them, and the normal curve of the first-order result.
fn histogram(told: &mut PropagationResult, drawn: &Drawn, print: &Print<'_>, title: &str) {
    const LEFT: f64 = 30.0;
    const RIGHT: f64 = 610.0;
    const HEAD: f64 = 20.0;
    const FOOT: f64 = 230.0;
    let count = drawn.sorted.len();
    let at = |share: f64| drawn.sorted.get(((count as f64 * share) as usize).min(count.saturating_sub(1))).copied().unwrap_or(0.0);
    let (first_low, first_high) = drawn.first.interval();
    let low = at(0.001).min(drawn.interval.0).min(first_low);
    let high = at(0.999).max(drawn.interval.1).max(first_high);
    let width = (high - low) / BARS as f64;
    if !(width > 0.0 && width.is_finite()) {
        return;
    }
    let edges: Vec<f64> = (0..=BARS).map(|bar| low + width * bar as f64).collect();
    let below: Vec<usize> = edges.iter().map(|edge| drawn.sorted.partition_point(|draw| draw < edge)).collect();
    let counts: Vec<usize> = below.iter().zip(below.iter().skip(1)).map(|(from, to)| to - from).collect();
    let fine = Print { step: print.step.min(width / print.scale / 5.0), unit: print.unit.clone(), ..*print };
    for ((from, to), number) in edges.iter().zip(edges.iter().skip(1)).zip(&counts) {
        told.bins.push(PropagationBin { low: fine.value(*from), high: fine.value(*to), count: *number });
    }
    let sigma = drawn.first.uncertainty;
    let curve = |x: f64| {
        let z = (x - drawn.first.value) / sigma;
        count as f64 * width / (sigma * libm::sqrt(2.0 * core::f64::consts::PI)) * libm::exp(-0.5 * z * z)
    };
    let most = counts.iter().copied().max().unwrap_or(1).max(1) as f64;
    let most = if sigma > 0.0 { most.max(curve(drawn.first.value).min(2.0 * most)) } else { most };
    let across = |x: f64| LEFT + (x - low) / (high - low) * (RIGHT - LEFT);
    let up = |number: f64| FOOT - (number / most).min(1.0) * (FOOT - HEAD);
    let point = |x: f64, y: f64| Point { x, y };
    let line = |points: Vec<Point>, weight, ink, dashed| Shape::Path { points, closed: false, filled: false, weight, ink, dashed };
    let mut outline = vec![point(LEFT, FOOT)];
    for ((from, to), number) in edges.iter().zip(edges.iter().skip(1)).zip(&counts) {
        outline.extend([point(across(*from), up(*number as f64)), point(across(*to), up(*number as f64))]);
    }
    outline.push(point(RIGHT, FOOT));
    let mut shapes = vec![
        line(outline, Weight::Medium, Ink::Body, false),
        line(vec![point(LEFT, FOOT), point(RIGHT, FOOT)], Weight::Medium, Ink::Body, false),
    ];
    if sigma > 0.0 {
        let bend = (0..=120).map(|at| low + (high - low) * f64::from(at) / 120.0).map(|x| point(across(x), up(curve(x))));
        shapes.push(line(bend.collect(), Weight::Light, Ink::Construction, true));
    }
    let middle = (LEFT + RIGHT) / 2.0;
    let rows = [(FOOT + 24.0, say!("draws"), drawn.interval, false), (FOOT + 52.0, say!("first order"), (first_low, first_high), true)];
    for (y, name, (from, to), dashed) in rows {
        let ink = if dashed { Ink::Construction } else { Ink::Body };
        shapes.push(line(vec![point(across(from), y), point(across(to), y)], Weight::Medium, ink, dashed));
        for end in [from, to] {
            shapes.push(line(vec![point(across(end), HEAD), point(across(end), y + 4.0)], Weight::Light, ink, dashed));
        }
        let says = say!("{name}: {low} to {top}", name = name, low = print.value(from).number, top = print.value(to).number);
        shapes.push(Shape::Label { at: point(middle, y + 16.0), text: says, anchor: Anchor::Middle, symbol: false, ink });
    }
    shapes.push(Shape::Label { at: point(RIGHT, FOOT + 90.0), text: print.along(), anchor: Anchor::End, symbol: false, ink: Ink::Body });
    let name = say!("Histogram of {title}", title = title);
    let description = say!(
        "{count} draws. Full lines: the interval of the draws; broken lines: the first-order interval, with its normal curve. {verdict}",
        count = crate::units::places(count as f64, 0),
        verdict = told.verdict
    );
    let drawing =
        Drawing { width: 640.0, height: FOOT + 100.0, shapes, title: name.clone(), description: description.clone(), newtons: None };
    told.plot = Some(SketchPart { title: name, description, drawing });
}
