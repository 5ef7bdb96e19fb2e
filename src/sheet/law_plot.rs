//! A law drawn: effort against load with its bands, efficiency against load with its limit, residuals.

use crate::kinds::sketching::{Anchor, Drawing, Ink, Point, Shape, Weight};
use crate::sheet::parts::SketchPart;
use crate::sheet::plot::{Axis, FIRST, HEAD, LEFT, NEXT, RIGHT, WIDTH, label, line, point};
use crate::words::say;

/// What runs along the axes, each with its unit.
pub(super) struct Axes {
    pub(super) load: String,
    pub(super) effort: String,
}

/// One trial in the units of the axes, with expanded uncertainties.
pub(super) struct Trial {
    pub(super) load: (f64, f64),
    pub(super) effort: (f64, f64),
    pub(super) residual: f64,
    pub(super) efficiency: Option<f64>,
}

/// What is drawn.
pub(super) struct Scene {
    pub(super) title: String,
    pub(super) axes: Axes,
    /// The unit of effort.
    pub(super) unit: String,
    /// How doubts are expanded, and the level of the bands, in words.
    pub(super) coverage: String,
    pub(super) level: String,
    pub(super) points: Vec<Trial>,
    /// Least and greatest load.
    pub(super) tested: (f64, f64),
    /// Load, effort, half the band of the line, half the band of one new reading (nought where there is none).
    pub(super) line: Vec<[f64; 4]>,
    /// Load and efficiency of the law in per cent.
    pub(super) efficiency: Vec<(f64, f64)>,
    /// The limiting efficiency in per cent, and as printed.
    pub(super) limit: Option<(f64, String)>,
    /// The residual deviation; none for a line by stated doubts.
    pub(super) deviation: Option<f64>,
}

// One panel: where values stand on it.
struct Panel {
    across: Axis,
    up: Axis,
    top: f64,
    foot: f64,
}

impl Panel {
    fn new(across: (f64, f64), up: (f64, f64), height: f64, ticks: f64) -> Option<Panel> {
        Some(Panel {
            across: Axis::new(across.0, across.1, 8.0, false, true)?,
            up: Axis::new(up.0, up.1, ticks, false, true)?,
            top: HEAD,
            foot: HEAD + height,
        })
    }

    fn x(&self, value: f64) -> f64 {
        LEFT + self.across.share(value) * (RIGHT - LEFT)
    }

    fn y(&self, value: f64) -> f64 {
        self.foot - self.up.share(value) * (self.foot - self.top)
    }

    fn at(&self, x: f64, y: f64) -> Point {
        point(self.x(x), self.y(y))
    }

    // The frame with its ticks; lines across at those of the height.
    fn frame(&self, title: &str, along: &str) -> Vec<Shape> {
        let mut shapes = vec![label(point(LEFT - 60.0, self.top - 14.0), title.into(), Anchor::Start, Ink::Body)];
        for tick in self.up.ticks() {
            let y = self.y(tick);
            shapes.push(line(vec![point(LEFT, y), point(RIGHT, y)], Weight::Light, Ink::Construction, false));
            shapes.push(line(vec![point(LEFT - 5.0, y), point(LEFT, y)], Weight::Light, Ink::Body, false));
            shapes.push(label(point(LEFT - 9.0, y + 5.0), self.up.words(tick), Anchor::End, Ink::Body));
        }
        for tick in self.across.ticks() {
            let x = self.x(tick);
            shapes.push(line(vec![point(x, self.foot), point(x, self.foot + 5.0)], Weight::Light, Ink::Body, false));
            shapes.push(label(point(x, self.foot + 20.0), self.across.words(tick), Anchor::Middle, Ink::Body));
        }
        let corner = vec![point(LEFT, self.top), point(LEFT, self.foot), point(RIGHT, self.foot)];
        shapes.push(line(corner, Weight::Medium, Ink::Body, false));
        shapes.push(label(point(RIGHT, self.foot + 40.0), along.into(), Anchor::End, Ink::Body));
        shapes
    }

    fn curve(&self, points: impl Iterator<Item = (f64, f64)>, weight: Weight, dashed: bool, shapes: &mut Vec<Shape>) {
        // What runs out of the frame is cut off at its edge.
        let kept: Vec<Point> = points.filter(|(_, y)| *y >= self.up.low() && *y <= self.up.high()).map(|(x, y)| self.at(x, y)).collect();
        if kept.len() > 1 {
            shapes.push(line(kept, weight, Ink::Body, dashed));
        }
    }

