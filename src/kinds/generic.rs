//! The sketch of a machine whose kind has none of its own: effort, body, load; of a load, what it pulls with.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Weight};
use crate::kinds::turning::torque;
use crate::words::say;

/// Draws effort and load on a box that bears the kind's name, with both travels.
pub fn draw(word: &str, figures: &dyn Figures) -> Drawing {
    let name = word.replace('_', " ");
    let is_load =
        figures.printed("effort").is_empty() && figures.printed("effort_travel").is_empty() && !figures.printed("load").is_empty();
    let force = |name: &str| figures.value(name).filter(|_| !turns(figures, name));
    let mut board = DrawingBoard::new(&[force("effort"), force("load")]);
    let corners = [point(220.0, 60.0), point(420.0, 60.0), point(420.0, 140.0), point(220.0, 140.0)];
    board.keep_off(if is_load { 220.0 } else { 110.0 }, 92.0, if is_load { 310.0 } else { 420.0 }, 16.0);
    board.line(&corners, Weight::Heavy, Ink::Body, true);
    board.named(point(320.0, 76.0), &name, "", Ink::Body);
    if !is_load {
        end(&mut board, figures, "effort", (point(220.0, 100.0), point(165.0, 118.0)), false, say!("effort"));
        board.named(point(130.0, 165.0), say!("effort travel"), &figures.printed("effort_travel"), Ink::Construction);
        board.named(point(510.0, 165.0), say!("load travel"), &figures.printed("load_travel"), Ink::Construction);
    }
    end(&mut board, figures, "load", (point(420.0, 100.0), point(475.0, 118.0)), true, say!("load"));
    let mut text = spoken(figures, say!("Effort"), "effort") + &spoken(figures, say!("Load"), "load");
    text += &spoken(figures, say!("Effort travel"), "effort_travel");
    text += &spoken(figures, say!("Load travel"), "load_travel");
    let title = if is_load { say!("Load of the kind {name}", name = name) } else { say!("Machine of the kind {name}", name = name) };
    board.finish(title, text + say!(" Its document does not say which way its forces point, so no free body is drawn."))
}

// A torque is printed in a product of force and length.
fn turns(figures: &dyn Figures, name: &str) -> bool {
    figures.printed(name).contains('·')
}

// A force as an arrow at the body, a torque as an arc beside it.
fn end(board: &mut DrawingBoard, figures: &dyn Figures, name: &str, (at, beside): (Point, Point), pulls: bool, symbol: &str) {
    let printed = figures.printed(name);
    if turns(figures, name) {
        torque(board, beside, 26.0, pulls, (symbol, &printed), point(beside.x, beside.y - 58.0));
    } else {
        board.force(at, (1.0, 0.0), pulls, figures.value(name), (symbol, &printed), Ink::Force);
    }
}
