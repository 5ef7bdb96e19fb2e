//! A served page beside the editor: what becomes of a page that its reader has scrolled, unfolded and put the focus in when the
//! sheet is saved, with a mistake and without, in a real browser.

use super::none;
use crate::support::browser::{Browser, Screen, browser};
use crate::support::program::{folder, put};
use crate::support::watching::{Answer, Watch, generation};
use serde_json::Value;
use std::fs;

const STARTER: &str = include_str!("../../src/faces/starter.md");

fn saved_as(text: &str, here: &tempfile::TempDir, watch: &Watch, fits: impl Fn(&Answer) -> bool) -> u64 {
    put(here.path(), "slates.md", text);
    generation(&watch.until("slates.html", fits))
}

fn open(browser: &mut Browser, watch: &Watch, width: u32) {
    let address = format!("http://127.0.0.1:{}/{}/sheets/slates.html", watch.port, watch.token);
    browser.open(&address, Screen { width, dark: false });
}

/// Waits until the page that is open is that of `wanted`.
fn arrived(browser: &mut Browser, wanted: u64) {
    browser.evaluate(&format!(
        "(async () => {{ while (Number(document.documentElement.dataset.generation) < {wanted}) await new Promise((done) => setTimeout(done, 20)) }})()"
    ));
}

/// A page left open would ask on when nobody answers any more, and be heard of in the next test.
fn leave(browser: &mut Browser) {
    browser.open("about:blank", Screen { width: 1440, dark: false });
}

fn quiet(browser: &mut Browser) {
    let messages = browser.messages();
    none(&messages);
}

// What a reader has of the page: where it is scrolled to, what has the focus, which folds are open, and whether places are still
// the very ones that were there before.
const READER: &str = "(() => ({ top: Math.round(document.getElementById('v-check-2').getBoundingClientRect().top),\
    focus: document.activeElement.closest('[id]')?.id, folds: [...document.querySelectorAll('main details')].map((each) => each.open),\
    same: [...document.querySelectorAll('.line, tr, section, figure')].every((each) => each.before === 1) }))()";

#[test]
fn a_save_changes_what_is_new_and_nothing_that_is_the_readers() {
    let Some(mut browser) = browser() else { return };
    let here = folder();
    put(here.path(), "slates.md", STARTER);
    let watch = Watch::start(here.path(), &["slates.md"]);
    open(&mut browser, &watch, 1440);
    browser.evaluate(
        "(() => { document.querySelectorAll('.line, tr, section, figure').forEach((each) => { each.before = 1 });\
         document.querySelectorAll('details').forEach((each, at) => { each.open = at % 2 === 0 });\
         document.querySelector('#v-check-2 .no').focus();\
         document.getElementById('v-check-2').scrollIntoView({ block: 'center', behavior: 'instant' }) })()",
    );
    let before = browser.evaluate(READER);
    assert!(before["same"] == true && before["focus"] == "v-check-2", "{before}");
    assert!(before["folds"].as_array().is_some_and(|folds| folds.len() > 1 && folds.contains(&Value::Bool(true))), "{before}");
    // A number, and a paragraph more above what the reader looks at.
    let other = STARTER.replacen("= 96 kg", "= 99 kg", 1).replacen("A crate of", "One more paragraph.\n\nA crate of", 1);
    let wanted = saved_as(&other, &here, &watch, |answer| answer.body.contains("One more paragraph"));
    arrived(&mut browser, wanted);
    let after = browser.evaluate(READER);
    assert_eq!(before, after);
    // The load is 99 kg × 9.80665 m/s² = 971 N, and was 96 kg × 9.80665 m/s² = 941 N.
    let load = browser.evaluate("(() => { const load = document.querySelector('#v-load .result :is(.q, b)'); return [load.textContent, load.title, load.classList.contains('live-changed')] })()");
    let load: Vec<String> = load.as_array().into_iter().flatten().map(|each| each.to_string().replace('\u{a0}', " ")).collect();
    assert!(load[0].contains("971") && load[1].contains("was (941 ± 23) N") && load[2] == "true", "{load:?}");
    let pull = browser.evaluate("document.querySelector('#v-pull :is(.q, td.num)').classList.contains('live-changed')");
    assert_eq!(pull, false, "what has not changed is not marked");
    // The same without a mouse.
    let list = browser.evaluate("document.getElementById('live.changes').textContent").to_string().replace('\u{a0}', " ");
    assert!(list.contains("numbers have changed") && list.contains("1 load (941 ± 23) N → (971 ± 23) N"), "{list}");
    for width in [1440, 390, 320] {
        browser.show_as(Screen { width, dark: false });
        let fits = browser.evaluate(
            "(() => { const list = document.getElementById('live.changes'); list.querySelector('details').open = true; const box = list.getBoundingClientRect();\
             return document.documentElement.scrollWidth <= innerWidth && box.left >= 0 && box.right <= innerWidth && box.top >= 0 })()",
        );
        assert_eq!(fits, true, "at {width} px");
    }
    browser.evaluate("document.querySelector('#live\\\\.changes button').click()");
    assert_eq!(browser.evaluate("document.getElementById('live.changes')"), Value::Null);
    quiet(&mut browser);
    // A house that speaks German.
    put(here.path(), "parbuckle.toml", "language = \"de\"\n");
    let wanted = generation(&watch.until("slates.html", |answer| answer.body.contains("<html lang=\"de\"")));
    arrived(&mut browser, wanted);
    open(&mut browser, &watch, 1440);
    let wanted = saved_as(STARTER, &here, &watch, |answer| !answer.body.contains("One more paragraph"));
    arrived(&mut browser, wanted);
    let list = browser.evaluate("document.getElementById('live.changes').textContent").to_string();
    assert!(list.contains("Zahlen haben sich geändert"), "{list}");
    quiet(&mut browser);
    leave(&mut browser);
}

