//! The sketch of a system of pulleys: every pulley and rope where it hangs, the beam, the effort and the load.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Shape, Weight};
use crate::kinds::tackle;
use crate::words::say;

/// The most pulleys drawn one by one; beyond this the drawing says how many there are.
const MOST: usize = 6;
/// Radius of a pulley.
const PULLEY: f64 = 20.0;
/// Height of the beam.
const BEAM: f64 = 40.0;
/// How far each pulley hangs below the next.
const STEP: f64 = 52.0;

/// Draws the system from the number of its pulleys.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let stated = figures.value("pulleys").filter(|v| v.is_finite() && *v >= 1.0).unwrap_or(3.0) as usize;
    let mut text = spoken(figures, say!("Effort"), "effort") + &spoken(figures, say!("Load"), "load");
    text += &spoken(figures, say!("Pull on the beam"), "beam");
    let third_system = || say!("Third system of {stated} pulleys", stated = stated);
    let first_system = || say!("First system of {stated} pulleys", stated = stated);
    let (title, ropes) = match figures.choice("system") {
        Some("second") => {
            let mut drawing = tackle::sketch::named(&AsTackle(figures), say!("beam"));
            drawing.title = say!("Second system of {stated} pulleys", stated = stated);
            drawing.description = text.trim_start().to_owned();
            return drawing;
        }
        Some("third") => (third_system(), "bar_end"),
        _ => (first_system(), "hauled_end"),
    };
    for rope in 1..=figures.count(ropes) {
        text += &say!(" Rope {rope}: {force}.", rope = rope, force = figures.printed_item(ropes, rope));
    }
    let mut board = DrawingBoard::new(&["effort", "load", "beam"].map(|name| figures.value(name)));
    let drawn = stated.min(MOST);
    if ropes == "bar_end" { third(&mut board, figures, drawn) } else { first(&mut board, figures, drawn) }
    if stated > MOST {
        board.named(point(120.0, BEAM + STEP * (drawn as f64 + 2.0)), &say!("{stated} pulleys, {most} drawn", stated = stated, most = MOST), "", Ink::Construction);
    }
    board.finish(title, text)
}

/// A rope from place to place.
fn rope(board: &mut DrawingBoard, points: &[Point]) {
    board.line(points, Weight::Heavy, Ink::Rope, false);
    if let (Some(from), Some(to)) = (points.first(), points.last()) {
        board.keep_off(from.x.min(to.x) - 3.0, from.y.min(to.y), (from.x - to.x).abs() + 6.0, (from.y - to.y).abs());
    }
}

/// A pulley with the rope over or under it, and its number.
fn pulley(board: &mut DrawingBoard, centre: Point, over: bool, number: usize) {
    board.circle(centre, PULLEY - 3.0, Weight::Medium, Ink::Body, false);
    board.circle(centre, 2.5, Weight::Medium, Ink::Body, true);
    let (from, to) = if over { (180.0, 360.0) } else { (0.0, 180.0) };
    board.add(Shape::Arc { centre, radius: PULLEY, from, to, weight: Weight::Heavy, ink: Ink::Rope });
    board.keep_off(centre.x - PULLEY - 2.0, centre.y - PULLEY - 2.0, 2.0 * PULLEY + 4.0, 2.0 * PULLEY + 4.0);
    if number > 0 {
        board.part_number(point(centre.x + PULLEY + 14.0, centre.y + if over { -14.0 } else { 14.0 }), number);
    }
}

/// The beam over everything, hatched above, with what it carries.
fn beam(board: &mut DrawingBoard, figures: &dyn Figures, left: f64, right: f64) {
    board.add(Shape::Ground { from: point(right, BEAM), to: point(left, BEAM) });
    board.keep_off(left, BEAM - 12.0, right - left, 14.0);
    let over = point((left + right) / 2.0, BEAM - 12.0);
    board.force(over, (0.0, -1.0), true, figures.value("beam"), (say!("beam"), &figures.printed("beam")), Ink::Reaction);
}

