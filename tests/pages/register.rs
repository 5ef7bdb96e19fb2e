//! The register of a folder: filtered and sorted by its script, the governing check of each sheet as its JSON has it.

use super::{address, built, examples, none, overheard, texts};
use crate::support::browser::{Screen, browser};
use crate::support::folders;
use serde_json::Value;

const ROWS: &str =
    "[...document.querySelectorAll('.index tbody tr')].filter((row) => !row.hidden).map((row) => row.cells[COLUMN].textContent.trim())";

#[test]
fn the_register_is_filtered_and_sorted_and_names_what_governs() {
    let Some(mut browser) = browser() else { return };
    let column = |at: usize| ROWS.replace("COLUMN", &at.to_string());
    browser.open(&address(&built().join("index.html")), Screen { width: 1440, dark: false });
    let rows = browser.evaluate("[...document.querySelectorAll('.index tbody tr')].map((row) => [row.querySelector('th a').getAttribute('href'), row.cells[4].textContent.trim(), row.cells[5].textContent.trim()])");
    let rows: Vec<Vec<String>> = rows.as_array().into_iter().flatten().map(texts).collect();
    assert_eq!(rows.len(), examples().len());
    for row in &rows {
        let sheet: Value = serde_json::from_str(&folders::text_of(&built().join(&row[0]).with_extension("json"))).expect("our own JSON");
        let governing = sheet["checks"].as_array().into_iter().flatten().find(|check| check["governing"] == true);
        let wanted = governing
            .map_or(["", ""], |check| ["/title", "/utilisation/text"].map(|way| check.pointer(way).and_then(Value::as_str).unwrap_or("")));
        assert_eq!([row[1].as_str(), row[2].as_str()], wanted, "{}", row[0]);
    }
    let click = |at: usize| format!("document.querySelectorAll('.index thead button')[{at}].click()");
    for falling in [false, true] {
        browser.evaluate(&click(5));
        let ratios: Vec<f64> = texts(&browser.evaluate(&column(5))).iter().filter_map(|text| text.parse().ok()).collect();
        let ordered = ratios.windows(2).all(|two| if falling { two[0] >= two[1] } else { two[0] <= two[1] });
        assert!(ratios.len() > 5 && ordered, "{ratios:?}");
        let sorted = browser.evaluate("document.querySelector('[aria-sort]').getAttribute('aria-sort')");
        assert_eq!(sorted, if falling { "descending" } else { "ascending" });
    }
    browser.evaluate(
        "(() => { const box = document.querySelector('.filter input'); box.value = 'JACK'; box.dispatchEvent(new Event('input')) })()",
    );
    let left = texts(&browser.evaluate(&column(1)));
    let wanted = rows.iter().filter(|row| row[0].contains("jack")).count();
    assert!(left.len() >= wanted && left.len() < rows.len(), "{left:?}");
    let mut faults = Vec::new();
    overheard(&mut browser, "index.html", &mut faults);
    none(&faults);
}
