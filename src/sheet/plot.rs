//! Results drawn over the values they were worked at: one panel a result, one above the other over the same values.

use crate::kinds::sketching::{Anchor, Drawing, Ink, Point, Shape, Weight};
use crate::words::say;

/// Width of every drawing, and where its panels begin and end.
pub(super) const WIDTH: f64 = 640.0;
pub(super) const LEFT: f64 = 78.0;
pub(super) const RIGHT: f64 = 618.0;
/// Heights of the first panel and of those below it.
pub(super) const FIRST: f64 = 230.0;
pub(super) const NEXT: f64 = 130.0;
/// From the foot of one panel to the head of the next, with room for its title.
const BETWEEN: f64 = 62.0;
/// Height of the first panel's head.
pub(super) const HEAD: f64 = 34.0;

/// One result over the values.
pub(super) struct Curve {
    /// What it is, with its unit: the words at its axis.
    pub(super) title: String,
    /// One value for each place along the bottom, with its expanded uncertainty; none where there is no result.
    pub(super) points: Vec<Option<(f64, f64)>>,
}

/// What is drawn.
pub(super) struct Plot {
    /// What runs along the bottom, with its unit.
    pub(super) along: String,
    /// The values along the bottom, rising.
    pub(super) places: Vec<f64>,
    /// The present value.
    pub(super) present: Option<f64>,
    /// Whether only whole numbers, or the items of a list, were tried: points instead of a line.
    pub(super) apart: bool,
    /// The results.
    pub(super) curves: Vec<Curve>,
}

/// A scale from values to drawing units, with round numbers for its ticks.
pub(super) struct Axis {
    low: f64,
    high: f64,
    step: f64,
}

impl Axis {
    // Between round numbers that take in `low` and `high`, with about `wanted` ticks; whole ones when `whole`.
    pub(super) fn new(low: f64, high: f64, wanted: f64, whole: bool, outward: bool) -> Option<Self> {
        let (low, high) = if low < high { (low, high) } else { (low - spread(low), high + spread(low)) };
        let rough = (high - low) / wanted;
        if !(rough.is_finite() && rough > 0.0) {
            return None;
        }
        let power = libm::pow(10.0, libm::floor(libm::log10(rough)));
        let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|round| round * power).find(|step| *step >= rough * 0.999)?;
        let step = if whole { step.max(1.0) } else { step };
        if outward {
            return Some(Axis { low: libm::floor(low / step + 1e-9) * step, high: libm::ceil(high / step - 1e-9) * step, step });
        }
        Some(Axis { low, high, step })
    }

    pub(super) fn low(&self) -> f64 {
        self.low
    }

    pub(super) fn high(&self) -> f64 {
        self.high
    }

    pub(super) fn share(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }

    pub(super) fn ticks(&self) -> Vec<f64> {
        let first = libm::ceil(self.low / self.step - 1e-9);
        let last = libm::floor(self.high / self.step + 1e-9);
        let count = (last - first).clamp(0.0, 40.0) as usize;
        (0..=count).map(|at| (first + at as f64) * self.step).collect()
    }

    pub(super) fn words(&self, tick: f64) -> String {
        let decimals = libm::ceil(-libm::log10(self.step) - 1e-9).clamp(0.0, 9.0) as usize;
        if tick.abs() >= 1e7 || self.step < 1e-6 {
            return crate::units::significant(tick, 3);
        }
        crate::units::places(tick, decimals)
    }
}

fn spread(value: f64) -> f64 {
    if value == 0.0 { 1.0 } else { value.abs() * 0.1 }
}

pub(super) fn point(x: f64, y: f64) -> Point {
    Point { x, y }
}

pub(super) fn line(points: Vec<Point>, weight: Weight, ink: Ink, dashed: bool) -> Shape {
    Shape::Path { points, closed: false, filled: false, weight, ink, dashed }
}

pub(super) fn label(at: Point, text: String, anchor: Anchor, ink: Ink) -> Shape {
    Shape::Label { at, text, anchor, symbol: false, ink }
}

