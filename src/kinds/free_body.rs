//! Free bodies: one body cut from the machine, with every force that acts on it and who exerts it.
//!
//! A kind says which of its values act, where and which way; the sizes are the sheet's. Nothing is added so that the
//! forces close: whether they do is tested from outside.
use crate::kinds::drawing_board::{DrawingBoard, point};
use crate::kinds::lettering::extent;
use crate::kinds::sketching::{Acting, Drawing, Figures, FreeBody, Ink, Point, Shape, Turning, Weight};
use crate::words::{contracted, plain, say, word};
use core::f64::consts::PI;

/// The lengths, in drawing units, between which the largest force may stand at the scale of the sketch beside it.
const ROOM: core::ops::RangeInclusive<f64> = 40.0..=115.0;
/// Its length where the sketch's scale does not suit.
const OWN: f64 = 80.0;
/// How far the cut end of a rope leads away from what it lies on.
const STUB: f64 = 22.0;
/// The height of a tooth below its pitch circle.
const TOOTH: f64 = 6.0;
/// How long each of several forces that share the largest should be, and how long the largest may become for that.
const SHARE: f64 = 20.0;
const MOST: f64 = 200.0;

/// A force as it is placed on the body.
struct Placed {
    symbol: String,
    printed: String,
    giver: &'static str,
    size: f64,
    at: Point,
    way: (f64, f64),
    pulls: bool,
    /// Its place in a list.
    item: Option<usize>,
    /// How much higher than usual its words stand, and where they stand if not beyond its arrow.
    raised: f64,
    words: Option<Point>,
    rubs: bool,
}

/// A couple as it is placed.
struct Wound {
    symbol: String,
    printed: String,
    giver: &'static str,
    /// Against the clock.
    size: f64,
    centre: Point,
    radius: f64,
}

/// A body being cut free. Its own coordinates are drawing units, x to the right and y down.
pub struct Cut<'f> {
    what: &'static str,
    figures: &'f dyn Figures,
    outline: Vec<Shape>,
    forces: Vec<Placed>,
    couples: Vec<Wound>,
    /// Whether every force was known.
    known: bool,
    note: String,
    /// How many forces share the largest.
    shares: usize,
}

impl<'f> Cut<'f> {
    /// Cuts `what` out of the machine whose numbers are `figures`.
    pub fn free(what: &'static str, figures: &'f dyn Figures) -> Self {
        Self { what, figures, outline: Vec::new(), forces: Vec::new(), couples: Vec::new(), known: true, note: String::new(), shares: 1 }
    }

    /// Adds to the outline of the body.
    pub fn outline(&mut self, points: &[Point], closed: bool) -> &mut Self {
        self.shape(Shape::Path { points: points.to_vec(), closed, filled: false, weight: Weight::Medium, ink: Ink::Body, dashed: false })
    }

    /// Adds a circle to the outline.
    pub fn circle(&mut self, centre: Point, radius: f64) -> &mut Self {
        self.shape(Shape::Circle { centre, radius, filled: false, weight: Weight::Medium, ink: Ink::Body })
    }

    /// Adds any shape of the body.
    pub fn shape(&mut self, shape: Shape) -> &mut Self {
        self.outline.push(shape);
        self
    }

    /// The largest force is held by `shares` others, about alike: it is drawn long enough that they are seen.
    pub fn shared_by(&mut self, shares: usize) -> &mut Self {
        self.shares = shares;
        self
    }

    /// A sentence about what the free body leaves out.
    pub fn note(&mut self, words: &str) -> &mut Self {
        self.note = format!(" {words}");
        self
    }

    /// The force `name` pulls at `at`, its arrow leading away from the body along `way`.
    pub fn pulls(&mut self, name: &str, giver: &'static str, at: Point, way: (f64, f64)) -> &mut Self {
        let force = self.named(name, giver, at, way, true);
        self.place(self.figures.value(name), force)
    }

