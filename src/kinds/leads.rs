//! The hauling part led on through lead blocks: each with the angle between its leads, its strop in line with what it carries.
use crate::kinds::drawing_board::{DrawingBoard, point};
use crate::kinds::sketching::{Figures, Ink, Point, Shape, Weight};
use crate::words::say;
use core::f64::consts::{FRAC_PI_2, PI};

/// The most lead blocks drawn one by one; beyond this the drawing says how many there are.
const MOST: usize = 3;
/// Radius of a sheave, to the rope's centre.
const SHEAVE: f64 = 13.0;
/// From a sheave's pin to what its strop is made fast to.
const STROP: f64 = 38.0;
/// Rope from one lead block to the next, and from the last to the hand.
const BETWEEN: f64 = 84.0;
const TO_HAND: f64 = 58.0;

/// How many lead blocks are drawn for this machine.
pub fn drawn(figures: &dyn Figures) -> usize {
    stated(figures).min(MOST)
}

fn stated(figures: &dyn Figures) -> usize {
    figures.value("lead_blocks").filter(|v| v.is_finite() && *v >= 1.0).unwrap_or(0.0) as usize
}

/// Leads the rope on from where it comes to the first lead block, going the way `way`: away to the right, and at the next back to
/// its first way. Gives the place of the hand and its way.
pub fn lead(board: &mut DrawingBoard, figures: &dyn Figures, from: Point, way: (f64, f64)) -> (Point, (f64, f64)) {
    let between = figures.value("lead_angle").filter(|v| v.is_finite()).unwrap_or(FRAC_PI_2).clamp(0.0, PI);
    // Down or up, the first turn goes to the right of the page.
    let mut sense = if way.1 > 0.0 { -1.0 } else { 1.0 };
    let (mut at, mut way) = (from, way);
    let blocks = drawn(figures);
    for index in 1..=blocks {
        let (next, out) = block(board, figures, index, (at, way), sense * (PI - between));
        let length = if index == blocks { TO_HAND } else { BETWEEN };
        at = point(next.x + length * out.0, next.y + length * out.1);
        board.line(&[next, at], Weight::Heavy, Ink::Rope, false);
        board.keep_off_line(next, at);
        way = out;
        sense = -sense;
    }
    let all = stated(figures);
    if all > blocks {
        board.named(
            point(at.x - 60.0, at.y + 40.0),
            &say!("{stated} lead blocks, {most} drawn", stated = all, most = blocks),
            "",
            Ink::Construction,
        );
    }
    (at, way)
}

/// One block, which turns the rope by `turn` (clockwise on the page): where the rope leaves it, and which way.
fn block(board: &mut DrawingBoard, figures: &dyn Figures, index: usize, (on, way): (Point, (f64, f64)), turn: f64) -> (Point, (f64, f64)) {
    let side = if turn < 0.0 { -1.0 } else { 1.0 };
    let (sine, cosine) = (libm::sin(turn), libm::cos(turn));
    let out = (way.0 * cosine - way.1 * sine, way.0 * sine + way.1 * cosine);
    // Square to the rope, to the side it turns to.
    let inward = |way: (f64, f64)| (-side * way.1, side * way.0);
    let ((in_x, in_y), (out_x, out_y)) = (inward(way), inward(out));
    let pin = point(on.x + SHEAVE * in_x, on.y + SHEAVE * in_y);
    let off = point(pin.x - SHEAVE * out_x, pin.y - SHEAVE * out_y);
    board.circle(pin, SHEAVE - 4.0, Weight::Medium, Ink::Body, false);
    board.circle(pin, 2.0, Weight::Medium, Ink::Body, true);
    board.keep_off(pin.x - SHEAVE - 2.0, pin.y - SHEAVE - 2.0, 2.0 * SHEAVE + 4.0, 2.0 * SHEAVE + 4.0);
    let start = libm::atan2(on.y - pin.y, on.x - pin.x).to_degrees();
    let (from, to) = if side > 0.0 { (start, start + turn.to_degrees()) } else { (start + turn.to_degrees(), start) };
    board.add(Shape::Arc { centre: pin, radius: SHEAVE, from, to, weight: Weight::Heavy, ink: Ink::Rope });
    // The strop pulls against both leads together.
    let tension = |name: &str| figures.item(name, index).filter(|v| v.is_finite() && *v > 0.0).unwrap_or(1.0);
    let (before, behind) = (tension("lead_in"), tension("lead_out"));
    let (x, y) = (before * way.0 - behind * out.0, before * way.1 - behind * out.1);
    let size = libm::hypot(x, y);
    let strop = if size > 1e-3 * before { (x / size, y / size) } else { (in_x, in_y) };
    let fast = point(pin.x + STROP * strop.0, pin.y + STROP * strop.1);
    board.line(&[pin, fast], Weight::Medium, Ink::Body, false);
    let half = 15.0;
    let (left, right) = (point(fast.x - half * strop.1, fast.y + half * strop.0), point(fast.x + half * strop.1, fast.y - half * strop.0));
    board.add(Shape::Ground { from: left, to: right });
    let beyond = point(fast.x + 34.0 * strop.0, fast.y + 26.0 * strop.1);
    let printed = figures.printed_item("lead_block", index);
    board.names_line((left, right), beyond, &say!("lead block {index}", index = index), &printed, Ink::Reaction);
    (off, out)
}
