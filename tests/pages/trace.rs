//! The trace: what the page marks, by pointer and by keyboard, against what the JSON says each number was worked from.

use super::{address, built, called, examples, none, overheard, texts};
use crate::support::browser::{Browser, Screen, browser};
use crate::support::folders;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

type Links = BTreeMap<String, BTreeSet<String>>;

/// Every `worked_from` of a sheet, from each place to those it was worked from.
fn worked_from(value: &Value, links: &mut Links) {
    match value {
        Value::Object(fields) => {
            if let (Some(own), Some(from)) = (value["anchor"].as_str(), fields.get("worked_from")) {
                // A line names anchors, an input the names that it was worked from with theirs.
                let named = from.as_array().into_iter().flatten().filter_map(|each| each["anchor"].as_str().or(each.as_str()));
                links.entry(own.to_string()).or_default().extend(named.filter(|from| *from != own).map(str::to_string));
            }
            fields.values().for_each(|field| worked_from(field, links));
        }
        Value::Array(items) => items.iter().for_each(|item| worked_from(item, links)),
        _ => {}
    }
}

fn links_of(page: &Path) -> Links {
    let text = folders::text_of(&page.with_extension("json"));
    let mut links = Links::new();
    worked_from(&serde_json::from_str(&text).expect("our own JSON"), &mut links);
    links
}

fn turned(links: &Links) -> Links {
    let mut turned = Links::new();
    for (user, used) in links {
        used.iter().for_each(|used| {
            turned.entry(used.clone()).or_default().insert(user.clone());
        });
    }
    turned
}

/// All that is reached from `start`, less what the page does not print in a place of its own.
fn reached(start: &str, links: &Links, printed: &BTreeSet<String>) -> BTreeSet<String> {
    let (mut seen, mut open) = (BTreeSet::new(), vec![start.to_string()]);
    while let Some(at) = open.pop() {
        for next in links.get(&at).into_iter().flatten() {
            if next != start && seen.insert(next.clone()) {
                open.push(next.clone());
            }
        }
    }
    seen.intersection(printed).cloned().collect()
}

const MARKED: &str = "const marked = (name) => [...document.querySelectorAll('.' + name)].map((each) => each.closest('[id]').id);\
    const seen = () => ({up: marked('rests-on'), here: marked('traced'), down: marked('used-by')});\
    const places = [...document.querySelectorAll('.line[id], .check[id], tr[id], .defaults [id]')];";

fn set(value: &Value) -> BTreeSet<String> {
    texts(value).into_iter().collect()
}

fn seen(browser: &mut Browser) -> Value {
    browser.evaluate(&format!("(() => {{ {MARKED} return seen() }})()"))
}

#[test]
fn every_number_marks_what_it_rests_on_and_what_rests_on_it() {
    let Some(mut browser) = browser() else { return };
    let (mut faults, mut traced, mut chained) = (Vec::new(), 0, 0);
    for page in examples() {
        let (name, links) = (called(&page), links_of(&page));
        let back = turned(&links);
        browser.open(&address(&page), Screen { width: 1440, dark: false });
        let all = browser.evaluate(&format!(
            "(() => {{ {MARKED} const size = () => JSON.stringify([document.documentElement.scrollHeight, places.map((each) => each.getBoundingClientRect())]);\
             const still = size(); return places.map((each) => {{ each.dispatchEvent(new PointerEvent('pointerover', {{bubbles: true, pointerType: 'mouse'}}));\
             return {{id: each.id, shown: !!document.querySelector('.trace.shown'), moved: each === places[5] && size() !== still, ...seen()}} }}) }})()"
        ));
        let all = all.as_array().cloned().unwrap_or_default();
        let printed: BTreeSet<String> = all.iter().filter_map(|each| each["id"].as_str()).map(str::to_string).collect();
        for each in &all {
            let id = each["id"].as_str().unwrap_or_default();
            let (up, down) = (reached(id, &links, &printed), reached(id, &back, &printed));
            for (way, wanted, found) in [("rests on", &up, set(&each["up"])), ("is used by", &down, set(&each["down"]))] {
                if *wanted != found {
                    let (lost, more): (Vec<_>, Vec<_>) = (wanted.difference(&found).collect(), found.difference(wanted).collect());
                    faults.push(format!("{name}: {id} {way}: not marked {lost:?}, marked without reason {more:?}"));
                }
            }
            if texts(&each["here"]) != [id] || each["shown"] != true || each["moved"] == true {
                faults.push(format!("{name}: {id}: {} shown {} moved {}", each["here"], each["shown"], each["moved"]));
            }
            traced += 1;
            chained += up.len() + down.len();
        }
        overheard(&mut browser, &name, &mut faults);
    }
    none(&faults);
    assert!(traced > 300 && chained > 1000, "{traced} traced, {chained} marked");
}

