//! Over some hundreds of machines, in each language, no label covers another or lies across a line, no leader crosses another or runs through
//! words, and everything lies on the sheet.
use crate::kinds::lettering::{cross, extent, meets};
use crate::kinds::sketching::{Anchor, Drawing, Figures, Point, Shape, Weight};
use crate::kinds::{document, sketch, sketch_of_any, words};
use crate::words::{Language, Voice, speaking};
use std::collections::BTreeMap;

/// Numbers made up for one machine.
pub struct Made {
    pub values: BTreeMap<&'static str, f64>,
    pub choices: BTreeMap<&'static str, &'static str>,
}

impl Figures for Made {
    fn value(&self, name: &str) -> Option<f64> {
        self.values.get(name).copied()
    }
    fn item(&self, _: &str, _: usize) -> Option<f64> {
        None
    }
    fn count(&self, _: &str) -> usize {
        0
    }
    fn choice(&self, name: &str) -> Option<&str> {
        self.choices.get(name).copied()
    }
    fn printed(&self, name: &str) -> String {
        self.value(name).map(|v| format!("{v:.3} unit")).unwrap_or_default()
    }
    fn printed_item(&self, _: &str, _: usize) -> String {
        String::new()
    }
}

/// Left, top, right and bottom of every label.
fn boxes(drawing: &Drawing) -> Vec<([f64; 4], String)> {
    let mut found = Vec::new();
    for shape in &drawing.shapes {
        if let Shape::Label { at, text, anchor, symbol, .. } = shape {
            let wide = extent(text, *symbol);
            let left = match anchor {
                Anchor::Start => at.x,
                Anchor::Middle => at.x - wide / 2.0,
                Anchor::End => at.x - wide,
            };
            found.push(([left, at.y - 11.5, left + wide, at.y + 4.0], text.clone()));
        }
    }
    found
}

/// Bodies, ropes and forces, line by line. A light line may pass below a label where there is no other room for it.
fn strokes(drawing: &Drawing) -> Vec<(Point, Point)> {
    let mut found = Vec::new();
    for shape in &drawing.shapes {
        match shape {
            Shape::Path { points, closed, weight, .. } if !matches!(weight, Weight::Light) => {
                let back = if *closed { points.last().zip(points.first()) } else { None };
                found.extend(points.iter().zip(points.iter().skip(1)).chain(back).map(|(from, to)| (*from, *to)));
            }
            Shape::Arrow { from, to, .. } | Shape::Ground { from, to } => found.push((*from, *to)),
            _ => {}
        }
    }
    found
}

/// Leaders with the rows of words that each leads to: those that follow it, one under the other.
fn leaders(drawing: &Drawing) -> Vec<(Point, Point, Vec<String>)> {
    let mut found = Vec::new();
    for (at, shape) in drawing.shapes.iter().enumerate() {
        if let Shape::Leader { from, to } = shape {
            let rows = drawing.shapes[at + 1..].iter().map_while(|shape| match shape {
                Shape::Label { at, text, .. } => Some((at.x, text.clone())),
                _ => None,
            });
            let rows: Vec<(f64, String)> = rows.collect();
            let middle = rows.first().expect("a leader leads to words").0;
            let own = rows.into_iter().take_while(|(x, _)| *x == middle).map(|(_, text)| text).collect();
            found.push((*from, *to, own));
        }
    }
    found
}

fn sound(drawing: &Drawing, which: &str) {
    let all = boxes(drawing);
    for (i, (a, text)) in all.iter().enumerate() {
        let inside = a[0] >= 0.0 && a[1] >= 0.0 && a[2] <= drawing.width && a[3] <= drawing.height;
        assert!(inside, "{which}: {text} lies off the sheet: {a:?}, height {}", drawing.height);
        for (b, other) in &all[i + 1..] {
            let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
            assert!(apart, "{which}: {text} covers {other}");
        }
        for (from, to) in strokes(drawing) {
            assert!(!meets(from, to, *a), "{which}: {text} lies across a line from {from:?} to {to:?}");
        }
        for (from, to, own) in leaders(drawing).iter().filter(|(_, _, own)| !own.contains(text)) {
            assert!(!meets(*from, *to, *a), "{which}: {text} lies across the leader of {own:?} from {from:?} to {to:?}");
        }
    }
    let led = leaders(drawing);
    for (i, (from, to, _)) in led.iter().enumerate() {
        for (other, end, _) in &led[i + 1..] {
            assert!(!cross(*from, *to, *other, *end), "{which}: a leader from {from:?} crosses one from {other:?}");
        }
    }
    for shape in &drawing.shapes {
        let points = match shape {
            Shape::Path { points, .. } => points.clone(),
            Shape::Arrow { from, to, .. } | Shape::Ground { from, to } => vec![*from, *to],
            _ => Vec::new(),
        };
        for p in points {
            let inside = p.x >= 0.0 && p.x <= drawing.width && p.y >= 0.0 && p.y <= drawing.height;
            assert!(inside, "{which}: {shape:?} lies off the sheet");
        }
    }
}

