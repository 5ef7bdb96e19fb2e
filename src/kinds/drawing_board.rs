//! The drawing board: places forces, dimensions and labels so that no label covers another.
//!
//! Text is reckoned at 14 units high and 0.55 of that a character. A label looks for a free place near the point it
//! names, in growing rings, and gets a leader when it had to move away.
use crate::kinds::sketching::{Anchor, Drawing, Figures, Ink, Point, Shape, Weight};

/// Height of drawing text.
const TEXT: f64 = 14.0;
/// From one line of a label to the next.
const ROW: f64 = 16.0;
/// Units of force that a drawing may be labelled in, in newtons.
const FORCE_UNITS: &[(&str, f64)] =
    &[("N", 1.0), ("kN", 1e3), ("MN", 1e6), ("lbf", 4.448_221_615_260_5), ("kip", 4_448.221_615_260_5), ("kgf", 9.806_65)];
/// The longest arrow; a longer one is cut and gets a break mark.
const LONGEST: f64 = 90.0;
/// What is left blank round a drawing.
const MARGIN: f64 = 8.0;
/// The width in which labels are placed; what stands beside it makes the drawing a little wider.
pub const WIDTH: f64 = 640.0;

/// A drawing in the making.
pub struct DrawingBoard {
    shapes: Vec<Shape>,
    taken: Vec<[f64; 4]>,
    largest: f64,
    /// The unit of the largest force that was labelled, and that force: the scale is told in the same unit.
    unit: (&'static str, f64, f64),
    bottom: f64,
}

/// The size a text takes: width and height in drawing units.
pub fn extent(text: &str) -> (f64, f64) {
    (text.chars().count() as f64 * 0.55 * TEXT, TEXT + 2.0)
}

/// A point.
pub fn point(x: f64, y: f64) -> Point {
    Point { x, y }
}

/// A round force that an arrow length can stand for: 1, 2 or 5 times a power of ten, not above the force given.
fn round_force(force: f64) -> f64 {
    let power = libm::pow(10.0, libm::floor(libm::log10(force)));
    [5.0, 2.0, 1.0].into_iter().map(|step| step * power).find(|step| *step <= force).unwrap_or(power)
}

impl DrawingBoard {
    /// An empty sheet; `forces` are the magnitudes (newtons) from which the force scale is chosen.
    pub fn new(forces: &[Option<f64>]) -> Self {
        let mut sizes: Vec<f64> = forces.iter().flatten().map(|f| f.abs()).filter(|f| f.is_finite() && *f > 0.0).collect();
        sizes.sort_by(f64::total_cmp);
        // One force far above the rest would make the rest invisible: the scale follows the others and it is cut.
        let largest = match (sizes.last(), sizes.len().checked_sub(2).and_then(|i| sizes.get(i))) {
            (Some(top), Some(next)) if *top > 6.0 * next => *next * 2.0,
            (Some(top), _) => *top,
            _ => 0.0,
        };
        Self { shapes: Vec::new(), taken: Vec::new(), largest, unit: ("N", 1.0, 0.0), bottom: 0.0 }
    }

    /// Adds a shape as it is.
    pub fn add(&mut self, shape: Shape) {
        self.shapes.push(shape);
    }

    /// Keeps labels off a rectangle.
    pub fn keep_off(&mut self, x: f64, y: f64, width: f64, height: f64) {
        self.taken.push([x, y, x + width, y + height]);
        self.bottom = self.bottom.max(y + height);
    }

    /// Keeps labels off a line, however it slants.
    pub fn keep_off_line(&mut self, from: Point, to: Point) {
        let length = libm::hypot(to.x - from.x, to.y - from.y);
        let steps = if length.is_finite() { (length / 6.0).clamp(1.0, 200.0) as usize } else { 1 };
        for step in 0..=steps {
            let share = step as f64 / steps as f64;
            let (x, y) = (from.x + (to.x - from.x) * share, from.y + (to.y - from.y) * share);
            self.keep_off(x - 4.0, y - 4.0, 8.0, 8.0);
        }
    }

    /// A run of lines.
    pub fn line(&mut self, points: &[Point], weight: Weight, ink: Ink, closed: bool) {
        for p in points {
            self.bottom = self.bottom.max(p.y);
        }
        self.add(Shape::Path { points: points.to_vec(), closed, filled: false, weight, ink, dashed: false });
    }

    /// A circle.
    pub fn circle(&mut self, centre: Point, radius: f64, weight: Weight, ink: Ink, filled: bool) {
        self.bottom = self.bottom.max(centre.y + radius);
        self.add(Shape::Circle { centre, radius, filled, weight, ink });
    }

    /// The number of a rope part, in its circle.
    pub fn part_number(&mut self, at: Point, number: usize) {
        self.keep_off(at.x - 9.0, at.y - 9.0, 18.0, 18.0);
        self.add(Shape::PartNumber { at, number });
    }

