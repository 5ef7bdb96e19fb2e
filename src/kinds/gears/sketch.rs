//! The sketch of gear wheels: pitch circles in true proportion along their lines of centres, torques and shaft forces.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Point};
use crate::kinds::turning::{tips, toothed, turning};
use crate::words::say;

/// The most meshes drawn one by one; beyond this the drawing says how many there are.
const MOST: usize = 4;

/// A wheel of the drawing: its shaft, the radius of its pitch circle and its teeth.
struct Wheel {
    shaft: usize,
    radius: f64,
    teeth: f64,
}

/// Draws the train from its teeth, or from its pitch diameters where they are stated.
pub fn draw(figures: &dyn Figures) -> Drawing {
    let stated = figures.count("step").max(1);
    let (wheels, shafts) = laid_out(figures, stated.min(MOST));
    let bound = |low: bool, of: &dyn Fn(Point) -> f64| {
        let edges = wheels.iter().filter_map(|wheel| Some(of(*shafts.get(wheel.shaft)?) + if low { -wheel.radius } else { wheel.radius }));
        edges.fold(if low { f64::INFINITY } else { f64::NEG_INFINITY }, |a, b| if low { a.min(b) } else { a.max(b) })
    };
    let (left, right) = (bound(true, &|p| p.x), bound(false, &|p| p.x));
    let (top, foot) = (bound(true, &|p| p.y), bound(false, &|p| p.y));
    let scale = (460.0 / (right - left)).min(230.0 / (foot - top));
    let on_page = |p: Point| point(320.0 + (p.x - (left + right) / 2.0) * scale, 110.0 + (p.y - top) * scale);
    let shafts: Vec<Point> = shafts.into_iter().map(on_page).collect();
    let below = 110.0 + (foot - top) * scale;
    let loads: Vec<Option<f64>> = (1..=shafts.len()).map(|at| figures.item("shaft_load", at)).collect();
    let mut board = DrawingBoard::new(&loads);
    for wheel in &wheels {
        if let Some(shaft) = shafts.get(wheel.shaft) {
            toothed(&mut board, *shaft, wheel.radius * scale, wheel.teeth);
        }
    }
    // Seen so that the effort turns counter-clockwise; each mesh turns the sense.
    let of_shaft = |shaft: usize| wheels.iter().filter(|wheel| wheel.shaft == shaft).map(|wheel| wheel.radius * scale).fold(0.0, f64::max);
    if let (Some(first), Some(last)) = (shafts.first(), shafts.last()) {
        let arc = |shaft: usize| (of_shaft(shaft) * 0.55).max(14.0);
        // The load's torque resists, so it is against the sense in which its shaft turns.
        let ends = [(0, first, false, say!("effort"), "effort"), (shafts.len() - 1, last, stated.is_multiple_of(2), say!("load"), "load")];
        for (shaft, at, clockwise, word, name) in ends {
            turning(&mut board, *at, arc(shaft), clockwise);
            let over = |high: f64| point(at.x, at.y - high);
            let line = (over(of_shaft(shaft) + 2.0), over(arc(shaft)));
            board.names_line(line, over(of_shaft(shaft) + 34.0), word, &figures.printed(name), Ink::Force);
        }
    }
    for (at, shaft) in shafts.iter().enumerate() {
        let (level, up) = (figures.item("shaft_level", at + 1).unwrap_or(0.0), figures.item("shaft_up", at + 1).unwrap_or(0.0));
        let size = libm::hypot(level, up);
        if size > 0.0 && size.is_finite() {
            let name = say!("on shaft {number}", number = at + 1);
            let words = (name.as_str(), figures.printed_item("shaft_load", at + 1));
            board.force(*shaft, (level / size, -up / size), true, Some(size), (words.0, &words.1), Ink::Reaction);
        }
    }
    let circles: Vec<(Point, f64)> =
        wheels.iter().filter_map(|wheel| Some((*shafts.get(wheel.shaft)?, tips(wheel.radius * scale, wheel.teeth)))).collect();
    for (at, (wheel, circle)) in wheels.iter().zip(&circles).enumerate() {
        let word = if at % 2 == 0 { say!("driver¦wheel") } else { say!("follower") };
        let teeth = say!("{count} teeth", count = format!("{:.0}", wheel.teeth));
        if wheels.len() > 2 {
            board.names_rim(*circle, beside(*circle, &circles, at % 2 == 0), word, &teeth, Ink::Body);
        } else {
            let (shaft, radius) = (circle.0, wheel.radius * scale);
            board.names(point(shaft.x, shaft.y + radius), point(shaft.x, shaft.y + radius + 34.0), word, &teeth, Ink::Body);
        }
    }
    if stated > MOST {
        board.named(point(320.0, below + 76.0), &say!("{stated} meshes, {most} drawn", stated = stated, most = MOST), "", Ink::Construction);
    }
    let mut text = spoken(figures, say!("Torque at the first shaft"), "effort") + &spoken(figures, say!("Torque at the last shaft"), "load");
    for at in 1..=figures.count("step") {
        text +=
            &say!(
                " Mesh {at}: {driver} teeth drive {follower} teeth.",
                at = at,
                driver = figures.printed_item("drivers", at),
                follower = figures.printed_item("followers", at)
            );
    }
    for at in 1..=figures.count("tooth_force") {
        text += &say!(" Force at the teeth of mesh {at}: {force}.", at = at, force = figures.printed_item("tooth_force", at));
    }
    for at in 1..=figures.count("shaft_load") {
        text += &say!(" Force on the bearings of shaft {at}: {force}.", at = at, force = figures.printed_item("shaft_load", at));
    }
    board.finish(say!("Gear wheels").to_owned(), say!("From the effort to the load, drawn on their pitch circles.").to_owned() + &text)
}

