//! Budgets of checked quantities against printed ones, and against what every budget must do; inputs as they were stated.

use crate::support::compile::compile_text;
use approx::assert_relative_eq;
use parbuckle::sheet::parts::Block;

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
