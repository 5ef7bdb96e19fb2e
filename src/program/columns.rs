//! The flat list over many draws at once: each step works a whole column of draws before the next step begins.

use crate::measure::Sampler;
use crate::program::operations::{Operation, value};
use crate::program::roots::from_nought;

/// How many draws go through a step at once: few enough that the columns in use stay near the processor.
pub(super) const BLOCK: usize = 512;

/// What a step works on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Operand {
    /// The same number in every draw.
    Fixed(f64),
    /// A column.
    Column(usize),
}

/// One step over a block of draws.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Step {
    /// The column it fills; no other column of the step.
    pub(super) out: usize,
    /// What it does.
    pub(super) action: Action,
}

/// What a step does.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Action {
    /// An operation, whatever places it names, on one or two operands.
    Work(Operation, [Operand; 2]),
    /// Draws from a source, by its place among the samplers.
    Draw(usize),
    /// The load for which the target comes to what is known. The inner steps find the target from the load in `out`.
    Seek { known: Operand, inner: Vec<Step>, target: Operand },
}

/// The columns of one block.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Columns {
    columns: Vec<Vec<f64>>,
    length: usize,
}

impl Columns {
    /// So many columns, empty.
    pub(super) fn new(count: usize) -> Self {
        Columns { columns: vec![Vec::with_capacity(BLOCK); count], length: 0 }
    }

    /// Makes room for so many draws.
    pub(super) fn begin(&mut self, length: usize) {
        self.length = length;
        self.columns.iter_mut().for_each(|column| column.resize(length, 0.0));
    }

    /// A column.
    pub(super) fn column(&self, at: usize) -> &[f64] {
        self.columns.get(at).map_or(&[], Vec::as_slice)
    }

    /// Calls `visit` with the value of an operand in each draw.
    pub(super) fn each(&self, operand: Operand, mut visit: impl FnMut(usize, f64)) {
        match operand {
            Operand::Fixed(fixed) => (0..self.length).for_each(|draw| visit(draw, fixed)),
            Operand::Column(at) => self.column(at).iter().enumerate().for_each(|(draw, value)| visit(draw, *value)),
        }
    }

    fn at(&self, operand: Operand, draw: usize) -> f64 {
        match operand {
            Operand::Fixed(fixed) => fixed,
            Operand::Column(at) => self.column(at).get(draw).copied().unwrap_or(f64::NAN),
        }
    }

    /// Works every step.
    pub(super) fn run(&mut self, steps: &[Step], samplers: &mut [Sampler]) {
        for step in steps {
            if let Action::Seek { known, inner, target } = &step.action {
                self.seek(step.out, *known, inner, *target);
                continue;
            }
            let mut out = self.columns.get_mut(step.out).map(std::mem::take).unwrap_or_default();
            match &step.action {
                Action::Work(operation, operands) => self.work(*operation, *operands, &mut out),
                Action::Draw(source) => samplers.get_mut(*source).into_iter().for_each(|sampler| sampler.fill(&mut out)),
                Action::Seek { .. } => {}
            }
            self.put(step.out, out);
        }
    }

    fn put(&mut self, at: usize, column: Vec<f64>) {
        if let Some(place) = self.columns.get_mut(at) {
            *place = column;
        }
    }

    fn one(&self, [a, _]: [Operand; 2], out: &mut [f64], of: impl Fn(f64) -> f64) {
        match a {
            Operand::Fixed(a) => out.fill(of(a)),
            Operand::Column(a) => out.iter_mut().zip(self.column(a)).for_each(|(out, a)| *out = of(*a)),
        }
    }

    fn two(&self, [a, b]: [Operand; 2], out: &mut [f64], of: impl Fn(f64, f64) -> f64) {
        match (a, b) {
            (Operand::Fixed(a), Operand::Fixed(b)) => out.fill(of(a, b)),
            (Operand::Column(a), Operand::Fixed(b)) => out.iter_mut().zip(self.column(a)).for_each(|(out, a)| *out = of(*a, b)),
            (Operand::Fixed(a), Operand::Column(b)) => out.iter_mut().zip(self.column(b)).for_each(|(out, b)| *out = of(a, *b)),
            (Operand::Column(a), Operand::Column(b)) => {
                let pairs = self.column(a).iter().zip(self.column(b));
                out.iter_mut().zip(pairs).for_each(|(out, (a, b))| *out = of(*a, *b));
            }
        }
    }

