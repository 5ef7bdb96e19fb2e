//! Things that turn, for the sketches: torques as curved arrows, toothed wheels, and two wheels with a bight between them.
use crate::kinds::drawing_board::{DrawingBoard, point};
use crate::kinds::sketching::{Figures, Ink, Point, Shape, Weight};
use core::f64::consts::PI;

/// A value that can be drawn: finite and above zero, or what stands for it.
pub fn positive(figures: &dyn Figures, name: &str, otherwise: f64) -> f64 {
    figures.value(name).filter(|value| value.is_finite() && *value > 0.0).unwrap_or(otherwise)
}

/// A torque round `centre`: an arc over the top of it with its head at the end, and its words near `beside`.
pub fn torque(board: &mut DrawingBoard, centre: Point, radius: f64, clockwise: bool, words: (&str, &str), beside: Point) {
    turning(board, centre, radius, clockwise);
    board.named(beside, words.0, words.1, Ink::Force);
}

/// The same without its words.
pub fn turning(board: &mut DrawingBoard, centre: Point, radius: f64, clockwise: bool) {
    let ink = Ink::Force;
    let (from, to) = if clockwise { (-150.0, -50.0) } else { (-130.0, -30.0) };
    board.add(Shape::Arc { centre, radius, from, to, weight: Weight::Heavy, ink });
    let (turn, sense) = if clockwise { (to * PI / 180.0, 1.0) } else { (from * PI / 180.0, -1.0) };
    let (sine, cosine) = (libm::sin(turn), libm::cos(turn));
    let end = point(centre.x + radius * cosine, centre.y + radius * sine);
    let head = (0.9 * radius).min(17.0) * sense;
    board.add(Shape::Arrow { from: end, to: point(end.x - head * sine, end.y + head * cosine), ink });
    for place in 0..13 {
        let turn = (f64::from(place) * 10.0 - 150.0) * PI / 180.0;
        board.keep_off(centre.x + radius * libm::cos(turn) - 7.0, centre.y + radius * libm::sin(turn) - 7.0, 14.0, 14.0);
    }
}

/// A plain wheel or drum with its shaft, kept clear of words.
pub fn wheel(board: &mut DrawingBoard, centre: Point, radius: f64, weight: Weight) {
    board.circle(centre, radius, weight, Ink::Body, false);
    rim(board, centre, radius);
}

/// Keeps words off a circle: off its rim where there is room inside, off all of it where there is none.
fn rim(board: &mut DrawingBoard, centre: Point, radius: f64) {
    if radius < 60.0 {
        board.keep_off(centre.x - radius, centre.y - radius, 2.0 * radius, 2.0 * radius);
        return;
    }
    for place in 0..36 {
        let turn = f64::from(place) * PI / 18.0;
        let (x, y) = (centre.x + (radius - 4.0) * libm::cos(turn), centre.y + (radius - 4.0) * libm::sin(turn));
        board.keep_off(x - 9.0, y - 9.0, 18.0, 18.0);
    }
}

/// A shaft, or the pin of a hanging wheel.
pub fn journal(board: &mut DrawingBoard, centre: Point) {
    board.circle(centre, 4.0, Weight::Medium, Ink::Body, true);
}

/// A shaft in a fixed bearing.
pub fn bearing(board: &mut DrawingBoard, centre: Point) {
    let (left, right) = (point(centre.x - 9.0, centre.y + 16.0), point(centre.x + 9.0, centre.y + 16.0));
    board.line(&[centre, left, right], Weight::Medium, Ink::Body, true);
    board.add(Shape::Ground { from: point(left.x - 5.0, left.y), to: point(right.x + 5.0, right.y) });
    board.keep_off(left.x - 8.0, centre.y - 4.0, 34.0, 30.0);
    journal(board, centre);
}

/// The radius of the tips of `teeth` on a pitch circle of `radius`.
pub fn tips(radius: f64, teeth: f64) -> f64 {
    // A tooth stands one module over its pitch circle (ISO 53, from memory): a diameter over the number of teeth.
    radius + (2.0 * radius / teeth.max(4.0)).clamp(1.0, 12.0)
}

/// A toothed wheel of `teeth` on a pitch circle of `radius`, as ISO 2203 has it: the tips as one outline, the pitch circle
/// long-dash dot, no teeth.
pub fn toothed(board: &mut DrawingBoard, centre: Point, radius: f64, teeth: f64) {
    board.circle(centre, tips(radius, teeth), Weight::Heavy, Ink::Body, false);
    pitch_line(board, &(0..=48).map(|at| f64::from(at) * PI / 24.0).map(|turn| on(centre, radius, turn)).collect::<Vec<_>>());
    bearing(board, centre);
}

/// A pitch line: light, long dash and dot.
pub fn pitch_line(board: &mut DrawingBoard, points: &[Point]) {
    let points = points.to_vec();
    board.add(Shape::Path { points, closed: false, filled: false, weight: Weight::Light, ink: Ink::Body, dashed: true });
}

fn on(centre: Point, radius: f64, turn: f64) -> Point {
    point(centre.x + radius * libm::cos(turn), centre.y + radius * libm::sin(turn))
}

/// Two wheels on one shaft with a wheel hanging in the bight: the part on the right of the large one goes up, the part on
/// the left of the small one goes down. Gives the point the load hangs from; what carries the shaft is the caller's.
pub fn bight(board: &mut DrawingBoard, centre: Point, large: f64, small: f64, drop: f64) -> Point {
    wheel(board, centre, large, Weight::Heavy);
    board.circle(centre, small, Weight::Medium, Ink::Body, false);
    let (right, left) = (centre.x + large, centre.x - small);
    let lower = point((right + left) / 2.0, centre.y + drop);
    let radius = (right - left) / 2.0;
    board.line(&[point(right, centre.y), point(right, lower.y)], Weight::Heavy, Ink::Rope, false);
    board.line(&[point(left, centre.y), point(left, lower.y)], Weight::Heavy, Ink::Rope, false);
    board.add(Shape::Arc { centre: lower, radius, from: 0.0, to: 180.0, weight: Weight::Heavy, ink: Ink::Rope });
    wheel(board, lower, (radius - 3.0).max(2.0), Weight::Medium);
    journal(board, lower);
    board.keep_off(left - 2.0, centre.y, 4.0, drop);
    board.keep_off(right - 2.0, centre.y, 4.0, drop);
    let hook = point(lower.x, lower.y + radius + 16.0);
    board.line(&[lower, hook], Weight::Medium, Ink::Body, false);
    hook
}
