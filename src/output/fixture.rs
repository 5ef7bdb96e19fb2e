//! Sheets made by hand for the tests of this room: the fullest that can be, the emptiest that can be, and one whose
//! every text tries to become markup.

use crate::kinds::sketching::{Anchor, Drawing, Ink, Point, Shape, Weight};
use crate::output::sign_fixture::sign_off;
use crate::sheet::parts::*;

pub fn number(text: &str) -> Math {
    Math::Number { text: text.into() }
}
pub fn value(number: &str, unit: &str) -> Math {
    Math::Value { number: number.into(), unit: unit.into() }
}
pub fn symbol(base: &str) -> Math {
    named(base, "")
}
pub fn named(base: &str, subscript: &str) -> Math {
    let italic = base.chars().count() == 1;
    Math::Symbol { base: base.into(), subscript: subscript.into(), italic, index: vec![] }
}
pub fn indexed(base: &str, index: &str) -> Math {
    Math::Symbol { base: base.into(), subscript: String::new(), italic: true, index: vec![symbol(index)] }
}
pub fn infix(operator: &str, left: Math, right: Math) -> Math {
    Math::Infix { operator: operator.into(), left: left.into(), right: right.into() }
}
pub fn add(left: Math, right: Math) -> Math {
    infix("+", left, right)
}
pub fn subtract(left: Math, right: Math) -> Math {
    infix("-", left, right)
}
pub fn product(left: Math, right: Math) -> Math {
    Math::Product { left: left.into(), right: right.into() }
}
pub fn fraction(over: Math, under: Math) -> Math {
    Math::Fraction { over: over.into(), under: under.into() }
}
pub fn power(base: Math, exponent: Math) -> Math {
    Math::Power { base: base.into(), exponent: exponent.into() }
}
pub fn root(of: Math) -> Math {
    Math::Root { of: of.into() }
}
pub fn minus(of: Math) -> Math {
    Math::Minus { of: of.into() }
}
pub fn parentheses(of: Math) -> Math {
    Math::Parentheses { of: of.into() }
}
pub fn call(name: &str, arguments: Vec<Math>) -> Math {
    Math::Call { name: name.into(), arguments }
}
pub fn over(sign: &str, index: &str, from: Math, to: Math, body: Math) -> Math {
    Math::Over { sign: sign.into(), index: index.into(), from: from.into(), to: to.into(), body: body.into() }
}

pub fn figure(text: &str, unit: &str, spoken: &str, value: f64, si: f64) -> Figure {
    let number = text.strip_suffix(unit).unwrap_or(text).trim().to_owned();
    let doubt = number.split_once(" ± ").map_or("", |(_, doubt)| doubt).trim_end_matches(')').to_owned();
    FigureParts {
        number,
        doubt,
        unit: unit.into(),
        unit_spoken: spoken.into(),
        text: text.into(),
        value,
        si,
        standard_uncertainty: 0.0,
        k: 0.0,
        degrees: None,
        coverage: String::new(),
    }
    .into()
}

/// A force in newtons as it is printed in kilonewtons.
fn kilonewtons(text: &str, newtons: f64) -> Figure {
    figure(text, "kN", "kilonewton", newtons / 1000.0, newtons)
}
fn plain(text: &str, value: f64) -> Figure {
    figure(text, "", "", value, value)
}
fn ratio(text: &str, value: f64, uncertainty: f64) -> Figure {
    doubted(plain(text, value), uncertainty)
}
fn joules(text: &str, value: f64) -> Figure {
    figure(text, "J", "joule", value, value)
}
fn metres(text: &str, value: f64) -> Figure {
    figure(text, "m", "metre", value, value)
}

fn row(name: &str, symbol: Math, label: &str, figure: Figure, evidence: &str, source: &str) -> InputRow {
    InputRow {
        anchor: name.into(),
        name: name.into(),
        symbol,
        label: label.into(),
        figure: Some(figure),
        doubt_stated: String::new(),
        evidence: evidence.into(),
        source: source.into(),
        effect: String::new(),
        state: String::new(),
        confirmed: String::new(),
        confirm_by: String::new(),
        worked_from: Vec::new(),
        stated_in_line: None,
    }
}

fn line(
    number: &str,
    name: &str,
    label: &str,
    symbol: Math,
    formula: Math,
    substitution: Option<Math>,
    result: Option<Figure>,
) -> WorkingLine {
    WorkingLine {
        number: number.into(),
        anchor: name.into(),
        name: name.into(),
        label: label.into(),
        symbol,
        formula,
        substitution,
        result,
        items: vec![],
        reference: String::new(),
        worked_from: vec![],
    }
}

fn summary(quantity: &str, ideal: Option<Figure>, actual: Option<Figure>, anchor: &str) -> SummaryRow {
    SummaryRow { quantity: quantity.into(), ideal, actual, anchor: anchor.into() }
}

fn cell(label: &str, value: &str) -> Cell {
    Cell { label: label.into(), value: value.into() }
}

fn check(
    number: &str,
    title: &str,
    statement: Math,
    sides: (Option<Figure>, Option<Figure>),
    utilisation: Option<Figure>,
    verdict: (&str, &str),
) -> CheckRow {
    CheckRow {
        number: number.into(),
        anchor: format!("check-{}", number.to_lowercase()),
        line: 40,
        title: title.into(),
        statement,
        demand: sides.0,
        capacity: sides.1,
        utilisation,
        verdict: verdict.0.into(),
        verdict_class: verdict.1.into(),
        accepted: None,
        margin: None,
        chance_of_error: None,
        chance: String::new(),
        remark: String::new(),
        reference: String::new(),
        limits: Vec::new(),
        governing: false,
        worked_from: Vec::new(),
    }
}

fn inputs() -> Vec<InputRow> {
    let mut boat = row(
        "boat",
        named("boat", ""),
        "Boat with stores",
        figure("(1850 ± 35) kg", "kg", "kilogram", 1850.0, 1850.0),
        "weighed",
        "weighbridge ticket, stores added",
    );
    boat.doubt_stated = "± 30 kg, limits of error".into();
    let mut slope = row(
        "slope",
        symbol("θ"),
        "Slope of the slip",
        figure("(8.10 ± 0.35)°", "°", "degree", 8.1, 0.14137),
        "measured",
        "level and staff, three places",
    );
    slope.doubt_stated = "± 0.3°, limits of error".into();
    vec![
        boat,
        slope,
        row(
            "person",
            named("person", ""),
            "Steady pull of one person",
            figure("220 N", "N", "newton", 220.0, 220.0),
            "from",
            "crew trial on the hard, 2025",
        ),
    ]
}

