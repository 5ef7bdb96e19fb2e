//! Hostile documents: what could run is put wherever a document has room for text, and the pages are opened, once under
//! their own policy and once with it switched off, so that the markup has to hold by itself.

use super::{address, build, markup, none, pages, texts};
use crate::support::browser::{Browser, Screen, browser};
use crate::support::program::{put, run};
use serde_json::json;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

const EVERYWHERE: &str = include_str!("hostile.md");
const MISSPELT: &str = include_str!("misspelt.md");
const TRY: &str = include_str!("planted.js");

/// Notes who called it. It is there before a page begins.
const PLANTED: &str = "window.calledBy = []; window.planted = (by) => { window.calledBy.push(String(by)); return 1; }; \
                       window.alert = window.planted; window.open = window.planted;";

/// What an author could write where text belongs, each with its own way out of where it stands.
const TEXTS: [&str; 15] = [
    "<script>planted(1)</script>",
    "</style></title></textarea></pre></svg></math><script>planted(2)</script>",
    "\"><img src=data:,x onerror=planted(3)>",
    "' onmouseover='planted(4)' autofocus onfocus=planted(4) x='",
    "\" onmouseover=\"planted(5)\" onclick=\"planted(5)\" style=\"animation:x\" onanimationstart=\"planted(5)\" x=\"",
    "<svg onload=planted(6)><animate attributeName=x onbegin=planted(6)><script>planted(6)</script><foreignObject><iframe srcdoc='<script>parent.planted(6)</script>'></iframe></foreignObject></svg>",
    "<math><mtext><table><mglyph><style><!--</style><img title=\"--&gt;&lt;img src=1 onerror=planted(7)&gt;\"></mglyph></table></mtext><maction actiontype=statusline xlink:href=javascript:planted(7)>x</maction></math>",
    "&lt;script&gt;planted(8)&lt;/script&gt; &#60;img src=x onerror=planted(8)&#62; &amp;lt;script&amp;gt; &quot; onload=planted(8)",
    "--><!--><script>planted(9)</script><![CDATA[<script>planted(9)</script>]]><?xml x?><!DOCTYPE x>",
    "<details open ontoggle=planted(10)><summary>x</summary></details><form action=javascript:planted(10)><button>x</button></form><base href=javascript:planted(10)//>",
    "<a href=\"java&#x09;script:planted(11)\">x</a> <a href=' &#1;javascript:planted(11)'>y</a> [z](javascript:planted(11)) <javascript:planted(11)>",
    "<style>@import 'http://example.invalid/a.css'; *{background:url(http://example.invalid/b)}</style><link rel=stylesheet href=//example.invalid/c><meta http-equiv=refresh content='0;url=javascript:planted(12)'>",
    "<iframe src=javascript:parent.planted(13)></iframe><object data=javascript:planted(13)></object><embed src=javascript:planted(13)><video><source onerror=planted(13)></video>",
    "{{ planted(14) }} {% raw %} ${planted(14)} \\href{javascript:planted(14)}{x} \\htmlData{onclick=planted(14)}{x} #\\3C script\\3E planted(14)",
    "<template><script>planted(15)</script></template><noscript><p title=\"</noscript><img src=data:,x onerror=planted(15)>\"></noscript><select><style></select><img src=data:,x onerror=planted(15)></style>",
];

/// Where a link could lead.
const LINKS: [&str; 5] = [
    "javascript:planted(21)",
    "JaVa&#x0a;ScRiPt&colon;planted(22)",
    "data:text/html,<script>opener.planted(23)</script>",
    "vbscript:planted(24)",
    "//example.invalid/\"onclick=planted(25)",
];

