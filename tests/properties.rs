//! Laws that hold for every sheet, tried on many: arithmetic against the machine's own, doubt against differences,
//! machines against their balance of work, and what must make no difference.

mod expressions;

use crate::support::case::{Document, MAIN};
use crate::support::compare::{figure, named};
use crate::support::compile::{Seen, compile, compile_text, compile_with};
use crate::support::factors::factor;
use approx::{assert_abs_diff_eq, assert_relative_eq};
use expressions::{Tree, slopes, trees, value, written};
use parbuckle::{Engine, Sheet};
use proptest::prelude::{Just, ProptestConfig, Strategy, any, prop_oneof, proptest};
use proptest::test_runner::RngSeed;

// A fixed seed: a law that fails must fail again.
fn tries(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, rng_seed: RngSeed::Fixed(811), ..ProptestConfig::default() }
}

fn good(text: &str) -> Sheet {
    let seen = compile_text(text);
    let said: Vec<_> = seen
        .notices
        .iter()
        // Neither is a fault: a rare value is asked about, and a line that bends is told of its terms of second order.
        .filter(|n| n.slug != "question" && n.slug != "second-order")
        .map(|n| format!("{}:{} {}", n.place.line, n.place.column, n.headline))
        .collect();
    assert!(said.is_empty(), "{said:?} in\n{text}");
    seen.sheet.unwrap_or_else(|| panic!("no sheet came of\n{text}"))
}

fn si(sheet: &Sheet, name: &str) -> f64 {
    figure(sheet, name, None).unwrap_or_else(|why| panic!("{why}")).si
}

fn rig(lines: &str) -> String {
    format!("# Sheet\n\n```rig\n{lines}```\n")
}

proptest! {
    #![proptest_config(tries(96))]

    #[test]
    fn arithmetic_agrees_with_the_machine(tree in trees(), a in -9.0..9.0f64, b in 0.5..9.0f64, c in 1.0..5.0f64) {
        let sheet = good(&rig(&format!(
            "take a = {a:?} from \"chance\"\ntake b = {b:?} from \"chance\"\ntake c = {c:?} from \"chance\"\nx = {}\n",
            written(&tree)
        )));
        let expected = value(&tree, [a, b, c]);
        assert_relative_eq!(si(&sheet, "x"), expected, max_relative = 1e-12, epsilon = 1e-12);
    }

    /// JCGM 100:2008, eq. 10: u² is the sum of (∂f/∂x · u(x))²; the slopes are taken here as central differences.
    #[test]
    fn doubt_agrees_with_differences(
        tree in trees(),
        at in (-9.0..9.0f64, 0.5..9.0f64, 1.0..5.0f64),
        u in (0.01..0.5f64, 0.01..0.5f64, 0.01..0.5f64),
    ) {
        let sheet = good(&rig(&format!(
            "take a = {:?} ± {:?} (u) from \"chance\"\ntake b = {:?} ± {:?} (u) from \"chance\"\ntake c = {:?} ± {:?} (u) from \"chance\"\nx = {}\n",
            at.0, u.0, at.1, u.1, at.2, u.2, written(&tree)
        )));
        let slopes = slopes(&tree, [at.0, at.1, at.2]);
        let expected = ((slopes[0] * u.0).powi(2) + (slopes[1] * u.1).powi(2) + (slopes[2] * u.2).powi(2)).sqrt();
        let scale = value(&tree, [at.0, at.1, at.2]).abs();
        let found = figure(&sheet, "x", None).expect("it has a value").standard_uncertainty;
        assert_relative_eq!(found, expected, max_relative = 1e-5, epsilon = 1e-7 * (1.0 + scale));
    }
}

/// Units with their dimension: exponents of length, mass and time.
const UNITS: [(&str, [i32; 3]); 12] = [
    ("m", [1, 0, 0]),
    ("ft", [1, 0, 0]),
    ("kg", [0, 1, 0]),
    ("lb", [0, 1, 0]),
    ("s", [0, 0, 1]),
    ("min", [0, 0, 1]),
    ("N", [1, 1, -2]),
    ("lbf", [1, 1, -2]),
    ("Pa", [-1, 1, -2]),
    ("psi", [-1, 1, -2]),
    ("W", [2, 1, -3]),
    ("m/s", [1, 0, -1]),
];

