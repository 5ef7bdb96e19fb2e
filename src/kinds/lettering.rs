//! Lettering: how wide words are, and where each finds room beside what it names.
//!
//! Widths are those of the widest faces the page may fall back to, so that no reader's fonts make words touch.
use crate::kinds::drawing_board::point;
use crate::kinds::sketching::{Anchor, Ink, Point, Shape, Weight};
use std::cell::OnceCell;
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

/// What words name.
#[derive(Clone, Copy)]
pub enum Thing {
    /// Something along a line, or at one place.
    Line(Point, Point),
    /// A circle among circles, by its centre and radius: its leader always shows, and ends in a dot on it (ISO 128-22).
    Rim(Point, f64),
}

/// Words that wait for their place.
struct Asked {
    /// Where their middle would best stand.
    at: Point,
    /// What they name, if it is a thing: where a leader may begin.
    thing: Option<Thing>,
    rows: Vec<String>,
    symbol: bool,
    ink: Ink,
    /// Their size.
    wide: f64,
    high: f64,
    /// Half of what each row takes on the page: most faces are narrower than the widest.
    halves: Vec<f64>,
}

/// A run of lines that words keep off: altogether, or if they can.
struct Kept {
    lines: Vec<(Point, Point)>,
    strictly: bool,
    /// How far words keep off it.
    clear: f64,
    /// Left, top, right and bottom of all that is too near: most runs are far from most words, and that is seen by these.
    bounds: [f64; 4],
}

impl Kept {
    fn new(lines: Vec<(Point, Point)>, strictly: bool) -> Kept {
        let clear = if strictly { 3.0 } else { 1.0 };
        // A little more, so that rounding hides nothing that is just too near.
        let reach = clear + 1e-3;
        let mut bounds = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
        for end in lines.iter().flat_map(|(from, to)| [from, to]) {
            let near = [end.x - reach, end.y - reach, end.x + reach, end.y + reach];
            bounds = [bounds[0].min(near[0]), bounds[1].min(near[1]), bounds[2].max(near[2]), bounds[3].max(near[3])];
        }
        Kept { lines, strictly, clear, bounds }
    }

    /// Whether a part of it may be too near to a rectangle.
    fn is_near(&self, [left, top, right, bottom]: [f64; 4]) -> bool {
        self.bounds[2] >= left && self.bounds[0] <= right && self.bounds[3] >= top && self.bounds[1] <= bottom
    }
}

/// Where words were put: left, top, right and bottom, and their leader where they have one.
#[derive(Clone, Copy)]
struct Seat {
    bounds: [f64; 4],
    led: Option<(Point, Point)>,
}

impl Seat {
    fn new(asked: &Asked, x: f64, y: f64, led: Option<(Point, Point)>) -> Seat {
        Seat { bounds: [x, y, x + asked.wide, y + asked.high], led }
    }
}

/// A place for words that is clear of what is drawn. Other words may stand there.
struct Place {
    x: f64,
    y: f64,
    /// How far it is from where they would best stand.
    away: f64,
    /// What it costs to cover light lines there.
    covered: f64,
    /// The leaders that it may have, the best first; made when they are first asked for.
    leaders: OnceCell<Vec<Strung>>,
}

/// A leader from what is named to its words.
struct Strung {
    line: (Point, Point),
    /// It begins on a line, which it does not cross: where it has left it.
    from: Point,
    /// How many heavy lines it crosses; counted when it is first asked for.
    crossed: OnceCell<usize>,
}

impl Strung {
    fn new((thing, to): (Point, Point)) -> Strung {
        let share = (5.0 / libm::hypot(to.x - thing.x, to.y - thing.y).max(1e-9)).min(0.5);
        let from = point(thing.x + (to.x - thing.x) * share, thing.y + (to.y - thing.y) * share);
        Strung { line: (thing, to), from, crossed: OnceCell::new() }
    }
}

/// The places for some words, ring by ring, as far as they were looked at: what is drawn stays the same while words are put in
/// one order and another, and only what other words are in the way is to be asked anew.
type Rings = Vec<Vec<Place>>;

