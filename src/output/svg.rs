//! A drawing as SVG. Inks and line weights are classes that the page's style sheet fills in, so that one drawing serves
//! light paper, dark paper and print. Lengths are drawing units as in `sketching`, to a tenth. All strokes of one class
//! make one path, step by step from where the last one ended; fillings lie over them, and words over all.

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

/// The drawing as one `svg` element. `id` must be unique on the page and fit for an `id` attribute. What it shows is told by the
/// caption of its figure, which has its width as `--wide`. Points that are not finite are put at zero.
pub fn svg(drawing: &Drawing, id: &str) -> String {
    let mut out = String::new();
    svg_into(drawing, id, &mut out);
    out
}

/// The same, written at the end of the page so far.
pub(super) fn svg_into(drawing: &Drawing, id: &str, out: &mut String) {
    let id = escape(id);
    let (width, height) = (wide(drawing), number(drawing.height.max(1.0)));
    // Writing to text cannot fail.
    let _ = writeln!(
        out,
        "<svg class=drawing paint-order=stroke viewBox=\"0 0 {width} {height}\" width={width} height={height} role=img><title>{}</title>",
        escape(&drawing.title),
    );
    let mut plate = Plate::default();
    for shape in &drawing.shapes {
        plate.draw(shape);
    }
    plate.print(&id, out);
    out.push_str("</svg>");
}

/// How wide a drawing is where there is room, in pixels.
pub(super) fn wide(drawing: &Drawing) -> String {
    number(drawing.width.max(1.0))
}

/// How wide and high `.again` is in the style sheet, in its pixels.
const AGAIN: f64 = 88.0;

/// The frame, as attributes, of what a drawing shows without its words, dimensions and scale: body, rope and forces. They
/// are one group of the drawing, whose id is `id.lines`, and can be shown again in that frame, with strokes that look half as wide.
pub(super) fn frame(drawing: &Drawing) -> Option<String> {
    let mut corners: Option<(f64, f64, f64, f64)> = None;
    let mut take = |x: f64, y: f64, around: f64| {
        if x.is_finite() && y.is_finite() {
            let (left, top, right, low) = corners.unwrap_or((x, y, x, y));
            corners = Some((left.min(x - around), top.min(y - around), right.max(x + around), low.max(y + around)));
        }
    };
    for shape in &drawing.shapes {
        match shape {
            Shape::Path { ink: Ink::Construction, .. }
            | Shape::Circle { ink: Ink::Construction, .. }
            | Shape::Arc { ink: Ink::Construction, .. } => {}
            Shape::Path { points, .. } => points.iter().for_each(|point| take(point.x, point.y, 2.0)),
            Shape::Circle { centre, radius, .. } | Shape::Arc { centre, radius, .. } => take(centre.x, centre.y, radius + 2.0),
            Shape::Arrow { from, to, .. } => [from, to].into_iter().for_each(|point| take(point.x, point.y, 4.0)),
            Shape::Ground { from, to } => [from, to].into_iter().for_each(|point| take(point.x, point.y, HATCH_DEPTH)),
            Shape::Dimension { .. } | Shape::Leader { .. } | Shape::Label { .. } | Shape::PartNumber { .. } | Shape::ScaleBar { .. } => {}
        }
    }
    let (left, top, right, low) = corners?;
    let (width, height) = (right - left, low - top);
    let pen = 0.55 * width.max(height) / AGAIN;
    Some(format!("viewBox=\"{}\" style=--pen:{pen:.1}", [left, top, width, height].map(number).join(" ")))
}

/// What strokes of one kind have in common, as words of the style sheet.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Class {
    weight: &'static str,
    ink: &'static str,
    /// What is special about them, with the blank before it.
    more: &'static str,
}

/// The strokes of one class, and where the pen stands, in tenths.
struct Stroke {
    class: Class,
    way: String,
    pen: (i64, i64),
}

/// A drawing sorted for print: strokes, then what is filled, then what words stand on, then words.
#[derive(Default)]
struct Plate {
    strokes: Vec<Stroke>,
    fills: Vec<Stroke>,
    seats: String,
    words: Vec<(String, String)>,
}

