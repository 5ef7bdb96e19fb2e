//! Budgets of checked quantities against printed ones, and against what every budget must do; inputs as they were stated.

use crate::support::compile::compile_text;
use approx::assert_relative_eq;
use parbuckle::sheet::BudgetsAsked;
use parbuckle::sheet::parts::Block;
use parbuckle::{Engine, MemoryFiles, SheetPath};

/// EA-4/02 M, supplement S4, gauge block of 50 mm by comparison (from memory; the budget closes on recomputation):
/// contributions in nm 15.0, 17.3, 5.37, 18.5, 16.6, 11.8 and 3.87, together 36.4.
#[test]
fn the_budget_of_a_gauge_block_is_as_printed() {
    let seen = compile_text(
        "```rig\n\
        take standard = 50000020 nm ± 15.0 nm (u) from \"certificate\"\n\
        take drift = 0 nm ± 17.3 nm (u) from \"history\"\n\
        take difference = 94 nm ± 5.37 nm (u) measured \"five times\"\n\
        take comparator = 0 nm ± 18.5 nm (u) from \"tests of the comparator\"\n\
        take warmth = 0 nm ± 16.6 nm (u) from \"difference of temperature\"\n\
        take expansion = 0 nm ± 11.8 nm (u) from \"second order\"\n\
        take variation = 0 nm ± 3.87 nm (u) from \"variation in length\"\n\
        block = standard + drift - difference + comparator - warmth - expansion - variation\n\
        check \"block\": block <= 50000500 nm\n```\n",
    );
    let sheet = seen.sheet.expect("a sheet");
    let budget = sheet.budgets.first().expect("a budget");
    let names: Vec<&str> = budget.rows.iter().map(|row| row.name.as_str()).collect();
    assert_eq!(names, ["comparator", "drift", "warmth", "standard", "expansion", "difference", "variation"]);
    assert_eq!(budget.checks, ["block"]);
    assert_relative_eq!(budget.result.standard_uncertainty * budget.result.si / budget.result.value, 36.402_661_99e-9, max_relative = 1e-9);
    assert_relative_eq!(budget.rows.iter().map(|row| row.share).sum::<f64>(), 1.0, max_relative = 1e-12);
    for (row, contribution) in budget.rows.iter().zip([18.5_f64, 17.3, 16.6, 15.0, 11.8, 5.37, 3.87]) {
        assert_relative_eq!(row.share, contribution * contribution / 36.402_661_99_f64.powi(2), max_relative = 1e-8);
    }
}

/// What is owed to one input by two ways is one row; what cancels is none.
#[test]
fn an_input_used_twice_has_one_row() {
    let seen = compile_text(
        "```rig\n\
        take a = 10 N ± 1 N (u) from \"balance\"\n\
        take b = 4 N ± 2 N (u) from \"balance\"\n\
        whole = 2 * a + b - a - b\n\
        check \"whole\": whole <= 20 N\n\
        check \"again\": whole * 2 <= 50 N\n```\n",
    );
    let sheet = seen.sheet.expect("a sheet");
    let budget = sheet.budgets.first().expect("a budget");
    assert_eq!(budget.rows.len(), 1, "{:?}", budget.rows);
    assert_eq!(budget.rows[0].name, "a");
    assert_eq!(budget.rows[0].sensitivity, "1.00");
    assert_relative_eq!(budget.rows[0].share, 1.0, max_relative = 1e-12);
    assert_eq!(sheet.budgets.len(), 2);
}

