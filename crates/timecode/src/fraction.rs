//! Exact fractions: every time in this crate is one.
//!
//! Own code rather than a library: what is needed is small (four checked operations, an order
//! and a named rounding), and it is what every figure of the project stands on.

use std::cmp::Ordering;
use std::fmt;

use crate::Rounding;

/// An exact fraction in lowest terms, its denominator above 0.
///
/// Arithmetic is checked: where a result does not fit 128 bits there is none. It never rounds
/// unless [`Fraction::round`] is asked to.
///
/// ```
/// use plumbline_timecode::{Fraction, Rounding};
/// // One frame at 29.97, in samples at 48 kHz.
/// let frame = Fraction::new(1001 * 48_000, 30_000).unwrap();
/// assert_eq!(frame.to_string(), "8008/5");
/// assert_eq!(frame.round(Rounding::Nearest), 1602);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Fraction {
    numerator: i128,
    denominator: i128,
}

impl Fraction {
    /// Nought.
    pub const ZERO: Self = Self::whole(0);

    /// `numerator / denominator` in lowest terms; none where the denominator is 0 or the sign
    /// cannot be turned round within 128 bits.
    pub const fn new(numerator: i128, denominator: i128) -> Option<Self> {
        if denominator == 0 || numerator == i128::MIN || denominator == i128::MIN {
            return None;
        }
        let sign = denominator.signum();
        Some(Self::reduced(numerator * sign, denominator * sign))
    }

    /// A whole number.
    pub const fn whole(number: i64) -> Self {
        Self {
            numerator: number as i128,
            denominator: 1,
        }
    }

    /// In lowest terms; the caller knows that the denominator is above 0 and neither number is
    /// the smallest there is.
    pub(crate) const fn reduced(numerator: i128, denominator: i128) -> Self {
        let divisor = greatest_common_divisor(numerator.abs(), denominator);
        Self {
            numerator: numerator / divisor,
            denominator: denominator / divisor,
        }
    }

    /// What stands above the line; it carries the sign.
    pub const fn numerator(self) -> i128 {
        self.numerator
    }

    /// What stands below the line: above 0.
    pub const fn denominator(self) -> i128 {
        self.denominator
    }

    /// The sum; none where it does not fit.
    pub const fn checked_add(self, other: Self) -> Option<Self> {
        let (Some(a), Some(b), Some(denominator)) = (
            self.numerator.checked_mul(other.denominator),
            other.numerator.checked_mul(self.denominator),
            self.denominator.checked_mul(other.denominator),
        ) else {
            return None;
        };
        match a.checked_add(b) {
            Some(numerator) => Self::new(numerator, denominator),
            None => None,
        }
    }

    /// The difference; none where it does not fit.
    pub const fn checked_sub(self, other: Self) -> Option<Self> {
        self.checked_add(Self {
            numerator: -other.numerator,
            denominator: other.denominator,
        })
    }

    /// The product; none where it does not fit.
    pub const fn checked_mul(self, other: Self) -> Option<Self> {
        // Across the line first, so that only what stays is multiplied.
        let left = Self::reduced(self.numerator, other.denominator);
        let right = Self::reduced(other.numerator, self.denominator);
        match (
            left.numerator.checked_mul(right.numerator),
            left.denominator.checked_mul(right.denominator),
        ) {
            (Some(numerator), Some(denominator)) => Self::new(numerator, denominator),
            _ => None,
        }
    }

    /// The quotient; none where it does not fit or `other` is 0.
    pub const fn checked_div(self, other: Self) -> Option<Self> {
        match Self::new(other.denominator, other.numerator) {
            Some(inverse) => self.checked_mul(inverse),
            None => None,
        }
    }

    /// The whole number that `rounding` names.
    pub const fn round(self, rounding: Rounding) -> i128 {
        let down = self.numerator.div_euclid(self.denominator);
        let rest = self.numerator.rem_euclid(self.denominator);
        let up = match rounding {
            Rounding::Down => false,
            Rounding::Up => rest > 0,
            Rounding::Nearest => rest >= self.denominator - rest,
        };
        if up { down + 1 } else { down }
    }

    /// The nearest floating-point number, for signals and for showing; never for counting.
    pub fn as_f64(self) -> f64 {
        // Whole and rest apart, so that a small fraction beside a large count is not lost early.
        let whole = self.numerator.div_euclid(self.denominator);
        let rest = self.numerator.rem_euclid(self.denominator);
        whole as f64 + rest as f64 / self.denominator as f64
    }
}

impl Ord for Fraction {
    /// Exact, and without products that could overflow: whole parts first, then the rests
    /// turned upside down, as in a continued fraction.
    fn cmp(&self, other: &Self) -> Ordering {
        let (mut a, mut b) = (*self, *other);
        let mut turned = false;
        loop {
            let wholes = a.round(Rounding::Down).cmp(&b.round(Rounding::Down));
            let (rest_a, rest_b) = (
                a.numerator.rem_euclid(a.denominator),
                b.numerator.rem_euclid(b.denominator),
            );
            let order = match (wholes, rest_a, rest_b) {
                (Ordering::Equal, 0, 0) => Ordering::Equal,
                (Ordering::Equal, 0, _) => Ordering::Less,
                (Ordering::Equal, _, 0) => Ordering::Greater,
                (Ordering::Equal, _, _) => {
                    a = Self {
                        numerator: a.denominator,
                        denominator: rest_a,
                    };
                    b = Self {
                        numerator: b.denominator,
                        denominator: rest_b,
                    };
                    turned = !turned;
                    continue;
                }
                (unequal, _, _) => unequal,
            };
            return if turned { order.reverse() } else { order };
        }
    }
}

impl PartialOrd for Fraction {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl fmt::Display for Fraction {
    /// `30000/1001`, or `25` where it is whole.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.denominator {
            1 => write!(f, "{}", self.numerator),
            denominator => write!(f, "{}/{denominator}", self.numerator),
        }
    }
}

/// Of two numbers that are not below 0; 1 where both are 0.
const fn greatest_common_divisor(mut a: i128, mut b: i128) -> i128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    if a == 0 { 1 } else { a }
}
