//! Wedges as free bodies in a plane: load or halves, and the wedge, each with the forces at its own surfaces.

use super::{Chance, Machines, WAYS, agree, vanishes};

#[test]
fn lifting_wedges_are_in_balance() {
    let mut chance = Chance::new(5);
    for _ in 0..12 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        while stated.len() < 25 {
            let alpha = chance.between(1.0, 40.0);
            let mu: [f64; 3] = [0; 3].map(|_| chance.between(0.0, 0.6));
            let (way, sense) = chance.one(&WAYS);
            let (load, weight) = (chance.between(10.0, 90_000.0), chance.between(0.0, 900.0));
            let rough = chance.one(&[true, false]);
            let guide_mu = if rough { mu[2] } else { 0.0 };
            if alpha.to_radians() + mu[0].atan() + guide_mu.atan() > 1.5 {
                continue;
            }
            let mut settings = vec![
                format!("work {}", if rough { "lifting against a guide" } else { "lifting in smooth guides" }),
                format!("angle {alpha:?} deg"),
                format!("face friction {:?}", mu[0]),
                format!("floor friction {:?}", mu[1]),
                format!("wedge weight {weight:?} N"),
                format!("load {load:?} N"),
                way.to_string(),
                "moving".to_string(),
            ];
            if rough {
                settings.push(format!("guide friction {guide_mu:?}"));
            }
            let name = machines.add("wedge", &settings);
            stated.push((name, alpha.to_radians(), [mu[0], mu[1], guide_mu], sense, load, weight));
        }
        let sheet = machines.compiled();
        for (name, alpha, mu, sense, load, weight) in stated {
            let (sine, cosine) = alpha.sin_cos();
            let (face, drag) = (sheet.of(&name, "face_normal"), sheet.of(&name, "face_drag"));
            let (floor, floor_drag) = (sheet.of(&name, "floor_force"), sheet.of(&name, "floor_drag"));
            let (guide, guide_drag) = (sheet.of(&name, "guide_force"), sheet.of(&name, "guide_drag"));
            let size = load + weight;
            for (friction, normal, mu) in [(drag, face, mu[0]), (floor_drag, floor, mu[1]), (guide_drag, guide.abs(), mu[2])] {
                assert!(normal >= 0.0, "{name}: a surface pulls");
                vanishes(friction - mu * normal, size, &format!("{name}: friction and the force it goes with"));
            }
            // Driven to the right, the wedge goes under the load, which slides up and back along the face.
            vanishes(face * sine + sense * drag * cosine - guide, size, &format!("{name}: load, level"));
            vanishes(face * cosine - sense * drag * sine - sense * guide_drag - load, size, &format!("{name}: load, upright"));
            let effort = sheet.of(&name, "effort");
            let level = effort - face * sine - sense * drag * cosine - sense * floor_drag;
            vanishes(level, size + effort.abs(), &format!("{name}: wedge, level"));
            vanishes(floor - face * cosine + sense * drag * sine - weight, size, &format!("{name}: wedge, upright"));
            sheet.balances(&name);
        }
    }
}

#[test]
fn splitting_wedges_are_in_balance() {
    let mut chance = Chance::new(51);
    for _ in 0..6 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (whole, mu) = (chance.between(2.0, 60.0), chance.between(0.0, 0.6));
            let (way, sense) = chance.one(&WAYS);
            let load = chance.between(10.0, 90_000.0);
            let settings = [
                "work splitting".to_string(),
                format!("angle {whole:?} deg"),
                format!("face friction {mu:?}"),
                format!("load {load:?} N"),
                way.to_string(),
                "moving".to_string(),
            ];
            stated.push((machines.add("wedge", &settings), whole.to_radians() / 2.0, mu, sense, load));
        }
        let sheet = machines.compiled();
        for (name, half, mu, sense, load) in stated {
            let (face, drag) = (sheet.of(&name, "face_normal"), sheet.of(&name, "face_drag"));
            let effort = sheet.of(&name, "effort");
            vanishes(drag - mu * face, load, &format!("{name}: friction and the force it goes with"));
            vanishes(face * half.cos() - sense * drag * half.sin() - load, load, &format!("{name}: a half"));
            let along = effort - 2.0 * (face * half.sin() + sense * drag * half.cos());
            vanishes(along, load + effort.abs(), &format!("{name}: wedge"));
            sheet.balances(&name);
        }
    }
}

#[test]
fn without_friction_a_wedge_gives_its_velocity_ratio() {
    let mut chance = Chance::new(52);
    let mut machines = Machines::default();
    let mut names = Vec::new();
    for _ in 0..25 {
        let splitting = chance.one(&[true, false]);
        let mut settings = vec![
            format!("work {}", if splitting { "splitting" } else { "lifting in smooth guides" }),
            format!("angle {:?} deg", chance.between(1.0, 60.0)),
            "face friction 0".into(),
            format!("load {:?} N", chance.between(10.0, 1e5)),
            chance.one(&WAYS).0.into(),
        ];
        if !splitting {
            settings.push("floor friction 0".into());
        }
        names.push(machines.add("wedge", &settings));
    }
    let sheet = machines.compiled();
    for name in names {
        agree(sheet.of(&name, "load"), sheet.of(&name, "effort") * sheet.of(&name, "velocity_ratio"), &name);
    }
}
