//! `watch` as a real process: saves made the way editors make them, pages asked for as a browser asks, and as an
//! attacker does. Whatever is waited for is waited for by the stream of news; no test depends on how long a thing takes.

use crate::support::folders::{project, text_of};
use crate::support::program::{folder, program, put, run};
use crate::support::watching::{Answer, Watch, generation, next_generation};
use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;

const STARTER: &str = include_str!("../src/faces/starter.md");
fn titled(title: &str) -> String {
    format!("# {title}\n\n```rig\ntake pull = 2 kN from \"spring balance\"\nhalf = pull / 2\n```\n")
}

fn shows(words: &str) -> impl Fn(&Answer) -> bool {
    let words = format!("<h1>{words}</h1>");
    move |answer| answer.status == 200 && answer.body.contains(&words)
}

#[test]
fn every_way_an_editor_saves_is_seen() {
    let here = folder();
    let sheet = here.path().join("slip.md");
    put(here.path(), "slip.md", titled("First"));
    let watch = Watch::start(here.path(), &["slip.md"]);
    watch.until("slip.html", shows("First"));
    for round in 0..3 {
        // In place.
        let title = |way: &str| format!("{way} {round}");
        fs::write(&sheet, titled(&title("In place"))).expect("written");
        watch.until("slip.html", shows(&title("In place")));
        // A new file renamed over the old one.
        put(here.path(), ".slip.md.swp", titled(&title("Renamed")));
        fs::rename(here.path().join(".slip.md.swp"), &sheet).expect("renamed");
        watch.until("slip.html", shows(&title("Renamed")));
        // Emptied, then written in two steps.
        let text = titled(&title("Two steps"));
        let mut file = fs::File::create(&sheet).expect("emptied");
        let (one, two) = text.split_at(text.len() / 2);
        file.write_all(one.as_bytes()).and_then(|()| file.flush()).expect("half of it");
        file.write_all(two.as_bytes()).expect("the rest");
        drop(file);
        watch.until("slip.html", |answer| shows(&title("Two steps"))(answer) && !answer.body.contains("live.banner"));
        // The old one kept as a backup, a new one in its place.
        fs::rename(&sheet, here.path().join("slip.md~")).expect("set aside");
        fs::write(&sheet, titled(&title("Backed up"))).expect("written");
        watch.until("slip.html", shows(&title("Backed up")));
    }
}

#[test]
fn what_was_saved_while_two_sheets_had_one_page_is_not_lost() {
    let here = folder();
    put(here.path(), "slip.md", titled("First"));
    let mut watch = Watch::heard(here.path(), &["."]);
    watch.until("slip.html", shows("First"));
    put(here.path(), "slip.MD", titled("Other"));
    put(here.path(), "slip.md", titled("Second"));
    let told = std::iter::from_fn(|| Some(watch.line())).find(|line| line.contains("would be written to the same page"));
    assert!(told.is_some());
    fs::remove_file(here.path().join("slip.MD")).expect("it was there");
    watch.until("slip.html", shows("Second"));
}

#[test]
fn a_file_that_nobody_reads_for_a_slip_in_its_name_is_told_once() {
    let here = folder();
    put(here.path(), "slip.md", titled("First"));
    put(here.path(), "parbukle.toml", "paper = \"A4\"\n");
    let mut watch = Watch::heard(here.path(), &["slip.md"]);
    let told = |watch: &mut Watch| std::iter::from_fn(|| Some(watch.line())).find(|line| line.contains("[project-file-name]")).is_some();
    assert!(told(&mut watch));
    // Another one is told at the next save, and the first not again.
    put(here.path(), "parbuckle.tml", "");
    put(here.path(), "slip.md", titled("Second"));
    let next = std::iter::from_fn(|| Some(watch.line())).find(|line| line.contains("not read as a project file"));
    assert!(next.is_some_and(|line| line.contains("`parbuckle.tml`")));
}

