//! How loud a channel is of late.

use std::collections::VecDeque;

use plumbline_timecode::SampleRate;
use plumbline_words::signed;

/// Keeps the highest sample of the last half second.
#[derive(Debug, Clone)]
pub struct Meter {
    /// Samples in a step.
    step: usize,
    /// The highest of each of the last steps, and of the one under way.
    peaks: VecDeque<f32>,
    under_way: f32,
    filled: usize,
}

/// How loud a channel is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Level {
    /// There is nothing, or next to nothing.
    Nothing,
    /// Code could be read, but with little to spare.
    Low(f64),
    /// As it should be. The level is in dBFS.
    Good(f64),
    /// The tops are cut, or nearly.
    Hot(f64),
}

/// Steps in a second, and how many are remembered.
const STEPS: f64 = 20.0;
const REMEMBERED: usize = 10;
/// Below this there is no signal that anybody would call one, in dBFS. Our choice.
const SILENT: f64 = -66.0;
/// Below this the code stands only some hundred steps above nothing in 16 bits. Our choice, and
/// that of the reader of recordings.
const LOW: f64 = -42.0;
/// Above this the next gust is cut off. Our choice.
const HOT: f64 = -1.0;

impl Meter {
    /// Ready for the first sample.
    pub fn new(sample_rate: SampleRate) -> Self {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "`as` saturates"
        )]
        let step = (sample_rate.as_f64() / STEPS) as usize;
        Self {
            step: step.max(1),
            peaks: VecDeque::new(),
            under_way: 0.0,
            filled: 0,
        }
    }

    /// Takes the next samples.
    pub fn push(&mut self, samples: &[f32]) {
        for &sample in samples {
            // A sample that is no number is no level either.
            self.under_way = self.under_way.max(sample.abs());
            self.filled += 1;
            if self.filled == self.step {
                self.peaks.push_back(std::mem::take(&mut self.under_way));
                self.filled = 0;
            }
        }
        while self.peaks.len() > REMEMBERED {
            self.peaks.pop_front();
        }
    }

    /// How loud it was in the last half second.
    pub fn level(&self) -> Level {
        let peak = self.peaks.iter().copied().fold(self.under_way, f32::max);
        let dbfs = 20.0 * f64::from(peak).log10();
        match dbfs {
            ..SILENT => Level::Nothing,
            ..LOW => Level::Low(dbfs),
            ..HOT => Level::Good(dbfs),
            _ => Level::Hot(dbfs),
        }
    }
}

impl Level {
    /// In a few words: "−18.0 dBFS".
    pub fn figure(self) -> String {
        match self {
            Self::Nothing => "silent".to_owned(),
            Self::Low(dbfs) => format!("{} dBFS, too low", signed(dbfs, 1)),
            Self::Good(dbfs) => format!("{} dBFS", signed(dbfs, 1)),
            Self::Hot(dbfs) => format!("{} dBFS, too hot", signed(dbfs, 1)),
        }
    }

    /// What to do about it, where something is to be done.
    pub const fn remedy(self) -> Option<&'static str> {
        match self {
            Self::Nothing => Some(
                "Nothing comes in. Is the cable in the right socket, the right input chosen, the \
                 device sending?",
            ),
            Self::Low(_) => Some(
                "The signal is low: turn the device’s output or this input up, or take out a pad \
                 that is not needed.",
            ),
            Self::Good(_) => None,
            Self::Hot(_) => Some(
                "The signal is too hot: turn the input down, or put a pad before it. A line \
                 output needs one before a microphone input.",
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_forgets_after_half_a_second_and_tells_low_from_hot() {
        let mut meter = Meter::new(SampleRate::hertz(48_000).unwrap());
        assert_eq!(meter.level(), Level::Nothing);
        meter.push(&[0.5; 100]);
        assert!(matches!(meter.level(), Level::Good(dbfs) if (dbfs + 6.02).abs() < 0.01));
        meter.push(&[-1.0; 100]);
        assert!(matches!(meter.level(), Level::Hot(_)));
        for _ in 0..30 {
            meter.push(&[0.002; 1_000]);
        }
        assert!(
            matches!(meter.level(), Level::Low(_)),
            "{:?}",
            meter.level()
        );
        assert!(meter.level().remedy().is_some());
        meter.push(&vec![f32::NAN; 48_000]);
        assert_eq!(meter.level(), Level::Nothing);
    }
}
