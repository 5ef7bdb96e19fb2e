//! The sketch of a tackle: both blocks, every rope part numbered from the hauling part, and who carries what.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::leads;
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Shape, Weight};
use crate::words::say;

/// The most parts drawn one by one.
const MOST: usize = 12;
/// How many lines of a longer rope are drawn at either end of it.
const AT_EITHER_END: usize = 5;
/// How wide the break in a longer tackle is: room for the words that say what is left out.
const BREAK: f64 = 116.0;
/// From one line of the rope to the next.
const PITCH: f64 = 28.0;
/// The heights of the sheaves.
const TOP: f64 = 110.0;
const LOW: f64 = 330.0;
/// The height of what the standing block hangs from.
const CEILING: f64 = 40.0;

/// Draws the tackle from its number of parts and the way it is rove.
pub fn draw(figures: &dyn Figures) -> Drawing {
    named(figures, say!("standing block"))
}

/// The same where what holds the standing block is called `holds`.
pub fn named(figures: &dyn Figures, holds: &str) -> Drawing {
    let parts = figures.value("parts").filter(|v| v.is_finite() && *v >= 1.0).unwrap_or(2.0) as usize;
    let advantage = figures.choice("rove") == Some("to advantage");
    // Rope lines from the dead end (left) to the hauling part (right), which is a line more than there are parts where it
    // does not leave the running block.
    let lines = if advantage { parts } else { parts + 1 };
    // Of a longer tackle the lines from `cut` up to `again` are left out.
    let (cut, again) = if parts > MOST { (AT_EITHER_END, lines - AT_EITHER_END) } else { (lines, lines) };
    let broken = cut < again;
    let slots = if broken { 2 * AT_EITHER_END } else { lines };
    let led = leads::drawn(figures);
    // With room for words on its left.
    let wide = PITCH * (slots as f64 - 1.0) + if broken { BREAK } else { 0.0 };
    let left = (320.0 - 50.0 * led as f64 - wide / 2.0).max(140.0);
    let line_at = |line: usize| match line < cut {
        true => left + PITCH * line as f64,
        false => left + PITCH * (line + cut - again) as f64 + BREAK,
    };
    // The hauling part passes beside the block that it does not leave.
    let (upper_end, lower_end) =
        if advantage { (lines.saturating_sub(2), lines.saturating_sub(1)) } else { (lines.saturating_sub(1), lines.saturating_sub(2)) };
    // A dead end that is made fast apart stands beside the standing block, and is the only thing there where no sheave is.
    let apart = figures.choice("dead_end") == Some("made fast apart") && parts.is_multiple_of(2);
    let first = usize::from(apart);
    let (upper, lower) = ((line_at(first), line_at(upper_end)), (line_at(0), line_at(lower_end)));
    let mut board = DrawingBoard::new(&["effort", "load", "standing_block"].map(|name| figures.value(name)));
    let hung = (upper.0 + upper.1) / 2.0;
    let (from, to) = (line_at(0) - 18.0, upper.1 + 18.0);
    board.add(Shape::Ground { from: point(to, CEILING), to: point(from, CEILING) });
    board.keep_off(from, CEILING - 12.0, to - from, 14.0);
    // The break goes through the sheaves that lead into what is left out.
    let ends = broken.then(|| (line_at(cut - 1) + PITCH / 2.0, line_at(again) - PITCH / 2.0));
    if first <= upper_end {
        board.line(&[point(hung, CEILING), point(hung, TOP - 22.0)], Weight::Heavy, Ink::Body, false);
        block(&mut board, upper, TOP, ends);
    }
    block(&mut board, lower, LOW, ends);
    // Where the hauling part ends, or comes to its first lead block: past the ceiling, or below the running block.
    let end = line_at(lines.saturating_sub(1));
    let (tip, way) = match (advantage, led > 0) {
        (true, false) => (point(end, 60.0), (0.0, -1.0)),
        (true, true) => (point(end, -6.0), (0.0, -1.0)),
        (false, false) => (point(end, 270.0), (0.0, 1.0)),
        (false, true) => (point(end, LOW + 56.0), (0.0, 1.0)),
    };
    for line in (0..cut).chain(again..lines) {
        let x = line_at(line);
        let last = line + 1 == lines;
        let (from, to) = match (last, advantage) {
            (true, true) => (tip.y, LOW),
            (true, false) => (TOP, tip.y),
            _ if line < first => (CEILING, LOW),
            _ => (TOP, LOW),
        };
        board.line(&[point(x, from), point(x, to)], Weight::Heavy, Ink::Rope, false);
        board.keep_off_line(point(x, from), point(x, to));
        // A rope turns over the sheave at its upper or lower end and comes back as the next part.
        let at_top = |line: usize| (parts - line) % 2 == 1;
        if broken && line == again {
            turn(&mut board, x - PITCH / 2.0, at_top(line - 1), Seen::Right);
        }
        if !last {
            turn(&mut board, x + PITCH / 2.0, at_top(line), if broken && line + 1 == cut { Seen::Left } else { Seen::Whole });
        }
        if line == 0 {
            // The eye at the dead end, in the block or at the place that the rope is made fast to.
            let eye = match (apart, parts.is_multiple_of(2)) {
                (true, _) => CEILING + 4.0,
                (false, true) => TOP,
                (false, false) => LOW,
            };
            board.circle(point(x, eye), 3.5, Weight::Medium, Ink::Rope, true);
        }
        board.part_number(point(x, 180.0 + 26.0 * (line % 2) as f64), lines - line);
    }
    let mut left_out = String::new();
    if let Some((from, to)) = ends {
        let (first, last) = (lines + 1 - again, lines - cut);
        let (rows, middle) = ([say!("parts {first} to {last}", first = first, last = last), say!("not drawn").to_owned()], point((from + to) / 2.0, 220.0));
        board.words(middle, (middle, middle), &rows.each_ref().map(String::as_str), Ink::Construction);
        left_out = say!(" Parts {first} to {last} are not drawn.", first = first, last = last);
    }
    let (hand, way) = if led > 0 { leads::lead(&mut board, figures, tip, way) } else { (tip, way) };
    board.force(hand, way, true, figures.value("effort"), (say!("effort"), &figures.printed("effort")), Ink::Force);
    let hook = point((lower.0 + lower.1) / 2.0, LOW + 22.0);
    board.force(hook, (0.0, 1.0), true, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
    let holding = figures.printed("standing_block");
    if first <= upper_end && !holding.is_empty() {
        let over = point(hung, CEILING - 12.0);
        board.force(over, (0.0, -1.0), true, figures.value("standing_block"), (holds, &holding), Ink::Reaction);
    }
    let mut beside = |thing: Point, words: &str, name: &str, ink: Ink| {
        let printed = figures.printed(name);
        if !printed.is_empty() {
            let at = if thing.x > end - 1.0 { end + 62.0 } else { left - 78.0 };
            board.names(thing, point(at, thing.y), words, &printed, ink);
        }
    };
    beside(point(lower.0 - 14.0, LOW), say!("running block"), "running_block", Ink::Body);
    beside(point(line_at(0), 240.0), say!("standing part"), "standing_part", Ink::Rope);
    if led > 0 {
        beside(point(end, 240.0), say!("hauling part"), "hauling_part", Ink::Rope);
    }
    let mut text = spoken(figures, say!("Effort"), "effort") + &spoken(figures, say!("Load"), "load");
    text += &spoken(figures, say!("Load on the standing block"), "standing_block");
    for index in 1..=figures.count("lead_block") {
        text += &say!(" Lead block {index}: {force}.", index = index, force = figures.printed_item("lead_block", index));
    }
    for index in 1..=figures.count("part") {
        text += &say!(" Part {index}, from the hauling part: {force}.", index = index, force = figures.printed_item("part", index));
    }
    let title = if advantage {
        say!("Tackle of {parts} parts, rove to advantage", parts = parts)
    } else {
        say!("Tackle of {parts} parts, rove to disadvantage", parts = parts)
    };
    board.finish(title, left_out + &text)
}

/// A block: the outline of its cheeks, round the lines from the first to the last that it holds, and where its sheaves break off.
fn block(board: &mut DrawingBoard, lines: (f64, f64), y: f64, ends: Option<(f64, f64)>) {
    let (a, b, up, down) = (lines.0 - 14.0, lines.1 + 14.0, y - 22.0, y + 22.0);
    board.line(&[point(a, up), point(b, up), point(b, down), point(a, down)], Weight::Medium, Ink::Body, true);
    for end in ends.into_iter().flat_map(|(from, to)| [from, to]) {
        board.broken(point(end, y), 30.0);
    }
    board.keep_off(a, up, b - a, down - up);
}

/// How much of a sheave is seen: half of it where a break goes through its pin.
enum Seen {
    Whole,
    Left,
    Right,
}

/// A sheave with its pin at `x` and the rope round it, over the top or below.
fn turn(board: &mut DrawingBoard, x: f64, over: bool, seen: Seen) {
    let centre: Point = point(x, if over { TOP } else { LOW });
    let radius = PITCH / 2.0;
    // In degrees, clockwise from the right: what of the sheave, and what of the rope on it.
    let (sheave, rope) = match (seen, over) {
        (Seen::Whole, true) => (None, (180.0, 360.0)),
        (Seen::Whole, false) => (None, (0.0, 180.0)),
        (Seen::Left, true) => (Some((90.0, 270.0)), (180.0, 270.0)),
        (Seen::Left, false) => (Some((90.0, 270.0)), (90.0, 180.0)),
        (Seen::Right, true) => (Some((-90.0, 90.0)), (270.0, 360.0)),
        (Seen::Right, false) => (Some((-90.0, 90.0)), (0.0, 90.0)),
    };
    match sheave {
        None => {
            board.circle(centre, radius - 5.0, Weight::Medium, Ink::Body, false);
            board.circle(centre, 2.0, Weight::Medium, Ink::Body, true);
        }
        Some((from, to)) => {
            board.add(Shape::Arc { centre, radius: radius - 5.0, from, to, weight: Weight::Medium, ink: Ink::Body });
        }
    }
    board.add(Shape::Arc { centre, radius, from: rope.0, to: rope.1, weight: Weight::Heavy, ink: Ink::Rope });
}

/// The running block, hung in its parts of the rope.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let parts = figures.value("parts").filter(|v| v.is_finite() && *v >= 1.0)? as usize;
    let count = figures.count("part");
    // Rove to disadvantage the hauling part does not leave the running block.
    let first = if figures.choice("rove") == Some("to advantage") { 1 } else { 2 };
    let pitch = if parts > 4 { (220.0 / parts as f64).max(11.0) } else { 92.0 };
    let half = pitch * (parts as f64 - 1.0) / 2.0;
    let weighs = figures.value("block_weight").is_some_and(|weight| weight != 0.0);
    let mut block = Cut::free(say!("the running block"), figures);
    block.shared_by(parts);
    // The weight hangs beside the load, far enough for the words of both.
    let wide = if weighs { (half + 16.0).max(66.0) } else { half + 16.0 };
    block.outline(&[point(-wide, -14.0), point(wide, -14.0), point(wide, 14.0), point(-wide, 14.0)], true);
    for (place, part) in (first..=count).rev().take(parts).enumerate() {
        block.item_pulls("part", part, say!("the rope"), point(pitch * place as f64 - half, -14.0), (0.0, -1.0));
    }
    if weighs {
        block.pulls("block_weight", say!("gravity"), point(wide - 8.0, 14.0), (0.0, 1.0));
    }
    block.pulls("load", say!("the load¦gives"), point(0.0, 14.0), (0.0, 1.0));
    Some(block)
}
