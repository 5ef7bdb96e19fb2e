//! Data out: the JSON Schema of a sheet, its tables as CSV, and the script of the worked examples that reads them.

use crate::exchange::{broken, schema};
use crate::support::folders;
use crate::support::program::{folder, run};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::Command;

// Published as tests/golden/sheet.schema.json, which the test of goldens holds to what is printed.
const PUBLISHED: &str = "sheet.schema.json";

#[test]
fn every_worked_example_keeps_to_the_published_schema_and_nothing_more_is_let_through() {
    let schema = schema(&parbuckle::output::json_schema());
    let goldens = goldens();
    assert!(goldens.len() > 10);
    let mut all: Vec<Value> = Vec::new();
    for path in &goldens {
        let sheet: Value = serde_json::from_str(&folders::text_of(path)).expect("JSON");
        assert_eq!(broken(&schema, &sheet), Vec::<String>::new(), "{}", path.display());
        all.push(sheet);
    }
    // Each object of each example, with a field more, is refused; with a field less, unless it may be missing, too.
    let (mut objects, mut refused) = (0, 0);
    let sheet =
        all.iter().find(|sheet| sheet["machines"].as_array().is_some_and(|machines| !machines.is_empty())).expect("one with machines");
    for place in places(sheet, "") {
        let mut more = sheet.clone();
        let Some(Value::Object(object)) = more.pointer_mut(&place) else { continue };
        object.insert("invented".to_string(), Value::Null);
        objects += 1;
        refused += usize::from(!schema.is_valid(&more));
        if objects >= 60 {
            break;
        }
    }
    assert_eq!((objects, refused), (60, 60));
    for name in ["path", "checks", "values", "record", "status"] {
        let mut less = sheet.clone();
        less.as_object_mut().expect("an object").remove(name);
        assert!(!schema.is_valid(&less), "{name} may not be missing");
    }
    let mut wrong = sheet.clone();
    wrong["complete"] = "yes".into();
    assert!(!schema.is_valid(&wrong));
}

fn goldens() -> Vec<PathBuf> {
    let files = folders::files_under(&folders::project().join("tests/golden"), "json");
    files.into_iter().filter(|path| !path.ends_with(PUBLISHED)).collect()
}

// Pointers to every seventh object below `value`: enough to meet each sort, few enough to be quick.
fn places(value: &Value, at: &str) -> Vec<String> {
    fn walk(value: &Value, at: String, found: &mut Vec<String>) {
        match value {
            Value::Object(object) => {
                found.push(at.clone());
                object.iter().for_each(|(key, below)| walk(below, format!("{at}/{}", key.replace('~', "~0").replace('/', "~1")), found));
            }
            Value::Array(items) => items.iter().enumerate().for_each(|(place, below)| walk(below, format!("{at}/{place}"), found)),
            _ => {}
        }
    }
    let mut found = Vec::new();
    walk(value, at.to_string(), &mut found);
    found.into_iter().step_by(7).collect()
}

#[test]
fn the_schema_is_printed_as_it_is_published() {
    let here = folder();
    assert_eq!(run(here.path(), &["explain", "--schema"]).out, parbuckle::output::json_schema());
    assert_eq!(run(here.path(), &["explain", "kN", "--schema"]).status, 2);
}

fn table(path: &str, which: &str) -> String {
    let ran = run(&folders::project(), &["show", path, "--table", which]).without_fault();
    assert_eq!(ran.status, 0, "{}", ran.err);
    ran.out
}

#[test]
fn tables_say_what_the_json_says() {
    let name = "boat-on-a-slip";
    let json = folders::text_of(&folders::project().join(format!("tests/golden/{name}.json")));
    let sheet: Value = serde_json::from_str(&json).expect("JSON");
    let sheet_path = format!("worked-examples/{name}.md");
    let results = table(&sheet_path, "results");
    assert!(results.starts_with("name,quantity,value,standard uncertainty,unit\r\n"), "{results}");
    assert!(results.lines().all(|line| !line.ends_with('\n')) && !results.replace("\r\n", "").contains(['\r', '\n']));
    let mut met = 0;
    for value in sheet["values"].as_array().expect("values") {
        let (name, figure) = (value["name"].as_str().expect("a name"), &value["figure"]);
        let Some(number) = figure["value"].as_f64() else { continue };
        let start = format!(
            "{name},{},{number:?},{:?},",
            value["quantity"].as_str().unwrap_or(""),
            figure["standard_uncertainty"].as_f64().unwrap_or(0.0)
        );
        met += usize::from(results.lines().any(|line| line.starts_with(&start)));
    }
    let lines = results.lines().filter(|line| !line.split(',').next().unwrap_or("").contains('[')).count() - 1;
    assert!(met > 20 && met >= lines, "{met} of {lines} lines are as in the JSON: {results}");
    let checks = table(&sheet_path, "checks");
    assert_eq!(checks.matches("\r\n").count() - 1, sheet["checks"].as_array().expect("checks").len());
    let locker = "worked-examples/rope-locker.md";
    let gear = table(locker, "gear");
    assert!(gear.contains("\r\nblocks,") && gear.contains(",rated,6.5,0.0,kN,"), "{gear}");
    let inputs = table(&sheet_path, "inputs") + &table(locker, "inputs");
    assert!(["input,", "assumption,", "rating,", "setting,"].iter().all(|sort| inputs.contains(&format!("\r\n{sort}"))), "{inputs}");
}

#[test]
fn the_script_of_the_worked_examples_reads_both() {
    let python =
        ["python3", "python"].into_iter().find(|name| Command::new(name).arg("--version").output().is_ok_and(|ran| ran.status.success()));
    let Some(python) = python else {
        assert!(std::env::var_os("PAGE_TESTS").is_none_or(|asked| asked != "required"), "python3 is needed");
        eprintln!("LEFT OUT: there is no Python to run worked-examples/readers/reserves.py with");
        return;
    };
    let here = folder();
    let script = folders::project().join("worked-examples/readers/reserves.py");
    let read = |place: &Path| {
        let ran = Command::new(python).arg(&script).arg(place).output().expect("it runs");
        assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
        String::from_utf8(ran.stdout).expect("text")
    };
    let csv = here.path().join("checks.csv");
    std::fs::write(&csv, table("worked-examples/boat-on-a-slip.md", "checks")).expect("written");
    let (of_csv, of_json) = (read(&csv), read(&folders::project().join("tests/golden/boat-on-a-slip.json")));
    let told =
        |text: &str| -> Vec<String> { text.lines().map(|line| line.replace("checks.csv", "worked-examples/boat-on-a-slip.md")).collect() };
    assert_eq!(told(&of_csv), told(&of_json));
    assert!(of_csv.lines().count() >= 3 && of_csv.contains(" % "), "{of_csv}");
    let everything = read(&folders::project().join("tests/golden"));
    let used: Vec<f64> = everything.lines().filter_map(|line| line.trim_start().split(" %").next()?.parse().ok()).collect();
    assert!(used.len() > 20 && used.windows(2).all(|pair| pair[0] >= pair[1]), "least reserve first: {used:?}");
}
