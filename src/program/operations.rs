//! The operations (a table): what each makes of its operands, and how a small change of them passes through.

/// One step. Operands are places of earlier steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Operation {
    /// A number.
    Constant(f64),
    /// A source of doubt: zero, plus or minus one standard uncertainty.
    Doubt(usize),
    /// A load that is sought, by its number: its value is found, not worked.
    Sought(usize),
    /// A part of a line fitted with doubt in both readings: the fit, and which part. Its value is found, not worked.
    Fitted(usize, usize),
    /// `a + b`
    Add(usize, usize),
    /// `a - b`
    Subtract(usize, usize),
    /// `a × b`
    Multiply(usize, usize),
    /// `a / b`
    Divide(usize, usize),
    /// `a` to the power `b`
    Power(usize, usize),
    /// `-a`
    Negate(usize),
    /// `√a`
    Sqrt(usize),
    /// `|a|`
    Abs(usize),
    /// The lesser.
    Min(usize, usize),
    /// The greater.
    Max(usize, usize),
    /// `e^a`
    Exp(usize),
    /// `ln a`
    Ln(usize),
    /// `sin a`
    Sin(usize),
    /// `cos a`
    Cos(usize),
    /// `tan a`
    Tan(usize),
    /// `asin a`
    Asin(usize),
    /// `acos a`
    Acos(usize),
    /// `atan a`
    Atan(usize),
    /// The angle of the point `b` along and `a` across.
    AngleOf(usize, usize),
    /// One where `a` is nought or above, nought elsewhere.
    Step(usize),
    /// `a` where `b` is nought or above; no number elsewhere.
    Where(usize, usize),
}

/// The value of a step, from the values of its operands.
pub fn value(operation: Operation, at: impl Fn(usize) -> f64) -> f64 {
    match operation {
        Operation::Constant(value) => value,
        Operation::Doubt(_) => 0.0,
        Operation::Sought(_) | Operation::Fitted(..) => f64::NAN,
        Operation::Add(a, b) => at(a) + at(b),
        Operation::Subtract(a, b) => at(a) - at(b),
        Operation::Multiply(a, b) => at(a) * at(b),
        Operation::Divide(a, b) => at(a) / at(b),
        Operation::Power(a, b) => power(at(a), at(b)),
        Operation::Negate(a) => -at(a),
        Operation::Sqrt(a) => at(a).sqrt(),
        Operation::Abs(a) => at(a).abs(),
        Operation::Min(a, b) => {
            if at(b) < at(a) {
                at(b)
            } else {
                at(a)
            }
        }
        Operation::Max(a, b) => {
            if at(b) > at(a) {
                at(b)
            } else {
                at(a)
            }
        }
        Operation::Exp(a) => libm::exp(at(a)),
        Operation::Ln(a) => libm::log(at(a)),
        Operation::Sin(a) => libm::sin(at(a)),
        Operation::Cos(a) => libm::cos(at(a)),
        Operation::Tan(a) => libm::tan(at(a)),
        Operation::Asin(a) => libm::asin(at(a)),
        Operation::Acos(a) => libm::acos(at(a)),
        Operation::Atan(a) => libm::atan(at(a)),
        Operation::AngleOf(a, b) => libm::atan2(at(a), at(b)),
        Operation::Step(a) => {
            if at(a) >= 0.0 {
                1.0
            } else {
                0.0
            }
        }
        Operation::Where(a, b) => {
            if at(b) >= 0.0 {
                at(a)
            } else {
                f64::NAN
            }
        }
    }
}

impl Operation {
    /// The same step with each operand in another place.
    #[must_use]
    pub(super) fn moved(self, to: impl Fn(usize) -> usize) -> Operation {
        match self {
            Operation::Constant(_) | Operation::Doubt(_) | Operation::Sought(_) | Operation::Fitted(..) => self,
            Operation::Add(a, b) => Operation::Add(to(a), to(b)),
            Operation::Subtract(a, b) => Operation::Subtract(to(a), to(b)),
            Operation::Multiply(a, b) => Operation::Multiply(to(a), to(b)),
            Operation::Divide(a, b) => Operation::Divide(to(a), to(b)),
            Operation::Power(a, b) => Operation::Power(to(a), to(b)),
            Operation::Min(a, b) => Operation::Min(to(a), to(b)),
            Operation::Max(a, b) => Operation::Max(to(a), to(b)),
            Operation::AngleOf(a, b) => Operation::AngleOf(to(a), to(b)),
            Operation::Where(a, b) => Operation::Where(to(a), to(b)),
            Operation::Negate(a) => Operation::Negate(to(a)),
            Operation::Sqrt(a) => Operation::Sqrt(to(a)),
            Operation::Abs(a) => Operation::Abs(to(a)),
            Operation::Exp(a) => Operation::Exp(to(a)),
            Operation::Ln(a) => Operation::Ln(to(a)),
            Operation::Sin(a) => Operation::Sin(to(a)),
            Operation::Cos(a) => Operation::Cos(to(a)),
            Operation::Tan(a) => Operation::Tan(to(a)),
            Operation::Asin(a) => Operation::Asin(to(a)),
            Operation::Acos(a) => Operation::Acos(to(a)),
            Operation::Atan(a) => Operation::Atan(to(a)),
            Operation::Step(a) => Operation::Step(to(a)),
        }
    }
}