proptest! {
    #![proptest_config(tries(96))]

    #[test]
    fn only_like_things_are_added(left in 0..UNITS.len(), right in 0..UNITS.len(), a in 1.0..99.0f64, b in 1.0..99.0f64) {
        let ((first, one), (second, other)) = (UNITS[left], UNITS[right]);
        let seen = compile_text(&rig(&format!("x = {a:?} {first} + {b:?} {second}\nafter = 2 * {a:?} {first}\n")));
        let sheet = seen.sheet.expect("a sheet came of it");
        let slugs: Vec<&str> = seen.notices.iter().map(|notice| notice.slug.as_str()).collect();
        if one == other {
            assert!(slugs.is_empty(), "{slugs:?} for {first} + {second}");
            let expected = a * factor(first).expect("known") + b * factor(second).expect("known");
            assert_relative_eq!(si(&sheet, "x"), expected, max_relative = 1e-12);
        } else {
            assert_eq!(slugs, ["unit-mismatch"], "{first} + {second}");
        }
        assert_relative_eq!(si(&sheet, "after"), 2.0 * a * factor(first).expect("known"), max_relative = 1e-12);
    }

    /// (x · y) / y has the dimension and the value of x, whatever y is; and x · y is y · x.
    #[test]
    fn products_and_quotients_undo_each_other(left in 0..UNITS.len(), right in 0..UNITS.len(), a in 1.0..99.0f64, b in 1.0..99.0f64) {
        let (first, second) = (UNITS[left].0, UNITS[right].0);
        let sheet = good(&rig(&format!(
            "x = {a:?} {first}\ny = {b:?} {second}\nback = x * y / y as {first}\ngap = x * y - y * x\nsame = x^3 / x^2 as {first}\n"
        )));
        let expected = a * factor(first).expect("known");
        assert_relative_eq!(si(&sheet, "back"), expected, max_relative = 1e-12);
        assert_relative_eq!(si(&sheet, "same"), expected, max_relative = 1e-12);
        assert_abs_diff_eq!(si(&sheet, "gap"), 0.0, epsilon = 1e-9);
    }

    /// A value printed in a unit and typed again in that unit is the same value.
    #[test]
    fn a_value_survives_its_unit(which in 0..UNITS.len(), a in 0.001..1e6f64) {
        let unit = UNITS[which].0;
        let sheet = good(&rig(&format!("x = {a:?} {unit}\ny = x as {unit}\n")));
        let shown = figure(&sheet, "y", None).expect("it has a value");
        assert_eq!(factor(&shown.unit), factor(unit), "asked for {unit}, shown in {}", shown.unit);
        let printed = shown.value;
        let again = good(&rig(&format!("x = {printed:?} {unit}\n")));
        assert_relative_eq!(si(&again, "x"), si(&sheet, "x"), max_relative = 1e-14);
    }
}

#[derive(Debug, Clone)]
struct Falls {
    parts: usize,
    rove: &'static str,
    rule: &'static str,
    loss: f64,
    leads: usize,
}

fn falls() -> impl Strategy<Value = Falls> {
    let rove = prop_oneof![Just("to disadvantage"), Just("to advantage")];
    let rule = prop_oneof![Just("tension ratio"), Just("added load"), Just("lost gain")];
    (2..8usize, rove, rule, 0.0..9.0f64, 0..3usize).prop_map(|(parts, rove, rule, loss, leads)| Falls { parts, rove, rule, loss, leads })
}

// One machine in each direction, so that they can be compared.
fn three_ways(kind: &str, settings: &str) -> String {
    let machine = |name: &str| format!("machine {name} = {kind}\n{settings}    {name}\n    moving\n");
    rig(&format!("{}{}{}", machine("raising"), machine("holding"), machine("lowering"))
        .replace("machine raising", "machine up")
        .replace("machine holding", "machine hold")
        .replace("machine lowering", "machine down"))
}

