//! The sketch of a dragged load: the load on its slope, the line at its angle, friction at the ground.
use crate::kinds::free_body::Cut;
use crate::kinds::on_a_slope::{self as on_its_slope, Place, Subject};
use crate::kinds::sketching::{Drawing, Figures};
use crate::words::say;

/// Draws the load from its slope, its line and its friction.
pub fn draw(figures: &dyn Figures) -> Drawing {
    on_its_slope::draw(
        figures,
        &Subject {
            title: say!("Dragged load"),
            what: say!("A load dragged over the ground."),
            wheels: false,
            sunk: None,
            drags: vec![(say!("surface friction"), "surface_friction", say!("Friction along the slope"), Place { off: 3.0, lift: 30.0, aside: 80.0 })],
        },
    )
}

/// The load, cut from ground and line.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    on_its_slope::cut(figures, &[("surface_friction", say!("friction on the ground"))])
}
