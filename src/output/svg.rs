//! A drawing as SVG. Inks and line weights are classes that the page's style sheet fills in, so that one drawing serves
//! light paper, dark paper and print. Lengths are drawing units as in `sketching`; numbers are printed to 1/100 unit.

use crate::kinds::sketching::{Anchor, Drawing, Ink, Point, Shape, Weight};
use crate::output::mathml::escape;
use std::fmt::Write;

/// Length of the head of a force arrow, and half its width at 20 degrees: 17 · tan 10°.
const HEAD: f64 = 17.0;
const HEAD_HALF: f64 = 3.0;
/// Length of the head of a dimension line, and half its width at 20 degrees.
const SMALL_HEAD: f64 = 11.0;
const SMALL_HEAD_HALF: f64 = 1.94;
/// From one hatching line to the next, measured along the surface, and the depth of the hatched strip.
const HATCH_STEP: f64 = 9.0;
const HATCH_DEPTH: f64 = 9.0;

/// The drawing as one `svg` element. `id` must be unique on the page and fit for an `id` attribute; the title and the
/// description are told apart by it. Points that are not finite are put at zero.
pub fn svg(drawing: &Drawing, id: &str) -> String {
    let mut out = String::new();
    svg_into(drawing, id, &mut out);
    out
}

/// The same, written at the end of the page so far.
pub(super) fn svg_into(drawing: &Drawing, id: &str, out: &mut String) {
    let id = escape(id);
    let (width, height) = (number(drawing.width.max(1.0)), number(drawing.height.max(1.0)));
    // Writing to text cannot fail.
    let _ = write!(
        out,
        "<svg class=\"drawing\" style=\"--wide:{width}px\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" height=\"{height}\" role=\"img\" \
         aria-labelledby=\"{id}.title\" aria-describedby=\"{id}.words\">\n\
         <title id=\"{id}.title\">{}</title>\n<desc id=\"{id}.words\">{}</desc>\n",
        escape(&drawing.title),
        escape(&drawing.description)
    );
    for shape in &drawing.shapes {
        draw(shape, out);
        out.push('\n');
    }
    out.push_str("</svg>");
}

fn draw(shape: &Shape, out: &mut String) {
    match shape {
        Shape::Path { points, closed, filled, weight, ink, dashed } => {
            let filled = if *filled { " filled" } else { "" };
            let dashed = if *dashed { " dashed" } else { "" };
            let class = format!("{} {}{filled}{dashed}", self::weight(*weight), self::ink(*ink));
            out.push_str(&path(&class, points, *closed));
        }
        Shape::Circle { centre, radius, filled, weight, ink } => {
            let filled = if *filled { " filled" } else { "" };
            out.push_str(&format!(
                "<circle class=\"{} {}{filled}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
                self::weight(*weight),
                self::ink(*ink),
                number(centre.x),
                number(centre.y),
                number(radius.max(0.0))
            ));
        }
        Shape::Arc { centre, radius, from, to, weight, ink } => out.push_str(&arc(*centre, *radius, *from, *to, *weight, *ink)),
        Shape::Ground { from, to } => ground(*from, *to, out),
        Shape::Arrow { from, to, ink } => arrow(*from, *to, *ink, out),
        Shape::Dimension { from, to, offset, text } => dimension(*from, *to, *offset, text, out),
        Shape::Label { at, text, anchor, symbol, ink } => {
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let (class, words) = if *symbol { ("symbol", symbolic(text)) } else { ("label", escape(text)) };
            out.push_str(&format!(
                "<text class=\"{class} {}\" x=\"{}\" y=\"{}\" text-anchor=\"{anchor}\">{words}</text>",
                self::ink(*ink),
                number(at.x),
                number(at.y)
            ));
        }
        Shape::PartNumber { at, number: part } => out.push_str(&format!(
            "<g class=\"part\"><circle cx=\"{x}\" cy=\"{y}\" r=\"9.5\"/><text x=\"{x}\" y=\"{}\" text-anchor=\"middle\">{part}</text></g>",
            number(at.y + 4.6),
            x = number(at.x),
            y = number(at.y),
        )),
        Shape::ScaleBar { at, length, text } => scale_bar(*at, *length, text, out),
    }
}

