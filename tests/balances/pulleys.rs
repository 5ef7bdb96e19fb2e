//! Systems of pulleys as free bodies: every pulley on its own, the bar, and the beam.

use super::{Chance, Machines, WAYS, agree, vanishes};

struct Case {
    name: String,
    sense: f64,
    system: &'static str,
    downward: bool,
    pulleys: usize,
    losses: Vec<f64>,
    weights: Vec<f64>,
    load: f64,
}

// Numbers of the program's own spelling, as a list of a sheet.
fn list(values: &[f64], unit: &str) -> String {
    let items: Vec<String> = values.iter().map(|value| format!("{value:?}{unit}")).collect();
    format!("[{}]", items.join(", "))
}

fn made(chance: &mut Chance, machines: &mut Machines) -> Case {
    let (way, sense) = chance.one(&WAYS);
    let system = chance.one(&["first", "second", "third"]);
    let downward = system == "first" && chance.one(&[true, false]);
    let pulleys = chance.one(&[1, 2, 3, 4, 5]);
    let load = chance.between(1.0, 90_000.0);
    let losses: Vec<f64> = (0..pulleys).map(|_| chance.between(0.0, 0.2)).collect();
    let moving = match system {
        "first" => pulleys,
        "second" => 1,
        _ => pulleys - 1,
    };
    // Light enough that the third system's pulleys do not hold the load by themselves.
    let weights: Vec<f64> = (0..moving).map(|_| chance.between(0.0, load / 200.0)).collect();
    let mut settings = vec![
        way.to_string(),
        format!("system {system}"),
        format!("pulleys {pulleys}"),
        format!("sheave loss {}", list(&losses, "")),
        format!("load {load:?} N"),
    ];
    if moving > 0 {
        settings.push(format!("block weight {}", list(&weights, " N")));
    }
    if downward {
        settings.extend(["hauled downward".to_string(), "fixed loss 0.07".to_string()]);
    }
    Case { name: machines.add("pulleys", &settings), sense, system, downward, pulleys, losses, weights, load }
}

#[test]
fn systems_of_pulleys_are_in_balance() {
    let mut chance = Chance::new(36);
    for _ in 0..10 {
        let mut machines = Machines::default();
        let cases: Vec<Case> = (0..25).map(|_| made(&mut chance, &mut machines)).collect();
        let sheet = machines.compiled();
        for case in &cases {
            let Case { name, sense, system, downward, pulleys, losses, weights, load } = case;
            let effort = sheet.of(name, "effort");
            let each = |list: &str, count: usize| (1..=count).map(|at| sheet.item(name, list, at)).collect::<Vec<f64>>();
            let ratio = |from: f64, to: f64, loss: f64| {
                agree(if *sense > 0.0 { to / from } else { from / to }, 1.0 + loss, &format!("{name}: sheave"))
            };
            match *system {
                "first" => {
                    let (on, dead) = (each("hauled_end", *pulleys), each("beam_end", *pulleys));
                    let mut below = *load;
                    for at in 0..*pulleys {
                        vanishes(on[at] + dead[at] - weights[at] - below, *load, &format!("{name}: pulley {at}"));
                        ratio(dead[at], on[at], losses[at]);
                        below = on[at];
                    }
                    let mut beam: f64 = dead.iter().sum();
                    if *downward {
                        ratio(below, effort, 0.07);
                        beam += below + effort;
                    } else {
                        agree(below, effort, &format!("{name}: hand"));
                    }
                    agree(beam, sheet.of(name, "beam"), &format!("{name}: beam"));
                }
                "second" => {
                    let rope = each("rope", pulleys + 1);
                    let lower: f64 = rope[..*pulleys].iter().sum();
                    vanishes(lower - load - weights[0], *load, &format!("{name}: lower block"));
                    for at in 0..*pulleys {
                        ratio(rope[at], rope[at + 1], losses[at]);
                    }
                    agree(rope[*pulleys], effort, &format!("{name}: hand"));
                    agree(lower + effort, sheet.of(name, "beam"), &format!("{name}: beam"));
                }
                _ => {
                    let (free, bar) = (each("free_end", *pulleys), each("bar_end", *pulleys));
                    agree(free[0], effort, &format!("{name}: hand"));
                    for at in 0..*pulleys {
                        ratio(bar[at], free[at], losses[at]);
                        let above = if at + 1 < *pulleys { free[at + 1] - weights[at] } else { sheet.of(name, "beam") };
                        vanishes(free[at] + bar[at] - above, *load, &format!("{name}: pulley {at}"));
                    }
                    vanishes(bar.iter().sum::<f64>() - load, *load, &format!("{name}: bar"));
                }
            }
            sheet.balances(name);
        }
    }
}

#[test]
fn without_friction_and_weight_the_effort_is_the_load_over_the_velocity_ratio() {
    let mut machines = Machines::default();
    let ideal = [("first", 4, 16.0), ("second", 4, 4.0), ("third", 4, 15.0)];
    let names: Vec<String> = ideal
        .iter()
        .map(|(system, pulleys, _)| {
            let settings = [format!("system {system}"), format!("pulleys {pulleys}"), "sheave loss 0".into(), "load 480 N".into()];
            machines.add("pulleys", &settings)
        })
        .collect();
    let sheet = machines.compiled();
    for (name, (system, _, ratio)) in names.iter().zip(ideal) {
        agree(sheet.of(name, "effort"), 480.0 / ratio, system);
        agree(sheet.of(name, "effort_travel"), ratio, system);
    }
}