    /// The same by the cut end of a rope that leaves the body at `at` along `way`: the arrow stands at that end, clear of what the
    /// rope lies on.
    pub fn rope_pulls(&mut self, name: &str, giver: &'static str, at: Point, way: (f64, f64)) -> &mut Self {
        let end = self.rope_end(at, way);
        self.pulls(name, giver, end, way)
    }

    /// The same by an item of a list.
    pub fn item_rope_pulls(&mut self, name: &str, index: usize, giver: &'static str, at: Point, way: (f64, f64)) -> &mut Self {
        let end = self.rope_end(at, way);
        self.item_pulls(name, index, giver, end, way)
    }

    fn rope_end(&mut self, at: Point, way: (f64, f64)) -> Point {
        let end = point(at.x + STUB * way.0, at.y + STUB * way.1);
        self.shape(Shape::Path {
            points: vec![at, end],
            closed: false,
            filled: false,
            weight: Weight::Heavy,
            ink: Ink::Rope,
            dashed: false,
        });
        end
    }

    /// The rope where it lies on a circle, from one angle to another in degrees, clockwise from the x axis.
    pub fn rope_on(&mut self, centre: Point, radius: f64, from: f64, to: f64) -> &mut Self {
        let (weight, ink) = (Weight::Heavy, Ink::Rope);
        self.shape(if to - from < 360.0 {
            Shape::Arc { centre, radius, from, to, weight, ink }
        } else {
            Shape::Circle { centre, radius, filled: false, weight, ink }
        })
    }

    /// A toothed wheel about the origin, cut off at the feet of its teeth, with its pitch circle and the tooth that a force acts on
    /// at `mesh` on it.
    pub fn toothed(&mut self, radius: f64, mesh: Point) -> &mut Self {
        self.circle(point(0.0, 0.0), radius - TOOTH);
        let turns = (0..=48).map(|step| f64::from(step) * PI / 24.0);
        let points = turns.map(|turn| point(radius * libm::cos(turn), radius * libm::sin(turn))).collect();
        self.shape(Shape::Path { points, closed: false, filled: false, weight: Weight::Light, ink: Ink::Body, dashed: true });
        let (out, along) = ((mesh.x / radius, mesh.y / radius), (-mesh.y / radius, mesh.x / radius));
        let on = |off: f64, aside: f64| point(mesh.x + off * out.0 + aside * along.0, mesh.y + off * out.1 + aside * along.1);
        self.outline(&[on(-TOOTH, -5.0), on(0.8 * TOOTH, -2.5), on(0.8 * TOOTH, 2.5), on(-TOOTH, 5.0)], false)
    }

    /// The force `name` pushes at `at`, its arrow coming from outside along `way` with its head there.
    pub fn pushes(&mut self, name: &str, giver: &'static str, at: Point, way: (f64, f64)) -> &mut Self {
        let force = self.named(name, giver, at, way, false);
        self.place(self.figures.value(name), force)
    }

    /// The words of the last force stand so much higher than beyond the end of its arrow.
    pub fn words_raised(&mut self, by: f64) -> &mut Self {
        if let Some(force) = self.forces.last_mut() {
            force.raised = by;
        }
        self
    }

    /// The words of the last force have their middle there, instead of beyond the end of its arrow.
    pub fn words_at(&mut self, at: Point) -> &mut Self {
        if let Some(force) = self.forces.last_mut() {
            force.words = Some(at);
        }
        self
    }

    /// An item of a list pulls.
    pub fn item_pulls(&mut self, name: &str, index: usize, giver: &'static str, at: Point, way: (f64, f64)) -> &mut Self {
        let mut force = self.named(name, giver, at, way, true);
        (force.symbol, force.printed) = (format!("{} {index}", force.symbol), self.figures.printed_item(name, index));
        force.item = Some(index);
        self.place(self.figures.item(name, index), force)
    }

