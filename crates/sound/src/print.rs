//! What is kept of a recording for finding it in another.

use plumbline_timecode::{Fraction, SampleRate, SampleRateError};
use thiserror::Error;

use crate::Seconds;
use crate::whole;

/// How many bands of the sound a frame tells of.
pub const BANDS: usize = 8;

/// Frames a second, at any sample rate.
pub(crate) const FRAMES_A_SECOND: u32 = 100;

/// What the bytes of a print begin with.
const MAGIC: &[u8; 16] = b"plumbline print1";
/// The magic, the sample rate above and below the line, and how many samples there were.
const HEADER: usize = MAGIC.len() + 3 * 8;

/// The course of a recording's sound: its level in eight bands, a hundred times a second. That is
/// 800 bytes a second, enough to find the place at which two recordings heard the same, and not
/// enough to hear what was said.
///
/// Made by [`PrintMaker`](crate::PrintMaker).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Print {
    pub(crate) sample_rate: SampleRate,
    pub(crate) samples: u64,
    pub(crate) frames: Vec<[u8; BANDS]>,
}

/// Why bytes are no print.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum PrintError {
    /// They begin otherwise.
    #[error("these {0} bytes are no print: they do not begin as one")]
    NoPrint(usize),
    /// They end within a frame.
    #[error("the print ends within a frame, at byte {0}: it was cut off")]
    CutOff(usize),
    /// They name a sample rate that is none.
    #[error("the print's sample rate: {0}")]
    SampleRate(#[from] SampleRateError),
}

impl Print {
    /// The recording's sample rate.
    pub fn sample_rate(&self) -> SampleRate {
        self.sample_rate
    }

    /// How many samples it was made of.
    pub fn samples(&self) -> u64 {
        self.samples
    }

    /// How long the recording is, by its own clock.
    pub fn length(&self) -> Seconds {
        Seconds(self.samples as f64 / self.sample_rate.as_f64())
    }

    /// The print as bytes, to be kept.
    pub fn to_bytes(&self) -> Vec<u8> {
        let rate = self.sample_rate.fraction();
        let mut bytes = Vec::with_capacity(HEADER + self.frames.len() * BANDS);
        bytes.extend(MAGIC);
        for number in [rate.numerator(), rate.denominator()] {
            // A sample rate has at most 52 bits above the line and 20 below.
            bytes.extend(u64::try_from(number).unwrap_or(0).to_le_bytes());
        }
        bytes.extend(self.samples.to_le_bytes());
        bytes.extend(self.frames.as_flattened());
        bytes
    }

    /// The print that such bytes are.
    pub fn from_bytes(bytes: &[u8]) -> Result<Self, PrintError> {
        let rest = bytes.strip_prefix(MAGIC);
        let rest = rest.ok_or(PrintError::NoPrint(bytes.len()))?;
        let (numbers, rest) = rest
            .split_at_checked(HEADER - MAGIC.len())
            .ok_or(PrintError::CutOff(bytes.len()))?;
        let (numbers, _) = numbers.as_chunks::<8>();
        let number = |n: usize| numbers.get(n).map_or(0, |bytes| u64::from_le_bytes(*bytes));
        let rate = Fraction::new(number(0).into(), number(1).into()).unwrap_or(Fraction::ZERO);
        let (frames, left) = rest.as_chunks::<BANDS>();
        if !left.is_empty() {
            return Err(PrintError::CutOff(bytes.len()));
        }
        Ok(Self {
            sample_rate: SampleRate::new(rate)?,
            samples: number(2),
            frames: frames.to_vec(),
        })
    }

    /// How many frames have sound in them that is more than the converter's own.
    pub(crate) fn loud_frames(&self) -> usize {
        let loud = |frame: &&[u8; BANDS]| frame.iter().any(|band| *band >= byte_of(QUIET_DB));
        self.frames.iter().filter(loud).count()
    }
}

/// Below this in every band there is only a converter's noise: the last of 16 bits is at about
/// −98 dB over all bands together.
const QUIET_DB: f64 = -95.0;
/// The level that is byte 0, in dB of the mean square.
const LOWEST_DB: f64 = -120.0;
/// Steps of a byte in a decibel.
const STEPS: f64 = 2.0;

/// A level as a byte: half decibels from −120 dB up.
pub(crate) fn byte_of(db: f64) -> u8 {
    let steps = ((db - LOWEST_DB) * STEPS).round().clamp(0.0, 255.0);
    u8::try_from(whole::index(steps)).unwrap_or(u8::MAX)
}

/// The level that a byte stands for, in dB over that of byte 0.
pub(crate) fn level_of(byte: u8) -> f32 {
    f32::from(byte) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_print_is_the_same_after_its_bytes() {
        let print = Print {
            sample_rate: SampleRate::hertz(48_000).unwrap().pulled_down().unwrap(),
            samples: 1440,
            frames: vec![[1; BANDS], [2; BANDS]],
        };
        let bytes = print.to_bytes();
        assert_eq!(Print::from_bytes(&bytes), Ok(print));
        assert_eq!(
            Print::from_bytes(&bytes[..bytes.len() - 1]),
            Err(PrintError::CutOff(bytes.len() - 1))
        );
        for length in 0..HEADER {
            assert!(Print::from_bytes(&bytes[..length]).is_err());
        }
        assert!(matches!(
            Print::from_bytes(&[&MAGIC[..], &[0; 24]].concat()),
            Err(PrintError::SampleRate(_))
        ));
    }

    #[test]
    fn levels_are_kept_to_a_quarter_of_a_decibel() {
        for (db, byte) in [
            (-200.0, 0),
            (-120.0, 0),
            (-20.2, 200),
            (0.0, 240),
            (20.0, 255),
        ] {
            assert_eq!(byte_of(db), byte, "{db} dB");
        }
        assert_eq!(byte_of(f64::NEG_INFINITY), 0);
    }
}
