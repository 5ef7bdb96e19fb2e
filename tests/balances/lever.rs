//! Levers as free bodies: forces on the bar along and square to it, and moments about the pivot and about a point off the bar.

use super::{Chance, Machines, WAYS, agree, vanishes};

#[test]
fn levers_are_in_balance() {
    let mut chance = Chance::new(51);
    for _ in 0..10 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (way, sense) = chance.one(&WAYS);
            let class = chance.one(&["first", "second", "third"]);
            let (short, long) = (chance.between(0.1, 0.5), chance.between(0.6, 3.0));
            let (effort_arm, load_arm) = match class {
                "third" => (short, long),
                "second" => (long, short),
                _ => chance.one(&[(short, long), (long, short)]),
            };
            let (effort_angle, load_angle) = (chance.between(40.0, 140.0), chance.between(40.0, 140.0));
            let (load, weight, weight_arm) = (chance.between(200.0, 9000.0), chance.between(0.0, 60.0), chance.between(-0.05, 0.4));
            let (pin, friction, travel) = (chance.between(0.0, 0.03), chance.between(0.0, 0.5), chance.between(0.01, 0.2));
            let settings = [
                format!("class {class}"),
                way.to_string(),
                format!("effort arm {effort_arm:?} m"),
                format!("load arm {load_arm:?} m"),
                format!("effort angle {effort_angle:?} deg"),
                format!("load angle {load_angle:?} deg"),
                format!("bar weight {weight:?} N"),
                format!("bar weight arm {weight_arm:?} m"),
                format!("pin radius {pin:?} m"),
                format!("pin friction {friction:?}"),
                format!("load {load:?} N"),
                format!("load travel {travel:?} m"),
            ];
            let angles = (effort_angle.to_radians(), load_angle.to_radians());
            stated.push((
                machines.add("lever", &settings),
                sense,
                class,
                (effort_arm, load_arm),
                angles,
                load,
                (weight, weight_arm),
                pin * friction.atan().sin(),
            ));
        }
        let sheet = machines.compiled();
        for (name, sense, class, (effort_arm, load_arm), (alpha, beta), load, (weight, weight_arm), circle) in stated {
            let effort = sheet.of(&name, "effort");
            // The bar lies along x, the load's end at +x, up is +y. An angle is less than square when the force leans away
            // from the pivot: the load down and outward, the effort down on a first-class lever and up on the others.
            let (at, effort_x, effort_y) = if class == "first" {
                (-effort_arm, -effort * alpha.cos(), -effort * alpha.sin())
            } else {
                (effort_arm, effort * alpha.cos(), effort * alpha.sin())
            };
            let (load_x, load_y) = (load * beta.cos(), -load * beta.sin());
            let (pivot_x, pivot_y) = (-sheet.of(&name, "pivot_along"), sheet.of(&name, "pivot_down"));
            let scale = load + effort.abs();
            vanishes(effort_x + load_x + pivot_x, scale, &format!("{name}: along the bar"));
            vanishes(effort_y + load_y - weight + pivot_y, scale, &format!("{name}: square to the bar"));
            let pivot = pivot_x.hypot(pivot_y);
            agree(sheet.of(&name, "pivot_load"), pivot, &format!("{name}: pivot"));
            // Raised, the bar turns from x towards y, so the pin's couple works the other way.
            let couple = -sense * circle * pivot;
            for (x, y) in [(0.0, 0.0), (load_arm, 0.0), (0.37, -1.3)] {
                let moment = |px: f64, fx: f64, fy: f64| (px - x) * fy + y * fx;
                let sum = moment(at, effort_x, effort_y)
                    + moment(load_arm, load_x, load_y)
                    + moment(weight_arm, 0.0, -weight)
                    + moment(0.0, pivot_x, pivot_y)
                    + couple;
                vanishes(sum, scale * (effort_arm + load_arm), &format!("{name}: moments about {x}, {y}"));
            }
            vanishes(sheet.of(&name, "moment_difference"), scale * (effort_arm + load_arm), &format!("{name}: its own second calculation"));
            sheet.balances(&name);
            if circle == 0.0 && weight == 0.0 {
                agree(load / effort, sheet.of(&name, "velocity_ratio"), &format!("{name}: ratio"));
            }
        }
    }
}