    /// The force `name`, which points as two parts of it do, to the right and upward.
    pub fn parts(&mut self, name: &str, giver: &'static str, at: Point, (right, up): (Option<f64>, Option<f64>), pulls: bool) -> &mut Self {
        let (Some(right), Some(up), Some(whole)) = (right, up, self.figures.value(name)) else {
            self.known = false;
            return self;
        };
        let size = libm::hypot(right, up);
        let way = if size > 0.0 { (right / size, -up / size) } else { (1.0, 0.0) };
        let force = self.named(name, giver, at, way, pulls);
        self.place(Some(whole), force)
    }

    fn place(&mut self, size: Option<f64>, mut force: Placed) -> &mut Self {
        match size.filter(|size| size.is_finite()) {
            Some(size) => {
                // What points against its name's way is drawn as it acts, a pull as a push, with its bare size.
                if size < 0.0 {
                    force.way = (-force.way.0, -force.way.1);
                    force.pulls = !force.pulls;
                    force.printed = force.printed.trim_start_matches(['\u{2212}', '-']).to_owned();
                }
                force.size = size.abs();
                self.forces.push(force);
            }
            None => self.known = false,
        }
        self
    }

    fn named(&self, name: &str, giver: &'static str, at: Point, way: (f64, f64), pulls: bool) -> Placed {
        Placed {
            symbol: symbol(name),
            printed: self.figures.printed(name),
            giver,
            size: 0.0,
            at,
            way,
            pulls,
            rubs: false,
            item: None,
            raised: 0.0,
            words: None,
        }
    }

    /// The force that was placed last is friction: it is drawn as what takes from the rest.
    pub fn rubs(&mut self) -> &mut Self {
        if let Some(force) = self.forces.last_mut() {
            force.rubs = true;
        }
        self
    }

    /// The couple `name` about the axis at `centre`.
    pub fn couple(&mut self, name: &str, giver: &'static str, centre: Point, radius: f64, against_clock: bool) -> &mut Self {
        match self.figures.value(name).filter(|size| size.is_finite()) {
            Some(size) => {
                let size = if against_clock { size } else { -size };
                let printed = self.figures.printed(name).trim_start_matches(['\u{2212}', '-']).to_owned();
                self.couples.push(Wound { symbol: symbol(name), printed, giver, size, centre, radius });
            }
            None => self.known = false,
        }
        self
    }

    /// The free body, at the scale of the sketch if that suits; none where a force is not known.
    pub fn drawn(self, newtons: Option<f64>) -> Option<FreeBody> {
        let largest = self.forces.iter().map(|force| force.size).fold(0.0, f64::max);
        let turning = self.couples.iter().map(|couple| couple.size.abs()).fold(0.0, f64::max);
        if !self.known || (largest == 0.0 && turning == 0.0) {
            return None;
        }
        let least = (SHARE * self.shares as f64).clamp(*ROOM.start(), MOST);
        let suits = |newtons: &f64| (least..=ROOM.end().max(least)).contains(&(largest / newtons));
        let newtons = newtons.filter(suits).unwrap_or(largest / OWN.max(least));
        let mut board = DrawingBoard::at_scale(newtons);
        for shape in &self.outline {
            board.add(shift(shape.clone()));
        }
        let (mut forces, mut couples, mut said) = (Vec::new(), Vec::new(), String::new());
        let acting: Vec<&Placed> = self.forces.iter().filter(|force| force.size > 1e-9 * largest).collect();
        let bracketed = crowded(&acting);
        bracket(&mut board, &bracketed);
        for force in acting {
            let from = from(force.giver);
            let ink = if force.rubs { Ink::Loss } else { Ink::Force };
            let at = moved(force.at);
            // Who exerts a row of forces is said once, in words, and not at each.
            let row = self.forces.iter().filter(|other| other.giver == force.giver).count() > 2;
            let beside = if row { "" } else { from.as_str() };
            if !bracketed.iter().any(|other| core::ptr::eq(*other, force)) {
                let rows: [&str; 3] = [&force.symbol, &force.printed, beside];
                board.force_of(at, force.way, force.pulls, Some(force.size), (&rows, force.raised, force.words.map(moved)), ink);
            }
            said += &format!(" {} {from}: {}, {}.", capital(&force.symbol), force.printed, direction(force.way));
            forces.push(Acting {
                symbol: force.symbol.clone(),
                printed: force.printed.clone(),
                giver: force.giver.to_owned(),
                right: force.size * force.way.0,
                up: -force.size * force.way.1,
            });
        }
        let mut wound = [0_u8; 2];
        for couple in self.couples.iter().filter(|couple| couple.size.abs() > 1e-9 * turning) {
            let from = from(couple.giver);
            // On each side the words of the wider arcs stand over those of the narrower.
            let side = usize::from(couple.size > 0.0);
            let lifted = wound.get(side).copied().unwrap_or_default();
            if let Some(count) = wound.get_mut(side) {
                *count += 1;
            }
            wind(&mut board, couple, &[&couple.symbol, &couple.printed, &from], 52.0 * f64::from(lifted));
            let way = if couple.size > 0.0 { say!("against the clock") } else { say!("with the clock") };
            said += &format!(" {} {from}: {}, {way}.", capital(&couple.symbol), couple.printed);
            couples.push(Turning {
                symbol: couple.symbol.clone(),
                printed: couple.printed.clone(),
                giver: couple.giver.to_owned(),
                against_clock: couple.size,
            });
        }
        let closes = say!(" Together they leave nothing over.");
        let description = said + closes + &self.note;
        let drawing: Drawing = board.finish(say!("Free body: {what}", what = self.what), description);
        Some(FreeBody { forces, couples, drawing })
    }
}

