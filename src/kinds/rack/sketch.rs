//! The sketch of a rack and pinion: pitch circle and rack with their teeth, torque and force.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Shape, Weight};
use crate::kinds::turning::{positive, toothed, torque};
use core::f64::consts::PI;

/// Draws the rack from the pinion's teeth and the forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let teeth = positive(figures, "teeth", 18.0).clamp(4.0, 120.0);
    let radius = 70.0;
    let pitch = 2.0 * PI * radius / teeth;
    let high = (pitch / PI).clamp(1.0, 8.0);
    let centre = point(320.0, 150.0);
    let mut board = DrawingBoard::new(&["load", "tooth_force", "separating_force", "pinion_bearing"].map(|name| figures.value(name)));
    toothed(&mut board, centre, radius, teeth, PI / 2.0);
    let line = centre.y + radius;
    // A gap of the rack stands under the tooth of the pinion that faces it.
    let (from, to) = (centre.x - (libm::floor(160.0 / pitch) + 0.75) * pitch, 480.0);
    let mut outline: Vec<Point> = Vec::new();
    if pitch >= 4.0 {
        let count = libm::floor((to - from) / pitch) as usize;
        for tooth in 0..count {
            let x = from + tooth as f64 * pitch;
            let (top, low) = (line - high, line + 1.25 * high);
            outline.extend([point(x, low), point(x + pitch * 0.12, top), point(x + pitch * 0.38, top), point(x + pitch * 0.5, low)]);
        }
    } else {
        outline.push(point(from, line));
    }
    let bottom = line + 26.0;
    outline.extend([point(to, line + 1.25 * high), point(to, bottom), point(from, bottom)]);
    board.line(&outline, Weight::Heavy, Ink::Body, true);
    board.add(Shape::Ground { from: point(from - 10.0, bottom + 4.0), to: point(to + 10.0, bottom + 4.0) });
    board.keep_off(from - 10.0, line - high, to - from + 20.0, 48.0);
    torque(&mut board, centre, radius * 0.6, false, ("T", &figures.printed("effort")), point(centre.x - radius - 60.0, centre.y - 20.0));
    board.force(point(from, line + 14.0), (-1.0, 0.0), true, figures.value("load"), ("W", &figures.printed("load")), Ink::Force);
    let apart = figures.value("separating_force");
    board.force(
        point(centre.x, centre.y - radius - 14.0),
        (0.0, -1.0),
        true,
        apart,
        ("N", &figures.printed("separating_force")),
        Ink::Reaction,
    );
    board.named(point(centre.x + radius + 70.0, centre.y), "pitch diameter", &figures.printed("d"), Ink::Construction);
    board.named(point(centre.x + radius + 90.0, bottom + 34.0), "travel of a turn", &figures.printed("travel_of_turn"), Ink::Construction);
    let mut text = spoken(figures, "Torque at the pinion", "effort") + &spoken(figures, "Force along the rack", "load");
    text += &spoken(figures, "Force that parts them", "separating_force");
    text += &spoken(figures, "Travel for one turn", "travel_of_turn");
    board.finish("Rack and pinion".to_owned(), format!("A pinion on a rack.{text}"))
}
