//! Racks as free bodies: the pinion, and the rack in its guide.

use super::{Chance, Machines, WAYS, agree, vanishes};

#[test]
fn racks_are_in_balance() {
    let mut chance = Chance::new(76);
    for _ in 0..8 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (way, sense) = chance.one(&WAYS);
            let (across, kept) = (chance.between(0.02, 0.4), chance.one(&[1.0, 0.97, 0.8]));
            let (pressure, load) = (chance.between(14.0, 26.0), chance.between(1.0, 90_000.0));
            let settings = [
                way.to_string(),
                format!("pitch diameter {across:?} m"),
                format!("mesh efficiency {kept:?}"),
                format!("pressure angle {pressure:?} deg"),
                format!("load {load:?} N"),
            ];
            stated.push((machines.add("rack", &settings), sense, across, kept, pressure.to_radians(), load));
        }
        let sheet = machines.compiled();
        for (name, sense, across, kept, pressure, load) in stated {
            let (teeth, drag, effort) = (sheet.of(&name, "tooth_force"), sheet.of(&name, "guide_drag"), sheet.of(&name, "effort"));
            assert!(drag >= -1e-9 * load, "{name}: the guide pushes");
            // Raising, the drag is on the rack's side of the teeth; lowering, it keeps part of the load from the pinion.
            let at_pinion = if sense > 0.0 { teeth } else { teeth - drag };
            vanishes(effort - at_pinion * across / 2.0, load * across, &format!("{name}: moments about the pinion"));
            let along = if sense > 0.0 { teeth - drag - load } else { teeth - load };
            vanishes(along, load, &format!("{name}: rack, along"));
            agree(if sense > 0.0 { load / teeth } else { at_pinion / load }, kept, &format!("{name}: efficiency"));
            agree(sheet.of(&name, "separating_force"), teeth * pressure.tan(), &format!("{name}: rack, across"));
            agree(sheet.of(&name, "pinion_bearing"), teeth / pressure.cos(), &format!("{name}: pinion's bearings"));
            sheet.balances(&name);
        }
    }
}
