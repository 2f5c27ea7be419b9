//! Numbers made smaller or whole, where it is known that they fit.

/// The whole part of a number as an index; 0 below 0.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "`as` saturates"
)]
pub(super) fn index(number: f64) -> usize {
    number as usize
}

/// The nearest whole number.
#[expect(clippy::cast_possible_truncation, reason = "`as` saturates")]
pub(super) fn nearest(number: f64) -> i64 {
    number.round() as i64
}

/// In single precision, which is plenty for what was measured.
#[expect(clippy::cast_possible_truncation, reason = "what is lost was noise")]
pub(super) fn single(number: f64) -> f32 {
    number as f32
}