/// What it costs words, in drawing units from their best place, to cover a light line, and a leader.
const OVER_LIGHT: f64 = 60.0;
const OVER_LEADER: f64 = 400.0;
/// What it costs a leader to cross another, to run through words, and to cross a heavy line.
const OVER_ANOTHER: f64 = 400.0;
const THROUGH_WORDS: f64 = 400.0;
const OVER_HEAVY: f64 = 40.0;
/// Words nearer than this to what they name need no leader.
const NEAR: f64 = 24.0;
/// Words nearer than this can do without, where a leader would cross others.
const NEAR_ENOUGH: f64 = 90.0;
/// Radius of the dot at the end of a leader.
const DOT: f64 = 2.2;
/// What all words together may cost before another order is tried.
const WELL: f64 = 60.0;
/// From one ring of places to the next.
const STEP: f64 = 8.0;
/// What is left blank between words and other words, beside them and above.
const BESIDE: f64 = 8.0;
const ABOVE: f64 = 2.0;

/// All the words of a drawing, and what they keep off.
#[derive(Default)]
pub struct Lettering {
    asked: Vec<Asked>,
    seats: Vec<Option<Seat>>,
    taken: Vec<[f64; 4]>,
    kept: Vec<Kept>,
}

impl Lettering {
    /// Keeps words off a rectangle.
    pub fn keep_off(&mut self, x: f64, y: f64, width: f64, height: f64) {
        self.taken.push([x, y, x + width, y + height]);
    }

    /// Keeps words off a line.
    pub fn keep_off_line(&mut self, from: Point, to: Point) {
        self.kept.push(Kept::new(vec![(from, to)], true));
    }

    /// Words with their middle at `at` if there is room, for what lies along `thing`: no leader where there is none.
    pub fn ask(&mut self, at: Point, thing: Option<Thing>, rows: &[&str], symbol: bool, ink: Ink) {
        let rows: Vec<String> = rows.iter().filter(|row| !row.is_empty()).map(|row| (*row).to_owned()).collect();
        if !rows.is_empty() {
            let extents: Vec<f64> = rows.iter().enumerate().map(|(row, text)| extent(text, symbol && row == 0)).collect();
            let wide = extents.iter().copied().fold(0.0, f64::max) + 4.0;
            let high = rows.len() as f64 * ROW + 2.0;
            let halves = extents.iter().map(|extent| 0.86 * (extent / 2.0)).collect();
            self.asked.push(Asked { at, thing, rows, symbol, ink, wide, high, halves });
        }
    }

    /// Places all words clear of the shapes and of one another, from `bounds` to `bounds`, each with a leader where it is away.
    pub fn place(&mut self, shapes: &[Shape], bounds: (f64, f64)) -> Vec<Shape> {
        for shape in shapes {
            self.heed(shape);
        }
        let asked = std::mem::take(&mut self.asked);
        // Where the first words took the place of later ones, another order may serve them all better: from the last, from
        // above, from the left.
        let order: Vec<usize> = (0..asked.len()).collect();
        let by = |of: &dyn Fn(&Asked) -> f64| {
            let mut order = order.clone();
            order.sort_by(|a, b| asked.get(*a).map(of).partial_cmp(&asked.get(*b).map(of)).unwrap_or(core::cmp::Ordering::Equal));
            order
        };
        let mut rings: Vec<Rings> = asked.iter().map(|_| Rings::new()).collect();
        let mut best = (self.seat(&asked, &mut rings, &order, bounds), std::mem::take(&mut self.seats));
        for attempt in 0..3 {
            // One other order for a better look, more for what must not be.
            if best.0 <= if attempt == 0 { WELL } else { OVER_LEADER } {
                break;
            }
            let order = match attempt {
                0 => order.iter().rev().copied().collect(),
                1 => by(&|words| words.at.y),
                _ => by(&|words| words.at.x),
            };
            let cost = self.seat(&asked, &mut rings, &order, bounds);
            let seats = std::mem::take(&mut self.seats);
            if cost < best.0 {
                best = (cost, seats);
            }
        }
        self.seats = best.1;
        self.part();
        let mut out = Vec::new();
        for (asked, seat) in asked.iter().zip(self.seats.iter().flatten()) {
            if let Some((from, to)) = seat.led {
                if matches!(asked.thing, Some(Thing::Rim(..))) {
                    out.push(Shape::Circle { centre: from, radius: DOT, filled: true, weight: Weight::Light, ink: Ink::Construction });
                }
                out.push(Shape::Leader { from, to });
            }
            for (row, text) in asked.rows.iter().enumerate() {
                let at = point(seat.bounds[0] + asked.wide / 2.0, seat.bounds[1] + 13.0 + row as f64 * ROW);
                let symbol = row == 0 && asked.symbol;
                out.push(Shape::Label { at, text: text.clone(), anchor: Anchor::Middle, symbol, ink: asked.ink });
            }
        }
        out
    }