fn balanced(sheet: &Sheet) {
    let ideal = si(sheet, "up.ideal_effort");
    for machine in ["up", "hold", "down"] {
        let scale = si(sheet, &format!("{machine}.work_out")).abs().max(1.0);
        assert_abs_diff_eq!(si(sheet, &format!("{machine}.work_difference")), 0.0, epsilon = 1e-9 * scale);
    }
    assert!(si(sheet, "up.efficiency") <= 1.0 + 1e-12, "more work comes out than goes in");
    assert!(si(sheet, "up.effort") >= ideal * (1.0 - 1e-12), "friction helps in raising");
    assert!(ideal * (1.0 + 1e-12) >= si(sheet, "hold.effort"), "friction hinders in holding");
    assert!(ideal * (1.0 + 1e-12) >= si(sheet, "down.effort"), "friction hinders in lowering");
}

proptest! {
    #![proptest_config(tries(48))]

    #[test]
    fn tackles_balance_their_work(falls in falls(), load in 0.1..90.0f64, travel in 0.1..20.0f64) {
        let Falls { parts, rove, rule, loss, leads } = falls;
        let settings = format!(
            "    parts {parts}\n    rove {rove}\n    friction rule {rule}\n    sheave loss {loss:?} %\n    lead blocks {leads}\n    lead loss {loss:?} %\n    load {load:?} kN\n    load travel {travel:?} m\n"
        );
        balanced(&good(&three_ways("tackle", &settings)));
    }

    /// With a tension ratio K over N parts the effort is W K^N (K − 1)/(K^N − 1), and W/(K^N) of that to hold: the sum
    /// of a geometric row, worked here by adding.
    #[test]
    fn tackles_agree_with_the_sum_of_their_parts(parts in 1..9usize, loss in 0.1..15.0f64, load in 0.1..90.0f64) {
        let settings = format!(
            "    parts {parts}\n    rove to disadvantage\n    friction rule tension ratio\n    sheave loss {loss:?} %\n    load {load:?} kN\n"
        );
        let sheet = good(&three_ways("tackle", &settings));
        let k = 1.0 + loss / 100.0;
        let row: f64 = (0..parts).map(|i| k.powi(i as i32)).sum();
        let up = 1000.0 * load * k.powi(parts as i32) / row;
        let back: f64 = (1..=parts).map(|i| k.powi(i as i32)).sum();
        assert_relative_eq!(si(&sheet, "up.effort"), up, max_relative = 1e-12);
        assert_relative_eq!(si(&sheet, "hold.effort"), 1000.0 * load / back, max_relative = 1e-12);
    }

    /// W sin(θ ± φ)/cos(β ∓ φ), with β = 0 along the plane and β = −θ for a level effort.
    #[test]
    fn ramps_balance_their_work_and_agree_with_the_triangle(
        slope in 1.0..40.0f64,
        mu in 0.01..0.5f64,
        level in any::<bool>(),
        load in 0.1..90.0f64,
    ) {
        let effort = if level { "horizontal" } else { "parallel" };
        let settings = format!("    angle {slope:?} deg\n    friction {mu:?}\n    effort {effort}\n    load {load:?} kN\n");
        let sheet = good(&three_ways("ramp", &settings));
        balanced(&sheet);
        let (theta, phi) = (slope.to_radians(), mu.atan());
        let beta = if level { -theta } else { 0.0 };
        let weight = 1000.0 * load;
        assert_relative_eq!(si(&sheet, "up.effort"), weight * (theta + phi).sin() / (beta - phi).cos(), max_relative = 1e-10);
        let hold = weight * (theta - phi).sin() / (beta + phi).cos();
        assert_relative_eq!(si(&sheet, "hold.effort"), hold, max_relative = 1e-9, epsilon = 1e-9 * weight);
    }

    /// Moments about the pivot, the pin's friction circle taken to the worse side: W (b + ρ)/(a − ρ) and back.
    #[test]
    fn levers_balance_their_work_and_their_moments(
        load_arm in 0.1..2.0f64,
        more in 1.1..8.0f64,
        mu in 0.0..0.4f64,
        load in 0.1..90.0f64,
    ) {
        let effort_arm = load_arm * more;
        let settings = format!(
            "    class first\n    load arm {load_arm:?} m\n    effort arm {effort_arm:?} m\n    pin radius 20 mm\n    pin friction {mu:?}\n    load {load:?} kN\n"
        );
        let sheet = good(&three_ways("lever", &settings));
        balanced(&sheet);
        let circle = 0.020 * mu.atan().sin();
        let up = 1000.0 * load * (load_arm + circle) / (effort_arm - circle);
        let hold = 1000.0 * load * (load_arm - circle) / (effort_arm + circle);
        assert_relative_eq!(si(&sheet, "up.effort"), up, max_relative = 1e-9);
        assert_relative_eq!(si(&sheet, "hold.effort"), hold, max_relative = 1e-9);
    }
}