#[test]
fn a_mistake_stands_under_the_last_good_page_until_it_is_mended() {
    let Some(mut browser) = browser() else { return };
    let here = folder();
    put(here.path(), "slates.md", STARTER);
    let watch = Watch::start(here.path(), &["slates.md"]);
    open(&mut browser, &watch, 390);
    let good = browser.evaluate("document.querySelector('main').textContent");
    let wrong = STARTER.replacen("weight(crate)", "weight(crat)", 1);
    let wanted = saved_as(&wrong, &here, &watch, |answer| answer.body.contains("live.banner"));
    arrived(&mut browser, wanted);
    let banner = browser.evaluate("document.getElementById('live.banner').innerText").as_str().unwrap_or_default().to_string();
    let line = STARTER.lines().position(|line| line.contains("weight(crate)")).expect("it is there") + 1;
    for words in ["1 error.", "nothing is named crat", &format!("slates.md:{line}:"), "load \"weight of the crate\" = weight(crat) as N"] {
        assert!(banner.contains(words), "{words}: {banner}");
    }
    let below = browser.evaluate(
        "(() => { const code = document.querySelector('#live\\\\.banner pre'); const spot = (word) => {\
         const walk = document.createTreeWalker(code, NodeFilter.SHOW_TEXT); while (walk.nextNode()) { const at = walk.currentNode.data.indexOf(word);\
         if (at >= 0) { const range = document.createRange(); range.setStart(walk.currentNode, at); range.setEnd(walk.currentNode, at + 4); return range.getBoundingClientRect() } } };\
         const [name, carets] = [spot('crat)'), spot('^^^^')];\
         return Math.abs(name.left - carets.left) < 1 && Math.abs(name.right - carets.right) < 1 && carets.top > name.top })()",
    );
    assert_eq!(below, true, "the carets stand below the name");
    assert_eq!(browser.evaluate("document.querySelector('main').textContent"), good, "the last good sheet stays");
    for width in [1440, 390, 320] {
        browser.show_as(Screen { width, dark: false });
        let fits = browser.evaluate(
            "(() => { const box = document.getElementById('live.banner').getBoundingClientRect();\
             return box.left === 0 && Math.round(box.bottom) === innerHeight && box.height <= innerHeight / 2 && document.documentElement.scrollWidth <= innerWidth })()",
        );
        assert_eq!(fits, true, "at {width} px");
    }
    let wanted = saved_as(STARTER, &here, &watch, |answer| !answer.body.contains("live.banner"));
    arrived(&mut browser, wanted);
    assert_eq!(browser.evaluate("document.getElementById('live.banner')"), Value::Null);
    // A sheet that goes, and one that comes back.
    fs::remove_file(here.path().join("slates.md")).expect("it was there");
    let wanted = generation(&watch.until("slates.html", |answer| answer.status == 404 || answer.body.contains("live.banner")));
    arrived(&mut browser, wanted);
    let told = browser.evaluate("[...document.querySelectorAll('.live')].map((each) => each.innerText).join()").to_string();
    assert!(told.contains("no longer there") || told.contains("slates.md"), "{told}");
    let wanted = saved_as(STARTER, &here, &watch, |answer| answer.status == 200 && !answer.body.contains("live.banner"));
    arrived(&mut browser, wanted);
    assert_eq!(browser.evaluate("document.querySelectorAll('.live.banner, .live.note').length"), 0);
    leave(&mut browser);
}

