//! Readings drawn over their loads: effort with what was predicted, and efficiency. Directions are told by their marks.

use crate::kinds::sketching::{Anchor, Drawing, Ink, Shape, Weight};
use crate::model::Direction;
use crate::sheet::parts::SketchPart;
use crate::sheet::plot::{Axis, FIRST, HEAD, LEFT, RIGHT, WIDTH, label, line, point};
use crate::words::say;

/// One reading: load and value with their expanded uncertainties.
pub(super) struct Mark {
    pub(super) load: (f64, f64),
    pub(super) value: (f64, f64),
}

/// The readings of one direction.
pub(super) struct Series {
    pub(super) direction: Direction,
    pub(super) marks: Vec<Mark>,
    /// Load and predicted value.
    pub(super) predicted: Vec<(f64, f64)>,
}

/// What is drawn over the loads.
pub(super) struct Scene {
    pub(super) title: String,
    /// What stands at the axes, and its unit.
    pub(super) across: (&'static str, String),
    pub(super) up: (&'static str, String),
    pub(super) series: Vec<Series>,
    /// A value that nothing can pass, with its words.
    pub(super) bound: Option<(f64, String)>,
}

/// The drawing with its words; none when there is nothing to draw.
pub(super) fn draw(scene: &Scene) -> Option<SketchPart> {
    let marks = || scene.series.iter().flat_map(|series| &series.marks);
    let loads = ends(marks().flat_map(|mark| [mark.load.0 - mark.load.1, mark.load.0 + mark.load.1]))?;
    let predicted = scene.series.iter().flat_map(|series| &series.predicted).map(|(_, value)| *value);
    let values = marks().flat_map(|mark| [mark.value.0 - mark.value.1, mark.value.0 + mark.value.1]).chain(predicted);
    let heights = ends(values.chain(scene.bound.as_ref().map(|(bound, _)| *bound)))?;
    // Nought is part of the picture: an effort at no load is what a law is about.
    let across = Axis::new(loads.0.min(0.0), loads.1, 8.0, false, true)?;
    let up = Axis::new(heights.0.min(0.0), heights.1, 5.0, false, true)?;
    let foot = HEAD + FIRST;
    let x = |load: f64| LEFT + across.share(load) * (RIGHT - LEFT);
    let y = |value: f64| foot - up.share(value) * FIRST;
    let mut shapes = vec![
        label(point(LEFT - 60.0, HEAD - 14.0), named(&scene.up), Anchor::Start, Ink::Body),
        line(vec![point(LEFT, HEAD), point(LEFT, foot), point(RIGHT, foot)], Weight::Medium, Ink::Body, false),
    ];
    for tick in across.ticks() {
        shapes.push(line(vec![point(x(tick), foot), point(x(tick), foot + 5.0)], Weight::Light, Ink::Body, false));
        shapes.push(label(point(x(tick), foot + 20.0), across.words(tick), Anchor::Middle, Ink::Body));
    }
    for tick in up.ticks() {
        shapes.push(line(vec![point(LEFT - 5.0, y(tick)), point(LEFT, y(tick))], Weight::Light, Ink::Body, false));
        shapes.push(label(point(LEFT - 9.0, y(tick) + 5.0), up.words(tick), Anchor::End, Ink::Body));
    }
    if let Some((bound, words)) = &scene.bound {
        shapes.push(line(vec![point(LEFT, y(*bound)), point(RIGHT, y(*bound))], Weight::Light, Ink::Construction, true));
        shapes.push(label(point(RIGHT, y(*bound) - 5.0), words.clone(), Anchor::End, Ink::Construction));
    }
    for series in &scene.series {
        for (load, value) in &series.predicted {
            shapes.push(line(
                vec![point(x(*load) - 7.0, y(*value)), point(x(*load) + 7.0, y(*value))],
                Weight::Heavy,
                Ink::Construction,
                false,
            ));
        }
        for mark in &series.marks {
            let (at_x, at_y) = (x(mark.load.0), y(mark.value.0));
            if mark.value.1 > 0.0 {
                let (low, high) = (y(mark.value.0 - mark.value.1), y(mark.value.0 + mark.value.1));
                shapes.push(line(vec![point(at_x, high), point(at_x, low)], Weight::Light, Ink::Body, false));
                for end in [high, low] {
                    shapes.push(line(vec![point(at_x - 4.0, end), point(at_x + 4.0, end)], Weight::Light, Ink::Body, false));
                }
            }
            if mark.load.1 > 0.0 {
                let (left, right) = (x(mark.load.0 - mark.load.1), x(mark.load.0 + mark.load.1));
                shapes.push(line(vec![point(left, at_y), point(right, at_y)], Weight::Light, Ink::Body, false));
            }
            shapes.push(sign(series.direction, at_x, at_y));
        }
    }
    shapes.push(label(point(RIGHT, foot + 40.0), named(&scene.across), Anchor::End, Ink::Body));
    let mut height = foot + 50.0;
    let told: Vec<Direction> = scene.series.iter().map(|series| series.direction).collect();
    let predicted = scene.series.iter().any(|series| !series.predicted.is_empty());
    if told.len() > 1 || predicted {
        let mut at = LEFT;
        height += 16.0;
        for direction in &told {
            shapes.push(sign(*direction, at + 5.0, height - 19.0));
            shapes.push(label(point(at + 16.0, height - 14.0), crate::words::word(direction.word()).into(), Anchor::Start, Ink::Body));
            at += 110.0;
        }
        if predicted {
            shapes.push(line(vec![point(at, height - 19.0), point(at + 14.0, height - 19.0)], Weight::Heavy, Ink::Construction, false));
            shapes.push(label(point(at + 22.0, height - 14.0), say!("predicted").into(), Anchor::Start, Ink::Body));
        }
    }
    let description = description(scene);
    let drawing = Drawing { width: WIDTH, height, shapes, title: scene.title.clone(), description: description.clone(), newtons: None };
    Some(SketchPart { title: scene.title.clone(), description, drawing })
}

// Full, hollow, or a stroke: the directions are told apart without colour.
fn sign(direction: Direction, x: f64, y: f64) -> Shape {
    match direction {
        Direction::Holding => Shape::Path {
            points: vec![point(x - 4.0, y - 4.0), point(x + 4.0, y - 4.0), point(x + 4.0, y + 4.0), point(x - 4.0, y + 4.0)],
            closed: true,
            filled: true,
            weight: Weight::Medium,
            ink: Ink::Body,
            dashed: false,
        },
        _ => Shape::Circle {
            centre: point(x, y),
            radius: 4.0,
            filled: direction == Direction::Raising,
            weight: Weight::Medium,
            ink: Ink::Body,
        },
    }
}

fn ends(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let found = values.filter(|value| value.is_finite());
    let (low, high) = found.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
    (low <= high).then_some((low, high))
}

fn named((what, unit): &(&'static str, String)) -> String {
    if unit.is_empty() { (*what).to_string() } else { format!("{what}, {unit}") }
}

fn description(scene: &Scene) -> String {
    let mut words = vec![say!("Bars are expanded uncertainty.").to_string()];
    let number = |value: f64, unit: &str| crate::units::spaced(&crate::units::significant(value, 3), unit);
    for series in &scene.series {
        let Some((first, last)) = series.marks.first().zip(series.marks.last()) else { continue };
        let at = |mark: &Mark| {
            say!("{value} at {place}", value = number(mark.value.0, &scene.up.1), place = number(mark.load.0, &scene.across.1))
        };
        words.push(say!(
            "{direction}: {what} {first} to {last}.",
            direction = sentence(crate::words::word(series.direction.word())),
            what = scene.up.0,
            first = at(first),
            last = at(last)
        ));
    }
    if let Some((_, told)) = &scene.bound {
        words.push(say!("The broken line: {told}.", told = told));
    }
    words.join(" ")
}

fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}