    fn dot(&self, x: f64, y: f64, shapes: &mut Vec<Shape>) {
        let centre = self.at(x, y);
        shapes.push(Shape::Circle { centre, radius: 3.5, filled: true, weight: Weight::Medium, ink: Ink::Body });
    }

    fn bars(&self, (x, of_x): (f64, f64), (y, of_y): (f64, f64), shapes: &mut Vec<Shape>) {
        let mut bar = |from: Point, to: Point, cap: (f64, f64)| {
            shapes.push(line(vec![from, to], Weight::Light, Ink::Body, false));
            for end in [from, to] {
                let ends = vec![point(end.x - cap.0, end.y - cap.1), point(end.x + cap.0, end.y + cap.1)];
                shapes.push(line(ends, Weight::Light, Ink::Body, false));
            }
        };
        if of_y > 0.0 {
            bar(self.at(x, y - of_y), self.at(x, y + of_y), (4.0, 0.0));
        }
        if of_x > 0.0 {
            bar(self.at(x - of_x, y), self.at(x + of_x, y), (0.0, 4.0));
        }
    }

    fn drawing(&self, shapes: Vec<Shape>, title: String, description: String) -> SketchPart {
        let drawing = Drawing {
            width: WIDTH,
            height: self.foot + 50.0,
            shapes,
            title: title.clone(),
            description: description.clone(),
            newtons: None,
        };
        SketchPart { title, description, drawing }
    }
}

/// The drawings of a law.
pub(super) fn draw(scene: &Scene) -> Vec<SketchPart> {
    [effort(scene), efficiency(scene), residuals(scene)].into_iter().flatten().collect()
}

fn ends(values: impl Iterator<Item = f64>, least: f64, greatest: f64) -> (f64, f64) {
    values.filter(|value| value.is_finite()).fold((least, greatest), |(low, high), value| (low.min(value), high.max(value)))
}

fn effort(scene: &Scene) -> Option<SketchPart> {
    let across = ends(scene.points.iter().flat_map(|trial| [trial.load.0 - trial.load.1, trial.load.0 + trial.load.1]), 0.0, 0.0);
    let bars = scene.points.iter().flat_map(|trial| [trial.effort.0 - trial.effort.1, trial.effort.0 + trial.effort.1]);
    let band = scene.line.iter().flat_map(|[_, y, of_line, of_reading]| {
        let half = of_line.max(*of_reading);
        [y - half, y + half]
    });
    let within = |value: &f64| value.is_finite();
    let panel = Panel::new(across, ends(bars.chain(band).filter(within), 0.0, 0.0), FIRST + 60.0, 6.0)?;
    let mut shapes = panel.frame(&scene.axes.effort, &scene.axes.load);
    let inside = |load: f64| load >= scene.tested.0 * (1.0 - 1e-9) && load <= scene.tested.1 * (1.0 + 1e-9);
    for (place, load) in [scene.tested.0, scene.tested.1].into_iter().enumerate() {
        let ends = vec![point(panel.x(load), panel.top), point(panel.x(load), panel.foot)];
        shapes.push(line(ends, Weight::Light, Ink::Construction, true));
        if place == 0 {
            shapes.push(label(point(panel.x(load) + 5.0, panel.top + 10.0), say!("tested range").into(), Anchor::Start, Ink::Construction));
        }
    }
    let at = |[x, y, ..]: &[f64; 4]| (*x, *y);
    // The line runs on to no load, thin, since nobody tested it there.
    let tested = std::iter::once(scene.tested.0).chain(scene.line.iter().map(|row| row[0]).filter(|load| inside(*load)));
    let height = |load: f64| {
        let (first, last) = (scene.line.first(), scene.line.last());
        match (first, last) {
            (Some([a, from, ..]), Some([b, to, ..])) if b > a => from + (to - from) * (load - a) / (b - a),
            _ => f64::NAN,
        }
    };
    panel.curve(tested.map(|load| (load, height(load))), Weight::Heavy, false, &mut shapes);
    panel.curve(scene.line.iter().map(at), Weight::Light, true, &mut shapes);
    for sign in [-1.0, 1.0] {
        panel.curve(scene.line.iter().map(|[x, y, half, _]| (*x, y + sign * half)), Weight::Light, false, &mut shapes);
        if scene.deviation.is_some() {
            panel.curve(scene.line.iter().map(|[x, y, _, half]| (*x, y + sign * half)), Weight::Light, true, &mut shapes);
        }
    }
    for trial in &scene.points {
        panel.bars(trial.load, trial.effort, &mut shapes);
        panel.dot(trial.load.0, trial.effort.0, &mut shapes);
    }
    let level = &scene.level;
    let bands = if scene.deviation.is_some() {
        say!("Thin lines beside it: the band of the line; dashed: where one new reading is to be expected, both at {level}.", level = level)
    } else {
        say!("Thin lines beside it: the band of the line at {level}.", level = level)
    };
    let description = say!(
        "{count} trials, each with its stated doubt ({coverage}) where it has any, and the law as a heavy line over the tested range. {bands}",
        count = scene.points.len(),
        coverage = scene.coverage,
        bands = bands
    );
    Some(panel.drawing(shapes, say!("{title}: effort against load", title = scene.title), description))
}

