//! Pieces that several templates print.

use crate::output::markup::amount;
use crate::output::svg::{svg, wide};
use crate::sheet::parts::{Figure, SketchPart};
use serde::Serialize;

/// A quantity in two parts, so that numbers and units can be lined up under each other.
#[derive(Debug, Serialize)]
pub(super) struct Quantity<'a> {
    amount: &'a str,
    unit: &'a str,
    /// Whether the unit stands against the number.
    tight: bool,
    /// The coverage factor, where it is another than that of the sheet.
    factor: &'a str,
}

impl<'a> Quantity<'a> {
    pub fn new(figure: &'a Figure) -> Self {
        match amount(figure) {
            Some((amount, tight)) => Quantity { amount, unit: &figure.unit, tight, factor: &figure.coverage },
            None => Quantity { amount: figure.bare(), unit: "", tight: true, factor: &figure.coverage },
        }
    }

    pub fn maybe(figure: &'a Option<Figure>) -> Option<Self> {
        figure.as_ref().map(Quantity::new)
    }
}

/// A drawing with its words.
#[derive(Debug, Serialize)]
pub(super) struct Sketch<'a> {
    title: &'a str,
    description: &'a str,
    /// As wide as it is drawn, in pixels.
    wide: String,
    svg_html: String,
}

impl<'a> Sketch<'a> {
    /// The drawing of a part of the page whose id is `id`.
    pub fn new(part: &'a SketchPart, id: &str) -> Self {
        Self::marked(part, &format!("sheet.drawing.{id}"))
    }

    /// The drawing, with ids that begin with `mark`.
    pub fn marked(part: &'a SketchPart, mark: &str) -> Self {
        let svg_html = svg(&part.drawing, mark);
        Sketch { title: &part.title, description: &part.description, wide: wide(&part.drawing), svg_html }
    }
}

#[cfg(test)]
mod tests {
    use super::Quantity;
    use crate::output::formula_fixture::figure;
    use crate::output::markup::quantity;
    use crate::output::templates::render_text;
    use crate::sheet::parts::Figure;
    use serde::Serialize;

    #[derive(Serialize)]
    struct Cell<'a> {
        q: Quantity<'a>,
    }

    fn factored(mut figure: Figure) -> Figure {
        figure.coverage = "k\u{a0}=\u{a0}2.43".into();
        figure.text = format!("{} ({})", figure.text, figure.coverage);
        figure
    }

    #[test]
    fn templates_and_the_program_write_a_quantity_alike() {
        let figures = [
            figure("6.00", "", "kN", 6.0, 6e3),
            figure("12.3", "", "", 12.3, 12.3),
            figure("9.0", "", "°", 9.0, 0.1),
            figure("1 < 2", "", "\"", 1.0, 1.0),
            factored(figure("(6.00 ± 0.12) kN", "kN", "kilonewton", 6.0, 6e3)),
            factored(figure("6.00 ± 0.12", "", "", 6.0, 6.0)),
        ];
        for figure in figures {
            let mut written = String::new();
            quantity(&figure, &mut written);
            assert_eq!(render_text("{{<quantity q={q} />}}", &Cell { q: Quantity::new(&figure) }).expect("a quantity"), written);
        }
    }
}
