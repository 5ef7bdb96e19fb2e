//! Shared gear: lists in CSV files, dates of inspection against a day that is given, and files held to a digest.

use crate::support::program::{folder, put, read, run};
use std::path::Path;

const LIST: &str = "name,label,rated (kN),source,edition,inspect by\nrope,\"hauling rope, 12 mm\",2.4,\"tag, coil 3\",2nd 2024,2027-03-01\n\
    strop,wire strop,10,tag,,\n";
const SHEET: &str = "# Haul\n\n```rig\nuse \"gear/locker.csv\" as locker\ntake pull = 2 kN from \"balance\"\ndouble = 2 * locker.rope.rated\n\
    check \"rope\": pull <= locker.rope.rated\ncheck \"both\": pull <= double\ncheck \"strop\": pull <= locker.strop.rated\n```\n";

fn yard(folder: &Path) {
    put(folder, "haul.md", SHEET);
    put(folder, "gear/locker.csv", LIST);
}

#[test]
fn gear_that_is_due_stands_at_every_check_that_leans_on_it() {
    let here = folder();
    yard(here.path());
    let check = |on: &[&str]| run(here.path(), &[&["check", "haul.md"], on].concat()).without_fault();
    let late = check(&["--on", "2027-03-02"]);
    // A warning changes no status: the rating is printed, and somebody has to look.
    assert_eq!(late.status, 0, "{}{}", late.out, late.err);
    assert_eq!(late.out.matches("was to be inspected by 2027-03-01").count(), 2, "through a line of working too: {}", late.out);
    assert!(late.err.contains("warning[inspection-due]") && late.err.contains("haul.md:7:"), "{}", late.err);
    // On the day itself it is not late; nor where no day is given, which the sheet says.
    assert!(!check(&["--on", "2027-03-01"]).out.contains("inspected"));
    let unsaid = run(here.path(), &["show", "haul.md"]).without_fault();
    assert!(
        unsaid.out.split_whitespace().collect::<Vec<_>>().join(" ").contains("were not looked at")
            && !unsaid.err.contains("inspection-due"),
        "{}",
        unsaid.out
    );
    let said = run(here.path(), &["show", "haul.md", "--on", "2026-11-30"]).without_fault();
    assert!(said.out.split_whitespace().collect::<Vec<_>>().join(" ").contains("looked at on 2026-11-30"), "{}", said.out);
    for wrong in ["30.11.2026", "2026-02-30", "today"] {
        assert_eq!(check(&["--on", wrong]).status, 2, "{wrong}");
    }
}

#[test]
fn source_edition_and_file_of_a_limit_are_printed_at_the_check() {
    let here = folder();
    yard(here.path());
    let shown = run(here.path(), &["show", "haul.md"]).without_fault();
    let limit = "limit of hauling rope, 12 mm: rated 2.4 kN; tag, coil 3; edition 2nd 2024; to be inspected by 2027-03-01; gear/locker.csv";
    let unwrapped = shown.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(unwrapped.matches(limit).count(), 2, "{}", shown.out);
    assert_eq!(run(here.path(), &["build", "haul.md", "--on", "2027-06-01"]).status, 0);
    let page = read(here.path().join("out/haul.html"));
    assert!(page.contains("edition 2nd 2024; to be inspected by 2027-03-01; gear/locker.csv") && page.contains("looked at on 2027-06-01"));
    assert_eq!(run(here.path(), &["check", "haul.md", "--on", "2027-06-01", "--rebuilds", "out"]).status, 0);
    assert_eq!(run(here.path(), &["check", "haul.md", "--on", "2026-06-01", "--rebuilds", "out"]).status, 7, "another day, another page");
}

#[test]
fn a_pinned_file_that_changed_is_told_with_its_new_digest() {
    let here = folder();
    yard(here.path());
    let pinned = |digest: &str| put(here.path(), "haul.md", SHEET.replace("as locker", &format!("as locker pinned \"sha256:{digest}\"")));
    pinned("");
    let told = run(here.path(), &["check", "haul.md"]).without_fault();
    let mut digest = told.err.split("sha256:").skip(1);
    let digest = digest.find_map(|rest| rest.get(..64).filter(|digits| digits.bytes().all(|digit| digit.is_ascii_hexdigit())));
    let digest = digest.expect("the digest is told").to_string();
    // FIPS 180-4, as the crate has it; line ends of another system change nothing.
    pinned(&digest);
    assert_eq!(run(here.path(), &["check", "haul.md"]).status, 0);
    put(here.path(), "gear/locker.csv", LIST.replace('\n', "\r\n"));
    assert_eq!(run(here.path(), &["check", "haul.md"]).status, 0);
    put(here.path(), "gear/locker.csv", LIST.replace("2.4", "3.4"));
    let changed = run(here.path(), &["check", "haul.md"]).without_fault();
    assert!(
        changed.status == 1 && changed.err.contains("error[pin-differs]") && changed.err.contains("the file is now"),
        "{}",
        changed.err
    );
    assert!(changed.err.matches("sha256:").count() >= 2 && !changed.err.contains(&format!("now sha256:{digest}")));
}

#[test]
fn a_list_that_changes_changes_the_calculation_and_its_place_does_not() {
    let here = folder();
    yard(here.path());
    let calculation = || {
        assert_eq!(run(here.path(), &["build", "haul.md"]).status, 0);
        let json: serde_json::Value = serde_json::from_str(&read(here.path().join("out/haul.json"))).expect("JSON");
        json["record"]["calculation"].as_str().expect("a digest").to_string()
    };
    let before = calculation();
    put(here.path(), "lists/all.csv", LIST);
    put(here.path(), "haul.md", SHEET.replace("gear/locker.csv", "lists/all.csv"));
    assert_eq!(calculation(), before);
    put(here.path(), "lists/all.csv", LIST.replace("2.4", "2.5"));
    assert_ne!(calculation(), before);
}
