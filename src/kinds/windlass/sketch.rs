//! The sketch of a windlass, seen along its shaft: wheel and drum in true proportion, effort and load where they pull.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Weight};
use crate::kinds::turning::{bearing, positive, torque, wheel};
use crate::words::say;
use core::f64::consts::PI;

/// Draws the windlass from its radii, its way of turning and its forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let handle = figures.choice("effort_at") != Some("the shaft");
    let drum = figures.choice("load_at") != Some("the shaft");
    let reach = if handle { positive(figures, "R", 3.0) } else { 0.0 };
    let barrel = if drum { positive(figures, "r", 1.0) } else { 0.0 };
    let scale = 100.0 / reach.max(barrel).max(1e-9);
    let (long, round) = ((reach * scale).max(8.0), (barrel * scale).max(5.0));
    let centre = point(320.0, 260.0);
    let forces = [
        if handle { figures.value("effort") } else { None },
        if drum { figures.value("load") } else { None },
        figures.value("bearing_load"),
    ];
    let mut board = DrawingBoard::new(&forces);
    if drum {
        wheel(&mut board, centre, round, Weight::Heavy);
        let side = point(centre.x + round, centre.y);
        let end = point(side.x, centre.y + round.max(40.0) + 30.0);
        board.line(&[side, end], Weight::Heavy, Ink::Rope, false);
        board.keep_off(side.x - 3.0, centre.y, 6.0, end.y - centre.y);
        board.force(end, (0.0, 1.0), true, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
    } else {
        board.keep_off(centre.x - 20.0, centre.y - 20.0, 40.0, 40.0);
        torque(&mut board, centre, 22.0, true, (say!("load"), &figures.printed("load")), point(centre.x, centre.y - 44.0));
    }
    let hand = handle.then(|| pulled(&mut board, figures, centre, long));
    if hand.is_none() {
        torque(
            &mut board,
            centre,
            round + 14.0,
            false,
            (say!("effort"), &figures.printed("effort")),
            point(centre.x - round - 40.0, centre.y - round),
        );
    }
    bearing(&mut board, centre);
    let (along, across) = (figures.value("bearing_along").unwrap_or(1.0), figures.value("bearing_across").unwrap_or(0.0));
    let size = libm::hypot(along, across);
    if figures.value("bearing_load").is_some_and(|load| load > 0.0) && drum && size > 0.0 {
        let answer = (across / size, -along / size);
        board.force(centre, answer, true, figures.value("bearing_load"), (say!("bearing load"), &figures.printed("bearing_load")), Ink::Reaction);
    }
    let high = round.max(if handle { long } else { 0.0 });
    // Over a wheel with spokes, or a small drum, the bearing force has its words above the rim.
    let clear = if drum && size > 0.0 || handle && long > round { 64.0 } else { 34.0 };
    if drum {
        board.dimension(centre, point(centre.x + round, centre.y), -(high + clear), &figures.printed("r"));
    }
    if let Some(hand) = hand.filter(|hand| (hand.y - centre.y).abs() < 1.0) {
        board.dimension(
            point(centre.x.min(hand.x), centre.y),
            point(centre.x.max(hand.x), centre.y),
            -(high + clear + 30.0),
            &figures.printed("R"),
        );
    } else if let Some(hand) = hand {
        let middle = point((centre.x + hand.x) / 2.0, (centre.y + hand.y) / 2.0);
        board.named(point(middle.x - 90.0, middle.y), say!("radius"), &figures.printed("R"), Ink::Construction);
    }
    let at_radius = |label: &str, force: &str, radius: &str| {
        let (force, radius) = (figures.printed(force), figures.printed(radius));
        match (force.is_empty(), radius.is_empty()) {
            (true, _) => String::new(),
            (false, true) => format!(" {label}: {force}."),
            (false, false) => say!(" {label}: {force} at a radius of {radius}.", label = label, force = force, radius = radius),
        }
    };
    let mut text = at_radius(say!("Effort"), "effort", "R") + &at_radius(say!("Load"), "load", "r");
    text += &spoken(figures, say!("Force on the bearings"), "bearing_load");
    let word = match (handle, drum) {
        (true, true) => say!("Wheel and axle"),
        (true, false) => say!("Handle on a shaft"),
        (false, _) => say!("Drum on a shaft"),
    };
    board.finish(word.to_owned(), say!("Seen along the shaft.").to_owned() + &text)
}