/// The operands of a step.
pub fn operands(operation: Operation) -> [Option<usize>; 2] {
    match operation {
        Operation::Constant(_) | Operation::Doubt(_) | Operation::Sought(_) | Operation::Fitted(..) => [None, None],
        Operation::Add(a, b)
        | Operation::Subtract(a, b)
        | Operation::Multiply(a, b)
        | Operation::Divide(a, b)
        | Operation::Power(a, b)
        | Operation::Min(a, b)
        | Operation::Max(a, b)
        | Operation::AngleOf(a, b)
        | Operation::Where(a, b) => [Some(a), Some(b)],
        Operation::Negate(a)
        | Operation::Sqrt(a)
        | Operation::Abs(a)
        | Operation::Exp(a)
        | Operation::Ln(a)
        | Operation::Sin(a)
        | Operation::Cos(a)
        | Operation::Tan(a)
        | Operation::Asin(a)
        | Operation::Acos(a)
        | Operation::Atan(a)
        | Operation::Step(a) => [Some(a), None],
    }
}

/// The operands of a step with the derivative of its value by each. `result` is its value.
pub fn slopes(operation: Operation, result: f64, at: impl Fn(usize) -> f64) -> [Option<(usize, f64)>; 2] {
    match operation {
        Operation::Constant(_) | Operation::Doubt(_) | Operation::Sought(_) | Operation::Fitted(..) => [None, None],
        Operation::Add(a, b) => [Some((a, 1.0)), Some((b, 1.0))],
        Operation::Subtract(a, b) => [Some((a, 1.0)), Some((b, -1.0))],
        Operation::Multiply(a, b) => [Some((a, at(b))), Some((b, at(a)))],
        // Written so that x/x cancels exactly: both slopes are the same number with opposite signs.
        Operation::Divide(a, b) => [Some((a, 1.0 / at(b))), Some((b, -(result * (1.0 / at(b)))))],
        Operation::Power(a, b) => {
            let by_base = if at(b) == 0.0 { 0.0 } else { at(b) * power(at(a), at(b) - 1.0) };
            let by_exponent = if at(a) > 0.0 { result * libm::log(at(a)) } else { 0.0 };
            [Some((a, by_base)), Some((b, by_exponent))]
        }
        Operation::Negate(a) => [Some((a, -1.0)), None],
        Operation::Sqrt(a) => [Some((a, 0.5 / result)), None],
        Operation::Abs(a) => [Some((a, if at(a) < 0.0 { -1.0 } else { 1.0 })), None],
        Operation::Min(a, b) => [Some((if at(b) < at(a) { b } else { a }, 1.0)), None],
        Operation::Max(a, b) => [Some((if at(b) > at(a) { b } else { a }, 1.0)), None],
        Operation::Exp(a) => [Some((a, result)), None],
        Operation::Ln(a) => [Some((a, 1.0 / at(a))), None],
        Operation::Sin(a) => [Some((a, libm::cos(at(a)))), None],
        Operation::Cos(a) => [Some((a, -libm::sin(at(a)))), None],
        Operation::Tan(a) => [Some((a, 1.0 + result * result)), None],
        Operation::Asin(a) => [Some((a, 1.0 / (1.0 - at(a) * at(a)).sqrt())), None],
        Operation::Acos(a) => [Some((a, -1.0 / (1.0 - at(a) * at(a)).sqrt())), None],
        Operation::Atan(a) => [Some((a, 1.0 / (1.0 + at(a) * at(a)))), None],
        Operation::AngleOf(a, b) => {
            let square = at(a) * at(a) + at(b) * at(b);
            [Some((a, at(b) / square)), Some((b, -at(a) / square))]
        }
        Operation::Step(_) => [None, None],
        Operation::Where(a, _) => [Some((a, 1.0)), None],
    }
}

// Small whole powers by multiplication: the same digits a person would get, and quicker.
fn power(base: f64, exponent: f64) -> f64 {
    if exponent == 2.0 {
        base * base
    } else if exponent == 3.0 {
        base * base * base
    } else {
        libm::pow(base, exponent)
    }
}

#[cfg(test)]
mod tests {
    use super::{Operation, slopes, value};

    #[test]
    fn every_slope_agrees_with_a_small_step() {
        let (x, y) = (0.6, 0.35);
        let two = [
            Operation::Add(0, 1),
            Operation::Subtract(0, 1),
            Operation::Multiply(0, 1),
            Operation::Divide(0, 1),
            Operation::Power(0, 1),
            Operation::AngleOf(0, 1),
            Operation::Where(0, 1),
        ];
        let one = [
            Operation::Negate(0),
            Operation::Sqrt(0),
            Operation::Abs(0),
            Operation::Min(0, 1),
            Operation::Max(0, 1),
            Operation::Exp(0),
            Operation::Ln(0),
            Operation::Sin(0),
            Operation::Cos(0),
            Operation::Tan(0),
            Operation::Asin(0),
            Operation::Acos(0),
            Operation::Atan(0),
        ];
        for operation in two.into_iter().chain(one) {
            let of = |x: f64, y: f64| value(operation, |at| if at == 0 { x } else { y });
            let found = slopes(operation, of(x, y), |at| if at == 0 { x } else { y });
            let slope = |place: usize| found.iter().flatten().filter(|(at, _)| *at == place).map(|(_, slope)| slope).sum::<f64>();
            let step = 1e-6;
            approx::assert_relative_eq!(slope(0), (of(x + step, y) - of(x - step, y)) / (2.0 * step), epsilon = 1e-8, max_relative = 1e-7);
            approx::assert_relative_eq!(slope(1), (of(x, y + step) - of(x, y - step)) / (2.0 * step), epsilon = 1e-8, max_relative = 1e-7);
        }
    }
}
