//! The drawing board: lines, forces and dimensions at once; labels last, when all that they must keep off is known.
//!
//! A label looks for a free place near what it names, in growing rings, and gets a leader when it had to move away.
use crate::kinds::lettering::{Lettering, ROW, Thing, extent};
use crate::kinds::sketching::{Anchor, Drawing, Figures, Ink, Point, Shape, Weight};
use crate::words::{plain, say};

/// Units of force that a drawing may be labelled in, in newtons.
const FORCE_UNITS: &[(&str, f64)] =
    &[("N", 1.0), ("kN", 1e3), ("MN", 1e6), ("lbf", 4.448_221_615_260_5), ("kip", 4_448.221_615_260_5), ("kgf", 9.806_65)];
/// The length of the largest force.
const FULL: f64 = 70.0;
/// The longest arrow; a longer one is cut and gets a break mark.
const LONGEST: f64 = 90.0;
/// A force shorter than this cannot be seen: it is drawn longer, with a dashed shaft.
const SHORTEST: f64 = 7.0;
/// How long it is drawn then.
const TOKEN: f64 = 16.0;
/// What is left blank round a drawing.
const MARGIN: f64 = 8.0;
/// The width in which labels are placed; what stands beside it makes the drawing a little wider.
pub const WIDTH: f64 = 640.0;

