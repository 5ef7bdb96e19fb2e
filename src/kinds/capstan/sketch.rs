//! The sketch of a rope on a post, seen along the post: the true contact, both leads at their angle, the pull on the post.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Shape, Weight};
use crate::words::say;
use core::f64::consts::{PI, TAU};

/// The most whole turns drawn one by one; beyond this the drawing says how many there are.
const MOST: f64 = 5.0;
/// Radius of the post in the drawing.
const POST: f64 = 44.0;

/// Draws the post from its contact and forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let wrap = figures.value("wrap").filter(|v| v.is_finite() && *v > 0.0).unwrap_or(PI);
    let turns = libm::floor(wrap / TAU);
    let drawn = wrap - (turns - MOST).max(0.0) * TAU;
    let driven = figures.choice("body") == Some("driven drum");
    let centre = point(310.0, 190.0);
    let mut board = DrawingBoard::new(&["effort", "load", "post_pull"].map(|name| figures.value(name)));
    board.circle(centre, POST, Weight::Heavy, Ink::Body, false);
    board.circle(centre, 3.0, Weight::Light, Ink::Body, true);
    // The rope comes from the right over the top and goes on to the left; each turn lies a little further out.
    let rise = if drawn > TAU { 28.0 / (drawn / TAU) } else { 10.0 };
    let on = |turned: f64| {
        let reach = POST + 4.0 + rise * turned / TAU;
        point(centre.x - reach * libm::sin(turned), centre.y - reach * libm::cos(turned))
    };
    let steps = libm::ceil(drawn / (PI / 18.0)).max(2.0) as usize;
    let rope: Vec<Point> = (0..=steps).map(|step| on(drawn * step as f64 / steps as f64)).collect();
    let far = POST + 10.0 + rise * drawn / TAU;
    board.keep_off(centre.x - far, centre.y - far, 2.0 * far, 2.0 * far);
    board.line(&rope, Weight::Heavy, Ink::Rope, false);
    let (start, end) = (on(0.0), on(drawn));
    let lead = point(start.x + 130.0, start.y);
    board.line(&[start, lead], Weight::Heavy, Ink::Rope, false);
    board.force(lead, (1.0, 0.0), true, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
    let away = (-libm::cos(drawn), libm::sin(drawn));
    let hand = point(end.x + 110.0 * away.0, end.y + 110.0 * away.1);
    board.line(&[end, hand], Weight::Heavy, Ink::Rope, false);
    board.force(hand, away, true, figures.value("effort"), (say!("effort"), &figures.printed("effort")), Ink::Force);
    // What holds the post pulls against both leads.
    if let (Some(along), Some(across)) = (figures.value("post_along"), figures.value("post_across")) {
        let size = libm::hypot(along, across);
        if size.is_finite() && size > 0.0 {
            let against = (-along / size, -across / size);
            board.force(centre, against, true, Some(size), (say!("post pull"), &figures.printed("post_pull")), Ink::Reaction);
        }
    }
    if driven {
        // The drum turns with the rope it hauls: over the top to the left.
        board.add(Shape::Arc { centre, radius: 28.0, from: 210.0, to: 330.0, weight: Weight::Medium, ink: Ink::Force });
        let tip = point(centre.x - 28.0 * libm::cos(PI / 6.0), centre.y - 14.0);
        board.add(Shape::Arrow { from: tip, to: point(tip.x - 6.0, tip.y + 10.4), ink: Ink::Force });
        board.names(point(centre.x + 14.0, centre.y - 24.0), point(centre.x + 130.0, centre.y + 40.0), say!("drum torque"), &figures.printed("drum_torque"), Ink::Force);
    }
    let words = if driven { say!("driven drum, contact") } else { say!("post, contact") };
    let middle = on(drawn.min(PI * 1.4) * 0.55);
    board.names(middle, point(centre.x - 150.0, centre.y + 92.0), words, &figures.printed("wrap"), Ink::Construction);
    if turns > MOST {
        board.named(point(centre.x, centre.y + far + 20.0), &say!("{turns} whole turns, {most} drawn", turns = turns, most = MOST), "", Ink::Construction);
    }
    let mut text = spoken(figures, say!("Contact"), "wrap") + &spoken(figures, say!("Pull of the hand"), "effort");
    text += &spoken(figures, say!("Load"), "load");
    text += &spoken(figures, say!("Pull on the post"), "post_pull");
    text += &spoken(figures, say!("Torque of the drum"), "drum_torque");
    let title = if driven { say!("Rope on a driven drum") } else { say!("Rope on a post") };
    board.finish(title.to_owned(), say!("Seen along its axis.").to_owned() + &text)
}

/// The post with the rope round it.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let wrap = figures.value("wrap").filter(|v| v.is_finite())?;
    let radius = 40.0;
    let driven = figures.choice("body") == Some("driven drum");
    let mut post = Cut::free(if driven { say!("the drum with the rope on it") } else { say!("the post with the rope on it") }, figures);
    post.circle(point(0.0, 0.0), radius - 4.0);
    post.rope_on(point(0.0, 0.0), radius, -90.0 - wrap.to_degrees(), -90.0);
    post.rope_pulls("load", say!("the rope to the load"), point(0.0, -radius), (1.0, 0.0));
    let (sine, cosine) = (libm::sin(wrap), libm::cos(wrap));
    post.rope_pulls("effort", say!("the rope to the hand"), point(-radius * sine, -radius * cosine), (-cosine, sine));
    let holds = if driven { say!("its bearings") } else { say!("the ground") };
    let answer = (figures.value("post_along").map(|v| -v), figures.value("post_across"));
    match (driven, figures.value("drum_torque")) {
        (true, Some(_)) => post.couple("drum_torque", say!("what drives it"), point(0.0, 0.0), 22.0, true),
        (true, None) => post.note(say!("The drive turns it besides; its torque asks for the radius of the drum.")),
        (false, _) => post.note(say!("What holds it keeps it from turning besides.")),
    };
    post.parts("post_pull", holds, point(0.0, 0.0), answer, true);
    Some(post)
}
