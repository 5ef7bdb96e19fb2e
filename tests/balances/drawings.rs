//! Every machine that chance makes is drawn too. Statics, from what is drawn alone: the arrows on a free body, measured,
//! add up to nothing, and so do couples about one axis. And on every drawing words keep off words, lines and leaders, and
//! leaders off each other.

use ::parbuckle::Sheet;
use ::parbuckle::kinds::sketching::{Anchor, Drawing, Point, Shape, Weight};
use ::parbuckle::sheet::parts::MachineReport;

/// Every free body of the sheet closes, as stated and as drawn, and words lie apart on every drawing.
pub fn are_sound(sheet: &Sheet) {
    for machine in &sheet.machines {
        if let Some(sketch) = &machine.sketch {
            words_lie_apart(&sketch.drawing, &machine.name);
        }
        if machine.free_body.is_some() {
            closes(machine);
        }
    }
    let drawn = sheet.machines.iter().filter(|machine| machine.free_body.is_some()).count();
    let sketched = sheet.machines.iter().filter(|machine| machine.sketch.is_some() && has_one(machine)).count();
    assert_eq!(drawn, sketched, "a machine whose kind says how its forces point has no free body");
}

/// Machines that must have a free body: the exceptions are those of which a force is not known, or has no direction.
fn has_one(machine: &MachineReport) -> bool {
    let chosen = |label: &str, value: &str| machine.choices.iter().any(|cell| cell.label == label && cell.value == value);
    let stated = |name: &str| machine.relations.iter().chain(&machine.nodes).any(|line| line.name.contains(name));
    match machine.kind.as_str() {
        // Teeth without a diameter have no known force.
        "gears" => stated(".shaft_level"),
        "worm" => stated(".wheel_bearing"),
        "belt" => stated(".side_lean") && !stated_above_zero(machine, ".centrifugal"),
        "windlass" => !(chosen("effort at", "the shaft") && chosen("load at", "the shaft")),
        "pulleys" => !chosen("friction rule", "known efficiency"),
        _ => true,
    }
}

fn stated_above_zero(machine: &MachineReport, name: &str) -> bool {
    machine.relations.iter().any(|line| line.name.ends_with(name) && line.result.as_ref().is_some_and(|figure| figure.si > 0.0))
}

fn closes(machine: &MachineReport) {
    let Some(body) = &machine.free_body else { return };
    let what = format!("{} {} {}: {}", machine.name, machine.kind, machine.direction, body.sketch.description);
    let (right, up) = body.forces.iter().fold((0.0, 0.0), |(right, up), force| (right + force.right, up + force.up));
    let largest = body.forces.iter().map(|force| force.right.hypot(force.up)).fold(0.0, f64::max);
    assert!(right.hypot(up) <= 1e-7 * largest, "{what}: {right} and {up} of {largest} are left over");
    assert!(body.forces.iter().all(|force| !force.from.is_empty() && !force.text.is_empty()), "{what}: a force without giver or value");
    // One couple stands for the moments of forces that are drawn; several are all there are about their axis.
    if body.couples.len() > 1 {
        let sum: f64 = body.couples.iter().map(|couple| couple.against_clock).sum();
        let largest = body.couples.iter().map(|couple| couple.against_clock.abs()).fold(0.0, f64::max);
        assert!(sum.abs() <= 1e-7 * largest, "{what}: a couple of {sum} is left over");
    }
    // What is drawn is what is stated: arrows to scale add up, with what is too small to draw to scale, to nothing.
    let newtons = body.sketch.drawing.newtons.unwrap_or(0.0);
    let (mut x, mut y, mut drawn) = (0.0, 0.0, 0);
    for shape in &body.sketch.drawing.shapes {
        if let Shape::Arrow { from, to, .. } = shape {
            (x, y, drawn) = (x + (to.x - from.x) * newtons, y + (from.y - to.y) * newtons, drawn + 1);
        }
    }
    for force in body.forces.iter().filter(|force| force.right.hypot(force.up) < 7.0 * newtons) {
        (x, y, drawn) = (x + force.right, y + force.up, drawn + 1);
    }
    assert_eq!(drawn, body.forces.len(), "{what}: arrows and forces");
    assert!(x.hypot(y) <= 1e-6 * largest, "{what}: the arrows leave {x} and {y} of {largest}");
    words_lie_apart(&body.sketch.drawing, &what);
}

/// Whether two lines cross: each has the ends of the other on either side.
fn cross((a, b): (Point, Point), (c, d): (Point, Point)) -> bool {
    let side = |from: Point, to: Point, of: Point| (to.x - from.x) * (of.y - from.y) - (to.y - from.y) * (of.x - from.x);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// Whether a line passes through a rectangle: it crosses one of its diagonals, or an end lies within.
fn through(line: (Point, Point), [left, top, right, low]: [f64; 4]) -> bool {
    let corner = |x: f64, y: f64| Point { x, y };
    let diagonals = [(corner(left, top), corner(right, low)), (corner(left, low), corner(right, top))];
    let within = |p: Point| (left..=right).contains(&p.x) && (top..=low).contains(&p.y);
    within(line.0) || within(line.1) || diagonals.iter().any(|diagonal| cross(line, *diagonal))
}

/// Words take at least 0.5 of their height for a letter in any face; that much must be clear.
fn words_lie_apart(drawing: &Drawing, what: &str) {
    let mut boxes: Vec<([f64; 4], &str)> = Vec::new();
    for shape in &drawing.shapes {
        if let Shape::Label { at, text, anchor, symbol, .. } = shape {
            let wide = text.chars().count() as f64 * 0.5 * if *symbol { 16.0 } else { 14.0 };
            let left = match anchor {
                Anchor::Start => at.x,
                Anchor::Middle => at.x - wide / 2.0,
                Anchor::End => at.x - wide,
            };
            boxes.push(([left, at.y - 11.0, left + wide, at.y + 4.0], text));
        }
    }
    let (mut strokes, mut leaders) = (Vec::new(), Vec::new());
    for (at, shape) in drawing.shapes.iter().enumerate() {
        match shape {
            Shape::Path { points, closed, weight, .. } if !matches!(weight, Weight::Light) => {
                let back = if *closed { points.last().zip(points.first()) } else { None };
                strokes.extend(points.iter().zip(points.iter().skip(1)).chain(back).map(|(from, to)| (*from, *to)));
            }
            Shape::Arrow { from, to, .. } | Shape::Ground { from, to } => strokes.push((*from, *to)),
            // The words that it leads to follow it.
            Shape::Leader { from, to } => leaders.push(((*from, *to), at)),
            _ => {}
        }
    }
    for (at, (leader, _)) in leaders.iter().enumerate() {
        for (other, _) in &leaders[at + 1..] {
            assert!(!cross(*leader, *other), "{what}: a leader {leader:?} crosses {other:?}");
        }
    }
    for (at, (a, text)) in boxes.iter().enumerate() {
        for line in &strokes {
            assert!(!through(*line, *a), "{what}: {text} lies across a line {line:?}");
        }
        for (line, first) in &leaders {
            let own =
                drawing.shapes[first + 1..].iter().take(3).any(|shape| matches!(shape, Shape::Label { text: row, .. } if row == text));
            assert!(own || !through(*line, *a), "{what}: {text} lies across a leader {line:?}");
        }

        assert!(a[0] >= 0.0 && a[1] >= 0.0 && a[2] <= drawing.width && a[3] <= drawing.height, "{what}: {text} lies off the sheet");
        for (b, other) in &boxes[at + 1..] {
            assert!(a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1], "{what}: {text} covers {other}");
        }
    }
}
