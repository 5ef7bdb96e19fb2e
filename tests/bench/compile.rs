//! How long a whole sheet takes beside Markdown alone on the same text, in one run, as a ratio.
//!
//! The sheet is made up: about 8 KB, 60 quantities, 4 machines. Medians of many rounds; no timed tests anywhere.

use parbuckle::{Engine, MemoryFiles, SheetPath};
use std::hint::black_box;
use std::time::Instant;

const PROSE: &str = "The way up has two bends and a level stretch between them, where the crew may rest. The planks are laid on bearers at \
every metre, and the bearers on firm ground; **nobody walks on the low side** while the load is on the move.[^note]\n\n\
| stretch | length | slope |\n| --- | --- | --- |\n| foot | 4 m | 6° |\n| head | 7 m | 9° |\n\nThe pull is $F = W \\sin\\theta$ without friction.\n\n\
[^note]: As agreed on site.\n\n";

fn sheet() -> String {
    let mut text = String::from("# A day's work\n\n```rig\nsheet B-1 \"A day's work\"\n    duty pull\n");
    for at in 0..12 {
        text.push_str(&format!("take m{at} \"piece {at}\" = {} kg ± {} kg from \"weighed\"\n", 120 + 10 * at, 2 + at % 3));
    }
    text.push_str("```\n\n");
    for at in 0..12 {
        text.push_str(PROSE.get(..if at % 3 == 0 { PROSE.len() } else { 230 }).unwrap_or(PROSE));
        text.push_str(&format!("\n\n```rig\nw{at} = weight(m{at})\nlifted{at} = w{at} * 1.1\nshare{at} = lifted{at} / 3\nrest{at} = lifted{at} - share{at}\n```\n\n"));
    }
    text.push_str(
        "```rig\nmachine slip = ramp\n    angle 9 deg ± 0.5 deg\n    friction 0.2 ± 0.03\nmachine falls = tackle\n    parts 4\n    sheave loss 6 %\n\
machine bar = lever\n    class second\n    effort arm 1.8 m\n    load arm 0.15 m\nmachine easing = tackle\n    parts 3\n    rove to advantage\n    sheave loss 6 %\n\
train haul: crew -> falls -> slip -> w3\ntrain prise: crew -> bar -> w4\ntrain ease: crew -> easing -> w5\n    lowering\n\
check \"crew\": haul.effort <= 600 N\ncheck \"bar\": prise.effort <= 400 N\n```\n",
    );
    text
}

fn median(mut round: impl FnMut(), rounds: usize) -> f64 {
    let mut times: Vec<f64> = (0..rounds)
        .map(|_| {
            let start = Instant::now();
            round();
            start.elapsed().as_secs_f64() * 1e6
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times.get(rounds / 2).copied().unwrap_or(f64::NAN)
}

fn main() {
    let text = sheet();
    let files = MemoryFiles::new().with("sheet.md", &text);
    let path = SheetPath::new("sheet.md");
    let first = Engine::new().compile(&files, std::slice::from_ref(&path));
    let sheet = first.outcomes.first().and_then(|outcome| outcome.sheet.as_ref());
    let Some(sheet) = sheet.filter(|sheet| sheet.complete) else {
        let said: Vec<&str> = first.outcomes.iter().flat_map(|outcome| &outcome.notices).map(|notice| notice.headline.as_str()).collect();
        println!("the sheet of the bench does not compile: {said:?}");
        std::process::exit(1);
    };
    let quantities = sheet.inputs.len() + sheet.nomenclature.len();
    println!(
        "text {} bytes; {} named values, {} machines, {} listed inputs and symbols",
        text.len(),
        sheet.values.len(),
        sheet.machines.len(),
        quantities
    );
    let options = pulldown_cmark::Options::ENABLE_TABLES | pulldown_cmark::Options::ENABLE_FOOTNOTES | pulldown_cmark::Options::ENABLE_MATH;
    let markdown = median(
        || {
            let mut html = String::new();
            pulldown_cmark::html::push_html(&mut html, pulldown_cmark::Parser::new_ext(black_box(&text), options));
            black_box(html);
        },
        501,
    );
    let model = median(
        || {
            black_box(Engine::new().compile(black_box(&files), std::slice::from_ref(&path)));
        },
        51,
    );
    let page = median(
        || {
            black_box(parbuckle::output::html(black_box(sheet)));
        },
        51,
    );
    println!("Markdown alone      {markdown:9.1} µs");
    println!("text to sheet       {model:9.1} µs  {:6.1} × Markdown", model / markdown);
    println!("sheet to page       {page:9.1} µs  {:6.1} × Markdown", page / markdown);
    println!("text to page        {:9.1} µs  {:6.1} × Markdown", model + page, (model + page) / markdown);
}