fn assumptions() -> Vec<InputRow> {
    let mut mu = row(
        "mu",
        symbol("μ"),
        "Friction of greased timber ways",
        plain("0.160 ± 0.035", 0.16),
        "because",
        "greased last season, not measured since",
    );
    mu.effect = "the pull rises with μ".into();
    mu.state = "open".into();
    mu.confirm_by = "before the haul".into();
    let gravity = row(
        "gravity",
        symbol("g"),
        "Gravity",
        figure("9.806 65 m/s²", "m/s²", "metre per second squared", 9.80665, 9.80665),
        "default",
        "standard value, ISO 80000-3",
    );
    vec![mu, gravity]
}

fn working() -> Vec<WorkingLine> {
    let mut load = line(
        "1",
        "load",
        "Weight of the boat",
        named("load", ""),
        product(named("boat", ""), symbol("g")),
        Some(product(value("1850", "kg"), value("9.806 65", "m/s²"))),
        Some(kilonewtons("(18.14 ± 0.34) kN", 18142.3)),
    );
    load.worked_from = vec!["boat".into(), "gravity".into()];
    let mut pull = line(
        "2",
        "pull",
        "Pull along the ways to bring her up",
        named("F", "pull"),
        product(named("load", ""), parentheses(add(call("sin", vec![symbol("θ")]), product(symbol("μ"), call("cos", vec![symbol("θ")]))))),
        Some(product(
            value("18.14", "kN"),
            parentheses(add(call("sin", vec![value("8.10", "°")]), product(number("0.160"), call("cos", vec![value("8.10", "°")])))),
        )),
        Some(kilonewtons("(5.43 ± 0.65) kN", 5430.0)),
    );
    pull.reference = "Pilot handbook, 4.2, p. 118".into();
    pull.worked_from = vec!["load".into(), "slope".into(), "mu".into()];
    let mut parts = line(
        "3",
        "part",
        "Tension in each rope part, from the hauling part",
        indexed("T", "i"),
        fraction(named("effort", ""), power(symbol("k"), symbol("i"))),
        None,
        None,
    );
    parts.items = vec![
        kilonewtons("(1.46 ± 0.17) kN", 1458.0),
        kilonewtons("(1.39 ± 0.17) kN", 1389.0),
        kilonewtons("(1.32 ± 0.16) kN", 1323.0),
        kilonewtons("(1.26 ± 0.15) kN", 1260.0),
    ];
    let mut long = line(
        "4",
        "spread",
        "",
        named("F", "spread"),
        add(
            add(
                add(
                    product(number("2"), named("effort", "hauling")),
                    fraction(named("pull", "slip"), add(number("1"), named("loss", "sheave"))),
                ),
                root(add(power(named("pull", "across"), number("2")), power(named("pull", "along"), number("2")))),
            ),
            over("∑", "i", number("1"), symbol("n"), indexed("T", "i")),
        ),
        None,
        Some(kilonewtons("(9.86 ± 0.91) kN", 9860.0)),
    );
    long.worked_from = vec!["part".into(), "pull".into()];
    let broken = line("5", "reserve", "Reserve at the post", named("reserve", ""), subtract(named("post", ""), symbol("F")), None, None);
    vec![load, pull, parts, long, broken]
}

fn relations() -> Vec<WorkingLine> {
    vec![
        line(
            "6.1",
            "falls.k",
            "Tension ratio over one sheave",
            symbol("k"),
            add(number("1"), named("loss", "sheave")),
            Some(add(number("1"), number("0.050"))),
            Some(plain("1.050", 1.05)),
        ),
        line(
            "6.2",
            "falls.effort",
            "Effort while raising",
            named("effort", ""),
            fraction(
                product(product(symbol("F"), power(symbol("k"), symbol("n"))), parentheses(subtract(symbol("k"), number("1")))),
                subtract(power(symbol("k"), symbol("n")), number("1")),
            ),
            Some(fraction(
                product(
                    product(value("5.43", "kN"), power(number("1.050"), number("4"))),
                    parentheses(subtract(number("1.050"), number("1"))),
                ),
                subtract(power(number("1.050"), number("4")), number("1")),
            )),
            Some(kilonewtons("(1.53 ± 0.18) kN", 1531.0)),
        ),
        line(
            "6.3",
            "falls.cap",
            "",
            symbol("q"),
            call("max", vec![minus(symbol("a")), Math::Absolute { of: subtract(symbol("b"), symbol("c")).into() }]),
            None,
            Some(plain("3", 3.0)),
        ),
    ]
}

