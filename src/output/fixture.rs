//! Sheets made by hand for the tests of this room: the fullest that can be, the emptiest that can be, and one whose
//! every text tries to become markup.

use crate::kinds::sketching::Shape;
use crate::output::formula_fixture::{cell, figure, infix, kilonewtons, named, row, symbol, value};
use crate::output::report_fixture::{assumptions, checks, falls, haul, inputs, notices, results, studies, whip, working};
use crate::output::sign_fixture::sign_off;
use crate::sheet::parts::*;

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
