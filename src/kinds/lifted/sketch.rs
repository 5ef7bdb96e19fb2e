//! The sketch of a hanging load: what is lifted, the rigging piece by piece above it, and what the last block feels.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Weight};
use crate::words::say;

/// The most pieces of rigging drawn one by one; beyond this the drawing says how many there are.
const MOST: usize = 6;

/// Draws the load from its weight and its rigging.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let stated = figures.value("pieces").filter(|v| v.is_finite() && *v >= 0.0).unwrap_or(0.0) as usize;
    let pieces = stated.min(MOST);
    let list = if figures.count("rigging_masses") > 0 { "rigging_masses" } else { "rigging" };
    let mut board = DrawingBoard::new(&["load", "payload_weight", "rigging_weight"].map(|name| figures.value(name)));
    let x = 300.0;
    let eye = point(x, 120.0);
    board.circle(eye, 6.0, Weight::Heavy, Ink::Body, false);
    board.keep_off(x - 8.0, 112.0, 16.0, 16.0);
    board.force(point(x, 114.0), (0.0, -1.0), true, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
    // Each piece of rigging is a link of the chain between block and load.
    let mut y = 126.0;
    for piece in 1..=pieces {
        let corners = [point(x - 9.0, y + 8.0), point(x + 9.0, y + 8.0), point(x + 9.0, y + 26.0), point(x - 9.0, y + 26.0)];
        board.line(&[point(x, y), point(x, y + 8.0)], Weight::Heavy, Ink::Rope, false);
        board.line(&[point(x, y + 26.0), point(x, y + 40.0)], Weight::Heavy, Ink::Rope, false);
        board.line(&corners, Weight::Medium, Ink::Body, true);
        board.keep_off(x - 11.0, y, 22.0, 34.0);
        let weighs = figures.printed_item(list, piece);
        board.names(point(x - 11.0, y + 17.0), point(x - 80.0, y + 17.0), &say!("piece {piece}", piece = piece), &weighs, Ink::Body);
        y += 40.0;
    }
    board.line(&[point(x, y), point(x, y + 16.0)], Weight::Heavy, Ink::Rope, false);
    let top = y + 16.0;
    board.line(&[point(x, top), point(x - 60.0, top + 44.0)], Weight::Heavy, Ink::Rope, false);
    board.line(&[point(x, top), point(x + 60.0, top + 44.0)], Weight::Heavy, Ink::Rope, false);
    let (deck, foot) = (top + 44.0, top + 110.0);
    board.line(&[point(x - 70.0, deck), point(x + 70.0, deck), point(x + 70.0, foot), point(x - 70.0, foot)], Weight::Heavy, Ink::Body, true);
    board.keep_off(x - 72.0, top, 144.0, foot - top);
    let weight = (say!("payload weight"), &*figures.printed("payload_weight"));
    board.force(point(x, foot), (0.0, 1.0), true, figures.value("payload_weight"), weight, Ink::Force);
    board.names(point(x + 11.0, 143.0), point(x + 150.0, 150.0), say!("rigging weight"), &figures.printed("rigging_weight"), Ink::Body);
    board.names(point(x + 6.0, 118.0), point(x + 150.0, 106.0), say!("static load"), &figures.printed("static_load"), Ink::Construction);
    if stated > MOST {
        board.named(point(x + 160.0, top + 60.0), &say!("{stated} pieces, {most} drawn", stated = stated, most = MOST), "", Ink::Construction);
    }
    let mut text = spoken(figures, say!("What is lifted"), "payload_weight") + &spoken(figures, say!("Rigging, all pieces"), "rigging_weight");
    for piece in 1..=figures.count(list) {
        text += &say!(" Piece {piece}: {force}.", piece = piece, force = figures.printed_item(list, piece));
    }
    text += &spoken(figures, say!("At rest, as weighed"), "static_load");
    text += &spoken(figures, say!("Load on the last block, factors in"), "load");
    board.finish(say!("Hanging load").to_owned(), text)
}

/// All that hangs, at rest and as weighed.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let mut load = Cut::free(say!("what hangs, at rest"), figures);
    load.outline(&[point(-50.0, -20.0), point(50.0, -20.0), point(50.0, 30.0), point(-50.0, 30.0)], true);
    load.outline(&[point(-6.0, -20.0), point(-6.0, -50.0), point(6.0, -50.0), point(6.0, -20.0)], true);
    load.pulls("static_load", say!("the last block"), point(0.0, -50.0), (0.0, -1.0));
    load.pulls("payload_weight", say!("gravity on the load"), point(0.0, 30.0), (0.0, 1.0));
    load.pulls("rigging_weight", say!("gravity on the rigging"), point(34.0, 30.0), (0.0, 1.0));
    load.note(say!("The load on the last block has the stated factors on top of this."));
    Some(load)
}
