//! The sketch of a turnbuckle: the body cut open between its ends, threads in true proportion, and seen along the line.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Weight};
use crate::kinds::threads::{Thread, Turned};
use crate::words::say;

/// Draws the turnbuckle from its threads and bar.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let mut board = DrawingBoard::new(&["load", "effort", "body_pull"].map(|name| figures.value(name)));
    let swivel = figures.choice("far_end") == Some("swivel");
    let line = 110.0;
    let thread = Thread::of(figures, 30.0, ["mean", "spacing", "advance", "flank"]);
    let half = thread.outer();
    let (left, right) = (210.0, 430.0);
    // The body: a boss at either end and the two bars of its frame.
    let wall = half + 10.0;
    for (from, to) in [(left, left + 44.0), (right - 44.0, right)] {
        for side in [-1.0, 1.0] {
            let block = [(from, half), (to, half), (to, wall), (from, wall)].map(|(x, off)| point(x, line + side * off));
            board.line(&block, Weight::Heavy, Ink::Body, true);
        }
    }
    for side in [-1.0, 1.0] {
        let bar = [(left + 44.0, wall - 6.0), (right - 44.0, wall - 6.0), (right - 44.0, wall), (left + 44.0, wall)];
        board.line(&bar.map(|(x, off)| point(x, line + side * off)), Weight::Medium, Ink::Body, true);
    }
    thread.draw(&mut board, point(134.0, line), point(left + 70.0, line));
    if swivel {
        let pin = [(506.0, -6.0), (right - 44.0, -6.0), (right - 44.0, -half - 6.0), (right - 54.0, -half - 6.0)];
        let pin: Vec<_> = pin.iter().map(|(x, off)| point(*x, line + off)).collect();
        let lower: Vec<_> = pin.iter().rev().map(|p| point(p.x, 2.0 * line - p.y)).collect();
        board.line(&[pin, lower].concat(), Weight::Medium, Ink::Body, false);
    } else {
        thread.turned_over().draw(&mut board, point(506.0, line), point(right - 70.0, line));
    }
    for x in [120.0, 520.0] {
        board.circle(point(x, line), 14.0, Weight::Heavy, Ink::Body, false);
        board.circle(point(x, line), 7.0, Weight::Light, Ink::Body, false);
    }
    board.keep_off(104.0, line - wall - 2.0, 432.0, 2.0 * wall + 4.0);
    board.centre_line(point(96.0, line), point(544.0, line));
    // The bar through the frame, end on.
    board.circle(point(320.0, line), 5.0, Weight::Medium, Ink::Body, true);
    let pull = figures.value("load");
    board.force(point(106.0, line), (-1.0, 0.0), true, pull, (say!("load"), &figures.printed("load")), Ink::Force);
    board.force(point(534.0, line), (1.0, 0.0), true, figures.value("body_pull"), (say!("body pull"), &figures.printed("body_pull")), Ink::Reaction);
    board.names(point(left + 22.0, line + wall), point(170.0, line + 56.0), say!("thread torque"), &figures.printed("thread_torque"), Ink::Loss);
    if swivel {
        board.names(point(right - 49.0, line + half), point(470.0, line + 56.0), say!("swivel torque"), &figures.printed("swivel_torque"), Ink::Loss);
    }
    board.named(point(320.0, line - wall - 26.0), say!("take-up in a turn"), &figures.printed("drawn_in"), Ink::Construction);
    let body = figures.value("mean").map(|mean| mean / 2.0 * wall / 15.0);
    let view = Turned { centre: point(250.0, 290.0), body, arm: ("bar_radius", "bar"), title: say!("seen along the line"), against_clock: true };
    view.draw(&mut board, figures);
    let mut text = spoken(figures, say!("Pull in the line"), "load") + &spoken(figures, say!("Effort"), "effort");
    text += &spoken(figures, say!("Bar"), "bar_radius");
    text += &spoken(figures, say!("Mean diameter of the threads"), "mean");
    text += &spoken(figures, say!("Take-up in one turn"), "drawn_in");
    text += &spoken(figures, say!("Torque at each thread"), "thread_torque");
    if swivel {
        text += &spoken(figures, say!("Torque at the swivel"), "swivel_torque");
    }
    let what =
        if swivel { say!("A turnbuckle with a thread and a swivel.") } else { say!("A turnbuckle with a right-hand and a left-hand thread.") };
    board.finish(say!("Turnbuckle").to_owned(), what.to_owned() + &text)
}

/// The body, between its two ends.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let mut body = Cut::free(say!("the body"), figures);
    body.outline(&[point(-80.0, -14.0), point(80.0, -14.0), point(80.0, 14.0), point(-80.0, 14.0)], true);
    body.pulls("load", say!("the near fitting"), point(-80.0, 0.0), (-1.0, 0.0));
    body.pulls("body_pull", say!("the far fitting"), point(80.0, 0.0), (1.0, 0.0));
    let seen = point(0.0, 150.0);
    body.circle(seen, 14.0);
    body.couple("torque", say!("the bar¦gives"), seen, 28.0, true);
    body.couple("thread_torque", say!("the near thread"), seen, 46.0, false);
    if figures.choice("far_end") == Some("swivel") {
        body.couple("swivel_torque", say!("the swivel"), seen, 64.0, false);
    } else {
        body.couple("thread_torque", say!("the far thread"), seen, 64.0, false);
    }
    body.note(say!("The couples are seen along the line. A one-sided pull also pushes across it; the working gives that push."));
    Some(body)
}
