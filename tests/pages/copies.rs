//! The other forms of a page, in the other language: copies for checking and for calculating blind, exercises for learners, a brief
//! sheet, a comparison, and the whole sheet as a German house has it.

use super::access::{Rules, look};
use super::markup::errors;
use super::print::{PAPERS, printed};
use super::{EXAMINE, WIDTHS, address, none, overheard, pages, texts};
use crate::support::browser::{Screen, browser};
use crate::support::program::{put, run};
use crate::support::{checkers, folders};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// The pages, each built of the worked example that has most of what its form prints.
fn copies() -> &'static Path {
    static COPIES: OnceLock<PathBuf> = OnceLock::new();
    COPIES.get_or_init(|| {
        let here = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("copies");
        let _ = std::fs::remove_dir_all(&here);
        let examples = folders::project().join("worked-examples");
        for name in ["boat-on-a-slip.md", "boat-on-a-slip.signoff", "rope-locker.md", "bench-two-and-three.md", "bench-two-and-three.csv", "sack-to-the-bin-floor.md"] {
            put(&here, name, folders::text_of(&examples.join(name)));
        }
        // A signature that has gone stale, for its lists of what has changed.
        let boat = folders::text_of(&examples.join("boat-on-a-slip.md"));
        assert!(boat.contains("610 kg"), "the gig weighs what it did");
        put(&here, "boat-on-a-slip.md", boat.replace("610 kg", "640 kg"));
        put(&here, "before/boat-on-a-slip.md", boat);
        put(&here, "before/rope-locker.md", folders::text_of(&examples.join("rope-locker.md")));
        put(
            &here,
            "parbuckle.toml",
            "language = \"de\"\nauthor_language = \"en\"\ndecimal_sign = \"comma\"\ndate_form = \"D Month YYYY\"\nowner = \"Hafenbau GmbH\"\n",
        );
        for arguments in [
            &["build", "boat-on-a-slip.md", "bench-two-and-three.md", "--out", "out/whole"][..],
            &["build", "boat-on-a-slip.md", "--out", "out/checking", "--for", "checking"],
            &["build", "bench-two-and-three.md", "--out", "out/blind", "--for", "blind"],
            &["build", "sack-to-the-bin-floor.md", "--out", "out/learners", "--for", "learners"],
            &["build", "boat-on-a-slip.md", "--out", "out/brief", "--brief"],
        ] {
            let built = run(&here, arguments);
            assert_eq!(built.status, 0, "{arguments:?}: {}", built.err);
        }
        let compared = run(&here, &["compare", "before/boat-on-a-slip.md", "boat-on-a-slip.md", "--format", "html"]);
        put(&here, "out/compared.html", compared.out);
        here.join("out")
    })
}

// Pages of kinds are the same for every form of a page.
fn forms() -> Vec<PathBuf> {
    let wanted = |page: &PathBuf| !called(page).contains("kinds") || called(page).starts_with("whole");
    let forms: Vec<PathBuf> = pages(copies()).into_iter().filter(wanted).collect();
    assert!(forms.len() >= 7, "{forms:?}");
    forms
}

fn called(page: &Path) -> String {
    page.strip_prefix(copies()).unwrap_or(page).display().to_string()
}

#[test]
fn every_form_of_a_page_stands_in_every_window_and_on_paper() {
    let (Some(reader), Some(mut browser)) = (checkers::pdf_reader(), browser()) else { return };
    let (mut faults, mut pages_of_paper, mut things, mut held) = (Vec::new(), 0, 0, 0);
    for page in forms() {
        let name = called(&page);
        browser.open(&address(&page), Screen { width: WIDTHS[0], dark: false });
        for width in WIDTHS {
            browser.show_as(Screen { width, dark: false });
            let seen = browser.evaluate(EXAMINE);
            faults.extend(texts(&seen["faults"]).into_iter().map(|fault| format!("{name}, {width} px: {fault}")));
        }
        overheard(&mut browser, &name, &mut faults);
        for paper in PAPERS {
            let numbered = |at, of| format!("Seite {at} von {of}");
            browser.open(&address(&page), Screen { width: WIDTHS[0], dark: false });
            let printed = printed((&reader, &mut browser), &name, paper, numbered, &mut faults);
            pages_of_paper += printed.sheets.len();
            (things, held) = (things + printed.things, held + printed.held);
        }
    }
    none(&faults);
    assert!(held > 500 && held * 10 > things * 9, "{held} of {things} things were found on paper");
    assert!(pages_of_paper > 40, "{pages_of_paper} pages");
}

#[test]
fn the_checkers_find_nothing_in_any_form_of_a_page() {
    if let Some(errors) = errors(&forms()) {
        none(&errors);
    }
    let (Some(script), Some(mut browser)) = (checkers::access_checker(), browser()) else { return };
    let mut faults = Vec::new();
    for page in forms() {
        look(&mut browser, &script, &address(&page), &called(&page), &[(1440, false, Rules::All), (320, false, Rules::All)], &mut faults);
    }
    none(&faults);
}
