//! The sketch of a worm and wheel: the worm above its wheel in true proportion, threads at their lead, the forces between.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Weight};
use crate::kinds::threads::turning;
use crate::kinds::turning::{positive, toothed, torque};
use crate::words::say;
use core::f64::consts::{FRAC_PI_2, PI};

/// Draws the worm from its teeth, lead and forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let teeth = positive(figures, "wheel_teeth", 40.0);
    let wheel = 90.0;
    let thick = (wheel * positive(figures, "radius_ratio", 0.3)).clamp(10.0, 60.0);
    let worm = point(320.0, 90.0 + thick);
    let centre = point(320.0, worm.y + thick + wheel);
    let forces = ["wheel_rim_force", "worm_rim_force", "separating_force"].map(|name| figures.value(name));
    let mut board = DrawingBoard::new(&forces);
    toothed(&mut board, centre, wheel, teeth);
    let (from, to) = (worm.x - 110.0, worm.x + 110.0);
    let (top, low) = (worm.y - thick, worm.y + thick);
    board.line(&[point(from, top), point(to, top), point(to, low), point(from, low)], Weight::Heavy, Ink::Body, true);
    board.line(&[point(from - 50.0, worm.y), point(from, worm.y)], Weight::Heavy, Ink::Body, false);
    board.line(&[point(to, worm.y), point(to + 30.0, worm.y)], Weight::Heavy, Ink::Body, false);
    board.keep_off(from - 50.0, top, to - from + 80.0, 2.0 * thick);
    // The near side of each thread leans by the lead angle from square to the axis.
    let lead = figures.value("lambda").filter(|angle| angle.is_finite()).unwrap_or(0.1).clamp(0.0, 1.0);
    let lean = thick * libm::tan(lead);
    let step = (2.0 * PI * wheel / teeth.clamp(4.0, 400.0)).max(6.0);
    let mut x = from + lean.min(90.0) + 2.0;
    while x + lean < to && lean < 100.0 {
        board.line(&[point(x - lean, low), point(x + lean, top)], Weight::Light, Ink::Body, false);
        x += step;
    }
    torque(&mut board, centre, wheel * 0.5, true, (say!("load"), &figures.printed("load")), point(centre.x, centre.y + 52.0));
    let end = point(from - 36.0, worm.y);
    turning(&mut board, end, 14.0, FRAC_PI_2, false, Ink::Force);
    board.names(point(end.x, end.y - 14.0), point(from - 70.0, worm.y - 44.0), say!("effort"), &figures.printed("effort"), Ink::Force);
    if figures.value("wheel_rim_force").is_some() {
        let rim = &figures.printed("wheel_rim_force");
        board.force(
            point(to + 30.0, worm.y),
            (1.0, 0.0),
            true,
            figures.value("wheel_rim_force"),
            (say!("thrust along the worm"), rim),
            Ink::Reaction,
        );
    }
    if figures.value("separating_force").is_some() {
        let apart = &figures.printed("separating_force");
        board.force(point(worm.x, top - 4.0), (0.0, -1.0), true, figures.value("separating_force"), (say!("parting"), apart), Ink::Reaction);
    }
    let starts = match figures.printed("starts") {
        one if one == "1" => say!("1 start").to_owned(),
        count => say!("{count} starts", count = count),
    };
    board.names(point(from, worm.y + thick * 0.5), point(centre.x - wheel - 80.0, centre.y - 20.0), say!("worm"), &starts, Ink::Body);
    board.names(point(centre.x - wheel, centre.y), point(centre.x - wheel - 80.0, centre.y + 30.0), say!("wheel"), &say!("{count} teeth", count = figures.printed("wheel_teeth")), Ink::Body);
    let angle = figures.printed("lambda");
    if !angle.is_empty() {
        board.names(point(to - 12.0, low), point(centre.x + wheel + 80.0, centre.y), say!("lead angle"), &angle, Ink::Construction);
    }
    let mut text = spoken(figures, say!("Torque at the worm"), "effort") + &spoken(figures, say!("Torque at the wheel"), "load");
    text += &spoken(figures, say!("Teeth of the wheel"), "wheel_teeth");
    text += &spoken(figures, say!("Starts of the worm"), "starts");
    text += &spoken(figures, say!("Lead angle"), "lambda");
    text += &spoken(figures, say!("Thrust along the worm"), "wheel_rim_force");
    text += &spoken(figures, say!("Thrust along the wheel's shaft"), "worm_rim_force");
    text += &spoken(figures, say!("Force that parts them"), "separating_force");
    board.finish(say!("Worm and wheel").to_owned(), text)
}

/// The wheel, seen along its shaft.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let mut wheel = Cut::free(say!("the wheel with its shaft"), figures);
    let (rim, apart) = (figures.value("wheel_rim_force")?, figures.value("separating_force")?);
    wheel.toothed(60.0, point(0.0, -60.0));
    wheel.circle(point(0.0, 0.0), 6.0);
    wheel.pulls("wheel_rim_force", say!("the worm"), point(0.0, -60.0), (-1.0, 0.0));
    wheel.pushes("separating_force", say!("the worm"), point(0.0, -60.0), (0.0, 1.0));
    wheel.parts("wheel_bearing", say!("the bearings"), point(0.0, 0.0), (Some(rim), Some(apart)), true);
    wheel.couple("load", say!("what it turns"), point(0.0, 0.0), 28.0, false);
    wheel.note(say!("The thrust along its shaft, which is the force at the worm's rim, stands square to the page."));
    Some(wheel)
}
