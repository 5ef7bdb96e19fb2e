//! `build --for` and `compare --blind`: copies for whoever checks, and a calculation by somebody else held against the sheet.

use crate::support::folders;
use crate::support::program::{folder, put, read, run};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;

// The numbers in a text as a reader sees them: digits with their decimals, without the spaces that group them.
fn numbers(text: &str) -> BTreeSet<String> {
    let plain: String = text.chars().filter(|c| !matches!(c, '\u{202f}' | '\u{2009}' | '\u{a0}')).collect();
    plain
        .split(|c: char| !(c.is_ascii_digit() || c == '.'))
        .map(|word| word.trim_matches('.').to_string())
        .filter(|word| !word.is_empty())
        .collect()
}

// Words of every figure below `value`, whatever it belongs to.
fn figures(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(object) => {
            if object.contains_key("si") && object.contains_key("standard_uncertainty") {
                found.extend(numbers(object["text"].as_str().unwrap_or_default()));
            }
            object.values().for_each(|below| figures(below, found));
        }
        Value::Array(items) => items.iter().for_each(|below| figures(below, found)),
        _ => {}
    }
}

// What a sheet states: its inputs, and the readings as they were read.
fn given(sheet: &Value) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut rows: Vec<&Value> = Vec::new();
    for name in ["inputs", "assumptions"] {
        rows.extend(sheet[name].as_array().into_iter().flatten());
    }
    for (owner, name) in [("gear", "ratings"), ("instruments", "ratings"), ("machines", "settings")] {
        rows.extend(sheet[owner].as_array().into_iter().flatten().flat_map(|one| one[name].as_array().into_iter().flatten()));
    }
    for row in rows {
        if !matches!(row["evidence"].as_str(), Some("as" | "worked from")) {
            found.extend(numbers(row["figure"]["text"].as_str().unwrap_or_default()));
            found.extend(numbers(row["doubt_stated"].as_str().unwrap_or_default()));
        }
    }
    for row in sheet["readings"].as_array().into_iter().flatten().flat_map(|one| one["rows"].as_array().into_iter().flatten()) {
        row["cells"].as_array().into_iter().flatten().for_each(|cell| found.extend(numbers(cell["raw"].as_str().unwrap_or_default())));
    }
    // So are the values that are tried one after the other; one that is searched for is not.
    for study in sheet["studies"].as_array().into_iter().flatten().filter(|study| study["statement"] == "vary") {
        study["rows"]
            .as_array()
            .into_iter()
            .flatten()
            .for_each(|row| found.extend(numbers(row["value"]["text"].as_str().unwrap_or_default())));
    }
    // Numbers in a condition are its author's own.
    for check in sheet["checks"].as_array().into_iter().flatten() {
        found.extend(numbers(&check["statement"].to_string()));
        for limit in check["limits"].as_array().into_iter().flatten() {
            found.extend(numbers(limit["value"].as_str().unwrap_or_default()));
        }
    }
    found
}