// Where the page that is open differs from the one that a new reader gets; empty when nowhere.
const DIFFERS: &str = "(async () => { const text = await (await fetch(location.href)).text();\
    const shape = (page) => [page.title, ...[...page.querySelectorAll('.sheet, .sheet *')].map((node) => `${node.localName}#${node.id} `\
        + [...node.childNodes].filter((each) => each.nodeType === 3).map((each) => each.data).join('|'))];\
    const [here, there] = [shape(document), shape(new DOMParser().parseFromString(text, 'text/html'))];\
    const at = here.findIndex((each, at) => each !== there[at]);\
    return here.length === there.length && at < 0 ? '' : `${here.length} and ${there.length}: ${here[at]} / ${there[at]}` })()";

#[test]
fn whatever_is_saved_the_open_page_is_the_one_that_a_new_reader_gets() {
    let Some(mut browser) = browser() else { return };
    let here = folder();
    put(here.path(), "slates.md", STARTER);
    let watch = Watch::start(here.path(), &["slates.md"]);
    open(&mut browser, &watch, 1440);
    // What the last renewal asked for, as a share of the page.
    let share = "performance.getEntriesByType('resource').filter((each) => each.initiatorType === 'fetch').at(-1).decodedBodySize / document.documentElement.outerHTML.length";
    let number = STARTER.replacen("= 96 kg", "= 99 kg", 1);
    let line = number.replacen("load \"weight", "more \"half as much again\" = 1.5 * weight(crate) as N\nload \"weight", 1);
    assert!(line.contains("half as much again"), "the starter has another line by now");
    let paragraph = line.replacen("A crate of", "One more paragraph.\n\nA crate of", 1);
    let title = paragraph.replacen("# ", "# Another title: ", 1);
    for (turn, (text, is_small)) in
        [(&number, true), (&line, false), (&paragraph, false), (&title, false), (&number, false), (&STARTER.to_string(), true)]
            .into_iter()
            .enumerate()
    {
        let before = watch.until("slates.html", |_| true);
        let wanted = saved_as(text, &here, &watch, |answer| generation(answer) > generation(&before));
        arrived(&mut browser, wanted);
        assert!(browser.evaluate(share).as_f64().is_some_and(|share| share < 0.5) || !is_small, "turn {turn}: {}", browser.evaluate(share));
        assert_eq!(browser.evaluate(DIFFERS), "", "turn {turn}");
    }
    quiet(&mut browser);
    leave(&mut browser);
}

#[test]
fn a_very_long_page_is_laid_out_where_it_is_looked_at_and_is_whole_for_links_searches_and_paper() {
    let Some(mut browser) = browser() else { return };
    let here = folder();
    let lines: Vec<String> =
        (0..1500).map(|at| format!("take m{at} = {} kg ± 2 kg from \"weighed\"\nw{at} = weight(m{at}) * 1.1\n", 100 + at % 37)).collect();
    let text = format!("# A long ledger\n\n```rig\n{}```\n", lines.concat());
    put(here.path(), "slates.md", &text);
    let watch = Watch::start(here.path(), &["slates.md"]);
    open(&mut browser, &watch, 1440);
    let unseen = "document.getElementById('v-w1400').checkVisibility({ contentVisibilityAuto: true })";
    assert_eq!(browser.evaluate(unseen), false, "it is laid out already");
    let top = |browser: &mut Browser, of: &str| {
        browser.evaluate(&format!("(async () => {{ for (let turn = 0; turn < 3; turn++) await new Promise(requestAnimationFrame); return {of}.getBoundingClientRect().top / innerHeight }})()"))
    };
    browser.evaluate("location.hash = '#v-w1400'");
    assert!(
        top(&mut browser, "document.getElementById('v-w1400')").as_f64().is_some_and(|top| (-0.1..1.0).contains(&top)),
        "a link leads elsewhere"
    );
    assert_eq!(browser.evaluate("scrollTo(0, 0), find('w1450')"), true, "it is not found by its words");
    assert!(
        top(&mut browser, "getSelection().getRangeAt(0)").as_f64().is_some_and(|top| (0.0..1.0).contains(&top)),
        "what is found is not shown"
    );
    // An input of which nothing is in sight, and the line that rests on it.
    browser.evaluate("scrollTo(0, 0)");
    let before = watch.until("slates.html", |_| true);
    let other = text.replacen("m1400 = 131 kg", "m1400 = 250 kg", 1);
    let wanted = saved_as(&other, &here, &watch, |answer| generation(answer) > generation(&before));
    arrived(&mut browser, wanted);
    // 250 kg × 9.80665 m/s² × 1.1 = 2697 N.
    let line = browser.evaluate("document.querySelector('#v-w1400 .result').textContent").to_string();
    assert!(line.contains("2.697"), "{line}");
    browser.media("print", &[]);
    let hidden = browser.evaluate(
        "[...document.querySelectorAll('.line')].filter((each) => !each.checkVisibility({ contentVisibilityAuto: true })).length",
    );
    assert_eq!(hidden, 0, "on paper everything is laid out");
    browser.media("", &[]);
    leave(&mut browser);
}