/// What the hand turns, with the effort at its end: a crank, bars all round, or a wheel. Gives where the hand is.
fn pulled(board: &mut DrawingBoard, figures: &dyn Figures, centre: Point, long: f64) -> Point {
    // The load hangs on the right, so that the effort turns the other way: pulling along the load it acts on the left.
    let along = figures.value("along").filter(|part| part.is_finite()).unwrap_or(1.0);
    let across = figures.value("across").filter(|part| part.is_finite()).unwrap_or(0.0);
    let pull = match figures.choice("pull") {
        Some("balanced") | None => (0.0, 1.0),
        Some(_) => (-across, along),
    };
    let hand = point(centre.x - pull.1 * long, centre.y + pull.0 * long);
    let spoke = |turn: f64| point(centre.x + long * libm::cos(turn), centre.y + long * libm::sin(turn));
    match figures.choice("turned_by") {
        Some("bars") => {
            for bar in 0..6 {
                board.line(&[centre, spoke(f64::from(bar) * PI / 3.0)], Weight::Medium, Ink::Body, false);
            }
        }
        Some("hand wheel" | "rope wheel") => {
            wheel(board, centre, long, Weight::Heavy);
            board.keep_off(centre.x - long, centre.y - long, 2.0 * long, 2.0 * long);
            for bar in 0..6 {
                board.line(&[centre, spoke(f64::from(bar) * PI / 3.0)], Weight::Light, Ink::Body, false);
            }
        }
        _ => board.circle(hand, 5.0, Weight::Medium, Ink::Body, false),
    }
    board.line(&[centre, hand], Weight::Heavy, Ink::Body, false);
    board.keep_off(
        centre.x.min(hand.x) - 4.0,
        centre.y.min(hand.y) - 4.0,
        (hand.x - centre.x).abs() + 8.0,
        (hand.y - centre.y).abs() + 8.0,
    );
    // A rope hangs from the groove of its wheel.
    let roped = figures.choice("turned_by") == Some("rope wheel") && figures.value("effort").is_none_or(|effort| effort >= 0.0);
    let at = if roped { point(hand.x + 34.0 * pull.0, hand.y + 34.0 * pull.1) } else { hand };
    if roped {
        board.line(&[hand, at], Weight::Heavy, Ink::Rope, false);
    }
    board.force(at, pull, true, figures.value("effort"), (say!("effort"), &figures.printed("effort")), Ink::Force);
    hand
}

/// The drum with its shaft, cut from bearings and rope.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let handle = figures.choice("effort_at") != Some("the shaft");
    let drum = figures.choice("load_at") != Some("the shaft");
    if !handle && !drum {
        return None;
    }
    let (reach, barrel) = (if handle { figures.value("R")? } else { 0.0 }, if drum { figures.value("r")? } else { 0.0 });
    let scale = 80.0 / reach.max(barrel).max(1e-9);
    let (long, round) = ((reach * scale).max(10.0), (barrel * scale).max(8.0));
    let centre = point(0.0, 0.0);
    let mut shaft = Cut::free(if drum { say!("the drum with its shaft") } else { say!("the shaft with its handle") }, figures);
    shaft.circle(centre, round);
    if drum {
        shaft.rope_on(centre, round + 3.0, -180.0, 0.0);
        shaft.rope_pulls("load", say!("the rope"), point(round + 3.0, 0.0), (0.0, 1.0));
    } else {
        shaft.couple("load", say!("what it turns"), centre, round + 14.0, false);
    }
    if !handle {
        shaft.couple("effort", say!("what turns it"), centre, round + 14.0, true);
    } else if figures.choice("pull") == Some("balanced") {
        shaft.couple("shaft_torque", say!("the hands all round"), centre, round.max(20.0) + 14.0, true);
    } else {
        let (along, across) = (figures.value("along")?, figures.value("across").unwrap_or(0.0));
        let pull = (-across, along);
        let hand = point(-pull.1 * long, pull.0 * long);
        shaft.outline(&[centre, hand], false);
        shaft.pulls("effort", say!("the hand"), hand, pull);
        if !drum {
            // Against the effort, whichever way that pulls.
            let sign = if figures.value("effort")? < 0.0 { -1.0 } else { 1.0 };
            shaft.parts("bearing_load", say!("the bearings"), centre, (Some(sign * across), Some(sign * along)), true);
        }
    }
    if drum {
        let up = figures.value("bearing_along");
        let right = figures.value("bearing_across").or(Some(0.0));
        shaft.parts("bearing_load", say!("the bearings"), centre, (right, up), true);
    }
    shaft.note(say!("Friction in the bearings turns against it; the working gives the moments."));
    Some(shaft)
}
