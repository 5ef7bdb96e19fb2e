//! The sketch of a wedge: its taper as it is, the load on it or the halves beside it, and the forces at every surface.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Shape, Weight};
use crate::words::say;

/// Draws the wedge from its taper and forces.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let splitting = figures.choice("work") == Some("splitting");
    let names = ["load", "effort", "face_force", "guide_force", "floor_force"];
    let mut board = DrawingBoard::new(&names.map(|name| figures.value(name)));
    let alpha = figures.value("alpha").filter(|v| v.is_finite()).unwrap_or(0.2).clamp(0.01, 1.5);
    if splitting {
        parting(&mut board, figures, alpha);
    } else {
        lifting(&mut board, figures, alpha);
    }
    let mut text = spoken(figures, say!("Taper"), "whole") + &spoken(figures, say!("Effort"), "effort");
    text += &spoken(figures, say!("Load"), "load");
    text += &spoken(figures, say!("Whole force at the face"), "face_force");
    text += &spoken(figures, say!("Force square to the floor"), "floor_force");
    text += &spoken(figures, say!("Force on the guide"), "guide_force");
    let what = if splitting { say!("A wedge between two halves.") } else { say!("A wedge under a load that a guide holds upright.") };
    board.finish(say!("Wedge").to_owned(), what.to_owned() + &text)
}