fn weight(weight: Weight) -> &'static str {
    match weight {
        Weight::Heavy => "heavy",
        Weight::Medium => "medium",
        Weight::Light => "light",
    }
}

fn ink(ink: Ink) -> &'static str {
    match ink {
        Ink::Body => "body",
        Ink::Rope => "rope",
        Ink::Force => "force",
        Ink::Reaction => "reaction",
        Ink::Loss => "loss",
        Ink::Construction => "construction",
    }
}

/// A coordinate to 1/100 unit, without needless zeros.
fn number(value: f64) -> String {
    let mut out = String::new();
    push_number(value, &mut out);
    out
}

fn push_number(value: f64, out: &mut String) {
    // Beyond this a drawing is meaningless, and the digits would run on.
    let value = if value.is_finite() { value.clamp(-1.0e6, 1.0e6) } else { 0.0 };
    let hundredths = value * 100.0;
    let whole = libm::round(hundredths);
    if (hundredths - whole).abs() > 0.499_999 {
        // Too near to the middle between two for a product that was rounded itself.
        let rounded = format!("{value:.2}");
        let trimmed = rounded.trim_end_matches('0').trim_end_matches('.');
        out.push_str(if trimmed == "-0" { "0" } else { trimmed });
        return;
    }
    let size = whole.abs() as u64;
    if whole < 0.0 {
        out.push('-');
    }
    // Writing to text cannot fail.
    let _ = match (size / 100, size % 100) {
        (units, 0) => write!(out, "{units}"),
        (units, part) if part % 10 == 0 => write!(out, "{units}.{}", part / 10),
        (units, part) => write!(out, "{units}.{part:02}"),
    };
}

fn place(point: Point) -> String {
    let mut out = String::new();
    push_place(point, &mut out);
    out
}

fn push_place(point: Point, out: &mut String) {
    push_number(point.x, out);
    out.push(' ');
    push_number(point.y, out);
}

fn path(class: &str, points: &[Point], closed: bool) -> String {
    let mut way = String::with_capacity(40 + 16 * points.len());
    way.push_str("<path class=\"");
    way.push_str(class);
    way.push_str("\" d=\"");
    for (index, point) in points.iter().enumerate() {
        way.push(if index == 0 { 'M' } else { 'L' });
        push_place(*point, &mut way);
    }
    if closed && !points.is_empty() {
        way.push('Z');
    }
    way.push_str("\"/>");
    way
}

/// A direction of length one, and the direction to the right of it (with y pointing down); none for a point.
fn direction(from: Point, to: Point) -> Option<(Point, Point, f64)> {
    let (dx, dy) = (to.x - from.x, to.y - from.y);
    let length = libm::hypot(dx, dy);
    if !length.is_finite() || length < 0.01 {
        return None;
    }
    let along = Point { x: dx / length, y: dy / length };
    Some((along, Point { x: -along.y, y: along.x }, length))
}

fn step(from: Point, along: Point, by: f64) -> Point {
    Point { x: from.x + along.x * by, y: from.y + along.y * by }
}

/// The three corners of a head whose tip is at `tip`, pointing `along`.
fn head(tip: Point, along: Point, across: Point, length: f64, half: f64) -> [Point; 3] {
    let base = step(tip, along, -length);
    [tip, step(base, across, half), step(base, across, -half)]
}

fn arrow(from: Point, to: Point, ink: Ink, out: &mut String) {
    let Some((along, across, length)) = direction(from, to) else { return };
    // A short arrow has a short head of the same angle, so that its shaft is still seen.
    let size = (length * 0.6 / HEAD).min(1.0);
    let class = self::ink(ink);
    let tip = head(to, along, across, HEAD * size, HEAD_HALF * size);
    // The shaft ends inside the head, so that no blunt end shows at the tip.
    let shaft = [from, step(to, along, -HEAD * size * 0.94)];
    out.push_str(&path(&format!("heavy {class}"), &shaft, false));
    let kind = if matches!(ink, Ink::Reaction) { "open" } else { "head" };
    out.push_str(&path(&format!("{kind} {class}"), &tip, true));
}