    // A leader that still crosses another or runs through words is left out where the words stand near enough without it.
    fn part(&mut self) {
        for own in 0..self.seats.len() {
            let led = self.seats.get(own).copied().flatten().and_then(|seat| seat.led);
            if led.is_some_and(|(from, to)| libm::hypot(to.x - from.x, to.y - from.y) < NEAR_ENOUGH && self.tangles(own, from, to) > 0.0)
                && let Some(Some(seat)) = self.seats.get_mut(own)
            {
                seat.led = None;
            }
        }
    }

    // Seats all words in this order, and tells what it cost.
    fn seat(&mut self, asked: &[Asked], rings: &mut [Rings], order: &[usize], bounds: (f64, f64)) -> f64 {
        self.seats = vec![None; asked.len()];
        let mut costs = vec![0.0; asked.len()];
        for round in 0..4 {
            for own in order.iter().copied() {
                // What stands well stays; what a leader had to cross, or what was put on one, looks for its place once more. At last
                // so does what stands far off: what drove it there may have left.
                let paid = costs.get(own).copied().unwrap_or_default();
                let seeks = match round {
                    0 => true,
                    1 | 2 => self.entangled(own),
                    _ => paid > WELL,
                };
                let (true, Some(words), Some(rings)) = (seeks, asked.get(own), rings.get_mut(own)) else { continue };
                let (cost, seat) = self.room(words, own, rings, bounds);
                if let (Some(mine), Some(paid)) = (self.seats.get_mut(own), costs.get_mut(own))
                    && (round < 3 || cost < *paid)
                {
                    (*mine, *paid) = (Some(seat), cost);
                }
            }
        }
        costs.iter().sum()
    }

    // The best place and what it costs: near, over as few light lines as may be, with a leader that crosses nothing.
    fn room(&self, asked: &Asked, own: usize, rings: &mut Rings, bounds: (f64, f64)) -> (f64, Seat) {
        let mut best: Option<(f64, Seat)> = None;
        for ring in 0..48 {
            let reach = ring as f64 * STEP;
            if best.is_some_and(|(cost, _)| reach >= cost) {
                break;
            }
            if rings.len() == ring {
                rings.push(self.ring(asked, reach, bounds));
            }
            for place in rings.get(ring).into_iter().flatten() {
                let better = |cost: f64| best.is_none_or(|(least, _)| cost < least);
                if !better(place.away + place.covered) {
                    continue;
                }
                let Some(covered) = self.covered_words(asked, own, place) else { continue };
                let covered = place.covered + covered;
                if !better(place.away + covered) {
                    continue;
                }
                let leaders = place.leaders.get_or_init(|| leads(asked, place.x, place.y));
                let (dear, led) = self.led(own, leaders, |dear| better(place.away + covered + dear));
                if better(place.away + covered + dear) {
                    best = Some((place.away + covered + dear, Seat::new(asked, place.x, place.y, led)));
                }
            }
        }
        best.unwrap_or_else(|| {
            // With no room in any ring it goes below everything.
            let lines = self.kept.iter().flat_map(|kept| &kept.lines).map(|(from, to)| from.y.max(to.y));
            let floor = self.taken.iter().map(|taken| taken[3]).chain(lines).chain(self.others(own).map(|seat| seat.bounds[3]));
            let y = floor.fold(asked.at.y, f64::max) + 4.0;
            let x = within(asked.at.x - asked.wide / 2.0, asked.wide, bounds);
            (1e3, Seat::new(asked, x, y, self.led(own, &leads(asked, x, y), |_| true).1))
        })
    }

