//! Slings as free bodies: the hook, and the load with its moments about a pick.

use super::{Chance, Machines, vanishes};

#[test]
fn equal_legs_are_in_balance() {
    let mut chance = Chance::new(34);
    for _ in 0..4 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (weight, gear) = (chance.between(1.0, 90_000.0), chance.between(0.0, 900.0));
            let (lean, legs) = (chance.between(6.0, 90.0), chance.one(&[2, 3, 4]));
            let sharing = chance.one(&[2, legs]);
            let angle = match chance.one(&[0, 1, 2]) {
                0 => format!("angle from horizontal {lean:?} deg"),
                1 => format!("angle from vertical {:?} deg", 90.0 - lean),
                _ => format!("included angle {:?} deg", 180.0 - 2.0 * lean),
            };
            let settings = [
                angle,
                format!("weight {weight:?} N"),
                format!("sling weight {gear:?} N"),
                format!("legs {legs}"),
                format!("sharing {sharing}"),
            ];
            stated.push((machines.load("sling", &settings), weight, gear, lean.to_radians(), sharing));
        }
        let sheet = machines.compiled();
        for (name, weight, gear, lean, sharing) in stated {
            let legs: Vec<f64> = (1..=sharing).map(|leg| sheet.item(&name, "leg", leg as usize)).collect();
            let upward: f64 = legs.iter().map(|leg| leg * lean.sin()).sum();
            vanishes(upward - weight, weight, &format!("{name}: load, upward"));
            vanishes(
                legs[0] * lean.cos() - sheet.of(&name, "inward"),
                weight / lean.tan().abs().max(1e-3),
                &format!("{name}: pick, level"),
            );
            vanishes(sheet.of(&name, "load") - weight - gear, weight, &format!("{name}: hook"));
        }
    }
}

#[test]
fn two_unequal_legs_are_in_balance() {
    let mut chance = Chance::new(35);
    for _ in 0..4 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let weight = chance.between(1.0, 90_000.0);
            let (first, second) = (chance.between(0.1, 4.0), chance.between(0.1, 4.0));
            let (high, other) = (chance.between(1.0, 6.0), chance.between(1.0, 6.0));
            let settings = [
                "arrangement two unequal legs".to_string(),
                format!("weight {weight:?} N"),
                format!("first pick {first:?} m"),
                format!("second pick {second:?} m"),
                format!("hook height {high:?} m"),
                format!("second height {other:?} m"),
            ];
            stated.push((machines.load("sling", &settings), weight, first, second, high, other));
        }
        let sheet = machines.compiled();
        for (name, weight, first, second, high, other) in stated {
            let (one, two) = (sheet.item(&name, "leg", 1), sheet.item(&name, "leg", 2));
            // Each leg pulls along the line from its pick to the hook.
            let (left, right) = ((first, high), (-second, other));
            let unit = |(x, y): (f64, f64)| (x / x.hypot(y), y / x.hypot(y));
            let (a, b) = (unit(left), unit(right));
            vanishes(one * a.0 + two * b.0, weight, &format!("{name}: load, level"));
            vanishes(one * a.1 + two * b.1 - weight, weight, &format!("{name}: load, upward"));
            // About the first pick: the weight at the centre of gravity, and the second leg at its own pick.
            let (arm, drop) = (first + second, high - other);
            let moment = weight * first - two * (b.1 * arm - b.0 * drop);
            vanishes(moment, weight * (arm + drop.abs()), &format!("{name}: moments about the first pick"));
            vanishes(one * a.0 - sheet.of(&name, "inward"), weight, &format!("{name}: pick, level"));
            vanishes(one * a.1 - sheet.item(&name, "plumb", 1), weight, &format!("{name}: first pick, upward"));
            vanishes(two * b.1 - sheet.item(&name, "plumb", 2), weight, &format!("{name}: second pick, upward"));
        }
    }
}
