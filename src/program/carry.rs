//! How every source of doubt passes through the flat list: forward, one sparse row a step, each row let go after its last use.
//!
//! A sheet of many lines has as many sources, but a line rests on few of them; what is held at one time is only the rows
//! that a later step still asks for.

use crate::measure::{Contribution, Freedom, Joint, effective_degrees};
use crate::program::lower::Program;
use crate::program::operations::{Operation, operands, slopes};
use std::collections::{BTreeMap, BTreeSet};

/// What one value owes to each source, by rising number of the source: its slope there times the standard uncertainty.
pub(super) type Row = Vec<(usize, f64)>;

// The last use of a step that no other asks for.
const NEVER: usize = usize::MAX;

/// What the doubts come to.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Carried {
    /// The standard uncertainty of every step, in coherent SI units.
    pub(super) uncertainties: Vec<f64>,
    /// The degrees of freedom of every step; empty where no source has a number of them.
    pub(super) freedom: Vec<Freedom>,
    /// The rows of the steps that are held against each other, sides of checks and of conditions, and of those that are drawn.
    pub(super) sides: BTreeMap<usize, Row>,
}

/// Carries the doubts of `sources`, their standard uncertainties in coherent SI units like `values`, through the program. The rows
/// of the steps in `also` are kept besides.
pub(super) fn carry(program: &Program, values: &[f64], sources: &[f64], joint: &Joint, also: &BTreeSet<usize>) -> Carried {
    let mut carried = Carried { uncertainties: vec![0.0; program.operations.len()], ..Carried::default() };
    if sources.is_empty() {
        return carried;
    }
    if program.sources.iter().any(|source| source.degrees.is_some()) {
        carried.freedom = vec![Freedom::Endless; program.operations.len()];
    }
    let mut kept = vec![false; program.operations.len()];
    sides(program).iter().chain(also).for_each(|at| kept.get_mut(*at).into_iter().for_each(|kept| *kept = true));
    let last = last_uses(program);
    let mut carry = Carry { program, values, sources, rows: vec![Row::new(); program.operations.len()], spare: Vec::new() };
    for (at, operation) in program.operations.iter().enumerate() {
        // It has no doubt, and lets nothing go.
        if matches!(operation, Operation::Constant(_)) {
            continue;
        }
        let row = carry.row(at, &[]);
        for operand in operands(*operation).into_iter().flatten().filter(|operand| last.get(*operand) == Some(&at)) {
            let done = carry.rows.get_mut(operand).map(std::mem::take).unwrap_or_default();
            carry.let_go(done);
        }
        if row.is_empty() {
            carry.let_go(row);
            continue;
        }
        if let Some(uncertainty) = carried.uncertainties.get_mut(at) {
            *uncertainty = joint.combine(&row);
        }
        if let Some(place) = carried.freedom.get_mut(at) {
            *place = freedom(program, &row, joint);
        }
        if kept.get(at) == Some(&true) {
            carried.sides.insert(at, row.clone());
        }
        match carry.rows.get_mut(at) {
            Some(place) if last.get(at) != Some(&NEVER) => *place = row,
            _ => carry.let_go(row),
        }
    }
    carried
}

/// The row of the difference of two values with these rows.
pub(super) fn apart(left: &[(usize, f64)], right: &[(usize, f64)]) -> Row {
    let mut row = Row::new();
    merge((left, 1.0), (right, -1.0), &mut row);
    row
}

/// The degrees of freedom of a value with this row. The formula wants independent contributions (JCGM 100:2008, G.4.1).
pub(super) fn freedom(program: &Program, row: &[(usize, f64)], joint: &Joint) -> Freedom {
    let source = |number: usize| program.sources.get(number);
    if !row.iter().any(|(number, part)| *part != 0.0 && source(*number).is_some_and(|source| source.degrees.is_some())) {
        return Freedom::Endless;
    }
    if joint.correlates(row) {
        return Freedom::Correlated;
    }
    effective_degrees(row.iter().map(|(number, part)| {
        let (degrees, pool) = source(*number).map_or((None, None), |source| (source.degrees, source.pool));
        Contribution { part: *part, degrees, pool }
    }))
}

// The sum of two rows, each times its slope, into `row`, which is empty.
fn merge((a, slope_a): (&[(usize, f64)], f64), (b, slope_b): (&[(usize, f64)], f64), row: &mut Row) {
    let (mut a, mut b) = (a.iter().peekable(), b.iter().peekable());
    loop {
        let next = match (a.peek(), b.peek()) {
            (None, None) => break,
            (Some((left, _)), Some((right, _))) if left == right => {
                a.next().zip(b.next()).map(|(a, b)| (a.0, slope_a * a.1 + slope_b * b.1))
            }
            (Some((left, _)), Some((right, _))) if right < left => b.next().map(|b| (b.0, slope_b * b.1)),
            (None, Some(_)) => b.next().map(|b| (b.0, slope_b * b.1)),
            _ => a.next().map(|a| (a.0, slope_a * a.1)),
        };
        // What cancels exactly leaves nothing, here as in a budget written by hand; what is no number is kept.
        row.extend(next.filter(|(_, part)| *part != 0.0));
    }
}