/// From whom a force comes.
fn from(giver: &str) -> String {
    contracted(&say!("from {giver}", giver = giver))
}

/// The sheet's name of a value, as it is lettered: in the words of the page where they have it.
fn symbol(name: &str) -> String {
    word(&name.replace('_', " ")).to_owned()
}

/// Where the origin of the body lies on its sheet: with room for words on every side.
const MIDDLE: Point = Point { x: 320.0, y: 320.0 };

fn moved(at: Point) -> Point {
    point(at.x + MIDDLE.x, at.y + MIDDLE.y)
}

/// The row of upward pulls that stand too close for words at each, from left to right; empty where every one has room.
fn crowded<'p>(acting: &[&'p Placed]) -> Vec<&'p Placed> {
    let upward = |force: &&&Placed| force.item.is_some() && force.pulls && force.way == (0.0, -1.0);
    let mut row: Vec<&Placed> = acting.iter().filter(upward).copied().collect();
    row.sort_by(|a, b| a.at.x.total_cmp(&b.at.x));
    let wide = |force: &Placed| extent(&force.symbol, true).max(extent(&force.printed, false)) + 12.0;
    let widest = row.iter().map(|force| wide(force)).fold(0.0, f64::max);
    let close = row.iter().zip(row.iter().skip(1)).any(|(a, b)| b.at.x - a.at.x < widest);
    if close && row.len() > 2 { row } else { Vec::new() }
}

// The arrows of a row with their numbers over them, and a bracket with what they are together.
fn bracket(board: &mut DrawingBoard, row: &[&Placed]) {
    let (Some(first), Some(last)) = (row.first(), row.last()) else { return };
    let mut top = f64::INFINITY;
    let near = row.iter().zip(row.iter().skip(1)).any(|(a, b)| b.at.x - a.at.x < 21.0);
    for (place, force) in row.iter().enumerate() {
        let (tip, _) = board.arrow(moved(force.at), force.way, force.pulls, Some(force.size), &force.printed, Ink::Force);
        // Where they would touch, every other number stands higher.
        let high = tip.y - 13.0 - if near && place % 2 == 1 { 21.0 } else { 0.0 };
        if let Some(number) = force.item {
            board.part_number(point(tip.x, high), number);
        }
        top = top.min(high - 16.0);
    }
    let number = |force: &Placed| force.item.unwrap_or_default();
    let all = row.iter().all(|force| force.printed == first.printed);
    let symbol = format!("{} \u{2026} {}", first.symbol, number(last));
    let sizes =
        if all { format!("{} \u{d7} {}", row.len(), first.printed) } else { format!("{} \u{2026} {}", first.printed, last.printed) };
    let from = from(first.giver);
    board.bracket(point(moved(first.at).x, top), point(moved(last.at).x, top), &[&symbol, &sizes, &from], Ink::Force);
}

