//! The sample rate at which a device plays.

use plumbline_timecode::SampleRate;
use thiserror::Error;

/// The sample rate at which a device plays: a whole number of hertz.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct OutputRate {
    hertz: u32,
    exact: SampleRate,
}

/// A sample rate that no output has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("an output of {hertz} samples a second is none: 8,000 to 768,000 are")]
pub struct OutputRateError {
    /// What was asked for.
    pub hertz: u32,
}

impl OutputRate {
    /// 8,000 to 768,000 Hz.
    pub fn hertz(hertz: u32) -> Result<Self, OutputRateError> {
        let exact = SampleRate::hertz(hertz).ok();
        exact
            .filter(|_| (8_000..=768_000).contains(&hertz))
            .map(|exact| Self { hertz, exact })
            .ok_or(OutputRateError { hertz })
    }

    /// The same for arithmetic.
    pub const fn exact(self) -> SampleRate {
        self.exact
    }

    /// The number.
    pub const fn as_hertz(self) -> u32 {
        self.hertz
    }
}
