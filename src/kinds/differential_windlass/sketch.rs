//! The sketch of a differential windlass, seen along its shaft: both drums, the bight with its sheave, the arm.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Weight};
use crate::kinds::turning::{bearing, bight, positive, torque};
use crate::words::say;

/// Draws the windlass from its radii and forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let handle = figures.choice("effort_at") != Some("the shaft");
    let (large, small) = (positive(figures, "r1", 1.0), positive(figures, "r2", 0.8));
    let reach = if handle { positive(figures, "R", 2.0) } else { 0.0 };
    let scale = 110.0 / reach.max(large);
    let (long, big, little) = ((reach * scale).max(6.0), (large * scale).max(6.0), (small * scale).max(4.0));
    let centre = point(320.0, 190.0);
    let mut board = DrawingBoard::new(&[if handle { figures.value("effort") } else { None }, figures.value("load")]);
    let drop = big.max(long) + (big + little) / 2.0 + 40.0;
    let hook = bight(&mut board, centre, big, little, drop);
    bearing(&mut board, centre);
    board.force(hook, (0.0, 1.0), true, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
    if handle {
        // The arm stands where the effort pulls the way the load does, or on the other side against it.
        let along = figures.value("along").filter(|part| *part < 0.0).map_or(1.0, |_| -1.0);
        let hand = point(centre.x - along * long, centre.y);
        board.line(&[centre, hand], Weight::Heavy, Ink::Body, false);
        board.circle(hand, 5.0, Weight::Medium, Ink::Body, false);
        board.keep_off(centre.x.min(hand.x), centre.y - 4.0, long, 8.0);
        board.force(hand, (0.0, along), true, figures.value("effort"), (say!("effort"), &figures.printed("effort")), Ink::Force);
        board.dimension(point(centre.x.min(hand.x), centre.y), point(centre.x.max(hand.x), centre.y), -(big + 34.0), &figures.printed("R"));
    } else {
        torque(&mut board, centre, big + 14.0, false, (say!("effort"), &figures.printed("effort")), point(centre.x - big - 40.0, centre.y - big));
    }
    let aside = centre.x + big.max(long) + 70.0;
    board.names(point(centre.x + big, centre.y + drop * 0.5), point(centre.x + big + 70.0, centre.y + drop * 0.5), say!("winding part"), &figures.printed("winding_part"), Ink::Rope);
    board.names(point(centre.x - little, centre.y + drop * 0.6), point(centre.x - little - 60.0, centre.y + drop * 0.6), say!("paying part"), &figures.printed("paying_part"), Ink::Rope);
    board.names(point(centre.x + big * 0.8, centre.y - big * 0.6), point(aside, centre.y - 40.0), say!("larger drum"), &figures.printed("r1"), Ink::Construction);
    board.names(point(centre.x + little, centre.y), point(aside, centre.y + 6.0), say!("smaller drum"), &figures.printed("r2"), Ink::Construction);
    let mut text = spoken(figures, say!("Larger drum"), "r1") + &spoken(figures, say!("Smaller drum"), "r2");
    text += &spoken(figures, say!("Effort"), "effort");
    text += &spoken(figures, say!("Load"), "load");
    text += &spoken(figures, say!("Part that winds on"), "winding_part");
    text += &spoken(figures, say!("Part that pays off"), "paying_part");
    text += &spoken(figures, say!("Force on the bearings"), "bearing_load");
    board.finish(say!("Differential windlass").to_owned(), say!("Seen along the shaft.").to_owned() + &text)
}

/// The block that hangs in the bight.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let mut block = Cut::free(say!("the hanging block"), figures);
    block.circle(point(0.0, 0.0), 30.0);
    block.rope_on(point(0.0, 0.0), 34.0, 0.0, 180.0);
    block.rope_pulls("winding_part", say!("the larger drum"), point(34.0, 0.0), (0.0, -1.0));
    block.rope_pulls("paying_part", say!("the smaller drum"), point(-34.0, 0.0), (0.0, -1.0));
    block.pulls("load", say!("the load¦gives"), point(0.0, 0.0), (0.0, 1.0));
    if figures.value("block_weight").is_some_and(|weight| weight != 0.0) {
        block.pulls("block_weight", say!("gravity"), point(20.0, 0.0), (0.0, 1.0));
    }
    Some(block)
}