struct Carry<'c> {
    program: &'c Program,
    values: &'c [f64],
    sources: &'c [f64],
    rows: Vec<Row>,
    // Rows that are no longer needed, kept for their room.
    spare: Vec<Row>,
}

impl Carry<'_> {
    fn let_go(&mut self, mut row: Row) {
        if row.capacity() > 0 {
            row.clear();
            self.spare.push(row);
        }
    }

    fn value(&self, place: usize) -> f64 {
        self.values.get(place).copied().unwrap_or(f64::NAN)
    }

    // The row of one step. `tried` holds rows that stand in for those of the steps just above it, the last of them that of
    // the step right above.
    fn row(&mut self, at: usize, tried: &[Row]) -> Row {
        let mut row = self.spare.pop().unwrap_or_default();
        match self.program.operations.get(at) {
            Some(Operation::Doubt(source)) => row.extend(self.sources.get(*source).filter(|u| **u != 0.0).map(|u| (*source, *u))),
            Some(Operation::Sought(number)) if tried.is_empty() => self.sought(*number, &mut row),
            Some(operation) => self.combined(*operation, at, tried, &mut row),
            None => {}
        }
        row
    }

    // Writes the row of one step, made from those of its operands, into `row`, which is empty.
    fn combined(&self, operation: Operation, at: usize, tried: &[Row], row: &mut Row) {
        let of = |operand: usize| {
            let stands_in = (operand + tried.len()).checked_sub(at).and_then(|place| tried.get(place));
            stands_in.or_else(|| self.rows.get(operand)).map_or(&[][..], Vec::as_slice)
        };
        if operands(operation).into_iter().flatten().all(|operand| of(operand).is_empty()) {
            return;
        }
        let [first, second] = slopes(operation, self.value(at), |place| self.value(place));
        let part = |slope: Option<(usize, f64)>| slope.map_or((&[][..], 0.0), |(operand, slope)| (of(operand), slope));
        merge(part(first), part(second), row);
    }

    // The row of a load that was sought, by the implicit derivative: with the load held fast the known value and the value
    // that has to meet it differ by so much; divided by how the latter follows the load, that is what the load must give.
    fn sought(&mut self, number: usize, row: &mut Row) {
        let Some((sought, target)) = self.program.sought.get(number).and_then(|sought| Some((sought, sought.target?))) else { return };
        // The load itself, held fast, stands first among the rows that are tried.
        let mut tried = vec![Row::new()];
        for at in sought.place + 1..=target {
            let next = self.row(at, &tried);
            tried.push(next);
        }
        let slope = follow(self.program, self.values, sought.place, target);
        let met = tried.last().map_or(&[][..], Vec::as_slice);
        let known = self.rows.get(sought.known).map_or(&[][..], Vec::as_slice);
        let part = |row: &[(usize, f64)], source: usize| {
            row.binary_search_by_key(&source, |(source, _)| *source).ok().and_then(|at| row.get(at)).map_or(0.0, |(_, part)| *part)
        };
        let parts = (0..self.sources.len()).map(|source| (source, (part(known, source) - part(met, source)) / slope));
        row.extend(parts.filter(|(_, part)| *part != 0.0));
    }
}

/// How the value at `target` follows the one at `place`, everything else held fast.
pub(super) fn follow(program: &Program, values: &[f64], place: usize, target: usize) -> f64 {
    let value = |place: usize| values.get(place).copied().unwrap_or(f64::NAN);
    let mut tangent = vec![0.0; target + 1 - place];
    if let Some(first) = tangent.first_mut() {
        *first = 1.0;
    }
    for at in place + 1..=target {
        let Some(operation) = program.operations.get(at) else { continue };
        let mut sum = 0.0;
        for (operand, slope) in slopes(*operation, value(at), value).into_iter().flatten() {
            let through = operand.checked_sub(place).and_then(|operand| tangent.get(operand)).copied().unwrap_or(0.0);
            if through != 0.0 {
                sum += slope * through;
            }
        }
        if let Some(cell) = tangent.get_mut(at - place) {
            *cell = sum;
        }
    }
    tangent.last().copied().unwrap_or(0.0)
}

// The steps that are held against each other.
fn sides(program: &Program) -> BTreeSet<usize> {
    let conditions = program.conditions.iter().flatten().flatten().flat_map(|(left, right)| [*left, *right]);
    let checks = program.checks.iter().flat_map(|(demand, capacity)| [*demand, *capacity]).flatten();
    let studies = program.studies.iter().flat_map(|study| &study.demands).flat_map(|(demand, capacity)| [*demand, *capacity]).flatten();
    let agreements = program.agreements.iter().flat_map(|(predicted, measured)| [*predicted, *measured]).flatten();
    let laws = program.laws.iter().flatten().flat_map(|law| law.asked());
    let drawn = program.propagations.iter().chain(&program.exercises).flatten().flatten().copied();
    checks.chain(agreements).chain(laws).chain(conditions).chain(studies).chain(drawn).collect()
}