#[test]
fn a_blind_copy_of_no_worked_example_tells_a_result() {
    let here = folder();
    let out = here.path().join("out");
    let built = run(&folders::project(), &["build", "worked-examples", "--for", "blind", "--out", &out.to_string_lossy()]).without_fault();
    assert_eq!(built.status, 0, "{}", built.err);
    let mut searched = 0;
    for golden in folders::files_under(&folders::project().join("tests/golden"), "json") {
        let sheet: Value = serde_json::from_str(&folders::text_of(&golden)).expect("JSON");
        if sheet["path"].is_null() {
            continue;
        }
        let mut secrets = BTreeSet::new();
        figures(&sheet, &mut secrets);
        let given = given(&sheet);
        // One or two digits stand in any text by chance; from three on they are a result's.
        let long = |number: &&String| number.chars().filter(char::is_ascii_digit).count() >= 3;
        let secrets: BTreeSet<&String> = secrets.iter().filter(long).filter(|number| !given.contains(*number)).collect();
        let place = out.join(sheet["path"].as_str().expect("a path"));
        let page = read(place.with_extension("blind.html"));
        let (_, body) = page.split_once("<body class=\"blind\">").expect("a body");
        let form = read(place.with_extension("blind.csv"));
        let digest = sheet["record"]["calculation"].as_str().expect("a digest");
        for text in [body, form.as_str()] {
            let seen = numbers(&text.replace(digest, ""));
            let told: Vec<_> = secrets.iter().filter(|secret| seen.contains(**secret)).collect();
            assert!(told.is_empty(), "{}: {told:?}", place.display());
            assert!(!text.contains("PASS") && !text.contains("FAIL"), "{}", place.display());
        }
        assert!(!body.contains("<svg") && !body.contains("<script") && !page.contains("<!--"), "nothing is hidden");
        searched += secrets.len();
        let others = ["html", "json", "checking.html"].map(|ending| place.with_extension(ending));
        assert!(others.iter().all(|other| !other.exists()), "nothing else is written beside it");
    }
    // What shared gear may carry is given, and the quotient of what it breaks at and its factor is not.
    let awning = read(out.join("worked-examples/awning-frame.blind.html")).replace('\u{a0}', " ");
    assert!(
        awning.contains("breaking 26.5 kN; design factor 10") && awning.contains("rated 8.0 kN") && !awning.contains("2.65"),
        "{awning}"
    );
    assert!(searched > 500, "{searched} results were looked for");
}

#[test]
fn the_author_s_own_words_tell_no_result_either() {
    let here = folder();
    let sheet = "# Haul\n\nThe pull comes to 413.7 N.\n\n```rig\nsheet H-1 \"A pull of 413.7 N\"\ntake mass_of_stone \"stone, later 413.7 N\" = 84.37 kg from \
        \"ticket; 413.7 N at the hand\"\npull \"pull, half its weight\" = weight(mass_of_stone) / 2 as N\ncheck \"413.7 N is held\": pull <= 600 N\n```\n";
    put(here.path(), "haul.md", sheet);
    assert!(run(here.path(), &["show", "haul.md"]).out.contains("413.7 N"));
    assert_eq!(run(here.path(), &["build", "haul.md", "--for", "blind"]).status, 0);
    let (page, form) = (read(here.path().join("out/haul.blind.html")), read(here.path().join("out/haul.blind.csv")));
    assert!(!page.contains("413.7") && !form.contains("413.7"), "{page}");
    assert!(page.contains("84.37") && page.contains("600") && page.contains("pull, half its weight") && page.contains("▒▒"));
}

const SHEET: &str = "# Haul\n\n```rig\nsheet H-1 \"Haul\"\ntake stone = 84.37 kg ± 2 kg from \"ticket\"\nweight_of_stone \"weight\" = weight(stone) as kN\n\
    pull \"half of it\" = weight_of_stone / 2 as N\ncheck \"held\": pull <= 600 N\n```\n";

// The form with the answers put in by name.
fn answered(form: &str, answers: &[(&str, &str)]) -> String {
    let mut rows: Vec<Vec<String>> = form.lines().map(|line| line.split(',').map(String::from).collect()).collect();
    for row in rows.iter_mut().skip(2) {
        let key = if row[0] == "value" { row[1].clone() } else { format!("{} {}", row[0], row[1]) };
        let Some((_, answer)) = answers.iter().find(|(name, _)| *name == key) else { continue };
        let (value, unit) = answer.split_once(' ').unwrap_or((answer, ""));
        row[3] = value.to_string();
        if !unit.is_empty() {
            row[4] = unit.to_string();
        }
    }
    rows.iter().map(|row| row.join(",") + "\r\n").collect()
}

fn judged(folder: &Path, answers: &[(&str, &str)]) -> (i32, String, String) {
    put(folder, "haul.md", SHEET);
    assert_eq!(run(folder, &["build", "haul.md", "--for", "blind"]).status, 0);
    put(folder, "answers.csv", answered(&read(folder.join("out/haul.blind.csv")), answers));
    let ran = run(folder, &["compare", "--blind", "answers.csv", "haul.md"]).without_fault();
    (ran.status, ran.out, ran.err)
}

