//! Builds of many sheets: the same on however many cores, nothing lost whatever stands in the output folder.

use crate::support::program::{folder, program, put, read, run};
use std::fs;
use std::path::{Path, PathBuf};

const STARTER: &str = include_str!("../src/faces/starter.md");

// Sheets of every sort: whole, failing, with findings, beyond reading, and with a file in common.
fn yard(here: &Path) {
    put(here, "yard/gear.md", "# Gear\n\n```rig\ngear rope \"12 mm\"\n    rated 2 kN  from \"tag\"\n```\n");
    for at in 0..24 {
        let name = format!("yard/{}/{at:02}.md", ["north", "south", "quay"][at % 3]);
        let mass = format!("= {} kg ±", 90 + at);
        match at % 8 {
            0 => put(here, &name, STARTER.replacen("= 96 kg ±", &mass, 1)),
            3 => put(here, &name, STARTER.replacen("weight(crate)", "weight(crat)", 1)),
            5 => put(here, &name, [b"```rig\n".as_slice(), b"\xff\xfe\n```\n"].concat()),
            6 => put(
                here,
                &name,
                format!(
                    "# Short {at}\n\n```rig\nuse \"../gear.md\"\ntake pull = {at} N from \"tape\"\ncheck \"rope\": pull <= rope.rated\n```\n"
                ),
            ),
            _ => put(here, &name, format!("# Plain {at}\n\n```rig\ntake pull = {at} N ± 1 N from \"tape\"\nhalf = pull / 2\n```\n")),
        };
    }
}

// Every file below `folder` with its bytes, by path from there.
fn files(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    fn walk(folder: &Path, top: &Path, found: &mut Vec<(PathBuf, Vec<u8>)>) {
        for entry in fs::read_dir(folder).expect("the folder is there") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                walk(&path, top, found);
            } else {
                found.push((path.strip_prefix(top).expect("below").to_path_buf(), fs::read(&path).expect("a file")));
            }
        }
    }
    let mut found = Vec::new();
    walk(folder, folder, &mut found);
    found.retain(|(path, _)| !path.starts_with(".stowed"));
    found.sort();
    found
}

#[test]
fn any_number_of_cores_gives_the_same_files_and_the_same_words_in_the_same_order() {
    let here = folder();
    yard(here.path());
    assert!(STARTER.contains("= 96 kg ±"), "the sheets differ");
    let build = |out: &str, cores: &str| run(here.path(), &["build", "yard", "--out", out, "--cores", cores]).without_fault();
    let one = build("one", "1");
    assert!(one.status == 1 && one.err.contains("25 sheets") && one.err.contains("is not UTF-8"), "{}", one.err);
    let many = build("many", "3");
    assert_eq!(one.err.replace("written to one", "written to it"), many.err.replace("written to many", "written to it"));
    assert!(files(&here.path().join("one")) == files(&here.path().join("many")), "on 3 cores other files come out");
    for format in ["text", "json"] {
        let check = |cores: &str| run(here.path(), &["check", "yard", "--format", format, "--cores", cores]).without_fault();
        let (one, many) = (check("1"), check("5"));
        assert_eq!((one.status, &one.out, &one.err), (many.status, &many.out, &many.err), "{format}");
    }
}

#[test]
fn a_file_that_a_sheet_reads_is_not_written_over_however_late_it_is_read() {
    let here = folder();
    let page = "not a page, but what `b` reads\n";
    put(here.path(), "yard/a.md", STARTER);
    put(here.path(), "yard/b.md", "# B\n\n```rig\nuse \"../out/yard/a.html\"\ntake x = 1 N from \"tape\"\n```\n");
    put(here.path(), "out/yard/a.html", page);
    for cores in ["1", "2"] {
        let ran = run(here.path(), &["build", "yard", "--cores", cores]).without_fault();
        assert!(ran.status == 2 && ran.err.contains("`out/yard/a.html` is a document this build reads"), "{}", ran.err);
        assert_eq!(read(here.path().join("out/yard/a.html")), page);
    }
    fs::remove_file(here.path().join("yard/b.md")).expect("it was there");
    assert_eq!(run(here.path(), &["build", "yard"]).status, 0);
    assert!(read(here.path().join("out/yard/a.html")).contains("Raising slates"));
    let left: Vec<PathBuf> =
        files(here.path()).into_iter().map(|(path, _)| path).filter(|path| path.to_string_lossy().contains("parbuckle-")).collect();
    assert!(left.is_empty(), "drafts are left: {left:?}");
}

