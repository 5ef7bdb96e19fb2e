//! The sketch of a lever: bar level, arms in true proportion, forces at their angles.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken, zigzag};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Shape, Weight};
use crate::words::say;

/// Draws the lever from its arms, angles and forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let class = figures.choice("class").unwrap_or("first").to_owned();
    let positive = |name: &str| figures.value(name).filter(|v| v.is_finite() && *v > 0.0).unwrap_or(1.0);
    let (effort_arm, load_arm) = (positive("effort_arm"), positive("load_arm"));
    let first = class == "first";
    let bar = 150.0;
    // The arms reach past the pivot's stand.
    let arms = Arms::over(effort_arm, load_arm, first, 300.0, 44.0);
    let pivot = if first { 120.0 + arms.effort } else { 120.0 };
    let effort_at = if first { pivot - arms.effort } else { pivot + arms.effort };
    let load_at = pivot + arms.load;
    let forces = ["effort", "load", "pivot_load"].map(|name| figures.value(name));
    let mut board = DrawingBoard::new(&forces);
    let (left, right) = (effort_at.min(pivot) - 12.0, effort_at.max(load_at) + 12.0);
    board.keep_off(left, bar - 5.0, right - left, 10.0);
    for (from, to) in pieces(left, right, arms.broken.map(|at| pivot + at)) {
        let corners = [point(from, bar - 4.0), point(to, bar - 4.0), point(to, bar + 4.0), point(from, bar + 4.0)];
        board.line(&corners, Weight::Heavy, Ink::Body, true);
    }
    if let Some(at) = arms.broken {
        [-GAP, GAP].into_iter().for_each(|aside| board.broken(point(pivot + at + aside, bar), 14.0));
    }
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
    // Arms on either side of the pivot are told in one row, unless one is too short for it; else the shorter is the nearer.
    let one_row = first && arms.effort.min(arms.load) > 76.0;
    let (near, far) = (-60.0, if one_row { -60.0 } else { -90.0 });
    let rows = if arms.effort < arms.load { (near, far) } else { (far, near) };
    arm(&mut board, row, effort_at, rows.0, &figures.printed("effort_arm"));
    arm(&mut board, row, load_at, rows.1, &figures.printed("load_arm"));
    let at_arm = |label: &str, force: &str, arm: &str| {
        let (force, arm) = (figures.printed(force), figures.printed(arm));
        if force.is_empty() || arm.is_empty() { String::new() } else { say!(" {label}: {force} at an arm of {arm}.", label = label, force = force, arm = arm) }
    };
    let mut text = at_arm(say!("Effort"), "effort", "effort_arm") + &at_arm(say!("Load"), "load", "load_arm");
    text += &spoken(figures, say!("Force on the pivot"), "pivot_load");
    let title = match class.as_str() {
        "second" => say!("Lever of the second class"),
        "third" => say!("Lever of the third class"),
        _ => say!("Lever of the first class"),
    };
    board.finish(title.to_owned(), text)
}

/// Half the gap of a break in the bar.
const GAP: f64 = 4.0;

/// Both arms as they are drawn, and where the bar is broken because one would be too short to be seen: from the pivot to the right.
struct Arms {
    effort: f64,
    load: f64,
    broken: Option<f64>,
}

impl Arms {
    /// In true proportion over `span`, but none shorter than `least`.
    fn over(effort: f64, load: f64, first: bool, span: f64, least: f64) -> Self {
        let scale = span / if first { effort + load } else { effort.max(load) };
        let short = effort.min(load) * scale;
        if short >= least {
            return Self { effort: effort * scale, load: load * scale, broken: None };
        }
        let long = if first { span - least } else { span };
        // In the middle of what is longer than it is drawn.
        let middle = if first { long / 2.0 } else { (long + least) / 2.0 };
        if effort < load {
            Self { effort: least, load: long, broken: Some(middle) }
        } else {
            Self { effort: long, load: least, broken: Some(if first { -middle } else { middle }) }
        }
    }
}

/// The bar from end to end, or both pieces of it.
fn pieces(left: f64, right: f64, broken: Option<f64>) -> Vec<(f64, f64)> {
    match broken {
        Some(at) => vec![(left, at - GAP), (at + GAP, right)],
        None => vec![(left, right)],
    }
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
    let side = if first { -1.0 } else { 1.0 };
    let arms = Arms::over(effort_arm, load_arm, first, 200.0, 30.0);
    let (effort_at, load_at) = (side * arms.effort, arms.load);
    let mut bar = Cut::free(say!("the bar"), figures);
    let (left, right) = (effort_at.min(0.0) - 8.0, effort_at.max(load_at) + 8.0);
    for (from, to) in pieces(left, right, arms.broken) {
        bar.outline(&[point(from, -4.0), point(to, -4.0), point(to, 4.0), point(from, 4.0)], true);
    }
    if let Some(at) = arms.broken {
        [-GAP, GAP].into_iter().for_each(|aside| {
            bar.shape(zigzag(point(at + aside, 0.0), 12.0));
        });
    }
    let (ea, la) = (figures.value("effort_angle")?, figures.value("load_angle")?);
    bar.pulls("effort", say!("the hand"), point(effort_at, -4.0 * side), (side * libm::cos(ea), -side * libm::sin(ea)));
    bar.pulls("load", say!("the load¦gives"), point(load_at, 4.0), (libm::cos(la), libm::sin(la)));
    if let Some(arm) = figures.value("bar_weight_arm") {
        // As far along its own side of the bar as it is.
        let scale = if arm < 0.0 && first { arms.effort / effort_arm } else { load_at / load_arm };
        bar.pulls("bar_weight", say!("gravity"), point((arm * scale).clamp(left, right), 4.0), (0.0, 1.0));
    }
    let answer = (figures.value("pivot_along").map(|v| -v), figures.value("pivot_down"));
    bar.parts("pivot_load", say!("the pivot"), point(0.0, 4.0), answer, false);
    Some(bar)
}
