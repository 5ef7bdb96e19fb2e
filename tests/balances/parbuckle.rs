//! Parbuckles as free bodies: the cylinder along and square to the slope, and its moments about its own axis.

use super::{Chance, Machines, WAYS, agree, vanishes};

#[test]
fn parbuckles_are_in_balance() {
    let mut chance = Chance::new(33);
    for _ in 0..8 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (way, sense) = chance.one(&WAYS);
            let (slope, across, load) = (chance.between(2.0, 88.0), chance.between(0.2, 3.0), chance.between(1.0, 90_000.0));
            // Less rolling resistance than the slope's share, so that the standing ends stay tight.
            let rolling = chance.between(0.0, 0.9) * across / 2.0 * slope.to_radians().tan().min(0.5);
            let (lines, travel) = (chance.one(&[1, 2, 3, 4]), chance.between(0.2, 9.0));
            let settings = [
                way.to_string(),
                format!("angle {slope:?} deg"),
                format!("diameter {across:?} m"),
                format!("rolling length {rolling:?} m"),
                format!("lines {lines}"),
                format!("load {load:?} N"),
                format!("load travel {travel:?} m"),
            ];
            stated.push((
                machines.add("parbuckle", &settings),
                sense,
                slope.to_radians(),
                across / 2.0,
                rolling,
                f64::from(lines),
                load,
                travel,
            ));
        }
        let sheet = machines.compiled();
        for (name, sense, slope, radius, rolling, lines, load, travel) in stated {
            let (hauled, standing) = (sheet.of(&name, "effort"), sheet.of(&name, "standing_ends"));
            let normal = sheet.of(&name, "normal_force");
            vanishes(hauled + standing - load * slope.sin(), load, &format!("{name}: cylinder, along the slope"));
            vanishes(normal - load * slope.cos(), load, &format!("{name}: cylinder, square to the slope"));
            // About the axis: the hauling part at one side, the standing part at the other, the pressure ahead of the axis.
            vanishes((hauled - standing) * radius - sense * normal * rolling, load * radius, &format!("{name}: moments about the axis"));
            agree(sheet.of(&name, "hauling_line") * lines, hauled, &format!("{name}: lines"));
            // The far side of a rolling cylinder goes twice as far as its axis.
            agree(sheet.of(&name, "rope_to_haul"), 2.0 * travel / slope.sin(), &format!("{name}: rope"));
            agree(sheet.of(&name, "effort_travel"), 2.0 * travel / slope.sin(), &format!("{name}: travel"));
            sheet.balances(&name);
        }
    }
}
