//! The sketch of a toggle: links at their true angle, the end of the stroke dashed, forces at knee, slide and abutment.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Shape, Weight};
use crate::words::say;

/// Draws the toggle from its angle and forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let names = ["load", "effort", "link_along", "slide_side"];
    let mut board = DrawingBoard::new(&names.map(|name| figures.value(name)));
    let angle = |name: &str| figures.value(name).filter(|v| v.is_finite()).map(|v| v.clamp(0.0, 1.57));
    let theta = angle("theta").unwrap_or(0.3).max(0.005);
    let link = 160.0;
    let (line, abutment) = (270.0, 160.0);
    let knee = |theta: f64| point(abutment + link * libm::cos(theta), line - link * libm::sin(theta));
    let slide = |theta: f64| point(abutment + 2.0 * link * libm::cos(theta), line);
    let start = point(abutment, line);
    let (middle, end) = (knee(theta), slide(theta));
    board.centre_line(point(abutment - 6.0, line), point(slide(0.0).x.min(560.0), line));
    if let Some(last) = angle("final_angle") {
        let points = vec![start, knee(last), slide(last)];
        board.add(Shape::Path { points, closed: false, filled: false, weight: Weight::Light, ink: Ink::Body, dashed: true });
    }
    board.line(&[start, middle, end], Weight::Heavy, Ink::Body, false);
    for at in [start, middle, end] {
        board.circle(at, 6.0, Weight::Medium, Ink::Body, false);
        board.keep_off(at.x - 8.0, at.y - 8.0, 16.0, 16.0);
    }
    // Labels keep off the links.
    for step in 1..=11 {
        let share = f64::from(step) / 12.0;
        for (from, to) in [(start, middle), (middle, end)] {
            let (x, y) = (from.x + (to.x - from.x) * share, from.y + (to.y - from.y) * share);
            board.keep_off(x - 8.0, y - 8.0, 16.0, 16.0);
        }
    }
    // The abutment at the left and the guide below the slide.
    board.add(Shape::Ground { from: point(abutment - 8.0, line - 26.0), to: point(abutment - 8.0, line + 26.0) });
    board.keep_off(abutment - 20.0, line - 26.0, 12.0, 52.0);
    let block = [(-16.0, -12.0), (16.0, -12.0), (16.0, 12.0), (-16.0, 12.0)].map(|(x, y)| point(end.x + x, end.y + y));
    board.line(&block, Weight::Heavy, Ink::Body, true);
    let (left, right) = (end.x - 40.0, slide(0.0).x.min(end.x + 120.0).max(end.x + 30.0));
    board.add(Shape::Ground { from: point(left, line + 12.0), to: point(right, line + 12.0) });
    board.keep_off(end.x - 40.0, line - 14.0, right - left, 38.0);
    let effort = figures.printed("effort");
    board.force(point(middle.x, middle.y - 6.0), (0.0, 1.0), false, figures.value("effort"), (say!("effort"), &effort), Ink::Force);
    let load = figures.printed("load");
    board.force(point(end.x + 16.0, line), (-1.0, 0.0), false, figures.value("load"), (say!("load"), &load), Ink::Force);
    let along = figures.printed("link_along");
    board.force(point(abutment - 20.0, line), (1.0, 0.0), false, figures.value("link_along"), (say!("link along"), &along), Ink::Reaction);
    let side = figures.value("slide_side");
    let half = figures.printed("slide_side");
    board.force(point(end.x, line + 24.0), (0.0, -1.0), false, side, (say!("slide side"), &half), Ink::Reaction);
    board.force(point(abutment, line + 26.0), (0.0, -1.0), false, side, (say!("slide side"), &half), Ink::Reaction);
    let degrees = theta * 180.0 / core::f64::consts::PI;
    board.add(Shape::Arc { centre: start, radius: 56.0, from: -degrees, to: 0.0, weight: Weight::Light, ink: Ink::Construction });
    let words = figures.printed("theta");
    board.named(point(abutment + 90.0, line + 24.0), "θ", &words, Ink::Construction);
    board.names(point((middle.x + end.x) / 2.0, (middle.y + end.y) / 2.0), point(middle.x + 110.0, middle.y - 34.0), say!("each link"), &figures.printed("link_length"), Ink::Construction);
    let mut text = spoken(figures, say!("Angle of each link from the line of thrust"), "theta") + &spoken(figures, say!("Effort"), "effort");
    text += &spoken(figures, say!("Load"), "load");
    text += &spoken(figures, say!("Push in each link"), "link_force");
    text += &spoken(figures, say!("Push across the thrust at slide and abutment, each"), "slide_side");
    text += &spoken(figures, say!("Angle at the end of the stroke"), "final_angle");
    board.finish(say!("Toggle").to_owned(), say!("Two equal links between an abutment and a slide.").to_owned() + &text)
}

/// The knee, between the effort and both links.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let slope = figures.value("slope").filter(|v| v.is_finite())?;
    let mut knee = Cut::free(say!("the knee"), figures);
    knee.circle(point(0.0, 0.0), 12.0);
    knee.pushes("effort", say!("the hand"), point(0.0, -12.0), (0.0, 1.0));
    let (sine, cosine) = (libm::sin(slope), libm::cos(slope));
    for (side, giver) in [(1.0, say!("the near link")), (-1.0, say!("the far link"))] {
        knee.pushes("link_force", giver, point(-side * 12.0 * cosine, 12.0 * sine), (side * cosine, -sine));
    }
    Some(knee)
}