    // The best of some leaders and what it costs; none, and nothing, where there is none. One that would serve only if it cost less,
    // as `serves` says, is not looked at to its end.
    fn led(&self, own: usize, leaders: &[Strung], serves: impl Fn(f64) -> bool) -> (f64, Option<(Point, Point)>) {
        let mut best: Option<(f64, (Point, Point))> = None;
        for leader in leaders {
            // What other words are in the way is sooner told than what heavy lines are.
            let tangled = self.tangles(own, leader.line.0, leader.line.1);
            let cost = if serves(tangled) { tangled + self.over_heavy(leader) } else { tangled };
            if best.is_none_or(|(least, _)| cost < least) {
                best = Some((cost, leader.line));
            }
            // Another way is sought only where this one crosses what it must not.
            if cost < OVER_ANOTHER {
                break;
            }
        }
        best.map_or((0.0, None), |(cost, line)| (cost, Some(line)))
    }

    // The places of one ring that are clear of what is drawn.
    fn ring(&self, asked: &Asked, reach: f64, bounds: (f64, f64)) -> Vec<Place> {
        static ROUND: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| {
            let turn = |turn: u32| f64::from(turn) * core::f64::consts::PI / 8.0;
            (0..16).map(turn).map(|angle| (libm::cos(angle), libm::sin(angle))).collect()
        });
        let (at, wide, high) = (asked.at, asked.wide, asked.high);
        let round = ROUND.iter().take(if reach == 0.0 { 1 } else { 16 });
        let places = round.filter_map(|(cos, sin)| {
            let x = within(at.x + reach * 1.3 * cos - wide / 2.0, wide, bounds);
            let y = at.y + reach * sin - high / 2.0;
            let covered = self.covered_lines(asked, x, y)?;
            let away = libm::hypot(x + wide / 2.0 - at.x, y + high / 2.0 - at.y);
            Some(Place { x, y, away, covered, leaders: OnceCell::new() })
        });
        places.collect()
    }

    // The seats of all words but one.
    fn others(&self, own: usize) -> impl Iterator<Item = &Seat> {
        let seats = self.seats.iter().enumerate();
        seats.filter_map(move |(other, seat)| if other == own { None } else { seat.as_ref() })
    }

    // What it costs to cover the leaders of other words with words at this place; none where they would cover the words.
    fn covered_words(&self, asked: &Asked, own: usize, place: &Place) -> Option<f64> {
        let (x, y) = (place.x, place.y);
        let (right, low) = (x + asked.wide, y + asked.high);
        let mut cost = 0.0;
        for Seat { bounds, led } in self.others(own) {
            if x < bounds[2] + BESIDE && bounds[0] - BESIDE < right && y < bounds[3] + ABOVE && bounds[1] - ABOVE < low {
                return None;
            }
            if led.is_some_and(|(from, to)| meets(from, to, [x - 1.0, y - 1.0, right + 1.0, low + 1.0])) {
                cost += OVER_LEADER;
            }
        }
        Some(cost)
    }

    // What it costs to cover light lines with words at this place; none where they would cover anything else that is drawn.
    fn covered_lines(&self, asked: &Asked, x: f64, y: f64) -> Option<f64> {
        let (right, low) = (x + asked.wide, y + asked.high);
        if self.taken.iter().any(|taken| x < taken[2] && taken[0] < right && y < taken[3] && taken[1] < low) {
            return None;
        }
        let mut cost = 0.0;
        for kept in &self.kept {
            if !kept.is_near([x, y, right, low]) {
                continue;
            }
            let words = [x - kept.clear, y - kept.clear, right + kept.clear, low + kept.clear];
            let mut met = kept.lines.iter().filter(|(from, to)| meets(*from, *to, words));
            match kept.strictly {
                true if met.next().is_some() => return None,
                true => {}
                false => cost += OVER_LIGHT * met.count() as f64,
            }
        }
        Some(cost)
    }

    // What it costs a leader to cross heavy lines.
    fn over_heavy(&self, leader: &Strung) -> f64 {
        let crossed = || {
            let (from, to) = (leader.from, leader.line.1);
            let bounds = [from.x.min(to.x), from.y.min(to.y), from.x.max(to.x), from.y.max(to.y)];
            let near = self.kept.iter().filter(|kept| kept.strictly && kept.is_near(bounds));
            near.flat_map(|kept| &kept.lines).filter(|(start, end)| cross(from, to, *start, *end)).count()
        };
        OVER_HEAVY * *leader.crossed.get_or_init(crossed) as f64
    }

    // What it costs that a leader crosses others or runs through words.
    fn tangles(&self, own: usize, from: Point, to: Point) -> f64 {
        let mut cost = 0.0;
        for Seat { bounds, led } in self.others(own) {
            if meets(from, to, *bounds) {
                cost += THROUGH_WORDS;
            }
            if led.is_some_and(|(start, end)| cross(from, to, start, end)) {
                cost += OVER_ANOTHER;
            }
        }
        cost
    }

    // Whether the words stand on a leader, or their own crosses something.
    fn entangled(&self, own: usize) -> bool {
        let Some(Some(Seat { bounds, led })) = self.seats.get(own) else { return false };
        self.others(own).any(|seat| seat.led.is_some_and(|(from, to)| meets(from, to, *bounds)))
            || led.is_some_and(|(from, to)| self.tangles(own, from, to) > 0.0)
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
            Shape::Leader { .. } | Shape::Label { .. } | Shape::PartNumber { .. } | Shape::ScaleBar { .. } => {}
        }
    }

    fn run(&mut self, points: &[Point], closed: bool, strictly: bool) {
        let back = if closed { points.last().zip(points.first()) } else { None };
        let pairs = points.iter().zip(points.iter().skip(1)).chain(back);
        self.kept.push(Kept::new(pairs.map(|(from, to)| (*from, *to)).collect(), strictly));
    }
}

