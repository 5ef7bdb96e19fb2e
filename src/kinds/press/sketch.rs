//! The sketch of a hydraulic press: pump and ram with their bores in true proportion, joined by the pipe.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Shape, Weight};
use crate::words::say;

/// Draws the press from its bores and forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let names = ["load", "effort", "pump_rod", "lever_pin"];
    let mut board = DrawingBoard::new(&names.map(|name| figures.value(name)));
    let known = |name: &str| figures.value(name).filter(|v| v.is_finite() && *v > 0.0);
    let ratio = match (known("pump_bore"), known("ram_bore")) {
        (Some(pump), Some(ram)) => pump / ram,
        _ => 0.25,
    };
    let (pump, ram) = if ratio <= 1.0 { ((150.0 * ratio).max(8.0), 150.0) } else { (150.0, (150.0 / ratio).max(8.0)) };
    let (pump_at, ram_at) = (220.0, 470.0);
    let (top, piston, floor) = (190.0, 230.0, 310.0);
    // Two cylinders open at the top, the pipe between them at the foot.
    for (at, bore) in [(pump_at, pump), (ram_at, ram)] {
        let walls = [(-bore / 2.0, top), (-bore / 2.0, floor), (bore / 2.0, floor), (bore / 2.0, top)];
        board.line(&walls.map(|(x, y)| point(at + x, y)), Weight::Heavy, Ink::Body, false);
        board.add(Shape::Ground { from: point(at - bore / 2.0 - 8.0, floor), to: point(at + bore / 2.0 + 8.0, floor) });
        board.keep_off(at - bore / 2.0 - 8.0, top, bore + 16.0, floor - top + 12.0);
    }
    let (from, to) = (pump_at + pump / 2.0, ram_at - ram / 2.0);
    let rod_side = figures.choice("works_on") == Some("rod side");
    let enters = if rod_side { top + 18.0 } else { floor - 12.0 };
    let bend = (from + to) / 2.0;
    for off in [-4.0, 4.0] {
        let pipe = [point(from, floor - 12.0 + off), point(bend - off, floor - 12.0 + off), point(bend - off, enters + off), point(to, enters + off)];
        board.line(if rod_side { &pipe } else { &pipe[..2] }, Weight::Medium, Ink::Body, false);
        if !rod_side {
            board.line(&[point(bend - off, floor - 12.0 + off), point(to, enters + off)], Weight::Medium, Ink::Body, false);
        }
    }
    board.keep_off(from, floor - 18.0, to - from, 12.0);
    if rod_side {
        board.keep_off(bend - 8.0, enters - 8.0, to - bend, floor - enters);
    }
    if figures.choice("check_valve") == Some("fitted") {
        valve(&mut board, point((from + bend) / 2.0, floor - 12.0));
    }
    let rod = match (known("rod_diameter"), known("ram_bore")) {
        (Some(rod), Some(bore)) => (rod / bore * ram).clamp(3.0, ram - 2.0),
        _ => ram * 0.5,
    };
    slab(&mut board, ram_at, ram, piston, 14.0);
    slab(&mut board, pump_at, pump, piston, 14.0);
    let stem = if rod_side { rod } else { ram * 0.5 };
    let head = 140.0;
    for side in [-1.0, 1.0] {
        board.line(&[point(ram_at + side * stem / 2.0, piston), point(ram_at + side * stem / 2.0, head)], Weight::Medium, Ink::Body, false);
        board.line(&[point(pump_at + side * 2.0, piston), point(pump_at + side * 2.0, head)], Weight::Medium, Ink::Body, false);
    }
    if rod_side {
        // The gland closes the cylinder round the rod, so that the fluid above the piston presses it down.
        for side in [-1.0, 1.0] {
            let (near, far) = (ram_at + side * stem / 2.0, ram_at + side * ram / 2.0);
            board.line(&[point(near, top), point(far, top)], Weight::Heavy, Ink::Body, false);
        }
    }
    let platen = [(-40.0, head - 10.0), (40.0, head - 10.0), (40.0, head), (-40.0, head)].map(|(x, y)| point(ram_at + x, y));
    board.line(&platen, Weight::Heavy, Ink::Body, true);
    board.keep_off(ram_at - 42.0, head - 12.0, 84.0, top - head + 12.0);
    board.keep_off(pump_at - 6.0, head, 12.0, top - head);
    let load = (figures.value("load"), figures.printed("load"));
    // A cylinder that draws in is loaded outwards.
    let above = point(ram_at, head - 10.0);
    if rod_side {
        board.force(above, (0.0, -1.0), true, load.0, (say!("load"), &load.1), Ink::Force);
    } else {
        board.force(above, (0.0, 1.0), false, load.0, (say!("load"), &load.1), Ink::Force);
    }
    if figures.choice("drive") == Some("hand lever") {
        lever(&mut board, figures, point(pump_at, head));
    } else {
        let push = (say!("effort"), figures.printed("effort"));
        board.force(point(pump_at, head), (0.0, 1.0), false, figures.value("effort"), (push.0, &push.1), Ink::Force);
    }
    board.names(point(ram_at + ram / 2.0 - 12.0, floor - 30.0), point(ram_at + ram / 2.0 + 54.0, floor - 40.0), say!("pressure"), &figures.printed("pressure"), Ink::Reaction);
    bore_size(&mut board, point(pump_at, floor + 30.0), pump, &figures.printed("pump_bore"));
    bore_size(&mut board, point(ram_at, floor + 30.0), ram, &figures.printed("ram_bore"));
    if figures.value("head").is_some_and(|v| v != 0.0) {
        board.named(point(bend, floor + 60.0), say!("ram above pump"), &figures.printed("head"), Ink::Construction);
    }
    let mut text = spoken(figures, say!("Effort"), "effort") + &spoken(figures, say!("Load"), "load");
    text += &spoken(figures, say!("Bore of the pump"), "pump_bore");
    text += &spoken(figures, say!("Bore of the ram"), "ram_bore");
    text += &spoken(figures, say!("Pressure at the ram"), "pressure");
    text += &spoken(figures, say!("Push on the pump"), "pump_rod");
    text += &spoken(figures, say!("Force on the pivot of the hand lever"), "lever_pin");
    let side = if rod_side { say!(" The fluid presses on the rod side of the ram.") } else { "" };
    board.finish(say!("Hydraulic press").to_owned(), say!("A pump and a ram joined by a pipe.").to_owned() + side + &text)
}

