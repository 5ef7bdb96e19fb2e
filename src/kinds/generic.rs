//! The sketch of a machine whose kind has none of its own: effort, body, load.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::sketching::{Drawing, Figures, Ink, Weight};

/// Draws effort and load on a box that bears the kind's name, with both travels.
pub fn draw(word: &str, figures: &dyn Figures) -> Drawing {
    let mut board = DrawingBoard::new(&[figures.value("effort"), figures.value("load")]);
    let corners = [point(220.0, 60.0), point(420.0, 60.0), point(420.0, 140.0), point(220.0, 140.0)];
    board.keep_off(110.0, 92.0, 420.0, 16.0);
    board.line(&corners, Weight::Heavy, Ink::Body, true);
    board.named(point(320.0, 76.0), word, "", Ink::Body);
    board.force(point(220.0, 100.0), (1.0, 0.0), false, figures.value("effort"), ("P", &figures.printed("effort")), Ink::Force);
    board.force(point(420.0, 100.0), (1.0, 0.0), true, figures.value("load"), ("W", &figures.printed("load")), Ink::Force);
    board.named(point(130.0, 165.0), "effort travel", &figures.printed("effort_travel"), Ink::Construction);
    board.named(point(510.0, 165.0), "load travel", &figures.printed("load_travel"), Ink::Construction);
    let mut text = spoken(figures, "Effort", "effort") + &spoken(figures, "Load", "load");
    text += &spoken(figures, "Effort travel", "effort_travel");
    text += &spoken(figures, "Load travel", "load_travel");
    board.finish(word.to_owned(), format!("A machine of the kind {word}.{text}"))
}