/// A drawing of four-part falls that uses every shape there is.
pub fn every_shape() -> Drawing {
    let at = |x: f64, y: f64| Point { x, y };
    let rope =
        |points: Vec<Point>| Shape::Path { points, closed: false, filled: false, weight: Weight::Heavy, ink: Ink::Rope, dashed: false };
    let body = |x: f64, y: f64, w: f64, h: f64| Shape::Path {
        points: vec![at(x, y), at(x + w, y), at(x + w, y + h), at(x, y + h)],
        closed: true,
        filled: false,
        weight: Weight::Medium,
        ink: Ink::Body,
        dashed: false,
    };
    let sheave = |x: f64, y: f64| Shape::Circle { centre: at(x, y), radius: 26.0, filled: false, weight: Weight::Heavy, ink: Ink::Body };
    let pin = |x: f64, y: f64| Shape::Circle { centre: at(x, y), radius: 3.5, filled: true, weight: Weight::Light, ink: Ink::Body };
    let label = |x: f64, y: f64, text: &str, anchor, symbol, ink| Shape::Label { at: at(x, y), text: text.into(), anchor, symbol, ink };
    let shapes = vec![
        Shape::Ground { from: at(60.0, 190.0), to: at(60.0, 40.0) },
        body(60.0, 96.0, 30.0, 40.0),
        rope(vec![at(140.0, 88.0), at(420.0, 88.0)]),
        rope(vec![at(420.0, 140.0), at(140.0, 140.0)]),
        rope(vec![at(140.0, 100.0), at(420.0, 128.0)]),
        rope(vec![at(140.0, 88.0), at(300.0, 34.0)]),
        sheave(116.0, 114.0),
        sheave(444.0, 114.0),
        pin(116.0, 114.0),
        pin(444.0, 114.0),
        Shape::Arc { centre: at(116.0, 114.0), radius: 34.0, from: 90.0, to: 270.0, weight: Weight::Medium, ink: Ink::Body },
        Shape::Arc { centre: at(444.0, 114.0), radius: 34.0, from: -90.0, to: 90.0, weight: Weight::Medium, ink: Ink::Body },
        Shape::Path {
            points: vec![at(90.0, 114.0), at(560.0, 114.0)],
            closed: false,
            filled: false,
            weight: Weight::Light,
            ink: Ink::Construction,
            dashed: true,
        },
        Shape::PartNumber { at: at(232.0, 57.0), number: 1 },
        Shape::PartNumber { at: at(250.0, 88.0), number: 2 },
        Shape::PartNumber { at: at(276.0, 114.0), number: 3 },
        Shape::PartNumber { at: at(306.0, 140.0), number: 4 },
        Shape::Arrow { from: at(300.0, 34.0), to: at(366.0, 11.5), ink: Ink::Force },
        label(378.0, 18.0, "F_effort", Anchor::Start, true, Ink::Force),
        label(378.0, 35.0, "1.53 kN", Anchor::Start, false, Ink::Force),
        Shape::Arrow { from: at(478.0, 114.0), to: at(566.0, 114.0), ink: Ink::Force },
        label(520.0, 100.0, "F_pull", Anchor::Middle, true, Ink::Force),
        label(520.0, 134.0, "5.43 kN", Anchor::Middle, false, Ink::Force),
        Shape::Arrow { from: at(56.0, 206.0), to: at(8.0, 206.0), ink: Ink::Reaction },
        label(62.0, 211.0, "R_post", Anchor::Start, true, Ink::Reaction),
        label(118.0, 211.0, "6.96 kN", Anchor::Start, false, Ink::Reaction),
        Shape::Arrow { from: at(444.0, 168.0), to: at(410.0, 168.0), ink: Ink::Loss },
        label(404.0, 173.0, "loss 0.24 kN", Anchor::End, false, Ink::Loss),
        Shape::Dimension { from: at(116.0, 114.0), to: at(444.0, 114.0), offset: 112.0, text: "6.0 m".into() },
        Shape::Dimension { from: at(590.0, 88.0), to: at(590.0, 140.0), offset: -20.0, text: "0.21 m".into() },
        Shape::ScaleBar { at: at(470.0, 226.0), length: 60.0, text: "2 kN".into() },
        // Shapes that cannot be drawn must not spoil the others.
        Shape::Arrow { from: at(5.0, 5.0), to: at(5.0, 5.0), ink: Ink::Force },
        Shape::Circle { centre: at(f64::NAN, 5.0), radius: -1.0, filled: false, weight: Weight::Light, ink: Ink::Body },
    ];
    Drawing {
        width: 630.0,
        height: 250.0,
        shapes,
        title: "Four-part falls, rove to disadvantage".into(),
        description: "The rope leaves the hands as part 1, passes the standing block at the post, and runs in parts 2 to 4 to the running block. The effort is 1.53 kN, the pull on the boat 5.43 kN, and the post carries 6.96 kN.".into(),
        newtons: None,
    }
}

fn falls() -> MachineReport {
    let drawing = every_shape();
    let mut node = line(
        "5.1",
        "falls.standing_block",
        "Pull on the post at the standing block",
        named("R", "post"),
        add(named("F", "pull"), named("F", "effort")),
        Some(add(value("5.43", "kN"), value("1.53", "kN"))),
        Some(kilonewtons("(6.96 ± 0.83) kN", 6961.0)),
    );
    node.worked_from = vec!["pull".into(), "falls.effort".into()];
    MachineReport {
        anchor: "falls".into(),
        name: "falls".into(),
        label: "Hauling falls".into(),
        kind: "tackle".into(),
        kind_label: "rope rove between two blocks".into(),
        is_load: false,
        kind_path: String::new(),
        direction: "raising".into(),
        friction_state: "moving".into(),
        train: "haul".into(),
        settings: vec![
            row("falls.parts", symbol("n"), "Rope parts at the running block", plain("4", 4.0), "", ""),
            row(
                "falls.sheave_loss",
                named("loss", "sheave"),
                "Added tension at each sheave",
                figure("5.0 %", "%", "per cent", 5.0, 0.05),
                "measured",
                "bronze-bushed blocks, own trial",
            ),
        ],
        choices: vec![cell("Rove", "to disadvantage")],
        summary: vec![
            summary("Effort", Some(kilonewtons("(1.36 ± 0.16) kN", 1357.0)), Some(kilonewtons("(1.53 ± 0.18) kN", 1531.0)), "falls.effort"),
            summary("Velocity ratio", Some(plain("4", 4.0)), None, ""),
            summary("Mechanical advantage", Some(plain("4", 4.0)), Some(plain("3.546", 3.546)), ""),
            summary("Efficiency", None, Some(figure("88.6 %", "%", "per cent", 88.6, 0.886)), ""),
            summary("Effort travel", None, Some(metres("4.00 m", 4.0)), ""),
        ],
        nodes: vec![node],
        relations: relations(),
        answers: vec![EffortAnswer {
            question: "Least effort that raises it".into(),
            answer: "(1.53 ± 0.18) kN".into(),
            figure: Some(kilonewtons("(1.53 ± 0.18) kN", 1531.0)),
        }],
        sustains: "Does not hold its load by itself: without effort the load runs back.".into(),
        free_body: None,
        sketch: Some(SketchPart { title: drawing.title.clone(), description: drawing.description.clone(), drawing }),
    }
}