/// The sketch of `word` is sound in each language that a page can have.
pub(super) fn sound_in_both(word: &str, made: &dyn Figures, which: &str) {
    for language in [Language::English, Language::German] {
        let drawing = speaking(Voice { language, ..Voice::default() }, || sketch(word, made).expect("it has a sketch"));
        sound(&drawing, &format!("{which}, {language:?}"));
    }
}

#[test]
fn labels_keep_apart_and_everything_stays_on_the_sheet() {
    for (n, ratio) in [0.025, 0.1, 0.5, 1.0, 2.0, 10.0, 40.0].into_iter().enumerate() {
        for class in ["first", "second", "third"] {
            for angle in [0.5, 1.0, 1.6, 2.4] {
                let load = 1000.0 * ratio;
                let values = [("effort_arm", ratio), ("load_arm", 1.0), ("effort_angle", angle), ("load_angle", angle)];
                let forces = [("effort", 1000.0), ("load", load), ("pivot_load", 900.0), ("pivot_down", 900.0)];
                let values = values.into_iter().chain(forces).collect();
                let made = Made { values, choices: BTreeMap::from([("class", class)]) };
                sound_in_both("lever", &made, &format!("lever {n} {class} {angle}"));
            }
        }
    }
    for parts in 1..=40 {
        for rove in ["to advantage", "to disadvantage"] {
            for load in [10.0, 1e3, 1e6] {
                // Led on with one of the loads.
                let ways = if load == 1e3 { 8 } else { 1 };
                let leads = [(0.0, 1.6), (1.0, 0.0), (1.0, 1.6), (1.0, 3.1), (2.0, 0.6), (2.0, 1.6), (3.0, 2.4), (6.0, 1.6)];
                for (leads, angle) in leads.into_iter().take(ways) {
                    let values = [("parts", f64::from(parts)), ("effort", 500.0), ("load", load), ("standing_block", load * 1.3)];
                    let more = [("lead_blocks", leads), ("lead_angle", angle), ("hauling_part", 400.0), ("standing_part", 90.0)];
                    let values = values.into_iter().chain(more).collect();
                    let dead_end = if leads > 1.0 { "made fast apart" } else { "on a block" };
                    let made = Made { values, choices: BTreeMap::from([("rove", rove), ("dead_end", dead_end)]) };
                    let which = format!("tackle {parts} {rove} {load} {leads} {angle}");
                    sound_in_both("tackle", &made, &which);
                }
            }
        }
    }
    for degrees in 1..=80 {
        for effort in [-400.0, 20.0, 5000.0] {
            let theta = f64::from(degrees).to_radians();
            for beta in [0.0, -theta, 0.5] {
                let forces = [("effort", effort), ("load", 1000.0), ("normal_force", 800.0), ("surface_friction", 200.0)];
                let shape = [("theta", theta), ("beta", beta), ("load_travel", 1.0)];
                let made = Made { values: forces.into_iter().chain(shape).collect(), choices: BTreeMap::new() };
                sound_in_both("ramp", &made, &format!("ramp {degrees} {effort} {beta}"));
            }
        }
    }
}

