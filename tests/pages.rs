//! The pages as a reader meets them: built by the program, opened in a real browser, printed on paper, and looked at by
//! checkers of markup and of access. What is not installed is left out and says so; the gate installs it all.

mod access;
mod copies;
mod hostile;
#[cfg(all(feature = "watch", unix))]
mod live;
mod markup;
mod panels;
mod pdf;
mod print;
mod register;
mod trace;

use crate::support::browser::{Browser, Screen, browser};
use crate::support::folders;
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

const EXAMINE: &str = include_str!("pages/examine.js");

/// A desk, a telephone, and the narrowest window in which WCAG 2.2 (1.4.10) wants no scrolling in two directions.
const WIDTHS: [u32; 3] = [1440, 390, 320];

/// The folder of the worked examples as the program writes it: every sheet, the index, and the kinds.
fn built() -> &'static Path {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    BUILT.get_or_init(|| {
        let out = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("pages");
        build(&folders::project().join("worked-examples"), &out);
        out
    })
}

/// Builds `folder` into `out` from nothing. Sheets with errors are built too.
fn build(folder: &Path, out: &Path) {
    let _ = std::fs::remove_dir_all(out);
    let ran = Command::new(env!("CARGO_BIN_EXE_parbuckle")).arg("build").arg(".").arg("--out").arg(out).current_dir(folder).output();
    let ran = ran.unwrap_or_else(|error| panic!("the program starts: {error}"));
    let said = String::from_utf8_lossy(&ran.stderr);
    assert!(ran.status.code().is_some_and(|code| code < 2), "{said}");
    assert!(!said.contains("fault of the program"), "{said}");
}

/// Every page below `out`.
fn pages(out: &Path) -> Vec<PathBuf> {
    folders::files_under(out, "html")
}

/// The page of each worked example.
fn examples() -> Vec<PathBuf> {
    let examples: Vec<PathBuf> =
        pages(built()).into_iter().filter(|page| page.parent() == Some(built()) && !page.ends_with("index.html")).collect();
    assert!(examples.len() >= 12, "the worked examples were not built: {examples:?}");
    examples
}

/// The address of a file.
fn address(page: &Path) -> String {
    let escaped = page.to_string_lossy().bytes().fold(String::new(), |mut address, byte| {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            address.push(char::from(byte));
        } else {
            address += &format!("%{byte:02X}");
        }
        address
    });
    format!("file://{escaped}")
}

/// The name of a page for a message.
fn called(page: &Path) -> String {
    page.strip_prefix(built()).unwrap_or(page).display().to_string()
}

fn none(faults: &[String]) {
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

/// What the browser said and asked for since the page was opened.
fn overheard(browser: &mut Browser, page: &str, faults: &mut Vec<String>) {
    faults.extend(browser.messages().into_iter().map(|message| format!("{page}: the console says {message}")));
    faults.extend(browser.requests().into_iter().map(|address| format!("{page}: asks for {address}")));
}

fn texts(value: &Value) -> Vec<String> {
    value.as_array().into_iter().flatten().filter_map(Value::as_str).map(str::to_string).collect()
}

#[test]
fn every_page_stands_in_every_window_without_a_word_or_a_request() {
    let Some(mut browser) = browser() else { return };
    let (mut faults, mut away, mut lettered, mut links) = (Vec::new(), BTreeSet::new(), 0, 0);
    for page in pages(built()) {
        let name = called(&page);
        browser.open(&address(&page), Screen { width: WIDTHS[0], dark: false });
        for dark in [false, true] {
            for width in WIDTHS {
                browser.show_as(Screen { width, dark });
                let seen = browser.evaluate(EXAMINE);
                let tone = if dark { "dark" } else { "light" };
                faults.extend(texts(&seen["faults"]).into_iter().map(|fault| format!("{name}, {width} px, {tone}: {fault}")));
                away.extend(texts(&seen["away"]).into_iter().map(|link| (name.clone(), link)));
                lettered += seen["lettered"].as_u64().unwrap_or(0);
                links += seen["links"].as_u64().unwrap_or(0);
            }
        }
        overheard(&mut browser, &name, &mut faults);
    }
    let there: BTreeSet<String> = pages(built()).iter().map(|page| address(page)).collect();
    let lost = away.iter().filter(|(_, link)| !there.contains(link.split('#').next().unwrap_or(link)));
    faults.extend(lost.map(|(page, link)| format!("{page}: leads to {link}, which was not written")));
    none(&faults);
    assert!(lettered > 1000 && links > 1000 && away.len() > 50, "{lettered} letterings, {links} links, {} away", away.len());
}

#[test]
fn what_the_examination_looks_for_it_finds() {
    let Some(mut browser) = browser() else { return };
    let page = "data:text/html,<body style='margin:0'><div style='width:500px'>wide</div><svg id='d' width='200' height='60' viewBox='0 0 200 60'>\
                <text x='10' y='30' font-size='20'>first</text><text x='30' y='34' font-size='20'>second</text><text x='190' y='30'>third</text></svg>\
                <a href='%23gone'>gone</a><script>console.log('spoken');fetch('http://example.invalid/x').catch(()=>0)</script>";
    browser.open(page, Screen { width: 400, dark: false });
    let faults = texts(&browser.evaluate(EXAMINE)["faults"]);
    for wanted in [
        "500 px wide in a window of 400",
        "reaches out: div",
        "\"first\" and \"second\"",
        "off its drawing: \"third\"",
        "leads nowhere: #gone",
    ] {
        assert!(faults.iter().any(|fault| fault.contains(wanted)), "{wanted}: {faults:?}");
    }
    assert!(!faults.iter().any(|fault| fault.contains("\"third\" and")), "{faults:?}");
    assert!(browser.messages().iter().any(|message| message.contains("spoken")));
    assert_eq!(browser.requests(), ["http://example.invalid/x"]);
}