fn arc(centre: Point, radius: f64, from: f64, to: f64, weight: Weight, ink: Ink) -> String {
    let class = format!("{} {}", self::weight(weight), self::ink(ink));
    let sweep = to - from;
    let radius = if radius.is_finite() { radius.max(0.0) } else { 0.0 };
    if !sweep.is_finite() || sweep.abs() >= 360.0 {
        return format!("<circle class=\"{class}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>", number(centre.x), number(centre.y), number(radius));
    }
    let end = |degrees: f64| {
        let angle = degrees.to_radians();
        Point { x: centre.x + radius * libm::cos(angle), y: centre.y + radius * libm::sin(angle) }
    };
    format!(
        "<path class=\"{class}\" d=\"M{}A{r} {r} 0 {} {} {}\"/>",
        place(end(from)),
        u8::from(sweep.abs() > 180.0),
        u8::from(sweep > 0.0),
        place(end(to)),
        r = number(radius)
    )
}

fn ground(from: Point, to: Point, out: &mut String) {
    let Some((along, right, length)) = direction(from, to) else { return };
    out.push_str(&path("medium body", &[from, to], false));
    let count = (length / HATCH_STEP) as usize;
    // Half a step is left at either end, so that the strip sits evenly under its line.
    let first = (length - count as f64 * HATCH_STEP) / 2.0 + HATCH_STEP / 2.0;
    let mut way = String::new();
    for stroke in 0..count.min(400) {
        let top = step(from, along, first + stroke as f64 * HATCH_STEP);
        let foot = step(step(top, right, HATCH_DEPTH), along, -HATCH_DEPTH);
        way.push('M');
        push_place(top, &mut way);
        way.push('L');
        push_place(foot, &mut way);
    }
    if !way.is_empty() {
        out.push_str(&format!("<path class=\"light construction\" d=\"{way}\"/>"));
    }
}

fn dimension(from: Point, to: Point, offset: f64, text: &str, out: &mut String) {
    let Some((along, right, length)) = direction(from, to) else { return };
    let (first, last) = (step(from, right, offset), step(to, right, offset));
    // Extension lines leave a gap at the body and pass the dimension line a little (ISO 129-1).
    let side = if offset < 0.0 { -1.0 } else { 1.0 };
    for (body, end) in [(from, first), (to, last)] {
        if offset.abs() > 4.0 {
            out.push_str(&path("light construction", &[step(body, right, 3.0 * side), step(end, right, 4.0 * side)], false));
        }
    }
    let roomy = length > 3.0 * SMALL_HEAD;
    if roomy {
        out.push_str(&path("light construction", &[first, last], false));
        out.push_str(&path("head construction", &head(last, along, right, SMALL_HEAD, SMALL_HEAD_HALF), true));
        let back = Point { x: -along.x, y: -along.y };
        out.push_str(&path("head construction", &head(first, back, right, SMALL_HEAD, SMALL_HEAD_HALF), true));
    } else {
        // Too short for both heads: they point inwards from outside.
        let tail = 2.0 * SMALL_HEAD;
        out.push_str(&path("light construction", &[step(first, along, -tail), step(last, along, tail)], false));
        out.push_str(&path("head construction", &head(first, along, right, SMALL_HEAD, SMALL_HEAD_HALF), true));
        let back = Point { x: -along.x, y: -along.y };
        out.push_str(&path("head construction", &head(last, back, right, SMALL_HEAD, SMALL_HEAD_HALF), true));
    }
    // The text reads from below or from the right, and stands above its line.
    let mut angle = libm::atan2(along.y, along.x).to_degrees();
    if angle > 89.9 {
        angle -= 180.0;
    } else if angle < -90.1 {
        angle += 180.0;
    }
    let turned = angle.to_radians();
    let up = Point { x: libm::sin(turned), y: -libm::cos(turned) };
    let middle = step(step(first, along, length / 2.0), up, 5.0);
    out.push_str(&format!(
        "<text class=\"label construction\" x=\"{x}\" y=\"{y}\" text-anchor=\"middle\"{}>{}</text>",
        if angle.abs() < 0.05 {
            String::new()
        } else {
            format!(" transform=\"rotate({} {} {})\"", number(angle), number(middle.x), number(middle.y))
        },
        escape(text),
        x = number(middle.x),
        y = number(middle.y),
    ));
}

