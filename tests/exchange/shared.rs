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

// Both files call all they hold by the same names. Whoever reads a table or a page must know which of the two is meant.
#[test]
fn names_that_two_used_files_share_are_printed_under_the_names_of_their_files() {
    let here = folder();
    let here = here.path();
    for (file, rated, crate_mass) in [("house-2", 2, 92), ("house-3", 3, 93)] {
        let text = format!(
            "# {file}\n\n```rig\ngear rope \"coil\"\n    rated {rated} kN ± 0.1 kN  from \"tag\"\nhalf = rope.rated / 2\n\
             take crate = {crate_mass} kg ± 1 kg  from \"scale\"\n```\n"
        );
        put(here, &format!("{file}.md"), text);
    }
    let sheet = "# Both\n\n```rig\nuse \"house-2.md\" as store\nuse \"house-3.md\" as loft\nboth = store.rope.rated + loft.rope.rated\n\
                 all = store.crate + loft.crate\nhalves = store.half + loft.half\ncheck \"enough\": weight(all) <= both\n```\n";
    put(here, "both.md", sheet);

    let column = |table: &str, at: usize| -> Vec<String> {
        let csv = run(here, &["show", "both.md", "--table", table]).without_fault().out;
        csv.lines().skip(1).map(|line| line.split(',').take(at + 2).skip(at).collect::<Vec<_>>().join(",")).collect()
    };
    let results = [
        "store.rope.rated,force",
        "store.half,force",
        "loft.rope.rated,force",
        "loft.half,force",
        "both,force",
        "all,mass",
        "halves,force",
    ];
    assert_eq!(column("results", 0), results);
    assert_eq!(column("inputs", 0), ["input,store.crate", "input,loft.crate"]);

    assert_eq!(run(here, &["build", "both.md"]).status, 0);
    let page = read(here.join("out/both.html"));
    let (_, register) = page.split_once("<h2 id=\"sheet.moves\">").expect("the register of what moves");
    let (register, _) = register.split_once("</table>").expect("its end");
    // 0.1 kN and 1 kg are limits: over √3, 0.058 kN and 0.58 kg. Each row tells of its own file and of what is common to both.
    let rows: Vec<String> = register.split("\n<tr>").skip(1).map(bare).collect();
    let begins = ["rated_store rope", "crate_store", "rated_loft rope", "crate_loft"];
    let moved = ["store.half +0.029 kN", "all +0.58 kg", "loft.half +0.029 kN", "all +0.58 kg"];
    assert_eq!(rows.len(), 4, "{rows:?}");
    for ((row, begin), moved) in rows.iter().zip(begins).zip(moved) {
        assert!(row.starts_with(&format!("{begin}|")) && row.contains(&format!("|{moved}")), "{begin}, {moved}: {row}");
        let other = if begin.contains("store") { "loft" } else { "store" };
        assert!(!row.contains(other) && !row.contains("|half ") && !row.contains("; half "), "{row}");
    }
    // In the inputs by the full name, at the lines of working by the name with its file.
    for (file, other) in [("store", "loft"), ("loft", "store")] {
        let row = page.split("\n<tr id=").find(|row| row.starts_with(&format!("v-{file}-crate>"))).expect("a row of the inputs");
        let row = bare(row.split('\n').next().unwrap_or(""));
        assert!(row.contains(&format!("|{file}.crate")) && !row.contains(other), "{row}");
    }
    for part in ["= rated_store rope", "+ rated_loft rope", "= crate_store", "+ crate_loft", "= half_store + half_loft"] {
        assert!(page.contains(&format!("alttext=\"{part}\"")), "{part}");
    }
}

// The text of a row of a table: `_` before an index, and `|` between its cells and before each thing in them that is linked or named.
fn bare(row: &str) -> String {
    let mut out = String::new();
    for piece in row.split('<') {
        let (tag, text) = piece.split_once('>').unwrap_or(("", piece));
        out.push_str(match tag.split(' ').next().unwrap_or("") {
            "sub" => "_",
            "td" | "var" | "span" if !out.is_empty() && !out.ends_with('|') => "|",
            _ => "",
        });
        out.push_str(&text.replace('\u{a0}', " "));
    }
    out
}