fn haul() -> TrainReport {
    let joint = |from: &str, to: &str, force: Figure, travel: Figure, work: Figure| Joint {
        from: from.into(),
        to: to.into(),
        force: Some(force),
        travel: Some(travel),
        work: Some(work),
    };
    let balance = |label: &str, work: Figure, share: Option<f64>| BalanceRow { label: label.into(), work: Some(work), share };
    TrainReport {
        anchor: "haul".into(),
        name: "haul".into(),
        label: "From the crew to the boat".into(),
        direction: "raising".into(),
        stations: vec!["crew".into(), "falls".into(), "slip".into(), "boat".into()],
        joints: vec![
            joint("crew", "falls", kilonewtons("(1.53 ± 0.18) kN", 1531.0), metres("4.00 m", 4.0), joules("6124 J", 6124.0)),
            joint("falls", "slip", kilonewtons("(5.43 ± 0.65) kN", 5430.0), metres("1.00 m", 1.0), joules("5430 J", 5430.0)),
            joint("slip", "boat", kilonewtons("(18.14 ± 0.34) kN", 18142.0), metres("0.141 m", 0.1409), joules("2556 J", 2556.0)),
        ],
        summary: vec![
            summary("Effort", Some(kilonewtons("(0.64 ± 0.03) kN", 639.0)), Some(kilonewtons("(1.53 ± 0.18) kN", 1531.0)), ""),
            summary("Velocity ratio", Some(plain("28.4", 28.4)), None, ""),
            summary("Mechanical advantage", Some(plain("28.4", 28.4)), Some(plain("11.8", 11.8)), ""),
            summary("Efficiency", None, Some(figure("(41.7 ± 4.9) %", "%", "per cent", 41.7, 0.417)), ""),
        ],
        balance: vec![
            balance("work in", joules("6124 J", 6124.0), Some(1.0)),
            balance("lost at the surfaces of falls", joules("694 J", 694.0), Some(0.1133)),
            balance("lost at the surfaces of slip", joules("2874 J", 2874.0), Some(0.4693)),
            balance("work out", joules("2556 J", 2556.0), Some(0.4174)),
            balance("difference", joules("0.0 J", 0.0), None),
        ],
        answers: vec![EffortAnswer { question: "Nothing moves between".into(), answer: "1.20 kN to 1.53 kN".into(), figure: None }],
        sustains: "Does not hold by itself.".into(),
        balance_words: "Work in less work out less the losses found at the rubbing surfaces: 0.0 J.".into(),
        relations: vec![line(
            "7.1",
            "haul.efficiency",
            "Efficiency of the whole",
            symbol("η"),
            fraction(named("work", "out"), named("work", "in")),
            Some(fraction(value("2556", "J"), value("6124", "J"))),
            Some(figure("41.7 %", "%", "per cent", 41.7, 0.417)),
        )],
    }
}

/// As a brief sheet has them; the fullest sheet has everything.
fn results() -> Vec<WorkedValue> {
    let row = |name: &str, label: &str, result: Option<Figure>, items: Vec<Figure>| WorkedValue {
        anchor: format!("brief.{name}"),
        name: name.into(),
        label: label.into(),
        result,
        items,
    };
    vec![
        row("weight", "Weight of the boat", Some(kilonewtons("18.14 kN", 18_140.0)), Vec::new()),
        row("shares", "", None, vec![plain("1.00", 1.0), plain("2.00", 2.0)]),
        row("lost", "", None, Vec::new()),
    ]
}

fn doubted(mut figure: Figure, standard_uncertainty: f64) -> Figure {
    figure.standard_uncertainty = standard_uncertainty;
    figure.k = 2.0;
    figure
}

fn checks() -> Vec<CheckRow> {
    let mut post = check(
        "C3",
        "Post at the head of the slip",
        infix("<=", named("R", "post"), value("6.00", "kN")),
        (Some(kilonewtons("(6.96 ± 0.83) kN", 6961.0)), Some(kilonewtons("6.00 kN", 6000.0))),
        Some(ratio("1.16 ± 0.14", 1.16, 0.07)),
        ("FAIL", "fail"),
    );
    post.governing = true;
    post.reference = "post test, 2025-06-02".into();
    (post.accepted, post.margin) = (Some(false), Some(doubted(kilonewtons("(\u{2212}0.96 ± 0.83) kN", -961.0), 0.415)));
    (post.chance_of_error, post.chance) = (Some(0.0103), "1.0 %".into());
    let mut ring = check(
        "C4",
        "Ring bolt of the lead block",
        infix("<=", root(number("2")), named("rating", "ring")),
        (Some(kilonewtons("(2.17 ± 0.25) kN", 2165.0)), Some(kilonewtons("2.10 kN", 2100.0))),
        Some(ratio("1.03 ± 0.12", 1.03, 0.06)),
        ("FAIL WITHIN UNCERTAINTY", "fail-within"),
    );
    (ring.accepted, ring.margin) = (Some(false), Some(doubted(kilonewtons("(\u{2212}0.07 ± 0.25) kN", -65.0), 0.125)));
    (ring.chance_of_error, ring.chance) = (Some(0.3015), "30 %".into());
    let mut crew = check(
        "C1",
        "Crew of seven can hold the pull",
        infix("<=", named("effort", "haul"), product(number("7"), named("person", ""))),
        (Some(kilonewtons("(1.53 ± 0.18) kN", 1531.0)), Some(kilonewtons("1.54 kN", 1540.0))),
        Some(ratio("0.99 ± 0.12", 0.994, 0.06)),
        ("PASS WITHIN UNCERTAINTY", "pass-within"),
    );
    (crew.accepted, crew.margin) = (Some(false), Some(doubted(kilonewtons("(0.01 ± 0.18) kN", 9.0), 0.09)));
    (crew.chance_of_error, crew.chance) = (Some(0.4602), "46 %".into());
    crew.remark = "holds, but by less than the decision rule asks: not accepted".into();
    let mut hauling = check(
        "C2",
        "Hauling part",
        infix("<=", named("effort", "haul"), named("rated", "rope")),
        (Some(kilonewtons("(1.53 ± 0.18) kN", 1531.0)), Some(kilonewtons("2.40 kN", 2400.0))),
        Some(ratio("0.638 ± 0.075", 0.638, 0.0375)),
        ("PASS", "pass"),
    );
    (hauling.accepted, hauling.margin) = (Some(true), Some(doubted(kilonewtons("(0.87 ± 0.18) kN", 869.0), 0.09)));
    (hauling.chance_of_error, hauling.chance) = (Some(2.3e-22), "below 0.01 %".into());
    let mut cradle = check(
        "C5",
        "Shackle at the cradle",
        infix("<=", named("F", "pull"), named("rated", "shackle")),
        (Some(kilonewtons("(5.43 ± 0.65) kN", 5430.0)), None),
        None,
        ("NOT EVALUATED", "not-evaluated"),
    );
    cradle.remark = "The shackle carries no mark, so there is nothing to compare with.".into();
    vec![post, ring, crew, hauling, cradle]
}

