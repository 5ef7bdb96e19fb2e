//! Lettering: how wide words are, and where each finds room beside what it names.
//!
//! Widths are those of the widest faces the page may fall back to, so that no reader's fonts make words touch.
use crate::kinds::drawing_board::point;
use crate::kinds::sketching::{Anchor, Ink, Point, Shape, Weight};
use std::sync::LazyLock;

/// From one row of a label to the next.
pub const ROW: f64 = 16.0;
/// Height of drawing text, and of symbols, as the style sheet sets them.
const TEXT: f64 = 14.0;
const SYMBOL: f64 = 16.0;

/// How wide words are at the most, in drawing units; symbols are set a little larger than other words.
pub fn extent(text: &str, symbol: bool) -> f64 {
    // The most of Noto Sans, DejaVu Sans and Georgia, in parts of the height of the type (from their own tables).
    let wide = |letter: char| match letter {
        'i' | 'j' | 'l' | '.' | ',' | '\'' | ':' | ';' | '|' | '\u{b7}' | '\u{2009}' | '\u{202f}' => 0.35,
        ' ' | '\u{a0}' | 'f' | 't' | 'r' | 'I' | '(' | ')' | '[' | ']' | '-' | '/' => 0.42,
        'm' | 'w' | 'M' | 'W' | '%' | '@' | '\u{2030}' => 0.99,
        'A'..='Z' | 'Ä' | 'Ö' | 'Ü' => 0.78,
        _ => 0.64,
    };
    text.chars().map(wide).sum::<f64>() * if symbol { SYMBOL } else { TEXT }
}

/// Words that wait for their place.
struct Asked {
    /// Where their middle would best stand.
    at: Point,
    /// What they name.
    thing: Point,
    rows: Vec<String>,
    symbol: bool,
    ink: Ink,
}

/// A line that words keep off: altogether, or if they can.
struct Kept {
    from: Point,
    to: Point,
    strictly: bool,
    /// Left, top, right and bottom: most lines are far from most words, and that is seen by these.
    bounds: [f64; 4],
}

impl Kept {
    fn new(from: Point, to: Point, strictly: bool) -> Kept {
        Kept { from, to, strictly, bounds: [from.x.min(to.x), from.y.min(to.y), from.x.max(to.x), from.y.max(to.y)] }
    }
}

/// All the words of a drawing, and what they keep off.
#[derive(Default)]
pub struct Lettering {
    asked: Vec<Asked>,
    taken: Vec<[f64; 4]>,
    lines: Vec<Kept>,
}

impl Lettering {
    /// Keeps words off a rectangle.
    pub fn keep_off(&mut self, x: f64, y: f64, width: f64, height: f64) {
        self.taken.push([x, y, x + width, y + height]);
    }

    /// Keeps words off a line.
    pub fn keep_off_line(&mut self, from: Point, to: Point) {
        self.lines.push(Kept::new(from, to, true));
    }

    /// Words with their middle at `at` if there is room, for what stands at `thing`.
    pub fn ask(&mut self, at: Point, thing: Point, rows: &[&str], symbol: bool, ink: Ink) {
        let rows: Vec<String> = rows.iter().filter(|row| !row.is_empty()).map(|row| (*row).to_owned()).collect();
        if !rows.is_empty() {
            self.asked.push(Asked { at, thing, rows, symbol, ink });
        }
    }

    /// Places all words clear of the shapes and of one another, within `width`, each with a leader where it is away.
    pub fn place(&mut self, shapes: &[Shape], width: f64) -> Vec<Shape> {
        for shape in shapes {
            self.heed(shape);
        }
        let mut out = Vec::new();
        for asked in std::mem::take(&mut self.asked) {
            self.settle(&asked, width, &mut out);
        }
        out
    }

    fn settle(&mut self, asked: &Asked, width: f64, out: &mut Vec<Shape>) {
        let wide = asked.rows.iter().enumerate().map(|(row, text)| extent(text, asked.symbol && row == 0)).fold(0.0, f64::max) + 4.0;
        let high = asked.rows.len() as f64 * ROW + 2.0;
        let (x, y) = self.room(asked.at, wide, high, width);
        self.keep_off(x, y, wide, high);
        let thing = asked.thing;
        let near = point(thing.x.clamp(x, x + wide), thing.y.clamp(y, y + high));
        if libm::hypot(near.x - thing.x, near.y - thing.y) > 30.0 {
            self.lines.push(Kept::new(thing, near, false));
            let points = vec![thing, near];
            let ink = Ink::Construction;
            out.push(Shape::Path { points, closed: false, filled: false, weight: Weight::Light, ink, dashed: false });
        }
        for (row, text) in asked.rows.iter().enumerate() {
            let at = point(x + wide / 2.0, y + 13.0 + row as f64 * ROW);
            let symbol = row == 0 && asked.symbol;
            out.push(Shape::Label { at, text: text.clone(), anchor: Anchor::Middle, symbol, ink: asked.ink });
        }
    }