fn scale_bar(at: Point, length: f64, text: &str, out: &mut String) {
    let length = if length.is_finite() { length.max(0.0) } else { 0.0 };
    let end = Point { x: at.x + length, y: at.y };
    let tick = |x: f64| [Point { x, y: at.y - 4.0 }, Point { x, y: at.y + 4.0 }];
    out.push_str(&path("heavy force", &[at, end], false));
    for x in [at.x, end.x] {
        out.push_str(&path("medium force", &tick(x), false));
    }
    out.push_str(&format!(
        "<text class=\"label construction\" x=\"{}\" y=\"{}\" text-anchor=\"start\">{}</text>",
        number(end.x + 8.0),
        number(at.y + 4.6),
        escape(text)
    ));
}

/// `F_head` as an italic letter with upright words below the line.
fn symbolic(text: &str) -> String {
    match text.split_once('_') {
        Some((base, below)) if !base.is_empty() && !below.is_empty() => {
            format!("{}<tspan class=\"below\" dy=\"4\">{}</tspan>", escape(base), escape(&below.replace('_', " ")))
        }
        _ => escape(text),
    }
}

#[cfg(test)]
mod tests {
    // The reference is the standard library's own rounding of the exact binary value.
    #[test]
    fn coordinates_are_rounded_as_exact_numbers_are() {
        let mut state = 811_u64;
        let chance = std::iter::repeat_with(move || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            ((state >> 11) as f64 / (1_u64 << 53) as f64 - 0.5) * 2000.0
        });
        let thousandths = (-3000..3000).map(|at| f64::from(at) / 1000.0);
        for value in chance.take(4000).chain(thousandths).chain([-0.0, 1.005, 2.675, 1e6, -1e6, 1e-9]) {
            let rounded = format!("{value:.2}");
            let trimmed = rounded.trim_end_matches('0').trim_end_matches('.');
            assert_eq!(super::number(value), if trimmed == "-0" { "0" } else { trimmed }, "{value:e}");
        }
    }

    use super::{number, svg};
    use crate::kinds::sketching::{Drawing, Ink, Point, Shape};
    use crate::output::fixture::every_shape;
    use crate::output::reader::well_formed;

    fn drawn(shape: Shape) -> String {
        svg(&Drawing { width: 100.0, height: 100.0, shapes: vec![shape], title: "t".into(), description: "d".into() }, "x")
    }

    #[test]
    fn every_shape_is_well_formed_and_no_number_escapes() {
        let set = svg(&every_shape(), "machine.falls");
        well_formed(&set);
        assert!(!set.contains("NaN") && !set.contains("inf"), "{set}");
        assert!(set.contains("id=\"machine.falls.title\"") && set.contains("id=\"machine.falls.words\""));
    }

    #[test]
    fn heads_are_twenty_degrees_wide() {
        // ISO 128 arrow heads between 15 and 30 degrees; the project draws 20.
        let set = drawn(Shape::Arrow { from: Point { x: 0.0, y: 50.0 }, to: Point { x: 90.0, y: 50.0 }, ink: Ink::Force });
        // Tip at (90, 50); both back corners 17 behind it and 3 to either side: 2 · atan(3 / 17) = 20.0 degrees.
        assert!(set.contains("M90 50L73 53L73 47Z"), "{set}");
        assert!((2.0 * (3.0_f64 / 17.0).atan().to_degrees() - 20.0).abs() < 0.1);
    }

    #[test]
    fn ground_is_hatched_at_forty_five_degrees_on_the_right_of_the_way() {
        let set = drawn(Shape::Ground { from: Point { x: 0.0, y: 0.0 }, to: Point { x: 90.0, y: 0.0 } });
        // Going to the right, the right-hand side lies below (y points down): each stroke falls 9 and goes back 9.
        assert!(set.contains("M4.5 0L-4.5 9"), "{set}");
    }

    #[test]
    fn an_upright_dimension_reads_from_the_right() {
        let set = drawn(Shape::Dimension {
            from: Point { x: 20.0, y: 10.0 },
            to: Point { x: 20.0, y: 90.0 },
            offset: 15.0,
            text: "80 mm".into(),
        });
        assert!(set.contains("rotate(-90") || set.contains("rotate(90 "), "{set}");
        assert!(set.contains("rotate(-90"), "ISO 129-1 reads upright dimensions from the right: {set}");
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!(number(1.0 / 3.0), "0.33");
        assert_eq!(number(-0.001), "0");
        assert_eq!(number(f64::NAN), "0");
        assert_eq!(number(12.50), "12.5");
    }
}