/// A sheet with something of everything, for the laws that ask for no more than a sheet.
const SKID: &str = r#"# Skidding a lathe

Prose with a value: `rig haul.effort as N`.

```rig
sheet SL-03 "Skidding a lathe"
    duty pull

take lathe = 1450 kg ± 20 kg from "plate"
assume mu = 0.25 ± 0.05 because "dry planks" effect "the pull rises" confirmed "trial" confirm by "May"

load = weight(lathe)

machine slip = ramp
    grade 12 %grade
    friction mu
    effort parallel

machine falls = tackle
    parts 4
    rove to disadvantage
    sheave loss 6 % from "bench"

train haul: crew -> falls -> slip -> load
    raising
```

```rig
kind bar "a bar"
    field arms ratio "effort arm over load arm"
    from load : force to effort : force
    relation effort = load / arms
    relation velocity_ratio = arms
    relation friction_work = 0 J

machine prise = bar
    arms 6
    load 3 kN

check "two people": haul.effort <= 600 N
check "bar": prise.effort <= 600 N
```
"#;

fn in_order(seen: &Seen, text: &str) {
    let lines = text.split('\n').count();
    for notice in &seen.notices {
        assert!((1..=lines).contains(&notice.place.line), "line {} of {lines}", notice.place.line);
        assert!(notice.place.column >= 1 && notice.place.width >= 1, "{notice:?}");
        assert!(!notice.headline.is_empty() && !notice.headline.ends_with('.'), "{notice:?}");
    }
    let sheet = seen.sheet.as_ref().expect("a sheet came of it");
    assert_eq!(sheet.complete, !seen.notices.iter().any(|notice| notice.severity == "error"));
    for value in &sheet.values {
        assert!(value.figure.iter().chain(&value.items).all(|figure| figure.si.is_finite() && figure.value.is_finite()));
    }
}