#[test]
fn answers_are_judged_against_rounding_and_doubt() {
    let here = folder();
    // 84.37 kg × 9.80665 m/s² = 827.387 N, half of it 413.69 N; U = 2 × (2/√3) kg × g = 22.6 N of the weight, 11.3 N of the pull.
    let (status, out, err) =
        judged(here.path(), &[("weight_of_stone", "0.83"), ("pull", "0.4137 kN"), ("utilisation C1", "0.69"), ("verdict C1", "pass")]);
    assert_eq!((status, out.matches("  agrees  ").count()), (0, 4), "{out}{err}");
    assert!(err.contains("4 agrees, 0 within doubt, 0 differs, 0 no answer"), "{err}");
    // 5 N off is within the doubt, and told; 40 N off is not. What was left open is told.
    let (status, out, _) = judged(here.path(), &[("pull", "418.7")]);
    assert!(status == 0 && out.contains("within doubt  pull: 418.7 N") && out.contains("(+1.21 %)") && out.contains("no answer"), "{out}");
    let (status, out, _) = judged(here.path(), &[("pull", "453.7"), ("verdict C1", "FAIL")]);
    assert!(status == 6 && out.contains("differs       pull: 453.7 N") && out.contains("differs       verdict of C1: FAIL"), "{out}");
    // One unit of the last digit that was written is rounding on the way.
    assert_eq!(judged(here.path(), &[("pull", "414")]).1.matches("  agrees  ").count(), 1);
    let json = run(here.path(), &["compare", "--blind", "answers.csv", "haul.md", "--format", "json"]).without_fault();
    let json: Value = serde_json::from_str(&json.out).expect("JSON");
    assert_eq!((json["judged"].as_array().map(Vec::len), &json["same_calculation"]), (Some(4), &true.into()));
}

/// Worked by hand: 2 × 100 N; at 50 N and 75 N 100 N and 150 N; 2a ≤ 300 N holds up to 150 N; 204 N less 200 N; the line through
/// (100, 30), (200, 50), (300, 70) N has the slope 0.2 and starts at 10 N; u of 2a is 2 × 2 N, and of a normal distribution 95 %
/// lie within 1.95996 u (JCGM 100:2008, table G.1), so from 192.16 N to 207.84 N.
#[test]
fn laws_agreements_studies_and_draws_are_asked_and_judged() {
    let here = folder();
    let here = here.path();
    let sheet = "```rig\nsheet Q-1 \"Asked\"\ntake a = 100 N ± 2 N (u) from \"balance\"\ndouble \"twice\" = 2 * a\ntake seen = 204 N from \"cell\"\n\
                 agreement \"twice a\": double with seen\nvary a over [50 N, 75 N] showing double\nsize a, greatest for double <= 300 N\n\
                 take efforts = [30 N, 50 N, 70 N] from \"balance\"\ntake loads = [100 N, 200 N, 300 N] from \"weights\"\n\
                 law line of efforts against loads\npropagate double\n    draws 200_000\n```\n";
    put(here, "asked.md", sheet);
    assert_eq!(run(here, &["build", "asked.md", "--for", "blind"]).status, 0);
    let form = read(here.join("out/asked.blind.csv")).replace('\u{a0}', " ");
    let page = read(here.join("out/asked.blind.html"));
    assert!(page.contains("for which holds: double &lt;= 300 N") || page.contains("for which holds: double ≤ 300 N"), "{page}");
    let judge = |answers: &[(&str, &str, &str)]| {
        let mut rows: Vec<Vec<String>> = form.lines().map(|line| line.split(',').map(String::from).collect()).collect();
        let mut met = 0;
        for row in &mut rows {
            // What is said of a question may hold commas; what it is called does not.
            if let Some((.., value)) = answers.iter().find(|(ask, name, _)| row[0] == *ask && row[1] == *name) {
                let at = row.len() - 3;
                row[at] = value.to_string();
                met += 1;
            }
        }
        assert_eq!(met, answers.len(), "{form}");
        put(here, "answers.csv", rows.iter().map(|row| row.join(",") + "\r\n").collect::<String>());
        let ran = run(here, &["compare", "--blind", "answers.csv", "asked.md"]).without_fault();
        (ran.status, ran.out.replace('\u{a0}', " ") + &ran.err)
    };
    let right = [
        ("value", "double", "200"),
        ("value tried", "S1.1.1", "100"),
        ("value tried", "S1.2.1", "150"),
        ("what serves", "S2", "150"),
        ("difference", "A1", "4"),
        ("value", "line.slope", "0.2"),
        ("value", "line.no_load_effort", "10"),
        ("mean", "P1 double", "200.0"),
        ("standard uncertainty", "P1 double", "4.00"),
        ("lower end", "P1 double", "192.16"),
        ("upper end", "P1 double", "207.84"),
    ];
    let (status, told) = judge(&right);
    assert!(status == 0 && told.contains(&format!("{} agrees, 0 within doubt, 0 differs", right.len())), "{told}");
    let wrong = right.map(|(ask, name, value)| {
        (ask, name, if value == "0.2" { "0.3".into() } else { format!("{}", value.parse::<f64>().expect("a number") * 1.3) })
    });
    let wrong: Vec<(&str, &str, &str)> =
        wrong.iter().map(|(ask, name, value): &(&str, &str, String)| (*ask, *name, value.as_str())).collect();
    let (status, told) = judge(&wrong);
    // Thirty per cent off is within the doubt of nothing but the small difference and what lies near it.
    assert!(status == 6 && told.matches("  differs  ").count() >= right.len() - 1, "{told}");
}