// What a build says it wrote and left.
fn counts(words: &str) -> (usize, usize) {
    let words = words.lines().last().unwrap_or("");
    let number = |before: &str, after: &str| {
        let rest = words.rsplit_once(after).and_then(|(head, _)| head.rsplit(before).next());
        rest.and_then(|number| number.trim().parse().ok()).unwrap_or(0)
    };
    (number("; ", " file"), number(", ", " unchanged"))
}

#[test]
fn a_second_build_of_the_same_sheets_makes_nothing_and_says_the_same() {
    let here = folder();
    yard(here.path());
    let build = || run(here.path(), &["build", "yard"]).without_fault();
    let (first, out) = (build(), here.path().join("out"));
    let (written, none) = counts(&first.err);
    assert!(written > 40 && none == 0, "{}", first.err);
    let (pages, times) = (files(&out), stamps(&out));
    let second = build();
    assert_eq!(counts(&second.err), (0, written), "{}", second.err);
    let found = |ran: &crate::support::program::Ran| {
        ran.err.lines().filter(|line| !line.contains(" written to ")).map(String::from).collect::<Vec<_>>()
    };
    assert_eq!((first.status, found(&first)), (second.status, found(&second)));
    let summary = |ran: &crate::support::program::Ran| {
        ran.err
            .lines()
            .last()
            .and_then(|line| line.split(" written to").next())
            .and_then(|line| line.rsplit_once("; "))
            .map(|(words, _)| words.to_string())
    };
    assert!(summary(&first).is_some_and(|words| words.contains("PASS")) && summary(&first) == summary(&second));
    assert!(files(&out) == pages && stamps(&out) == times, "nothing was touched");

    // A changed sheet, a changed file in common, an option of the page: what rests on it is made, and nothing else.
    put(here.path(), "yard/south/01.md", "# Plain anew\n\n```rig\ntake pull = 7 N from \"tape\"\n```\n");
    assert_eq!(counts(&build().err).0, 3, "its page, its JSON and the register");
    put(here.path(), "yard/gear.md", "# Gear\n\n```rig\ngear rope \"12 mm\"\n    rated 3 kN  from \"tag\"\n```\n");
    let users = (0..24).filter(|at| at % 8 == 6).count();
    assert_eq!(counts(&build().err).0, 2 * (1 + users) + 1, "the file's own page, those of its users, and the register");
}

// When each file was last replaced: the number of the file on its disk.
fn stamps(folder: &Path) -> Vec<(PathBuf, std::time::SystemTime)> {
    files(folder)
        .into_iter()
        .map(|(path, _)| (path.clone(), fs::metadata(folder.join(&path)).and_then(|facts| facts.modified()).expect("facts")))
        .collect()
}

#[test]
fn a_page_or_a_record_that_is_not_what_was_written_is_made_again() {
    let here = folder();
    for at in 0..4 {
        put(
            here.path(),
            &format!("yard/{at}.md"),
            format!("# Sheet {at}\n\n```rig\ntake pull = {at} N from \"tape\"\nhalf = pull / 2\n```\n"),
        );
    }
    let build = || run(here.path(), &["build", "yard"]).without_fault();
    let out = here.path().join("out");
    assert_eq!(build().status, 0);
    let pages = files(&out);
    let settled = |words: &str| assert!(files(&out) == pages, "{words}: other files");
    // Pages that were changed, cut short, taken away, or only copied.
    let page = out.join("yard/1.html");
    let text = read(&page);
    for (words, other) in
        [("changed", text.replacen("Sheet 1", "Sheet 7", 1)), ("cut", text[..text.len() / 2].to_string()), ("emptied", String::new())]
    {
        fs::write(&page, other).expect("written");
        assert_eq!(counts(&build().err).0, 1, "{words}");
        settled(words);
    }
    fs::remove_file(&page).expect("it was there");
    assert_eq!(counts(&build().err).0, 1);
    settled("gone");
    fs::write(&page, &text).expect("written");
    assert_eq!(counts(&build().err).0, 0, "the same bytes serve");
    // Records: each byte of one, from the first to the last, and every length.
    let records = || {
        let mut records: Vec<PathBuf> =
            fs::read_dir(out.join(".stowed")).expect("records").map(|entry| entry.expect("an entry").path()).collect();
        records.retain(|path| path.extension().is_none());
        records.sort();
        records
    };
    let sheets: Vec<PathBuf> = records().into_iter().filter(|path| read(path).contains("\"sheet yard/")).collect();
    assert_eq!(sheets.len(), 4);
    let whole = fs::read(&sheets[0]).expect("a record");
    let step = whole.len() / 9;
    for at in 0..9 {
        let mut other = whole.clone();
        other[at * step] ^= 1;
        fs::write(&sheets[0], &other).expect("written");
        fs::write(&sheets[1], &whole[..at * step]).expect("written");
        fs::write(&sheets[2], &whole).expect("written");
        let ran = build();
        assert!(ran.status == 0 && ran.err.contains("2 records of earlier builds could not be read"), "{at}: {}", ran.err);
        settled("a damaged record");
    }
    assert!(!build().err.contains("could not be read"));
    // A sheet that went takes its record with it.
    let before = records().len();
    fs::remove_file(here.path().join("yard/3.md")).expect("it was there");
    assert_eq!(build().status, 0);
    assert_eq!(records().len(), before - 1);
    // Without records everything is made, and comes to the same.
    fs::remove_dir_all(out.join(".stowed")).expect("they were there");
    assert_eq!(counts(&build().err).0, 0);
}

