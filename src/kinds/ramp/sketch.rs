//! The sketch of a ramp: the slope at its true angle, the load on it with its forces.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Shape, Weight};
use crate::words::say;

/// Draws the ramp from its slope and forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let slope = figures.value("theta").filter(|v| v.is_finite()).unwrap_or(0.4).clamp(0.01, 1.55);
    let (sine, cosine) = (libm::sin(slope), libm::cos(slope));
    let length = (340.0 / cosine).min(240.0 / sine);
    let (run, rise) = (length * cosine, length * sine);
    let foot = point(110.0 + (340.0 - run) / 2.0, rise + 140.0);
    let head = point(foot.x + run, foot.y - rise);
    let mut board = DrawingBoard::new(&["effort", "load", "normal_force", "surface_friction"].map(|name| figures.value(name)));
    board.line(&[foot, head, point(head.x, foot.y)], Weight::Heavy, Ink::Body, true);
    board.add(Shape::Ground { from: point(foot.x - 20.0, foot.y), to: point(head.x + 20.0, foot.y) });
    board.keep_off(foot.x - 20.0, foot.y - 2.0, run + 40.0, 12.0);
    board.keep_off_line(foot, head);
    board.keep_off_line(head, point(head.x, foot.y));
    // The load: a box on the slope at its middle, or a wheel.
    let on = point(foot.x + run * 0.55, foot.y - rise * 0.55);
    let up = |along: f64, off: f64| point(on.x + along * cosine - off * sine, on.y - along * sine - off * cosine);
    let middle = up(0.0, 20.0);
    let rolls = figures.choice("contact").is_some_and(|c| c != "sliding");
    let front = if rolls { 20.0 } else { 26.0 };
    if rolls {
        board.circle(middle, 20.0, Weight::Heavy, Ink::Body, false);
    } else {
        board.line(&[up(-26.0, 0.0), up(26.0, 0.0), up(26.0, 40.0), up(-26.0, 40.0)], Weight::Heavy, Ink::Body, true);
    }
    board.keep_off(middle.x - 24.0, middle.y - 24.0, 48.0, 48.0);
    let beta = figures.value("beta").unwrap_or(0.0) + slope;
    let pull = (libm::cos(beta), -libm::sin(beta));
    board.force(up(front, 20.0), pull, true, figures.value("effort"), (say!("effort"), &figures.printed("effort")), Ink::Force);
    board.force(middle, (0.0, 1.0), true, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
    let normal = (-sine, -cosine);
    board.force(up(8.0, 0.0), normal, false, figures.value("normal_force"), (say!("normal force"), &figures.printed("normal_force")), Ink::Reaction);
    let sense = if figures.value("sense").unwrap_or(1.0) < 0.0 { -1.0 } else { 1.0 };
    let drag = (-cosine * sense, sine * sense);
    let friction = figures.value("surface_friction");
    // Beside the line of the slope, on which it could not be seen.
    board.force(up(-26.0 * sense, 5.0), drag, true, friction, (say!("surface friction"), &figures.printed("surface_friction")), Ink::Loss);
    let degrees = slope * 180.0 / core::f64::consts::PI;
    let radius = (run * 0.3).clamp(10.0, 50.0);
    board.add(Shape::Arc { centre: foot, radius, from: -degrees, to: 0.0, weight: Weight::Light, ink: Ink::Construction });
    // Within the angle where there is room.
    let within = slope > 0.44 && run > 140.0;
    let at = if within { point(foot.x + radius + 28.0, foot.y - 19.0) } else { point(foot.x + radius + 16.0, foot.y + 26.0) };
    board.named(at, "θ", &figures.printed("theta"), Ink::Construction);
    let height = figures.printed("rise");
    if !height.is_empty() {
        board.dimension(point(head.x, head.y), point(head.x, foot.y), -30.0, &height);
    }
    let mut text = spoken(figures, say!("Slope¦of the ground"), "theta") + &spoken(figures, say!("Height"), "rise") + &spoken(figures, say!("Effort"), "effort");
    text += &spoken(figures, say!("Load"), "load");
    text += &spoken(figures, say!("Force square to the slope"), "normal_force");
    text += &spoken(figures, say!("Friction along it"), "surface_friction");
    board.finish(say!("Ramp").to_owned(), text)
}

/// The load, cut from slope and line.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let slope = figures.value("theta").filter(|v| v.is_finite())?;
    let (sine, cosine) = (libm::sin(slope), libm::cos(slope));
    let at = |along: f64, off: f64| point(along * cosine - off * sine, -along * sine - off * cosine);
    let sense = if figures.value("sense")? < 0.0 { -1.0 } else { 1.0 };
    let rolls = figures.choice("contact").is_some_and(|contact| contact != "sliding");
    let mut load = Cut::free(say!("the load"), figures);
    if rolls {
        load.circle(at(0.0, 0.0), 26.0);
    } else {
        load.outline(&[at(-34.0, -26.0), at(34.0, -26.0), at(34.0, 26.0), at(-34.0, 26.0)], true);
    }
    let beta = figures.value("beta")? + slope;
    load.pulls("effort", say!("the line"), at(if rolls { 26.0 } else { 34.0 }, 0.0), (libm::cos(beta), -libm::sin(beta)));
    load.pulls("load", say!("gravity"), at(0.0, 0.0), (0.0, 1.0));
    let foot = if rolls { 0.0 } else { 12.0 * sense };
    load.pushes("normal_force", say!("the slope"), at(foot, -26.0), (-sine, -cosine));
    let drag = (-cosine * sense, sine * sense);
    load.pulls("surface_friction", say!("friction on the slope"), at(if rolls { 0.0 } else { -34.0 * sense }, -26.0), drag).rubs();
    Some(load)
}
