//! Toggles as free bodies: slide, link with the friction moments of its two pins, and knee; and a whole stroke step by step.

use super::{Chance, Machines, WAYS, agree, vanishes};

/// Push of a link along and across the thrust at an angle, by trying until it settles: the link turns neither way, and the
/// slide stands.
fn pushes(load: f64, theta: f64, lever: f64, guide_mu: f64, sense: f64) -> (f64, f64) {
    let (mut along, mut across) = (load, load * theta.tan());
    for _ in 0..400 {
        along = load + sense * guide_mu * across.abs();
        across = along * theta.tan() + sense * along.hypot(across) * lever / theta.cos();
    }
    (along, across)
}

struct Stated {
    name: String,
    theta: f64,
    link: f64,
    pins: [f64; 2],
    mu: f64,
    guide_mu: f64,
    sense: f64,
    load: f64,
}

fn one(chance: &mut Chance, machines: &mut Machines) -> Stated {
    let (link, degrees) = (chance.between(0.05, 1.0), chance.between(0.5, 50.0));
    let pins = [chance.between(0.0, 0.1) * link, chance.between(0.0, 0.1) * link];
    let (mu, guide_mu) = (chance.between(0.0, 0.5), chance.between(0.0, 0.4));
    let (way, sense) = chance.one(&WAYS);
    let load = chance.between(10.0, 90_000.0);
    let settings = [
        format!("link length {link:?} m"),
        format!("angle {degrees:?} deg"),
        format!("end pin radius {:?} m", pins[0]),
        format!("knee pin radius {:?} m", pins[1]),
        format!("pin friction {mu:?}"),
        format!("guide friction {guide_mu:?}"),
        format!("load {load:?} N"),
        way.to_string(),
        "moving".to_string(),
    ];
    let name = machines.add("toggle", &settings);
    Stated { name, theta: degrees.to_radians(), link, pins, mu, guide_mu, sense, load }
}

#[test]
fn toggles_are_in_balance_at_slide_link_and_knee() {
    let mut chance = Chance::new(12);
    for _ in 0..12 {
        let mut machines = Machines::default();
        let stated: Vec<Stated> = (0..25).map(|_| one(&mut chance, &mut machines)).collect();
        let sheet = machines.compiled();
        for Stated { name, theta, link, pins, mu, guide_mu, sense, load } in stated {
            let (along, across) = (sheet.of(&name, "link_along"), sheet.of(&name, "slide_side"));
            let whole = sheet.of(&name, "link_force");
            let effort = sheet.of(&name, "effort");
            agree(whole, along.hypot(across), &format!("{name}: push of a link"));
            vanishes(effort - 2.0 * across, load, &format!("{name}: knee"));
            vanishes(sheet.of(&name, "abutment_side") - across, load, &format!("{name}: abutment"));
            vanishes(along - load - sense * guide_mu * across.abs(), load, &format!("{name}: slide"));
            vanishes(sheet.of(&name, "guide_drag") - guide_mu * across.abs(), load, &format!("{name}: guide"));
            // About the slide's pin: the push of the knee on the link, and friction at both pins against its turning.
            let circle = mu / (1.0 + mu * mu).sqrt();
            let friction = whole * circle * (pins[0] + pins[1]);
            let turning = link * (across * theta.cos() - along * theta.sin()) - sense * friction;
            vanishes(turning, load * link, &format!("{name}: link about its pin"));
            sheet.balances(&name);
        }
    }
}

#[test]
fn without_friction_a_toggle_gives_its_velocity_ratio() {
    let mut chance = Chance::new(121);
    let mut machines = Machines::default();
    let mut names = Vec::new();
    for _ in 0..25 {
        let settings = [
            format!("link length {:?} m", chance.between(0.1, 1.0)),
            format!("angle {:?} deg", chance.between(0.1, 60.0)),
            format!("load {:?} N", chance.between(10.0, 1e5)),
            chance.one(&WAYS).0.to_string(),
        ];
        names.push(machines.add("toggle", &settings));
    }
    let sheet = machines.compiled();
    for name in names {
        agree(sheet.of(&name, "load"), sheet.of(&name, "effort") * sheet.of(&name, "velocity_ratio"), &name);
    }
}

/// The closed form of a stroke's work against the effort added up over the way of the knee (Simpson's rule).
#[test]
fn the_work_of_a_stroke_is_the_effort_over_the_way_of_the_knee() {
    let mut chance = Chance::new(122);
    let mut machines = Machines::default();
    let mut stated = Vec::new();
    for _ in 0..25 {
        let (link, from) = (chance.between(0.1, 1.0), chance.between(5.0, 40.0));
        let to = from * chance.between(0.0, 0.9);
        let pins = [chance.between(0.0, 0.08) * link, chance.between(0.0, 0.08) * link];
        let (mu, guide_mu) = (chance.between(0.0, 0.4), chance.between(0.0, 0.3));
        let load = chance.between(10.0, 90_000.0);
        let settings = [
            format!("link length {link:?} m"),
            format!("angle {from:?} deg"),
            format!("final angle {to:?} deg"),
            format!("end pin radius {:?} m", pins[0]),
            format!("knee pin radius {:?} m", pins[1]),
            format!("pin friction {mu:?}"),
            format!("guide friction {guide_mu:?}"),
            format!("load {load:?} N"),
        ];
        let name = machines.add("toggle", &settings);
        let lever = (pins[0] + pins[1]) * mu / (1.0 + mu * mu).sqrt() / link;
        stated.push((name, link, from.to_radians(), to.to_radians(), lever, guide_mu, load));
    }
    let sheet = machines.compiled();
    for (name, link, from, to, lever, guide_mu, load) in stated {
        let parts = 400;
        let step = (from - to) / f64::from(parts);
        let at = |theta: f64| 2.0 * pushes(load, theta, lever, guide_mu, 1.0).1 * link * theta.cos();
        let one = |i: i32| {
            let theta = to + step * f64::from(i);
            step / 6.0 * (at(theta) + 4.0 * at(theta + step / 2.0) + at(theta + step))
        };
        let work: f64 = (0..parts).map(one).sum();
        agree(work, sheet.of(&name, "stroke_work_in"), &format!("{name}: work put in"));
        let out = load * 2.0 * link * (to.cos() - from.cos());
        agree(out, sheet.of(&name, "stroke_work_out"), &format!("{name}: work got out"));
        let share = sheet.of(&name, "stroke_efficiency");
        assert!(share > 0.0 && share <= 1.0 + 1e-12, "{name}: {share}");
    }
}