/// A machine of `kind` with these numbers and choices has a sound sketch.
fn tried(kind: &str, values: &[(&'static str, f64)], choices: &[(&'static str, &'static str)]) {
    let made = Made { values: values.iter().copied().collect(), choices: choices.iter().copied().collect() };
    sound_in_both(kind, &made, &format!("{kind} {values:?} {choices:?}"));
}

#[test]
fn ropes_on_posts_and_lead_blocks_have_sound_sketches() {
    for tenths in 1..90 {
        let wrap = f64::from(tenths) * 0.45;
        for effort in [0.5, 80.0, 1000.0, 90000.0] {
            for body in ["post", "driven drum"] {
                let (along, across) = (1000.0 - effort * wrap.cos(), effort * wrap.sin());
                let pulls = [("post_along", along), ("post_across", across), ("post_pull", along.hypot(across))];
                let values = [("wrap", wrap), ("effort", effort), ("load", 1000.0), ("drum_torque", 12.5)];
                tried("capstan", &[&values[..], &pulls[..]].concat(), &[("body", body)]);
            }
        }
    }
    for degrees in 0..180 {
        for effort in [400.0, 1000.0, 1300.0] {
            let gamma = f64::from(degrees).to_radians();
            tried("lead_block", &[("gamma", gamma), ("effort", effort), ("load", 1000.0), ("block_load", 1000.0 + effort)], &[]);
        }
    }
}

#[test]
fn pulleys_and_parbuckles_have_sound_sketches() {
    for pulleys in 1..=16 {
        for system in ["first", "second", "third"] {
            for hauled in ["upward", "downward"] {
                for effort in [0.0, 30.0, 1100.0] {
                    let values = [("pulleys", f64::from(pulleys)), ("effort", effort), ("load", 1000.0), ("beam", 1100.0)];
                    tried("pulleys", &values, &[("system", system), ("hauled", hauled)]);
                }
            }
        }
    }
    for degrees in 1..=90 {
        for effort in [-20.0, 300.0, 900.0] {
            let theta = f64::from(degrees).to_radians();
            let forces = [("effort", effort), ("standing_ends", 280.0), ("load", 1000.0), ("normal_force", 1000.0 * theta.cos())];
            tried("parbuckle", &[&forces[..], &[("theta", theta), ("lines", 2.0), ("load_travel", 1.0)]].concat(), &[]);
        }
    }
}

#[test]
fn slings_and_belts_have_sound_sketches() {
    for degrees in 5..=90 {
        for (legs, carrying) in [(1.0, 1.0), (2.0, 2.0), (4.0, 2.0), (4.0, 3.0)] {
            let lean = f64::from(degrees).to_radians();
            let forces = [("load", 1100.0), ("weight", 1000.0), ("inward", 500.0), ("tension", 600.0)];
            let shape = [("lean", lean), ("flattest", lean), ("legs", legs), ("carrying", carrying)];
            tried("sling", &[&forces[..], &shape[..]].concat(), &[]);
        }
    }
    for first in [0.0, 0.2, 1.0, 9.0] {
        for second in [0.1, 1.0, 20.0] {
            for (high, other) in [(1.0, 1.0), (0.3, 4.0), (9.0, 2.0)] {
                let shape = [("first_pick", first), ("second_pick", second), ("first_height", high), ("other_height", other)];
                tried("sling", &[&shape[..], &[("load", 1000.0), ("weight", 1000.0), ("inward", 200.0)]].concat(), &[]);
            }
        }
    }
    for driver in [0.02, 0.1, 0.3, 2.0] {
        for driven in [0.02, 0.3, 1.0] {
            for apart in [1.05, 2.0, 8.0, 60.0] {
                for running in ["open", "crossed"] {
                    let centres = (driver + driven) * apart;
                    let apart: f64 = if running == "open" { driver - driven } else { driver + driven };
                    let lean = (apart / centres).asin();
                    let shape = [("driver_radius", driver), ("driven_radius", driven), ("centres", centres), ("side_lean", lean)];
                    let forces = [
                        ("tight_side", 500.0),
                        ("slack_side", 100.0),
                        ("shaft_pull", 590.0),
                        ("shaft_along", 580.0),
                        ("shaft_across", 90.0),
                    ];
                    let torques = [("effort", 40.0), ("load", 80.0), ("contact", 3.0)];
                    tried("belt", &[&shape[..], &forces[..], &torques[..]].concat(), &[("running", running)]);
                }
            }
        }
    }
}

/// Measured on the drawing: pulleys and their distance in the stated proportion, or breaks in both sides, or a word that a pulley
/// is not to scale.
#[test]
fn belts_out_of_proportion_say_so() {
    let (mut whole, mut cut) = (0, 0);
    for (driver, driven) in [(0.1, 0.1), (0.02, 0.3), (1.0, 0.3), (0.01, 1.2)] {
        for apart in [1.05, 2.0, 8.0, 60.0] {
            for (running, sign) in [("open", -1.0), ("crossed", 1.0)] {
                let (centres, across): (f64, f64) = ((driver + driven) * apart, driver + sign * driven);
                let lean = (across / centres).asin();
                let values = [("driver_radius", driver), ("driven_radius", driven), ("centres", centres), ("side_lean", lean)];
                let made = Made { values: values.into_iter().collect(), choices: BTreeMap::from([("running", running)]) };
                let drawing = sketch("belt", &made).expect("it has a sketch");
                let pulleys: Vec<(Point, f64)> = drawing
                    .shapes
                    .iter()
                    .filter_map(|shape| match shape {
                        // The belt lies two units further out.
                        Shape::Circle { centre, radius, weight: Weight::Heavy, .. } => Some((*centre, radius + 2.0)),
                        _ => None,
                    })
                    .collect();
                let [(left, first), (right, second)] = pulleys[..] else { panic!("{} pulleys", pulleys.len()) };
                let like = |drawn: f64, stated: f64| (drawn / stated - 1.0).abs() < 0.01;
                let breaks = drawing.shapes.iter().filter(|shape| matches!(shape, Shape::Path { points, weight: Weight::Light, closed: false, dashed: false, .. } if points.len() == 6)).count();
                let larger = driver.max(driven);
                let scale = first.max(second) / larger;
                let which = format!("{driver} {driven} {apart} {running}");
                let in_scale = like(first / second, driver / driven);
                // Beside a pulley that is too large the distance gives way a little.
                let true_apart = !in_scale && breaks == 0 || like((right.x - left.x) / scale, centres);
                assert_eq!(breaks, if true_apart { 0 } else { 4 }, "{which}: breaks");
                assert_eq!(in_scale, !boxes(&drawing).iter().any(|(_, text)| text == "not to scale"), "{which}: pulleys");
                if breaks == 0 { whole += 1 } else { cut += 1 }
            }
        }
    }
    assert!(whole > 4 && cut > 4, "{whole} whole and {cut} cut");
}

#[test]
fn stated_loads_keep_their_labels_apart() {
    let drags = ["rolling_resistance", "mire_resistance", "water_resistance", "grade_resistance", "surface_friction"];
    for degrees in [-85, -60, -30, -9, -1, 0, 1, 5, 20, 45, 70, 89] {
        for size in [0.0, 3.0, 900.0, 40_000.0] {
            for (word, mire, sense) in
                [("resistance", "none", 1.0), ("resistance", "cab depth", -1.0), ("dragged", "none", 1.0), ("dragged", "none", -1.0)]
            {
                let theta = f64::from(degrees).to_radians();
                let mut values =
                    BTreeMap::from([("theta", theta), ("weight", 1000.0), ("normal_force", 900.0), ("load", size), ("sense", sense)]);
                values.extend([("line_angle", 0.3), ("grade_resistance", 1000.0 * theta.sin())]);
                values.extend(drags.iter().filter(|name| **name != "grade_resistance").map(|name| (*name, size)));
                let made = Made { values, choices: BTreeMap::from([("mire", mire)]) };
                sound_in_both(word, &made, &format!("{word} {degrees} {size} {mire} {sense}"));
            }
        }
    }
    for pieces in 0..=9 {
        for load in [10.0, 1e3, 1e6] {
            let values = [("pieces", f64::from(pieces)), ("load", load), ("payload_weight", load / 2.0), ("rigging_weight", load / 3.0)];
            let made = Made { values: values.into_iter().chain([("static_load", load)]).collect(), choices: BTreeMap::new() };
            sound_in_both("lifted", &made, &format!("lifted {pieces} {load}"));
        }
    }
}

#[test]
fn missing_numbers_still_give_a_drawing() {
    let nothing = Made { values: BTreeMap::new(), choices: BTreeMap::new() };
    for word in words() {
        assert!(document(word).is_some_and(|text| text.contains(&format!("kind {word} "))));
        sound_in_both(word, &nothing, word);
    }
    assert!(sketch("unheard_of", &nothing).is_none());
    for language in [Language::English, Language::German] {
        sound(&speaking(Voice { language, ..Voice::default() }, || sketch_of_any("unheard_of", &nothing)), "any");
    }
}