fn notices() -> Vec<Notice> {
    let place = |line, column, width, excerpt: &str, label: &str| Place {
        path: "sheets/slip.md".into(),
        line,
        column,
        width,
        excerpt: excerpt.into(),
        label: label.into(),
    };
    vec![
        Notice {
            slug: "unit-mismatch".into(),
            severity: "error".into(),
            headline: "cannot take a force from a mass".into(),
            place: place(41, 11, 8, "reserve = post - F", "a mass less a force"),
            others: vec![place(12, 1, 4, "take post = 612 kg from \"drawing 4\"", "this is a mass")],
            why: "a mass read as a force is wrong by a factor of about ten".into(),
            help: "turn the mass into a force: `weight(post) - F`".into(),
            replacement: Some("weight(post) - F".into()),
        },
        Notice {
            slug: "no-source".into(),
            severity: "warning".into(),
            headline: "the setting `parts` has no source".into(),
            place: place(30, 5, 7, "    parts 4", "stated without a source"),
            others: vec![],
            why: String::new(),
            help: "say where it comes from: `from \"...\"`".into(),
            replacement: None,
        },
    ]
}

/// A kind with a little of everything.
fn whip() -> KindReport {
    let formula = |formula: Math, when: &str, reference: &str| Formula {
        label: "tension ratio over each sheave".into(),
        formula,
        runs: None,
        when: when.into(),
        reference: reference.into(),
    };
    let condition = |case: Math, says: &str, when: &str| ConditionRow {
        case,
        says: says.into(),
        when: when.into(),
        reference: "Seamanship, ch. 6".into(),
    };
    let part = Formula {
        label: "tension of each part".into(),
        formula: product(symbol("W"), power(symbol("K"), symbol("i"))),
        runs: Some(Runs { index: symbol("i"), from: number("1"), to: named("parts", "") }),
        when: String::new(),
        reference: String::new(),
    };
    KindReport {
        anchor: "kind-whip_on_jib".into(),
        name: "whip_on_jib".into(),
        label: "a whip on a jib".into(),
        is_load: false,
        ports: vec![
            PortsRow { text: "from load (a force) to effort (a force)".into(), when: String::new() },
            PortsRow { text: "from load (a force) to effort (a torque)".into(), when: "drive is at the shaft".into() },
        ],
        fields: vec![
            FieldRow {
                name: "parts".into(),
                symbol: named("parts", ""),
                label: "rope parts at the running block".into(),
                quantity: "count".into(),
                each: None,
                required: true,
                default: None,
                source: "counted".into(),
            },
            FieldRow {
                name: "sheave loss".into(),
                symbol: named("sheave loss", ""),
                label: "loss at each sheave".into(),
                quantity: "ratio".into(),
                each: Some(named("parts", "")),
                required: false,
                default: Some(value("5", "%")),
                source: "Seamanship, ch. 6".into(),
            },
        ],
        options: vec![OptionRow {
            name: "drive".into(),
            label: "where it is driven".into(),
            choices: vec!["at the rope".into(), "at the shaft".into()],
            default: "at the rope".into(),
        }],
        formulas: vec![
            FormulaGroup {
                name: "K".into(),
                symbol: symbol("K"),
                node: false,
                alternatives: vec![
                    formula(add(number("1"), named("sheave loss", "")), "raising", "Seamanship, ch. 6"),
                    formula(fraction(number("1"), add(number("1"), named("sheave loss", ""))), "holding, or lowering", "derived here"),
                ],
            },
            FormulaGroup { name: "part".into(), symbol: indexed("part", "i"), node: true, alternatives: vec![part] },
        ],
        limits: vec![condition(infix("<", named("parts", ""), number("1")), "a whip has at least one part", "")],
        questions: vec![condition(infix(">", symbol("K"), number("2")), "that is a stiff rope", "drive is at the rope")],
        sustains: vec![condition(infix("≥", number("0"), symbol("P")), "the sheaves hold the load", "")],
        cautions: vec![KindCaution { text: "Stand clear of the jib.".into(), when: "lowering".into(), source: "common practice".into() }],
        sources: vec!["Seamanship, ch. 6".into()],
        sketch: None,
        free_body: None,
        sketch_of: String::new(),
    }
}

fn studies() -> Vec<StudyReport> {
    let figure = |text: &str| figure(text, text, "kN", 1.0, 1000.0);
    let row = |value: &str, present, cells: Vec<Option<Figure>>, reason: &str| StudyRow {
        value: super::fixture::figure(value, value, "", 1.0, 1.0),
        present,
        answer: false,
        serves: None,
        decides: String::new(),
        cells,
        reason: reason.into(),
    };
    let vary = StudyReport {
        number: "S1".into(),
        anchor: "v-study-1".into(),
        statement: "vary".into(),
        name: "falls.parts".into(),
        symbol: named("parts", "falls"),
        label: "rope parts".into(),
        caption: "Effort at the hand for rope parts from 2 to 4".into(),
        conditions: Vec::new(),
        answer: String::new(),
        value: None,
        columns: vec![
            StudyColumn { title: "Effort at the hand".into(), symbol: Some(named("effort", "haul")) },
            StudyColumn { title: "Hauling part".into(), symbol: None },
        ],
        rows: vec![
            row("2", false, vec![Some(figure("3.07 kN")), Some(figure("2.9 kN"))], ""),
            row("3", false, vec![None, None], "falls: no room for a third part"),
            row("4", true, vec![Some(figure("1.61 kN")), None], "it comes to no number"),
        ],
        remarks: vec!["The doubt stated for falls.parts is set aside here.".into()],
        plot: Some(SketchPart {
            title: "Effort over parts".into(),
            description: "Effort: 3.07 kN at 2, 1.61 kN at 4.".into(),
            drawing: every_shape(),
        }),
    };
    let judged = |value: &str, present, answer, serves, reason: &str| StudyRow {
        answer,
        serves: Some(serves),
        decides: "\"hauling part\"".into(),
        cells: if reason.is_empty() { vec![Some(figure("2.1 kN")), Some(figure("2.4 kN"))] } else { vec![None, None] },
        ..row(value, present, vec![], reason)
    };
    let size = StudyReport {
        number: "S2".into(),
        anchor: "v-study-2".into(),
        statement: "size".into(),
        caption: "Least rope parts".into(),
        conditions: vec!["hauling rope".into()],
        answer: "The least rope parts that serves is 4. At 3, \"hauling part\" fails.".into(),
        value: Some(super::fixture::figure("4", "4", "", 4.0, 4.0)),
        columns: ["Demand", "Capacity"].map(|title| StudyColumn { title: title.into(), symbol: None }).to_vec(),
        rows: vec![
            judged("2", false, false, false, "falls: no room for a third part"),
            judged("3", true, false, false, ""),
            judged("4", false, true, true, ""),
        ],
        remarks: vec!["Not taken into account: \"ring\" (ring states no rated load).".into()],
        plot: None,
        ..vary.clone()
    };
    vec![vary, size]
}

