//! The sketch of a differential screw: the inner screw in the outer, both in true proportion, and seen along the axis.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Shape, Weight};
use crate::kinds::threads::{Thread, Turned, nut};
use crate::words::say;

/// Draws both screws from their threads, and the handle.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let mut board = DrawingBoard::new(&["load", "effort", "thrust"].map(|name| figures.value(name)));
    let centre = 170.0;
    let mean = 84.0;
    let outer = Thread::of(figures, mean, ["outer_mean_diameter", "outer_pitch", "outer_advance", "flank"]);
    let share = match (figures.value("inner_mean_diameter"), figures.value("outer_mean_diameter")) {
        (Some(inner), Some(outer)) if inner > 0.0 && outer > inner => (inner / outer).max(0.08),
        _ => 0.5,
    };
    let inner = Thread::of(figures, mean * share, ["inner_mean_diameter", "inner_pitch", "inner_advance", "flank"]);
    let (narrow, wide) = (inner.outer(), outer.outer());
    let (cap, head, neck, seat) = (90.0, 150.0, 172.0, 222.0);
    // Cap on the inner screw, with the slide that keeps it from turning.
    let top = [(-34.0, cap - 14.0), (34.0, cap - 14.0), (34.0, cap), (-34.0, cap)].map(|(x, y)| point(centre + x, y));
    board.line(&top, Weight::Heavy, Ink::Body, true);
    board.add(Shape::Ground { from: point(centre - 38.0, cap - 30.0), to: point(centre - 38.0, cap + 16.0) });
    board.keep_off(centre - 50.0, cap - 32.0, 90.0, 50.0);
    inner.draw(&mut board, point(centre, head), point(centre, cap));
    let collar = [(-wide, head), (wide, head), (wide, neck), (-wide, neck)].map(|(x, y)| point(centre + x, y));
    board.line(&collar, Weight::Heavy, Ink::Body, true);
    outer.draw(&mut board, point(centre, seat + 100.0), point(centre, neck));
    nut(&mut board, centre, wide, seat);
    // The inner screw within the outer one.
    for side in [-1.0, 1.0] {
        let hidden = vec![point(centre + side * narrow, head), point(centre + side * narrow, seat + 84.0)];
        board.add(Shape::Path { points: hidden, closed: false, filled: false, weight: Weight::Light, ink: Ink::Body, dashed: true });
    }
    board.keep_off(centre - wide - 62.0, seat, 2.0 * wide + 124.0, 62.0);
    board.keep_off(centre - wide - 4.0, cap, 2.0 * wide + 8.0, 234.0);
    board.centre_line(point(centre, cap - 12.0), point(centre, seat + 114.0));
    board.force(point(centre, cap - 14.0), (0.0, 1.0), false, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
    let foot = point(centre - wide - 26.0, seat + 62.0);
    board.force(foot, (0.0, -1.0), false, figures.value("thrust"), (say!("thrust"), &figures.printed("thrust")), Ink::Reaction);
    board.names(point(centre + wide, seat + 25.0), point(centre + wide + 112.0, seat + 26.0), say!("outer torque"), &figures.printed("outer_torque"), Ink::Loss);
    board.names(point(centre + narrow, cap + 20.0), point(centre + wide + 60.0, cap + 30.0), say!("inner torque"), &figures.printed("inner_torque"), Ink::Loss);
    board.names(point(centre + wide, seat + 84.0), point(centre + wide + 60.0, seat + 96.0), say!("way in a turn"), &figures.printed("gain"), Ink::Construction);
    let body = figures.value("outer_mean_diameter").map(|mean| mean / 2.0);
    let plan =
        Turned { centre: point(460.0, 210.0), body, arm: ("handle_radius", "handle"), title: say!("seen from the load"), against_clock: true };
    plan.draw(&mut board, figures);
    let mut text = spoken(figures, say!("Load along the axis"), "load") + &spoken(figures, say!("Effort"), "effort");
    text += &spoken(figures, say!("Handle"), "handle_radius");
    text += &spoken(figures, say!("Lead of the outer screw"), "outer_advance");
    text += &spoken(figures, say!("Lead of the inner screw"), "inner_advance");
    text += &spoken(figures, say!("Way of the load in one turn"), "gain");
    text += &spoken(figures, say!("Torque on the nut"), "outer_torque");
    text += &spoken(figures, say!("Torque on the inner screw"), "inner_torque");
    board.finish(say!("Differential screw").to_owned(), say!("A screw within a screw, with the load along the axis.").to_owned() + &text)
}

/// The outer screw, which turns, along its axis and seen along it.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let mut screw = Cut::free(say!("the outer screw"), figures);
    screw.outline(&[point(-16.0, -50.0), point(16.0, -50.0), point(16.0, 50.0), point(-16.0, 50.0)], true);
    screw.pushes("load", say!("the inner screw"), point(0.0, -50.0), (0.0, 1.0));
    screw.pushes("thrust", say!("the nut"), point(0.0, 50.0), (0.0, -1.0));
    let seen = point(200.0, 0.0);
    screw.circle(seen, 16.0);
    screw.couple("torque", say!("the hand"), seen, 30.0, true);
    screw.couple("outer_torque", say!("the nut"), seen, 48.0, false);
    screw.couple("inner_torque", say!("the inner screw"), seen, 66.0, false);
    screw.note(say!("The couples are seen from the load. A one-sided pull also pushes across the axis; the working gives that push."));
    Some(screw)
}