impl Plate {
    fn print(self, id: &str, out: &mut String) {
        let aside = |stroke: &&Stroke| stroke.class.ink == "construction" || stroke.class.more == " scale";
        let path = |stroke: &Stroke, out: &mut String| {
            let Class { weight, ink, more } = stroke.class;
            for part in ["<path class=\"", weight, " ", ink, more, "\" d=\"", &stroke.way, "\"/>\n"] {
                out.push_str(part);
            }
        };
        let all = || self.strokes.iter().chain(&self.fills);
        all().filter(aside).for_each(|stroke| path(stroke, out));
        // Where the lines are shown again, only what stands within the group decides how they look.
        let _ = write!(out, "<g class=drawing id=\"{id}.lines\">");
        all().filter(|stroke| !aside(stroke)).for_each(|stroke| path(stroke, out));
        out.push_str("</g>");
        if !self.seats.is_empty() {
            let _ = writeln!(out, "<g class=part>{}</g>", self.seats);
        }
        for (class, words) in &self.words {
            let _ = writeln!(out, "<g class=\"{class}\">{words}</g>");
        }
    }

    /// The strokes of a class; what is filled lies over the rest.
    fn pen(&mut self, weight: &'static str, ink: &'static str, more: &'static str, fills: bool) -> &mut Stroke {
        let class = Class { weight, ink, more };
        let strokes = if fills { &mut self.fills } else { &mut self.strokes };
        let at = strokes.iter().position(|stroke| stroke.class == class).unwrap_or(strokes.len());
        if at == strokes.len() {
            strokes.push(Stroke { class, way: String::with_capacity(128), pen: (0, 0) });
        }
        &mut strokes[at]
    }

    fn text(&mut self, class: &str, words: &str) {
        match self.words.iter_mut().find(|(known, _)| known == class) {
            Some((_, all)) => all.push_str(words),
            None => self.words.push((class.to_owned(), words.to_owned())),
        }
    }

    fn draw(&mut self, shape: &Shape) {
        match shape {
            Shape::Path { points, closed, filled, weight, ink, dashed } => {
                let more = match (*filled, *dashed) {
                    (false, false) => "",
                    (true, false) => " filled",
                    (false, true) => " dashed",
                    (true, true) => " filled dashed",
                };
                self.pen(self::weight(*weight), self::ink(*ink), more, *filled).run(points, *closed);
            }
            Shape::Circle { centre, radius, filled, weight, ink } => {
                let more = if *filled { " filled" } else { "" };
                self.pen(self::weight(*weight), self::ink(*ink), more, *filled).circle(*centre, *radius);
            }
            Shape::Arc { centre, radius, from, to, weight, ink } => {
                self.pen(self::weight(*weight), self::ink(*ink), "", false).arc(*centre, *radius, *from, *to);
            }
            Shape::Ground { from, to } => self.ground(*from, *to),
            Shape::Arrow { from, to, ink } => self.arrow(*from, *to, *ink),
            Shape::Dimension { from, to, offset, text } => self.dimension(*from, *to, *offset, text),
            Shape::Label { at, text, anchor, symbol, ink } => {
                let anchor = match anchor {
                    Anchor::Start => " class=start",
                    Anchor::Middle => "",
                    Anchor::End => " class=end",
                };
                let (class, words) = if *symbol { ("symbol", symbolic(text)) } else { ("label", escape(text)) };
                let words = format!("<text x={} y={}{anchor}>{words}</text>", number(at.x), number(at.y));
                self.text(&format!("{class} {}", self::ink(*ink)), &words);
            }
            Shape::Leader { from, to } => self.pen("light", "construction", "", false).run(&[*from, *to], false),
            Shape::PartNumber { at, number: part } => {
                let (x, y) = (number(at.x), number(at.y));
                let _ = write!(self.seats, "<circle cx={x} cy={y} r=\"9.5\"/>");
                let _ = write!(self.seats, "<text x={x} y={}>{part}</text>", number(at.y + 4.6));
            }
            Shape::ScaleBar { at, length, text } => self.scale_bar(*at, *length, text),
        }
    }

    fn arrow(&mut self, from: Point, to: Point, ink: Ink) {
        let Some((along, across, length)) = direction(from, to) else { return };
        // A short arrow has a short head of the same angle, so that its shaft is still seen.
        let size = (length * 0.6 / HEAD).min(1.0);
        let class = self::ink(ink);
        let tip = head(to, along, across, HEAD * size, HEAD_HALF * size);
        // The shaft ends inside the head, so that no blunt end shows at the tip.
        let shaft = [from, step(to, along, -HEAD * size * 0.94)];
        self.pen("heavy", class, "", false).run(&shaft, false);
        let kind = if matches!(ink, Ink::Reaction) { "open" } else { "head" };
        self.pen(kind, class, "", true).run(&tip, true);
    }