/// Where words of this width begin, as near to `x` as the drawing has room.
fn within(x: f64, wide: f64, (first, last): (f64, f64)) -> f64 {
    x.clamp(first, (last - wide).max(first))
}

/// The leaders that words at this place may have, the best of them first; none where they need none. From the nearest place of what
/// they name, straight at the words; from a circle straight away from its middle, or a little turned.
fn leads(asked: &Asked, x: f64, y: f64) -> Vec<Strung> {
    match asked.thing {
        None => Vec::new(),
        Some(Thing::Line(first, last)) => {
            let mut best: Option<(f64, Point, Point)> = None;
            let places: &[f64] = if first == last { &[0.0] } else { &[0.0, 0.25, 0.5, 0.75] };
            for share in places {
                let from = point(first.x + (last.x - first.x) * share, first.y + (last.y - first.y) * share);
                let to = landing(asked, x, y, from);
                let far = libm::hypot(to.x - from.x, to.y - from.y);
                if best.is_none_or(|(least, ..)| far < least - 1e-9) {
                    best = Some((far, from, to));
                }
            }
            best.filter(|(far, ..)| *far > NEAR).map(|(_, from, to)| Strung::new((from, to))).into_iter().collect()
        }
        Some(Thing::Rim(centre, radius)) => {
            let out = landing(asked, x, y, centre);
            let straight = libm::atan2(out.y - centre.y, out.x - centre.x);
            let turned = [0.0, 0.5, -0.5, 1.0, -1.0].map(|aside| straight + aside);
            let from = turned.map(|turn| point(centre.x + radius * libm::cos(turn), centre.y + radius * libm::sin(turn)));
            from.map(|from| Strung::new((from, landing(asked, x, y, from)))).into()
        }
    }
}

/// Where a leader from there meets the words: over or under them, or beside their first row.
fn landing(asked: &Asked, x: f64, y: f64, from: Point) -> Point {
    let middle = x + asked.wide / 2.0;
    let half = asked.halves.first().copied().unwrap_or(0.0);
    let widest = asked.halves.iter().copied().fold(0.0, f64::max);
    if from.y < y || from.y > y + asked.high {
        let reach = if from.y < y { half } else { widest };
        let edge = if from.y < y { y } else { y + asked.high };
        if (from.x - middle).abs() < widest + 0.6 * (from.y - edge).abs() {
            return point(from.x.clamp(middle - reach * 0.8, middle + reach * 0.8), edge);
        }
    }
    let level = from.y.clamp(y + ROW * 0.5, y + asked.high - ROW * 0.5);
    // Beside the row at that height.
    let beside = asked.halves.get(((level - y) / ROW) as usize).copied().unwrap_or(widest);
    point(if from.x < middle { middle - beside - 3.0 } else { middle + beside + 3.0 }, level)
}

/// Whether two lines cross: the ends of each lie on different sides of the other.
pub fn cross(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |from: Point, to: Point, of: Point| (to.x - from.x) * (of.y - from.y) - (to.y - from.y) * (of.x - from.x);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
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