#[test]
fn a_mistake_leaves_the_last_good_page_under_a_banner_until_it_is_mended() {
    let here = folder();
    put(here.path(), "slates.md", STARTER);
    let watch = Watch::start(here.path(), &["slates.md"]);
    let good = watch.until("slates.html", |answer| answer.status == 200);
    assert!(!good.body.contains("live.banner"), "no banner without an error");
    put(here.path(), "slates.md", STARTER.replacen("weight(crate)", "weight(crat)", 1));
    let wrong = watch.until("slates.html", |answer| answer.body.contains("live.banner"));
    for words in ["1 error.", "unknown-name", "slates.md:", "weight(crat)", "class=\"caret\">", "as it was last without errors"] {
        assert!(wrong.body.contains(words), "{words}");
    }
    assert!(!wrong.body.contains("This sheet is incomplete"), "the good page stays");
    assert!(watch.state().contains("\"errors\":true"), "{}", watch.state());
    put(here.path(), "slates.md", STARTER.replacen("= 220 N", "= 150 N", 1));
    let mended = watch.until("slates.html", |answer| !answer.body.contains("live.banner"));
    assert!(mended.body.contains("FAIL") && generation(&mended) > generation(&wrong));
}

#[test]
fn the_terminal_tells_each_round_in_a_line_and_its_findings_below() {
    let here = folder();
    put(here.path(), "slates.md", STARTER);
    let mut watch = Watch::heard(here.path(), &["slates.md"]);
    // Generation, what changed, how long, findings, verdicts.
    let told = |line: &str, what: &str, rest: &str| {
        let parts: Vec<&str> = line.splitn(3, "; ").collect();
        let took = parts.get(1).and_then(|took| took.strip_suffix(" ms")).and_then(|took| took.parse::<f64>().ok());
        assert!(parts.first().is_some_and(|first| first.ends_with(what)) && took.is_some() && parts.get(2) == Some(&rest), "{line}");
    };
    told(&watch.line(), ": begun", "1 sheet; no findings; checks: 3 PASS");
    put(here.path(), "slates.md", STARTER.replacen("weight(crate)", "weight(crat)", 1));
    let wrong = watch.line();
    assert!(wrong.contains(": slates.md; ") && wrong.contains(" ms; 1 sheet; 1 error") && wrong.contains("NOT EVALUATED"), "{wrong}");
    let finding: Vec<String> = (0..6).map(|_| watch.line()).collect();
    let finding = finding.join("\n");
    for words in ["error", "crat", "slates.md:", "weight(crat)", "^^^^"] {
        assert!(finding.contains(words), "{words}: {finding}");
    }
    put(here.path(), "slates.md", STARTER);
    let mended = std::iter::repeat_with(|| watch.line()).find(|line| line.contains(": slates.md; ")).expect("a line comes");
    told(&mended, ": slates.md", "1 sheet; no findings; checks: 3 PASS");
}

#[test]
fn changes_alone_are_sent_to_who_takes_them_and_holds_the_page_before() {
    let here = folder();
    put(here.path(), "slates.md", STARTER);
    let watch = Watch::start(here.path(), &["slates.md"]);
    let first = watch.until("slates.html", |answer| answer.status == 200);
    put(here.path(), "slates.md", STARTER.replacen("= 96 kg", "= 99 kg", 1));
    let second = watch.until("slates.html", |answer| generation(answer) > generation(&first));
    let ask = |held: u64, accept: &str| watch.ask(&format!("sheets/slates.html?held={held}"), accept);
    let takes = "Accept: application/json, text/html\r\n";
    let changes = ask(generation(&first), takes);
    assert!(changes.head.contains("content-type: application/json") && generation(&changes) == generation(&second), "{}", changes.head);
    assert!(changes.body.len() < second.body.len() / 2, "{} of {} bytes", changes.body.len(), second.body.len());
    let told: serde_json::Value = serde_json::from_str(&changes.body).expect("JSON");
    let parts: Vec<&str> = told["parts"].as_array().into_iter().flatten().filter_map(|part| part[2].as_str()).collect();
    assert!(parts.len() > 3 && parts.iter().all(|part| second.body.contains(part) && !first.body.contains(part)));
    // Whoever holds another page, or takes pages alone, gets the whole of it.
    for whole in
        [ask(generation(&second), takes), ask(0, takes), ask(generation(&first), "Accept: text/html\r\n"), ask(generation(&first), "")]
    {
        assert!(whole.head.contains("content-type: text/html") && generation(&whole) == generation(&second), "{}", whole.head);
    }
    // A banner stands over the whole page.
    put(here.path(), "slates.md", STARTER.replacen("weight(crate)", "weight(crat)", 1));
    watch.until("slates.html", |answer| answer.body.contains("live.banner"));
    assert!(ask(generation(&second), takes).body.contains("live.banner"));
}