/// A piston in its bore.
fn slab(board: &mut DrawingBoard, at: f64, bore: f64, top: f64, thick: f64) {
    let half = (bore / 2.0 - 2.0).max(2.0);
    let corners = [(-half, top), (half, top), (half, top + thick), (-half, top + thick)].map(|(x, y)| point(at + x, y));
    board.line(&corners, Weight::Heavy, Ink::Body, true);
}

/// A check valve in the pipe: a ball against its seat.
fn valve(board: &mut DrawingBoard, at: Point) {
    board.circle(at, 6.0, Weight::Medium, Ink::Body, false);
    let seat = [point(at.x - 4.0, at.y - 12.0), point(at.x - 10.0, at.y), point(at.x - 4.0, at.y + 12.0)];
    board.line(&seat, Weight::Medium, Ink::Body, false);
    board.keep_off(at.x - 12.0, at.y - 14.0, 24.0, 28.0);
    board.named(point(at.x, at.y - 34.0), say!("check valve"), "", Ink::Construction);
}

/// The bore below its cylinder.
fn bore_size(board: &mut DrawingBoard, at: Point, bore: f64, text: &str) {
    if !text.is_empty() {
        board.dimension(point(at.x - bore / 2.0, at.y), point(at.x + bore / 2.0, at.y), 0.0, text);
    }
}

/// The hand lever over the pump rod: pivot, rod and hand at their arms.
fn lever(board: &mut DrawingBoard, figures: &dyn Figures, rod: Point) {
    let known = |name: &str| figures.value(name).filter(|v| v.is_finite() && *v > 0.0);
    let share = match (known("rod_arm"), known("lever_arm")) {
        (Some(rod), Some(hand)) if hand >= rod => rod / hand,
        _ => 0.2,
    };
    // The pivot stands to the right of the rod, the hand to the left, as far as there is room.
    let whole = (130.0 / (1.0 - share).max(0.05)).min(170.0);
    let (pivot, hand) = (rod.x + whole * share, rod.x - whole * (1.0 - share));
    for off in [-3.0, 3.0] {
        board.line(&[point(hand - 6.0, rod.y + off), point(pivot, rod.y + off)], Weight::Medium, Ink::Body, false);
    }
    board.circle(point(pivot, rod.y), 6.0, Weight::Heavy, Ink::Body, false);
    board.add(Shape::Ground { from: point(pivot + 16.0, rod.y - 14.0), to: point(pivot - 16.0, rod.y - 14.0) });
    board.line(&[point(pivot, rod.y - 6.0), point(pivot, rod.y - 14.0)], Weight::Medium, Ink::Body, false);
    board.keep_off(hand - 6.0, rod.y - 6.0, pivot - hand + 14.0, 12.0);
    board.keep_off(pivot - 18.0, rod.y - 26.0, 36.0, 32.0);
    let effort = figures.printed("effort");
    board.force(point(hand, rod.y - 3.0), (0.0, 1.0), false, figures.value("effort"), (say!("effort"), &effort), Ink::Force);
    let pin = figures.printed("lever_pin");
    board.force(point(pivot, rod.y - 26.0), (0.0, 1.0), false, figures.value("lever_pin"), (say!("lever pin"), &pin), Ink::Reaction);
    board.dimension(point(hand, rod.y + 3.0), point(pivot, rod.y + 3.0), 34.0, &figures.printed("lever_arm"));
}

/// The ram, between fluid and load.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let sense = if figures.value("sense")? < 0.0 { -1.0 } else { 1.0 };
    let hangs = figures.choice("works_on") == Some("rod side");
    let mut ram = Cut::free(say!("the ram"), figures);
    ram.outline(&[point(-60.0, -10.0), point(60.0, -10.0), point(60.0, 10.0), point(-60.0, 10.0)], true);
    let (rod, end) = if hangs { (10.0, 60.0) } else { (-60.0, -60.0) };
    ram.outline(&[point(-18.0, rod), point(-18.0, rod + 50.0), point(18.0, rod + 50.0), point(18.0, rod)], true);
    if hangs {
        ram.pulls("load", say!("the load¦gives"), point(0.0, end), (0.0, 1.0));
        ram.pushes("ram_force", say!("the fluid"), point(40.0, 10.0), (0.0, -1.0));
        ram.note(say!("It is drawn with its rod hanging."));
    } else {
        ram.pushes("load", say!("the load¦gives"), point(0.0, end), (0.0, 1.0));
        ram.pushes("ram_force", say!("the fluid"), point(0.0, 10.0), (0.0, -1.0));
    }
    ram.pulls("ram_drag", say!("friction of the seals"), point(60.0, 0.0), (0.0, sense)).rubs();
    ram.pulls("ram_weight", say!("gravity"), point(-40.0, 10.0), (0.0, 1.0));
    Some(ram)
}