/// Each pulley in the bight of its own rope, the load on the lowest.
fn first(board: &mut DrawingBoard, figures: &dyn Figures, count: usize) {
    let downward = figures.choice("hauled") == Some("downward");
    let start = 320.0 - PULLEY * count as f64 / 2.0;
    let place = |number: usize| point(start + PULLEY * number as f64, BEAM + 70.0 + STEP * (count - number) as f64);
    let last = place(count);
    // Hauled upward, the rope passes beside the beam.
    beam(board, figures, start - 20.0, if downward { last.x + 3.0 * PULLEY + 20.0 } else { last.x });
    for number in 1..=count {
        let centre = place(number);
        rope(board, &[point(centre.x - PULLEY, BEAM), point(centre.x - PULLEY, centre.y)]);
        if number < count {
            rope(board, &[point(centre.x + PULLEY, centre.y), place(number + 1)]);
        }
        pulley(board, centre, false, number);
    }
    let effort = figures.printed("effort");
    if downward {
        let fixed = point(last.x + 2.0 * PULLEY, BEAM + 34.0);
        board.line(&[point(fixed.x, BEAM), fixed], Weight::Heavy, Ink::Body, false);
        rope(board, &[point(last.x + PULLEY, last.y), point(last.x + PULLEY, fixed.y)]);
        pulley(board, fixed, true, 0);
        let hand = point(fixed.x + PULLEY, fixed.y + 90.0);
        rope(board, &[point(hand.x, fixed.y), hand]);
        board.force(hand, (0.0, 1.0), true, figures.value("effort"), (say!("effort"), &effort), Ink::Force);
    } else {
        let hand = point(last.x + PULLEY, BEAM + 40.0);
        rope(board, &[point(hand.x, last.y), hand]);
        board.force(hand, (0.0, -1.0), true, figures.value("effort"), (say!("effort"), &effort), Ink::Force);
    }
    let hung = place(1);
    board.line(&[hung, point(hung.x, hung.y + 40.0)], Weight::Heavy, Ink::Body, false);
    board.force(point(hung.x, hung.y + 40.0), (0.0, 1.0), true, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
}

/// Every rope with one end on the bar, each pulley on the rope of the one above; the first hangs from the beam.
fn third(board: &mut DrawingBoard, figures: &dyn Figures, count: usize) {
    let start = 300.0 - PULLEY * count as f64 / 2.0;
    // Pulleys are numbered from the effort, so that the highest has the last number.
    let place = |number: usize| point(start + PULLEY * (count - number) as f64, BEAM + 46.0 + STEP * (count - number) as f64);
    let (top, lowest) = (place(count), place(1));
    beam(board, figures, start - 50.0, start + 60.0);
    board.line(&[point(top.x, BEAM), top], Weight::Heavy, Ink::Body, false);
    let bar = lowest.y + 78.0;
    let mut pulled = (0.0, 0.0);
    for number in 1..=count {
        let centre = place(number);
        rope(board, &[point(centre.x - PULLEY, centre.y), point(centre.x - PULLEY, bar)]);
        if number > 1 {
            rope(board, &[point(centre.x + PULLEY, centre.y), place(number - 1)]);
        }
        pulley(board, centre, true, number);
        let tension = figures.item("bar_end", number).filter(|v| v.is_finite() && *v > 0.0).unwrap_or(0.0);
        pulled = (pulled.0 + tension, pulled.1 + tension * (centre.x - PULLEY));
    }
    let (left, right) = (top.x - PULLEY - 14.0, lowest.x - PULLEY + 14.0);
    board.line(&[point(left, bar), point(right, bar), point(right, bar + 8.0), point(left, bar + 8.0)], Weight::Heavy, Ink::Body, true);
    board.keep_off(left, bar, right - left, 8.0);
    let hand = point(lowest.x + PULLEY, lowest.y + 46.0);
    rope(board, &[point(hand.x, lowest.y), hand]);
    board.force(hand, (0.0, 1.0), true, figures.value("effort"), (say!("effort"), &figures.printed("effort")), Ink::Force);
    // The load hangs under the middle of the ropes' pulls.
    let under = if pulled.0 > 0.0 { pulled.1 / pulled.0 } else { (left + right) / 2.0 };
    board.force(point(under, bar + 8.0), (0.0, 1.0), true, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
}

/// The second system as the tackle that it is.
struct AsTackle<'f>(&'f dyn Figures);

/// The tackle's name of a thing as this kind's.
fn renamed(name: &str) -> &str {
    match name {
        "parts" => "pulleys",
        "standing_block" => "beam",
        // A tackle's lead blocks are none of a system's.
        "lead_blocks" => "",
        other => other,
    }
}

impl Figures for AsTackle<'_> {
    fn value(&self, name: &str) -> Option<f64> {
        self.0.value(renamed(name))
    }
    fn item(&self, name: &str, index: usize) -> Option<f64> {
        self.0.item(renamed(name), index)
    }
    fn count(&self, name: &str) -> usize {
        self.0.count(renamed(name))
    }
    fn choice(&self, name: &str) -> Option<&str> {
        if name == "rove" { Some("to disadvantage") } else { self.0.choice(name) }
    }
    fn printed(&self, name: &str) -> String {
        self.0.printed(renamed(name))
    }
    fn printed_item(&self, name: &str, index: usize) -> String {
        self.0.printed_item(renamed(name), index)
    }
}