#[test]
fn what_a_sheet_uses_is_watched_even_before_it_is_there() {
    let here = folder();
    put(here.path(), "slip.md", "# Slip\n\n```rig\nuse \"gear/ropes.md\"\nhalf = pull / 2\n```\n");
    let watch = Watch::start(here.path(), &["slip.md"]);
    watch.until("slip.html", |answer| answer.body.contains("live.banner"));
    put(here.path(), "gear/ropes.md", titled("Ropes").replace("\nhalf = pull / 2", ""));
    let mended = watch.until("slip.html", |answer| answer.status == 200 && !answer.body.contains("live.banner"));
    put(here.path(), "gear/ropes.md", titled("Ropes").replace("\nhalf = pull / 2", "").replace("2 kN", "5 kN"));
    let other = watch.until("slip.html", |answer| generation(answer) > generation(&mended));
    assert!(other.body.contains("2.5"), "the changed pull is halved");
    fs::remove_dir_all(here.path().join("gear")).expect("it was there");
    watch.until("slip.html", |answer| answer.body.contains("live.banner"));
}

#[test]
fn sheets_come_and_go_and_a_link_is_followed_within_the_project() {
    let here = folder();
    put(here.path(), "yard/a.md", titled("First"));
    let watch = Watch::start(here.path(), &["yard", "--root", "."]);
    watch.until("yard/a.html", shows("First"));
    put(here.path(), "yard/deep/er/b.md", titled("Second"));
    watch.until("yard/deep/er/b.html", shows("Second"));
    watch.until("index.html", |answer| answer.body.contains("Second"));
    put(here.path(), "elsewhere/real.md", titled("Linked"));
    std::os::unix::fs::symlink("../elsewhere/real.md", here.path().join("yard/link.md")).expect("a link");
    watch.until("yard/link.html", shows("Linked"));
    put(here.path(), "elsewhere/real.md", titled("Linked anew"));
    watch.until("yard/link.html", shows("Linked anew"));
    fs::remove_file(here.path().join("yard/a.md")).expect("it was there");
    let gone = watch.until("yard/a.html", |answer| answer.status == 404);
    assert!(gone.body.contains("No sheet here") && gone.body.contains("<script data-live"));
    put(here.path(), "yard/a.md", titled("Back"));
    watch.until("yard/a.html", shows("Back"));
}

#[test]
fn a_burst_of_a_thousand_changes_ends_in_the_last_of_them() {
    let here = folder();
    put(here.path(), "slip.md", titled("First"));
    let watch = Watch::start(here.path(), &["."]);
    for number in 0..1000 {
        put(here.path(), "slip.md", titled(&format!("Save {number}")));
        put(here.path(), &format!("notes/{}.md", number % 50), format!("# Note {number}\n"));
    }
    watch.until("slip.html", shows("Save 999"));
    let (generation, _) = watch.state().split_once(",\"pages\"").map(|(a, b)| (a.to_string(), b.to_string())).expect("a state");
    let generation: u64 = generation.trim_start_matches("{\"generation\":").parse().expect("a number");
    assert!(generation < 500, "a thousand saves are taken together: {generation}");
}

#[test]
fn with_out_the_files_are_those_of_build_and_are_not_taken_for_changes() {
    let here = folder();
    put(here.path(), "sheets/slates.md", STARTER);
    put(here.path(), "sheets/deep/slip.md", titled("Slip"));
    let watch = Watch::start(here.path(), &["sheets", "--out", "sheets/site"]);
    // The index of kinds is made last.
    watch.until("kinds/index.html", |answer| answer.status == 200);
    assert_eq!(run(here.path(), &["build", "sheets", "--out", "plain"]).status, 0);
    let compare = |name: &str| {
        let read = |folder: &str| fs::read(here.path().join(folder).join(name)).unwrap_or_else(|error| panic!("{folder}/{name}: {error}"));
        assert!(read("plain") == read("sheets/site"), "{name} differs");
    };
    for name in ["sheets/slates.html", "sheets/slates.json", "sheets/deep/slip.html", "index.html", "kinds/tackle.html", "kinds/index.html"]
    {
        compare(name);
    }
    let before = generation(&watch.ask("sheets/sheets/slates.html", ""));
    put(here.path(), "sheets/slates.md", STARTER.replacen("= 220 N", "= 150 N", 1));
    let after = watch.until("sheets/slates.html", |answer| generation(answer) > before);
    assert!(after.body.contains("FAIL"));
    let all = watch.state();
    put(here.path(), "sheets/deep/slip.md", titled("Slip again"));
    watch.until("sheets/deep/slip.html", shows("Slip again"));
    let one = generation(&watch.ask("sheets/sheets/deep/slip.html", ""));
    assert_eq!(generation(&after) + 1, one, "nothing happened between the two saves: {all}");
}

