//! A brief sheet is the whole one with parts left out: the same findings, the same inputs, results, checks and verdicts, word
//! for word, and nothing of the working or the drawings.

use crate::support::folders;
use crate::support::markup::quoted;
use parbuckle::sheet::parts::Block;
use parbuckle::{Detail, Engine, MemoryFiles, Sheet, SheetPath, output};
use std::sync::LazyLock;

static WHOLE: LazyLock<Vec<Sheet>> = LazyLock::new(|| sheets(Detail::Whole));
static BRIEF: LazyLock<Vec<Sheet>> = LazyLock::new(|| sheets(Detail::Brief));

fn sheets(detail: Detail) -> Vec<Sheet> {
    let folder = folders::project().join("worked-examples");
    let mut files = MemoryFiles::new();
    let mut roots = Vec::new();
    for path in folders::files_under(&folder, "md") {
        files = files.with(&folders::relative(&path), &folders::text_of(&path));
        roots.push(SheetPath::new(&folders::relative(&path)));
    }
    for path in folders::files_under(&folder, "csv") {
        files = files.with(&folders::relative(&path), &folders::text_of(&path));
    }
    Engine::of(detail)
        .compile(&files, &roots)
        .outcomes
        .into_iter()
        .filter_map(|outcome| outcome.sheet.map(std::sync::Arc::unwrap_or_clone))
        .collect()
}

#[test]
fn a_brief_sheet_says_what_the_whole_one_says() {
    assert_eq!(WHOLE.len(), BRIEF.len());
    for (whole, brief) in WHOLE.iter().zip(BRIEF.iter()) {
        let path = &whole.path;
        assert_eq!(whole.notices, brief.notices, "{path}");
        assert_eq!(whole.complete, brief.complete, "{path}");
        assert_eq!(whole.answer, brief.answer, "{path}");
        assert_eq!(whole.checks, brief.checks, "{path}");
        assert_eq!((&whole.inputs, &whole.assumptions), (&brief.inputs, &brief.assumptions), "{path}");
        assert_eq!((&whole.gear, &whole.cautions, &whole.deference), (&brief.gear, &brief.cautions, &brief.deference), "{path}");
        assert_eq!(whole.record, brief.record, "{path}");
        for value in &brief.values {
            assert!(whole.values.contains(value), "{path}: {value:?}");
        }
        // What is lifted and what holds it is said whole: a hazard is no detail.
        for (machine, short) in whole.machines.iter().zip(&brief.machines) {
            assert_eq!((&machine.summary, &machine.sustains), (&short.summary, &short.sustains), "{path}");
        }
        for (train, short) in whole.trains.iter().zip(&brief.trains) {
            assert_eq!((&train.summary, &train.sustains, &train.joints), (&short.summary, &short.sustains, &short.joints), "{path}");
        }
    }
}

#[test]
fn every_line_of_working_has_its_result_in_a_brief_sheet() {
    let mut lines = 0;
    for (whole, brief) in WHOLE.iter().zip(BRIEF.iter()) {
        let worked = whole.blocks.iter().filter_map(|block| if let Block::Working { lines } = block { Some(lines) } else { None });
        let told = brief.blocks.iter().filter_map(|block| if let Block::Results { rows } = block { Some(rows) } else { None });
        let worked: Vec<_> = worked.flatten().map(|line| (&line.name, &line.label, &line.result, &line.items)).collect();
        let told: Vec<_> = told.flatten().map(|row| (&row.name, &row.label, &row.result, &row.items)).collect();
        assert_eq!(worked, told, "{}", whole.path);
        lines += worked.len();
    }
    assert!(lines > 50, "the worked examples have lines of working, {lines} of them");
}

#[test]
fn the_page_of_a_brief_sheet_has_neither_working_nor_drawings() {
    const LEFT_OUT: &[&str] = &["<figure class=\"sketch", "<table class=\"wide budget\"", "id=\"sheet.nomenclature\""];
    let mut stood = [false; LEFT_OUT.len()];
    for (whole, brief) in WHOLE.iter().zip(BRIEF.iter()) {
        let (page, full) = (quoted(&output::html(brief)), quoted(&output::html(whole)));
        for (place, left_out) in LEFT_OUT.iter().enumerate() {
            assert!(!page.contains(left_out), "{}: {left_out}", whole.path);
            stood[place] |= full.contains(left_out);
        }
        // The means of all trials of readings are set with their formula; nothing else is.
        assert!(!page.contains("<p class=\"eq\"") || !brief.readings.is_empty(), "{}", whole.path);
        assert!(page.contains("A brief sheet:") && !full.contains("A brief sheet:"), "{}", whole.path);
        assert!(output::text(brief).contains("A brief sheet:") && output::json(brief).contains("\"left_out\""), "{}", whole.path);
        // Whatever is linked to on the page is there.
        for link in page.split("href=\"#").skip(1).filter_map(|rest| rest.split('"').next()) {
            assert!(page.contains(&format!("id=\"{link}\"")), "{}: #{link} leads nowhere", whole.path);
        }
    }
    // Words that a whole page does not have would be missed by nobody.
    assert_eq!(stood, [true; LEFT_OUT.len()]);
    assert!(WHOLE.iter().any(|sheet| quoted(&output::html(sheet)).contains("<p class=\"eq\"")));
}