/// A drawing in the making.
pub struct DrawingBoard {
    shapes: Vec<Shape>,
    lettering: Lettering,
    /// The force, in newtons, that is drawn at full length.
    largest: f64,
    longest: f64,
    /// The unit of the largest force that was labelled, and that force: the scale is told in the same unit.
    unit: (&'static str, f64, f64),
    /// Whether a force was too small for the scale.
    token: bool,
    to_scale: bool,
}

/// A point.
pub fn point(x: f64, y: f64) -> Point {
    Point { x, y }
}

/// A thin line with a zigzag, upright and `half` as high: it bounds what is broken off (ISO 128-2, line 01.1).
pub fn zigzag(at: Point, half: f64) -> Shape {
    let turns = [(0.0, -half), (0.0, -6.0), (-4.0, -3.0), (4.0, 3.0), (0.0, 6.0), (0.0, half)];
    let points = turns.iter().map(|(aside, off)| point(at.x + aside, at.y + off)).collect();
    Shape::Path { points, closed: false, filled: false, weight: Weight::Light, ink: Ink::Body, dashed: false }
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
            (Some(top), Some(next)) if *top > 12.0 * next => *next * 2.0,
            (Some(top), _) => *top,
            _ => 0.0,
        };
        Self::with(largest, LONGEST)
    }

    /// An empty sheet on which one unit of length stands for `newtons`, and nothing is cut.
    pub fn at_scale(newtons: f64) -> Self {
        Self::with(newtons * FULL, f64::INFINITY)
    }

    fn with(largest: f64, longest: f64) -> Self {
        let unit = ("N", 1.0, 0.0);
        Self { shapes: Vec::new(), lettering: Lettering::default(), largest, longest, unit, token: false, to_scale: false }
    }

    /// Adds a shape as it is.
    pub fn add(&mut self, shape: Shape) {
        self.shapes.push(shape);
    }

    /// Keeps labels off a rectangle.
    pub fn keep_off(&mut self, x: f64, y: f64, width: f64, height: f64) {
        self.lettering.keep_off(x, y, width, height);
    }

    /// Keeps labels off a line, however it slants.
    pub fn keep_off_line(&mut self, from: Point, to: Point) {
        self.lettering.keep_off_line(from, to);
    }

    /// A run of lines.
    pub fn line(&mut self, points: &[Point], weight: Weight, ink: Ink, closed: bool) {
        self.add(Shape::Path { points: points.to_vec(), closed, filled: false, weight, ink, dashed: false });
    }

    /// A centre line: light, long dash and dot.
    pub fn centre_line(&mut self, from: Point, to: Point) {
        let points = vec![from, to];
        self.add(Shape::Path { points, closed: false, filled: false, weight: Weight::Light, ink: Ink::Construction, dashed: true });
    }

    /// A circle.
    pub fn circle(&mut self, centre: Point, radius: f64, weight: Weight, ink: Ink, filled: bool) {
        self.add(Shape::Circle { centre, radius, filled, weight, ink });
    }

    /// The number of a rope part, in its circle.
    pub fn part_number(&mut self, at: Point, number: usize) {
        self.keep_off(at.x - 9.5, at.y - 9.5, 19.0, 19.0);
        self.add(Shape::PartNumber { at, number });
    }

    /// A force at `at` along the direction (`dx`, `dy`) of the page, tail away from the body when it pushes, its head
    /// away when it pulls. A negative pull is drawn as the push that it is, and the other way about; one that is not known
    /// is drawn dashed.
    pub fn force(&mut self, at: Point, direction: (f64, f64), pulls: bool, value: Option<f64>, words: (&str, &str), ink: Ink) {
        let printed = words.1.trim_start_matches(['\u{2212}', '-']);
        self.force_of(at, direction, pulls, value, (&[words.0, printed], 0.0, None), ink);
    }

    /// A force with as many rows of words as are given, the first of them its symbol, higher by so much or at a place of their own.
    pub fn force_of(
        &mut self,
        at: Point,
        direction: (f64, f64),
        pulls: bool,
        value: Option<f64>,
        (rows, raised, beside): (&[&str], f64, Option<Point>),
        ink: Ink,
    ) {
        let (far, way) = self.arrow(at, direction, pulls, value, rows.get(1).copied().unwrap_or_default(), ink);
        // The label stands beyond the end of the arrow.
        let (aside, rise) = way;
        let rows: Vec<&str> = rows.iter().copied().filter(|row| !row.is_empty()).collect();
        let (half, high) = (rows.iter().map(|row| extent(row, false)).fold(0.0, f64::max) / 2.0 + 4.0, rows.len() as f64 * ROW + 2.0);
        // As far as the box of the words reaches that way.
        let clear = (half / aside.abs().max(1e-6)).min(high / 2.0 / rise.abs().max(1e-6)) + 6.0;
        let beyond = point(far.x + aside * clear, far.y + rise * clear - raised);
        self.lettering.ask(beside.unwrap_or(beyond), Some(Thing::Line(far, at)), &rows, true, ink);
    }

    /// The arrow of a force alone: its far end, and the way that leads there from the body.
    pub fn arrow(&mut self, at: Point, way: (f64, f64), pulls: bool, value: Option<f64>, printed: &str, ink: Ink) -> (Point, (f64, f64)) {
        let size = value.filter(|v| v.is_finite());
        self.learn_unit(size, printed);
        let (mut dx, mut dy) = way;
        let turned = size.is_some_and(|v| v < 0.0);
        if turned {
            (dx, dy) = (-dx, -dy);
        }
        let pulls = pulls != turned;
        let whole = size.filter(|_| self.largest > 0.0).map(|size| size.abs() / self.largest * FULL);
        let length = whole.unwrap_or(40.0).min(self.longest);
        let token = length < SHORTEST || whole.is_none();
        let length = if length < SHORTEST { TOKEN } else { length };
        let away = if pulls { 1.0 } else { -1.0 };
        let far = point(at.x + dx * length * away, at.y + dy * length * away);
        let (from, to) = if pulls { (at, far) } else { (far, at) };
        if token {
            self.token |= whole.is_some();
            self.token_arrow(from, to, (dx, dy), ink);
        } else if whole.is_some_and(|whole| whole > length) {
            self.cut_arrow(from, (dx, dy), length, ink);
        } else {
            self.to_scale = true;
            self.add(Shape::Arrow { from, to, ink });
        }
        (far, (dx * away, dy * away))
    }

    /// A bracket over a row of arrows, in place of words at each, with what they are together.
    pub fn bracket(&mut self, from: Point, to: Point, rows: &[&str], ink: Ink) {
        self.line(&[point(from.x, from.y + 7.0), from, to, point(to.x, to.y + 7.0)], Weight::Light, Ink::Construction, false);
        let middle = (from.x + to.x) / 2.0;
        let high = rows.iter().filter(|row| !row.is_empty()).count() as f64 * ROW;
        self.lettering.ask(point(middle, from.y - high / 2.0 - 4.0), Some(Thing::Line(from, to)), rows, true, ink);
    }

    /// A break across what is drawn shorter than it is, `half` as high.
    pub fn broken(&mut self, at: Point, half: f64) {
        self.add(zigzag(at, half));
        self.keep_off(at.x - 4.0, at.y - half, 8.0, 2.0 * half);
    }

    /// A way that something goes: a light arrow.
    pub fn way(&mut self, from: Point, to: Point) {
        let length = libm::hypot(to.x - from.x, to.y - from.y).max(1e-9);
        let (dx, dy) = ((to.x - from.x) / length, (to.y - from.y) / length);
        let back = |aside: f64| point(to.x - 11.0 * dx - aside * dy, to.y - 11.0 * dy + aside * dx);
        self.line(&[from, back(0.0)], Weight::Light, Ink::Construction, false);
        let head = vec![to, back(1.94), back(-1.94)];
        self.add(Shape::Path { points: head, closed: true, filled: true, weight: Weight::Light, ink: Ink::Construction, dashed: false });
    }

    // Too small for the scale, or of no known size.
    fn token_arrow(&mut self, from: Point, to: Point, (dx, dy): (f64, f64), ink: Ink) {
        let back = |along: f64, aside: f64| point(to.x - dx * along - dy * aside, to.y - dy * along + dx * aside);
        let shaft = vec![from, back(8.0, 0.0)];
        self.add(Shape::Path { points: shaft, closed: false, filled: false, weight: Weight::Medium, ink, dashed: true });
        let head = vec![to, back(9.0, 1.6), back(9.0, -1.6)];
        self.add(Shape::Path { points: head, closed: true, filled: true, weight: Weight::Light, ink, dashed: false });
    }

    // Longer than there is room for: cut, with a break mark in the gap.
    fn cut_arrow(&mut self, from: Point, (dx, dy): (f64, f64), length: f64, ink: Ink) {
        let at = |along: f64, aside: f64| point(from.x + dx * along - dy * aside, from.y + dy * along + dx * aside);
        let middle = length * 0.4;
        self.line(&[from, at(middle - 2.5, 0.0)], Weight::Heavy, ink, false);
        self.add(Shape::Arrow { from: at(middle + 2.5, 0.0), to: at(length, 0.0), ink });
        for gap in [-2.5, 2.5] {
            self.line(&[at(middle + gap - 2.5, -6.0), at(middle + gap + 2.5, 6.0)], Weight::Medium, ink, false);
        }
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

    /// A dimension, its value above its line, or beside it where it is too short.
    pub fn dimension(&mut self, from: Point, to: Point, offset: f64, text: &str) {
        let length = libm::hypot(to.x - from.x, to.y - from.y).max(1e-9);
        let (nx, ny) = (-(to.y - from.y) / length * offset, (to.x - from.x) / length * offset);
        let middle = point((from.x + to.x) / 2.0 + nx, (from.y + to.y) / 2.0 + ny);
        let wide = extent(text, false);
        let level = (to.y - from.y).abs() < 0.01 * length;
        let upright = (to.x - from.x).abs() < 0.01 * length;
        let fits = !text.is_empty() && wide + 4.0 <= length && (level || upright);
        if fits {
            // Words along an upright line stand to the left of it and read from the right.
            let (x, y, w, h) = if level {
                (middle.x - wide / 2.0, middle.y - 5.0 - 13.0, wide, 16.0)
            } else {
                (middle.x - 5.0 - 13.0, middle.y - wide / 2.0, 16.0, wide)
            };
            self.keep_off(x, y, w, h);
        }
        self.add(Shape::Dimension { from, to, offset, text: if fits { text.to_owned() } else { String::new() } });
        if !fits && !text.is_empty() {
            // Over the tail of the outer arrow, or beside an upright line.
            let beside = if level {
                point(from.x.max(to.x) + nx + wide / 2.0 + 5.0, middle.y - 16.0)
            } else {
                point(middle.x + wide / 2.0 + 8.0, middle.y)
            };
            let ends = Thing::Line(point(from.x + nx, from.y + ny), point(to.x + nx, to.y + ny));
            self.lettering.ask(beside, Some(ends), &[text], false, Ink::Construction);
        }
    }

    /// A symbol with its value below, as near to `at` as there is room.
    pub fn named(&mut self, at: Point, symbol: &str, value: &str, ink: Ink) {
        self.lettering.ask(at, None, &[symbol, value], !value.is_empty(), ink);
    }

    /// Rows of words near `at`, the first of them a symbol, for what lies along `thing`.
    pub fn words(&mut self, at: Point, thing: (Point, Point), rows: &[&str], ink: Ink) {
        self.lettering.ask(at, Some(Thing::Line(thing.0, thing.1)), rows, true, ink);
    }

    /// A symbol with its value below near `at`, which names what stands at `thing`: with a leader when it is away from it.
    pub fn names(&mut self, thing: Point, at: Point, symbol: &str, value: &str, ink: Ink) {
        self.lettering.ask(at, Some(Thing::Line(thing, thing)), &[symbol, value], !value.is_empty(), ink);
    }

    /// The same for what lies along a line, anywhere on which the leader may begin.
    pub fn names_line(&mut self, line: (Point, Point), at: Point, symbol: &str, value: &str, ink: Ink) {
        self.lettering.ask(at, Some(Thing::Line(line.0, line.1)), &[symbol, value], !value.is_empty(), ink);
    }

    /// The same for a circle among others, which a leader ends on in any case.
    pub fn names_rim(&mut self, (centre, radius): (Point, f64), at: Point, symbol: &str, value: &str, ink: Ink) {
        self.lettering.ask(at, Some(Thing::Rim(centre, radius)), &[symbol, value], !value.is_empty(), ink);
    }

    /// Places the words, adds the scale of the forces and closes the drawing. What `description` says follows the title, and does
    /// not say it again.
    pub fn finish(mut self, title: String, description: String) -> Drawing {
        // Words stand beside what is drawn, and beyond the usual width only as far as that goes.
        let reached = || self.shapes.iter().flat_map(ends).map(|p| p.x);
        let bounds = (reached().fold(0.0, f64::min), reached().fold(WIDTH, f64::max));
        let words = self.lettering.place(&self.shapes, bounds);
        self.shapes.extend(words);
        let all: Vec<Point> = self.shapes.iter().flat_map(ends).collect();
        let (left, right) = all.iter().fold((WIDTH, 0.0_f64), |(left, right), p| (left.min(p.x), right.max(p.x)));
        let (left, right) = if left < right { (left, right) } else { (0.0, WIDTH) };
        let (top, bottom) = all.iter().fold((f64::INFINITY, 0.0_f64), |(top, bottom), p| (top.min(p.y), bottom.max(p.y)));
        let mut foot = bottom + MARGIN;
        let mut wide = right;
        if self.largest > 0.0 && self.to_scale {
            let (unit, newtons, _) = self.unit;
            let stands_for = round_force(self.largest / newtons);
            let length = stands_for * newtons / self.largest * FULL;
            let (at, text) = (point(left + 2.0, foot + 10.0), format!("{}\u{a0}{unit}", plain(stands_for)));
            wide = wide.max(at.x + length + 8.0 + extent(&text, false));
            self.shapes.push(Shape::ScaleBar { at, length, text });
            foot += 24.0;
        }
        if self.token {
            let text = say!("dashed: too small for this scale").to_owned();
            wide = wide.max(left + 2.0 + extent(&text, false));
            let at = point(left + 2.0, foot + 10.0);
            self.shapes.push(Shape::Label { at, text, anchor: Anchor::Start, symbol: false, ink: Ink::Construction });
            foot += 20.0;
        }
        let down = if top.is_finite() { MARGIN - top } else { 0.0 };
        // Nothing is left blank beside it, so that it is as large as it can be on a narrow page.
        let aside = MARGIN - left;
        let shapes = self.shapes.into_iter().map(|shape| moved(shape, aside, down)).collect();
        let newtons = (self.largest > 0.0).then_some(self.largest / FULL);
        let description = description.trim_start().to_owned();
        Drawing { width: wide + aside + MARGIN, height: foot + down, shapes, title, description, newtons }
    }
}