    // What takes no longer than looking up what to do has a loop of its own; the rest asks the one table of operations.
    fn work(&self, operation: Operation, operands: [Operand; 2], out: &mut [f64]) {
        match (operation, operands) {
            (Operation::Add(..), _) => self.two(operands, out, |a, b| a + b),
            (Operation::Subtract(..), _) => self.two(operands, out, |a, b| a - b),
            (Operation::Multiply(..), _) => self.two(operands, out, |a, b| a * b),
            (Operation::Divide(..), _) => self.two(operands, out, |a, b| a / b),
            (Operation::Min(..), _) => self.two(operands, out, |a, b| if b < a { b } else { a }),
            (Operation::Max(..), _) => self.two(operands, out, |a, b| if b > a { b } else { a }),
            (Operation::Power(..), [a, Operand::Fixed(2.0)]) => self.one([a, a], out, |a| a * a),
            (Operation::Power(..), [a, Operand::Fixed(3.0)]) => self.one([a, a], out, |a| a * a * a),
            (Operation::Negate(_), _) => self.one(operands, out, |a| -a),
            (Operation::Sqrt(_), _) => self.one(operands, out, f64::sqrt),
            (Operation::Abs(_), _) => self.one(operands, out, f64::abs),
            (Operation::Exp(_), _) => self.one(operands, out, libm::exp),
            (Operation::Ln(_), _) => self.one(operands, out, libm::log),
            (Operation::Sin(_), _) => self.one(operands, out, libm::sin),
            (Operation::Cos(_), _) => self.one(operands, out, libm::cos),
            (Operation::Tan(_), _) => self.one(operands, out, libm::tan),
            (Operation::Asin(_), _) => self.one(operands, out, libm::asin),
            (Operation::Acos(_), _) => self.one(operands, out, libm::acos),
            (Operation::Atan(_), _) => self.one(operands, out, libm::atan),
            (Operation::AngleOf(..), _) => self.two(operands, out, libm::atan2),
            (Operation::Step(_), _) => self.one(operands, out, |a| if a >= 0.0 { 1.0 } else { 0.0 }),
            (Operation::Where(..), _) => self.two(operands, out, |a, b| if b >= 0.0 { a } else { f64::NAN }),
            (Operation::Power(..), _) => {
                self.two(operands, out, |a, b| value(Operation::Power(0, 1), |at| if at == 0 { a } else { b }));
            }
            (Operation::Constant(number), _) => out.fill(number),
            (Operation::Doubt(_) | Operation::Sought(_) | Operation::Fitted(..), _) => out.fill(f64::NAN),
        }
    }

    // By how much the target misses what is known with these loads, in each draw.
    fn misses(&mut self, loads: Vec<f64>, seek: (usize, Operand, &[Step], Operand)) -> Vec<f64> {
        let (out, known, inner, target) = seek;
        self.put(out, loads);
        self.run(inner, &mut []);
        let mut missed = vec![0.0; self.length];
        self.two([target, known], &mut missed, |target, known| target - known);
        missed
    }

    // The same search as for one load (`roots`): two points tell a straight line, and what is no line is searched alone.
    fn seek(&mut self, out: usize, known: Operand, inner: &[Step], target: Operand) {
        let seek = (out, known, inner, target);
        let mut scale = vec![1.0; self.length];
        self.each(known, |draw, known| {
            if let Some(scale) = scale.get_mut(draw)
                && known != 0.0
                && known.is_finite()
            {
                *scale = known.abs();
            }
        });
        let nought = self.misses(vec![0.0; self.length], seek);
        let one = self.misses(scale.clone(), seek);
        let two = self.misses(scale.iter().map(|scale| 2.0 * scale).collect(), seek);
        let slopes: Vec<f64> = one.iter().zip(&nought).zip(&scale).map(|((one, nought), scale)| (one - nought) / scale).collect();
        let first: Vec<f64> = nought.iter().zip(&slopes).map(|(nought, slope)| -nought / slope).collect();
        let missed = self.misses(first.clone(), seek);
        let second: Vec<f64> = first.iter().zip(&missed).zip(&slopes).map(|((load, missed), slope)| load - missed / slope).collect();
        let missed_again = self.misses(second.clone(), seek);
        let pairs = first.iter().zip(&missed).zip(second.iter().zip(&missed_again));
        let mut loads: Vec<f64> = pairs.map(|((a, off), (b, off_again))| if off_again.abs() <= off.abs() { *b } else { *a }).collect();
        let points = nought.iter().zip(&one).zip(&two).zip(slopes.iter().zip(&scale));
        for (draw, (load, (((nought, one), two), (slope, scale)))) in loads.iter_mut().zip(points).enumerate() {
            let bend = (two - one) - (one - nought);
            let straight = slope.is_finite() && *slope != 0.0 && bend.abs() <= 1e-12 * (two.abs() + one.abs() + nought.abs());
            if !straight {
                let mut misses = |load: f64| self.misses_alone(load, draw, seek);
                *load = from_nought(&mut misses, *scale).unwrap_or(f64::NAN);
            } else if !(load.is_finite() && *load >= 0.0) {
                *load = f64::NAN;
            }
        }
        self.put(out, loads);
    }

