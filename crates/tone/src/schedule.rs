//! Where in the file each codeword is.

use plumbline_timecode::{Frames, Rounding, Timebase};

use crate::extent::Extent;
use crate::sound::Sound;
use crate::takes::Takes;

/// Places of codewords, from the first sample of the file on.
///
/// Codewords follow each other in runs. Within a run nothing is rounded: at 29.97 and 48 kHz a
/// codeword is 1601.6 samples long. A run begins at a whole sample, and silence is before it.
/// Takes without silence between them are one run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Schedule {
    /// How long a codeword lasts, over `denominator`.
    codeword: u128,
    denominator: u128,
    hertz: u32,
    /// Codewords in a run: at least 1.
    per_run: u64,
    runs: u64,
    /// Samples from the end of a run, rounded up, to the next one.
    silence: u64,
}

/// A place between samples, exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Place {
    /// Whole samples.
    pub(crate) sample: u64,
    /// Part of the next one, over `denominator`.
    rest: u128,
    denominator: u128,
}

impl Schedule {
    pub(crate) fn new(timebase: Timebase, extent: Extent, takes: Takes, sound: Sound) -> Self {
        let rate = timebase.code().rate();
        let codeword = rate.samples(Frames(1), sound.sample_rate).0;
        let silence = takes.silence.samples(sound.sample_rate);
        let silence = silence.map_or(0, |silence| silence.round(Rounding::Nearest));
        let silence = u64::try_from(silence).unwrap_or_default();
        let (number, length) = (u64::from(takes.number), u64::from(extent.codewords));
        let (per_run, runs) = match silence {
            0 => (number * length, 1),
            _ => (length, number),
        };
        Self {
            codeword: codeword.numerator().unsigned_abs(),
            denominator: codeword.denominator().unsigned_abs(),
            hertz: sound.hertz,
            per_run,
            runs,
            silence,
        }
    }

    /// Codewords of all takes.
    pub(crate) const fn codewords(&self) -> u64 {
        self.per_run * self.runs
    }

    /// Whether silence, or the file's beginning, is before the codeword with that number of all.
    pub(crate) const fn begins_run(&self, codeword: u64) -> bool {
        codeword.is_multiple_of(self.per_run)
    }

    /// Where the codeword with that number of all begins.
    pub(crate) fn begins(&self, codeword: u64) -> Place {
        let run = codeword / self.per_run;
        let within = self.within_run(codeword % self.per_run);
        let sample = run * (self.run_samples() + self.silence) + within.sample;
        Place { sample, ..within }
    }

    /// After so many codewords of a run, from its beginning.
    fn within_run(&self, codewords: u64) -> Place {
        let samples = u128::from(codewords) * self.codeword;
        Place {
            sample: narrowed(samples / self.denominator),
            rest: samples % self.denominator,
            denominator: self.denominator,
        }
    }

    /// How many samples a run has, to the one at which its end is or the one after it.
    fn run_samples(&self) -> u64 {
        self.within_run(self.per_run).rounded_up()
    }

    /// How many samples there are from the first codeword to the end of the last.
    pub(crate) fn samples(&self) -> u64 {
        self.runs * self.run_samples() + (self.runs - 1) * self.silence
    }

    /// How long a codeword lasts, in samples.
    pub(crate) fn codeword_samples(&self) -> f64 {
        self.codeword as f64 / self.denominator as f64
    }

    /// How many whole cycles of a frequency fit in a run.
    pub(crate) fn cycles_in_run(&self, frequency: u32) -> u64 {
        self.cycles(frequency, self.per_run, 1)
    }

    /// How many whole cycles of a frequency fit in a frame, of which a codeword spans `parts`.
    pub(crate) fn cycles_in_frame(&self, frequency: u32, parts: u32) -> u64 {
        self.cycles(frequency, 1, parts)
    }

    fn cycles(&self, frequency: u32, codewords: u64, parts: u32) -> u64 {
        let samples = u128::from(codewords) * self.codeword * u128::from(frequency);
        let per_cycle = self.denominator * u128::from(self.hertz) * u128::from(parts.max(1));
        narrowed(samples / per_cycle)
    }
}

impl Place {
    /// The first sample that is not before it.
    pub(crate) const fn rounded_up(self) -> u64 {
        self.sample + (self.rest > 0) as u64
    }

    /// Part of the next sample: at least 0, below 1.
    pub(crate) fn fraction(self) -> f64 {
        self.rest as f64 / self.denominator as f64
    }
}

/// A day at 192 kHz has 34 bits.
fn narrowed(number: u128) -> u64 {
    u64::try_from(number).unwrap_or(u64::MAX)
}
