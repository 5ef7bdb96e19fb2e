//! The correlations stated between inputs, checked and turned into shares of independent doubts.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::measuring::{CorrelationImpossible, CorrelationRange};
use crate::measure::{Joint, bounds_of_last, triangle};
use crate::model::Model;
use crate::model::tree::EntryId;
use crate::program::lower::Program;
use std::collections::BTreeSet;

/// What the correlations of a sheet come to.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Together {
    /// Which sources go together.
    pub(super) joint: Joint,
    /// The coefficient of each correlation stated, in their order; no number where it could not be worked.
    pub(super) coefficients: Vec<f64>,
    /// Inputs whose correlations cannot be true.
    pub(super) broken: BTreeSet<usize>,
}

/// Checks the correlations of `model`; `sources` holds the standard uncertainty of every source of doubt.
pub(super) fn together(program: &Program, model: &Model, values: &[f64], sources: &[f64], sink: &mut Sink) -> Together {
    let mut made = Together::default();
    let mut pairs: Vec<(usize, usize, f64, usize)> = Vec::new();
    for (at, (stated, place)) in model.correlations.iter().zip(&program.correlations).enumerate() {
        let r = place.and_then(|place| values.get(place)).copied().unwrap_or(f64::NAN);
        made.coefficients.push(r);
        if (-1.0..=1.0).contains(&r) {
            pairs.push((stated.first.0, stated.second.0, r, at));
            continue;
        }
        let found = if r.is_finite() { crate::units::significant(r, 3) } else { "no number".into() };
        sink.push(stated.value.span, &CorrelationRange { found });
        made.broken.extend([stated.first.0, stated.second.0]);
    }
    let mut left: BTreeSet<usize> = pairs.iter().flat_map(|(a, b, ..)| [*a, *b]).collect();
    while let Some(first) = left.pop_first() {
        let mut group = vec![first];
        let mut seen = 0;
        while let Some(input) = group.get(seen).copied() {
            seen += 1;
            for (a, b, ..) in &pairs {
                let other = if *a == input { *b } else { *a };
                if (*a == input || *b == input) && left.remove(&other) {
                    group.push(other);
                }
            }
        }
        group.sort_unstable();
        let matrix = matrix(&group, &pairs);
        match triangle(&matrix) {
            Ok(rows) => {
                let inputs: Vec<(usize, Vec<(usize, f64)>)> = group.iter().map(|input| (*input, own(program, *input, sources))).collect();
                let within = pairs.iter().filter(|(a, _, r, _)| group.contains(a) && *r != 0.0).map(|(a, b, ..)| (*a, *b));
                made.joint.add(&rows, &inputs, within);
            }
            Err(row) => {
                made.broken.extend(&group);
                impossible(model, &group, row, &pairs, sink);
            }
        }
    }
    made
}

fn matrix(group: &[usize], pairs: &[(usize, usize, f64, usize)]) -> Vec<Vec<f64>> {
    let between = |a: usize, b: usize| {
        let found = pairs.iter().find(|(first, second, ..)| (*first, *second) == (a, b) || (*first, *second) == (b, a));
        if a == b { 1.0 } else { found.map_or(0.0, |(_, _, r, _)| *r) }
    };
    group.iter().map(|a| group.iter().map(|b| between(*a, *b)).collect()).collect()
}

// The sources of the doubts stated with an input, with their standard uncertainties.
fn own(program: &Program, input: usize, sources: &[f64]) -> Vec<(usize, f64)> {
    let of_input = program.sources.iter().enumerate().filter(|(_, source)| source.entry == input);
    of_input.filter_map(|(at, _)| Some((at, *sources.get(at)?))).collect()
}

// Told at the last correlation stated that brings the trouble, with what it could be beside the others.
fn impossible(model: &Model, group: &[usize], row: usize, pairs: &[(usize, usize, f64, usize)], sink: &mut Sink) {
    let Some(above) = group.get(..=row) else { return };
    let last = pairs.iter().filter(|(a, b, ..)| above.contains(a) && above.contains(b)).max_by_key(|(.., at)| *at);
    let Some((a, b, r, at)) = last else { return };
    let mut order: Vec<usize> = above.iter().copied().filter(|input| input != a && input != b).collect();
    order.extend([*a, *b]);
    let short = |r: f64| crate::units::significant(r, 3);
    let bounds = bounds_of_last(&matrix(&order, pairs)).map(|(low, high)| (short(low), short(high)));
    let inputs = above.iter().map(|input| model.entry(EntryId(*input)).name.clone()).collect();
    if let Some(stated) = model.correlations.get(*at) {
        sink.push(stated.value.span, &CorrelationImpossible { inputs, found: short(*r), bounds });
    }
}