/// The drawing; none when there is nothing to draw.
pub(super) fn draw(plot: &Plot, title: String, description: String) -> Option<Drawing> {
    let (first, last) = (plot.places.first().copied()?, plot.places.last().copied()?);
    let along = Axis::new(first, last, 9.0, plot.apart && plot.places.iter().all(|place| *place == libm::trunc(*place)), false)?;
    // Half a step is left beside points, so that the first does not stand on the axis.
    let inset = if plot.apart { 22.0 } else { 0.0 };
    let across = |value: f64| LEFT + inset + along.share(value) * (RIGHT - LEFT - 2.0 * inset);
    let mut shapes = Vec::new();
    let mut top = HEAD;
    for (place, curve) in plot.curves.iter().enumerate() {
        let height = if place == 0 { FIRST } else { NEXT };
        let foot = top + height;
        let found: Vec<(f64, f64)> = curve.points.iter().flatten().copied().filter(|(y, u)| y.is_finite() && u.is_finite()).collect();
        let low = found.iter().map(|(y, u)| y - u).fold(f64::INFINITY, f64::min);
        let high = found.iter().map(|(y, u)| y + u).fold(f64::NEG_INFINITY, f64::max);
        shapes.push(label(point(LEFT - 60.0, top - 14.0), curve.title.clone(), Anchor::Start, Ink::Body));
        let axis = if found.is_empty() {
            None
        } else {
            // Nothing is part of the picture where it is not far away: heights can then be compared.
            let low = if low > 0.0 && low < 0.6 * high { 0.0 } else { low };
            let high = if high < 0.0 && high > 0.6 * low { 0.0 } else { high };
            Axis::new(low, high, if place == 0 { 5.0 } else { 3.0 }, false, true)
        };
        shapes.push(line(vec![point(LEFT, top), point(LEFT, foot), point(RIGHT, foot)], Weight::Medium, Ink::Body, false));
        for tick in along.ticks() {
            shapes.push(line(vec![point(across(tick), foot), point(across(tick), foot + 5.0)], Weight::Light, Ink::Body, false));
            shapes.push(label(point(across(tick), foot + 20.0), along.words(tick), Anchor::Middle, Ink::Body));
        }
        if let Some(present) = plot.present.filter(|present| (first..=last).contains(present)) {
            let x = across(present);
            shapes.push(line(vec![point(x, top), point(x, foot)], Weight::Light, Ink::Construction, true));
            if place == 0 {
                let anchor = if x > RIGHT - 60.0 { Anchor::End } else { Anchor::Start };
                let aside = if x > RIGHT - 60.0 { -5.0 } else { 5.0 };
                shapes.push(label(point(x + aside, top + 10.0), say!("present").into(), anchor, Ink::Construction));
            }
        }
        match axis {
            Some(axis) => {
                let up = |value: f64| foot - axis.share(value) * height;
                for tick in axis.ticks() {
                    let y = up(tick);
                    shapes.push(line(vec![point(LEFT - 5.0, y), point(LEFT, y)], Weight::Light, Ink::Body, false));
                    if y < foot - 1.0 {
                        shapes.push(line(vec![point(LEFT, y), point(RIGHT, y)], Weight::Light, Ink::Construction, false));
                    }
                    shapes.push(label(point(LEFT - 9.0, y + 5.0), axis.words(tick), Anchor::End, Ink::Body));
                }
                curve_shapes(plot, curve, &across, &up, foot, &mut shapes);
            }
            None => {
                shapes.push(label(point((LEFT + RIGHT) / 2.0, (top + foot) / 2.0), say!("no result").into(), Anchor::Middle, Ink::Loss))
            }
        }
        top = foot + BETWEEN;
    }
    let foot = top - BETWEEN;
    shapes.push(label(point(RIGHT, foot + 40.0), plot.along.clone(), Anchor::End, Ink::Body));
    Some(Drawing { width: WIDTH, height: foot + 50.0, shapes, title, description, newtons: None })
}

