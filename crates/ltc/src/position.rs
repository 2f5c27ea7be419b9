//! Moments in the sound.

/// A moment in the sound, counted from the first sample ever pushed.
///
/// Sixty-four bits: at 192 kHz a `u32` count would wrap after six hours.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Position {
    /// Whole samples.
    pub sample: u64,
    /// Part of the next sample, at least 0 and below 1.
    pub fraction: f32,
}

impl Position {
    /// Samples, as one number: to a millionth of a sample for as long as a day at 192 kHz.
    pub fn as_f64(self) -> f64 {
        self.sample as f64 + f64::from(self.fraction)
    }

    /// `offset` samples after sample number `sample`; what would lie before the first sample is
    /// the first sample.
    pub(crate) fn beside(sample: u64, offset: f64) -> Self {
        let whole = offset.floor();
        #[expect(
            clippy::cast_possible_truncation,
            reason = "below 1; one that rounds up follows"
        )]
        let fraction = (offset - whole) as f32;
        #[expect(clippy::cast_possible_truncation, reason = "`as` saturates")]
        let whole = whole as i64 + i64::from(fraction >= 1.0);
        match sample.checked_add_signed(whole) {
            Some(sample) => Self {
                sample,
                fraction: if fraction < 1.0 { fraction } else { 0.0 },
            },
            None => Self::default(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_position_is_normal_whatever_the_offset() {
        let at = |offset| Position::beside(10, offset);
        assert_eq!(
            at(0.25),
            Position {
                sample: 10,
                fraction: 0.25
            }
        );
        assert_eq!(
            at(-0.25),
            Position {
                sample: 9,
                fraction: 0.75
            }
        );
        assert_eq!(
            at(-1e-12),
            Position {
                sample: 10,
                fraction: 0.0
            }
        );
        assert_eq!(at(-10.5), Position::default());
    }
}
