//! Threads as rows of small surfaces round the axis, in three dimensions: the wrench of all of them on the screw is set
//! against load, collar and effort. Collars are cut into rings.

use super::{Chance, Machines, WAYS, agree, vanishes};
use std::f64::consts::PI;

type Vector = [f64; 3];

fn cross(a: Vector, b: Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn scaled(a: Vector, by: f64) -> Vector {
    a.map(|x| x * by)
}

fn sum(a: Vector, b: Vector) -> Vector {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

fn unit(a: Vector) -> Vector {
    scaled(a, 1.0 / (a[0] * a[0] + a[1] * a[1] + a[2] * a[2]).sqrt())
}

/// A thread at its mean cylinder: radius, lead, flank in the section through the axis, and hand.
struct Thread {
    radius: f64,
    lead: f64,
    flank: f64,
    right: bool,
}

impl Thread {
    /// Force and moment about the axis that the nut puts on the screw (its load pressing it down, z up), with `normal`
    /// square to the flanks and `friction` along them; `climbs` tells whether the screw goes up against the load.
    fn wrench(&self, normal: f64, friction: f64, climbs: bool) -> (Vector, Vector) {
        let parts = 24;
        let (mut force, mut moment) = ([0.0; 3], [0.0; 3]);
        for part in 0..parts {
            let at = 2.0 * PI * f64::from(part) / f64::from(parts);
            let out = [at.cos(), at.sin(), 0.0];
            let round = [-at.sin(), at.cos(), 0.0];
            let hand = if self.right { 1.0 } else { -1.0 };
            // Along the helix, upwards; and along the flank, outwards, as it leans.
            let helix = unit(sum(scaled(round, hand * 2.0 * PI * self.radius), [0.0, 0.0, self.lead]));
            let radial = sum(out, [0.0, 0.0, -self.flank.tan()]);
            let mut square = unit(cross(helix, radial));
            if square[2] < 0.0 {
                square = scaled(square, -1.0);
            }
            let drag = scaled(helix, if climbs { -friction } else { friction });
            let acts = scaled(sum(scaled(square, normal), drag), 1.0 / f64::from(parts));
            force = sum(force, acts);
            moment = sum(moment, cross(scaled(out, self.radius), acts));
        }
        (force, moment)
    }
}

// A form of thread as a sheet names it, with its flank in degrees (ISO 2901, ASME B1.5, ISO 68-1).
const FORMS: [(&str, f64); 4] = [("square", 0.0), ("Acme", 14.5), ("trapezoidal", 15.0), ("V", 30.0)];

#[test]
fn screws_are_in_balance_on_every_flank_and_ring() {
    let mut chance = Chance::new(6);
    for _ in 0..12 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (form, flank) = chance.one(&FORMS);
            let (mean, pitch) = (chance.between(0.008, 0.1), chance.between(0.05, 0.3));
            let starts = chance.one(&[1.0, 2.0, 3.0]);
            let (mu, collar_mu) = (chance.between(0.0, 0.35), chance.between(0.0, 0.3));
            let (outer, inner) = (chance.between(0.05, 0.2), chance.between(0.0, 0.04));
            let collar = chance.one(&["none", "uniform wear", "uniform pressure", "solid pivot by wear", "solid pivot by pressure"]);
            let (way, sense) = chance.one(&WAYS);
            let (load, arm) = (chance.between(100.0, 90_000.0), chance.between(0.1, 1.5));
            let at_handle = chance.one(&[true, false]);
            let mut settings = vec![
                format!("thread {form}"),
                format!("collar {collar}"),
                format!("mean diameter {mean:?} m"),
                format!("pitch {:?} m", pitch * mean),
                format!("starts {starts}"),
                format!("friction {mu:?}"),
                format!("load {load:?} N"),
                format!("effort at {}", if at_handle { "handle" } else { "shaft" }),
                way.to_string(),
                "moving".to_string(),
            ];
            if at_handle {
                settings.push(format!("handle radius {arm:?} m"));
            }
            if collar != "none" {
                settings.extend([format!("collar friction {collar_mu:?}"), format!("collar outer diameter {outer:?} m")]);
            }
            if collar.starts_with("uniform") {
                settings.push(format!("collar inner diameter {inner:?} m"));
            }
            let name = machines.add("screw", &settings);
            let thread = Thread { radius: mean / 2.0, lead: starts * pitch * mean, flank: f64::to_radians(flank), right: true };
            let inner = if collar.starts_with("uniform") { inner } else { 0.0 };
            stated.push((name, thread, sense, load, mu, collar, collar_mu, outer / 2.0, inner / 2.0, at_handle.then_some(arm)));
        }
        let sheet = machines.compiled();
        for (name, thread, sense, load, mu, collar, collar_mu, outer, inner, arm) in stated {
            let (normal, friction) = (sheet.of(&name, "flank_force"), sheet.of(&name, "flank_friction"));
            agree(friction, mu * normal, &format!("{name}: friction and force on the flanks"));
            let (force, moment) = thread.wrench(normal, friction, sense > 0.0);
            let size = load * thread.radius;
            vanishes(force[0], load, &format!("{name}: along x"));
            vanishes(force[1], load, &format!("{name}: along y"));
            vanishes(force[2] - load, load, &format!("{name}: along the axis"));
            vanishes(moment[0], size, &format!("{name}: about x"));
            vanishes(moment[1], size, &format!("{name}: about y"));
            // The nut gets the opposite of what the screw gets.
            vanishes(-moment[2] - sheet.of(&name, "thread_torque"), size, &format!("{name}: torque on the nut"));
            let rubbing = sense * collar_mu * rings(collar, load, outer, inner);
            vanishes(rubbing - sheet.of(&name, "collar_torque"), load * outer, &format!("{name}: torque at the collar"));
            let given = sheet.of(&name, "effort") * arm.unwrap_or(1.0);
            vanishes(given + moment[2] - rubbing, size + load * outer, &format!("{name}: about the axis"));
            sheet.balances(&name);
        }
    }
}