/// Points that a shape reaches to.
fn ends(shape: &Shape) -> Vec<Point> {
    match shape {
        Shape::Path { points, .. } => points.clone(),
        Shape::Arrow { from, to, .. } | Shape::Leader { from, to } => vec![*from, *to],
        Shape::Ground { from, to } => {
            let length = libm::hypot(to.x - from.x, to.y - from.y).max(1e-9);
            let (nx, ny) = (-(to.y - from.y) / length * 9.0, (to.x - from.x) / length * 9.0);
            vec![*from, *to, point(from.x + nx, from.y + ny), point(to.x + nx, to.y + ny)]
        }
        Shape::Dimension { from, to, offset, text } => {
            let length = libm::hypot(to.x - from.x, to.y - from.y).max(1e-9);
            let (nx, ny) = (-(to.y - from.y) / length * offset, (to.x - from.x) / length * offset);
            let (a, b) = (point(from.x + nx, from.y + ny), point(to.x + nx, to.y + ny));
            let above = if text.is_empty() { 5.0 } else { 20.0 };
            let room = if (to.y - from.y).abs() < 0.01 * length { point(a.x, a.y - above) } else { point(a.x - above, a.y) };
            // Where it is too short for both heads they stand outside.
            let (ux, uy) = if length <= 33.0 { ((to.x - from.x) / length * 22.0, (to.y - from.y) / length * 22.0) } else { (0.0, 0.0) };
            vec![*from, *to, point(a.x - ux, a.y - uy), point(b.x + ux, b.y + uy), room]
        }
        Shape::Circle { centre, radius, .. } => {
            vec![point(centre.x - radius, centre.y - radius), point(centre.x + radius, centre.y + radius)]
        }
        Shape::Arc { centre, radius, from, to, .. } => (0..=12)
            .map(|step| (from + (to - from) * f64::from(step) / 12.0).to_radians())
            .map(|turn| point(centre.x + radius * libm::cos(turn), centre.y + radius * libm::sin(turn)))
            .collect(),
        Shape::Label { at, text, anchor, symbol, .. } => {
            let width = extent(text, *symbol);
            let start = match anchor {
                Anchor::Start => 0.0,
                Anchor::Middle => width / 2.0,
                Anchor::End => width,
            };
            vec![point(at.x - start, at.y - 13.0), point(at.x - start + width, at.y + 5.0)]
        }
        Shape::PartNumber { at, .. } => vec![point(at.x - 10.0, at.y - 10.0), point(at.x + 10.0, at.y + 10.0)],
        Shape::ScaleBar { at, .. } => vec![*at],
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
        Shape::Ground { from, to } | Shape::Arrow { from, to, .. } | Shape::Leader { from, to } | Shape::Dimension { from, to, .. } => {
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
