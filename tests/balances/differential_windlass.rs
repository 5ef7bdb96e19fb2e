//! Differential windlasses as free bodies: the hanging sheave, and the shaft with both drums.

use super::{Chance, Machines, WAYS, agree, vanishes};

#[test]
fn differential_windlasses_are_in_balance() {
    let mut chance = Chance::new(72);
    for _ in 0..10 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (way, sense) = chance.one(&WAYS);
            let large = chance.between(0.06, 0.4);
            let small = large * chance.between(0.2, 0.98);
            let (rope, arm) = (chance.between(0.0, 0.02), chance.between(0.1, 1.5));
            let (loss, mu) = (chance.one(&[0.0, 0.03, 0.1, 0.3]), chance.one(&[0.0, 0.1, 0.4]));
            let journal = chance.between(0.0, 0.03);
            let (load, block) = (chance.between(10.0, 90_000.0), chance.between(0.0, 900.0));
            let pull = chance.one(&["worst position", "with the load", "against the load", "balanced", "shaft"]);
            let mut settings = vec![
                way.to_string(),
                format!("large drum radius {large:?} m"),
                format!("small drum radius {small:?} m"),
                format!("rope diameter {rope:?} m"),
                format!("sheave loss {loss:?}"),
                format!("block weight {block:?} N"),
                format!("journal radius {journal:?} m"),
                format!("journal friction {mu:?}"),
                format!("load {load:?} N"),
            ];
            if pull == "shaft" {
                settings.push("effort at the shaft".to_string());
            } else {
                settings.extend([format!("pull {pull}"), format!("arm {arm:?} m")]);
            }
            let name = machines.add("differential_windlass", &settings);
            stated.push((
                name,
                sense,
                [large + rope / 2.0, small + rope / 2.0],
                arm,
                loss,
                journal * mu / (1.0 + mu * mu).sqrt(),
                load,
                block,
                pull,
            ));
        }
        let sheet = machines.compiled();
        for (name, sense, [large, small], arm, loss, circle, load, block, pull) in stated {
            let (wound, paid) = (sheet.of(&name, "winding_part"), sheet.of(&name, "paying_part"));
            let effort = sheet.of(&name, "effort");
            vanishes(wound + paid - load - block, load, &format!("{name}: hanging sheave"));
            let (tight, slack) = if sense > 0.0 { (wound, paid) } else { (paid, wound) };
            agree(tight, slack * (1.0 + loss), &format!("{name}: sheave friction"));
            let (driving, along) = match pull {
                "shaft" => (effort, 0.0),
                "balanced" => (effort * arm, 0.0),
                "with the load" => (effort * arm, effort),
                "against the load" => (effort * arm, -effort),
                _ => (effort * arm, sense * effort),
            };
            let bearing = sheet.of(&name, "bearing_load");
            let size = load + block + effort.abs();
            vanishes(bearing - (wound + paid + along).abs(), size, &format!("{name}: bearings"));
            let moments = driving - wound * large + paid * small - sense * circle * bearing;
            vanishes(moments, wound * large, &format!("{name}: moments, {pull}"));
            if loss == 0.0 && circle == 0.0 {
                agree(effort * sheet.of(&name, "velocity_ratio"), load + block, &format!("{name}: smooth"));
            }
            sheet.balances(&name);
        }
    }
}