fn curve_shapes(plot: &Plot, curve: &Curve, across: &dyn Fn(f64) -> f64, up: &dyn Fn(f64) -> f64, foot: f64, shapes: &mut Vec<Shape>) {
    let mut run: Vec<Point> = Vec::new();
    let mut band: [Vec<Point>; 2] = [Vec::new(), Vec::new()];
    let close = |run: &mut Vec<Point>, band: &mut [Vec<Point>; 2], shapes: &mut Vec<Shape>| {
        if run.len() > 1 && !plot.apart {
            shapes.push(line(run.clone(), Weight::Heavy, Ink::Body, false));
            for edge in band.iter().filter(|edge| edge.len() == run.len()) {
                shapes.push(line(edge.clone(), Weight::Light, Ink::Body, false));
            }
        }
        run.clear();
        band.iter_mut().for_each(Vec::clear);
    };
    for (place, found) in plot.places.iter().zip(&curve.points) {
        let x = across(*place);
        let Some((y, doubt)) = found.filter(|(y, u)| y.is_finite() && u.is_finite()) else {
            close(&mut run, &mut band, shapes);
            // A cross on the axis: tried, and no result.
            for (from, to) in [(-4.0, 4.0), (4.0, -4.0)] {
                shapes.push(line(
                    vec![point(x - 4.0, foot - 8.0 + from), point(x + 4.0, foot - 8.0 + to)],
                    Weight::Medium,
                    Ink::Loss,
                    false,
                ));
            }
            continue;
        };
        let at = point(x, up(y));
        run.push(at);
        if doubt > 0.0 {
            let (high, low) = (up(y + doubt), up(y - doubt));
            if plot.apart {
                shapes.push(line(vec![point(x, high), point(x, low)], Weight::Light, Ink::Body, false));
                for y in [high, low] {
                    shapes.push(line(vec![point(x - 4.0, y), point(x + 4.0, y)], Weight::Light, Ink::Body, false));
                }
            } else {
                let [upper, lower] = &mut band;
                upper.push(point(x, high));
                lower.push(point(x, low));
            }
        }
        let present = plot.present == Some(*place);
        if plot.apart || present {
            shapes.push(Shape::Circle {
                centre: at,
                radius: if present { 5.0 } else { 3.5 },
                filled: true,
                weight: Weight::Medium,
                ink: Ink::Body,
            });
        }
    }
    close(&mut run, &mut band, shapes);
}

#[cfg(test)]
mod tests {
    use super::{Axis, Curve, Plot, draw};
    use crate::kinds::sketching::Shape;

    #[test]
    fn ticks_stand_at_round_numbers_and_take_in_the_values() {
        for (low, high) in [(0.0, 7.3), (412.0, 1180.0), (-3.0, 2.0), (1e-4, 9e-4), (2.0, 2.0), (0.0, 1.0), (95e3, 105e3)] {
            let axis = Axis::new(low, high, 5.0, false, true).expect("an axis");
            let ticks = axis.ticks();
            assert!((2..=9).contains(&ticks.len()), "{low} {high} {ticks:?}");
            assert!(
                ticks.first().is_some_and(|tick| *tick <= low + 1e-12)
                    && ticks.last().is_some_and(|tick| *tick >= high - 1e-9 * high.abs())
            );
            let lead = axis.step / libm::pow(10.0, libm::floor(libm::log10(axis.step) + 1e-9));
            assert!([1.0, 2.0, 5.0].iter().any(|round| (lead - round).abs() < 1e-9), "{lead}");
        }
        assert_eq!(Axis::new(0.0, 1.0, 5.0, false, true).map(|axis| axis.words(0.4)).as_deref(), Some("0.4"));
    }

    #[test]
    fn every_shape_stays_on_the_drawing_and_gaps_are_marked() {
        let points = vec![Some((3.0, 0.2)), None, Some((1.0, 0.1)), Some((0.5, 0.0))];
        for apart in [true, false] {
            let curves = || {
                vec![Curve { title: "effort, N".into(), points: points.clone() }, Curve { title: "way, m".into(), points: vec![None; 4] }]
            };
            let plot = Plot { along: "parts".into(), places: vec![2.0, 3.0, 4.0, 5.0], present: Some(4.0), apart, curves: curves() };
            let drawing = draw(&plot, "t".into(), "d".into()).expect("a drawing");
            let crosses = drawing.shapes.iter().filter(|shape| matches!(shape, Shape::Path { ink: super::Ink::Loss, .. })).count();
            assert_eq!(crosses, 2);
            for shape in &drawing.shapes {
                let all = match shape {
                    Shape::Path { points, .. } => points.clone(),
                    Shape::Circle { centre, .. } => vec![*centre],
                    Shape::Label { at, .. } => vec![*at],
                    _ => Vec::new(),
                };
                assert!(all.iter().all(|p| (0.0..=drawing.width).contains(&p.x) && (0.0..=drawing.height).contains(&p.y)), "{shape:?}");
            }
        }
    }
}
