//! Ropes on posts as free bodies: the rope cut into short pieces, and the post with both leads.

use super::{Chance, Machines, WAYS, agree, vanishes};
use std::f64::consts::PI;

// The rope's tension after `wrap`, from the forces on pieces so short that each is a straight balance: the friction of
// a piece is mu times its pressure, half the sum of its ends' tensions times its angle (the midpoint rule of the
// differential equation dT = mu T dθ, refined once by Richardson's rule).
fn pulled_through(tension: f64, mu: f64, wrap: f64) -> f64 {
    let pieces = |count: usize| {
        let half = mu * wrap / count as f64 / 2.0;
        (0..count).fold(tension, |ends, _| ends * (1.0 + half) / (1.0 - half))
    };
    let (coarse, fine) = (pieces(4000), pieces(8000));
    fine + (fine - coarse) / 3.0
}

#[test]
fn ropes_on_posts_are_in_balance() {
    let mut chance = Chance::new(31);
    for _ in 0..8 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (way, sense) = chance.one(&WAYS);
            let driven = chance.one(&[false, true]);
            let (turns, mu) = (chance.between(0.1, 3.0), chance.between(0.02, 0.35));
            let (groove, load) = (chance.one(&[180.0, 60.0, 35.0]), chance.between(1.0, 90_000.0));
            let mut settings = vec![
                way.to_string(),
                format!("body {}", if driven { "driven drum" } else { "post" }),
                if chance.one(&[true, false]) { format!("turns {turns:?}") } else { format!("contact {:?} deg", turns * 360.0) },
                format!("friction {mu:?}"),
                "radius 0.2 m".to_string(),
                format!("load {load:?} N"),
            ];
            if groove < 180.0 {
                settings.extend(["surface V groove".to_string(), format!("groove angle {groove:?} deg")]);
            }
            let pressed = mu / (f64::to_radians(groove) / 2.0).sin();
            stated.push((machines.add("capstan", &settings), sense, driven, turns * 2.0 * PI, pressed, load));
        }
        let sheet = machines.compiled();
        for (name, sense, driven, wrap, mu, load) in stated {
            let effort = sheet.of(&name, "effort");
            // Whatever moves against the surface grows towards the side it moves to; a driven drum drags the rope to the hand's side.
            let hauled = sense > 0.0 && !driven;
            let tight = pulled_through(if hauled { load } else { effort }, mu, wrap);
            assert!((tight / if hauled { effort } else { load } - 1.0).abs() < 1e-7, "{name}: the rope piece by piece");
            // The leads part by half a turn less the contact; the post holds against their sum.
            let (along, across) = (load + effort * (PI - wrap).cos(), effort * (PI - wrap).sin());
            vanishes(along - sheet.of(&name, "post_along"), load + effort, &format!("{name}: post, along the load's lead"));
            vanishes(across - sheet.of(&name, "post_across"), load + effort, &format!("{name}: post, across it"));
            agree(along.hypot(across), sheet.of(&name, "post_pull"), &format!("{name}: post"));
            let twist = (load - effort).abs() * 0.2;
            agree(twist, sheet.of(&name, if driven { "drum_torque" } else { "post_torque" }), &format!("{name}: moments"));
            sheet.balances(&name);
        }
    }
}

#[test]
fn without_friction_a_post_only_turns_the_rope_and_hauling_undoes_paying_out() {
    let mut machines = Machines::default();
    let smooth = machines.add("capstan", &["turns 2".into(), "friction 0".into(), "load 700 N".into()]);
    let settings = |way: &str| [way.to_string(), "turns 1.3".into(), "friction 0.21".into(), "load 700 N".into()];
    let (up, down) = (machines.add("capstan", &settings("raising")), machines.add("capstan", &settings("lowering")));
    let sheet = machines.compiled();
    agree(sheet.of(&smooth, "effort"), 700.0, "a smooth post");
    agree(sheet.of(&up, "effort") * sheet.of(&down, "effort"), 700.0 * 700.0, "friction turned round");
}
