//! The sketch of a tackle: both blocks, every rope part numbered from the hauling part, and who carries what.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Shape, Weight};

/// The most parts drawn one by one; beyond this the drawing says how many there are.
const MOST: usize = 12;

/// Draws the tackle from its number of parts and the way it is rove.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let stated = figures.value("parts").filter(|v| v.is_finite() && *v >= 1.0).unwrap_or(2.0) as usize;
    let parts = stated.min(MOST);
    let advantage = figures.choice("rove") == Some("to advantage");
    let pitch = 28.0;
    let left = 320.0 - pitch * parts as f64 / 2.0;
    let (top, low) = (110.0, 330.0);
    // Rope lines from the dead end (left) to the hauling part (right); line k is part count - k from the hauling part.
    let lines = if advantage { parts } else { parts + 1 };
    let line_at = |line: usize| left + pitch * line as f64 + if advantage { pitch / 2.0 } else { 0.0 };
    // The hauling part passes beside the block that it does not leave.
    let (upper_end, lower_end) =
        if advantage { (lines.saturating_sub(2), lines.saturating_sub(1)) } else { (lines.saturating_sub(1), lines.saturating_sub(2)) };
    let (upper, lower) = ((line_at(0), line_at(upper_end)), (line_at(0), line_at(lower_end)));
    let mut board = DrawingBoard::new(&["effort", "load", "standing_block"].map(|name| figures.value(name)));
    let hung = (upper.0 + upper.1) / 2.0;
    board.add(Shape::Ground { from: point(upper.1 + 18.0, 40.0), to: point(upper.0 - 18.0, 40.0) });
    board.keep_off(upper.0 - 18.0, 28.0, upper.1 - upper.0 + 36.0, 14.0);
    board.line(&[point(hung, 40.0), point(hung, top - 22.0)], Weight::Heavy, Ink::Body, false);
    block(&mut board, upper, top);
    block(&mut board, lower, low);
    for line in 0..lines {
        let x = line_at(line);
        let last = line + 1 == lines;
        let (from, to) = match (last, advantage) {
            (true, true) => (60.0, low),
            (true, false) => (top, 270.0),
            _ => (top, low),
        };
        board.line(&[point(x, from), point(x, to)], Weight::Heavy, Ink::Rope, false);
        board.keep_off_line(point(x, from), point(x, to));
        if !last {
            // A rope turns over the sheave at its upper or lower end and comes back as the next part.
            let at_top = (parts - line) % 2 == 1;
            turn(&mut board, x, if at_top { top } else { low }, pitch, at_top);
        }
        if line == 0 {
            // The eye at the dead end, in the block that the rope is made fast to.
            board.circle(point(x, if parts.is_multiple_of(2) { top } else { low }), 3.5, Weight::Medium, Ink::Rope, true);
        }
        board.part_number(point(x, 180.0 + 26.0 * (line % 2) as f64), stated + usize::from(!advantage) - line);
    }
    let end = line_at(lines.saturating_sub(1));
    let (tip, way) = if advantage { (60.0, (0.0, -1.0)) } else { (270.0, (0.0, 1.0)) };
    board.force(point(end, tip), way, true, figures.value("effort"), ("effort", &figures.printed("effort")), Ink::Force);
    let hook = point((lower.0 + lower.1) / 2.0, low + 22.0);
    board.force(hook, (0.0, 1.0), true, figures.value("load"), ("load", &figures.printed("load")), Ink::Force);
    board.names(point(upper.0 - 14.0, top), point(left - 90.0, top), "standing block", &figures.printed("standing_block"), Ink::Reaction);
    board.names(point(lower.0 - 14.0, low), point(left - 90.0, low), "running block", &figures.printed("running_block"), Ink::Body);
    board.names(point(line_at(0), 240.0), point(left - 90.0, 240.0), "standing part", &figures.printed("standing_part"), Ink::Rope);
    if stated > MOST {
        board.named(point(320.0, 460.0), &format!("{stated} parts, {MOST} drawn"), "", Ink::Construction);
    }
    let way = if advantage { "to advantage" } else { "to disadvantage" };
    let mut text = spoken(figures, "Effort", "effort") + &spoken(figures, "Load", "load");
    text += &spoken(figures, "Load on the standing block", "standing_block");
    for index in 1..=figures.count("part") {
        text += &format!(" Part {index}, from the hauling part: {}.", figures.printed_item("part", index));
    }
    board.finish(format!("Tackle of {stated} parts, rove {way}"), format!("A tackle of {stated} parts, rove {way}.{text}"))
}

/// A block: the outline of its cheeks, round the lines from the first to the last that it holds.
fn block(board: &mut DrawingBoard, lines: (f64, f64), y: f64) {
    let (a, b) = (lines.0 - 14.0, lines.1 + 14.0);
    board.line(&[point(a, y - 22.0), point(b, y - 22.0), point(b, y + 22.0), point(a, y + 22.0)], Weight::Medium, Ink::Body, true);
    board.keep_off(a, y - 22.0, b - a, 44.0);
}

/// A sheave with the rope half round it.
fn turn(board: &mut DrawingBoard, x: f64, y: f64, pitch: f64, over: bool) {
    let centre: Point = point(x + pitch / 2.0, y);
    let radius = pitch / 2.0 - 2.0;
    board.circle(centre, radius - 3.0, Weight::Medium, Ink::Body, false);
    board.circle(centre, 2.0, Weight::Medium, Ink::Body, true);
    let (from, to) = if over { (180.0, 360.0) } else { (0.0, 180.0) };
    board.add(Shape::Arc { centre, radius: pitch / 2.0, from, to, weight: Weight::Heavy, ink: Ink::Rope });
}

/// The running block, hung in its parts of the rope.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let parts = figures.value("parts").filter(|v| v.is_finite() && *v >= 1.0)? as usize;
    let count = figures.count("part");
    // Rove to disadvantage the hauling part does not leave the running block.
    let first = if figures.choice("rove") == Some("to advantage") { 1 } else { 2 };
    let pitch = (220.0 / parts as f64).clamp(16.0, 76.0);
    let half = pitch * (parts as f64 - 1.0) / 2.0;
    let mut block = Cut::free("the running block", figures);
    let wide = half + 16.0;
    block.outline(&[point(-wide, -14.0), point(wide, -14.0), point(wide, 14.0), point(-wide, 14.0)], true);
    for (place, part) in (first..=count).rev().take(parts).enumerate() {
        block.item_pulls("part", part, "the rope", point(pitch * place as f64 - half, -14.0), (0.0, -1.0));
    }
    if figures.value("block_weight").is_some_and(|weight| weight != 0.0) {
        block.pulls("block_weight", "gravity", point(wide * 0.6, 14.0), (0.0, 1.0));
    }
    block.pulls("load", "the load", point(0.0, 14.0), (0.0, 1.0));
    Some(block)
}
