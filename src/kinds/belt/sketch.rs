//! The sketch of a belt: both pulleys and their distance in true proportion, tight side below, what the shafts carry.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Shape, Weight};
use crate::words::say;
use core::f64::consts::PI;

/// Draws the belt from its radii, its distance and its forces. The driver stands on the left and turns clockwise.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let known = |name: &str| figures.value(name).filter(|v| v.is_finite() && *v > 0.0);
    let crossed = figures.choice("running") == Some("crossed");
    let (driver, driven) = (known("driver_radius").unwrap_or(1.0), known("driven_radius").unwrap_or(1.0));
    // Where only the contact is known, the distance is the one that gives it.
    let apart = if crossed { driver + driven } else { driver - driven };
    let from_lean = figures.value("side_lean").map(|lean| (apart / libm::sin(lean)).abs()).filter(|v| v.is_finite());
    let centres = known("centres").or(from_lean).unwrap_or(3.0 * (driver + driven)).max(1.02 * (driver + driven));
    let Proportions { first, second, between, broken, enlarged } = Proportions::of(driver, driven, centres);
    let lean = libm::asin((if crossed { first + second } else { first - second } / between).clamp(-1.0, 1.0));
    let middle = 150.0;
    let left = point(320.0 - (between + second - first) / 2.0, middle);
    let right = point(left.x + between, middle);
    let names = ["tight_side", "slack_side", "shaft_pull"];
    let mut board = DrawingBoard::new(&names.map(|name| figures.value(name)));
    for (centre, radius) in [(left, first), (right, second)] {
        board.circle(centre, (radius - 2.0).max(3.0), Weight::Heavy, Ink::Body, false);
        board.circle(centre, 2.5, Weight::Medium, Ink::Body, true);
        board.keep_off(centre.x - radius - 4.0, centre.y - radius - 4.0, 2.0 * radius + 8.0, 2.0 * radius + 8.0);
    }
    let (sine, cosine) = (libm::sin(lean), libm::cos(lean));
    let degrees = lean * 180.0 / PI;
    let side = |below: bool| {
        let down = if below { 1.0 } else { -1.0 };
        let on_driven = if crossed { -1.0 } else { 1.0 };
        let from = point(left.x + first * sine, left.y + down * first * cosine);
        let to = point(right.x + on_driven * second * sine, right.y + on_driven * down * second * cosine);
        (from, to)
    };
    for (below, name, words) in [(true, "tight_side", say!("tight side")), (false, "slack_side", say!("slack side"))] {
        let (from, to): (Point, Point) = side(below);
        let along = |share: f64| point(from.x + share * (to.x - from.x), from.y + share * (to.y - from.y));
        if broken {
            // Away from where crossed sides meet.
            let (at, gap) = (if crossed { 0.78 } else { 0.5 }, GAP / libm::hypot(to.x - from.x, to.y - from.y));
            board.line(&[from, along(at - gap)], Weight::Heavy, Ink::Rope, false);
            board.line(&[along(at + gap), to], Weight::Heavy, Ink::Rope, false);
            [-gap, gap].into_iter().for_each(|aside| board.broken(along(at + aside), 10.0));
        } else {
            board.line(&[from, to], Weight::Heavy, Ink::Rope, false);
        }
        let at = along(if crossed { 0.25 } else if broken { 0.3 } else { 0.5 });
        let beside = point(at.x, at.y + if below { 24.0 } else { -30.0 });
        board.named(beside, words, &figures.printed(name), Ink::Rope);
    }
    let arc = |centre: Point, radius: f64, from: f64, to: f64| Shape::Arc { centre, radius, from, to, weight: Weight::Heavy, ink: Ink::Rope };
    board.add(arc(left, first, 90.0 - degrees, 270.0 + degrees));
    let half = if crossed { 90.0 + degrees } else { 90.0 - degrees };
    board.add(arc(right, second, -half, half));
    // The bearings hold the shafts apart.
    let (along, across) = (figures.value("shaft_along").unwrap_or(1.0), figures.value("shaft_across").unwrap_or(0.0));
    let size = libm::hypot(along, across);
    if size.is_finite() && size > 0.0 && figures.value("shaft_pull").is_some() {
        let rise = across / size * if lean < 0.0 { -1.0 } else { 1.0 };
        let pull = figures.printed("shaft_pull");
        board.force(point(left.x - first - 4.0, left.y), (-along / size, rise), true, Some(size), (say!("shaft pull"), &pull), Ink::Reaction);
        board.force(point(right.x + second + 4.0, right.y), (along / size, -rise), true, Some(size), (say!("shaft pull"), &pull), Ink::Reaction);
    }
    for (centre, radius, words, name) in [(left, first, say!("driver"), "effort"), (right, second, say!("driven"), "load")] {
        turning(&mut board, centre, (radius * 0.55).max(5.0), name == "effort" || !crossed);
        let note = if enlarged && radius == first.min(second) { say!("not to scale") } else { "" };
        let middle = point(centre.x, centre.y - radius - if note.is_empty() { 34.0 } else { 42.0 });
        board.words(middle, (point(centre.x, centre.y - radius), centre), &[words, &figures.printed(name), note], Ink::Force);
    }
    let low = middle + first.max(second) + 62.0;
    let printed = figures.printed("centres");
    if !printed.is_empty() {
        board.dimension(point(left.x, middle), point(right.x, middle), low - middle, &printed);
    }
    // On the pulley that has it.
    let (on, round) = if first <= second { (left, first) } else { (right, second) };
    let (rim, aside) = if first <= second { (point(on.x - round, on.y), -50.0_f64) } else { (point(on.x + round, on.y), 50.0) };
    let rim = point(rim.x - aside.signum() * round * 0.2, rim.y + round * 0.6);
    board.names(rim, point(on.x + aside, low - 14.0), say!("smaller contact"), &figures.printed("contact"), Ink::Construction);
    let mut text = spoken(figures, say!("Torque on the driver"), "effort") + &spoken(figures, say!("Torque on the driven shaft"), "load");
    text += &spoken(figures, say!("Tight side"), "tight_side");
    text += &spoken(figures, say!("Slack side"), "slack_side");
    text += &spoken(figures, say!("Smaller contact"), "contact");
    text += &spoken(figures, say!("Pull on either shaft"), "shaft_pull");
    let title = match (figures.choice("drive") == Some("chain"), crossed) {
        (false, false) => say!("Open belt drive"),
        (false, true) => say!("Crossed belt drive"),
        (true, false) => say!("Open chain drive"),
        (true, true) => say!("Crossed chain drive"),
    };
    let mut what = String::new();
    if broken {
        what += say!(" The shafts are drawn nearer than they stand: the sides are broken.");
    }
    if enlarged {
        what += say!(" The smaller wheel is drawn larger than it is.");
    }
    board.finish(title.to_owned(), what + &text)
}