    fn ground(&mut self, from: Point, to: Point) {
        let Some((along, right, length)) = direction(from, to) else { return };
        self.pen("medium", "body", "", false).run(&[from, to], false);
        let count = (length / HATCH_STEP) as usize;
        // Half a step is left at either end, so that the strip sits evenly under its line.
        let first = (length - count as f64 * HATCH_STEP) / 2.0 + HATCH_STEP / 2.0;
        let hatching = self.pen("light", "construction", "", false);
        for stroke in 0..count.min(400) {
            let top = step(from, along, first + stroke as f64 * HATCH_STEP);
            let foot = step(step(top, right, HATCH_DEPTH), along, -HATCH_DEPTH);
            hatching.run(&[top, foot], false);
        }
    }

    fn dimension(&mut self, from: Point, to: Point, offset: f64, text: &str) {
        let Some((along, right, length)) = direction(from, to) else { return };
        let (first, last) = (step(from, right, offset), step(to, right, offset));
        // Extension lines leave a gap at the body and pass the dimension line a little (ISO 129-1).
        let side = if offset < 0.0 { -1.0 } else { 1.0 };
        let lines = self.pen("light", "construction", "", false);
        for (body, end) in [(from, first), (to, last)] {
            if offset.abs() > 4.0 {
                lines.run(&[step(body, right, 3.0 * side), step(end, right, 4.0 * side)], false);
            }
        }
        let back = Point { x: -along.x, y: -along.y };
        // Where it is too short for both heads they point inwards from outside.
        let roomy = length > 3.0 * SMALL_HEAD;
        let tail = if roomy { 0.0 } else { 2.0 * SMALL_HEAD };
        lines.run(&[step(first, along, -tail), step(last, along, tail)], false);
        let (to_last, to_first) = if roomy { (along, back) } else { (back, along) };
        let heads = self.pen("head", "construction", "", true);
        heads.run(&head(last, to_last, right, SMALL_HEAD, SMALL_HEAD_HALF), true);
        heads.run(&head(first, to_first, right, SMALL_HEAD, SMALL_HEAD_HALF), true);
        if text.is_empty() {
            return;
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
        let (x, y) = (number(middle.x), number(middle.y));
        let turn = if angle.abs() < 0.05 { String::new() } else { format!(" transform=\"rotate({} {x} {y})\"", number(angle)) };
        self.text("label construction", &format!("<text x=\"{x}\" y=\"{y}\"{turn}>{}</text>", escape(text)));
    }

    fn scale_bar(&mut self, at: Point, length: f64, text: &str) {
        let length = if length.is_finite() { length.max(0.0) } else { 0.0 };
        let end = Point { x: at.x + length, y: at.y };
        // A stroke of its own kind, so that it can be told from a force.
        self.pen("heavy", "force", " scale", false).run(&[at, end], false);
        for x in [at.x, end.x] {
            self.pen("medium", "force", " scale", false).run(&[Point { x, y: at.y - 4.0 }, Point { x, y: at.y + 4.0 }], false);
        }
        let (x, y) = (number(end.x + 8.0), number(at.y + 4.6));
        self.text("label construction", &format!("<text x=\"{x}\" y=\"{y}\" class=\"start\">{}</text>", escape(text)));
    }
}

impl Stroke {
    /// A run of straight lines: from where it starts each step is told as far as it goes.
    fn run(&mut self, points: &[Point], closed: bool) {
        let mut first = None;
        let mut last = ' ';
        for point in points {
            let at = (tenths(point.x), tenths(point.y));
            let by = (at.0 - self.pen.0, at.1 - self.pen.1);
            let (command, numbers): (char, &[i64]) = match (first, by) {
                (None, _) if self.way.is_empty() => ('M', &[at.0, at.1]),
                (None, _) => ('m', &[by.0, by.1]),
                (Some(_), (0, 0)) => continue,
                (Some(_), (_, 0)) => ('h', &[by.0]),
                (Some(_), (0, _)) => ('v', &[by.1]),
                (Some(_), _) => ('l', &[by.0, by.1]),
            };
            self.tell(command, numbers, last);
            first = first.or(Some(at));
            last = command;
            self.pen = at;
        }
        if let (true, Some(first)) = (closed, first) {
            self.way.push('z');
            self.pen = first;
        }
    }

