//! The sketch of a rack and pinion: pitch circle and rack with their teeth, torque and force.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Shape, Weight};
use crate::kinds::turning::{pitch_line, positive, toothed, torque};
use crate::words::say;
use core::f64::consts::PI;

/// Draws the rack from the pinion's teeth and the forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let teeth = positive(figures, "teeth", 18.0).clamp(4.0, 120.0);
    let radius = 70.0;
    let pitch = 2.0 * PI * radius / teeth;
    let high = (pitch / PI).clamp(1.0, 12.0);
    let centre = point(320.0, 150.0);
    let mut board = DrawingBoard::new(&["load", "tooth_force", "separating_force", "pinion_bearing"].map(|name| figures.value(name)));
    toothed(&mut board, centre, radius, teeth);
    // The rack by ISO 2203: its tips as one line, its pitch line long-dash dot.
    let line = centre.y + radius;
    let (from, to) = (160.0, 480.0);
    let bottom = line + 26.0;
    board.line(&[point(from, line - high), point(to, line - high), point(to, bottom), point(from, bottom)], Weight::Heavy, Ink::Body, true);
    pitch_line(&mut board, &[point(from, line), point(to, line)]);
    board.add(Shape::Ground { from: point(from - 10.0, bottom + 4.0), to: point(to + 10.0, bottom + 4.0) });
    board.keep_off(from - 10.0, line - high, to - from + 20.0, 48.0);
    torque(&mut board, centre, radius * 0.6, false, (say!("effort"), &figures.printed("effort")), point(centre.x, centre.y + 46.0));
    board.force(point(from, line + 14.0), (-1.0, 0.0), true, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
    let apart = figures.value("separating_force");
    board.force(
        point(centre.x, centre.y - radius - 14.0),
        (0.0, -1.0),
        true,
        apart,
        (say!("separating force"), &figures.printed("separating_force")),
        Ink::Reaction,
    );
    board.names(point(centre.x + radius, centre.y), point(centre.x + radius + 80.0, centre.y), say!("pitch diameter"), &figures.printed("d"), Ink::Construction);
    board.named(point(centre.x + radius + 90.0, bottom + 34.0), say!("travel of a turn"), &figures.printed("travel_of_turn"), Ink::Construction);
    let mut text = spoken(figures, say!("Torque at the pinion"), "effort") + &spoken(figures, say!("Force along the rack"), "load");
    text += &spoken(figures, say!("Force that parts them"), "separating_force");
    text += &spoken(figures, say!("Travel for one turn"), "travel_of_turn");
    board.finish(say!("Rack and pinion").to_owned(), text)
}

/// The rack, between load, pinion and guide.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let mut rack = Cut::free(say!("the rack"), figures);
    rack.outline(&[point(-100.0, -10.0), point(100.0, -10.0), point(100.0, 10.0), point(-100.0, 10.0)], true);
    rack.pulls("load", say!("the load¦gives"), point(-100.0, 0.0), (-1.0, 0.0));
    rack.pulls("tooth_force", say!("the pinion"), point(0.0, -10.0), (1.0, 0.0));
    rack.pushes("separating_force", say!("the pinion"), point(-6.0, -10.0), (0.0, 1.0));
    rack.pushes("separating_force", say!("the guide"), point(-6.0, 10.0), (0.0, -1.0));
    // Going up the drag is reckoned at mesh and guide together, coming down on the pinion's side of the mesh.
    if figures.value("tooth_force")? > figures.value("load")? {
        rack.pushes("guide_drag", say!("friction of mesh and guide"), point(100.0, 10.0), (-1.0, 0.0)).rubs();
    }
    Some(rack)
}
