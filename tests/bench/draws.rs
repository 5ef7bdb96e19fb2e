//! A million draws through a sheet of two hundred operations, beside the same arithmetic on whole arrays, in one run.
//!
//! Both sides draw by the same samplers and come to the same numbers, which is looked at first. The best of some rounds.

use ndarray::Array1;
use parbuckle::measure::{Distribution, Sampler};
use parbuckle::{Engine, MemoryFiles, SheetPath};
use std::hint::black_box;
use std::time::Instant;

const DRAWS: usize = 1_000_000;
const INPUTS: usize = 10;
const LINES: usize = 50;
const SEED: u64 = 101;

/// Which inputs a line works with.
fn picks(line: usize) -> [usize; 3] {
    [line % INPUTS, (3 * line + 1) % INPUTS, (7 * line + 2) % INPUTS]
}

/// Ten inputs, half of them normal and half rectangular, and fifty lines of four operations each.
fn sheet() -> String {
    let mut text = String::from("```rig\n");
    for at in 0..INPUTS {
        let doubt = if at % 2 == 0 { "0.05 (u)" } else { "0.1" };
        text.push_str(&format!("take x{at} = 1.{at} ± {doubt} from \"made up\"\n"));
    }
    text.push_str("y0 = x0\n");
    for line in 1..=LINES {
        let [a, b, c] = picks(line);
        let before = line - 1;
        let works = match line % 5 {
            0 => format!("sqrt(y{before} * x{a} + x{b}) - 0.5"),
            _ => format!("(y{before} + x{a} * x{b}) / (x{c} + 1.5)"),
        };
        text.push_str(&format!("y{line} = {works}\n"));
    }
    text.push_str(&format!("propagate y{LINES}\n    draws {DRAWS}\n    interval symmetric\n```\n"));
    text
}

/// The inputs drawn as the program draws them.
fn inputs() -> Vec<Array1<f64>> {
    let drawn = |at: usize| {
        let (distribution, size) = match at % 2 {
            0 => (Distribution::Normal, 0.05),
            _ => (Distribution::Rectangular, 0.1 / 3.0_f64.sqrt()),
        };
        let mut draws = vec![0.0; DRAWS];
        Sampler::new(SEED, at, distribution, size).fill(&mut draws);
        Array1::from(draws) + (1.0 + 0.1 * at as f64)
    };
    (0..INPUTS).map(drawn).collect()
}

/// The lines on whole arrays.
fn lines(x: &[Array1<f64>]) -> Array1<f64> {
    let mut y = x[0].clone();
    for line in 1..=LINES {
        let [a, b, c] = picks(line).map(|at| &x[at]);
        y = match line % 5 {
            0 => (y * a + b).sqrt() - 0.5,
            _ => (y + &(a * b)) / &(c + 1.5),
        };
    }
    y
}

/// Sorted, with both ends of the interval.
fn summed_up(draws: Array1<f64>) -> (f64, f64, f64) {
    let mean = draws.mean().unwrap_or(f64::NAN);
    let mut sorted = draws.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    (mean, sorted[DRAWS / 40], sorted[DRAWS - DRAWS / 40])
}

/// The seconds of the quickest round.
fn best(mut round: impl FnMut()) -> f64 {
    let times = (0..5).map(|_| {
        let start = Instant::now();
        round();
        start.elapsed().as_secs_f64()
    });
    times.fold(f64::INFINITY, f64::min)
}

fn main() {
    let files = MemoryFiles::new().with("sheet.md", &sheet());
    let path = SheetPath::new("sheet.md");
    let Ok(gathered) = Engine::new().gather(&files, &path) else { return };
    let mut sink = gathered.sink.clone();
    let model = parbuckle::model::resolve(gathered.file, &gathered.material, &mut sink);
    let evaluation = parbuckle::program::run(&model, &mut sink);
    let drawn = || parbuckle::program::draw(&model, black_box(&evaluation), &mut gathered.sink.clone());
    let found = drawn().into_iter().flatten().flat_map(|propagated| propagated.results).flatten().next();
    let (mean, low, high) = summed_up(lines(&inputs()));
    let agrees = found.is_some_and(|found| {
        let pairs = [(found.mean.unwrap_or(f64::NAN), mean), (found.interval.0, low), (found.interval.1, high)];
        pairs.iter().all(|(a, b)| (a - b).abs() < 1e-5 * b.abs())
    });
    if !agrees {
        println!("the two sides do not agree: the bench is wrong");
        std::process::exit(1);
    }
    let ours = best(|| {
        black_box(drawn());
    });
    let drawing = best(|| {
        black_box(inputs());
    });
    let x = inputs();
    let arithmetic = best(|| {
        black_box(lines(black_box(&x)));
    });
    let y = lines(&x);
    let summing = best(|| {
        black_box(summed_up(black_box(y.clone())));
    });
    let arrays = drawing + arithmetic + summing;
    let rate = |seconds: f64| 4.0 * LINES as f64 * DRAWS as f64 / seconds / 1e6;
    println!("{DRAWS} draws of {INPUTS} inputs through {} operations", 4 * LINES);
    println!("propagate, all of it                  {ours:7.3} s {:8.0} million draws times operations in a second", rate(ours));
    println!("  so for the arithmetic, by difference {:6.3} s", ours - drawing - summing);
    println!("whole arrays, all of it               {arrays:7.3} s {:8.0} million draws times operations in a second", rate(arrays));
    println!("  drawing {drawing:.3} s, arithmetic {arithmetic:.3} s, mean and interval {summing:.3} s");
    println!("propagate takes {:.2} times as long as whole arrays", ours / arrays);
}
