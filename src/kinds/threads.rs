//! Threads and turning as they are drawn: the outline of a thread in elevation, and a curved arrow round an axis.
use crate::kinds::drawing_board::{DrawingBoard, point};
use crate::kinds::sketching::{Figures, Ink, Point, Shape, Weight};
use crate::words::say;

/// A thread in drawing units, with its flank in radians.
pub struct Thread {
    /// Mean diameter.
    pub mean: f64,
    /// From one thread to the next.
    pub pitch: f64,
    /// Advance in one turn.
    pub lead: f64,
    /// Lean of the flank from square to the axis.
    pub flank: f64,
    /// Whether it is a left-hand thread.
    pub left: bool,
}

impl Thread {
    /// The thread of a machine whose mean diameter is drawn as `mean`, in true proportion but for one too fine to draw.
    pub fn of(figures: &dyn Figures, mean: f64, names: [&str; 4]) -> Self {
        let known = |name: &str| figures.value(name).filter(|v| v.is_finite() && *v > 0.0);
        let [diameter, pitch, lead, flank] = names.map(known);
        let scale = mean / diameter.unwrap_or(1.0);
        let lead = (lead.unwrap_or(0.2 / scale * mean) * scale).clamp(3.0, 4.0 * mean);
        let pitch = pitch.map_or(lead, |pitch| pitch * scale).clamp(3.0, lead);
        Self { mean, pitch, lead, flank: flank.unwrap_or(0.0).min(1.2), left: false }
    }

    /// The same thread of the other hand.
    pub fn turned_over(self) -> Self {
        Self { left: !self.left, ..self }
    }

    /// Half the depth of the thread.
    fn half_depth(&self) -> f64 {
        (self.pitch / 4.0).min(self.mean / 6.0)
    }

    /// Half the outer diameter.
    pub fn outer(&self) -> f64 {
        self.mean / 2.0 + self.half_depth()
    }

    /// Draws the thread along the axis between two points: both outlines, and the threads that are seen on the near side.
    pub fn draw(&self, board: &mut DrawingBoard, from: Point, to: Point) {
        let length = libm::hypot(to.x - from.x, to.y - from.y);
        if length < 1.0 {
            return;
        }
        let (ax, ay) = ((to.x - from.x) / length, (to.y - from.y) / length);
        let at = |along: f64, aside: f64| point(from.x + ax * along - ay * aside, from.y + ay * along + ax * aside);
        let deep = self.half_depth();
        let (root, crest) = (self.mean / 2.0 - deep, self.mean / 2.0 + deep);
        let slant = (2.0 * deep * libm::tan(self.flank)).min(self.pitch / 2.0);
        let flat = self.pitch / 2.0 - slant;
        // On the near side a right-hand thread climbs half a lead from left to right, looking along the axis.
        let climb = if self.left { -self.lead / 2.0 } else { self.lead / 2.0 };
        let first = |phase: f64| phase - libm::floor(phase / self.pitch) * self.pitch;
        for (side, phase) in [(-1.0, first(0.0)), (1.0, first(climb))] {
            let mut outline = vec![at(0.0, side * root)];
            let mut start = phase;
            while start + 2.0 * slant + flat <= length {
                for (along, off) in [(0.0, root), (slant, crest), (slant + flat, crest), (2.0 * slant + flat, root)] {
                    outline.push(at(start + along, side * off));
                }
                start += self.pitch;
            }
            outline.push(at(length, side * root));
            board.line(&outline, Weight::Medium, Ink::Body, false);
        }
        let edges: &[f64] = if self.pitch >= 10.0 { &[0.0, 1.0] } else { &[0.5] };
        let mut start = 0.0;
        while start <= length {
            for edge in edges {
                let left = start + slant + edge * flat;
                if left <= length && (0.0..=length).contains(&(left + climb)) {
                    board.line(&[at(left, -crest), at(left + climb, crest)], Weight::Light, Ink::Body, false);
                }
            }
            start += self.pitch;
        }
    }
}

/// A nut cut open about an upright screw of half width `half`: two hatched blocks on fixed seats below them.
pub fn nut(board: &mut DrawingBoard, centre: f64, half: f64, top: f64) {
    let (wide, high) = (52.0, 50.0);
    for side in [-1.0, 1.0] {
        let (left, right) = if side < 0.0 { (centre - half - wide, centre - half) } else { (centre + half, centre + half + wide) };
        let block = [point(left, top), point(right, top), point(right, top + high), point(left, top + high)];
        board.line(&block, Weight::Heavy, Ink::Body, true);
        let mut start = 8.0;
        while start < wide + high {
            let (down, over) = ((start - wide).max(0.0), (start - high).max(0.0));
            let (from, to) = (point(left + start - down, top + down), point(left + over, top + start - over));
            board.line(&[from, to], Weight::Light, Ink::Construction, false);
            start += 12.0;
        }
        board.add(Shape::Ground { from: point(left - 4.0, top + high), to: point(right + 4.0, top + high) });
    }
}

