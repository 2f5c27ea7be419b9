//! The beep that goes with a flash.

use std::f64::consts::PI;

/// Cycles a second (common practice for a sync beep).
const PITCH: f64 = 1_000.0;
/// It swells and fades for so many seconds, so that it does not click.
const RAMP: f64 = 1e-3;

/// A sample of a beep that lasts `length` seconds, `at` seconds after it began; 0 before and
/// after it.
pub(crate) fn beep(at: f64, length: f64) -> f32 {
    if !(0.0..length).contains(&at) {
        return 0.0;
    }
    let ramp = (at.min(length - at) / RAMP).min(1.0);
    let swell = (1.0 - (PI * ramp).cos()) / 2.0;
    #[expect(
        clippy::cast_possible_truncation,
        reason = "samples are single precision"
    )]
    let sample = (swell * (2.0 * PI * PITCH * at).sin()) as f32;
    sample
}