/// JCGM 100:2008, equation 16, by hand: 3² + 4² - 2·0.5·3·4 is 13, of which the covariance takes away 12.
#[test]
fn what_correlations_take_away_is_said() {
    let seen = compile_text(
        "```rig\n\
        take a = 10 N ± 3 N (u) from \"log\"\n\
        take b = 20 N ± 4 N (u) from \"log\"\n\
        correlation a, b = -0.5 from \"twelve pairs\"\n\
        check \"sum\": a + b <= 50 N\n```\n",
    );
    let sheet = seen.sheet.expect("a sheet");
    let budget = sheet.budgets.first().expect("a budget");
    assert_relative_eq!(budget.rows[0].share, 16.0 / 13.0, max_relative = 1e-12);
    assert_eq!(budget.rest, "correlations of these inputs, which take away 92.3\u{a0}% of the variance");
    let row = sheet.correlations.first().expect("a correlation");
    assert_eq!((row.coefficient, row.text.as_str(), row.source.as_str()), (Some(-0.5), "−0.5", "twelve pairs"));
}

/// JCGM 100:2008, G.4.1, the example (from memory): 19 degrees of freedom and k = 2.09 at 95 %. By a factor of 2 alone the
/// budget says what few degrees of freedom leave of it: t with 4 degrees covers 88.4 % within 2 (scipy, `2 t.cdf(2, 4) - 1`).
#[test]
fn a_budget_has_its_degrees_of_freedom_and_its_factor() {
    let product = |head: &str| {
        format!(
            "```rig\n{head}take x = 1 ± 0.25 % of value (u, 9 degrees of freedom) from \"G.4.1\"\n\
             take y = 1 ± 0.57 % of value (u, 4 degrees of freedom) from \"G.4.1\"\n\
             take z = 1 ± 0.82 % of value (u, 14 degrees of freedom) from \"G.4.1\"\n\
             check \"product\": x * y * z <= 2\ncheck \"alone\": 2 * y <= 3\n```\n"
        )
    };
    let sheet = compile_text(&product("sheet 1 \"G.4.1\"\n    coverage level 95 %\n")).sheet.expect("a sheet");
    let budget = &sheet.budgets[0];
    assert_eq!((budget.degrees.as_str(), budget.coverage.as_str()), ("19.0", "k\u{a0}=\u{a0}2.09 (95\u{a0}%)"));
    assert_eq!(budget.rows.iter().map(|row| row.degrees.as_str()).collect::<Vec<_>>(), ["14.0", "4.00", "9.00"]);
    assert!(budget.remarks.is_empty(), "{:?}", budget.remarks);
    let sheet = compile_text(&product("")).sheet.expect("a sheet");
    assert_eq!(sheet.budgets[0].coverage, "k\u{a0}=\u{a0}2");
    let remark = sheet.budgets[1].remarks.first().expect("a remark");
    assert!(remark.contains("a factor of 2 covers 88.4\u{a0}% of Student's t"), "{remark}");
}

/// EA-4/02 M, supplement S9 (from memory): one rectangle outweighs all else, and k = 1.65 at 95 %.
#[test]
fn a_rectangle_that_outweighs_the_rest_is_told() {
    let seen = compile_text(
        "```rig\nsheet 1 \"S9\"\n    coverage level 95 %\n\
         take step = 0 ± 0.05 from \"resolution\"\n\
         take calibrator = 100.0 ± 0.002 (k=2) from \"certificate\"\n\
         take influences = 0 ± 0.011 from \"specification\"\n\
         check \"error\": 100.1 + step - calibrator - influences <= 1\n```\n",
    );
    let sheet = seen.sheet.expect("a sheet");
    let remark = sheet.budgets[0].remarks.first().expect("a remark");
    assert!(remark.contains("95\u{a0}% of it lie within k\u{a0}=\u{a0}1.65"), "{remark}");
}

