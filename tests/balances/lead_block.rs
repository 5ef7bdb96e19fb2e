//! Lead blocks as free bodies: the sheave on its pin, and the block with both leads.

use super::{Chance, Machines, WAYS, agree, vanishes};

#[test]
fn lead_blocks_are_in_balance() {
    let mut chance = Chance::new(32);
    for _ in 0..8 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (way, sense) = chance.one(&WAYS);
            let pin = chance.one(&[false, true]);
            let (between, load) = (chance.between(0.0, 170.0), chance.between(1.0, 90_000.0));
            let (loss, across, inner, mu) =
                (chance.between(0.0, 0.3), chance.between(0.05, 0.4), chance.between(0.05, 0.9), chance.between(0.0, 0.8));
            let mut settings = vec![way.to_string(), format!("load {load:?} N")];
            settings.push(if chance.one(&[true, false]) {
                format!("angle between {between:?} deg")
            } else {
                format!("deflection {:?} deg", 180.0 - between)
            });
            if pin {
                settings.push("friction rule plain pin".into());
                settings.push(format!("sheave radius {across:?} m"));
                settings.push(format!("pin radius {:?} m", across * inner));
                settings.push(format!("pin friction {mu:?}"));
            } else {
                settings.push(format!("sheave loss {loss:?}"));
            }
            stated.push((machines.add("lead_block", &settings), sense, pin, between.to_radians(), load, loss, across, inner, mu));
        }
        let sheet = machines.compiled();
        for (name, sense, pin, between, load, loss, across, inner, mu) in stated {
            let effort = sheet.of(&name, "effort");
            // Along and across the line that halves the angle, so that nothing of the kind's own axes is used.
            let (down, aside) = ((load + effort) * (between / 2.0).cos(), (effort - load) * (between / 2.0).sin());
            let carried = down.hypot(aside);
            vanishes(carried - sheet.of(&name, "block_load"), load + effort, &format!("{name}: block"));
            if carried > 1e-6 * load {
                let lean = sheet.of(&name, "block_lean");
                let from_middle = (between / 2.0 + aside.atan2(down)) - lean;
                assert!(from_middle.abs() < 1e-6, "{name}: direction of the block's load, off by {from_middle}");
            }
            if pin {
                // The pin pushes at the rim of its friction circle: its moment holds against the difference of the leads.
                let circle = across * inner * mu / (1.0 + mu * mu).sqrt();
                vanishes((effort - load) * sense * across - circle * carried, load * across, &format!("{name}: moments about the pin"));
            } else {
                agree(if sense > 0.0 { effort / load } else { load / effort }, 1.0 + loss, &format!("{name}: tension ratio"));
            }
            assert!(sheet.of(&name, "friction_work") >= -1e-9 * load, "{name}: the sheave gives work");
            sheet.balances(&name);
        }
    }
}
