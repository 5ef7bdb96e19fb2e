//! The sketches of windlasses, hoists and gears over some hundreds of machines, the odd ones with them.
use crate::kinds::sketch;
use crate::kinds::sketch_tests::sound_in_both;
use crate::kinds::sketching::{Figures, Point, Shape, Weight};
use std::collections::BTreeMap;

/// Numbers made up for one machine, lists with them.
#[derive(Default)]
struct Made {
    lists: BTreeMap<&'static str, Vec<f64>>,
    choices: BTreeMap<&'static str, &'static str>,
}

impl Made {
    fn of(values: &[(&'static str, f64)], choices: &[(&'static str, &'static str)]) -> Made {
        Made { lists: values.iter().map(|(name, value)| (*name, vec![*value])).collect(), choices: choices.iter().copied().collect() }
    }
    fn with(mut self, name: &'static str, items: Vec<f64>) -> Made {
        self.lists.insert(name, items);
        self
    }
}

impl Figures for Made {
    fn value(&self, name: &str) -> Option<f64> {
        self.lists.get(name).and_then(|items| items.first()).copied()
    }
    fn item(&self, name: &str, index: usize) -> Option<f64> {
        self.lists.get(name)?.get(index.checked_sub(1)?).copied()
    }
    fn count(&self, name: &str) -> usize {
        self.lists.get(name).map_or(0, Vec::len)
    }
    fn choice(&self, name: &str) -> Option<&str> {
        self.choices.get(name).copied()
    }
    fn printed(&self, name: &str) -> String {
        self.value(name).map(|v| format!("{v:.3} unit")).unwrap_or_default()
    }
    fn printed_item(&self, name: &str, index: usize) -> String {
        self.item(name, index).map(|v| format!("{v:.3} unit")).unwrap_or_default()
    }
}

/// Every wheel of a train of several is led to: a leader ends on the circle of its tips, the next heavy one at that radius.
fn every_wheel_is_led_to(made: &Made, wheels: usize, which: &str) {
    let drawing = sketch("gears", made).expect("it has a sketch");
    let circle = |shape: &Shape, heavy: bool| match shape {
        Shape::Circle { centre, radius, weight, .. } if matches!(weight, Weight::Heavy) == heavy => Some((*centre, *radius)),
        _ => None,
    };
    let mut rims: Vec<(Point, f64)> = drawing.shapes.iter().filter_map(|shape| circle(shape, true)).collect();
    assert_eq!(rims.len(), wheels, "{which}: wheels");
    let pairs = drawing.shapes.iter().zip(drawing.shapes.iter().skip(1));
    for (dot, leader) in pairs {
        if let (Some((at, _)), Shape::Leader { from, .. }) = (circle(dot, false), leader) {
            assert_eq!(at, *from, "{which}: a dot beside its leader");
            let on = rims.iter().position(|(centre, radius)| ((at.x - centre.x).hypot(at.y - centre.y) - radius).abs() < 1e-6);
            rims.remove(on.unwrap_or_else(|| panic!("{which}: the dot at {at:?} is on no wheel that is not named yet")));
        }
    }
    assert!(rims.is_empty(), "{which}: nothing leads to {rims:?}");
}

fn drawn(word: &str, made: &Made, which: &str) {
    let drawing = sketch(word, made).expect("it has a sketch");
    sound_in_both(word, made, &format!("{word} {which}"));
    assert!(drawing.description.contains("unit"), "{word} {which} says no number: {}", drawing.description);
}

#[test]
fn windlasses_of_all_sizes() {
    for reach in [0.02, 0.3, 1.0, 4.0, 60.0] {
        for (pull, along, across) in [
            ("worst position", 1.0, 0.0),
            ("worst position", -1.0, 0.0),
            ("balanced", 0.0, 0.0),
            ("at an angle", 0.5, 0.866),
            ("at an angle", -0.9, 0.436),
        ] {
            for turned_by in ["crank", "bars", "hand wheel", "rope wheel"] {
                for (effort_at, load_at) in [("the handle", "the drum"), ("the shaft", "the drum"), ("the handle", "the shaft")] {
                    for effort in [-300.0, 1.0, 90_000.0] {
                        let values = [
                            ("R", reach),
                            ("r", 1.0),
                            ("effort", effort),
                            ("load", 4000.0),
                            ("bearing_load", 4000.0),
                            ("bearing_along", 3900.0),
                            ("along", along),
                            ("across", across),
                        ];
                        let choices = [("pull", pull), ("turned_by", turned_by), ("effort_at", effort_at), ("load_at", load_at)];
                        drawn(
                            "windlass",
                            &Made::of(&values, &choices),
                            &format!("{reach} {pull} {turned_by} {effort_at} {load_at} {effort}"),
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn wheels_with_a_bight() {
    for small in [0.02, 0.3, 0.9, 0.99] {
        for reach in [0.1, 1.0, 8.0] {
            for along in [-1.0, 0.0, 1.0] {
                for effort_at in ["the handle", "the shaft"] {
                    let values = [
                        ("r1", 1.0),
                        ("r2", small),
                        ("R", reach),
                        ("effort", 90.0 * along),
                        ("load", 4000.0),
                        ("winding_part", 2100.0),
                        ("paying_part", 1900.0),
                        ("along", along),
                    ];
                    drawn(
                        "differential_windlass",
                        &Made::of(&values, &[("effort_at", effort_at)]),
                        &format!("{small} {reach} {along} {effort_at}"),
                    );
                }
            }
        }
        for effort in [-200.0, 5.0, 90_000.0] {
            let values = [
                ("q", small),
                ("effort", effort),
                ("load", 4000.0),
                ("support", 4500.0),
                ("large_part", 2100.0),
                ("small_part", 1900.0),
                ("large_teeth", 20.0),
                ("small_teeth", 19.0),
            ];
            drawn("hoist", &Made::of(&values, &[]), &format!("{small} {effort}"));
        }
    }
}

#[test]
fn trains_of_gears_in_any_lie() {
    for (drivers, followers) in [
        (vec![12.0], vec![12.0]),
        (vec![8.0], vec![400.0]),
        (vec![120.0, 132.0, 48.0], vec![11.0, 10.0, 8.0]),
        (vec![20.0; 6], vec![55.0; 6]),
        (vec![17.0, 40.0], vec![40.0, 17.0]),
    ] {
        for line in [0.0, 0.5, 1.6, -2.5, 3.1] {
            for size in [None, Some(1.0), Some(-1.0)] {
                let meshes = drivers.len();
                let step: Vec<f64> = drivers.iter().zip(&followers).map(|(few, many)| many / few).collect();
                let mut made = Made::of(&[("effort", 20.0), ("load", 500.0)], &[]);
                made = made.with("drivers", drivers.clone()).with("followers", followers.clone()).with("step", step);
                made = made.with("line_of_centres", (0..meshes).map(|at| line * at as f64).collect());
                if let Some(sign) = size {
                    made = made.with(
                        "driver_pitch_diameter",
                        drivers.iter().enumerate().map(|(at, few)| few * 0.002 * (1.0 + at as f64)).collect(),
                    );
                    made = made.with("shaft_load", (0..=meshes).map(|at| 1000.0 * (1.0 + at as f64)).collect());
                    made = made.with("shaft_level", (0..=meshes).map(|at| sign * 600.0 * (1.0 + at as f64)).collect());
                    made = made.with("shaft_up", (0..=meshes).map(|at| sign * 800.0 * (1.0 + at as f64)).collect());
                }
                drawn("gears", &made, &format!("{meshes} {line} {size:?}"));
                if meshes > 1 {
                    every_wheel_is_led_to(&made, 2 * meshes.min(4), &format!("{meshes} {line} {size:?}"));
                }
            }
        }
    }
}

#[test]
fn racks_and_worms() {
    for teeth in [4.0, 17.0, 40.0, 300.0] {
        for load in [1.0, 2000.0, 1e6] {
            let values =
                [("teeth", teeth), ("load", load), ("separating_force", 700.0), ("effort", 90.0), ("d", 0.09), ("travel_of_turn", 0.28)];
            drawn("rack", &Made::of(&values, &[]), &format!("{teeth} {load}"));
            for lambda in [0.01, 0.2, 0.8, 1.5] {
                let shape = [("wheel_teeth", teeth), ("lambda", lambda), ("radius_ratio", 1.0 / (teeth * lambda)), ("starts", 2.0)];
                let forces = [
                    ("effort", -3.0),
                    ("load", load),
                    ("wheel_rim_force", load),
                    ("separating_force", 0.4 * load),
                    ("worm_rim_force", -40.0),
                ];
                let values: Vec<(&'static str, f64)> = shape.into_iter().chain(forces).collect();
                drawn("worm", &Made::of(&values, &[]), &format!("{teeth} {load} {lambda}"));
            }
        }
    }
}
