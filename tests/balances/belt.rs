//! Belts as free bodies: both pulleys about their axes, and each shaft against the two sides of the belt.

use super::{Chance, Machines, WAYS, agree, vanishes};

// Ends of the lower (1) or upper (-1) side as tangents of both pulleys, found from the line that touches both.
fn side(first: f64, second: f64, apart: f64, crossed: bool, below: f64) -> [(f64, f64); 2] {
    let other = if crossed { -second } else { second };
    // The normal of a line at distance `first` from one centre and `other` from the other, which is `apart` away.
    let sine = (first - other) / apart;
    let normal = (sine, below * (1.0 - sine * sine).sqrt());
    [(first * normal.0, first * normal.1), (apart + other * normal.0, other * normal.1)]
}

#[test]
fn belts_are_in_balance() {
    let mut chance = Chance::new(37);
    for _ in 0..8 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (way, sense) = chance.one(&WAYS);
            let crossed = chance.one(&[false, true]);
            let (first, second) = (chance.between(0.05, 0.9), chance.between(0.05, 0.9));
            let (thick, apart) = (chance.between(0.0, 0.01), (first + second) * chance.between(1.1, 6.0));
            let (mu, load) = (chance.between(0.1, 0.5), chance.between(0.1, 900.0));
            let (slip, lost) = (chance.between(0.0, 0.06), chance.between(0.0, 0.1));
            let (heavy, speed) = (chance.between(0.0, 1.5), chance.between(0.5, 25.0));
            let groove = chance.one(&[180.0, 38.0]);
            let known = chance.one(&[0, 1, 2]);
            let radii = (first + thick / 2.0, second + thick / 2.0);
            let pull = load / radii.1;
            let tension = heavy * speed * speed + pull * chance.between(0.6, 3.0);
            let mut settings = vec![
                way.to_string(),
                format!("running {}", if crossed { "crossed" } else { "open" }),
                format!("driver diameter {:?} m", 2.0 * first),
                format!("driven diameter {:?} m", 2.0 * second),
                format!("thickness {thick:?} m"),
                format!("centres {apart:?} m"),
                format!("friction {mu:?}"),
                format!("slip {slip:?}"),
                format!("lost share {lost:?}"),
                format!("mass per length {heavy:?} kg/m"),
                format!("belt speed {speed:?} m/s"),
                format!("load {load:?} N·m"),
            ];
            match known {
                1 => settings.push(format!("mounting tension {tension:?} N")),
                2 => settings.push(format!("slack tension {tension:?} N")),
                _ => {}
            }
            if groove < 180.0 {
                settings.extend(["drive V belt".to_string(), format!("groove angle {groove:?} deg")]);
            }
            let pressed = mu / (f64::to_radians(groove) / 2.0).sin();
            let name = machines.add("belt", &settings);
            stated.push((name, sense, crossed, radii, apart, pressed, load, slip, lost, heavy * speed * speed, known, tension));
        }
        let sheet = machines.compiled();
        for (name, sense, crossed, (first, second), apart, mu, load, slip, lost, round, known, tension) in stated {
            let (tight, slack) = (sheet.of(&name, "tight_side"), sheet.of(&name, "slack_side"));
            let effort = sheet.of(&name, "effort");
            vanishes((tight - slack) * second - load, load, &format!("{name}: moments about the driven shaft"));
            let kept = if sense > 0.0 { 1.0 - lost } else { 1.0 / (1.0 - lost) };
            vanishes(effort * kept - (tight - slack) * first, effort, &format!("{name}: moments about the driver"));
            let (lower, upper) = (side(first, second, apart, crossed, 1.0), side(first, second, apart, crossed, -1.0));
            for line in [lower, upper] {
                // Square to both radii: it is a tangent.
                let way = (line[1].0 - line[0].0, line[1].1 - line[0].1);
                vanishes(way.0 * line[0].0 + way.1 * line[0].1, apart * first, &format!("{name}: tangent of the driver"));
                vanishes(way.0 * (line[1].0 - apart) + way.1 * line[1].1, apart * second, &format!("{name}: tangent of the driven"));
            }
            let unit = |line: [(f64, f64); 2]| {
                let (x, y) = (line[1].0 - line[0].0, line[1].1 - line[0].1);
                (x / x.hypot(y), y / x.hypot(y))
            };
            // What the belt's own circling takes does not press on the pulleys.
            let (t, s) = (tight - round, slack - round);
            let shaft = (t * unit(lower).0 + s * unit(upper).0, t * unit(lower).1 + s * unit(upper).1);
            let scale = t + s;
            vanishes(shaft.0 - sheet.of(&name, "shaft_along"), scale, &format!("{name}: shaft, along"));
            vanishes(shaft.1.abs() - sheet.of(&name, "shaft_across"), scale, &format!("{name}: shaft, across"));
            vanishes(shaft.0.hypot(shaft.1) - sheet.of(&name, "shaft_pull"), scale, &format!("{name}: shaft"));
            // Length and contact from where the sides leave the pulleys.
            let turn = std::f64::consts::TAU;
            let outward = |y: f64, x: f64| (turn - 2.0 * y.abs().atan2(x)).abs();
            let contacts = [outward(lower[0].1, lower[0].0), outward(lower[1].1, apart - lower[1].0)];
            let sides = 2.0 * (lower[1].0 - lower[0].0).hypot(lower[1].1 - lower[0].1);
            agree(sheet.of(&name, "length"), sides + first * contacts[0] + second * contacts[1], &format!("{name}: length"));
            let grip = (mu * contacts[0].min(contacts[1])).exp();
            match known {
                1 => agree((tight + slack) / 2.0, tension, &format!("{name}: mounting")),
                2 => agree(slack, tension, &format!("{name}: tensioner")),
                _ => vanishes(t - grip * s, t, &format!("{name}: on the point of slipping")),
            }
            // The rim that is driven falls behind the rim that drives by the slip.
            let turns = sheet.of(&name, "velocity_ratio");
            let (behind, ahead) = if sense > 0.0 { (second, turns * first) } else { (turns * first, second) };
            agree(behind, ahead * (1.0 - slip), &format!("{name}: slip"));
            sheet.balances(&name);
        }
    }
}