    // After a move further pairs are lines, and a repeated command need not be named.
    fn tell(&mut self, command: char, numbers: &[i64], last: char) {
        let implied = command == last && matches!(command, 'l' | 'h' | 'v') || matches!((last, command), ('m', 'l'));
        if !implied {
            self.way.push(command);
        }
        for (place, value) in numbers.iter().enumerate() {
            if (place > 0 || implied) && *value >= 0 {
                self.way.push(' ');
            }
            push_tenths(*value, &mut self.way);
        }
    }

    fn circle(&mut self, centre: Point, radius: f64) {
        let (x, y, r) = (tenths(centre.x), tenths(centre.y), tenths(radius.max(0.0)));
        if r == 0 {
            return;
        }
        self.go((x - r, y));
        for across in [2 * r, -2 * r] {
            self.curve(r, false, true, (across, 0));
        }
        self.way.push('z');
    }

    fn arc(&mut self, centre: Point, radius: f64, from: f64, to: f64) {
        let sweep = to - from;
        let radius = if radius.is_finite() { radius.max(0.0) } else { 0.0 };
        if !sweep.is_finite() || sweep.abs() >= 360.0 {
            return self.circle(centre, radius);
        }
        let end = |degrees: f64| {
            let angle = degrees.to_radians();
            (tenths(centre.x + radius * libm::cos(angle)), tenths(centre.y + radius * libm::sin(angle)))
        };
        let (start, stop) = (end(from), end(to));
        self.go(start);
        self.curve(tenths(radius), sweep.abs() > 180.0, sweep > 0.0, (stop.0 - start.0, stop.1 - start.1));
        self.pen = stop;
    }

    fn go(&mut self, at: (i64, i64)) {
        let by = (at.0 - self.pen.0, at.1 - self.pen.1);
        if self.way.is_empty() {
            self.tell('M', &[at.0, at.1], ' ')
        } else {
            self.tell('m', &[by.0, by.1], ' ')
        }
        self.pen = at;
    }

