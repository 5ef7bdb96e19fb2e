//! Trains of gears as free bodies: each wheel with the force of its neighbour at the point of contact.

use super::{Chance, Machines, WAYS, agree, vanishes};

struct Stated {
    name: String,
    sense: f64,
    drivers: Vec<f64>,
    followers: Vec<f64>,
    kept: Vec<f64>,
    across: Vec<f64>,
    lines: Vec<f64>,
    pressure: f64,
    load: f64,
}

fn list(values: &[f64], unit: &str) -> String {
    format!("[{}]", values.iter().map(|value| format!("{value:?} {unit}").trim().to_string()).collect::<Vec<_>>().join(", "))
}

fn stated(chance: &mut Chance, machines: &mut Machines) -> Stated {
    let (way, sense) = chance.one(&WAYS);
    let meshes = chance.one(&[1, 2, 3, 4]);
    let mut several = |low: f64, high: f64| -> Vec<f64> { (0..meshes).map(|_| chance.between(low, high)).collect() };
    let whole = |values: Vec<f64>| -> Vec<f64> { values.into_iter().map(f64::floor).collect() };
    let (drivers, followers) = (whole(several(8.0, 60.0)), whole(several(8.0, 120.0)));
    let (kept, across, lines) = (several(0.85, 1.0), several(0.04, 0.3), several(-180.0, 180.0));
    let (pressure, load) = (chance.between(14.0, 26.0), chance.between(1.0, 9000.0));
    let settings = vec![
        way.to_string(),
        format!("meshes {meshes}"),
        format!("drivers {}", list(&drivers, "").replace(".0", "")),
        format!("followers {}", list(&followers, "").replace(".0", "")),
        format!("mesh efficiency {}", list(&kept, "")),
        format!("driver pitch diameter {}", list(&across, "m")),
        format!("line of centres {}", list(&lines, "deg")),
        format!("pressure angle {pressure:?} deg"),
        format!("load {load:?} N·m"),
    ];
    let name = machines.add("gears", &settings);
    let lines = lines.into_iter().map(f64::to_radians).collect();
    Stated { name, sense, drivers, followers, kept, across, lines, pressure: pressure.to_radians(), load }
}

#[test]
fn gears_are_in_balance() {
    let mut chance = Chance::new(74);
    for _ in 0..8 {
        let mut machines = Machines::default();
        let all: Vec<Stated> = (0..25).map(|_| stated(&mut chance, &mut machines)).collect();
        let sheet = machines.compiled();
        for Stated { name, sense, drivers, followers, kept, across, lines, pressure, load } in all {
            let meshes = drivers.len();
            let mut passed = [0.0, 0.0];
            for at in 0..meshes {
                let on_shaft = |which: usize| [sheet.item(&name, "shaft_level", which), sheet.item(&name, "shaft_up", which)];
                let shaft = on_shaft(at + 1);
                // What the shaft gets from its follower goes on to the next follower, less what its bearings take.
                let force = [passed[0] - shaft[0], passed[1] - shaft[1]];
                let (sine, cosine) = lines[at].sin_cos();
                let scale = force[0].hypot(force[1]) + passed[0].hypot(passed[1]);
                let (near, far) = (across[at] / 2.0, across[at] / 2.0 * followers[at] / drivers[at]);
                // Moments of that force about both centres, counter-clockwise: it turns the follower against the driver.
                let turns = if at % 2 == 0 { 1.0 } else { -1.0 };
                let about_driver = near * (cosine * -force[1] - sine * -force[0]);
                let about_follower = -far * (cosine * force[1] - sine * force[0]);
                let (before, after) = (sheet.item(&name, "shaft_torque", at + 1), sheet.item(&name, "shaft_torque", at + 2));
                // The loss comes off the torque where the work leaves the mesh.
                let (gives, takes) = if sense > 0.0 { (before, after / kept[at]) } else { (before / kept[at], after) };
                vanishes(about_driver + turns * gives, scale * near, &format!("{name}: moments about driver {at}"));
                vanishes(about_follower + turns * takes, scale * far, &format!("{name}: moments about follower {at}"));
                let apart = force[0] * cosine + force[1] * sine;
                let along = force[0].hypot(force[1]);
                vanishes(apart - along * pressure.sin(), scale, &format!("{name}: pressure angle at mesh {at}"));
                vanishes(sheet.item(&name, "separating_force", at + 1) - apart, scale, &format!("{name}: separating force {at}"));
                vanishes(sheet.item(&name, "shaft_load", at + 1) - shaft[0].hypot(shaft[1]), scale, &format!("{name}: shaft {at}"));
                passed = force;
            }
            let last = [sheet.item(&name, "shaft_level", meshes + 1), sheet.item(&name, "shaft_up", meshes + 1)];
            let size = passed[0].hypot(passed[1]);
            vanishes(last[0] - passed[0], size, &format!("{name}: last shaft, level"));
            vanishes(last[1] - passed[1], size, &format!("{name}: last shaft, upright"));
            agree(sheet.item(&name, "shaft_torque", meshes + 1), load, &format!("{name}: load"));
            agree(sheet.item(&name, "shaft_torque", 1), sheet.of(&name, "effort"), &format!("{name}: effort"));
            let ratio: f64 = drivers.iter().zip(&followers).map(|(few, many)| many / few).product();
            let part: f64 = kept.iter().product();
            let smooth = if sense > 0.0 { part } else { 1.0 / part };
            agree(sheet.of(&name, "effort") * ratio * smooth, load, &format!("{name}: without loss the ratio"));
            sheet.balances(&name);
        }
    }
}

#[test]
fn bevel_wheels_are_in_balance() {
    let mut chance = Chance::new(75);
    let mut machines = Machines::default();
    let mut stated = Vec::new();
    for _ in 0..25 {
        let (few, many) = (chance.between(8.0, 60.0).floor(), chance.between(8.0, 60.0).floor());
        let (across, load) = (chance.between(0.04, 0.3), chance.between(1.0, 900.0));
        let settings = [
            "teeth bevel".to_string(),
            format!("drivers {few}"),
            format!("followers {many}"),
            format!("driver pitch diameter {across:?} m"),
            format!("load {load:?} N·m"),
        ];
        stated.push((machines.add("gears", &settings), few, many, across, load));
    }
    let sheet = machines.compiled();
    for (name, few, many, across, load) in stated {
        let (rim, apart) = (sheet.item(&name, "tooth_force", 1), sheet.item(&name, "separating_force", 1));
        let (driver, follower) = (sheet.item(&name, "driver_thrust", 1), sheet.item(&name, "follower_thrust", 1));
        agree(rim * across / 2.0 * many / few, load, &format!("{name}: moments about the follower"));
        agree(apart, rim * 20.0_f64.to_radians().tan(), &format!("{name}: pressure angle"));
        // The separating force is square to the cone: its parts along both shafts are as the teeth, and sum to it squared.
        agree(driver / follower, few / many, &format!("{name}: cone"));
        agree(driver.hypot(follower), apart, &format!("{name}: parts of the separating force"));
        agree(sheet.item(&name, "driver_bearing", 1), rim.hypot(follower), &format!("{name}: driver's bearings"));
        agree(sheet.item(&name, "follower_bearing", 1), rim.hypot(driver), &format!("{name}: follower's bearings"));
        sheet.balances(&name);
    }
}
