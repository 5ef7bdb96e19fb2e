//! Differential chain hoists as free bodies: the lower wheel, the upper axle with both wheels, and the hook.

use super::{Chance, Machines, WAYS, agree, vanishes};

#[test]
fn hoists_are_in_balance() {
    let mut chance = Chance::new(73);
    for _ in 0..10 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (way, sense) = chance.one(&WAYS);
            let (lower, upper) = (chance.one(&[1.0, 1.03, 1.08, 1.2]), chance.one(&[1.0, 1.02, 1.1]));
            let (load, block, hoist) = (chance.between(10.0, 90_000.0), chance.between(0.0, 900.0), chance.between(0.0, 900.0));
            let large = chance.between(6.0, 40.0).floor();
            let small = (large * chance.between(0.3, 0.99)).floor().max(1.0);
            let by_teeth = chance.one(&[true, false]);
            let wheels = if by_teeth {
                [format!("large teeth {large}"), format!("small teeth {small}")]
            } else {
                [format!("large radius {large} mm"), format!("small radius {small} mm")]
            };
            let mut settings = vec![
                way.to_string(),
                format!("lower tension ratio {lower:?}"),
                format!("upper tension ratio {upper:?}"),
                format!("block weight {block:?} N"),
                format!("hoist weight {hoist:?} N"),
                format!("load {load:?} N"),
            ];
            settings.extend(wheels);
            let name = machines.add("hoist", &settings);
            stated.push((name, sense, large, small, lower, upper, load, block, hoist));
        }
        let sheet = machines.compiled();
        for (name, sense, large, small, lower, upper, load, block, hoist) in stated {
            let (up, down) = (sheet.of(&name, "large_part"), sheet.of(&name, "small_part"));
            let effort = sheet.of(&name, "effort");
            let size = load + block;
            vanishes(up + down - load - block, size, &format!("{name}: lower wheel"));
            let (tight, slack) = if sense > 0.0 { (up, down) } else { (down, up) };
            agree(tight, slack * lower, &format!("{name}: friction of the lower wheel"));
            // The part on the larger wheel resists hauling; at the axle its moment is overcome with the ratio, or keeps it.
            let resisting = up * large * if sense > 0.0 { upper } else { 1.0 / upper };
            vanishes(effort * large + down * small - resisting, size * large, &format!("{name}: moments about the upper axle"));
            vanishes(sheet.of(&name, "support") - up - down - effort - hoist, size, &format!("{name}: hook"));
            vanishes(sheet.of(&name, "largest_part") - up.max(down).max(effort), size, &format!("{name}: largest part"));
            if lower == 1.0 && upper == 1.0 {
                agree(effort * 2.0 * large / (large - small), size, &format!("{name}: smooth"));
            }
            sheet.balances(&name);
        }
    }
}