    fn curve(&mut self, radius: i64, large: bool, clockwise: bool, by: (i64, i64)) {
        self.tell('a', &[radius, radius, 0], ' ');
        let _ = write!(self.way, " {} {}", u8::from(large), u8::from(clockwise));
        for value in [by.0, by.1] {
            if value >= 0 {
                self.way.push(' ');
            }
            push_tenths(value, &mut self.way);
        }
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

/// A coordinate in tenths of a unit.
fn tenths(value: f64) -> i64 {
    // Beyond this a drawing is meaningless, and the digits would run on.
    let value = if value.is_finite() { value.clamp(-1.0e6, 1.0e6) } else { 0.0 };
    libm::round(value * 10.0) as i64
}

/// A coordinate to a tenth of a unit, without needless zeros.
fn number(value: f64) -> String {
    let mut out = String::new();
    push_tenths(tenths(value), &mut out);
    out
}

fn push_tenths(tenths: i64, out: &mut String) {
    if tenths < 0 {
        out.push('-');
    }
    let size = tenths.unsigned_abs();
    // Writing to text cannot fail.
    let _ = match (size / 10, size % 10) {
        (units, 0) => write!(out, "{units}"),
        (0, part) => write!(out, ".{part}"),
        (units, part) => write!(out, "{units}.{part}"),
    };
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
    use super::{number, svg, tenths};
    use crate::kinds::sketching::{Anchor, Drawing, Ink, Point, Shape};
    use crate::output::reader::well_formed;
    use crate::output::report_fixture::every_shape;

    fn drawn(shape: Shape) -> String {
        svg(&Drawing { width: 100.0, height: 100.0, shapes: vec![shape], title: "t".into(), description: "d".into(), newtons: None }, "x")
    }

    #[test]
    fn every_shape_is_well_formed_and_no_number_escapes() {
        let set = svg(&every_shape(), "machine.falls");
        well_formed(&set);
        assert!(!set.contains("NaN") && !set.contains("inf"), "{set}");
        assert!(set.contains("<title>") && set.contains("id=\"machine.falls.lines\""));
    }

    #[test]
    fn the_frame_of_the_lines_holds_them_and_leaves_out_words_and_scale() {
        let frame = super::frame(&every_shape()).expect("it has lines");
        let (corners, pen) = frame.strip_prefix("viewBox=\"").and_then(|rest| rest.split_once("\" style=--pen:")).expect("attributes");
        let numbers: Vec<f64> = corners.split(' ').map(|number| number.parse().expect("a number")).collect();
        let [left, top, wide, high] = numbers.as_slice() else { panic!("{frame}") };
        assert!(*wide > 0.0 && *high > 0.0, "{frame}");
        // Shown 5.5 rem of 16 px wide, a stroke comes to little more than half of its weight.
        let seen = pen.parse::<f64>().expect("a number") * 5.5 * 16.0 / wide.max(*high);
        assert!((0.5..0.6).contains(&seen), "{frame}: {seen}");
        for shape in &every_shape().shapes {
            if let Shape::Arrow { from, to, .. } = shape {
                for point in [from, to].into_iter().filter(|point| point.x.is_finite() && point.y.is_finite()) {
                    assert!((*left..=left + wide).contains(&point.x) && (*top..=top + high).contains(&point.y), "{frame}");
                }
            }
        }
        let words = Shape::Label { at: Point { x: 1.0, y: 1.0 }, text: "w".into(), anchor: Anchor::Start, symbol: false, ink: Ink::Body };
        let only_words = Drawing { shapes: vec![words], ..every_shape() };
        assert_eq!(super::frame(&only_words), None);
    }

    #[test]
    fn heads_are_twenty_degrees_wide() {
        // ISO 128 arrow heads between 15 and 30 degrees; the project draws 20.
        let set = drawn(Shape::Arrow { from: Point { x: 0.0, y: 50.0 }, to: Point { x: 90.0, y: 50.0 }, ink: Ink::Force });
        // Tip at (90, 50); the back corners 17 behind it and 3 to either side: 2 · atan(3 / 17) = 20.0 degrees.
        assert!(set.contains("M90 50l-17 3v-6z"), "{set}");
        assert!((2.0 * (3.0_f64 / 17.0).atan().to_degrees() - 20.0).abs() < 0.1);
    }

    #[test]
    fn ground_is_hatched_at_forty_five_degrees_on_the_right_of_the_way() {
        let set = drawn(Shape::Ground { from: Point { x: 0.0, y: 0.0 }, to: Point { x: 90.0, y: 0.0 } });
        // Going to the right, the right-hand side lies below (y points down): each stroke falls 9 and goes back 9.
        assert!(set.contains("M4.5 0l-9 9m18-9"), "{set}");
    }

    #[test]
    fn an_upright_dimension_reads_from_the_right() {
        let set = drawn(Shape::Dimension {
            from: Point { x: 20.0, y: 10.0 },
            to: Point { x: 20.0, y: 90.0 },
            offset: 15.0,
            text: "80 mm".into(),
        });
        assert!(set.contains("rotate(-90"), "ISO 129-1 reads upright dimensions from the right: {set}");
    }

    #[test]
    fn steps_add_up_without_drift() {
        // A hundred steps of a third each end where the rounded last point is.
        let points: Vec<Point> = (0..=100).map(|at| Point { x: f64::from(at) / 3.0, y: f64::from(at) / 7.0 }).collect();
        let set = drawn(Shape::Path {
            points,
            closed: false,
            filled: false,
            weight: crate::kinds::sketching::Weight::Light,
            ink: Ink::Body,
            dashed: false,
        });
        let way = set.split(" d=\"M").nth(1).and_then(|rest| rest.split('"').next()).expect("it has a path");
        let (mut x, mut y) = (0_i64, 0_i64);
        let ten = |word: &str| (word.parse::<f64>().expect("a number") * 10.0).round() as i64;
        let mut numbers = Vec::new();
        let mut command = 'l';
        let mut word = String::new();
        for letter in way.chars().chain(['l']) {
            if !letter.is_ascii_digit() && letter != '.' {
                if !word.is_empty() {
                    numbers.push(ten(&word));
                    word.clear();
                }
                match (command, numbers.as_slice()) {
                    ('l', [dx, dy]) => (x, y) = (x + dx, y + dy),
                    ('h', [dx]) => x += dx,
                    ('v', [dy]) => y += dy,
                    _ => {
                        if letter.is_ascii_alphabetic() {
                            command = letter;
                        }
                        continue;
                    }
                }
                numbers.clear();
                if letter.is_ascii_alphabetic() {
                    command = letter;
                }
            } else {
                word.push(letter);
            }
        }
        assert_eq!((x, y), (333, 143), "{way}");
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!(number(1.0 / 3.0), ".3");
        assert_eq!(number(-0.001), "0");
        assert_eq!(number(-0.26), "-.3");
        assert_eq!(number(f64::NAN), "0");
        assert_eq!(number(12.50), "12.5");
        assert_eq!(tenths(f64::INFINITY), 0);
    }
}
