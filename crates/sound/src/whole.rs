//! Numbers made smaller or whole, where it is known that they fit.

/// The whole part of a number as an index; 0 below 0 and of no number.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "`as` saturates"
)]
pub(crate) fn index(number: f64) -> usize {
    number as usize
}

/// The nearest whole number.
#[expect(clippy::cast_possible_truncation, reason = "`as` saturates")]
pub(crate) fn nearest(number: f64) -> i64 {
    number.round() as i64
}

/// In single precision, which is plenty for what was measured.
#[expect(clippy::cast_possible_truncation, reason = "what is lost was noise")]
pub(crate) fn single(number: f64) -> f32 {
    number as f32
}

/// A length or an index as a number that can be below 0. No slice is longer than that.
#[expect(
    clippy::cast_possible_wrap,
    reason = "lengths of slices of values fit in half of a usize"
)]
pub(crate) fn signed(index: usize) -> i64 {
    index as i64
}

/// The other way; 0 below 0.
pub(crate) fn unsigned(number: i64) -> usize {
    usize::try_from(number).unwrap_or(0)
}