/// Points at `id`, clicks it, goes to it by the keyboard and taps it, and asks each time for what its JSON says it is joined to.
fn hand_traced(browser: &mut Browser, name: &str, id: &str, (aim, stop): (&str, &str)) {
    let page = built().join(name);
    let links = links_of(&page);
    browser.open(&address(&page), Screen { width: 1440, dark: false });
    let printed = set(&browser.evaluate(&format!("(() => {{ {MARKED} return places.map((each) => each.id) }})()")));
    let (up, down) = (reached(id, &links, &printed), reached(id, &turned(&links), &printed));
    assert!(!up.is_empty() || !down.is_empty(), "{id} rests on nothing and is used in nothing");
    let holds = |seen: &Value| set(&seen["up"]) == up && set(&seen["down"]) == down && texts(&seen["here"]) == [id];
    let nothing = |seen: &Value| ["up", "here", "down"].iter().all(|way| texts(&seen[*way]).is_empty());
    let spot = |browser: &mut Browser| {
        let at = browser.evaluate(&format!(
            "(() => {{ const each = document.getElementById('{id}'); each.scrollIntoView({{block: 'center'}}); const box = each.querySelector('{aim}').getClientRects()[0]; return [box.x + 5, box.y + 5] }})()"
        ));
        (at[0].clone(), at[1].clone())
    };
    let mouse = |browser: &mut Browser, kind: &str, (x, y): (Value, Value)| {
        let (button, count) = if kind == "mouseMoved" { ("none", 0) } else { ("left", 1) };
        let sent = json!({ "type": kind, "x": x, "y": y, "button": button, "clickCount": count, "pointerType": "mouse" });
        browser.call("Input.dispatchMouseEvent", &sent);
    };
    let key = |browser: &mut Browser, key: &str| {
        let code = if key == "Tab" { 9 } else { 27 };
        for kind in ["keyDown", "keyUp"] {
            browser.call("Input.dispatchKeyEvent", &json!({ "type": kind, "key": key, "code": key, "windowsVirtualKeyCode": code }));
        }
    };
    // Pointed at, it is shown for as long; clicked, until Escape.
    let at = spot(browser);
    mouse(browser, "mouseMoved", at.clone());
    assert!(holds(&seen(browser)), "pointed at: {}", seen(browser));
    mouse(browser, "mouseMoved", (json!(2), json!(2)));
    assert!(nothing(&seen(browser)), "pointed away: {}", seen(browser));
    mouse(browser, "mouseMoved", at.clone());
    mouse(browser, "mousePressed", at.clone());
    mouse(browser, "mouseReleased", at);
    mouse(browser, "mouseMoved", (json!(2), json!(2)));
    assert!(holds(&seen(browser)), "clicked: {}", seen(browser));
    key(browser, "Escape");
    assert!(nothing(&seen(browser)), "ended: {}", seen(browser));
    // From the link before its number, the next stop of the keyboard is the number.
    browser.evaluate(&format!(
        "(() => {{ const stops = [...document.querySelectorAll('a[href], summary, [tabindex=\"0\"]')].filter((each) => each.checkVisibility()); stops[stops.indexOf(document.querySelector('#{id} {stop}')) - 1].focus() }})()"
    ));
    key(browser, "Tab");
    assert!(holds(&seen(browser)), "moved to: {}", seen(browser));
    let strip = browser.evaluate("document.querySelector('.trace').textContent").as_str().unwrap_or_default().to_string();
    assert!(["inputs", "lines", "used in"].iter().any(|words| strip.contains(words)), "{strip}");
    key(browser, "Escape");
    assert!(nothing(&seen(browser)));
    // A finger.
    browser.show_as(Screen { width: 390, dark: false });
    let (x, y) = spot(browser);
    browser.call("Input.dispatchTouchEvent", &json!({ "type": "touchStart", "touchPoints": [{ "x": x, "y": y }] }));
    browser.call("Input.dispatchTouchEvent", &json!({ "type": "touchEnd", "touchPoints": [] }));
    let tapped =
        browser.evaluate(&format!("(async () => {{ {MARKED} await new Promise((done) => setTimeout(done, 500)); return seen() }})()"));
    assert!(holds(&tapped), "tapped: {tapped}");
    let wide = browser.evaluate("document.documentElement.scrollWidth").as_u64().unwrap_or(0);
    assert!(wide <= 390, "{wide} px wide while traced");
    let mut faults = Vec::new();
    overheard(browser, name, &mut faults);
    none(&faults);
}

#[test]
fn a_mouse_a_keyboard_and_a_finger_trace_and_escape_ends() {
    let Some(mut browser) = browser() else { return };
    // A line of working, a setting of a machine, and one that was left as the kind has it; what of each is pointed at, and where the
    // keyboard stops in it first.
    hand_traced(&mut browser, "log-up-the-bank.html", "v-stays", (".eq", ".no"));
    hand_traced(&mut browser, "boat-on-a-slip.html", "v-ways-starting_friction", (".what", ".from a"));
    hand_traced(&mut browser, "boat-on-a-slip.html", "v-falls-lead_angle", ("var", ".uses a"));
    // Another script is refused.
    let ran = browser.evaluate(
        "(() => { const other = document.createElement('script'); other.textContent = 'window.other = 1'; document.body.append(other); return !!window.other })()",
    );
    assert_eq!(ran, false);
    assert!(browser.messages().iter().any(|message| message.contains("Content Security Policy")));
    // The next test has the same browser; what is still to be said of this page is said before.
    browser.open("about:blank", Screen { width: 1440, dark: false });
}