#[test]
fn a_hundred_readers_are_told_of_the_same_save() {
    let here = folder();
    put(here.path(), "slip.md", titled("First"));
    let watch = Watch::start(here.path(), &["slip.md"]);
    let first = watch.until("slip.html", shows("First"));
    let mut readers: Vec<_> = (0..100).map(|_| watch.news("slip.html", generation(&first))).collect();
    put(here.path(), "slip.md", titled("Second"));
    let told: Vec<u64> = readers.iter_mut().map(next_generation).collect();
    assert!(told.iter().all(|number| *number == told[0] && *number > generation(&first)), "{told:?}");
    // One who comes back hears at once that the page is another by now.
    assert_eq!(next_generation(&mut watch.news("slip.html", generation(&first))), told[0]);
    let pages: Vec<Answer> = std::thread::scope(|scope| {
        let asking: Vec<_> = (0..100).map(|_| scope.spawn(|| watch.ask("sheets/slip.html", ""))).collect();
        asking.into_iter().map(|asking| asking.join().expect("an answer")).collect()
    });
    assert!(pages.iter().all(shows("Second")) && pages.iter().all(|page| generation(page) == told[0]));
}

#[test]
fn a_page_is_served_with_its_own_script_alone_and_is_otherwise_the_one_of_build() {
    let here = folder();
    put(here.path(), "slip.md", titled("Slip"));
    let watch = Watch::start(here.path(), &["slip.md"]);
    let page = watch.until("slip.html", shows("Slip"));
    let again = watch.ask("sheets/slip.html", "");
    let policy =
        |answer: &Answer| answer.head.lines().find(|line| line.starts_with("content-security-policy: ")).expect("a policy").to_string();
    let nonce =
        |answer: &Answer| answer.body.split("nonce=\"").nth(1).and_then(|rest| rest.split('"').next()).expect("a nonce").to_string();
    assert!(policy(&page).contains(&format!("script-src 'nonce-{}'", nonce(&page))) && policy(&page).contains("default-src 'none'"));
    assert!(policy(&page).contains(&format!("connect-src http://127.0.0.1:{}/{}/;", watch.port, watch.token)));
    assert_ne!(nonce(&page), nonce(&again));
    assert_eq!(page.body.matches("<script").count(), 2, "the page's own, allowed by its digest, and that of the served page");
    // Two scripts, each in two languages.
    assert_eq!(policy(&page).matches("'sha256-").count(), 4);
    assert!(!page.body.contains("http-equiv"), "its own policy would stop the script");
    for header in ["cache-control: no-store", "x-content-type-options: nosniff", "referrer-policy: no-referrer"] {
        assert!(page.head.contains(header), "{header}");
    }
    assert_eq!(watch.ask("", "").status, 303);
}