/// What the load hangs on: the lowest pulley, the lower block or the bar.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let count = figures.value("pulleys").filter(|v| v.is_finite() && *v >= 1.0)? as usize;
    let weighs = |name: &str| figures.value(name).is_some_and(|weight| weight != 0.0);
    let row = |what: &'static str, name: &str, giver: &'static str, count: usize| {
        let pitch = if count > 4 { (220.0 / count as f64).max(11.0) } else { 92.0 };
        let half = pitch * (count as f64 - 1.0) / 2.0;
        let mut body = Cut::free(what, figures);
        let wide = half + 16.0;
        body.outline(&[point(-wide, -10.0), point(wide, -10.0), point(wide, 10.0), point(-wide, 10.0)], true);
        for at in 1..=count {
            body.item_pulls(name, at, giver, point(pitch * (at as f64 - 1.0) - half, -10.0), (0.0, -1.0));
        }
        body.pulls("load", say!("the load¦gives"), point(0.0, 10.0), (0.0, 1.0));
        body
    };
    match figures.choice("system")? {
        "second" => {
            let mut block = row(say!("the lower block"), "rope", say!("the rope"), count);
            if weighs("own_load") {
                block.pulls("own_load", say!("gravity"), point(66.0, 10.0), (0.0, 1.0));
            }
            Some(block)
        }
        "third" => Some(row(say!("the bar"), "bar_end", say!("its rope"), count)),
        _ => {
            let mut pulley = Cut::free(say!("the lowest pulley"), figures);
            pulley.circle(point(0.0, 0.0), 26.0);
            pulley.rope_on(point(0.0, 0.0), 30.0, 0.0, 180.0);
            pulley.item_rope_pulls("beam_end", 1, say!("the rope to the beam"), point(-30.0, 0.0), (0.0, -1.0));
            pulley.item_rope_pulls("hauled_end", 1, say!("the rope that goes on"), point(30.0, 0.0), (0.0, -1.0));
            pulley.pulls("load", say!("the load¦gives"), point(0.0, 0.0), (0.0, 1.0));
            if figures.item("block_weight", 1).is_some_and(|weight| weight != 0.0) {
                pulley.item_pulls("block_weight", 1, say!("gravity"), point(16.0, 0.0), (0.0, 1.0));
            }
            Some(pulley)
        }
    }
}