/// JCGM 101:2008, 9.4.2, table 8 (from memory): 500 millionths to first order, 502 with the terms of second order, of which
/// the second input alone has its whole doubt.
#[test]
fn terms_of_second_order_have_a_row() {
    let sheet = |head: &str| {
        let text = format!(
            "```rig\n{head}take real = 0.050 ± 0.005 (u) from \"9.4\"\ntake imaginary = 0 ± 0.005 (u) from \"9.4\"\n\
             check \"loss\": real^2 + imaginary^2 <= 1\n```\n"
        );
        compile_text(&text).sheet.expect("a sheet")
    };
    let (first, second) = (sheet(""), sheet("sheet 1 \"9.4\"\n    terms second order\n"));
    let (left, counted) = (first.budgets[0].second.as_ref().expect("a row"), second.budgets[0].second.as_ref().expect("a row"));
    assert!(!left.counted && counted.counted);
    assert_relative_eq!(first.budgets[0].result.standard_uncertainty, 500e-6, max_relative = 1e-12);
    assert_relative_eq!(second.budgets[0].result.standard_uncertainty, 502.4937811e-6, max_relative = 1e-9);
    // By hand: 2u⁴ of each input beside 4·0.05²·u², so one part in a hundred of the first, one in 101 of the whole.
    assert_relative_eq!(left.share, 0.01, max_relative = 1e-9);
    assert_relative_eq!(counted.share, 1.0 / 101.0, max_relative = 1e-9);
    assert_relative_eq!(second.budgets[0].rows.iter().map(|row| row.share).sum::<f64>(), 100.0 / 101.0, max_relative = 1e-9);
}

/// A budget that is asked for has the same rows as that of a check, and a value without doubt has none.
#[test]
fn a_budget_can_be_asked_for() {
    let text = "```rig\ntake a = 10 N ± 3 N (u) from \"log\"\ntake b = 20 N ± 4 N (u) from \"log\"\nboth = [a + b, 2 * a, 7 N]\n\
                check \"sum\": a + b <= 50 N\n```\n";
    let files = MemoryFiles::new().with("sheet.md", text);
    let compiled = |asked: BudgetsAsked| {
        let outcome = Engine::new().with_budgets(asked).compile(&files, &[SheetPath::new("sheet.md")]).outcomes.pop();
        outcome.and_then(|outcome| outcome.sheet).expect("a sheet")
    };
    let sheet = compiled(BudgetsAsked::Named(vec!["both[1]".into(), "both[3]".into(), "a".into(), "nobody".into()]));
    let [sum, exact, input] = sheet.asked.as_slice() else { panic!("{:?}", sheet.asked) };
    assert_eq!(sum.rows, sheet.budgets[0].rows);
    assert_relative_eq!(sum.result.standard_uncertainty, 5.0, max_relative = 1e-12);
    assert!(exact.rows.is_empty() && exact.result.standard_uncertainty == 0.0);
    assert_eq!(input.rows.iter().map(|row| row.percent.as_str()).collect::<Vec<_>>(), ["100.0\u{a0}%"]);
    let every = compiled(BudgetsAsked::Every);
    assert_eq!(every.asked.len(), 2, "the items with doubt, and no input");
}

/// Figures and unit are the author's, also where a result as large would be printed in another unit; a sign changes nothing.
#[test]
fn an_input_is_printed_as_it_was_stated() {
    let seen = compile_text(
        "```rig\n\
        take gauge = 50000623 nm ± 25 nm (u) from \"certificate\"\n\
        take push = -50 N ± 1 N from \"log\"\n\
        twice = 2 * gauge + 2 * gauge\n```\n",
    );
    let sheet = seen.sheet.expect("a sheet");
    let rows = sheet.blocks.iter().find_map(|block| match block {
        Block::Inputs { rows } => Some(rows),
        _ => None,
    });
    let figures: Vec<_> = rows.expect("a register").iter().filter_map(|row| row.figure.as_ref()).collect();
    let texts: Vec<String> = figures.iter().map(|figure| figure.text.replace(['\u{a0}', '\u{202f}'], " ")).collect();
    assert_eq!(texts[..2], ["(50 000 623 ± 25) nm", "(−50 ± 1) N"]);
    assert_relative_eq!(figures[0].value, 50_000_623.0, max_relative = 1e-15);
    assert_relative_eq!(figures[0].standard_uncertainty, 25.0, max_relative = 1e-12);
}