/// The hostile project as the program writes it.
fn written() -> &'static Path {
    static WRITTEN: OnceLock<PathBuf> = OnceLock::new();
    WRITTEN.get_or_init(|| {
        let tests = PathBuf::from(env!("CARGO_TARGET_TMPDIR"));
        let (from, out) = (tests.join("hostile"), tests.join("hostile-pages"));
        let _ = std::fs::remove_dir_all(&from);
        for (at, text) in TEXTS.iter().enumerate() {
            let name = name_of(at, text);
            let string = text.replace('\\', "\\\\").replace('"', "\\\"");
            let filed = format!("{name}.csv");
            let link = LINKS[at % LINKS.len()];
            let fill = |form: &str| {
                let form = form.replace("@PROSE@", text).replace("@LINK@", link).replace("@STRING@", &string).replace("@BARE@", text);
                form.replace("@FILE@", &filed.replace('\\', "\\\\").replace('"', "\\\""))
            };
            put(&from, &format!("{name}.md"), fill(EVERYWHERE));
            put(&from, &format!("misspelt-{at}.md"), fill(MISSPELT));
            let field = format!("\"{}\"", text.replace('"', "\"\""));
            let table = format!(
                "trial,load (N),effort (N),load travel (mm),effort travel (mm),{field},remark\n1,100,40,300,1200,{field},{field}\n\
                 {field},200,75,300,1200,x,{field}\n3,{field},110,300,1200,x,{field}\n4,400,140,300,1200,,{field}\n"
            );
            // The first reads every row, the others meet one that they cannot read.
            let sound = table.lines().filter(|line| at % 2 == 1 || !line.starts_with("3,")).collect::<Vec<_>>().join("\n");
            put(&from, &filed, sound);
            sign(&from, at, text);
        }
        build(&from, &out);
        out
    })
}

/// A sheet whose signatures say `text` wherever somebody who signs may say something. What is void, superseded or stale prints
/// more of them.
fn sign(folder: &Path, at: usize, text: &str) {
    let name = format!("signed-{at}.md");
    let sheet = "# Signed\n\n```rig\nsheet SG-1 \"Signed\"\n    revision A\ntake pull = 2 kN from \"balance\"\nhalf = pull / 2\n```\n";
    put(folder, &name, sheet);
    let other = format!("{text} and another");
    let signs = |options: &[(&str, &str)]| {
        let options: Vec<String> = options.iter().map(|(option, value)| format!("--{option}={value}")).collect();
        let mut arguments = vec!["sign", &name, "--date", "2026-03-14"];
        arguments.extend(options.iter().map(String::as_str));
        let ran = run(folder, &arguments).without_fault();
        assert_eq!(ran.status, 0, "{name}: {}", ran.err);
    };
    signs(&[("role", "originator"), ("name", text), ("meaning", text)]);
    signs(&[("role", "checker"), ("name", &other), ("meaning", text)]);
    match at % 3 {
        0 => signs(&[("void", text), ("name", text)]),
        1 => signs(&[("superseded-by", text), ("name", text)]),
        _ => drop(put(folder, &name, sheet.replace("2 kN", "3 kN"))),
    }
}

/// A file name that says the same, as far as a file name can.
fn name_of(at: usize, text: &str) -> String {
    let name: String = text.chars().filter(|c| !"/\\\0".contains(*c)).take(90).collect();
    if cfg!(unix) { format!("{at} {name}") } else { format!("hostile-{at}") }
}

fn open(browser: &mut Browser, page: &Path) -> serde_json::Value {
    browser.open(&address(page), Screen { width: 1440, dark: false });
    browser.evaluate(TRY)
}

