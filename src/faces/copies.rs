//! `build --for`: copies of sheets for whoever checks them or learns from them, beside which nothing else is written.

use crate::faces::arguments::{Build, Purpose};
use crate::faces::build::{report_below, stems};
use crate::faces::outputs::Outputs;
use crate::faces::paper::Papers;
use crate::faces::project::Project;
use crate::faces::session::{cores, work};
use crate::faces::tally::{Tally, count};
use crate::faces::terminal::Terminal;
use crate::faces::{Status, Trouble};
use crate::output;
use crate::sheet::Detail;
use crate::sheet::parts::Sheet;
use std::path::Path;

/// Writes the copies of every sheet that was asked for; nothing that was worked goes with those of a blind calculation.
pub(super) fn run(asked: &Build, purpose: Purpose, terminal: &Terminal) -> Result<Status, Trouble> {
    if asked.out == Path::new("-") {
        return Err(Trouble::new("`--for` writes files, and `--out -` writes none").with_help("name a folder after --out"));
    }
    let cores = cores(asked.cores);
    let project = Project::open(&asked.paths.paths, asked.paths.root.as_deref(), Some(&asked.out), cores)?.on(asked.looked.on);
    let stems = stems(&project.sheets)?;
    let endings: &[&str] = match purpose {
        Purpose::Checking => &["checking.html"],
        Purpose::Blind => &["blind.html", "blind.csv"],
        Purpose::Learners => &["learners.html"],
    };
    let printed = endings.iter().filter(|_| asked.pdf).filter_map(|ending| Some(format!("{}.pdf", ending.strip_suffix(".html")?)));
    let endings: Vec<String> = endings.iter().map(ToString::to_string).chain(printed).collect();
    let names = stems.iter().flat_map(|stem| endings.iter().map(move |ending| format!("{stem}.{ending}")));
    let outputs = Outputs::open(&project.disk, &asked.out, names)?;
    let papers = asked.pdf.then(|| Papers::open(&asked.out)).transpose()?;
    let paper = asked.paper.map(|paper| paper.size());
    let (mut tally, mut at, mut written) = (Tally::default(), 0, Ok(()));
    let mut without = 0;
    let mut waiting: Vec<(usize, String)> = Vec::new();
    let bar = terminal.progress(project.sheets.len());
    work(
        (cores, Detail::Whole),
        &project.disk,
        &project.sheets,
        &bar,
        |sheet| {
            let copies = copies(sheet, purpose);
            let page = papers.as_ref().and_then(|_| copies.iter().find(|(ending, _)| ending.ends_with(".html")));
            let page = page.map(|(ending, text)| (*ending, output::on_paper(sheet, text, paper)));
            (copies, page)
        },
        |one| {
            report_below(&bar, &one, &mut tally, terminal);
            let stem = stems.get(at);
            at += 1;
            let (Some(stem), Ok((_, Some((copies, page))))) = (stem, &one.result) else { return };
            without += usize::from(copies.is_empty());
            for (ending, text) in copies {
                if written.is_ok() {
                    written = outputs.put(&format!("{stem}.{ending}"), text.as_bytes(), false).map(|_| ());
                }
            }
            if let (Some(papers), Some((ending, page)), true) = (&papers, page, written.is_ok()) {
                written = papers.keep(at, page);
                waiting.push((at, format!("{stem}.{}", ending.trim_end_matches(".html"))));
            }
        },
    );
    written?;
    let (replaced, unchanged) = outputs.settle()?;
    let kept = if unchanged > 0 { format!(", {unchanged} unchanged") } else { String::new() };
    // Only the copies for learners may be none.
    let without = match (without, project.sheets.len()) {
        (0, _) => String::new(),
        (_, 1) => "; there is no `exercise` on it, so there is nothing for learners".to_string(),
        (without, _) => format!("; on {without} of them there is no `exercise`"),
    };
    terminal.say(&format!(
        "{}{without}; {} written to {}{kept}",
        count(project.sheets.len(), "sheet"),
        count(replaced, "file"),
        asked.out.display()
    ));
    if let Some(papers) = papers.filter(|_| !waiting.is_empty()) {
        let waiting: Vec<(usize, &String)> = waiting.iter().map(|(at, stem)| (*at, stem)).collect();
        papers.print(&waiting, &asked.out, &project.disk, terminal)?;
    }
    Ok(tally.status_of_writing())
}

// Endings and texts.
fn copies(sheet: &Sheet, purpose: Purpose) -> Vec<(&'static str, String)> {
    match purpose {
        Purpose::Checking => vec![("checking.html", output::checking_html(sheet))],
        // A sheet that poses no exercise has nothing for them.
        Purpose::Learners => output::learners(sheet).map(|page| ("learners.html", page)).into_iter().collect(),
        Purpose::Blind => vec![("blind.html", output::blind_html(sheet)), ("blind.csv", output::blind_form(sheet))],
    }
}
