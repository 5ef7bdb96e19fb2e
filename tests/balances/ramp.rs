//! Ramps as free bodies: the load along and square to the slope, whatever way the effort pulls.

use super::{Chance, Machines, WAYS, agree, vanishes};

#[test]
fn ramps_are_in_balance() {
    let mut chance = Chance::new(53);
    for _ in 0..10 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (way, sense) = chance.one(&WAYS);
            let slope = chance.between(2.0, 50.0);
            let friction = chance.between(0.0, 0.6);
            let pulled = chance.one(&["parallel", "horizontal", "at an angle"]);
            let angle = match pulled {
                "horizontal" => -slope,
                // Neither so steep that it lifts the load off nor so flat that it jams.
                "at an angle" => chance.between(-10.0, 25.0),
                _ => 0.0,
            };
            // Beyond this a level push jams against the slope.
            if pulled == "horizontal" && slope + friction.atan().to_degrees() > 80.0 {
                continue;
            }
            let load = chance.between(10.0, 90_000.0);
            let settings = [
                way.to_string(),
                format!("angle {slope:?} deg"),
                format!("friction {friction:?}"),
                format!("effort {pulled}"),
                format!("effort angle {:?} deg", if pulled == "at an angle" { angle } else { 0.0 }),
                format!("load {load:?} N"),
            ];
            stated.push((machines.add("ramp", &settings), sense, slope.to_radians(), friction, angle.to_radians(), load));
        }
        let sheet = machines.compiled();
        for (name, sense, slope, friction, angle, load) in stated {
            let (effort, normal, rub) = (sheet.of(&name, "effort"), sheet.of(&name, "normal_force"), sheet.of(&name, "surface_friction"));
            vanishes(effort * angle.cos() - load * slope.sin() - sense * rub, load, &format!("{name}: along the slope"));
            vanishes(normal + effort * angle.sin() - load * slope.cos(), load, &format!("{name}: square to the slope"));
            agree(rub, friction * normal, &format!("{name}: friction"));
            sheet.balances(&name);
        }
    }
}

#[test]
fn a_smooth_ramp_gives_its_velocity_ratio() {
    let mut machines = Machines::default();
    let mut stated = Vec::new();
    for slope in [3.0_f64, 17.0, 45.0, 71.0] {
        for pulled in ["parallel", "horizontal"] {
            let settings = [format!("angle {slope:?} deg"), "friction 0".into(), format!("effort {pulled}"), "load 1 kN".into()];
            stated.push(machines.add("ramp", &settings));
        }
    }
    let sheet = machines.compiled();
    for name in stated {
        agree(1000.0 / sheet.of(&name, "effort"), sheet.of(&name, "velocity_ratio"), &name);
    }
}
