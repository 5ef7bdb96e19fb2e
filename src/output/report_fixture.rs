//! What a made sheet holds: inputs, working, machines, trains, checks, findings, kinds and studies.

use crate::kinds::sketching::{Anchor, Drawing, Ink, Point, Shape, Weight};
use crate::output::formula_fixture::{
    add, call, cell, check, doubted, figure, fraction, indexed, infix, joules, kilonewtons, line, metres, minus, named, number, over,
    parentheses, plain, power, product, ratio, root, row, subtract, summary, symbol, value,
};
use crate::sheet::parts::*;

pub fn inputs() -> Vec<InputRow> {
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

pub fn assumptions() -> Vec<InputRow> {
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

pub fn working() -> Vec<WorkingLine> {
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

pub fn relations() -> Vec<WorkingLine> {
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

pub fn falls() -> MachineReport {
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

pub fn haul() -> TrainReport {
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
pub fn results() -> Vec<WorkedValue> {
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

pub fn checks() -> Vec<CheckRow> {
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

pub fn notices() -> Vec<Notice> {
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
pub fn whip() -> KindReport {
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

pub fn studies() -> Vec<StudyReport> {
    let figure = |text: &str| figure(text, text, "kN", 1.0, 1000.0);
    let row = |value: &str, present, cells: Vec<Option<Figure>>, reason: &str| StudyRow {
        value: super::formula_fixture::figure(value, value, "", 1.0, 1.0),
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
        value: Some(super::formula_fixture::figure("4", "4", "", 4.0, 4.0)),
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
