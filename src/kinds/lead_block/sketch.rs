//! The sketch of a lead block: both leads at their true angle, and the strop in line with what it carries.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Shape, Weight};
use crate::words::say;
use core::f64::consts::PI;

/// Radius of the sheave in the drawing, to the rope's centre.
const SHEAVE: f64 = 26.0;

/// Draws the block from the angle between its leads and its forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let gamma = figures.value("gamma").filter(|v| v.is_finite()).unwrap_or(PI / 2.0).clamp(0.0, PI);
    let (sine, cosine) = (libm::sin(gamma / 2.0), libm::cos(gamma / 2.0));
    let centre = point(320.0, 170.0);
    let mut board = DrawingBoard::new(&["effort", "load", "block_load"].map(|name| figures.value(name)));
    board.circle(centre, SHEAVE - 4.0, Weight::Medium, Ink::Body, false);
    board.circle(centre, 3.0, Weight::Medium, Ink::Body, true);
    board.keep_off(centre.x - SHEAVE - 4.0, centre.y - SHEAVE - 4.0, 2.0 * SHEAVE + 8.0, 2.0 * SHEAVE + 8.0);
    let degrees = gamma * 180.0 / PI;
    let (from, to) = (180.0 + degrees / 2.0, 360.0 - degrees / 2.0);
    board.add(Shape::Arc { centre, radius: SHEAVE, from, to, weight: Weight::Heavy, ink: Ink::Rope });
    // The lead to the load goes down to the left, the lead to the hand down to the right.
    for (side, name) in [(-1.0, "load"), (1.0, "effort")] {
        let on = point(centre.x + side * SHEAVE * cosine, centre.y - SHEAVE * sine);
        let off = point(on.x + side * 130.0 * sine, on.y + 130.0 * cosine);
        board.line(&[on, off], Weight::Heavy, Ink::Rope, false);
        board.force(off, (side * sine, cosine), true, figures.value(name), (name, &figures.printed(name)), Ink::Force);
        if gamma > 0.15 {
            board.line(&[centre, point(centre.x + side * 66.0 * sine, centre.y + 66.0 * cosine)], Weight::Light, Ink::Construction, false);
        }
    }
    if gamma > 0.15 {
        let (from, to) = (90.0 - degrees / 2.0, 90.0 + degrees / 2.0);
        board.add(Shape::Arc { centre, radius: 58.0, from, to, weight: Weight::Light, ink: Ink::Construction });
    }
    board.named(point(centre.x, centre.y + 84.0), "γ", &figures.printed("gamma"), Ink::Construction);
    // The strop lies in line with the sum of the two leads.
    let load = figures.value("load").filter(|v| v.is_finite() && *v > 0.0).unwrap_or(1.0);
    let effort = figures.value("effort").filter(|v| v.is_finite() && *v > 0.0).unwrap_or(load);
    let (x, y) = ((load - effort) * sine, -(load + effort) * cosine);
    let size = libm::hypot(x, y);
    let up = if size > 1e-9 * load { (x / size, y / size) } else { (0.0, -1.0) };
    let anchor = point(centre.x + 88.0 * up.0, centre.y + 88.0 * up.1);
    board.line(&[centre, anchor], Weight::Heavy, Ink::Body, false);
    let (left, right) = (point(anchor.x - 34.0 * up.1, anchor.y + 34.0 * up.0), point(anchor.x + 34.0 * up.1, anchor.y - 34.0 * up.0));
    board.add(Shape::Ground { from: left, to: right });
    board.keep_off(left.x.min(right.x) - 4.0, left.y.min(right.y) - 14.0, (left.x - right.x).abs() + 8.0, (left.y - right.y).abs() + 18.0);
    let outside = point(anchor.x + 14.0 * up.0, anchor.y + 14.0 * up.1);
    board.force(outside, up, true, figures.value("block_load"), (say!("block load"), &figures.printed("block_load")), Ink::Reaction);
    let mut text = spoken(figures, say!("Angle between the leads"), "gamma") + &spoken(figures, say!("Deflection"), "turned");
    text += &spoken(figures, say!("Tension to the load"), "load");
    text += &spoken(figures, say!("Tension to the hand"), "effort");
    text += &spoken(figures, say!("Pull on the block and what holds it"), "block_load");
    text += &spoken(figures, say!("Its direction, from the lead to the load"), "block_lean");
    board.finish(say!("Lead block").to_owned(), say!("A rope led round one block.").to_owned() + &text)
}

/// The block with the rope on it.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let gamma = figures.value("gamma").filter(|v| v.is_finite())?;
    let (sine, cosine) = (libm::sin(gamma / 2.0), libm::cos(gamma / 2.0));
    let radius = 30.0;
    let mut block = Cut::free(say!("the block with the rope on it"), figures);
    block.circle(point(0.0, 0.0), radius - 4.0);
    let half = gamma.to_degrees() / 2.0;
    block.rope_on(point(0.0, 0.0), radius, 180.0 + half, 360.0 - half);
    block.rope_pulls("load", say!("the rope to the load"), point(-radius * cosine, -radius * sine), (-sine, cosine));
    block.rope_pulls("effort", say!("the rope to the hand"), point(radius * cosine, -radius * sine), (sine, cosine));
    // The strop lies against the sum of both leads, as the sheet has it along and square to the lead to the load.
    let (along, across) = (figures.value("along")?, figures.value("across")?);
    let (right, down) = (-sine * along + cosine * across, cosine * along + sine * across);
    block.parts("block_load", say!("the strop"), point(0.0, 0.0), (Some(-right), Some(down)), true);
    Some(block)
}
