//! The sketch of a screw: in elevation with its nut, thread and collar in true proportion, and seen along the axis.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Shape, Weight};
use crate::kinds::threads::{Thread, Turned, nut};
use crate::words::say;

/// Draws the screw from its thread, collar and handle.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let mut board = DrawingBoard::new(&["load", "effort", "thrust"].map(|name| figures.value(name)));
    let centre = 170.0;
    let thread = Thread::of(figures, 70.0, ["mean", "spacing", "advance", "flank"]);
    let half = thread.outer();
    let collar = figures.choice("collar").unwrap_or("none").to_owned();
    // Head and cap: the collar as wide against the thread as it is, within what fits.
    let wide = |name: &str| {
        let (collar, mean) = (figures.value(name)?, figures.value("mean")?);
        (collar > 0.0 && mean > 0.0).then(|| (collar / mean * 35.0).clamp(8.0, 85.0))
    };
    let bearing = wide("collar_outer_diameter").unwrap_or(half);
    let (cap, neck, seat) = (100.0, 118.0, 210.0);
    let head = bearing.max(half);
    board.line(&corners(centre - head - 6.0, cap - 16.0, centre + head + 6.0, cap), Weight::Heavy, Ink::Body, true);
    board.line(&corners(centre - bearing, cap, centre + bearing, neck), Weight::Heavy, Ink::Body, true);
    if let (true, Some(bore)) = (collar.starts_with("uniform"), wide("collar_inner_diameter")) {
        for x in [centre - bore, centre + bore] {
            board.add(Shape::Path {
                points: vec![point(x, cap), point(x, neck)],
                closed: false,
                filled: false,
                weight: Weight::Light,
                ink: Ink::Body,
                dashed: true,
            });
        }
    }
    thread.draw(&mut board, point(centre, seat + 104.0), point(centre, neck));
    nut(&mut board, centre, half, seat);
    board.keep_off(centre - half - 62.0, seat, 2.0 * half + 124.0, 62.0);
    board.keep_off(centre - half - 4.0, neck, 2.0 * half + 8.0, 196.0);
    board.keep_off(centre - head - 8.0, cap - 18.0, 2.0 * head + 16.0, 36.0);
    board.centre_line(point(centre, cap - 14.0), point(centre, seat + 118.0));
    board.force(point(centre, cap - 16.0), (0.0, 1.0), false, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
    let foot = point(centre - half - 26.0, seat + 62.0);
    board.force(foot, (0.0, -1.0), false, figures.value("thrust"), (say!("thrust"), &figures.printed("thrust")), Ink::Reaction);
    board.names(point(centre + half, seat + 25.0), point(centre + half + 112.0, seat + 26.0), say!("thread torque"), &figures.printed("thread_torque"), Ink::Loss);
    if collar != "none" {
        board.names(point(centre + bearing, cap + 9.0), point(centre + head + 70.0, cap + 4.0), say!("collar torque"), &figures.printed("collar_torque"), Ink::Loss);
    }
    board.names(point(centre + half, seat + 90.0), point(centre + half + 60.0, seat + 96.0), say!("lead"), &figures.printed("advance"), Ink::Construction);
    let body = figures.value("mean").map(|mean| mean / 2.0);
    let plan =
        Turned { centre: point(460.0, 200.0), body, arm: ("handle_radius", "handle"), title: say!("seen from the load"), against_clock: true };
    plan.draw(&mut board, figures);
    let mut text = spoken(figures, say!("Load along the axis"), "load") + &spoken(figures, say!("Effort"), "effort");
    text += &spoken(figures, say!("Handle"), "handle_radius");
    text += &spoken(figures, say!("Mean diameter"), "mean");
    text += &spoken(figures, say!("Lead"), "advance");
    text += &spoken(figures, say!("Lead angle"), "lambda");
    text += &spoken(figures, say!("Torque of the thread on the nut"), "thread_torque");
    if collar != "none" {
        text += &spoken(figures, say!("Torque at the collar"), "collar_torque");
    }
    board.finish(say!("Screw").to_owned(), say!("A screw in its nut, with the load along its axis.").to_owned() + &text)
}

/// The corners of a rectangle.
fn corners(left: f64, top: f64, right: f64, bottom: f64) -> [Point; 4] {
    [point(left, top), point(right, top), point(right, bottom), point(left, bottom)]
}

/// The screw, along its axis and seen along it.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let mut screw = Cut::free(say!("the screw"), figures);
    screw.outline(&[point(-12.0, -50.0), point(12.0, -50.0), point(12.0, 50.0), point(-12.0, 50.0)], true);
    screw.outline(&[point(-24.0, -62.0), point(24.0, -62.0), point(24.0, -50.0), point(-24.0, -50.0)], true);
    screw.pushes("load", say!("the load¦gives"), point(0.0, -62.0), (0.0, 1.0));
    screw.pushes("thrust", say!("the nut"), point(0.0, 50.0), (0.0, -1.0));
    let seen = point(200.0, 0.0);
    screw.circle(seen, 12.0);
    screw.couple("torque", say!("the hand"), seen, 26.0, true);
    screw.couple("thread_torque", say!("the nut's thread"), seen, 44.0, false);
    if figures.value("collar_torque").is_some_and(|torque| torque != 0.0) {
        screw.couple("collar_torque", say!("friction at the collar"), seen, 62.0, false);
    }
    screw.note(say!("The couples are seen from the load. A one-sided pull also pushes across the axis; the working gives that push."));
    Some(screw)
}