/// A curved arrow round `centre`, against the clock or with it, over five sixths of a right angle on either side of `middle`
/// (radians, against the clock from the right).
pub fn turning(board: &mut DrawingBoard, centre: Point, radius: f64, middle: f64, against_clock: bool, ink: Ink) {
    let reach = 1.3;
    let degrees = |angle: f64| -angle * 180.0 / core::f64::consts::PI;
    let (from, to) = (degrees(middle + reach), degrees(middle - reach));
    board.add(Shape::Arc { centre, radius, from, to, weight: Weight::Heavy, ink });
    let end = if against_clock { middle + reach } else { middle - reach };
    let sense = if against_clock { 1.0 } else { -1.0 };
    let (ux, uy) = (libm::cos(end), -libm::sin(end));
    let tip = point(centre.x + radius * ux, centre.y + radius * uy);
    // The way of turning at the tip, y being down, leaned in a little so that the head lies on the arc.
    let lean = end - sense * 7.0 / radius.max(7.0);
    let (wx, wy) = (-sense * libm::sin(lean), -sense * libm::cos(lean));
    let back = |aside: f64| point(tip.x - 14.0 * wx - aside * wy, tip.y - 14.0 * wy + aside * wx);
    board.add(Shape::Path {
        points: vec![tip, back(4.0), back(-4.0)],
        closed: true,
        filled: true,
        weight: Weight::Light,
        ink,
        dashed: false,
    });
    board.keep_off(centre.x - radius - 4.0, centre.y - radius - 4.0, 2.0 * radius + 8.0, 2.0 * radius + 8.0);
}

/// Seen along the axis: what turns, with the effort square to an arm in true proportion, or as a torque.
pub struct Turned<'t> {
    /// Where the axis stands.
    pub centre: Point,
    /// Radius of what is turned, in metres.
    pub body: Option<f64>,
    /// Names of the arm's field and of its words.
    pub arm: (&'t str, &'t str),
    /// What it says above.
    pub title: &'t str,
    /// The way the effort turns it, against the clock or with it.
    pub against_clock: bool,
}

impl Turned<'_> {
    /// Draws it on the board.
    pub fn draw(&self, board: &mut DrawingBoard, figures: &dyn Figures) {
        let (cx, cy) = (self.centre.x, self.centre.y);
        let effort = figures.value("effort");
        let reach = 120.0;
        let arm = figures.value(self.arm.0).filter(|v| v.is_finite() && *v > 0.0 && figures.choice("effort_at") == Some(self.arm.1));
        let radius = match (arm, self.body.filter(|v| v.is_finite() && *v > 0.0)) {
            (Some(arm), Some(body)) => (body / arm * reach).clamp(4.0, 50.0),
            _ => 24.0,
        };
        board.circle(self.centre, radius, Weight::Heavy, Ink::Body, false);
        board.centre_line(point(cx - radius - 8.0, cy), point(cx + radius + 8.0, cy));
        board.centre_line(point(cx, cy - radius - 8.0), point(cx, cy + radius + 8.0));
        board.keep_off(cx - radius - 8.0, cy - radius - 8.0, 2.0 * radius + 16.0, 2.0 * radius + 16.0);
        board.named(point(cx, cy - radius - 70.0), self.title, "", Ink::Construction);
        let turns_so = self.against_clock == effort.is_none_or(|v| v >= 0.0);
        if arm.is_some() {
            let end = point(cx + reach, cy);
            for off in [-3.0, 3.0] {
                board.line(&[point(cx + radius, cy + off), point(end.x + 6.0, cy + off)], Weight::Medium, Ink::Body, false);
            }
            board.keep_off(cx + radius, cy - 5.0, reach, 10.0);
            let way = if self.against_clock { -1.0 } else { 1.0 };
            board.force(point(end.x, cy + 3.0 * way), (0.0, way), true, effort, (say!("effort"), &figures.printed("effort")), Ink::Force);
            board.dimension(self.centre, end, if self.against_clock { 66.0 } else { -66.0 }, &figures.printed(self.arm.0));
        } else {
            turning(board, self.centre, radius + 16.0, 0.4, turns_so, Ink::Force);
            board.named(point(cx + radius + 70.0, cy), say!("effort"), &figures.printed("effort"), Ink::Force);
        }
    }
}