fn shift(mut shape: Shape) -> Shape {
    let add = |p: &mut Point| {
        p.x += MIDDLE.x;
        p.y += MIDDLE.y;
    };
    match &mut shape {
        Shape::Path { points, .. } => points.iter_mut().for_each(add),
        Shape::Circle { centre, .. } | Shape::Arc { centre, .. } => add(centre),
        Shape::Ground { from, to } | Shape::Arrow { from, to, .. } | Shape::Leader { from, to } | Shape::Dimension { from, to, .. } => {
            add(from);
            add(to);
        }
        Shape::Label { at, .. } | Shape::PartNumber { at, .. } | Shape::ScaleBar { at, .. } => add(at),
    }
    shape
}

// A curved arrow over the centre, its words beside it.
fn wind(board: &mut DrawingBoard, couple: &Wound, rows: &[&str; 3], lifted: f64) {
    let (centre, radius) = (point(couple.centre.x + MIDDLE.x, couple.centre.y + MIDDLE.y), couple.radius);
    let sense = if couple.size > 0.0 { -1.0 } else { 1.0 };
    let (from, to) = (-90.0 - 70.0 * sense, -90.0 + 70.0 * sense);
    let lean = 7.0 / radius.max(7.0);
    let at = |turn: f64, far: f64| point(centre.x + far * libm::cos(turn), centre.y + far * libm::sin(turn));
    let end = to * PI / 180.0;
    // The head lies along the arc, whose line ends inside it.
    board.add(Shape::Arc { centre, radius, from, to: to - sense * lean * 90.0 / PI, weight: Weight::Heavy, ink: Ink::Force });
    let back = end - sense * 2.0 * lean;
    let head = vec![at(end, radius), at(back, radius + 3.0), at(back, radius - 3.0)];
    board.add(Shape::Path { points: head, closed: true, filled: true, weight: Weight::Light, ink: Ink::Force, dashed: false });
    let half = rows.iter().map(|row| extent(row, false)).fold(0.0, f64::max) / 2.0;
    let (far, over) = (at(from * PI / 180.0, radius), at((from + 50.0 * sense) * PI / 180.0, radius));
    board.words(point(far.x - sense * (half + 8.0), far.y - lifted), (far, over), rows, Ink::Force);
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// A direction of the page in words, to a tenth of a degree.
fn direction((x, y): (f64, f64)) -> String {
    let rise = libm::asin((-y).clamp(-1.0, 1.0)).to_degrees();
    let tenth = libm::round(rise.abs() * 10.0) / 10.0;
    let side = if x < 0.0 { say!("to the left") } else { say!("to the right") };
    match (tenth, rise > 0.0) {
        (90.0, true) => say!("straight up").to_owned(),
        (90.0, false) => say!("straight down").to_owned(),
        (0.0, _) => side.to_owned(),
        (degrees, true) => say!("{side} and {degrees}° up", side = side, degrees = plain(degrees)),
        (degrees, false) => say!("{side} and {degrees}° down", side = side, degrees = plain(degrees)),
    }
}

#[cfg(test)]
mod tests {
    use super::direction;

    #[test]
    fn directions_are_told_from_the_level() {
        assert_eq!(direction((1.0, 0.0)), "to the right");
        assert_eq!(direction((0.0, -1.0)), "straight up");
        assert_eq!(direction((0.0, 1.0)), "straight down");
        assert_eq!(direction((-0.5, -(0.75_f64).sqrt())), "to the left and 60° up");
        assert_eq!(direction(((0.75_f64).sqrt(), 0.5)), "to the right and 30° down");
    }
}
