//! `build --pdf`: what the program prints by itself, read back.

use super::none;
use super::print::{read_back, spaced};
use crate::support::checkers;
use crate::support::folders;
use crate::support::program::{finish, folder, program, put, read};
use std::path::Path;
use std::process::Command;

const LINKED: &str = "# Linked\n\n[another](other.md), [a picture](plan.png), [a page](https://example.org/page).\n\n\
                      ```rig\nsheet L-1 \"Links on paper\"\n    revision C\ntake m = 3 kg from \"scale\"\nw = weight(m)\n```\n";

/// `build` in `here` with `browser` as the browser.
fn building(here: &Path, browser: &Path, arguments: &[&str]) -> Command {
    let mut command = program(here);
    // The pages are our own, and a container seldom lets a browser make a sandbox.
    command.env("PARBUCKLE_BROWSER", browser).env("PARBUCKLE_BROWSER_OPTIONS", "--no-sandbox");
    command.args(["build", "--pdf"]).args(arguments);
    command
}

fn holds(bytes: &[u8], text: &str) -> bool {
    bytes.windows(text.len()).any(|window| window == text.as_bytes())
}

// Width and height of every page, in points.
fn sizes(pdf: &[u8]) -> Vec<(f64, f64)> {
    let text = String::from_utf8_lossy(pdf);
    let boxes = text.split("/MediaBox [").skip(1).filter_map(|rest| rest.split(']').next());
    let numbers = boxes.map(|corners| corners.split_whitespace().filter_map(|number| number.parse().ok()).collect::<Vec<f64>>());
    numbers.filter(|corners| corners.len() == 4).map(|corners| (corners[2] - corners[0], corners[3] - corners[1])).collect()
}

// The least distance of a word from the left edge, in points.
fn left_edge(reader: &Path, pdf: &Path) -> f64 {
    let ran = Command::new(reader).args(["-bbox", "-enc", "UTF-8"]).arg(pdf).arg("-").output();
    let text = ran.unwrap_or_else(|error| panic!("the reader of PDF starts: {error}")).stdout;
    let text = String::from_utf8_lossy(&text).into_owned();
    let lefts = text.split("xMin=\"").skip(1).filter_map(|rest| rest.split('"').next()?.parse().ok());
    lefts.fold(f64::INFINITY, f64::min)
}

#[test]
fn each_sheet_is_printed_whole_on_the_paper_asked_for() {
    let (Some(reader), Some(browser)) = (checkers::pdf_reader(), checkers::chromium()) else { return };
    let here = folder();
    let examples = folders::project().join("worked-examples");
    put(here.path(), "yard/boat.md", read(examples.join("boat-on-a-slip.md")));
    put(here.path(), "yard/rope-locker.md", read(examples.join("rope-locker.md")));
    put(here.path(), "linked.md", LINKED);
    let mut faults = Vec::new();
    for (paper, width, height) in [("A4", 595.276, 841.89), ("Letter", 612.0, 792.0)] {
        let out = format!("out {paper} é");
        let ran = finish(&mut building(here.path(), &browser, &["yard/boat.md", "linked.md", "--out", &out, "--paper", paper]), b"");
        assert_eq!((ran.status, ran.err.contains("2 PDFs printed")), (0, true), "{}", ran.err);
        for (name, title, revision) in
            [("yard/boat", "SL-12 Pilot gig up the north slip", "revision"), ("linked", "L-1 Links on paper revision C", "revision C")]
        {
            let place = here.path().join(&out).join(format!("{name}.pdf"));
            let bytes = std::fs::read(&place).expect("it was printed");
            let sheets = read_back(&reader, &bytes, "-layout");
            assert!(!sheets.is_empty(), "{name}: nothing was printed");
            for (at, text) in sheets.iter().enumerate() {
                let all = spaced(text);
                let head = spaced(text.lines().find(|line| !line.trim().is_empty()).unwrap_or(""));
                if !head.starts_with(title) || !head.contains(revision) {
                    faults.push(format!("{name} on {paper}, page {}: headed \"{head}\"", at + 1));
                }
                if !all.ends_with(&format!("sheet {} of {}", at + 1, sheets.len())) {
                    faults.push(format!("{name} on {paper}, page {}: does not end with its number", at + 1));
                }
            }
            let sizes = sizes(&bytes);
            if sizes.len() != sheets.len() || sizes.iter().any(|(w, h)| (w - width).abs() > 1.0 || (h - height).abs() > 1.0) {
                faults.push(format!("{name} on {paper}: {} pages of {sizes:?}", sheets.len()));
            }
            // Twenty millimetres to bind at.
            let edge = left_edge(&reader, &place) * 25.4 / 72.0;
            if edge < 19.5 {
                faults.push(format!("{name} on {paper}: {edge:.1} mm to bind at"));
            }
            let host = here.path().file_name().unwrap_or_default().to_string_lossy().into_owned();
            for told in ["file:", "CreationDate", "ModDate", "/tmp", "/home", "HeadlessChrome", "Linux", host.as_str()] {
                if holds(&bytes, told) {
                    faults.push(format!("{name} on {paper}: tells {told}"));
                }
            }
        }
        let linked = std::fs::read(here.path().join(&out).join("linked.pdf")).expect("it was printed");
        assert!(holds(&linked, "https://example.org/page"), "a link to the net is lost");
        let text = read_back(&reader, &linked, "-layout").concat();
        for told in ["(other.html)", "(https://example.org/page)"] {
            assert!(text.contains(told), "{told} is not printed: {text}");
        }
        assert!(
            std::fs::read_dir(here.path().join(&out))
                .expect("there")
                .flatten()
                .all(|one| !one.file_name().to_string_lossy().starts_with("printing-"))
        );
    }
    // From another folder, at another time: the same bytes.
    let elsewhere = folder();
    put(elsewhere.path(), "linked.md", LINKED);
    // A browser short of time has been seen to write the same pages in other bytes; one printing of three has to agree.
    let first = std::fs::read(here.path().join("out A4 é/linked.pdf")).expect("it was printed");
    let same = (0..3).any(|_| {
        assert_eq!(finish(&mut building(elsewhere.path(), &browser, &["linked.md"]), b"").status, 0);
        std::fs::read(elsewhere.path().join("out/linked.pdf")).expect("it was printed") == first
    });
    assert!(same, "the same sheet, other bytes");
    none(&faults);
}