fn efficiency(scene: &Scene) -> Option<SketchPart> {
    let (limit, printed) = scene.limit.as_ref()?;
    let found = scene.points.iter().filter_map(|trial| trial.efficiency);
    let panel = Panel::new((0.0, scene.tested.1), ends(found.chain([*limit]), 0.0, 0.0), FIRST, 5.0)?;
    let mut shapes = panel.frame(say!("efficiency, %"), &scene.axes.load);
    let y = panel.y(*limit);
    shapes.push(line(vec![point(LEFT, y), point(RIGHT, y)], Weight::Medium, Ink::Construction, true));
    shapes.push(label(point(LEFT + 6.0, y - 6.0), say!("limit {figure}", figure = printed), Anchor::Start, Ink::Body));
    let inside = |load: f64| load >= scene.tested.0 * (1.0 - 1e-9);
    panel.curve(scene.efficiency.iter().copied().filter(|(load, _)| inside(*load)), Weight::Heavy, false, &mut shapes);
    panel.curve(scene.efficiency.iter().copied().filter(|(load, _)| !inside(*load)), Weight::Light, true, &mut shapes);
    for trial in &scene.points {
        if let Some(share) = trial.efficiency {
            panel.dot(trial.load.0, share, &mut shapes);
        }
    }
    let description = say!(
        "The efficiency of each trial, and that of the law, which comes near to the limiting efficiency of {figure} as the no-load effort matters less and less.",
        figure = printed
    );
    Some(panel.drawing(shapes, say!("{title}: efficiency against load", title = scene.title), description))
}

fn residuals(scene: &Scene) -> Option<SketchPart> {
    let all = scene.points.iter().flat_map(|trial| [trial.residual - trial.effort.1, trial.residual + trial.effort.1]);
    let two = scene.deviation.map_or(0.0, |deviation| 2.0 * deviation);
    let panel = Panel::new((0.0, scene.tested.1), ends(all.chain([-two, two]), 0.0, 0.0), NEXT + 20.0, 4.0)?;
    let title = if scene.unit.is_empty() { say!("residual").to_string() } else { say!("residual, {unit}", unit = scene.unit) };
    let mut shapes = panel.frame(&title, &scene.axes.load);
    shapes.push(line(vec![point(LEFT, panel.y(0.0)), point(RIGHT, panel.y(0.0))], Weight::Medium, Ink::Body, false));
    if two > 0.0 {
        for (sign, words) in [(1.0, "2 s"), (-1.0, "−2 s")] {
            let y = panel.y(sign * two);
            shapes.push(line(vec![point(LEFT, y), point(RIGHT, y)], Weight::Light, Ink::Body, true));
            shapes.push(label(
                point(LEFT + 6.0, y - 4.0 * sign + if sign < 0.0 { 8.0 } else { 0.0 }),
                words.into(),
                Anchor::Start,
                Ink::Construction,
            ));
        }
    }
    for trial in &scene.points {
        panel.bars((trial.load.0, 0.0), (trial.residual, trial.effort.1), &mut shapes);
        panel.dot(trial.load.0, trial.residual, &mut shapes);
    }
    let description =
        say!(
            "What each effort is above or below the law. A bend in them, all of one sign in the middle, says that a straight line does not describe the machine; one far from the rest asks for a look at that reading."
        )
        .to_string();
    Some(panel.drawing(shapes, say!("{title}: residuals", title = scene.title), description))
}
