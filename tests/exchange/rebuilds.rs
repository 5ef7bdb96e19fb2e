//! `check --rebuilds`: published pages against what their sources give.

use crate::support::program::{folder, put, read, run};
use std::fs;

const STARTER: &str = include_str!("../../src/faces/starter.md");

#[test]
fn pages_that_match_their_sources_are_confirmed_and_others_listed() {
    let here = folder();
    put(here.path(), "yard/slates.md", STARTER);
    put(here.path(), "yard/more/again.md", STARTER);
    assert_eq!(run(here.path(), &["build", "yard"]).status, 0);
    let check = |arguments: &[&str]| run(here.path(), &[&["check", "yard", "--rebuilds", "out"], arguments].concat()).without_fault();
    let same = check(&[]);
    assert_eq!(same.status, 0, "{}{}", same.out, same.err);
    assert!(same.err.contains("as built from the sources\n"), "{}", same.err);
    assert!(!same.out.contains("differs") && !same.out.contains("left over"), "{}", same.out);

    // A number changed by hand, a page gone, a page of a sheet that is no more, a printed page, and a file with a dot.
    let page = here.path().join("out/yard/slates.html");
    put(here.path(), "out/yard/slates.html", read(&page).replacen("941", "914", 1));
    fs::remove_file(here.path().join("out/yard/more/again.json")).expect("it goes");
    put(here.path(), "out/yard/gone.html", "<p>gone</p>");
    put(here.path(), "out/yard/slates.pdf", "%PDF");
    put(here.path(), "out/.nojekyll", "");
    let other = check(&[]);
    assert_eq!(other.status, 7, "{}{}", other.out, other.err);
    let listed: Vec<&str> = other.out.lines().filter(|line| !line.starts_with("yard/")).collect();
    assert_eq!(listed.len(), 3, "{}", other.out);
    assert!(
        listed[0] == "missing    yard/more/again.json" && listed[1].starts_with("differs    yard/slates.html, from line "),
        "{listed:?}"
    );
    assert_eq!(listed[2], "left over  yard/gone.html");
    assert!(other.err.contains("3 files not, 1 PDF not compared"), "{}", other.err);
    // For another program, standard output stays its own.
    let json = check(&["--format", "json"]);
    assert!(
        json.status == 7 && serde_json::from_str::<serde_json::Value>(&json.out).is_ok() && json.err.contains("left over  yard/gone.html")
    );

    // A changed source shows in its page, in its JSON and in the register.
    assert_eq!(run(here.path(), &["build", "yard"]).status, 0);
    fs::remove_file(here.path().join("out/yard/gone.html")).expect("it goes");
    assert_eq!(check(&[]).status, 0);
    put(here.path(), "yard/slates.md", STARTER.replacen("96 kg", "97 kg", 1));
    let stale = check(&[]);
    assert!(stale.status == 7 && stale.out.contains("differs    yard/slates.json"), "{}", stale.out);
    assert!(!stale.out.lines().any(|line| line.starts_with("differs") && line.contains("more/again")), "{}", stale.out);
    // What comes first in the order of statuses is given.
    put(here.path(), "yard/slates.md", STARTER.replacen("weight(crate)", "weight(crat)", 1));
    assert_eq!(check(&[]).status, 1);
    assert_eq!(run(here.path(), &["check", "yard", "--rebuilds", "nowhere"]).status, 2);
}
