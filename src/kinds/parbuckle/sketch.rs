//! The sketch of a parbuckle: the slope at its true angle, the rope under the cylinder and back, the forces on it.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Shape, Weight};
use crate::words::say;

/// Radius of the cylinder in the drawing.
const CYLINDER: f64 = 36.0;

/// Draws the parbuckle from its slope and forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let slope = figures.value("theta").filter(|v| v.is_finite()).unwrap_or(0.4).clamp(0.01, core::f64::consts::FRAC_PI_2);
    let (sine, cosine) = (libm::sin(slope), libm::cos(slope).max(1e-9));
    let length = (360.0 / cosine).min(240.0 / sine);
    let (run, rise) = (length * cosine, length * sine);
    let foot = point(140.0 + (360.0 - run) / 2.0, rise + 150.0);
    let head = point(foot.x + run, foot.y - rise);
    let names = ["effort", "load", "normal_force", "standing_ends"];
    let mut board = DrawingBoard::new(&names.map(|name| figures.value(name)));
    board.line(&[foot, head, point(head.x, foot.y)], Weight::Heavy, Ink::Body, true);
    board.add(Shape::Ground { from: point(foot.x - 20.0, foot.y), to: point(head.x + 20.0, foot.y) });
    board.keep_off(foot.x - 20.0, foot.y - 2.0, run + 40.0, 12.0);
    // Places on the slope: `along` it from the cylinder's contact, and `off` it.
    let on = point(foot.x + run * 0.4, foot.y - rise * 0.4);
    let place = |along: f64, off: f64| point(on.x + along * cosine - off * sine, on.y - along * sine - off * cosine);
    let axis = place(0.0, CYLINDER + 3.0);
    board.circle(axis, CYLINDER, Weight::Heavy, Ink::Body, false);
    board.circle(axis, 2.0, Weight::Light, Ink::Body, true);
    board.keep_off(axis.x - CYLINDER - 3.0, axis.y - CYLINDER - 3.0, 2.0 * CYLINDER + 6.0, 2.0 * CYLINDER + 6.0);
    let degrees = slope * 180.0 / core::f64::consts::PI;
    let (from, to) = (90.0 - degrees, 270.0 - degrees);
    board.add(Shape::Arc { centre: axis, radius: CYLINDER + 3.0, from, to, weight: Weight::Heavy, ink: Ink::Rope });
    let up = (cosine, -sine);
    let way = length * 0.6;
    let (fast, hauled) = (place(way - 8.0, 3.0), place(way * 0.72, 2.0 * CYLINDER + 3.0));
    board.line(&[place(0.0, 0.0), place(0.0, 3.0), fast], Weight::Heavy, Ink::Rope, false);
    board.circle(fast, 4.0, Weight::Medium, Ink::Body, false);
    board.line(&[place(0.0, 2.0 * CYLINDER + 3.0), hauled], Weight::Heavy, Ink::Rope, false);
    board.force(hauled, up, true, figures.value("effort"), (say!("effort"), &figures.printed("effort")), Ink::Force);
    board.force(fast, up, true, figures.value("standing_ends"), (say!("standing ends"), &figures.printed("standing_ends")), Ink::Reaction);
    board.force(axis, (0.0, 1.0), true, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
    let normal = (-sine, -cosine);
    board.force(place(6.0, 0.0), normal, false, figures.value("normal_force"), (say!("normal force"), &figures.printed("normal_force")), Ink::Reaction);
    let radius = (run * 0.25).clamp(10.0, 50.0);
    board.add(Shape::Arc { centre: foot, radius, from: -degrees, to: 0.0, weight: Weight::Light, ink: Ink::Construction });
    let within = slope > 0.44 && run > 140.0;
    let at = if within { point(foot.x + radius + 28.0, foot.y - 19.0) } else { point(foot.x + radius + 16.0, foot.y + 26.0) };
    board.named(at, "θ", &figures.printed("theta"), Ink::Construction);
    let rise = figures.printed("load_travel");
    if !rise.is_empty() {
        board.dimension(head, point(head.x, foot.y), -30.0, &rise);
    }
    let lines = figures.printed("lines");
    if !lines.is_empty() {
        board.names(point(axis.x - (CYLINDER + 3.0), axis.y), point(axis.x - CYLINDER - 60.0, axis.y - 50.0), say!("lines¦ropes"), &lines, Ink::Rope);
    }
    let mut text = spoken(figures, say!("Slope¦of the ground"), "theta") + &spoken(figures, say!("Hauling ends together"), "effort");
    text += &spoken(figures, say!("Standing ends together"), "standing_ends");
    text += &spoken(figures, say!("Weight"), "load");
    text += &spoken(figures, say!("Pressure on the slope"), "normal_force");
    text += &spoken(figures, say!("Lines"), "lines");
    board.finish(say!("Parbuckle").to_owned(), say!("A cylinder rolled up a slope in the bights of its ropes.").to_owned() + &text)
}

/// The cylinder in its bights.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let slope = figures.value("theta").filter(|v| v.is_finite())?;
    let (sine, cosine) = (libm::sin(slope), libm::cos(slope));
    let radius = 44.0;
    let at = |along: f64, off: f64| point(along * cosine - off * sine, -along * sine - off * cosine);
    let mut cylinder = Cut::free(say!("the cylinder with the bights on it"), figures);
    cylinder.circle(at(0.0, 0.0), radius);
    cylinder.pulls("effort", say!("the hauling ends"), at(0.0, radius), (cosine, -sine));
    cylinder.pulls("standing_ends", say!("the standing ends"), at(0.0, -radius), (cosine, -sine));
    cylinder.pulls("load", say!("gravity"), at(0.0, 0.0), (0.0, 1.0));
    cylinder.pushes("normal_force", say!("the slope"), at(0.0, -radius), (-sine, -cosine));
    Some(cylinder)
}