/// Every part of a sheet, filled.
pub fn fullest() -> Sheet {
    let heading = |level, text: &str, anchor: &str| Heading { level, text: text.into(), anchor: anchor.into() };
    let gear = vec![GearRow {
        anchor: "rope".into(),
        name: "rope".into(),
        label: "Hauling rope, 16 mm, three strand".into(),
        facts: vec![cell("edition", "2nd, 2024"), cell("to be inspected by", "2027-03-01")],
        ratings: vec![row("rope.rated", named("rated", "rope"), "Rated", kilonewtons("2.40 kN", 2400.0), "marked", "tag on the coil")],
    }];
    let prose = |html: &str| Block::Prose { html: html.into() };
    let answer = |label: &str, text: &str, anchor: &str| AnswerLine {
        label: label.into(),
        text: text.into(),
        anchor: anchor.into(),
        parts: vec![AnswerPart { text: text.into(), anchor: anchor.into() }],
    };
    let symbol_row = |symbol, name: &str, meaning: &str| Symbol { symbol, name: name.into(), meaning: meaning.into(), anchor: name.into() };
    Sheet {
        schema: SCHEMA,
        path: "sheets/slip.md".into(),
        title_block: TitleBlock {
            number: "SL-07".into(),
            title: "Hauling the workboat up the slip".into(),
            question: "How many parts do the falls need for the crew to bring the boat up?".into(),
            language: String::new(),
            cells: vec![cell("Revision", "B"), cell("Date", "2026-03-14"), cell("Originator", "M. T."), cell("Checker", ""), cell("Duty", "pull"), cell("Project", "Yard, north slip"), cell("Decision rule", "guard band U")],
        },
        status: "checked".into(),
        sign_off: sign_off(None),
        complete: false,
        left_out: String::new(),
        answer: vec![
            answer("Question", "How many parts do the falls need for the crew to bring the boat up?", ""),
            answer("Governing check", "Post at the head of the slip: FAIL, 1.16 of the limit", "check-c3"),
            answer("What it allows", "An effort of (1.53 ± 0.18) kN within the stated limits of the rope; not of the post", "falls.effort"),
            answer("What it rests on", "3 inputs, 1 open assumption: friction of greased timber ways", "mu"),
            answer("Still open", "1 check not evaluated; 1 statement could not be worked", "check-c5"),
        ],
        outline: vec![
            heading(1, "Hauling the workboat up the slip", "hauling"),
            heading(2, "What is given", "given"),
            heading(2, "The pull", "the-pull"),
            heading(2, "The falls", "the-falls"),
            heading(2, "From crew to boat", "crew-to-boat"),
            heading(2, "Whether it holds", "holds"),
            heading(3, "The post", "the-post"),
        ],
        blocks: vec![
            prose("<h1 id=\"hauling\">Hauling the workboat up the slip</h1><p>The crew at the hauling part have to bring the boat from the water to the head of the slip. The slip cannot be changed and there is no winch, so the question is how many parts the falls need.</p><h2 id=\"given\">What is given</h2>"),
            Block::Inputs { rows: inputs().into_iter().chain(assumptions().into_iter().take(1)).collect() },
            Block::Results { rows: results() },
            Block::Gear { rows: gear.clone() },
            prose("<h2 id=\"the-pull\">The pull</h2><p>The ways resist the boat with friction; <em>greased timber</em> was last measured two seasons ago. The boat weighs 18.14 kN, of which only the part along the slope has to be hauled.</p>"),
            Block::Working { lines: working() },
            prose("<h2 id=\"the-falls\">The falls</h2><p>They are rove with the hauling part leaving the standing block, since the crew must stand at the head.</p><ul><li>Blocks bronze bushed, sheaves 90 mm.</li><li>One lead block, at the ring bolt.</li></ul>"),
            Block::Machine { index: 0 },
            prose("<h2 id=\"crew-to-boat\">From crew to boat</h2>"),
            Block::Train { index: 0 },
            prose("<h2 id=\"holds\">Whether it holds</h2><h3 id=\"the-post\">The post</h3><p>It was pulled to 6 kN in June.</p><table><thead><tr><th>Day</th><th>Pull</th></tr></thead><tbody><tr><td>2 June</td><td>6.0 kN</td></tr></tbody></table>"),
            Block::Checks { indices: vec![2, 3, 0, 1, 4] },
            Block::Study { index: 0 },
            Block::Study { index: 1 },
            Block::Readings { index: 0 },
            Block::Propagation { index: 0 },
            Block::Exercise { index: 0 },
            Block::Kind { index: 0, name: "whip_on_jib".into(), label: "a whip on a jib".into(), source: "kind whip_on_jib\n    field parts  count  \"rope parts\"  default 1\n    relation K = 1 + sheave_loss".into() },
            Block::Broken { source: "reserve = post - F".into(), notices: vec![0] },
        ],
        inputs: inputs(),
        assumptions: assumptions(),
        gear,
        instruments: vec![],
        correlations: vec![],
        kinds: vec![whip()],
        machines: vec![falls()],
        trains: vec![haul()],
        studies: studies(),
        readings: vec![crate::output::reading_fixture::readings()],
        laws: vec![],
        agreements: vec![],
        exercises: vec![crate::output::exercise_fixture::exercise()],
        propagations: vec![crate::output::draws_fixture::propagation()],
        checks: checks(),
        moves: vec![MoveRow {
            anchor: "v-boat".into(),
            name: "boat".into(),
            symbol: symbol("boat"),
            step: "+17\u{a0}kg".into(),
            checks: vec![MoveOfCheck {
                number: "C1".into(),
                anchor: "v-check-1".into(),
                utilisation: "0.77".into(),
                utilisation_then: "0.78".into(),
                change: "−14\u{a0}N".into(),
                verdict: "PASS WITHIN UNCERTAINTY".into(),
            }],
            results: vec![MoveOfResult {
                name: "load".into(),
                anchor: "v-load".into(),
                change: "+0.17\u{a0}kN".into(),
                percent: "+0.92\u{a0}%".into(),
            }],
        }],
        asked: vec![],
        budgets: vec![Budget {
            checks: vec!["Hauling part".into()],
            formula: named("effort", "haul"),
            result: kilonewtons("(1.53 ± 0.18) kN", 1531.0),
            standard: "0.090 kN".into(),
            degrees: "16.7".into(),
            coverage: "k\u{a0}=\u{a0}2.17 (95.45\u{a0}%)".into(),
            second: Some(SecondOrderRow {
                counted: false,
                contribution: "0.040 kN".into(),
                share: 0.2,
                percent: "20.0 %".into(),
                words: "not counted in; with them the standard uncertainty is 0.098 kN".into(),
            }),
            remarks: vec!["With so few degrees of freedom a factor of 2 covers less.".into()],
            rows: vec![BudgetRow {
                anchor: "boat".into(),
                name: "boat".into(),
                symbol: symbol("m"),
                label: "Boat with stores".into(),
                value: "1850 kg".into(),
                standard: "17 kg".into(),
                distribution: "rectangular".into(),
                degrees: "∞".into(),
                sensitivity: "0.828 N per kg".into(),
                contribution: "0.014 kN".into(),
                share: 0.24,
                percent: "24.0 %".into(),
            }],
            rest: "2 more, together 0.0010 kN".into(),
        }],
        coverage: CoverageUsed { k: 2.0, level: None, words: "k\u{a0}=\u{a0}2".into() },
        decision_rule: "A check passes when the demand with its expanded uncertainty (k = 2) does not exceed the capacity; within that band the verdict says so (after ILAC-G8:09/2019).".into(),
        nomenclature: vec![
            symbol_row(named("boat", ""), "boat", "Boat with stores"),
            symbol_row(named("F", "pull"), "pull", "Pull along the ways to bring her up"),
            symbol_row(symbol("θ"), "slope", "Slope of the slip"),
            symbol_row(symbol("μ"), "mu", "Friction of greased timber ways"),
            symbol_row(symbol("x"), "nowhere", ""),
        ],
        revisions: vec![
            RevisionRow { revision: "A".into(), date: "2026-02-02".into(), by: "M. T.".into(), why: "first issue".into() },
            RevisionRow { revision: "B".into(), date: "2026-03-14".into(), by: "R. H.".into(), why: "slope measured & not scaled".into() },
        ],
        cautions: vec![
            CautionRow { text: "Keep out of the bight and out of the angle formed at any lead block.".into(), source: "8 CCR 6290(d), (e)".into() },
            CautionRow { text: "Take up slack slowly; stop and look before the pull comes on.".into(), source: String::new() },
        ],
        deference: "Law, site rules and makers' instructions outrank this sheet; a qualified person owns the plan.".into(),
        notices: notices(),
        values: vec![NamedValue { name: "haul.effort".into(), quantity: "force".into(), figure: Some(kilonewtons("(1.53 ± 0.18) kN", 1531.0)), items: vec![] }],
        record: ToolRecord {
            program: "parbuckle".into(),
            version: "0.1.0".into(),
            digest: "9f2c4e7ab1d05863c7e1f0a94b6d2385e07c41f9d8a36b52c0e4719f3ad8b6c1".into(),
            calculation: "5b0d3a91c6f2487ea1d9037c4e8b2f60".into(),
            telling: "c81f7e02d94a4b3596f0a2e1b75d3c48".into(),
            files: vec![cell("shared/ropes.md", "1c5d0a7e93b24f68")],
        },
        house: HouseStyle::default(),
        as_set: None,
    }
}