#[test]
fn a_form_that_cannot_be_read_is_told_at_its_place() {
    let here = folder();
    for (answer, told) in [("about_400", "a number"), ("413 kg", "another unit of that sort"), ("413 zonk", "another unit of that sort")] {
        let (status, out, err) = judged(here.path(), &[("pull", answer)]);
        assert!(status == 1 && err.contains("error[answer-unread]") && err.contains("answers.csv:4:"), "{answer}: {out}{err}");
        assert!(err.split_whitespace().collect::<Vec<_>>().join(" ").contains(told), "{answer}: {err}");
    }
    put(here.path(), "answers.csv", "something,else\n1,2\n");
    let other = run(here.path(), &["compare", "--blind", "answers.csv", "haul.md"]).without_fault();
    assert!(
        other.status == 1 && other.err.contains("\"answer-unread\"").eq(&false) && other.err.contains("answer-unread"),
        "{}",
        other.err
    );
    // A form of an earlier state says so.
    judged(here.path(), &[("pull", "413.7")]);
    put(here.path(), "haul.md", SHEET.replace("84.37", "85.37"));
    let stale = run(here.path(), &["compare", "--blind", "answers.csv", "haul.md"]).without_fault();
    assert!(stale.out.contains("another state of this calculation"), "{}", stale.out);
}

#[test]
fn a_copy_for_checking_has_boxes_a_margin_and_every_fold_open() {
    let here = folder();
    put(here.path(), "slates.md", include_str!("../../src/faces/starter.md"));
    assert_eq!(run(here.path(), &["build", "slates.md", "--for", "checking"]).status, 0);
    let copy = read(here.path().join("out/slates.checking.html"));
    assert!(copy.contains("<body class=\"checking\">") && copy.contains("Copy for checking") && copy.contains("941"));
    assert!(!copy.contains("<details class") && copy.contains("<details open"));
    assert!(!here.path().join("out/slates.html").exists());
    for wrong in [["--for", "checking", "--brief"].as_slice(), &["--for", "reading"], &["--for", "blind", "--out", "-"]] {
        assert_eq!(run(here.path(), &[&["build", "slates.md"], wrong].concat()).status, 2, "{wrong:?}");
    }
}