/// Where the words of a wheel best stand: where a straight way from its rim is soonest out of all wheels; drivers are rather named
/// above and followers below, so that two on one shaft part.
fn beside(wheel: (Point, f64), all: &[(Point, f64)], above: bool) -> Point {
    let (centre, own) = wheel;
    let mut best: Option<(f64, Point)> = None;
    for turn in (0..16).map(|turn| f64::from(turn) * core::f64::consts::PI / 8.0) {
        let (right, down) = (libm::cos(turn), libm::sin(turn));
        // How far along that way the last of the circles is left.
        let out = all.iter().filter_map(|(other, radius)| {
            let (x, y) = (other.x - centre.x, other.y - centre.y);
            let (along, aside) = (x * right + y * down, x * down - y * right);
            (aside.abs() < *radius).then(|| along + libm::sqrt(radius * radius - aside * aside))
        });
        let out = out.fold(own, f64::max);
        let wrong = if (down < 0.0) == above { 0.0 } else { 40.0 };
        let cost = out - own + wrong + 30.0 * right.abs();
        if best.is_none_or(|(least, _)| cost < least - 1e-9) {
            best = Some((cost, point(centre.x + (out + 34.0 + 24.0 * right.abs()) * right, centre.y + (out + 34.0) * down)));
        }
    }
    best.map_or(centre, |(_, at)| at)
}

/// The wheels and the places of their shafts, in the unit of the first driver's teeth.
fn laid_out(figures: &dyn Figures, meshes: usize) -> (Vec<Wheel>, Vec<Point>) {
    let size = |name: &str, at: usize| figures.item(name, at).filter(|v| v.is_finite() && *v > 0.0);
    let unit = size("driver_pitch_diameter", 1).unwrap_or(1.0) / size("drivers", 1).unwrap_or(12.0);
    let (mut wheels, mut shafts) = (Vec::new(), vec![point(0.0, 0.0)]);
    let mut place = point(0.0, 0.0);
    for at in 1..=meshes {
        let (few, many) = (size("drivers", at).unwrap_or(12.0), size("followers", at).unwrap_or(36.0));
        let module = size("driver_pitch_diameter", at).map_or(1.0, |across| across / few / unit);
        let line = figures.item("line_of_centres", at).filter(|v| v.is_finite()).unwrap_or(0.0);
        let apart = (few + many) * module;
        place = point(place.x + apart * libm::cos(line), place.y - apart * libm::sin(line));
        shafts.push(place);
        wheels.push(Wheel { shaft: at - 1, radius: few * module, teeth: few });
        wheels.push(Wheel { shaft: at, radius: many * module, teeth: many });
    }
    (wheels, shafts)
}

/// The last wheel, cut from its driver and its bearings.
pub fn cut(figures: &dyn Figures) -> Option<Cut<'_>> {
    let last = figures.count("tooth_force");
    let line = figures.item("line_of_centres", last).filter(|v| v.is_finite())?;
    let turns = figures.item("rotation", last)?;
    let (sine, cosine) = (libm::sin(line), libm::cos(line));
    let radius = 70.0;
    let mesh = point(-radius * cosine, radius * sine);
    let mut wheel = Cut::free(say!("the last wheel with its shaft"), figures);
    wheel.toothed(radius, mesh);
    wheel.circle(point(0.0, 0.0), 6.0);
    wheel.item_pulls("tooth_force", last, say!("the driver's teeth"), mesh, (-turns * sine, -turns * cosine));
    wheel.item_pulls("separating_force", last, say!("the driver's teeth"), mesh, (cosine, -sine));
    // Its words stand outside the wheel, and not inside, where the arrow ends.
    wheel.words_at(point(mesh.x - 110.0 * cosine, mesh.y + 52.0 * sine));
    let (level, up) = (figures.item("shaft_level", last + 1)?, figures.item("shaft_up", last + 1)?);
    let size = libm::hypot(level, up).max(1e-300);
    wheel.item_pulls("shaft_load", last + 1, say!("the bearings"), point(0.0, 0.0), (-level / size, up / size));
    wheel.couple("load", say!("what it turns"), point(0.0, 0.0), 30.0, turns > 0.0);
    Some(wheel)
}
