//! Hydraulic presses as free bodies: ram, pump's piston and hand lever, with one fluid between them.

use super::{Chance, Machines, WAYS, agree, vanishes};
use std::f64::consts::PI;

struct Stated {
    name: String,
    bores: [f64; 3],
    drags: [f64; 2],
    lever: Option<[f64; 2]>,
    valve: bool,
    head: f64,
    density: f64,
    ram_weight: f64,
    load: f64,
    sense: f64,
}

fn one(chance: &mut Chance, machines: &mut Machines) -> Stated {
    let pump = chance.between(0.005, 0.04);
    let ram = pump * chance.between(1.0, 12.0);
    let rod = chance.between(0.1, 0.8) * ram;
    let rod = chance.one(&[0.0, rod]);
    let load = chance.between(500.0, 200_000.0);
    let (pump_drag, ram_drag) = (chance.between(0.0, 30.0), chance.between(0.0, 0.3 * load));
    let arms = [chance.between(0.2, 1.0), chance.between(0.02, 0.1)];
    let lever = chance.one(&[None, Some(arms)]);
    let valve = chance.one(&[true, false]);
    let (head, density) = (chance.between(-0.5, 3.0), chance.between(800.0, 1000.0));
    let head = if load - ram_drag < 0.5 * 1e4 * PI * ram * ram { head.abs() } else { head };
    let ram_weight = chance.between(0.0, 400.0);
    let ram_weight = chance.one(&[0.0, ram_weight]);
    let (way, sense) = chance.one(&WAYS);
    let mut settings = vec![
        format!("pump bore {pump:?} m"),
        format!("ram bore {ram:?} m"),
        format!("pump seal friction {pump_drag:?} N"),
        format!("ram seal friction {ram_drag:?} N"),
        format!("head {head:?} m"),
        format!("fluid density {density:?} kg/m³"),
        format!("ram weight {ram_weight:?} N"),
        format!("check valve {}", if valve { "fitted" } else { "none" }),
        format!("load {load:?} N"),
        way.to_string(),
        "moving".to_string(),
    ];
    if rod > 0.0 {
        settings.extend(["works on rod side".to_string(), format!("rod diameter {rod:?} m")]);
    }
    if let Some([hand, rod]) = lever {
        settings.extend(["drive hand lever".to_string(), format!("lever arm {hand:?} m"), format!("rod arm {rod:?} m")]);
    }
    let name = machines.add("press", &settings);
    Stated { name, bores: [pump, ram, rod], drags: [pump_drag, ram_drag], lever, valve, head, density, ram_weight, load, sense }
}

#[test]
fn presses_are_in_balance_at_ram_pump_and_lever() {
    // Standard gravity, 3rd CGPM 1901.
    const GRAVITY: f64 = 9.80665;
    let mut chance = Chance::new(11);
    for _ in 0..12 {
        let mut machines = Machines::default();
        let stated: Vec<Stated> = (0..25).map(|_| one(&mut chance, &mut machines)).collect();
        let sheet = machines.compiled();
        for Stated { name, bores: [pump, ram, rod], drags: [pump_drag, ram_drag], lever, valve, head, density, ram_weight, load, sense } in
            stated
        {
            let pressure = sheet.of(&name, "pressure");
            let area = PI * (ram * ram - rod * rod) / 4.0;
            let scale = load + ram_weight;
            vanishes(pressure * area - load - ram_weight - sense * ram_drag, scale, &format!("{name}: ram"));
            let below = sheet.of(&name, "pump_pressure");
            vanishes(below - pressure - density * GRAVITY * head, below.abs() + pressure, &format!("{name}: column of fluid"));
            let push = sheet.of(&name, "pump_rod");
            let piston = PI * pump * pump / 4.0;
            if valve && sense < 0.0 {
                vanishes(push, 1.0, &format!("{name}: idle pump"));
            } else {
                vanishes(push - below * piston - sense * pump_drag, below * piston + pump_drag, &format!("{name}: pump's piston"));
            }
            let effort = sheet.of(&name, "effort");
            match lever {
                None => vanishes(effort - push, push, &format!("{name}: hand")),
                Some([hand, arm]) => {
                    vanishes(effort * hand - push * arm, push * arm, &format!("{name}: lever about its pivot"));
                    vanishes(sheet.of(&name, "lever_pin") + effort - push, push, &format!("{name}: lever, sum of forces"));
                }
            }
            // What leaves the pump arrives at the ram.
            let moved = sheet.of(&name, "pump_way") * piston;
            agree(moved, area * sheet.of(&name, "load_travel"), &format!("{name}: fluid"));
            sheet.balances(&name);
        }
    }
}

#[test]
fn without_friction_a_press_gives_its_velocity_ratio() {
    let mut chance = Chance::new(12);
    let mut machines = Machines::default();
    let mut names = Vec::new();
    for _ in 0..25 {
        let pump = chance.between(0.005, 0.04);
        let settings = [
            format!("pump bore {pump:?} m"),
            format!("ram bore {:?} m", pump * chance.between(1.0, 12.0)),
            "drive hand lever".to_string(),
            format!("lever arm {:?} m", chance.between(0.2, 1.0)),
            "rod arm 30 mm".to_string(),
            format!("load {:?} N", chance.between(10.0, 1e5)),
            chance.one(&WAYS).0.to_string(),
        ];
        names.push(machines.add("press", &settings));
    }
    let sheet = machines.compiled();
    for name in names {
        agree(sheet.of(&name, "load"), sheet.of(&name, "effort") * sheet.of(&name, "velocity_ratio"), &name);
    }
}
