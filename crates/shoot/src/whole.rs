//! Measured numbers as whole ones. Beyond the range the nearest end of it is taken, and 0 for
//! what is not a number.

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "saturates"
)]
pub(crate) fn unsigned(value: f64) -> u64 {
    value.round() as u64
}

#[expect(clippy::cast_possible_truncation, reason = "saturates")]
pub(crate) fn signed(value: f64) -> i64 {
    value.round() as i64
}
