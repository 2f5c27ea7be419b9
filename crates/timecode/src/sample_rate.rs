//! How many samples a second.

use std::fmt;

use thiserror::Error;

use crate::Fraction;

/// Samples a second, exactly: also those of recorders that run pulled up or down, such as
/// 48000/1.001.
///
/// ```
/// use plumbline_timecode::SampleRate;
/// let pulled = SampleRate::hertz(48_000)?.pulled_down()?;
/// assert_eq!(pulled.fraction().to_string(), "48000000/1001");
/// # Ok::<(), plumbline_timecode::SampleRateError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SampleRate(Fraction);

/// Why a number is no sample rate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum SampleRateError {
    /// Nought, or below.
    #[error("a sample rate of {0} Hz is none: it must be above 0")]
    NotPositive(Fraction),
    /// More than any recorder has.
    #[error("a sample rate of {0} Hz is too high: 4294967295 Hz is the highest")]
    TooHigh(Fraction),
    /// A denominator that no number of pulls gives.
    #[error("a sample rate of {0} Hz is too fine: its denominator may be 1048576 at most")]
    TooFine(Fraction),
}

impl SampleRate {
    /// Keeps every product of a sample rate, a frame rate and a 64-bit count within 128 bits;
    /// two pulls of 1001 are below it.
    const FINEST: i128 = 1 << 20;

    /// A whole number of hertz, above 0.
    pub fn hertz(hertz: u32) -> Result<Self, SampleRateError> {
        Self::new(Fraction::whole(i64::from(hertz)))
    }

    /// Any exact number of hertz above 0.
    pub fn new(hertz: Fraction) -> Result<Self, SampleRateError> {
        if hertz <= Fraction::ZERO {
            Err(SampleRateError::NotPositive(hertz))
        } else if hertz > Fraction::whole(i64::from(u32::MAX)) {
            Err(SampleRateError::TooHigh(hertz))
        } else if hertz.denominator() > Self::FINEST {
            Err(SampleRateError::TooFine(hertz))
        } else {
            Ok(Self(hertz))
        }
    }

    /// Slower by 1.001.
    pub fn pulled_down(self) -> Result<Self, SampleRateError> {
        self.scaled(1000, 1001)
    }

    /// Faster by 1.001.
    pub fn pulled_up(self) -> Result<Self, SampleRateError> {
        self.scaled(1001, 1000)
    }

    fn scaled(self, up: i128, down: i128) -> Result<Self, SampleRateError> {
        // At most 52 bits above the line and 20 below: the products fit.
        Self::new(Fraction::reduced(
            self.0.numerator() * up,
            self.0.denominator() * down,
        ))
    }

    /// Hertz, exactly.
    pub const fn fraction(self) -> Fraction {
        self.0
    }

    /// Hertz as a floating-point number, for signals.
    pub fn as_f64(self) -> f64 {
        self.0.as_f64()
    }
}

impl fmt::Display for SampleRate {
    /// `48000`, `48000000/1001`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}