/// Half the gap of a break in a side.
const GAP: f64 = 4.0;
/// The radius that the smaller pulley should have at the least, one that does not look lost on the larger, and the most.
const LEAST: f64 = 14.0;
const FAIR: f64 = 40.0;
const MOST: f64 = 95.0;
/// No pulley is drawn smaller.
const SMALLEST: f64 = 7.0;
/// How much room there is from side to side.
const ROOM: f64 = 440.0;

/// Both pulleys and their distance as they are drawn.
struct Proportions {
    first: f64,
    second: f64,
    between: f64,
    /// The distance is drawn shorter than the scale of the pulleys has it.
    broken: bool,
    /// The smaller pulley is drawn larger than the scale has it.
    enlarged: bool,
}

impl Proportions {
    /// In true proportion where that leaves pulleys that can be seen; else the pulleys are, and their distance is cut short.
    fn of(driver: f64, driven: f64, centres: f64) -> Self {
        let (small, large) = (driver.min(driven), driver.max(driven));
        let whole = (ROOM / (driver + centres + driven)).min(MOST / large);
        let seen = small * whole >= LEAST;
        let scale = if seen { whole } else { (LEAST / small).max(FAIR / large).min(MOST / large).max(whole) };
        let (first, second) = ((driver * scale).max(SMALLEST), (driven * scale).max(SMALLEST));
        let (stated, room) = (centres * scale, ROOM - first - second);
        let broken = stated > room + 1e-6 * stated;
        let between = stated.min(room).max(first + second + 6.0);
        Self { first, second, between, broken, enlarged: small * scale < SMALLEST }
    }
}

/// A curved arrow that says which way a pulley turns.
fn turning(board: &mut DrawingBoard, centre: Point, radius: f64, clockwise: bool) {
    board.add(Shape::Arc { centre, radius, from: 210.0, to: 330.0, weight: Weight::Medium, ink: Ink::Force });
    let side = if clockwise { 1.0 } else { -1.0 };
    let tip = point(centre.x + side * radius * libm::cos(PI / 6.0), centre.y - radius / 2.0);
    board.add(Shape::Arrow { from: tip, to: point(tip.x + side * 5.0, tip.y + 8.7), ink: Ink::Force });
}

/// The driver with the belt on it.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    // A belt that runs fast is thrown outwards as it goes round, and pulls the shafts by less than its tensions.
    if figures.value("centrifugal")? != 0.0 {
        return None;
    }
    let lean = figures.value("side_lean").filter(|v| v.is_finite())?;
    let (sine, cosine) = (libm::sin(lean), libm::cos(lean));
    let radius = 46.0;
    let mut driver = Cut::free(say!("the driver"), figures);
    let centre = point(0.0, 0.0);
    driver.circle(centre, radius - 4.0);
    driver.rope_on(centre, radius, 90.0 - lean.to_degrees(), 270.0 + lean.to_degrees());
    driver.circle(centre, 5.0);
    driver.rope_pulls("tight_side", say!("the belt"), point(radius * sine, radius * cosine), (cosine, -sine));
    driver.rope_pulls("slack_side", say!("the belt"), point(radius * sine, -radius * cosine), (cosine, sine));
    let across = figures.value("shaft_across").map(|v| if lean < 0.0 { v } else { -v });
    driver.parts("shaft_pull", say!("the bearings"), centre, (figures.value("shaft_along").map(|v| -v), across), true);
    driver.couple("effort", say!("what drives it"), centre, 24.0, false);
    Some(driver)
}
