//! Worms as free bodies: the thread's pressure and friction resolved along both rims and between the shafts.

use super::{Chance, Machines, WAYS, agree, vanishes};

#[test]
fn worms_are_in_balance() {
    let mut chance = Chance::new(77);
    for _ in 0..10 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (way, sense) = chance.one(&WAYS);
            let (starts, teeth) = (chance.one(&[1.0, 2.0, 4.0]), chance.between(20.0, 90.0).floor());
            let (lead, pressure) = (chance.between(1.0, 40.0), chance.between(14.0, 30.0));
            let (mu, across) = (chance.one(&[0.0, 0.03, 0.1, 0.25]), chance.between(0.05, 0.8));
            let load = chance.between(1.0, 9000.0);
            let by_size = chance.one(&[true, false]);
            let worm = starts * across / (teeth * lead.to_radians().tan());
            let settings = [
                way.to_string(),
                "moving".to_string(),
                format!("starts {starts}"),
                format!("wheel teeth {teeth}"),
                if by_size { format!("worm pitch diameter {worm:?} m") } else { format!("lead angle {lead:?} deg") },
                format!("wheel pitch diameter {across:?} m"),
                format!("pressure angle {pressure:?} deg"),
                format!("friction {mu:?}"),
                format!("load {load:?} N·m"),
            ];
            stated.push((
                machines.add("worm", &settings),
                sense,
                [starts, teeth],
                lead.to_radians(),
                pressure.to_radians(),
                mu,
                [worm, across],
                load,
            ));
        }
        let sheet = machines.compiled();
        for (name, sense, [starts, teeth], lead, pressure, mu, [worm, across], load) in stated {
            let (normal, effort) = (sheet.of(&name, "thread_pressure"), sheet.of(&name, "effort"));
            let (wheel_rim, worm_rim) = (sheet.of(&name, "wheel_rim_force"), sheet.of(&name, "worm_rim_force"));
            let apart = sheet.of(&name, "separating_force");
            let drag = sense * mu * normal;
            // Along the worm's axis the thread pushes the wheel on and friction holds it back; round the worm both resist.
            vanishes(normal * pressure.cos() * lead.cos() - drag * lead.sin() - wheel_rim, normal, &format!("{name}: along the worm"));
            vanishes(normal * pressure.cos() * lead.sin() + drag * lead.cos() - worm_rim, normal, &format!("{name}: round the worm"));
            vanishes(normal * pressure.sin() - apart, normal, &format!("{name}: between the shafts"));
            vanishes(effort - worm_rim * worm / 2.0, normal * worm, &format!("{name}: moments about the worm"));
            agree(load, wheel_rim * across / 2.0, &format!("{name}: moments about the wheel"));
            agree(sheet.of(&name, "worm_bearing"), worm_rim.hypot(apart), &format!("{name}: worm's bearings"));
            agree(sheet.of(&name, "wheel_bearing"), wheel_rim.hypot(apart), &format!("{name}: wheel's bearings"));
            if mu == 0.0 {
                agree(effort * teeth / starts, load, &format!("{name}: smooth"));
            }
            // It holds exactly where the friction angle in the thread's section reaches the lead.
            if sense < 0.0 {
                assert_eq!(effort <= 0.0, mu >= pressure.cos() * lead.tan(), "{name}: holding by itself");
            }
            sheet.balances(&name);
        }
    }
}
