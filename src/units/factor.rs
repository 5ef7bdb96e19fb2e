//! Exact factors: a rational number times a power of pi, turned into binary64 once and correctly rounded.
//!
//! Composing binary64 factors instead would be a unit or two in the last place off (lbf/in² by one, lbf/ft² by two).

use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::BigRational;
use num_traits::{One, Signed, ToPrimitive, Zero};

// The first hundred decimals of pi (OEIS A000796), without the point: enough for every power met here.
const PI: &str = "31415926535897932384626433832795028841971693993751058209749445923078164062862089986280348253421170679";
const PI_DECIMALS: u32 = 100;

#[derive(Debug, Clone, PartialEq, Eq)]
enum Number {
    // In lowest terms, the denominator positive.
    Small(i128, i128),
    Big(BigRational),
}

/// An exact factor to the coherent SI unit: a rational number times a whole power of pi.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Factor {
    number: Number,
    pi: i32,
}

impl Factor {
    /// `num / den * pi^pi`, or `None` when `den` is zero.
    pub fn new(num: i128, den: i128, pi: i32) -> Option<Factor> {
        if den == 0 || num == i128::MIN || den == i128::MIN {
            return None;
        }
        let shared = num.gcd(&den) * den.signum();
        Some(Factor { number: Number::Small(num / shared, den / shared), pi })
    }

    /// The factor one.
    pub const fn one() -> Factor {
        Factor { number: Number::Small(1, 1), pi: 0 }
    }

    /// A row of the table, whose numbers are already in lowest terms.
    pub(crate) const fn of_row(num: i128, den: i128, pi: i32) -> Factor {
        Factor { number: Number::Small(num, den), pi }
    }

    /// Ten to the power `power`.
    pub(crate) fn ten(power: i32) -> Factor {
        if let Some(whole) = 10_i128.checked_pow(power.unsigned_abs()) {
            return Factor { number: if power < 0 { Number::Small(1, whole) } else { Number::Small(whole, 1) }, pi: 0 };
        }
        let ten = BigRational::from_integer(BigInt::from(10)).pow(power);
        Factor { number: settled(ten), pi: 0 }
    }

    /// The power of pi.
    pub fn pi_power(&self) -> i32 {
        self.pi
    }

    /// The rational part, in lowest terms.
    pub fn rational(&self) -> BigRational {
        match &self.number {
            Number::Small(num, den) => BigRational::new_raw(BigInt::from(*num), BigInt::from(*den)),
            Number::Big(number) => number.clone(),
        }
    }

    /// The product of two factors.
    pub fn times(&self, other: &Factor) -> Factor {
        let pi = self.pi.saturating_add(other.pi);
        if let (Number::Small(a, b), Number::Small(c, d)) = (&self.number, &other.number) {
            // Cross reduction keeps the product in lowest terms and small.
            let (left, right) = (a.gcd(d), c.gcd(b));
            if left != 0 && right != 0 {
                let num = (a / left).checked_mul(c / right);
                let den = (b / right).checked_mul(d / left);
                if let (Some(num), Some(den)) = (num, den) {
                    return Factor { number: Number::Small(num, den), pi };
                }
            }
        }
        Factor { number: settled(self.rational() * other.rational()), pi }
    }

    /// The factor raised to a whole power; `None` for a negative power of zero.
    pub fn power(&self, power: i32) -> Option<Factor> {
        if let Number::Small(num, den) = &self.number
            && *num != 0
        {
            // In lowest terms before, in lowest terms after.
            let (top, bottom) = if power < 0 { (den * num.signum(), num.abs()) } else { (*num, *den) };
            let powers = top.checked_pow(power.unsigned_abs()).zip(bottom.checked_pow(power.unsigned_abs()));
            if let (Some((top, bottom)), Some(pi)) = (powers, self.pi.checked_mul(power)) {
                return Some(Factor { number: Number::Small(top, bottom), pi });
            }
        }
        let base = self.rational();
        if base.is_zero() && power < 0 {
            return None;
        }
        if power == 1 {
            return Some(self.clone());
        }
        Some(Factor { number: settled(base.pow(power)), pi: self.pi.checked_mul(power)? })
    }

    /// The binary64 number nearest to the factor, ties to even.
    pub fn to_f64(&self) -> f64 {
        if let (Number::Small(num, den), 0) = (&self.number, self.pi) {
            // Two whole numbers held exactly divide with a single rounding.
            let (top, bottom) = (*num as f64, *den as f64);
            if top as i128 == *num && bottom as i128 == *den {
                return top / bottom;
            }
        }
        nearest(&(self.rational() * pi_to(self.pi)))
    }
}

fn settled(number: BigRational) -> Number {
    match (number.numer().to_i128(), number.denom().to_i128()) {
        (Some(num), Some(den)) if num != i128::MIN => Number::Small(num, den),
        _ => Number::Big(number),
    }
}

fn pi_to(power: i32) -> BigRational {
    if power == 0 {
        return BigRational::one();
    }
    let figures = BigInt::parse_bytes(PI.as_bytes(), 10).unwrap_or_else(BigInt::one);
    BigRational::new(figures, BigInt::from(10).pow(PI_DECIMALS)).pow(power)
}

// The quotient to at least 65 bits with every lost bit gathered into the last one, so that the cast rounds once.
fn nearest(number: &BigRational) -> f64 {
    let (top, bottom) = (number.numer().abs(), number.denom().clone());
    if top.is_zero() {
        return 0.0;
    }
    let length = |value: &BigInt| i64::try_from(value.bits()).unwrap_or(i64::MAX);
    let shift = 66 - (length(&top) - length(&bottom));
    let (top, bottom) = if shift >= 0 { (top << shift.unsigned_abs(), bottom) } else { (top, bottom << shift.unsigned_abs()) };
    let (mut quotient, rest) = top.div_rem(&bottom);
    if !rest.is_zero() && quotient.is_even() {
        quotient += BigInt::one();
    }
    let size = quotient.to_u128().unwrap_or(u128::MAX) as f64;
    let size = libm::ldexp(size, i32::try_from(-shift).unwrap_or(0));
    if number.is_negative() { -size } else { size }
}
