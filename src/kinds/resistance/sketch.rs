//! The sketch of a resistance: the vehicle on its slope, sunk as deep as stated, with each resistance as an arrow.
use crate::kinds::free_body::Cut;
use crate::kinds::on_a_slope::{self as on_its_slope, Place, Subject};
use crate::kinds::sketching::{Drawing, Figures};
use crate::words::say;

/// Draws the vehicle from its slope and resistances.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let sunk = match figures.choice("mire") {
        Some("wheel depth") => Some((12.0, say!("mire, to the hubs"))),
        Some("fender depth") => Some((26.0, say!("mire, to the fenders"))),
        Some("cab depth") => Some((46.0, say!("mire, to the cab"))),
        Some("stated share") => Some((6.0, say!("mire"))),
        _ => None,
    };
    on_its_slope::draw(
        figures,
        &Subject {
            title: say!("Resistance"),
            what: say!("A vehicle on its slope, with what it takes to move it."),
            wheels: true,
            sunk,
            drags: vec![
                (say!("rolling"), "rolling_resistance", say!("Rolling resistance"), Place { off: 3.0, lift: -34.0, aside: 74.0 }),
                (say!("mire"), "mire_resistance", say!("Resistance of the mire"), Place { off: 14.0, lift: 14.0, aside: 110.0 }),
                (say!("water"), "water_resistance", say!("Resistance of the water"), Place { off: 32.0, lift: 40.0, aside: 110.0 }),
                (say!("grade"), "grade_resistance", say!("Pull of the slope, downhill"), Place { off: 50.0, lift: 84.0, aside: 34.0 }),
            ],
        },
    )
}

/// The load, cut from ground and line.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let drags = [
        ("rolling_resistance", say!("friction of the ground")),
        ("mire_resistance", say!("friction of the mire")),
        ("water_resistance", say!("friction of the water")),
    ];
    on_its_slope::cut(figures, &drags)
}