proptest! {
    #![proptest_config(tries(160))]

    /// Whatever is typed, an answer comes: places inside the text, no number that is none, no panic.
    #[test]
    fn any_change_of_a_sheet_is_answered(at in 0.0..1.0f64, take in 0..12usize, put in "[a-z=()\\[\\]\"^*/+<>#±°µ `0-9.,\n-]{0,6}") {
        let text: Vec<char> = SKID.chars().collect();
        let from = (at * text.len() as f64) as usize;
        let to = (from + take).min(text.len());
        let changed: String = text[..from].iter().copied().chain(put.chars()).chain(text[to..].iter().copied()).collect();
        in_order(&compile_text(&changed), &changed);
    }

    #[test]
    fn lines_in_any_order_are_answered(seed in any::<u64>()) {
        let text = SKID;
        let mut lines: Vec<&str> = text.lines().collect();
        let mut state = seed | 1;
        for at in (1..lines.len()).rev() {
            // Marsaglia's xorshift; any shuffle would do.
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            lines.swap(at, (state % (at as u64 + 1)) as usize);
        }
        let shuffled = lines.join("\n") + "\n";
        in_order(&compile_text(&shuffled), &shuffled);
    }

    /// One engine that has seen many texts says the same as a new one.
    #[test]
    fn a_used_engine_says_what_a_new_one_says(cuts in proptest::collection::vec(0.0..1.0f64, 1..4)) {
        let text = SKID;
        let mut engine = Engine::keeping(2);
        for cut in cuts {
            let lines: Vec<&str> = text.lines().collect();
            let without = (cut * lines.len() as f64) as usize;
            let kept: Vec<&str> = lines.iter().enumerate().filter(|(at, _)| *at != without).map(|(_, line)| *line).collect();
            let document = [Document { path: MAIN.to_string(), text: kept.join("\n") + "\n" }];
            assert_eq!(compile_with(&mut engine, &document), compile(&document));
        }
    }

    #[test]
    fn line_ends_make_no_difference(without in 0..40usize) {
        let lines: Vec<String> = SKID.lines().map(str::to_string).collect();
        let kept: Vec<&String> = lines.iter().enumerate().filter(|(at, _)| *at != without).map(|(_, line)| line).collect();
        let plain: String = kept.iter().map(|line| format!("{line}\n")).collect();
        let carriage: String = kept.iter().map(|line| format!("{line}\r\n")).collect();
        let (one, other) = (compile_text(&plain), compile_text(&carriage));
        assert_eq!(one.notices, other.notices);
        let values = |seen: &Seen| seen.sheet.as_ref().map(|sheet| sheet.values.clone());
        assert_eq!(values(&one), values(&other));
    }
}

#[test]
fn the_good_sheet_is_good() {
    let sheet = good(SKID);
    assert!(named(&sheet, "haul.effort").is_some());
    assert_eq!(sheet.checks.len(), 2);
}

#[test]
fn the_order_of_files_makes_no_difference() {
    let documents = [
        ("a.md", rig("use \"b.md\" as b\nuse \"c.md\" as c\nx = b.y + c.z\n")),
        ("b.md", rig("use \"c.md\" as c\ny = 2 * c.z\n")),
        ("c.md", rig("take z = 3 m ± 0.1 m from \"tape\"\n")),
    ]
    .map(|(path, text)| Document { path: path.to_string(), text });
    let orders = [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]];
    let sheet_of_a = |order: [usize; 3]| {
        let ordered: Vec<Document> = order.iter().map(|at| documents[*at].clone()).collect();
        let files = ordered.iter().fold(parbuckle::MemoryFiles::new(), |files, document| files.with(&document.path, &document.text));
        let roots: Vec<_> = ordered.iter().map(|document| parbuckle::SheetPath::new(&document.path)).collect();
        let report = Engine::new().compile(&files, &roots);
        let found = report.outcomes.into_iter().find(|outcome| outcome.path.as_str() == "a.md").expect("a.md was asked for");
        (found.sheet.expect("a sheet came of it"), found.notices)
    };
    let first = sheet_of_a(orders[0]);
    assert!(first.1.is_empty(), "{:?}", first.1);
    assert_relative_eq!(si(&first.0, "x"), 9.0, max_relative = 1e-12);
    for order in orders {
        assert_eq!(sheet_of_a(order), first, "{order:?}");
    }
}

/// A tree is written and worked alike; without this the comparison above would compare nothing.
#[test]
fn the_reader_of_trees_is_right() {
    let tree = Tree::Add(Box::new(Tree::Input(0)), Box::new(Tree::Multiply(Box::new(Tree::Input(1)), Box::new(Tree::Input(2)))));
    assert_eq!(written(&tree), "(a + (b * c))");
    assert_abs_diff_eq!(value(&tree, [1.0, 2.0, 3.0]), 7.0);
    assert_abs_diff_eq!(slopes(&tree, [1.0, 2.0, 3.0])[1], 3.0, epsilon = 1e-6);
}
