//! The sketch of a differential chain hoist: both upper wheels, the lower wheel in the bight, the hauling chain.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Shape, Weight};
use crate::kinds::turning::{bight, journal, positive};
use crate::words::say;

/// Draws the hoist from its wheels and forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let q = positive(figures, "q", 0.9).min(0.999);
    let large = 70.0;
    let small = (large * q).max(5.0);
    let centre = point(320.0, 170.0);
    let mut board = DrawingBoard::new(&["effort", "load", "support"].map(|name| figures.value(name)));
    board.add(Shape::Ground { from: point(centre.x + 60.0, 60.0), to: point(centre.x - 60.0, 60.0) });
    board.keep_off(centre.x - 60.0, 46.0, 120.0, 16.0);
    board.line(&[point(centre.x, 60.0), centre], Weight::Heavy, Ink::Body, false);
    let hook = bight(&mut board, centre, large, small, 190.0);
    journal(&mut board, centre);
    // The chain has no end: what is hauled runs back slack to the smaller wheel, on its other side.
    let slack = vec![point(centre.x + small, centre.y), point(centre.x + small, centre.y + 84.0)];
    board.add(Shape::Path { points: slack, closed: false, filled: false, weight: Weight::Medium, ink: Ink::Rope, dashed: true });
    board.force(hook, (0.0, 1.0), true, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
    let haul = point(centre.x - large, centre.y);
    let end = point(haul.x, centre.y + 90.0);
    board.line(&[haul, end], Weight::Heavy, Ink::Rope, false);
    board.keep_off(haul.x - 3.0, haul.y, 6.0, 90.0);
    board.force(end, (0.0, 1.0), true, figures.value("effort"), (say!("effort"), &figures.printed("effort")), Ink::Force);
    board.force(point(centre.x, 48.0), (0.0, -1.0), true, figures.value("support"), (say!("support"), &figures.printed("support")), Ink::Reaction);
    board.names(point(centre.x + large, 260.0), point(centre.x + large + 70.0, 260.0), say!("large part"), &figures.printed("large_part"), Ink::Rope);
    board.names(point(centre.x - small, 330.0), point(centre.x - large - 70.0, 340.0), say!("small part"), &figures.printed("small_part"), Ink::Rope);
    let wheels = |teeth: &str, radius: &str| {
        let teeth = figures.printed(teeth);
        if teeth.is_empty() { figures.printed(radius) } else { say!("{count} teeth", count = teeth) }
    };
    let (larger, smaller) = (wheels("large_teeth", "large_radius"), wheels("small_teeth", "small_radius"));
    board.names(point(centre.x + large * 0.8, centre.y - large * 0.6), point(centre.x + large + 80.0, 110.0), say!("larger wheel"), &larger, Ink::Construction);
    board.names(point(centre.x + small, centre.y), point(centre.x + large + 80.0, 172.0), say!("smaller wheel"), &smaller, Ink::Construction);
    let mut text = say!(" Larger wheel: {larger}. Smaller wheel: {smaller}.", larger = larger, smaller = smaller);
    text += &spoken(figures, say!("Effort on the chain"), "effort");
    text += &spoken(figures, say!("Load"), "load");
    text += &spoken(figures, say!("Part on the larger wheel"), "large_part");
    text += &spoken(figures, say!("Part on the smaller wheel"), "small_part");
    text += &spoken(figures, say!("Force on the hook above"), "support");
    board.finish(say!("Differential chain hoist").to_owned(), text)
}

/// The lower block, in the bight of the chain.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let mut block = Cut::free(say!("the lower block"), figures);
    block.circle(point(0.0, 0.0), 30.0);
    block.rope_on(point(0.0, 0.0), 34.0, 0.0, 180.0);
    block.rope_pulls("large_part", say!("the larger wheel"), point(34.0, 0.0), (0.0, -1.0));
    block.rope_pulls("small_part", say!("the smaller wheel"), point(-34.0, 0.0), (0.0, -1.0));
    block.pulls("load", say!("the load¦gives"), point(0.0, 0.0), (0.0, 1.0));
    if figures.value("block_weight").is_some_and(|weight| weight != 0.0) {
        block.pulls("block_weight", say!("gravity"), point(20.0, 0.0), (0.0, 1.0));
    }
    Some(block)
}