// Five small sheets in one of two states, and the command line that builds them.
fn small(here: &Path, state: usize) {
    for at in 0..5 {
        let pull = 10 * at + 3 * state + 1;
        put(
            here,
            &format!("s{at}.md"),
            format!("# Sheet {at}, state {state}\n\n```rig\ntake pull = {pull} N from \"tape\"\nhalf = pull / 2\n```\n"),
        );
    }
}

const SMALL: [&str; 7] = ["build", "s0.md", "s1.md", "s2.md", "s3.md", "s4.md", "--out"];

fn into(out: &str) -> Vec<&str> {
    SMALL.into_iter().chain([out]).collect()
}

// What both states come to, built without disturbance.
fn undisturbed(here: &Path) -> [Vec<(PathBuf, Vec<u8>)>; 2] {
    [0, 1].map(|state| {
        small(here, state);
        let out = format!("state-{state}");
        assert_eq!(run(here, &into(&out)).status, 0);
        files(&here.join(out))
    })
}

// Every output is the whole one of either state; drafts that a killed build could not take away are no outputs.
fn old_or_new(out: &Path, states: &[Vec<(PathBuf, Vec<u8>)>; 2]) {
    for found in files(out) {
        let draft = found.0.file_name().is_some_and(|name| name.as_encoded_bytes().starts_with(b".parbuckle-"));
        assert!(draft || states.iter().any(|state| state.contains(&found)), "{} is neither the old nor the new one", found.0.display());
    }
}

#[test]
fn a_build_that_is_killed_leaves_every_file_old_or_new_and_whole() {
    // The gate asks for five hundred.
    let kills: usize = std::env::var("BUILDS_KILLED").ok().and_then(|number| number.parse().ok()).unwrap_or(40);
    let here = folder();
    let states = undisturbed(here.path());
    let began = std::time::Instant::now();
    assert_eq!(run(here.path(), &into("timed")).status, 0);
    let whole = began.elapsed();
    let out = here.path().join("out");
    // The fractional parts of the multiples of the golden section fall everywhere alike.
    let (mut at, mut cut) = (0.0_f64, 0);
    for number in 0..kills {
        small(here.path(), number % 2);
        let mut child = program(here.path()).args(into("out")).spawn().expect("the program starts");
        at = (at + 0.618_033_988_749_895).fract();
        std::thread::sleep(whole.mul_f64(1.2 * at));
        child.kill().expect("it is a child of ours");
        cut += usize::from(child.wait().expect("it ends").code().is_none());
        if out.exists() {
            old_or_new(&out, &states);
        }
    }
    assert!(cut > kills / 10, "hardly any build was cut short: {cut} of {kills}");
    // No record of a build that was cut short is believed.
    small(here.path(), 0);
    assert_eq!(run(here.path(), &into("out")).status, 0);
    let mut standing = files(&out);
    standing.retain(|(path, _)| !path.to_string_lossy().contains(".parbuckle-"));
    assert!(standing == states[0]);
}

// A small disk of its own, which goes away by itself.
#[cfg(target_os = "linux")]
struct Mounted(PathBuf);

#[cfg(target_os = "linux")]
impl Mounted {
    fn new(at: PathBuf) -> Option<Mounted> {
        fs::create_dir_all(&at).expect("a folder");
        Mounted::mount(&["-t", "tmpfs", "-o", "size=2m", "tmpfs"], &at).then(|| Mounted(at))
    }

    fn mount(options: &[&str], at: &Path) -> bool {
        let mut command = std::process::Command::new("mount");
        command.args(options).arg(at).stderr(std::process::Stdio::null());
        command.status().is_ok_and(|status| status.success())
    }
}