#[test]
fn requests_from_elsewhere_and_for_anything_else_are_refused() {
    let here = folder();
    put(here.path(), "slip.md", titled("Slip"));
    put(here.path(), "secret.txt", "the combination of the lock");
    let watch = Watch::start(here.path(), &["."]);
    let (port, token) = (watch.port, watch.token.clone());
    let good = format!("/{token}/sheets/slip.html");
    let get = |path: &str, headers: &str| watch.raw(format!("GET {path} HTTP/1.1\r\n{headers}\r\n").as_bytes());
    let own = format!("Host: 127.0.0.1:{port}\r\n");
    assert_eq!(get(&good, &own).status, 200);
    assert_eq!(get(&good, &format!("{own}Origin: http://127.0.0.1:{port}\r\nSec-Fetch-Site: same-origin\r\n")).status, 200);
    assert_eq!(get(&good, &format!("{own}Sec-Fetch-Site: cross-site\r\nSec-Fetch-Mode: navigate\r\n")).status, 200);
    // Names that were made to point here, and no name at all.
    for host in [
        "yard.example".to_string(),
        format!("yard.example:{port}"),
        "127.0.0.1".into(),
        format!("127.0.0.1:{}", port ^ 1),
        format!("0.0.0.0:{port}"),
    ] {
        assert_eq!(get(&good, &format!("Host: {host}\r\n")).status, 421, "{host}");
    }
    assert_eq!(get(&good, "").status, 421);
    assert_eq!(get(&good, &format!("{own}Host: yard.example\r\n")).status, 421);
    assert_eq!(get(&format!("http://yard.example{good}"), &own).status, 421);
    for from in [
        format!("{own}Origin: http://yard.example\r\n"),
        format!("{own}Origin: null\r\n"),
        format!("{own}Sec-Fetch-Site: cross-site\r\nSec-Fetch-Mode: no-cors\r\n"),
    ] {
        assert_eq!(get(&good, &from).status, 403, "{from}");
    }
    // Without the token, with a wrong one, and everywhere else.
    let wrong = token.chars().rev().collect::<String>();
    let paths = [
        "/".to_string(),
        "/sheets/slip.html".into(),
        format!("/{wrong}x/sheets/slip.html"),
        "/favicon.ico".into(),
        format!("/{token}/secret.txt"),
    ];
    let climbing =
        ["../secret.txt", "..%2fsecret.txt", "%2e%2e/secret.txt", "secret.txt", "slip.md", "slip.json", "/etc/hostname", "%00", ""];
    for path in paths.into_iter().chain(climbing.iter().map(|rest| format!("/{token}/sheets/{rest}"))) {
        let answer = get(&path, &own);
        assert!(answer.status == 404 && !answer.body.contains("combination"), "{path}: {}", answer.status);
    }
    for method in ["POST", "PUT", "DELETE", "OPTIONS"] {
        assert_eq!(watch.raw(format!("{method} {good} HTTP/1.1\r\n{own}Content-Length: 0\r\n\r\n").as_bytes()).status, 405, "{method}");
    }
    assert_eq!(watch.raw(format!("GET {good} HTTP/1.1\r\n{own}Content-Length: 5\r\n\r\nhello").as_bytes()).status, 413);
    // What is too large or no request at all is refused or cut off, and never answered with a page.
    let long = format!("{own}X: {}\r\n", "a".repeat(100_000));
    let many = format!("{own}{}", "X: a\r\n".repeat(500));
    for request in [
        format!("GET {good} HTTP/1.1\r\n{long}\r\n"),
        format!("GET {good} HTTP/1.1\r\n{many}\r\n"),
        format!("GET /{} HTTP/1.1\r\n{own}\r\n", "a".repeat(100_000)),
        "\0\u{1}\u{2}\r\n\r\n".into(),
    ] {
        let answer = watch.raw(request.as_bytes());
        assert!(answer.status == 0 || answer.status >= 400, "{}", answer.head);
    }
    assert_eq!(get(&good, &own).status, 200, "it still answers");
}

#[test]
fn one_who_never_ends_a_request_is_hung_up_on_and_hundreds_of_them_stop_nobody() {
    let here = folder();
    put(here.path(), "slip.md", titled("First"));
    let watch = Watch::start(here.path(), &["slip.md"]);
    let mut slow: Vec<TcpStream> = (0..300).map(|_| watch.connect()).collect();
    for stream in &mut slow {
        let _ = stream.write_all(b"GET / HT");
    }
    for stream in &mut slow {
        // An end, an error or a refusal: anything but waiting for ever.
        let mut bytes = Vec::new();
        let ended = stream.read_to_end(&mut bytes);
        assert!(!matches!(&ended, Err(error) if error.kind() == std::io::ErrorKind::WouldBlock), "still held");
    }
    drop(slow);
    watch.until("slip.html", shows("First"));
}

#[test]
fn what_cannot_be_watched_is_told_and_ends_with_two() {
    let here = folder();
    put(here.path(), "slip.md", titled("Slip"));
    let taken = std::net::TcpListener::bind(("127.0.0.1", 0)).expect("a port");
    let port = taken.local_addr().expect("bound").port().to_string();
    for (arguments, words) in [
        (vec!["watch", "slip.md", "--port", &port], "cannot listen on port"),
        (vec!["watch", "-"], "standard input cannot be watched"),
        (vec!["watch", "nowhere.md"], "cannot open `nowhere.md`"),
        (vec!["watch", "slip.md", "--out", "slip.md"], "cannot write"),
        (vec!["watch", "slip.md", "--port", "0"], "--port"),
    ] {
        let output = program(here.path()).args(&arguments).output().expect("it ends");
        let err = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.code() == Some(2) && err.contains(words), "{arguments:?}: {err}");
    }
}

