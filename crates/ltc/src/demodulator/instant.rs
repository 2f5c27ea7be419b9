//! Moments in the input, as the stages hand them to each other.

/// Samples since the first one ever pushed, in steps of 2⁻²⁰ sample.
///
/// A whole number, so that an interval is as exact after a day as in the beginning, and so that
/// it moves in one piece: there are thousands of edges in a second. Room for years at 192 kHz.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Instant(u64);

const STEPS: u64 = 1 << 20;

impl Instant {
    pub(super) const ZERO: Self = Self(0);

    /// `fraction` after a sample: 0 to 1.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "`as` saturates"
    )]
    pub(super) fn new(sample: u64, fraction: f32) -> Self {
        Self(
            sample
                .wrapping_mul(STEPS)
                .wrapping_add(u64::from((fraction * STEPS as f32) as u32)),
        )
    }

    /// The last sample that is not after it.
    pub(super) fn sample(self) -> u64 {
        self.0 / STEPS
    }

    /// Samples from another moment, not far away, to this one.
    pub(super) fn since(self, other: Self) -> f32 {
        self.0.wrapping_sub(other.0).cast_signed() as f32 / STEPS as f32
    }

    /// Samples from sample number `sample`, not far away, to this moment, as closely as it goes.
    pub(super) fn after(self, sample: u64) -> f64 {
        self.0
            .wrapping_sub(sample.wrapping_mul(STEPS))
            .cast_signed() as f64
            / STEPS as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn intervals_are_exact_however_late() {
        for sample in [0, 1, 48_000, 192_000 * 86_400 * 30] {
            let (early, late) = (Instant::new(sample, 0.25), Instant::new(sample + 12, 0.75));
            assert_eq!(late.since(early).to_bits(), 12.5_f32.to_bits());
            assert_eq!(early.since(late).to_bits(), (-12.5_f32).to_bits());
            assert_eq!(late.after(sample).to_bits(), 12.75_f64.to_bits());
            assert_eq!(late.sample(), sample + 12);
            assert_eq!(Instant::new(sample, 1.0), Instant::new(sample + 1, 0.0));
        }
    }
}