/// Sum of pressure times radius over all rings of a collar under `load`. Simpson's rule is exact for these.
fn rings(collar: &str, load: f64, outer: f64, inner: f64) -> f64 {
    if collar == "none" {
        return 0.0;
    }
    // Pressure of a new face is the same all over; of a worn one it goes with one over the radius.
    let worn = if collar.contains("wear") { 1 } else { 0 };
    let over = |power: i32| {
        let at = |r: f64| 2.0 * PI * r.powi(power - worn);
        let parts = 20;
        let step = (outer - inner) / f64::from(parts);
        let one = |i: i32| {
            let from = inner + step * f64::from(i);
            step / 6.0 * (at(from) + 4.0 * at(from + step / 2.0) + at(from + step))
        };
        (0..parts).map(one).sum::<f64>()
    };
    load * over(2) / over(1)
}

#[test]
fn without_friction_a_screw_gives_its_velocity_ratio() {
    let mut chance = Chance::new(61);
    let mut machines = Machines::default();
    let mut names = Vec::new();
    for _ in 0..25 {
        let (form, _) = chance.one(&FORMS);
        let (mean, share) = (chance.between(0.008, 0.1), chance.between(0.05, 0.3));
        let settings = [
            format!("thread {form}"),
            "collar none".into(),
            format!("mean diameter {mean:?} m"),
            format!("pitch {:?} m", share * mean),
            "friction 0".into(),
            format!("handle radius {:?} m", chance.between(0.1, 1.0)),
            format!("load {:?} N", chance.between(100.0, 1e5)),
            chance.one(&WAYS).0.into(),
        ];
        names.push(machines.add("screw", &settings));
    }
    let sheet = machines.compiled();
    for name in names {
        agree(sheet.of(&name, "load"), sheet.of(&name, "effort") * sheet.of(&name, "velocity_ratio"), &name);
    }
}