#[test]
fn tables_lists_and_the_project_file_are_watched_even_before_they_are_there() {
    let here = folder();
    put(
        here.path(),
        "slip.md",
        "# Slip\n\n```rig\nreadings bench, raising\n    file \"lab/bench.csv\"\nsecond = bench.each.load[2]\n```\n",
    );
    let watch = Watch::start(here.path(), &["slip.md"]);
    watch.until("slip.html", |answer| answer.body.contains("live.banner") && answer.body.contains("bench.csv"));
    let table = |load: &str| format!("load (N),effort (N),load travel (mm),effort travel (mm)\n100,31,50,201\n{load},58,50,200\n");
    put(here.path(), "lab/bench.csv", table("217"));
    watch.until("slip.html", |answer| !answer.body.contains("live.banner") && answer.body.contains("217"));
    put(here.path(), "lab/.bench.csv.new", table("219"));
    fs::rename(here.path().join("lab/.bench.csv.new"), here.path().join("lab/bench.csv")).expect("renamed");
    watch.until("slip.html", |answer| answer.body.contains("219"));
    put(here.path(), "parbuckle.toml", "owner = \n");
    // It may be seen while it is still empty, so the mistake itself is waited for.
    watch.until("slip.html", |answer| answer.body.contains("live.banner") && answer.body.contains("parbuckle.toml"));
    put(here.path(), "parbuckle.toml", "owner = \"Quay works\"\n");
    watch.until("slip.html", |answer| !answer.body.contains("live.banner"));
    fs::remove_file(here.path().join("parbuckle.toml")).expect("it was there");
    watch.until("slip.html", |answer| answer.status == 200 && !answer.body.contains("live.banner"));
}

#[test]
fn pictures_the_mark_of_the_house_and_its_parts_are_watched_even_before_they_are_there() {
    let here = folder();
    let svg = |word: &str| format!("<svg xmlns=\"http://www.w3.org/2000/svg\"><title>{word}</title></svg>\n");
    let shows = |bytes: &[u8], kind: &str| {
        let address = parbuckle::output::data_address(kind, bytes);
        move |answer: &Answer| answer.body.contains(&address)
    };
    put(here.path(), "slip.md", titled("Slip").replace("```rig", "![](drawings/block.png)\n\n```rig"));
    put(here.path(), "parbuckle.toml", "logo = \"style/mark.svg\"\n\n[templates]\nfolder = \"style/parts\"\n");
    let watch = Watch::start(here.path(), &["slip.md"]);
    let told = ["2 warnings.", "style/mark.svg", "there is no template folder"];
    watch.until("slip.html", |answer| told.iter().all(|words| answer.body.contains(words)));
    put(here.path(), "style/parts/README.md", "how they are made\n");
    for word in ["one", "two"] {
        put(here.path(), "style/mark.svg", svg(word));
        watch.until("slip.html", shows(svg(word).as_bytes(), "image/svg+xml"));
    }
    // What no text is: written in place, and renamed over.
    let png = |word: &str| [b"\x89PNG\r\n\x1a\n\xff", word.as_bytes()].concat();
    put(here.path(), "drawings/block.png", png("one"));
    watch.until("slip.html", shows(&png("one"), "image/png"));
    put(here.path(), "drawings/.block.png.new", png("two"));
    fs::rename(here.path().join("drawings/.block.png.new"), here.path().join("drawings/block.png")).expect("renamed");
    watch.until("slip.html", shows(&png("two"), "image/png"));
    fs::remove_file(here.path().join("drawings/block.png")).expect("it was there");
    watch.until("slip.html", |answer| answer.status == 200 && !answer.body.contains("data:image/png"));
    // A part of the page, and one that is not fit.
    let part = text_of(&project().join("templates/title.html"));
    put(here.path(), "style/parts/title.html", format!("{part}<p>by our own hand</p>\n"));
    watch.until("slip.html", |answer| answer.body.contains("by our own hand") && !answer.body.contains("live.banner"));
    put(here.path(), "style/parts/title.html", format!("{part}{{{{ nowhere }}}}\n"));
    watch.until("slip.html", |answer| answer.body.contains("live.banner") && answer.body.contains("title.html"));
    fs::remove_file(here.path().join("style/parts/title.html")).expect("it was there");
    watch.until("slip.html", |answer| !answer.body.contains("by our own hand") && !answer.body.contains("live.banner"));
}