    // The left upper corner of the best place: near, and over as few light lines as may be.
    fn room(&self, at: Point, wide: f64, high: f64, width: f64) -> (f64, f64) {
        static ROUND: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| {
            let turn = |turn: u32| f64::from(turn) * core::f64::consts::PI / 8.0;
            (0..16).map(turn).map(|angle| (libm::cos(angle), libm::sin(angle))).collect()
        });
        let mut best: Option<(f64, f64, f64)> = None;
        for ring in 0..48_u32 {
            let reach = f64::from(ring) * 8.0;
            if best.is_some_and(|(cost, ..)| reach >= cost) {
                break;
            }
            for (cos, sin) in ROUND.iter().take(if ring == 0 { 1 } else { 16 }) {
                let x = (at.x + reach * 1.3 * cos).clamp(wide / 2.0, (width - wide / 2.0).max(wide / 2.0)) - wide / 2.0;
                let y = at.y + reach * sin - high / 2.0;
                let away = libm::hypot(x + wide / 2.0 - at.x, y + high / 2.0 - at.y);
                let Some(crossed) = self.crossed(x, y, wide, high) else { continue };
                let cost = away + 14.0 * crossed as f64;
                if best.is_none_or(|(least, ..)| cost < least) {
                    best = Some((cost, x, y));
                }
            }
        }
        let (_, x, y) = best.unwrap_or_else(|| {
            // With no room in any ring it goes below everything.
            let floor = self.taken.iter().map(|taken| taken[3]).chain(self.lines.iter().map(|line| line.from.y.max(line.to.y)));
            let low = floor.fold(at.y, f64::max) + 4.0;
            (0.0, (at.x - wide / 2.0).clamp(0.0, (width - wide).max(0.0)), low)
        });
        (x, y)
    }

    // How many light lines words at this place would cover; none where they would cover anything else.
    fn crossed(&self, x: f64, y: f64, wide: f64, high: f64) -> Option<usize> {
        let all = [x, y, x + wide, y + high];
        if self.taken.iter().any(|b| all[0] < b[2] && b[0] < all[2] && all[1] < b[3] && b[1] < all[3]) {
            return None;
        }
        let mut crossed = 0;
        for line in &self.lines {
            let clear = if line.strictly { 3.0 } else { 1.0 };
            let [left, top, right, bottom] = [all[0] - clear, all[1] - clear, all[2] + clear, all[3] + clear];
            if line.bounds[2] < left || line.bounds[0] > right || line.bounds[3] < top || line.bounds[1] > bottom {
                continue;
            }
            if meets(line.from, line.to, [left, top, right, bottom]) {
                if line.strictly {
                    return None;
                }
                crossed += 1;
            }
        }
        Some(crossed)
    }

    fn heed(&mut self, shape: &Shape) {
        match shape {
            Shape::Path { points, closed, weight, .. } => {
                let strictly = !matches!(weight, Weight::Light);
                self.run(points, *closed, strictly);
            }
            Shape::Circle { centre, radius, weight, .. } => {
                self.run(&round(*centre, *radius, 0.0, 360.0), false, !matches!(weight, Weight::Light));
            }
            Shape::Arc { centre, radius, from, to, weight, .. } => {
                self.run(&round(*centre, *radius, *from, *to), false, !matches!(weight, Weight::Light));
            }
            Shape::Arrow { from, to, .. } => self.run(&[*from, *to], false, true),
            Shape::Ground { from, to } => {
                let length = libm::hypot(to.x - from.x, to.y - from.y).max(1e-9);
                let (nx, ny) = (-(to.y - from.y) / length * 5.0, (to.x - from.x) / length * 5.0);
                self.run(&[*from, *to, point(to.x + nx, to.y + ny), point(from.x + nx, from.y + ny)], true, true);
            }
            Shape::Dimension { from, to, offset, .. } => {
                let length = libm::hypot(to.x - from.x, to.y - from.y).max(1e-9);
                let (nx, ny) = (-(to.y - from.y) / length * offset, (to.x - from.x) / length * offset);
                let (a, b) = (point(from.x + nx, from.y + ny), point(to.x + nx, to.y + ny));
                self.run(&[a, b], false, true);
                self.run(&[*from, a], false, false);
                self.run(&[*to, b], false, false);
            }
            Shape::Label { .. } | Shape::PartNumber { .. } | Shape::ScaleBar { .. } => {}
        }
    }

    fn run(&mut self, points: &[Point], closed: bool, strictly: bool) {
        let back = if closed { points.last().zip(points.first()) } else { None };
        let pairs = points.iter().zip(points.iter().skip(1)).chain(back);
        self.lines.extend(pairs.map(|(from, to)| Kept::new(*from, *to, strictly)));
    }
}

/// Part of a circle as a run of short lines.
fn round(centre: Point, radius: f64, from: f64, to: f64) -> Vec<Point> {
    // Most are whole circles.
    static WHOLE: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| {
        let turns = (0..=24).map(|step| (360.0 * f64::from(step) / 24.0).to_radians());
        turns.map(|turn| (libm::cos(turn), libm::sin(turn))).collect()
    });
    if from == 0.0 && to == 360.0 {
        return WHOLE.iter().map(|(cos, sin)| point(centre.x + radius * cos, centre.y + radius * sin)).collect();
    }
    let turn = |step: i32| (from + (to - from) * f64::from(step) / 24.0).to_radians();
    (0..=24).map(|step| point(centre.x + radius * libm::cos(turn(step)), centre.y + radius * libm::sin(turn(step)))).collect()
}

/// Whether a line passes through a rectangle (Liang and Barsky 1984, clipping against its four sides).
pub fn meets(from: Point, to: Point, [left, top, right, bottom]: [f64; 4]) -> bool {
    // Most lines lie wholly to one side.
    if from.x.max(to.x) < left || from.x.min(to.x) > right || from.y.max(to.y) < top || from.y.min(to.y) > bottom {
        return false;
    }
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    for (step, room) in [(-dx, from.x - left), (dx, right - from.x), (-dy, from.y - top), (dy, bottom - from.y)] {
        if step == 0.0 {
            if room < 0.0 {
                return false;
            }
        } else if step < 0.0 {
            enters = enters.max(room / step);
        } else {
            leaves = leaves.min(room / step);
        }
    }
    enters < leaves
}