#[test]
fn nothing_that_a_document_says_runs_or_asks_for_anything() {
    let Some(mut browser) = browser() else { return };
    let planted = browser.call("Page.addScriptToEvaluateOnNewDocument", &json!({ "source": PLANTED }));
    let (mut faults, mut opened, mut said) = (Vec::new(), 0, 0);
    for bypass in [false, true] {
        browser.call("Page.setBypassCSP", &json!({ "enabled": bypass }));
        for page in pages(written()) {
            if page.parent() != Some(written()) {
                continue;
            }
            let name = page.file_name().unwrap_or_default().to_string_lossy().into_owned();
            let seen = open(&mut browser, &page);
            let under = if bypass { "without its policy" } else { "under its policy" };
            let told = texts(&seen["faults"]).into_iter().chain(texts(&seen["called"]).into_iter().map(|by| format!("{by} was called")));
            faults.extend(told.map(|fault| format!("{name}, {under}: {fault}")));
            faults.extend(browser.messages().into_iter().map(|message| format!("{name}, {under}: the console says {message}")));
            faults.extend(browser.requests().into_iter().map(|address| format!("{name}, {under}: asks for {address}")));
            said += usize::from(seen["text"].as_str().is_some_and(|text| text.contains("planted(")));
            opened += 1;
        }
    }
    browser.call("Page.setBypassCSP", &json!({ "enabled": false }));
    browser.call("Page.removeScriptToEvaluateOnNewDocument", &planted);
    none(&faults);
    // The texts are there to be read: nothing was held off by being left out.
    assert!(opened == 2 * (3 * TEXTS.len() + 1) && said + 6 >= opened, "{said} of {opened} pages say what was planted");
}

#[test]
fn the_markup_of_hostile_documents_is_valid() {
    let hostile: Vec<PathBuf> = pages(written()).into_iter().filter(|page| page.parent() == Some(written())).collect();
    // What an author's own markup says amiss of itself stays his: what stands in what, what an address may hold, and
    // images without a description. Nothing of that opens or closes what is not his.
    let his = ["not allowed as child of element", "must have an “alt” attribute", "Bad value", "Element “img” is missing"];
    if let Some(errors) = markup::errors(&hostile) {
        none(&errors.into_iter().filter(|error| !his.iter().any(|words| error.contains(words))).collect::<Vec<_>>());
    }
}

#[test]
fn what_was_planted_is_called_where_a_page_lets_it() {
    let Some(mut browser) = browser() else { return };
    let planted = browser.call("Page.addScriptToEvaluateOnNewDocument", &json!({ "source": PLANTED }));
    let place = tempfile::Builder::new().suffix(".html").tempfile_in(env!("CARGO_TARGET_TMPDIR")).expect("a file");
    let page = format!("<body>{}<a href='javascript:planted(\"link\")'>x</a><p onmouseover='planted(\"hover\")'>y</p>", TEXTS[2]);
    std::fs::write(place.path(), page).expect("written");
    let seen = open(&mut browser, place.path());
    browser.call("Page.removeScriptToEvaluateOnNewDocument", &planted);
    let called = texts(&seen["called"]);
    for by in ["3", "link", "hover"] {
        assert!(called.iter().any(|one| one == by), "{by}: {called:?}");
    }
    let faults = texts(&seen["faults"]);
    for wanted in ["a handler: onerror", "leads to javascript:", "out of its frame"] {
        assert!(faults.iter().any(|fault| fault.contains(wanted)), "{wanted}: {faults:?}");
    }
}

#[test]
fn a_hostile_sheet_is_read_to_its_end() {
    // With its texts made harmless the sheet has no errors: what is planted stands in places that are read.
    let folder = crate::support::program::folder();
    let plain = |form: &str| ["@PROSE@", "@STRING@", "@BARE@"].iter().fold(form.to_string(), |form, slot| form.replace(slot, "words"));
    put(folder.path(), "plain.md", plain(EVERYWHERE).replace("@LINK@", "https://example.org/").replace("@FILE@", "plain.csv"));
    put(
        folder.path(),
        "plain.csv",
        "trial,load (N),effort (N),load travel (mm),effort travel (mm),remark\n1,100,40,300,1200,words\n2,200,75,300,1200,\n",
    );
    let ran = crate::support::program::run(folder.path(), &["check", "plain.md"]).without_fault();
    assert!(!ran.err.contains("error["), "{}", ran.err);
}