#[cfg(target_os = "linux")]
impl Drop for Mounted {
    fn drop(&mut self) {
        let _ = std::process::Command::new("umount").arg(&self.0).status();
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_and_one_that_cannot_be_written_cost_nothing_that_stands() {
    use std::io::Write;
    let here = folder();
    let states = undisturbed(here.path());
    let Some(disk) = Mounted::new(here.path().join("disk")) else {
        eprintln!("LEFT OUT: a full disk, as no small one can be mounted here");
        return;
    };
    small(here.path(), 0);
    let built = run(here.path(), &into("disk/out"));
    assert_eq!(built.status, 0, "{}", built.err);
    let mut filler = fs::File::create(disk.0.join("filler")).expect("a file");
    while filler.write_all(&[0; 4096]).is_ok() {}
    drop(filler);
    small(here.path(), 1);
    let full = run(here.path(), &into("disk/out")).without_fault();
    assert!(full.status == 2 && full.err.contains("cannot write `disk/out/s0."), "{}", full.err);
    let out = disk.0.join("out");
    old_or_new(&out, &states);
    assert_eq!(files(&out).len(), states[0].len(), "nothing is left behind");
    fs::remove_file(disk.0.join("filler")).expect("it was there");
    assert_eq!(run(here.path(), &into("disk/out")).status, 0);
    assert!(files(&out) == states[1]);

    assert!(Mounted::mount(&["-o", "remount,ro"], &disk.0), "what was mounted can be mounted again");
    let same = run(here.path(), &into("disk/out")).without_fault();
    assert_eq!((same.status, counts(&same.err).0), (0, 0), "there is nothing to write: {}", same.err);
    small(here.path(), 0);
    let refused = run(here.path(), &into("disk/out")).without_fault();
    assert!(refused.status == 2 && refused.err.contains("cannot write `disk/out/s0."), "{}", refused.err);
    assert!(files(&out) == states[1]);
}

// What begins as a PNG or a JPEG picture does; nothing here draws it.
const PNG: &[u8] = b"\x89PNG\r\n\x1a\n\0\0\0\xff grey";
const JPEG: &[u8] = b"\xff\xd8\xff\xe0\0\x10JFIF\0\xfe grey";

#[test]
fn pages_with_pictures_stand_until_a_picture_is_another() {
    let here = folder();
    let sheet = |at: usize, picture: &str| format!("# Sheet {at}\n\n![]({picture})\n\n```rig\ntake pull = {at} N from \"tape\"\n```\n");
    for (at, picture) in ["block.png", "hook.jpg", "later.png"].into_iter().enumerate() {
        put(here.path(), &format!("yard/{at}.md"), sheet(at, picture));
    }
    put(here.path(), "yard/block.png", PNG);
    put(here.path(), "yard/hook.jpg", JPEG);
    put(here.path(), "yard/mark.png", PNG);
    put(here.path(), "yard/parbuckle.toml", "logo = \"mark.png\"\n");
    let build = || run(here.path(), &["build", "yard/0.md", "yard/1.md", "yard/2.md"]).without_fault();
    let page = |at: usize| read(here.path().join(format!("out/yard/{at}.html")));
    assert_eq!(build().status, 0);
    assert!(page(0).contains("data:image/png;base64,iVBOR") && page(1).contains("data:image/jpeg;base64,/9j/"));
    // A sheet that is made has its record written anew; one that is taken as it stands has not.
    let records = stamps(&here.path().join("out/.stowed"));
    assert_eq!(counts(&build().err).0, 0);
    assert!(stamps(&here.path().join("out/.stowed")) == records, "sheets with pictures were made again");
    let before = page(1);
    put(here.path(), "yard/hook.jpg", [JPEG, b"er"].concat());
    assert_eq!(counts(&build().err).0, 2, "the page and its JSON");
    assert_ne!(page(1), before);
    // One that was missing, and one that goes.
    put(here.path(), "yard/later.png", PNG);
    assert_eq!(counts(&build().err).0, 2);
    assert!(page(2).matches("data:image/png").count() > page(1).matches("data:image/png").count());
    fs::remove_file(here.path().join("yard/block.png")).expect("it was there");
    let gone = build();
    assert!(counts(&gone.err).0 == 2 && gone.err.contains("block.png"), "{}", gone.err);
    // The mark of the house is on every page.
    put(here.path(), "yard/mark.png", [PNG, b"er"].concat());
    assert!(counts(&build().err).0 >= 3);
    assert_eq!(counts(&build().err).0, 0);
}