    fn misses_alone(&mut self, load: f64, draw: usize, (out, known, inner, target): (usize, Operand, &[Step], Operand)) -> f64 {
        self.set(out, draw, load);
        for step in inner {
            if let Action::Work(operation, [a, b]) = step.action {
                let [first, _] = crate::program::operations::operands(operation);
                let (a, b) = (self.at(a, draw), self.at(b, draw));
                let found = value(operation, |place| if Some(place) == first { a } else { b });
                self.set(step.out, draw, found);
            }
        }
        self.at(target, draw) - self.at(known, draw)
    }

    fn set(&mut self, column: usize, draw: usize, value: f64) {
        if let Some(cell) = self.columns.get_mut(column).and_then(|column| column.get_mut(draw)) {
            *cell = value;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Action, Columns, Operand, Step};
    use crate::program::operations::{Operation, value};

    #[test]
    fn a_column_is_worked_as_each_of_its_numbers_is() {
        let rows = [[0.6, 0.35], [-0.2, 2.0], [0.0, -1.0], [1.0, 3.0], [0.25, 0.0]];
        let operations = [
            Operation::Add(0, 1),
            Operation::Subtract(0, 1),
            Operation::Multiply(0, 1),
            Operation::Divide(0, 1),
            Operation::Power(0, 1),
            Operation::Min(0, 1),
            Operation::Max(0, 1),
            Operation::AngleOf(0, 1),
            Operation::Where(0, 1),
            Operation::Negate(0),
            Operation::Sqrt(0),
            Operation::Abs(0),
            Operation::Exp(0),
            Operation::Ln(0),
            Operation::Sin(0),
            Operation::Cos(0),
            Operation::Tan(0),
            Operation::Asin(0),
            Operation::Acos(0),
            Operation::Atan(0),
            Operation::Step(0),
        ];
        let mut columns = Columns::new(3);
        columns.begin(rows.len());
        columns.put(0, rows.iter().map(|[a, _]| *a).collect());
        columns.put(1, rows.iter().map(|[_, b]| *b).collect());
        let fixed = [Operand::Fixed(0.5), Operand::Fixed(2.0), Operand::Fixed(3.0), Operand::Column(1)];
        for operation in operations {
            for (a, b) in fixed.into_iter().flat_map(|b| [(Operand::Column(0), b), (b, Operand::Column(0)), (b, b)]) {
                columns.run(&[Step { out: 2, action: Action::Work(operation, [a, b]) }], &mut []);
                for draw in 0..rows.len() {
                    let (x, y) = (columns.at(a, draw), columns.at(b, draw));
                    let alone = value(operation, |at| if at == 0 { x } else { y });
                    assert_eq!(columns.column(2)[draw].to_bits(), alone.to_bits(), "{operation:?} of {x} and {y}");
                }
            }
        }
    }

    #[test]
    fn loads_are_sought_in_every_draw_by_a_line_or_by_searching() {
        let mut columns = Columns::new(6);
        columns.begin(4);
        columns.put(0, vec![12.0, 3.0, 8.0, -5.0]);
        columns.put(1, vec![3.0, 2.0, 4.0, 1.0]);
        let seek = |inner: Vec<Step>, target| Step { out: 2, action: Action::Seek { known: Operand::Column(0), inner, target } };
        let step = |out, operation, a, b| Step { out, action: Action::Work(operation, [a, b]) };
        let (load, factor) = (Operand::Column(2), Operand::Column(1));
        columns.run(&[seek(vec![step(3, Operation::Multiply(7, 9), load, factor)], Operand::Column(3))], &mut []);
        assert_eq!(columns.column(2).get(..3), Some(&[4.0, 1.5, 2.0][..]));
        assert!(columns.column(2)[3].is_nan());
        let square = step(3, Operation::Multiply(7, 7), load, load);
        let twice = step(4, Operation::Multiply(9, 8), Operand::Column(3), factor);
        columns.run(&[seek(vec![square, twice], Operand::Column(4))], &mut []);
        // The roots of 12/3, 3/2 and 8/4.
        for (found, root) in columns.column(2).iter().zip([2.0, 1.5_f64.sqrt(), 2.0_f64.sqrt()]) {
            approx::assert_relative_eq!(*found, root, max_relative = 1e-12);
        }
    }
}
