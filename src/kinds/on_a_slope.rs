//! A load on its slope with the line that draws it and all that holds it back, for the kinds of load that are drawn.
use crate::kinds::drawing_board::{DrawingBoard, point, spoken};
use crate::kinds::free_body::Cut;
use crate::kinds::sketching::{Drawing, Figures, Ink, Point, Shape, Weight};
use crate::words::say;

/// What holds the load back: symbol, name of the value, what it is called aloud, where it is drawn.
pub type Drag = (&'static str, &'static str, &'static str, Place);

/// Where an arrow and its label stand: the arrow over the ground, the label over the ground and beyond the load.
pub struct Place {
    /// The arrow, over the ground.
    pub off: f64,
    /// The label, over the ground.
    pub lift: f64,
    /// The label, beyond the end of the load.
    pub aside: f64,
}

/// What is to be drawn.
pub struct Subject {
    /// Title of the drawing.
    pub title: &'static str,
    /// First words of its text.
    pub what: &'static str,
    /// Wheels under it; skids otherwise.
    pub wheels: bool,
    /// How deep it has sunk, in drawing units from the ground up, with the words for it.
    pub sunk: Option<(f64, &'static str)>,
    /// What holds it back.
    pub drags: Vec<Drag>,
}

/// Half the length of the load.
const HALF: f64 = 46.0;
/// Its height over the ground.
const HIGH: f64 = 58.0;
/// Height of the line over the ground.
const DRAWBAR: f64 = 24.0;

/// Draws the load at the true angle of its slope.
pub fn draw(figures: &dyn Figures, subject: &Subject) -> Drawing {
    let slope = figures.value("theta").filter(|v| v.is_finite()).unwrap_or(0.0).clamp(-1.4, 1.4);
    let (sine, cosine) = (libm::sin(slope), libm::cos(slope));
    let reach = (235.0 / cosine).min(if sine == 0.0 { 235.0 } else { 130.0 / sine.abs() }).max(HALF + 30.0);
    let middle = point(310.0, 250.0);
    let up = |along: f64, off: f64| point(middle.x + along * cosine - off * sine, middle.y - along * sine - off * cosine);
    let names = subject.drags.iter().map(|(_, name, ..)| *name).chain(["load", "weight", "normal_force", "grade_resistance"]);
    let forces: Vec<Option<f64>> = names.map(|name| figures.value(name)).collect();
    let mut board = DrawingBoard::new(&forces);
    let (low, high) = (up(-reach, 0.0), up(reach, 0.0));
    board.line(&[low, high], Weight::Heavy, Ink::Body, false);
    board.add(Shape::Ground { from: low, to: high });
    board.keep_off_line(up(-reach, -5.0), up(reach, -5.0));
    body(&mut board, subject, &up);
    // What holds it back starts at its rear, one above the other; held, it is stopped from running back by what starts at its front.
    let ahead = (cosine, -sine);
    let sense = if figures.value("sense").unwrap_or(1.0) < 0.0 { -1.0 } else { 1.0 };
    for (symbol, name, place) in subject.drags.iter().map(|(symbol, name, _, place)| (*symbol, *name, place)) {
        let value = figures.value(name).filter(|value| value.is_finite());
        let Some(value) = value.filter(|value| *value != 0.0) else { continue };
        let value = if name == "grade_resistance" { value } else { value * sense };
        let (along, way) = if value < 0.0 { (HALF, ahead) } else { (-HALF, (-cosine, sine)) };
        let from = up(along, place.off);
        board.force(from, way, true, Some(value.abs()), ("", ""), Ink::Loss);
        let label = up(along + way.0.signum() * place.aside, place.lift);
        board.names(up(along + way.0.signum() * 10.0, place.off), label, symbol, &figures.printed(name), Ink::Loss);
    }
    let lead = figures.value("line_angle").filter(|v| v.is_finite()).unwrap_or(0.0) + slope;
    let pull = if lead == slope { ahead } else { (libm::cos(lead), -libm::sin(lead)) };
    board.force(up(HALF, DRAWBAR), pull, true, figures.value("load"), (say!("load"), &figures.printed("load")), Ink::Force);
    board.force(up(0.0, HIGH / 2.0), (0.0, 1.0), true, figures.value("weight"), (say!("weight"), &figures.printed("weight")), Ink::Force);
    let normal = (-sine, -cosine);
    board.force(
        up(26.0, 0.0),
        normal,
        false,
        figures.value("normal_force"),
        (say!("normal force"), &figures.printed("normal_force")),
        Ink::Reaction,
    );
    angle(&mut board, figures, slope, if slope < 0.0 { high } else { low });
    let mut text = spoken(figures, say!("Weight"), "weight") + &spoken(figures, say!("Slope¦of the ground"), "theta");
    text += &spoken(figures, say!("Pull of the line"), "load");
    text += &spoken(figures, say!("Force square to the slope"), "normal_force");
    if !subject.drags.iter().any(|(_, name, ..)| *name == "grade_resistance") {
        text += &spoken(figures, say!("Pull of the slope, downhill"), "grade_resistance");
    }
    for (_, name, words, _) in &subject.drags {
        text += &spoken(figures, words, name);
    }
    board.finish(subject.title.to_owned(), format!("{}{text}", subject.what))
}

// The load: a box on wheels or on skids, and the ground it has sunk into.
fn body(board: &mut DrawingBoard, subject: &Subject, up: &dyn Fn(f64, f64) -> Point) {
    let floor = if subject.wheels { 20.0 } else { 10.0 };
    board.line(&[up(-HALF, floor), up(HALF, floor), up(HALF, HIGH), up(-HALF, HIGH)], Weight::Heavy, Ink::Body, true);
    if subject.wheels {
        for along in [-HALF + 16.0, HALF - 16.0] {
            board.circle(up(along, 12.0), 12.0, Weight::Heavy, Ink::Body, false);
            board.circle(up(along, 12.0), 2.0, Weight::Medium, Ink::Body, true);
        }
    } else {
        board.line(
            &[up(-HALF - 4.0, 0.0), up(-HALF, floor), up(HALF, floor), up(HALF + 10.0, 6.0), up(HALF + 4.0, 0.0)],
            Weight::Heavy,
            Ink::Body,
            true,
        );
    }
    board.keep_off(up(0.0, HIGH / 2.0).x - HALF, up(0.0, HIGH / 2.0).y - HALF, HALF * 2.0, HALF * 2.0);
    if let Some((deep, words)) = subject.sunk {
        board.add(Shape::Path {
            points: vec![up(-HALF - 70.0, deep), up(HALF + 70.0, deep)],
            closed: false,
            filled: false,
            weight: Weight::Medium,
            ink: Ink::Construction,
            dashed: true,
        });
        let at = up(HALF + 70.0, deep);
        board.named(point(at.x + 30.0, at.y + 26.0), words, "", Ink::Construction);
    }
}

// The slope against the level.
fn angle(board: &mut DrawingBoard, figures: &dyn Figures, slope: f64, foot: Point) {
    if slope.abs() < 0.004 {
        board.named(point(foot.x + 60.0, foot.y + 34.0), "θ", &figures.printed("theta"), Ink::Construction);
        return;
    }
    let (to, degrees) = (if slope < 0.0 { -1.0 } else { 1.0 }, slope.abs().to_degrees());
    board.line(&[foot, point(foot.x + to * 90.0, foot.y)], Weight::Light, Ink::Construction, false);
    let (from, until) = if slope < 0.0 { (180.0, 180.0 + degrees) } else { (-degrees, 0.0) };
    board.add(Shape::Arc { centre: foot, radius: 64.0, from, to: until, weight: Weight::Light, ink: Ink::Construction });
    board.named(point(foot.x + to * 80.0, foot.y + 24.0), "θ", &figures.printed("theta"), Ink::Construction);
}

/// The load, cut from ground and line, with what holds it back and who does so.
pub fn cut<'f>(figures: &'f dyn Figures, drags: &[(&str, &'static str)]) -> Option<Cut<'f>> {
    let slope = figures.value("theta").filter(|v| v.is_finite())?;
    let (sine, cosine) = (libm::sin(slope), libm::cos(slope));
    let at = |along: f64, off: f64| point(along * cosine - off * sine, -along * sine - off * cosine);
    let lead = figures.value("line_angle").filter(|v| v.is_finite()).unwrap_or(0.0) + slope;
    let sense = if figures.value("sense")? < 0.0 { -1.0 } else { 1.0 };
    let mut load = Cut::free(say!("the load"), figures);
    load.outline(&[at(-40.0, -24.0), at(40.0, -24.0), at(40.0, 24.0), at(-40.0, 24.0)], true);
    load.pulls("load", say!("the line"), at(40.0, 0.0), (libm::cos(lead), -libm::sin(lead)));
    load.pulls("weight", say!("gravity"), at(0.0, 0.0), (0.0, 1.0));
    load.pushes("normal_force", say!("the ground"), at(20.0 * sense, -24.0), (-sine, -cosine));
    let given = drags.iter().filter(|(name, _)| figures.value(name).is_some());
    let given_count = given.clone().count();
    for (place, (name, giver)) in given.enumerate() {
        load.pulls(name, giver, at(-40.0 * sense, -24.0 + 22.0 * place as f64), (-cosine * sense, sine * sense)).rubs();
        // Words of several stand one over the other, each at the end of its arrow.
        load.words_raised(33.0 * place as f64 - 16.0 * (given_count as f64 - 1.0));
    }
    Some(load)
}
