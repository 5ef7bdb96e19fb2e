//! How long a whole sheet takes beside Markdown alone on the same text, in one run, as ratios, and where the time goes.
//!
//! The sheets are made up. The best of many rounds; no test anywhere waits for a clock. The engine has read its kinds
//! before it is timed, as it has for every sheet of a folder but the first.

use parbuckle::sheet::{BudgetsAsked, Work};
use parbuckle::source::FileId;
use parbuckle::{Detail, Engine, MemoryFiles, SheetPath};
use std::hint::black_box;
use std::time::Instant;

// As in the program.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// About 8 KB: 60 quantities, 4 machines in 3 trains, 2 checks.
const TYPICAL: &str = include_str!("typical.md");

/// `lines` working lines, each on an input of its own with a doubt of its own.
fn ledger(lines: usize) -> String {
    let mut text = String::from("# A long ledger\n\n```rig\n");
    for at in 0..lines {
        text.push_str(&format!("take m{at} = {} kg ± 2 kg from \"weighed\"\nw{at} = weight(m{at}) * 1.1\n", 100 + at % 37));
    }
    text.push_str("```\n");
    text
}

/// The time of the quickest of `rounds` rounds, in microseconds: the one that other work on the machine disturbed least.
fn best(rounds: usize, mut round: impl FnMut()) -> f64 {
    let times = (0..rounds).map(|_| {
        let start = Instant::now();
        round();
        start.elapsed().as_secs_f64() * 1e6
    });
    times.fold(f64::INFINITY, f64::min)
}

fn markdown(text: &str) {
    let options = pulldown_cmark::Options::ENABLE_TABLES | pulldown_cmark::Options::ENABLE_FOOTNOTES | pulldown_cmark::Options::ENABLE_MATH;
    let mut html = String::new();
    pulldown_cmark::html::push_html(&mut html, pulldown_cmark::Parser::new_ext(black_box(text), options));
    black_box(html);
}

/// Where the time goes on `text`, room by room.
fn rooms(text: &str) {
    let files = MemoryFiles::new().with("sheet.md", text);
    let path = SheetPath::new("sheet.md");
    let mut engine = Engine::new();
    let first = engine.compile(&files, std::slice::from_ref(&path));
    let sheet = first.outcomes.first().and_then(|outcome| outcome.sheet.as_ref());
    let Some(sheet) = sheet.filter(|sheet| sheet.complete) else {
        let said: Vec<&str> = first.outcomes.iter().flat_map(|outcome| &outcome.notices).map(|notice| notice.headline.as_str()).collect();
        println!("the sheet of the bench does not compile: {said:?}");
        std::process::exit(1);
    };
    let Ok(gathered) = engine.gather(&files, &path) else { return };
    let model = parbuckle::model::resolve(gathered.file, &gathered.material, &mut gathered.sink.clone());
    let evaluation = parbuckle::program::run(&model, &mut gathered.sink.clone());
    let work = Work {
        sources: &gathered.sources,
        file: gathered.file,
        document: &gathered.document,
        model: &model,
        evaluation: &evaluation,
        studies: &[],
        draws: &[],
        findings: &[],
        budgets: &BudgetsAsked::default(),
        day: None,
        detail: Detail::Whole,
    };
    println!(
        "{} bytes, {} inputs, {} values by name, {} machines in {} trains; a page of {} bytes, JSON of {}",
        text.len(),
        sheet.inputs.len(),
        sheet.values.len(),
        sheet.machines.len(),
        sheet.trains.len(),
        parbuckle::output::html(sheet).len(),
        parbuckle::output::json(sheet).len(),
    );
    let alone = best(501, || markdown(text));
    let row = |name: &str, time: f64| println!("{name:34} {time:9.1} µs {:8.1} × Markdown", time / alone);
    row("Markdown alone", alone);
    let prose = best(201, || {
        black_box(parbuckle::document::read(black_box(text), FileId(0), &mut gathered.sink.clone()));
    });
    row("prose and fences", prose);
    let trees = best(201, || {
        black_box(engine.gather(black_box(&files), &path).is_ok());
    });
    row("trees of the fences", trees - prose);
    let bound = best(201, || {
        black_box(parbuckle::model::resolve(gathered.file, black_box(&gathered.material), &mut gathered.sink.clone()));
    });
    row("model", bound);
    let run = best(201, || {
        black_box(parbuckle::program::run(black_box(&model), &mut gathered.sink.clone()));
    });
    row("program", run);
    let built = best(201, || {
        black_box(parbuckle::sheet::build(black_box(&work)));
    });
    row("sheet", built);
    let whole = best(201, || {
        black_box(engine.compile(black_box(&files), std::slice::from_ref(&path)));
    });
    row("text to sheet", whole);
    let page = best(101, || {
        black_box(parbuckle::output::html(black_box(sheet)));
    });
    row("sheet to page", page);
    row("text to page", whole + page);
    let mut engine = Engine::of(Detail::Brief);
    let brief = best(201, || {
        black_box(engine.compile(black_box(&files), std::slice::from_ref(&path)));
    });
    let short = engine.compile(&files, std::slice::from_ref(&path)).outcomes.pop().and_then(|outcome| outcome.sheet);
    let short_page = best(101, || {
        black_box(short.as_deref().map(parbuckle::output::html));
    });
    row("text to brief sheet", brief);
    row("brief sheet to page", short_page);
    row("text to brief page", brief + short_page);
    let json = best(101, || {
        black_box(parbuckle::output::json(black_box(sheet)));
    });
    row("sheet to JSON", json);
    let cold = best(21, || {
        black_box(Engine::new().compile(black_box(&files), std::slice::from_ref(&path)));
    });
    row("text to sheet, kinds not yet read", cold);
}

/// Whether the time grows with the length alone.
fn lengths() {
    let mut before = None;
    for lines in [5_000, 10_000, 20_000] {
        let files = MemoryFiles::new().with("ledger.md", &ledger(lines));
        let path = SheetPath::new("ledger.md");
        let mut engine = Engine::new();
        let mut kept = None;
        let time = best(3, || kept = Some(engine.compile(black_box(&files), std::slice::from_ref(&path))));
        let sheet = kept.as_ref().and_then(|report| report.outcomes.first()).and_then(|outcome| outcome.sheet.as_ref());
        let page = sheet.map_or(f64::NAN, |sheet| {
            best(3, || {
                black_box(parbuckle::output::html(black_box(sheet)));
            })
        });
        let growth = before.map_or(String::new(), |(a, b)| format!(" ({:.2} and {:.2} times the row above)", time / a, page / b));
        println!("{lines:6} lines, each with its doubt: {:8.1} ms to the sheet, {:8.1} ms to the page{growth}", time / 1e3, page / 1e3);
        before = Some((time, page));
    }
}

fn main() {
    rooms(TYPICAL);
    // `cargo bench -- rooms` leaves the long sheets out.
    if !std::env::args().any(|argument| argument == "rooms") {
        lengths();
    }
}