    /// A force at `at` along the direction (`dx`, `dy`) of the page, tail away from the body when it pushes, its head
    /// away when it pulls. A negative or unknown force is turned round or drawn at half length.
    pub fn force(&mut self, at: Point, direction: (f64, f64), pulls: bool, value: Option<f64>, words: (&str, &str), ink: Ink) {
        let size = value.filter(|v| v.is_finite());
        self.learn_unit(size, words.1);
        let (mut dx, mut dy) = direction;
        if size.is_some_and(|v| v < 0.0) {
            (dx, dy) = (-dx, -dy);
        }
        let whole = match size {
            Some(v) if self.largest > 0.0 => v.abs() / self.largest * 70.0,
            _ => 40.0,
        };
        let length = whole.clamp(14.0, LONGEST);
        let away = if pulls { 1.0 } else { -1.0 };
        let far = point(at.x + dx * length * away, at.y + dy * length * away);
        let (from, to) = if pulls { (at, far) } else { (far, at) };
        self.add(Shape::Arrow { from, to, ink });
        if whole > LONGEST {
            let middle = point((from.x + to.x) / 2.0, (from.y + to.y) / 2.0);
            for shift in [-3.0, 3.0] {
                let (mx, my) = (middle.x + dx * shift, middle.y + dy * shift);
                self.line(
                    &[point(mx - dy * 6.0, my + dx * 6.0), point(mx + dy * 6.0, my - dx * 6.0)],
                    Weight::Light,
                    Ink::Construction,
                    false,
                );
            }
        }
        self.bottom = self.bottom.max(far.y);
        // The label stands beyond the end of the arrow, and every label keeps off the arrow.
        let (rise, aside) = (dy * away, dx * away);
        self.keep_off_line(from, to);
        let beyond = if rise > 0.3 {
            16.0
        } else if rise < -0.3 {
            -28.0
        } else {
            -4.0
        };
        let half = extent(words.1).0.max(extent(words.0).0) / 2.0;
        let anchor = point(far.x + aside * (half + 8.0), far.y + beyond);
        self.named(anchor, words.0, words.1, ink);
    }

    // The printed value of a force tells the unit in which the reader thinks.
    fn learn_unit(&mut self, size: Option<f64>, printed: &str) {
        let symbol = printed.rsplit(['\u{a0}', ' ']).next().unwrap_or("");
        let known = FORCE_UNITS.iter().find(|(unit, _)| *unit == symbol);
        if let (Some(size), Some((unit, newtons))) = (size.map(f64::abs), known)
            && size > self.unit.2
        {
            self.unit = (*unit, *newtons, size);
        }
    }

    /// A dimension with its text kept clear.
    pub fn dimension(&mut self, from: Point, to: Point, offset: f64, text: &str) {
        let length = libm::hypot(to.x - from.x, to.y - from.y).max(1e-9);
        let (nx, ny) = (-(to.y - from.y) / length, (to.x - from.x) / length);
        let middle = point((from.x + to.x) / 2.0 + nx * offset, (from.y + to.y) / 2.0 + ny * offset);
        for p in [from, to] {
            self.bottom = self.bottom.max(p.y + ny * offset + 4.0);
        }
        self.add(Shape::Dimension { from, to, offset, text: String::new() });
        let level = (to.y - from.y).abs() < (to.x - from.x).abs();
        let beside = if level { point(middle.x, middle.y - 15.0) } else { point(middle.x + extent(text).0 / 2.0 + 8.0, middle.y) };
        self.named(beside, text, "", Ink::Construction);
    }

    /// A symbol with its value below, as near to `at` as there is room.
    pub fn named(&mut self, at: Point, symbol: &str, value: &str, ink: Ink) {
        let lines: Vec<&str> = [symbol, value].into_iter().filter(|line| !line.is_empty()).collect();
        if lines.is_empty() {
            return;
        }
        let width = lines.iter().map(|line| extent(line).0).fold(0.0, f64::max) + 4.0;
        let height = lines.len() as f64 * ROW + 2.0;
        let mut place = None;
        'rings: for ring in 0..60_u32 {
            let reach = f64::from(ring) * 9.0;
            let turns = if ring == 0 { 1 } else { 12 };
            for turn in 0..turns {
                let angle = f64::from(turn) * core::f64::consts::PI / 6.0;
                let x = (at.x + reach * 1.4 * libm::cos(angle)).clamp(width / 2.0 + 4.0, WIDTH - width / 2.0 - 4.0) - width / 2.0;
                let y = (at.y + reach * libm::sin(angle)).max(22.0) - height / 2.0 + 6.0;
                let free = self.taken.iter().all(|b| x + width <= b[0] || x >= b[2] || y + height <= b[1] || y >= b[3]);
                if free && y >= 4.0 {
                    place = Some((x, y, reach));
                    break 'rings;
                }
            }
        }
        // With no room in any ring the label goes below everything.
        let (x, y, reach) = place.unwrap_or(((at.x - width / 2.0).clamp(4.0, (WIDTH - width - 4.0).max(4.0)), self.bottom + 8.0, 100.0));
        self.keep_off(x, y, width, height);
        if reach > 30.0 {
            let near = if y > at.y { y } else { y + height };
            let from = point(at.x.clamp(4.0, WIDTH - 4.0), at.y);
            self.line(&[from, point(x + width / 2.0, near)], Weight::Light, Ink::Construction, false);
        }
        for (row, text) in lines.iter().enumerate() {
            let at = point(x + width / 2.0, y + 13.0 + row as f64 * ROW);
            let is_symbol = row == 0 && !value.is_empty();
            self.add(Shape::Label { at, text: (*text).to_owned(), anchor: Anchor::Middle, symbol: is_symbol, ink });
        }
    }

