//! Tackles as free bodies: both blocks, and each sheave with its tight and its slack part.

use super::{Chance, Machines, WAYS, agree, vanishes};

#[test]
fn tackles_are_in_balance() {
    let mut chance = Chance::new(52);
    for _ in 0..10 {
        let mut machines = Machines::default();
        let mut stated = Vec::new();
        for _ in 0..25 {
            let (way, sense) = chance.one(&WAYS);
            let advantage = chance.one(&[true, false]);
            let parts = chance.one(&[2_usize, 3, 4, 5, 6]);
            // With an odd number of parts the rope ends on the running block itself.
            let apart = parts.is_multiple_of(2) && chance.one(&[true, false]);
            let sheaves = if advantage { parts - 1 } else { parts };
            let losses: Vec<f64> = (0..sheaves).map(|_| chance.between(0.0, 0.15)).collect();
            let (load, block) = (chance.between(100.0, 90_000.0), chance.between(0.0, 300.0));
            let listed = losses.iter().map(|loss| format!("{loss:?}")).collect::<Vec<_>>().join(", ");
            let settings = [
                format!("rove to {}", if advantage { "advantage" } else { "disadvantage" }),
                format!("dead end {}", if apart { "made fast apart" } else { "on a block" }),
                way.to_string(),
                format!("parts {parts}"),
                format!("sheave loss [{listed}]"),
                format!("block weight {block:?} N"),
                format!("load {load:?} N"),
            ];
            stated.push((machines.add("tackle", &settings), sense, advantage, parts, apart, losses, load, block));
        }
        let sheet = machines.compiled();
        for (name, sense, advantage, parts, apart, losses, load, block) in stated {
            let tensions: Vec<f64> = (1..=losses.len() + 1).map(|at| sheet.item(&name, "rope", at)).collect();
            let hauling = sheet.of(&name, "hauling_part");
            agree(*tensions.last().expect("a rope has parts"), hauling, &format!("{name}: hauling part"));
            // Every part but a hauling part that leaves the standing block hangs on the running block.
            let carried: f64 = tensions.iter().take(parts).sum();
            vanishes(carried - load - block, load + block, &format!("{name}: running block"));
            // The rest is what the standing block, with the dead end or without it, holds up against parts and hauling part.
            let hung = if advantage { carried - hauling } else { carried + hauling };
            let standing = if apart { hung - tensions[0] } else { hung };
            vanishes(sheet.of(&name, "standing_block") - standing, load, &format!("{name}: standing block"));
            for (pair, loss) in tensions.windows(2).zip(&losses) {
                let (slack, tight) = if sense > 0.0 { (pair[0], pair[1]) } else { (pair[1], pair[0]) };
                agree(tight, slack * (1.0 + loss), &format!("{name}: a sheave"));
            }
            sheet.balances(&name);
            if losses.iter().all(|loss| *loss == 0.0) && block == 0.0 {
                agree(load / sheet.of(&name, "effort"), sheet.of(&name, "velocity_ratio"), &format!("{name}: ratio"));
            }
        }
    }
}

#[test]
fn without_friction_or_weight_a_tackle_gives_its_velocity_ratio() {
    let mut machines = Machines::default();
    let mut stated = Vec::new();
    for parts in 2..=8 {
        for rove in ["advantage", "disadvantage"] {
            let settings = [format!("rove to {rove}"), format!("parts {parts}"), "sheave loss 0".into(), "load 1 kN".into()];
            stated.push((machines.add("tackle", &settings), parts));
        }
    }
    let sheet = machines.compiled();
    for (name, parts) in stated {
        agree(1000.0 / sheet.of(&name, "effort"), f64::from(parts), &name);
        agree(sheet.of(&name, "velocity_ratio"), f64::from(parts), &name);
    }
}
