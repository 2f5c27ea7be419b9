//! From measures to samples and their numbers.

/// A sample, as recordings have it.
#[expect(
    clippy::cast_possible_truncation,
    reason = "samples are single precision"
)]
pub(crate) fn narrowed(value: f64) -> f32 {
    value as f32
}

/// How many whole samples that is: none if it is below 0 or no number.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "`as` saturates"
)]
pub(crate) fn whole(samples: f64) -> usize {
    samples as usize
}