#[test]
fn copies_for_whoever_checks_or_learns_are_printed_too() {
    let (Some(reader), Some(browser)) = (checkers::pdf_reader(), checkers::chromium()) else { return };
    let here = folder();
    let posed = format!("{LINKED}\n```rig\nexercise \"What does it weigh?\": w as N\n```\n");
    put(here.path(), "linked.md", posed);
    for (purpose, told, hidden) in [
        ("checking", "Copy for checking", "nothing is hidden"),
        ("blind", "What is asked", "29.42"),
        ("learners", "What does it weigh?", "29.42"),
    ] {
        let ran = finish(&mut building(here.path(), &browser, &["linked.md", "--for", purpose, "--paper", "Letter"]), b"");
        assert!(ran.status == 0 && ran.err.contains("1 PDF printed"), "{purpose}: {}", ran.err);
        let bytes = std::fs::read(here.path().join(format!("out/linked.{purpose}.pdf"))).expect("it was printed");
        let sheets = read_back(&reader, &bytes, "-layout");
        let all = spaced(&sheets.concat());
        assert!(all.to_lowercase().contains(&told.to_lowercase()) && !all.contains(hidden), "{purpose}: {all}");
        assert!(sizes(&bytes).iter().all(|(w, h)| (w - 612.0).abs() < 1.0 && (h - 792.0).abs() < 1.0), "{purpose}: {:?}", sizes(&bytes));
        assert!(!["file:", "CreationDate", "/tmp"].iter().any(|told| holds(&bytes, told)), "{purpose}: tells of the machine");
    }
    // Nothing that was worked lies beside what is calculated blind.
    let written: Vec<String> = std::fs::read_dir(here.path().join("out"))
        .expect("there")
        .flatten()
        .map(|one| one.file_name().to_string_lossy().into_owned())
        .filter(|name| name.starts_with("linked.") && !name.contains("checking") && !name.contains("learners"))
        .collect();
    assert_eq!(
        written.iter().filter(|name| ["linked.blind.html", "linked.blind.csv", "linked.blind.pdf"].contains(&name.as_str())).count(),
        written.len()
    );
}

#[test]
fn without_a_browser_the_page_is_written_and_the_way_out_is_told() {
    let here = folder();
    put(here.path(), "linked.md", LINKED);
    put(here.path(), "out/linked.pdf", "as it was");
    let absent = here.path().join("absent");
    let mut none_on_path = building(here.path(), Path::new(""), &["linked.md"]);
    let mut not_there = building(here.path(), &absent, &["linked.md"]);
    let no_path = none_on_path.env("PATH", here.path());
    for (command, wanted) in [(no_path, "no Chromium was found"), (&mut not_there, "no program is there")] {
        let _ = std::fs::remove_file(here.path().join("out/linked.html"));
        let ran = finish(command, b"").without_fault();
        assert_eq!(ran.status, 2, "{}", ran.err);
        assert!(ran.err.contains(wanted) && ran.err.contains("PARBUCKLE_BROWSER"), "{}", ran.err);
        assert!(here.path().join("out/linked.html").is_file(), "the page was not written");
        assert_eq!(read(here.path().join("out/linked.pdf")), "as it was");
    }
    let printed = finish(program(here.path()).args(["build", "linked.md", "--pdf", "--out", "-"]), b"");
    assert_eq!((printed.status, printed.out.as_str()), (2, ""));
    let paper = finish(program(here.path()).args(["build", "linked.md", "--paper", "Letter"]), b"");
    assert_eq!(paper.status, 2, "{}", paper.err);
}

#[cfg(unix)]
#[test]
fn a_browser_that_fails_is_told_with_what_it_said() {
    use std::os::unix::fs::PermissionsExt;
    let here = folder();
    put(here.path(), "linked.md", LINKED);
    put(here.path(), "out/linked.pdf", "as it was");
    for (script, wanted) in [
        ("echo Running without a Sandbox is not supported >&2; exit 7", "PARBUCKLE_BROWSER_OPTIONS=--no-sandbox"),
        ("echo out of paper >&2; exit 7", "it said: out of paper"),
        ("exit 0", "did not print"),
    ] {
        let fake = put(here.path(), "fake", format!("#!/bin/sh\n{script}\n"));
        std::fs::set_permissions(&fake, std::fs::Permissions::from_mode(0o755)).expect("it may run");
        let ran = finish(&mut building(here.path(), &fake, &["linked.md"]), b"").without_fault();
        assert_eq!(ran.status, 2, "{}", ran.err);
        assert!(ran.err.contains(wanted), "{wanted}: {}", ran.err);
        assert_eq!(read(here.path().join("out/linked.pdf")), "as it was");
        assert!(here.path().join("out/linked.html").is_file());
    }
}