/// A sheet of which nothing is known but where it stands.
pub fn emptiest() -> Sheet {
    Sheet {
        schema: SCHEMA,
        path: "empty.md".into(),
        title_block: TitleBlock::default(),
        status: String::new(),
        sign_off: SignOff::default(),
        complete: true,
        left_out: String::new(),
        answer: vec![],
        outline: vec![],
        blocks: vec![],
        inputs: vec![],
        assumptions: vec![],
        gear: vec![],
        instruments: vec![],
        correlations: vec![],
        kinds: vec![],
        machines: vec![],
        trains: vec![],
        studies: vec![],
        readings: vec![],
        laws: vec![],
        agreements: vec![],
        exercises: Vec::new(),
        propagations: Vec::new(),
        checks: vec![],
        moves: vec![],
        asked: vec![],
        budgets: vec![],
        coverage: CoverageUsed { k: 2.0, level: None, words: "k\u{a0}=\u{a0}2".into() },
        decision_rule: String::new(),
        nomenclature: vec![],
        revisions: vec![],
        cautions: vec![],
        deference: String::new(),
        notices: vec![],
        values: vec![],
        record: ToolRecord {
            program: String::new(),
            version: String::new(),
            digest: String::new(),
            calculation: String::new(),
            telling: String::new(),
            files: vec![],
        },
        house: HouseStyle::default(),
        as_set: None,
    }
}

