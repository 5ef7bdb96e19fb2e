//! The sketches of screws, wedges, presses and toggles over some hundreds of machines, the odd ones with them.
use crate::kinds::sketch_tests::{Made, sound_in_both};

/// Made numbers with the forces of a machine of this load and effort, under every name that a sketch asks for.
fn made(values: &[(&'static str, f64)], choices: &[(&'static str, &'static str)]) -> Made {
    Made { values: values.iter().copied().collect(), choices: choices.iter().copied().collect() }
}

#[test]
fn screws_keep_their_labels_apart() {
    for pitch in [0.0005, 0.002, 0.006, 0.012, 0.03] {
        for starts in [1.0, 3.0] {
            for (effort_at, arm) in [("handle", 0.02), ("handle", 2.0), ("shaft", 1.0)] {
                for effort in [-900.0, 40.0, 90_000.0] {
                    for collar in ["none", "uniform wear", "solid pivot by wear"] {
                        let values = [
                            ("mean", 0.04),
                            ("spacing", pitch),
                            ("advance", starts * pitch),
                            ("flank", 0.26),
                            ("handle_radius", arm),
                            ("collar_outer_diameter", 0.005 * starts + 0.04 * arm),
                            ("collar_inner_diameter", 0.004),
                            ("load", 2000.0),
                            ("thrust", 2000.0),
                            ("thread_torque", 20.0),
                            ("collar_torque", 7.0),
                            ("effort", effort),
                        ];
                        let of = made(&values, &[("effort_at", effort_at), ("collar", collar), ("thread", "trapezoidal")]);
                        sound_in_both("screw", &of, &format!("screw {pitch} {starts} {effort_at} {arm} {effort} {collar}"));
                    }
                }
            }
            for far_end in ["left-hand thread", "swivel"] {
                for (effort_at, arm) in [("bar", 0.03), ("bar", 0.8), ("body", 1.0)] {
                    let values = [
                        ("mean", 0.02),
                        ("spacing", pitch / 3.0),
                        ("advance", starts * pitch / 3.0),
                        ("flank", 0.52),
                        ("bar_radius", arm),
                        ("load", 9000.0),
                        ("body_pull", 9000.0),
                        ("thread_torque", 20.0),
                        ("swivel_torque", 20.0),
                        ("drawn_in", 0.004),
                        ("effort", 300.0 / arm),
                    ];
                    let of = made(&values, &[("effort_at", effort_at), ("far_end", far_end)]);
                    sound_in_both("turnbuckle", &of, &format!("turnbuckle {pitch} {starts} {effort_at} {arm} {far_end}"));
                }
            }
        }
        for inner in [0.1, 0.5, 0.95] {
            for effort in [-900.0, 40.0, 90_000.0] {
                let values = [
                    ("outer_mean_diameter", 0.05),
                    ("outer_pitch", pitch),
                    ("outer_advance", pitch),
                    ("inner_mean_diameter", 0.05 * inner),
                    ("inner_pitch", 0.9 * pitch),
                    ("inner_advance", 0.9 * pitch),
                    ("gain", 0.1 * pitch),
                    ("handle_radius", 0.4),
                    ("load", 2000.0),
                    ("thrust", 2000.0),
                    ("outer_torque", 20.0),
                    ("inner_torque", 7.0),
                    ("effort", effort),
                ];
                let of = made(&values, &[("effort_at", "handle")]);
                sound_in_both("differential_screw", &of, &format!("differential screw {pitch} {inner} {effort}"));
            }
        }
    }
}

#[test]
fn wedges_presses_and_toggles_keep_their_labels_apart() {
    for degrees in [0.2, 1.0, 4.0, 10.0, 25.0, 45.0, 70.0, 88.0] {
        let alpha = f64::to_radians(degrees);
        for work in ["lifting against a guide", "lifting in smooth guides", "splitting"] {
            for (effort, guide) in [(-500.0, -300.0), (30.0, 0.0), (800.0, 400.0), (60_000.0, 9000.0)] {
                let values = [
                    ("alpha", alpha),
                    ("whole", alpha),
                    ("press_lean", alpha + guide / 1e4),
                    ("load", 1000.0),
                    ("effort", effort),
                    ("face_force", 1100.0),
                    ("floor_force", 1000.0),
                    ("guide_force", guide),
                    ("load_travel", 1.0),
                    ("wedge_way", 7.0),
                ];
                sound_in_both("wedge", &made(&values, &[("work", work)]), &format!("wedge {degrees} {work} {effort}"));
            }
        }
        for (effort, last) in [(-200.0, 0.0), (20.0, alpha / 2.0), (5000.0, alpha * 0.9)] {
            let values = [
                ("theta", alpha),
                ("final_angle", last),
                ("link_length", 0.2),
                ("load", 1000.0),
                ("effort", effort),
                ("link_along", 1000.0),
                ("slide_side", effort / 2.0),
            ];
            sound_in_both("toggle", &made(&values, &[]), &format!("toggle {degrees} {effort}"));
        }
    }
    for ratio in [0.005, 0.05, 0.2, 0.7, 1.0, 3.0, 100.0] {
        for drive in ["piston", "hand lever"] {
            for works_on in ["full bore", "rod side"] {
                for arm in [0.04, 0.1, 0.9] {
                    for effort in [-40.0, 10.0, 30_000.0] {
                        let values = [
                            ("pump_bore", 0.05 * ratio),
                            ("ram_bore", 0.05),
                            ("rod_diameter", 0.049 * arm),
                            ("lever_arm", 1.0),
                            ("rod_arm", arm),
                            ("head", arm - 0.1),
                            ("load", 20_000.0),
                            ("effort", effort),
                            ("pump_rod", effort / arm),
                            ("lever_pin", effort / arm - effort),
                            ("pressure", 1e6),
                        ];
                        let choices = [("drive", drive), ("works_on", works_on), ("check_valve", "fitted")];
                        let words = format!("press {ratio} {drive} {works_on} {arm} {effort}");
                        sound_in_both("press", &made(&values, &choices), &words);
                    }
                }
            }
        }
    }
}