/// The wedge on the floor, driven to the right, thick end at the left; the load against the guide at its right.
fn lifting(board: &mut DrawingBoard, figures: &dyn Figures, alpha: f64) {
    let slope = libm::tan(alpha);
    let length = 300.0_f64.min(150.0 / slope);
    let (floor, thin) = (300.0, 470.0);
    let thick = thin - length;
    let top = |x: f64| floor - (thin - x) * slope;
    board.add(Shape::Ground { from: point(thick - 40.0, floor), to: point(thin + 60.0, floor) });
    board.line(&[point(thick, floor), point(thick, top(thick)), point(thin, floor)], Weight::Heavy, Ink::Body, true);
    board.keep_off(thick - 40.0, floor - 2.0, thin - thick + 100.0, 12.0);
    // The load stands on the face; its foot has the lean of the wedge.
    let (left, right) = (thin - length * 0.72, thin - length * 0.2);
    let (wide, middle) = (right - left, (left + right) / 2.0);
    let height = wide.clamp(60.0, 110.0);
    let head = top(left) - height;
    board.line(&[point(left, top(left)), point(left, head), point(right, head), point(right, top(right))], Weight::Heavy, Ink::Body, true);
    // The guide on the side the load leans to, with rollers where it does not rub.
    let leans = figures.value("guide_force");
    let side = if leans.is_some_and(|v| v < -1e-9) { -1.0 } else { 1.0 };
    let rolls = figures.choice("work") == Some("lifting in smooth guides");
    let flank = if side < 0.0 { left } else { right };
    let wall = if rolls { flank + side * 12.0 } else { flank };
    let (high, low) = (head - 20.0, top(flank).min(head + height) - 4.0);
    if side < 0.0 {
        board.add(Shape::Ground { from: point(wall, high), to: point(wall, low) });
    } else {
        board.add(Shape::Ground { from: point(wall, low), to: point(wall, high) });
    }
    if rolls {
        for share in [0.3, 0.75] {
            board.circle(point(flank + side * 6.0, head + (low - head) * share), 6.0, Weight::Medium, Ink::Body, false);
        }
    }
    board.keep_off(wall.min(wall + side * 14.0), high, 14.0, low - high);
    let back = point(thick, floor - (floor - top(thick)) * 0.5);
    board.force(back, (1.0, 0.0), false, figures.value("effort"), (say!("effort"), &figures.printed("effort")), Ink::Force);
    board.force(point(middle, head), (0.0, 1.0), false, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
    let under = point(thin - length * 0.45, floor + 10.0);
    board.force(under, (0.0, -1.0), false, figures.value("floor_force"), (say!("floor force"), &figures.printed("floor_force")), Ink::Reaction);
    let beside = point(wall + side * 12.0, (head + low) / 2.0);
    let size = leans.map(f64::abs);
    // A load that leans on neither guide is pressed by neither.
    let tiny = figures.value("load").unwrap_or(0.0).abs() * 1e-9;
    if size.is_none_or(|size| size > tiny) {
        board.force(beside, (-side, 0.0), false, size, (say!("guide force"), &figures.printed("guide_force")), Ink::Reaction);
    }
    // The whole force of the wedge on the load, as it leans from upright.
    let lean = figures.value("press_lean").filter(|v| v.is_finite()).unwrap_or(alpha);
    let lowering = figures.value("sense").is_some_and(|sense| sense < 0.0);
    let way = (libm::sin(lean), -libm::cos(lean));
    // On the side that it leans from, so that there is room for its words within the load.
    let on = middle - wide * 0.25 * if lean < 0.0 { -1.0 } else { 1.0 };
    let face = point(on, top(on));
    board.force(face, way, true, figures.value("face_force"), (say!("face force"), &figures.printed("face_force")), Ink::Reaction);
    board.names(point(thin - 24.0, floor - 4.0), point(thin + 40.0, floor - 24.0), say!("taper"), &figures.printed("whole"), Ink::Construction);
    let way = (point(thick + 10.0, floor + 24.0), point(thick + 66.0, floor + 24.0));
    let rise = (point(left - 16.0, head + 44.0), point(left - 16.0, head + 4.0));
    let turned = |(from, to): (Point, Point)| if lowering { (to, from) } else { (from, to) };
    for ((from, to), at, words, name) in [
        (turned(way), point(thick + 38.0, floor + 46.0), say!("way of the wedge"), "wedge_way"),
        (turned(rise), point(left - 60.0, head + 14.0), say!("rise"), "load_travel"),
    ] {
        board.way(from, to);
        board.names_line((from, to), at, words, &figures.printed(name), Ink::Construction);
    }
}

/// The wedge driven down between two halves.
fn parting(board: &mut DrawingBoard, figures: &dyn Figures, alpha: f64) {
    let slope = libm::tan(alpha);
    let length = 180.0_f64.min(110.0 / slope);
    let (centre, head) = (320.0, 120.0);
    let tip = head + length;
    let half = length * slope;
    board.line(&[point(centre - half, head), point(centre + half, head), point(centre, tip)], Weight::Heavy, Ink::Body, true);
    board.line(&[point(centre, head - 16.0), point(centre, tip + 16.0)], Weight::Light, Ink::Construction, false);
    board.keep_off(centre - half, head, 2.0 * half, length);
    let upper = head + length * 0.2;
    let aside = (tip - upper) * slope;
    for side in [-1.0, 1.0] {
        let body = [(aside, upper), (0.0, tip), (0.0, tip + 30.0), (half + 90.0, tip + 30.0), (half + 90.0, upper)];
        board.line(&body.map(|(off, y)| point(centre + side * off, y)), Weight::Heavy, Ink::Body, true);
        let at = point(centre + side * (half + 90.0), (upper + tip) / 2.0);
        board.force(at, (-side, 0.0), false, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
        let lean = figures.value("press_lean").filter(|v| v.is_finite()).unwrap_or(alpha);
        let face = point(centre + side * aside / 2.0, (upper + tip) / 2.0);
        let way = (side * libm::cos(lean), libm::sin(lean));
        // Both faces carry the same force, so that one is named.
        let printed = figures.printed("face_force");
        let words = if side < 0.0 { (say!("face force"), printed.as_str()) } else { ("", "") };
        board.force(face, way, true, figures.value("face_force"), words, Ink::Reaction);
    }
    board.force(point(centre, head), (0.0, 1.0), false, figures.value("effort"), (say!("effort"), &figures.printed("effort")), Ink::Force);
    let edge = point(centre + half - (upper - head) * slope * 0.5, head + (upper - head) * 0.5);
    board.names(edge, point(centre + half + 120.0, head - 14.0), say!("taper, face to face"), &figures.printed("whole"), Ink::Construction);
    let opens = (point(centre - half - 30.0, upper - 14.0), point(centre - half - 76.0, upper - 14.0));
    board.way(opens.0, opens.1);
    board.names_line(opens, point(centre - half - 120.0, head - 14.0), say!("opening"), &figures.printed("load_travel"), Ink::Construction);
}

/// The wedge, between what drives it, floor and load.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let lean = figures.value("press_lean").filter(|v| v.is_finite())?;
    let alpha = figures.value("alpha").filter(|v| v.is_finite())?.clamp(0.01, 1.4);
    let mut wedge = Cut::free(say!("the wedge"), figures);
    if figures.choice("work") == Some("splitting") {
        let length = 120.0_f64.min(60.0 / libm::tan(alpha));
        let half = length * libm::tan(alpha);
        wedge.outline(&[point(-half, -length / 2.0), point(half, -length / 2.0), point(0.0, length / 2.0)], true);
        wedge.pushes("effort", say!("the blow"), point(0.0, -length / 2.0), (0.0, 1.0));
        for (side, giver) in [(-1.0, say!("the left half")), (1.0, say!("the right half"))] {
            wedge.pushes("face_force", giver, point(side * half / 2.0, 0.0), (-side * libm::cos(lean), -libm::sin(lean)));
        }
        return Some(wedge);
    }
    let length = 160.0_f64.min(90.0 / libm::tan(alpha));
    let thick = length * libm::tan(alpha);
    wedge.outline(&[point(-length / 2.0, 0.0), point(-length / 2.0, -thick), point(length / 2.0, 0.0)], true);
    wedge.pushes("effort", say!("the drive"), point(-length / 2.0, -thick / 2.0), (1.0, 0.0));
    let sense = if figures.value("sense")? < 0.0 { -1.0 } else { 1.0 };
    wedge.pushes("face_force", say!("the load¦gives"), point(0.0, -thick / 2.0), (-libm::sin(lean), libm::cos(lean)));
    wedge.pushes("floor_force", say!("the floor"), point(length * 0.1, 0.0), (0.0, -1.0));
    // It leads away from the thin end when it holds the wedge in, and comes to it when it keeps the wedge back.
    let thin = point(length / 2.0, 0.0);
    if sense < 0.0 {
        wedge.pulls("floor_drag", say!("friction on the floor"), thin, (1.0, 0.0)).rubs();
    } else {
        wedge.pushes("floor_drag", say!("friction on the floor"), thin, (-1.0, 0.0)).rubs();
    }
    if figures.value("wedge_weight").is_some_and(|weight| weight != 0.0) {
        wedge.pulls("wedge_weight", say!("gravity"), point(-length / 6.0, -thick / 3.0), (0.0, 1.0));
    }
    Some(wedge)
}