/// The fullest sheet with every text turned into something that would be markup, were it not spelt out. Anchors, classes
/// and the prose, which is clean by the time it comes here, are left.
pub fn hostile() -> Sheet {
    const POISON: &str = "</style><script>x</script>\"'><img src=x onerror=1>&";
    let mut sheet = fullest();
    let spoil = |text: &mut String| *text = POISON.to_owned();
    spoil(&mut sheet.title_block.number);
    spoil(&mut sheet.title_block.title);
    sheet.title_block.cells.iter_mut().for_each(|cell| {
        spoil(&mut cell.label);
        spoil(&mut cell.value);
    });
    for text in [
        &mut sheet.path,
        &mut sheet.status,
        &mut sheet.decision_rule,
        &mut sheet.deference,
        &mut sheet.record.program,
        &mut sheet.record.digest,
    ] {
        spoil(text);
    }
    for line in &mut sheet.answer {
        spoil(&mut line.label);
        spoil(&mut line.text);
        line.parts.iter_mut().for_each(|part| spoil(&mut part.text));
    }
    sheet.outline.iter_mut().for_each(|heading| spoil(&mut heading.text));
    for row in sheet.inputs.iter_mut().chain(&mut sheet.assumptions) {
        for text in [
            &mut row.name,
            &mut row.label,
            &mut row.doubt_stated,
            &mut row.evidence,
            &mut row.source,
            &mut row.effect,
            &mut row.state,
            &mut row.confirmed,
            &mut row.confirm_by,
        ] {
            spoil(text);
        }
        row.symbol = named(POISON, POISON);
        row.figure = Some(figure(POISON, POISON, POISON, 1.0, 1.0));
    }
    for row in &mut sheet.revisions {
        [&mut row.revision, &mut row.date, &mut row.by, &mut row.why].into_iter().for_each(spoil);
    }
    for budget in &mut sheet.budgets {
        budget.checks.iter_mut().for_each(spoil);
        spoil(&mut budget.standard);
        [&mut budget.rest, &mut budget.degrees, &mut budget.coverage].into_iter().chain(&mut budget.remarks).for_each(spoil);
        budget.second.iter_mut().for_each(|row| [&mut row.contribution, &mut row.percent, &mut row.words].into_iter().for_each(spoil));
        budget.formula = named(POISON, POISON);
        for row in &mut budget.rows {
            let texts = [
                &mut row.name,
                &mut row.label,
                &mut row.value,
                &mut row.standard,
                &mut row.distribution,
                &mut row.degrees,
                &mut row.sensitivity,
            ];
            texts.into_iter().chain([&mut row.contribution, &mut row.percent]).for_each(spoil);
            row.symbol = named(POISON, POISON);
        }
    }
    for block in &mut sheet.blocks {
        if let Block::Results { rows } = block {
            rows.iter_mut().for_each(|row| [&mut row.anchor, &mut row.name, &mut row.label].into_iter().for_each(spoil));
        }
    }
    spoil(&mut sheet.left_out);
    for check in &mut sheet.checks {
        for text in [
            &mut check.number,
            &mut check.title,
            &mut check.verdict,
            &mut check.verdict_class,
            &mut check.remark,
            &mut check.chance,
            &mut check.reference,
            &mut check.anchor,
        ] {
            spoil(text);
        }
        check.statement = infix(POISON, named(POISON, ""), value(POISON, POISON));
    }
    for notice in &mut sheet.notices {
        for text in [
            &mut notice.slug,
            &mut notice.severity,
            &mut notice.headline,
            &mut notice.why,
            &mut notice.help,
            &mut notice.place.excerpt,
            &mut notice.place.label,
            &mut notice.place.path,
        ] {
            spoil(text);
        }
        notice.replacement = Some(POISON.into());
    }
    for machine in &mut sheet.machines {
        for text in [
            &mut machine.name,
            &mut machine.label,
            &mut machine.kind,
            &mut machine.kind_label,
            &mut machine.direction,
            &mut machine.sustains,
            &mut machine.train,
        ] {
            spoil(text);
        }
        for line in machine.nodes.iter_mut().chain(&mut machine.relations) {
            for text in [&mut line.number, &mut line.name, &mut line.label, &mut line.reference] {
                spoil(text);
            }
        }
        if let Some(sketch) = &mut machine.sketch {
            for text in [&mut sketch.title, &mut sketch.description, &mut sketch.drawing.title, &mut sketch.drawing.description] {
                spoil(text);
            }
            for shape in &mut sketch.drawing.shapes {
                if let Shape::Label { text, .. } | Shape::Dimension { text, .. } | Shape::ScaleBar { text, .. } = shape {
                    spoil(text);
                }
            }
        }
    }
    for train in &mut sheet.trains {
        for text in [&mut train.name, &mut train.label, &mut train.balance_words, &mut train.sustains] {
            spoil(text);
        }
        train.stations.iter_mut().for_each(spoil);
        train.balance.iter_mut().for_each(|row| spoil(&mut row.label));
    }
    for kind in &mut sheet.kinds {
        [&mut kind.anchor, &mut kind.name, &mut kind.label].into_iter().for_each(spoil);
        kind.ports.iter_mut().for_each(|ends| [&mut ends.text, &mut ends.when].into_iter().for_each(spoil));
        kind.fields
            .iter_mut()
            .for_each(|row| [&mut row.name, &mut row.label, &mut row.quantity, &mut row.source].into_iter().for_each(spoil));
        for option in &mut kind.options {
            [&mut option.name, &mut option.label, &mut option.default].into_iter().chain(&mut option.choices).for_each(spoil);
        }
        for formula in kind.formulas.iter_mut().flat_map(|group| &mut group.alternatives) {
            [&mut formula.label, &mut formula.when, &mut formula.reference].into_iter().for_each(spoil);
        }
        for row in kind.limits.iter_mut().chain(&mut kind.questions).chain(&mut kind.sustains) {
            [&mut row.says, &mut row.when, &mut row.reference].into_iter().for_each(spoil);
        }
        kind.cautions.iter_mut().for_each(|row| [&mut row.text, &mut row.when, &mut row.source].into_iter().for_each(spoil));
        kind.sources.iter_mut().for_each(spoil);
    }
    for study in &mut sheet.studies {
        for text in [&mut study.number, &mut study.name, &mut study.label, &mut study.caption, &mut study.answer] {
            spoil(text);
        }
        study.symbol = named(POISON, POISON);
        study.remarks.iter_mut().for_each(spoil);
        for column in &mut study.columns {
            spoil(&mut column.title);
            column.symbol = Some(named(POISON, POISON));
        }
        for row in &mut study.rows {
            row.value = figure(POISON, POISON, POISON, 1.0, 1.0);
            spoil(&mut row.decides);
            spoil(&mut row.reason);
            row.cells.iter_mut().flatten().for_each(|cell| *cell = figure(POISON, POISON, POISON, 1.0, 1.0));
        }
        if let Some(plot) = &mut study.plot {
            for text in [&mut plot.title, &mut plot.description, &mut plot.drawing.title, &mut plot.drawing.description] {
                spoil(text);
            }
        }
    }
    for block in &mut sheet.blocks {
        if let Block::Kind { name, label, source, .. } = block {
            [name, label, source].into_iter().for_each(spoil);
        } else if let Block::Broken { source, .. } = block {
            spoil(source);
        }
    }
    for caution in &mut sheet.cautions {
        spoil(&mut caution.text);
        spoil(&mut caution.source);
    }
    sheet.nomenclature.iter_mut().for_each(|row| spoil(&mut row.meaning));
    sheet.sign_off = sign_off(Some(POISON));
    sheet.record.files = vec![cell(POISON, POISON)];
    sheet
}
