//! The sketch of a lever: bar level, arms in true proportion, forces at their angles.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Shape, Weight};
use crate::words::say;

/// Draws the lever from its arms, angles and forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let class = figures.choice("class").unwrap_or("first").to_owned();
    let positive = |name: &str| figures.value(name).filter(|v| v.is_finite() && *v > 0.0).unwrap_or(1.0);
    let (effort_arm, load_arm) = (positive("effort_arm"), positive("load_arm"));
    let first = class == "first";
    let span = if first { effort_arm + load_arm } else { effort_arm.max(load_arm) };
    let scale = 300.0 / span;
    let bar = 150.0;
    let pivot = if first { 120.0 + effort_arm * scale } else { 120.0 };
    let effort_at = if first { pivot - effort_arm * scale } else { pivot + effort_arm * scale };
    let load_at = pivot + load_arm * scale;
    let forces = ["effort", "load", "pivot_load"].map(|name| figures.value(name));
    let mut board = DrawingBoard::new(&forces);
    let (left, right) = (effort_at.min(pivot) - 12.0, effort_at.max(load_at) + 12.0);
    board.keep_off(left, bar - 5.0, right - left, 10.0);
    let corners = [point(left, bar - 4.0), point(right, bar - 4.0), point(right, bar + 4.0), point(left, bar + 4.0)];
    board.line(&corners, Weight::Heavy, Ink::Body, true);
    stand(&mut board, point(pivot, bar + 4.0));
    let square = core::f64::consts::FRAC_PI_2;
    let (ea, la) = (figures.value("effort_angle").unwrap_or(square), figures.value("load_angle").unwrap_or(square));
    let side = if first { -1.0 } else { 1.0 };
    let pull = (side * libm::cos(ea), -side * libm::sin(ea));
    // Effort and load both pull away from the bar; on a first-class lever both hang below it.
    let below = point(effort_at, if first { bar + 4.0 } else { bar - 4.0 });
    board.force(below, pull, true, figures.value("effort"), (say!("effort"), &figures.printed("effort")), Ink::Force);
    // The reaction before the load, whose label then keeps off it.
    let (along, down) = (figures.value("pivot_along").unwrap_or(0.0), figures.value("pivot_down").unwrap_or(1.0));
    let size = libm::hypot(along, down);
    if size > 0.0 {
        let answer = (-along / size, -down / size);
        let foot = point(pivot, bar + 40.0);
        board.force(foot, answer, false, figures.value("pivot_load"), (say!("pivot load"), &figures.printed("pivot_load")), Ink::Reaction);
    }
    let hung = (libm::cos(la), libm::sin(la));
    board.force(point(load_at, bar + 4.0), hung, true, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
    let row = point(pivot, bar + 4.0);
    arm(&mut board, row, effort_at, -60.0, &figures.printed("effort_arm"));
    arm(&mut board, row, load_at, -90.0, &figures.printed("load_arm"));
    let at_arm = |label: &str, force: &str, arm: &str| {
        let (force, arm) = (figures.printed(force), figures.printed(arm));
        if force.is_empty() || arm.is_empty() { String::new() } else { say!(" {label}: {force} at an arm of {arm}.", label = label, force = force, arm = arm) }
    };
    let mut text = at_arm(say!("Effort"), "effort", "effort_arm") + &at_arm(say!("Load"), "load", "load_arm");
    text += &spoken(figures, say!("Force on the pivot"), "pivot_load");
    let (title, what) = match class.as_str() {
        "second" => (say!("Lever of the second class"), say!("A lever of the second class.")),
        "third" => (say!("Lever of the third class"), say!("A lever of the third class.")),
        _ => (say!("Lever of the first class"), say!("A lever of the first class.")),
    };
    board.finish(title.to_owned(), what.to_owned() + &text)
}

/// The pivot: a knife edge on hatched ground.
fn stand(board: &mut DrawingBoard, at: Point) {
    let (left, right) = (point(at.x - 18.0, at.y + 32.0), point(at.x + 18.0, at.y + 32.0));
    board.line(&[at, left, right], Weight::Medium, Ink::Body, true);
    board.add(Shape::Ground { from: point(at.x - 30.0, at.y + 32.0), to: point(at.x + 30.0, at.y + 32.0) });
    board.keep_off(at.x - 30.0, at.y, 60.0, 42.0);
}

/// The dimension of an arm, above the bar whichever way it runs.
fn arm(board: &mut DrawingBoard, pivot: Point, to: f64, offset: f64, text: &str) {
    let (from, end) = if to < pivot.x { (to, pivot.x) } else { (pivot.x, to) };
    board.dimension(point(from, pivot.y - 8.0), point(end, pivot.y - 8.0), offset, text);
}

/// The bar, with its arms in true proportion.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let positive = |name: &str| figures.value(name).filter(|v| v.is_finite() && *v > 0.0);
    let (effort_arm, load_arm) = (positive("effort_arm")?, positive("load_arm")?);
    let first = figures.choice("class") == Some("first");
    let scale = 200.0 / if first { effort_arm + load_arm } else { effort_arm.max(load_arm) };
    let side = if first { -1.0 } else { 1.0 };
    let (effort_at, load_at) = (side * effort_arm * scale, load_arm * scale);
    let mut bar = Cut::free(say!("the bar"), figures);
    let (left, right) = (effort_at.min(0.0) - 8.0, effort_at.max(load_at) + 8.0);
    bar.outline(&[point(left, -4.0), point(right, -4.0), point(right, 4.0), point(left, 4.0)], true);
    let (ea, la) = (figures.value("effort_angle")?, figures.value("load_angle")?);
    bar.pulls("effort", say!("the hand"), point(effort_at, -4.0 * side), (side * libm::cos(ea), -side * libm::sin(ea)));
    bar.pulls("load", say!("the load¦gives"), point(load_at, 4.0), (libm::cos(la), libm::sin(la)));
    if let Some(arm) = figures.value("bar_weight_arm") {
        bar.pulls("bar_weight", say!("gravity"), point((arm * scale).clamp(left, right), 4.0), (0.0, 1.0));
    }
    let answer = (figures.value("pivot_along").map(|v| -v), figures.value("pivot_down"));
    bar.parts("pivot_load", say!("the pivot"), point(0.0, 4.0), answer, false);
    Some(bar)
}