// For each step, the last one that has it as an operand.
fn last_uses(program: &Program) -> Vec<usize> {
    let mut last = vec![NEVER; program.operations.len()];
    for (at, operation) in program.operations.iter().enumerate() {
        for operand in operands(*operation).into_iter().flatten() {
            last.get_mut(operand).into_iter().for_each(|last| *last = at);
        }
        // A load that is sought looks at what is known, though that is no operand of its step.
        if let Operation::Sought(number) = operation
            && let Some(last) = program.sought.get(*number).and_then(|sought| last.get_mut(sought.known))
        {
            *last = at;
        }
    }
    last
}

#[cfg(test)]
mod tests {
    use super::{apart, carry};
    use crate::measure::Joint;
    use crate::program::lower::{Program, SoughtPlace};
    use crate::program::operations::{Operation, value};
    use approx::assert_relative_eq;
    use std::collections::BTreeSet;

    // The standard uncertainties of `operations` from those of their sources.
    fn run(operations: &[Operation], sources: &[f64]) -> Vec<f64> {
        let mut values: Vec<f64> = Vec::new();
        for operation in operations {
            let next = value(*operation, |at| values[at]);
            values.push(next);
        }
        let program = Program { operations: operations.to_vec(), ..Program::default() };
        carry(&program, &values, sources, &Joint::default(), &BTreeSet::new()).uncertainties
    }

    // JCGM 100:2008, 5.1.2 and 5.2: shared sources add with their signs, others by their squares.
    #[test]
    fn shared_sources_cancel_and_add_and_others_go_by_squares() {
        let operations = [
            Operation::Constant(8.0),
            Operation::Doubt(0),
            Operation::Add(0, 1), // x = 8, u = 0.3
            Operation::Constant(2.0),
            Operation::Doubt(1),
            Operation::Add(3, 4),      // y = 2, u = 0.4
            Operation::Add(2, 5),      // root of 0.3² and 0.4²
            Operation::Subtract(2, 2), // nothing
            Operation::Divide(2, 2),   // nothing
            Operation::Add(2, 2),      // twice 0.3
            Operation::Multiply(2, 5), // 8·0.4 and 2·0.3
            Operation::Subtract(6, 5), // x again
        ];
        let found = run(&operations, &[0.3, 0.4]);
        assert_relative_eq!(found[6], 0.5, max_relative = 1e-15);
        assert_eq!((found[7], found[8]), (0.0, 0.0));
        assert_relative_eq!(found[9], 0.6, max_relative = 1e-15);
        assert_relative_eq!(found[10], libm::sqrt(3.2 * 3.2 + 0.6 * 0.6), max_relative = 1e-15);
        assert_relative_eq!(found[11], 0.3, max_relative = 1e-15);
        assert_eq!(found[3], 0.0);
    }

    #[test]
    fn a_slope_without_bound_asks_nothing_of_what_is_exact() {
        let operations = [
            Operation::Constant(0.0),
            Operation::Sqrt(0),
            Operation::Constant(1.0),
            Operation::Doubt(0),
            Operation::Add(2, 3),
            Operation::Add(1, 4),
        ];
        assert_eq!(run(&operations, &[0.25]), [0.0, 0.0, 0.0, 0.25, 0.25, 0.25]);
    }

    // JCGM 100:2008, 5.1.2, on x = known / factor, which is what the load comes to here.
    #[test]
    fn a_load_that_was_sought_takes_its_doubt_from_both_sides() {
        let operations = [
            Operation::Constant(8.0),
            Operation::Doubt(0),
            Operation::Add(0, 1), // known = 8, u = 0.3
            Operation::Sought(0), // x = 4
            Operation::Constant(2.0),
            Operation::Doubt(1),
            Operation::Add(4, 5),      // factor = 2, u = 0.1
            Operation::Multiply(3, 6), // has to come to what is known
            Operation::Subtract(7, 2), // so nothing is left, nor any doubt
        ];
        let values = [8.0, 0.0, 8.0, 4.0, 2.0, 0.0, 2.0, 8.0, 0.0];
        let sought = vec![SoughtPlace { at: 0, place: 3, target: Some(7), known: 2 }];
        let program = Program { operations: operations.to_vec(), sought, checks: vec![(Some(7), Some(3))], ..Program::default() };
        let found = carry(&program, &values, &[0.3, 0.1], &Joint::default(), &BTreeSet::new()).uncertainties;
        assert_relative_eq!(found[3], libm::sqrt(0.15 * 0.15 + 0.2 * 0.2), max_relative = 1e-15);
        assert_relative_eq!(found[7], 0.3, max_relative = 1e-15);
        approx::assert_abs_diff_eq!(found[8], 0.0, epsilon = 1e-15);
        // known - known / factor, by hand: half of known's part, and the whole of the factor's.
        let sides = carry(&program, &values, &[0.3, 0.1], &Joint::default(), &BTreeSet::new()).sides;
        assert_relative_eq!(
            Joint::default().combine(&apart(&sides[&7], &sides[&3])),
            libm::sqrt(0.15 * 0.15 + 0.2 * 0.2),
            max_relative = 1e-15
        );
    }
}