    /// Adds the scale of the forces and closes the drawing.
    pub fn finish(mut self, title: String, description: String) -> Drawing {
        let mut height = self.bottom + 12.0;
        let left = self.sides().0;
        if self.largest > 0.0 {
            let (unit, newtons, _) = self.unit;
            let stands_for = round_force(self.largest / newtons);
            let length = stands_for * newtons / self.largest * 70.0;
            self.add(Shape::ScaleBar { at: point(left + 2.0, height + 10.0), length, text: format!("{stands_for}\u{a0}{unit}") });
            height += 32.0;
        }
        // The sheet begins just above what stands highest.
        let highest = self.shapes.iter().flat_map(ends).map(|p| p.y).fold(f64::INFINITY, f64::min);
        let down = if highest.is_finite() { 8.0 - highest } else { 0.0 };
        // Nothing is left blank beside it, so that it is as large as it can be on a narrow page.
        let (left, right) = self.sides();
        // Where the drawing is as wide as a sheet may be, the margins give way.
        let aside = (MARGIN - left).min((WIDTH - MARGIN - right).max(-left));
        let shapes = self.shapes.into_iter().map(|shape| moved(shape, aside, down)).collect();
        Drawing { width: right + aside + MARGIN, height: height + down, shapes, title, description }
    }

    // How far the shapes reach to the left and to the right.
    fn sides(&self) -> (f64, f64) {
        let reach = self.shapes.iter().flat_map(ends).map(|p| p.x);
        let (left, right) = reach.fold((WIDTH, 0.0_f64), |(left, right), x| (left.min(x), right.max(x)));
        if left < right { (left, right) } else { (0.0, WIDTH) }
    }
}

/// The points of a shape that has ends.
fn ends(shape: &Shape) -> Vec<Point> {
    match shape {
        Shape::Path { points, .. } => points.clone(),
        Shape::Arrow { from, to, .. } | Shape::Ground { from, to } => vec![*from, *to],
        Shape::Dimension { from, to, offset, .. } => {
            let length = libm::hypot(to.x - from.x, to.y - from.y).max(1e-9);
            let (nx, ny) = (-(to.y - from.y) / length * offset, (to.x - from.x) / length * offset);
            vec![*from, *to, point(from.x + nx, from.y + ny), point(to.x + nx, to.y + ny)]
        }
        Shape::Circle { centre, radius, .. } => {
            vec![point(centre.x - radius, centre.y - radius), point(centre.x + radius, centre.y - radius)]
        }
        // Arcs lie within what they belong to: an angle between its legs, a rope on its sheave.
        Shape::Arc { centre, .. } => vec![*centre],
        Shape::Label { at, text, anchor, .. } => {
            let width = extent(text).0;
            let start = match anchor {
                Anchor::Start => 0.0,
                Anchor::Middle => width / 2.0,
                Anchor::End => width,
            };
            vec![point(at.x - start, at.y - TEXT), point(at.x - start + width, at.y - TEXT)]
        }
        Shape::PartNumber { at, .. } => vec![point(at.x - 10.0, at.y - 10.0), point(at.x + 10.0, at.y - 10.0)],
        Shape::ScaleBar { at, length, text } => vec![point(at.x, at.y - 8.0), point(at.x + length + 10.0 + extent(text).0, at.y - 8.0)],
    }
}

/// The shape moved over the page.
fn moved(mut shape: Shape, aside: f64, down: f64) -> Shape {
    let shift = |p: &mut Point| {
        p.x += aside;
        p.y += down;
    };
    match &mut shape {
        Shape::Path { points, .. } => points.iter_mut().for_each(shift),
        Shape::Circle { centre, .. } | Shape::Arc { centre, .. } => shift(centre),
        Shape::Ground { from, to } | Shape::Arrow { from, to, .. } | Shape::Dimension { from, to, .. } => {
            shift(from);
            shift(to);
        }
        Shape::Label { at, .. } | Shape::PartNumber { at, .. } | Shape::ScaleBar { at, .. } => shift(at),
    }
    shape
}

/// `name` with its printed value, as a sentence part; empty when it is not known.
pub fn spoken(figures: &dyn Figures, label: &str, name: &str) -> String {
    let printed = figures.printed(name);
    if printed.is_empty() { String::new() } else { format!(" {label}: {printed}.") }
}