#[test]
fn turnbuckles_are_in_balance_at_both_ends() {
    let mut chance = Chance::new(62);
    for _ in 0..10 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (form, flank) = chance.one(&FORMS);
            let (mean, share) = (chance.between(0.006, 0.06), chance.between(0.05, 0.25));
            let (mu, swivel_mu) = (chance.between(0.0, 0.35), chance.between(0.0, 0.3));
            let (swivel, reach) = (chance.one(&[true, false]), chance.between(0.005, 0.03));
            let (way, sense) = chance.one(&WAYS);
            let (load, arm) = (chance.between(100.0, 90_000.0), chance.between(0.1, 0.8));
            let mut settings = vec![
                format!("thread {form}"),
                format!("mean diameter {mean:?} m"),
                format!("pitch {:?} m", share * mean),
                format!("friction {mu:?}"),
                format!("bar radius {arm:?} m"),
                format!("load {load:?} N"),
                way.to_string(),
                "moving".to_string(),
            ];
            if swivel {
                settings.extend(["far end swivel".into(), format!("swivel radius {reach:?} m"), format!("swivel friction {swivel_mu:?}")]);
            }
            let name = machines.add("turnbuckle", &settings);
            stated.push((
                name,
                mean / 2.0,
                share * mean,
                f64::to_radians(flank),
                sense,
                load,
                mu,
                swivel.then_some(swivel_mu * reach),
                arm,
            ));
        }
        let sheet = machines.compiled();
        for (name, radius, lead, flank, sense, load, mu, swivel, arm) in stated {
            let (normal, friction) = (sheet.of(&name, "flank_force"), sheet.of(&name, "flank_friction"));
            agree(friction, mu * normal, &format!("{name}: friction and force on the flanks"));
            // The near rod pulls the body one way; the far one, of the other hand and seen from its own end, the other way.
            let near = Thread { radius, lead, flank, right: true }.wrench(normal, friction, sense > 0.0);
            let far = Thread { radius, lead, flank, right: false }.wrench(normal, friction, sense > 0.0);
            let size = load * radius;
            for (force, moment) in [near, far] {
                vanishes(force[2] - load, load, &format!("{name}: along the line"));
                vanishes(force[0].hypot(force[1]), load, &format!("{name}: across the line"));
                vanishes(moment[2].abs() - sheet.of(&name, "thread_torque").abs(), size, &format!("{name}: torque of a thread"));
            }
            let given = sheet.of(&name, "effort") * arm;
            match swivel {
                // On the body both torques act against the tightening: about one axis the far end is seen from behind.
                None => vanishes(given + near.1[2] - far.1[2], size, &format!("{name}: about the line")),
                Some(rubbing) => vanishes(given + near.1[2] - sense * rubbing * load, size, &format!("{name}: about the line")),
            }
            sheet.balances(&name);
        }
    }
}

#[test]
fn differential_screws_are_in_balance_in_both_threads() {
    let mut chance = Chance::new(63);
    for _ in 0..10 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (form, flank) = chance.one(&FORMS);
            let (outer, share) = (chance.between(0.02, 0.1), chance.between(0.08, 0.25));
            let inner = outer * chance.between(0.3, 0.8);
            let (outer_lead, inner_lead) = (share * outer, share * outer * chance.between(0.5, 0.95));
            let (mu, inner_mu) = (chance.between(0.0, 0.3), chance.between(0.0, 0.3));
            let (way, sense) = chance.one(&WAYS);
            let (load, arm) = (chance.between(100.0, 90_000.0), chance.between(0.1, 0.8));
            let settings = [
                format!("thread {form}"),
                format!("outer mean diameter {outer:?} m"),
                format!("outer lead {outer_lead:?} m"),
                format!("inner mean diameter {inner:?} m"),
                format!("inner lead {inner_lead:?} m"),
                format!("friction {mu:?}"),
                format!("inner friction {inner_mu:?}"),
                format!("handle radius {arm:?} m"),
                format!("load {load:?} N"),
                way.to_string(),
                "moving".to_string(),
            ];
            let name = machines.add("differential_screw", &settings);
            let flank = f64::to_radians(flank);
            let outer = Thread { radius: outer / 2.0, lead: outer_lead, flank, right: true };
            let inner = Thread { radius: inner / 2.0, lead: inner_lead, flank, right: true };
            stated.push((name, outer, inner, sense, load, mu, inner_mu, arm));
        }
        let sheet = machines.compiled();
        for (name, outer, inner, sense, load, mu, inner_mu, arm) in stated {
            let (wide, narrow) = (sheet.of(&name, "outer_flank_force"), sheet.of(&name, "inner_flank_force"));
            let nut = outer.wrench(wide, mu * wide, sense > 0.0);
            // The inner screw goes back into the outer one while that climbs.
            let within = inner.wrench(narrow, inner_mu * narrow, sense < 0.0);
            let size = load * outer.radius;
            vanishes(nut.0[2] - load, load, &format!("{name}: along the axis, outer"));
            vanishes(within.0[2] - load, load, &format!("{name}: along the axis, inner"));
            vanishes(-nut.1[2] - sheet.of(&name, "outer_torque"), size, &format!("{name}: torque on the nut"));
            vanishes(within.1[2] - sheet.of(&name, "inner_torque"), size, &format!("{name}: torque on the inner screw"));
            let given = sheet.of(&name, "effort") * arm;
            vanishes(given + nut.1[2] - within.1[2], size, &format!("{name}: outer screw about the axis"));
            sheet.balances(&name);
        }
    }
}
