//! Stated loads as free bodies: forces along and square to the slope, with the resistances written here anew, and the
//! build-up of a load that hangs.

use super::{Chance, WAYS, vanishes};
use crate::support::compare::figure;
use crate::support::compile::compile_text;
use parbuckle::Sheet;

/// Surfaces with their published static and kinetic coefficients (OpenStax College Physics, table 6.1).
const SURFACES: [(&str, f64, f64); 5] = [
    ("wood on wood", 0.5, 0.3),
    ("steel on dry steel", 0.6, 0.3),
    ("waxed wood on wet snow", 0.14, 0.1),
    ("ice on ice", 0.1, 0.03),
    ("steel on ice", 0.04, 0.02),
];
/// Ground with the share of the weight that rolling takes (a commercial towing guide).
const GROUND: [(&str, f64); 6] =
    [("hard road", 0.04), ("grass", 0.14), ("wet sand", 0.17), ("soft wet sand", 0.20), ("gravel", 0.25), ("mud", 0.33)];
/// How deep, with the share of the weight that mire takes (FM 4-30.31, from memory).
const MIRE: [(&str, f64); 4] = [("none", 0.0), ("wheel depth", 1.0), ("fender depth", 2.0), ("cab depth", 3.0)];

fn compiled(text: &str) -> Sheet {
    let seen = compile_text(&format!("# Sheet\n\n```rig\n{text}```\n"));
    let said: Vec<_> = seen.notices.iter().filter(|notice| notice.slug != "question").map(|notice| &notice.headline).collect();
    assert!(said.is_empty(), "{said:?} in\n{text}");
    seen.sheet.expect("a sheet came of it")
}

fn of(sheet: &Sheet, name: &str) -> f64 {
    figure(sheet, name, None).unwrap_or_else(|why| panic!("{name}: {why}")).si
}

#[test]
fn dragged_loads_are_in_balance() {
    let mut chance = Chance::new(41);
    for _ in 0..10 {
        let mut text = String::new();
        let mut stated = Vec::new();
        for at in 0..25 {
            let (way, sense) = chance.one(&WAYS);
            let (surfaces, resting, sliding) = chance.one(&SURFACES);
            let friction = chance.one(&["starting", "moving"]);
            let mu = if friction == "starting" { resting } else { sliding };
            let (weight, angle) = (chance.between(50.0, 90_000.0), chance.between(1.0, 40.0));
            // The line may lead up or down, as long as it neither lifts the load off nor jams it.
            let line = chance.between(-20.0, 25.0);
            text += &format!(
                "load d{at} = dragged\n    weight {weight:?} N\n    surfaces {surfaces}\n    angle {angle:?} deg\n    line angle {line:?} deg\n    {way}\n    {friction}\n"
            );
            stated.push((at, sense, mu, weight, angle.to_radians(), line.to_radians()));
        }
        let sheet = compiled(&text);
        for (at, sense, mu, weight, angle, line) in stated {
            let name = format!("d{at}");
            let (pull, square) = (of(&sheet, &format!("{name}.load")), of(&sheet, &format!("{name}.normal_force")));
            let rubs = of(&sheet, &format!("{name}.surface_friction"));
            vanishes(pull * line.cos() - weight * angle.sin() - sense * rubs, weight, &format!("{name}: along the slope"));
            vanishes(square + pull * line.sin() - weight * angle.cos(), weight, &format!("{name}: square to the slope"));
            vanishes(rubs - mu * square, weight, &format!("{name}: dry friction"));
            assert!(square >= 0.0, "{name}: the ground pulls");
            vanishes(of(&sheet, &format!("{name}.grade_resistance")) - weight * angle.sin(), weight, &format!("{name}: slope"));
        }
    }
}

#[test]
fn resistances_are_in_balance() {
    let mut chance = Chance::new(42);
    for _ in 0..10 {
        let mut text = String::new();
        let mut stated = Vec::new();
        for at in 0..25 {
            let (way, sense) = chance.one(&WAYS);
            let (surface, share) = chance.one(&GROUND);
            let (mire, factor) = chance.one(&MIRE);
            let (weight, grade) = (chance.between(500.0, 400_000.0), chance.between(1.0, 120.0));
            let (by_grade, water) = (chance.one(&[true, false]), chance.one(&[true, false]));
            let (drag, area, speed) = (chance.between(0.3, 1.5), chance.between(0.1, 6.0), chance.between(0.1, 4.0));
            let angle = if by_grade { (grade / 100.0).atan() } else { (grade / 3.0).to_radians() };
            let slope = if by_grade { format!("grade {grade:?} %grade") } else { format!("angle {:?} deg", grade / 3.0) };
            text += &format!(
                "load r{at} = resistance\n    weight {weight:?} N\n    surface {surface}\n    mire {mire}\n    {slope}\n    {way}\n"
            );
            if water {
                text += &format!(
                    "    water fresh\n    drag coefficient {drag:?}\n    frontal area {area:?} m^2\n    water speed {speed:?} m/s\n"
                );
            }
            let stream = if water { 500.0 * drag * area * speed * speed } else { 0.0 };
            stated.push((at, sense, share, factor, weight, angle, stream));
        }
        let sheet = compiled(&text);
        for (at, sense, share, factor, weight, angle, stream) in stated {
            let name = format!("r{at}");
            let holds_back = share * weight * angle.cos() + factor * weight + stream;
            let size = weight * (1.0 + factor) + stream;
            let pull = of(&sheet, &format!("{name}.load"));
            vanishes(pull - weight * angle.sin() - sense * holds_back, size, &format!("{name}: along the slope"));
            let square = of(&sheet, &format!("{name}.normal_force"));
            vanishes(square - weight * angle.cos(), size, &format!("{name}: square to the slope"));
            vanishes(of(&sheet, &format!("{name}.rolling_resistance")) - share * square, size, &format!("{name}: rolling"));
        }
    }
}

#[test]
fn loads_that_hang_are_the_sum_of_their_pieces() {
    let mut chance = Chance::new(43);
    for _ in 0..6 {
        let mut text = String::from("sheet G \"Gravity\"\n    gravity 9.81 m/s^2 from \"the test\"\n");
        let mut stated = Vec::new();
        for at in 0..25 {
            let pieces = chance.between(1.0, 7.0).floor() as usize;
            let masses: Vec<f64> = (0..pieces).map(|_| chance.between(0.2, 90.0)).collect();
            let payload = chance.between(5.0, 20_000.0);
            let (doubtful, hoisting) = (chance.between(1.0, 1.9), chance.between(1.0, 1.9));
            let list: Vec<String> = masses.iter().map(|mass| format!("{mass:?} kg")).collect();
            text += &format!(
                "load h{at} = lifted\n    payload mass {payload:?} kg\n    pieces {pieces}\n    rigging masses [{}]\n    weight factor {doubtful:?}\n    dynamic factor {hoisting:?}\n",
                list.join(", ")
            );
            stated.push((at, masses.iter().sum::<f64>(), payload, doubtful, hoisting));
        }
        let sheet = compiled(&text);
        for (at, rigging, payload, doubtful, hoisting) in stated {
            let name = format!("h{at}");
            let size = (payload + rigging) * 9.81;
            vanishes(of(&sheet, &format!("{name}.static_load")) - size, size, &format!("{name}: on a scale"));
            let design = (payload * doubtful + rigging) * hoisting * 9.81;
            vanishes(of(&sheet, &format!("{name}.load")) - design, size, &format!("{name}: factors"));
        }
    }
}
