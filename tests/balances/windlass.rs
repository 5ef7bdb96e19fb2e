//! Windlasses as one free body, the shaft with wheel and drum: forces along and across the load, and moments.

use super::{Chance, Machines, WAYS, agree, vanishes};

/// Where effort and load act.
const ENDS: [(bool, bool); 3] = [(true, true), (false, true), (true, false)];

struct Stated {
    name: String,
    sense: f64,
    ends: (bool, bool),
    arm: f64,
    drum: f64,
    journal: f64,
    mu: f64,
    load: f64,
    pull: &'static str,
    angle: f64,
    hands: f64,
}

fn stated(chance: &mut Chance, machines: &mut Machines) -> Stated {
    let (way, sense) = chance.one(&WAYS);
    let ends = chance.one(&ENDS);
    let (arm, drum) = (chance.between(0.05, 2.0), chance.between(0.05, 0.6));
    let (rope, layer) = (chance.between(0.0, 0.03), chance.one(&[1.0, 2.0, 5.0]));
    let (journal, mu) = (chance.between(0.0, 0.04), chance.one(&[0.0, 0.05, 0.2, 0.6]));
    let (load, hands) = (chance.between(10.0, 90_000.0), chance.one(&[1.0, 2.0, 7.0]));
    let pull = chance.one(&["worst position", "with the load", "against the load", "at an angle", "balanced"]);
    let angle = chance.between(0.0, 180.0);
    let mut settings = vec![
        way.to_string(),
        format!("turned by {}", chance.one(&["crank", "bars", "hand wheel", "rope wheel"])),
        format!("pull {pull}"),
        format!("journal radius {journal:?} m"),
        format!("journal friction {mu:?}"),
        format!("ratchet radius {:?} m", 0.25),
        format!("hands {hands}"),
        format!("load {load:?} {}", if ends.1 { "N" } else { "N·m" }),
    ];
    if pull == "at an angle" {
        settings.push(format!("effort angle {angle:?} deg"));
    }
    if ends.0 {
        settings.push(format!("arm {arm:?} m"));
    } else {
        settings.push("effort at the shaft".to_string());
    }
    if ends.1 {
        settings.extend([format!("drum radius {drum:?} m"), format!("rope diameter {rope:?} m"), format!("layer {layer}")]);
    } else {
        settings.push("load at the shaft".to_string());
    }
    let name = machines.add("windlass", &settings);
    Stated { name, sense, ends, arm, drum: drum + rope * (layer - 0.5), journal, mu, load, pull, angle: angle.to_radians(), hands }
}

#[test]
fn windlasses_are_in_balance() {
    let mut chance = Chance::new(71);
    for _ in 0..12 {
        let mut machines = Machines::default();
        let all: Vec<Stated> = (0..25).map(|_| stated(&mut chance, &mut machines)).collect();
        let sheet = machines.compiled();
        for Stated { name, sense, ends, arm, drum, journal, mu, load, pull, angle, hands } in all {
            let effort = sheet.of(&name, "effort");
            let bearing = sheet.of(&name, "bearing_load");
            let side = if ends.1 { load } else { 0.0 };
            // The direction of the effort on the page, the load pulling along the first axis.
            let way = match pull {
                "with the load" => [1.0, 0.0],
                "against the load" => [-1.0, 0.0],
                "worst position" => [sense, 0.0],
                "at an angle" => [angle.cos(), angle.sin()],
                _ => [0.0, 0.0],
            };
            let pulled = if ends.0 { effort } else { 0.0 };
            let (along, across) = (side + pulled * way[0], pulled * way[1]);
            let scale = load.abs() + effort.abs();
            if ends.1 {
                vanishes(sheet.of(&name, "bearing_along") - along, scale, &format!("{name}: bearings, along"));
            }
            if ends == (true, true) {
                vanishes(sheet.of(&name, "bearing_across") - across, scale, &format!("{name}: bearings, across"));
            }
            vanishes(bearing - along.hypot(across), scale, &format!("{name}: bearings"));
            let driving = if ends.0 { effort * arm } else { effort };
            let resisting = if ends.1 { load * drum } else { load };
            let friction = journal * (mu / (1.0 + mu * mu).sqrt()) * bearing;
            vanishes(driving - resisting - sense * friction, resisting, &format!("{name}: moments, {pull}"));
            agree(sheet.of(&name, "pawl_force") * 0.25, resisting, &format!("{name}: pawl"));
            if ends.0 {
                agree(sheet.of(&name, "each_hand") * hands, effort, &format!("{name}: hands"));
            }
            if mu == 0.0 {
                agree(effort * sheet.of(&name, "velocity_ratio"), load, &format!("{name}: smooth"));
            }
            sheet.balances(&name);
        }
    }
}
