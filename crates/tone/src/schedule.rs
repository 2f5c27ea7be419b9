//! Where in the file each codeword is.

use plumbline_timecode::{Frames, Rounding, Timebase};

use crate::extent::Extent;
use crate::sound::Sound;
use crate::takes::Takes;

/// Places of codewords, from the first sample of the file on.
///
/// A codeword is a whole number of samples, or a fraction that is not rounded: 1601.6 at 29.97 and
/// 48 kHz. The silence between takes is a whole number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Schedule {
    /// How long a codeword lasts, over `denominator`.
    codeword: u128,
    denominator: u128,
    /// Codewords in a take.
    pub(crate) per_take: u32,
    pub(crate) takes: u32,
    /// Samples between two takes.
    pub(crate) silence: u64,
}

/// A place between samples, exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Place {
    /// Whole samples.
    pub(crate) sample: u64,
    /// What is left, over `denominator`.
    pub(crate) rest: u64,
    pub(crate) denominator: u64,
}

impl Schedule {
    pub(crate) fn new(timebase: Timebase, extent: Extent, takes: Takes, sound: Sound) -> Self {
        let codeword = timebase
            .rate()
            .code()
            .samples(Frames(1), sound.sample_rate)
            .0;
        let silence = takes.silence.samples(sound.sample_rate);
        let silence = silence.map_or(0, |silence| silence.round(Rounding::Nearest));
        Self {
            codeword: codeword.numerator().unsigned_abs(),
            denominator: codeword.denominator().unsigned_abs(),
            per_take: extent.codewords,
            takes: takes.number,
            silence: u64::try_from(silence).unwrap_or_default(),
        }
    }

    /// Codewords of all takes.
    pub(crate) fn codewords(&self) -> u64 {
        u64::from(self.per_take) * u64::from(self.takes)
    }

    /// Where the last codeword ends.
    pub(crate) fn ends(&self) -> Place {
        self.after(self.codewords(), u64::from(self.takes) - 1)
    }

    /// After so many codewords and silences.
    fn after(&self, codewords: u64, silences: u64) -> Place {
        let samples = u128::from(codewords) * self.codeword;
        let whole = narrowed(samples / self.denominator);
        Place {
            sample: whole + silences * self.silence,
            rest: narrowed(samples % self.denominator),
            denominator: narrowed(self.denominator),
        }
    }

    /// How many samples there are from the first codeword to the end of the last.
    pub(crate) fn samples(&self) -> u64 {
        self.ends().rounded_up()
    }
}

impl Place {
    /// The first sample that is not before it.
    pub(crate) const fn rounded_up(self) -> u64 {
        self.sample + (self.rest > 0) as u64
    }
}

/// A day at 192 kHz has 34 bits; a denominator has fewer.
fn narrowed(number: u128) -> u64 {
    u64::try_from(number).unwrap_or(u64::MAX)
}
