//! Codewords in, samples out.

mod clock;
mod edge_shape;
mod level;
mod rise_time;

use plumbline_timecode::{Fraction, Rate, SampleRate, Samples};
use thiserror::Error;

use crate::sync::SYNC_BYTES;
use crate::{Codeword, Direction};
use clock::Clock;
use edge_shape::EdgeShape;
pub use level::{Level, LevelError};
pub use rise_time::{RiseTime, RiseTimeError};

/// How code is to sound.
///
/// ```
/// use plumbline_ltc::{Level, Tone};
/// use plumbline_timecode::{Rate, SampleRate};
/// let usual = Tone::new(Rate::F25, SampleRate::hertz(48_000)?);
/// let quiet = Tone { level: Level::dbfs(-40.0)?, ..usual };
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tone {
    /// The rate of frames. Above 30 a codeword spans two or four of them.
    pub rate: Rate,
    /// How many samples a second.
    pub sample_rate: SampleRate,
    /// The highest level of the samples.
    pub level: Level,
    /// How steep edges are, as far as the sample rate can carry it.
    pub rise_time: RiseTime,
    /// Whether the first edge rises or falls.
    pub polarity: Polarity,
    /// Which end of each codeword comes first. Running backwards, codewords are to be given in
    /// the order in which they are to be heard.
    pub direction: Direction,
    /// How many times as fast as its rate the code is: above 0. Edges keep their steepness.
    pub speed: Fraction,
    /// Where the first edge is, not before 0: there is silence before it.
    pub begins: Samples,
}

/// Which way up code is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Polarity {
    /// The first edge rises.
    #[default]
    Upright,
    /// It falls.
    Inverted,
}

/// Why code can't sound as it is asked to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum ModulatorError {
    /// A speed of nought, or below.
    #[error(
        "a speed of {0} is none: it must be above 0, and code that runs backwards has its own setting"
    )]
    NoSpeed(Fraction),
    /// The first edge is before the first sample.
    #[error("the code begins at sample {0}, and it can't begin before 0")]
    BeginsBefore(Fraction),
    /// So fast that half a cell has less than a sample.
    #[error("half a bit lasts {0} samples, and less than one can't be heard")]
    TooFast(Fraction),
    /// Numbers that exact arithmetic has no room for.
    #[error("the speed or the beginning is a fraction with too many digits")]
    TooFine,
}

impl Tone {
    /// Code as IEC 60461 clause 8.6 has it, at -18 dBFS, upright, forward, at its own speed, from
    /// the first sample on.
    pub fn new(rate: Rate, sample_rate: SampleRate) -> Self {
        Self {
            rate,
            sample_rate,
            level: Level::default(),
            rise_time: RiseTime::default(),
            polarity: Polarity::default(),
            direction: Direction::Forward,
            speed: Fraction::whole(1),
            begins: Samples::whole(0),
        }
    }

    /// How many samples half a cell lasts, exactly.
    fn half_cell(&self) -> Result<Fraction, ModulatorError> {
        if self.speed <= Fraction::ZERO {
            return Err(ModulatorError::NoSpeed(self.speed));
        }
        let half_cells = Fraction::whole(2 * i64::from(Codeword::BITS));
        let half_cell = (self.rate.code().fraction().checked_mul(half_cells))
            .and_then(|per_second| per_second.checked_mul(self.speed))
            .and_then(|per_second| self.sample_rate.fraction().checked_div(per_second))
            .ok_or(ModulatorError::TooFine)?;
        if half_cell < Fraction::whole(1) {
            return Err(ModulatorError::TooFast(half_cell));
        }
        Ok(half_cell)
    }
}

/// Writes code: biphase mark as IEC 60461 clause 8.3 has it, its edges at the very places where
/// they belong, between samples.
///
/// Places are worked out in whole numbers, so they are as exact after a day as in the beginning.
///
/// ```
/// use plumbline_ltc::{Codeword, Flags, Modulator, PolarityRule, Tone};
/// use plumbline_timecode::{BinaryGroupFlags, Count, Rate, SampleRate, TimeAddress, UserBits};
/// let mut modulator = Modulator::new(Tone::new(Rate::F25, SampleRate::hertz(48_000)?))?;
/// let codeword = Codeword::new(
///     TimeAddress::midnight(Count::F25),
///     UserBits(0),
///     BinaryGroupFlags::Unspecified,
///     Flags::default(),
///     PolarityRule::Corrected,
/// );
/// let mut samples = Vec::new();
/// modulator.push(codeword, &mut |block| samples.extend_from_slice(block));
/// modulator.finish(&mut |block| samples.extend_from_slice(block));
/// assert_eq!(samples.len(), 1920);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
pub struct Modulator {
    shape: EdgeShape,
    clock: Clock,
    direction: Direction,
    /// The level of the next edge, and after it, with the sign turned, of the one after that.
    next: f32,
    /// The level after the last edge.
    now: f32,
    /// Samples that may still change or have not been handed out.
    samples: Vec<f32>,
    /// The number of the first of them.
    first: u64,
}

impl Modulator {
    /// Ready for the first codeword.
    pub fn new(tone: Tone) -> Result<Self, ModulatorError> {
        let mut modulator = Self {
            shape: EdgeShape::new(tone.rise_time.seconds() * tone.sample_rate.as_f64()),
            clock: Clock::new(tone.begins, tone.half_cell()?)?,
            direction: tone.direction,
            next: match tone.polarity {
                Polarity::Upright => 1.0,
                Polarity::Inverted => -1.0,
            },
            now: 0.0,
            samples: Vec::new(),
            first: 0,
        };
        #[expect(
            clippy::cast_possible_truncation,
            reason = "samples are single precision"
        )]
        let level = tone.level.amplitude() as f32;
        modulator.next *= level / modulator.clone().peak();
        Ok(modulator)
    }

    /// How far code goes whose levels are 1, where edges are so near to each other that what the
    /// low-pass adds to them adds up: found by trying.
    fn peak(mut self) -> f32 {
        let mut peak = 0.0_f32;
        for byte in [0x00, 0xFF, 0x55, 0x33, 0x0F, 0x17, 0x6D, 0x49] {
            let [sync, end] = SYNC_BYTES;
            let codeword = Codeword([byte, byte, byte, byte, byte, byte, byte, byte, sync, end]);
            self.push(codeword, &mut |samples| {
                peak = samples
                    .iter()
                    .fold(peak, |peak, sample| peak.max(sample.abs()));
            });
        }
        peak
    }

    /// How many samples have been handed out.
    pub fn samples(&self) -> u64 {
        self.first
    }

    /// Takes the next codeword and hands out the samples that are settled: those of this codeword
    /// but for a few at its end, which the next one still has a hand in.
    pub fn push(&mut self, codeword: Codeword, samples: &mut impl FnMut(&[f32])) {
        for number in 0..Codeword::BITS {
            let bit = match self.direction {
                Direction::Forward => codeword.bit(number),
                Direction::Reverse => codeword.bit(Codeword::BITS - 1 - number),
            };
            self.edge(self.next);
            self.clock.step();
            if bit {
                self.edge(self.next);
            }
            self.clock.step();
        }
        let (sample, _) = self.clock.place();
        self.hand_out(sample.saturating_sub(self.shape.reach() as u64), samples);
    }

    /// Takes the end of the code: hands out the samples up to it. It ends with the first half of
    /// an edge into silence, if it began.
    pub fn finish(&mut self, samples: &mut impl FnMut(&[f32])) {
        self.edge(0.0);
        let (sample, fraction) = self.clock.place();
        self.hand_out(sample + u64::from(fraction > 0.0), samples);
        self.samples.clear();
    }

    /// An edge here, to a level.
    fn edge(&mut self, to: f32) {
        let (sample, fraction) = self.clock.place();
        let reach = self.shape.reach() as u64;
        self.fill(sample + reach + 1);
        // The edge begins `reach - 1` samples before; there is nothing before the first sample.
        let begins = (sample + 1).saturating_sub(reach);
        let skipped = index(begins + reach - (sample + 1));
        let samples = &mut self.samples[index(begins - self.first)..];
        self.shape.add(fraction, to - self.now, skipped, samples);
        self.now = to;
        self.next = if to == 0.0 { self.next } else { -to };
    }

    /// Makes sure that there are samples up to number `end`, at the present level.
    fn fill(&mut self, end: u64) {
        let length = index(end.saturating_sub(self.first)).max(self.samples.len());
        self.samples.resize(length, self.now);
    }

    /// Hands out the samples before number `end`.
    fn hand_out(&mut self, end: u64, samples: &mut impl FnMut(&[f32])) {
        let count = index(end.saturating_sub(self.first)).min(self.samples.len());
        if count > 0 {
            samples(&self.samples[..count]);
            self.samples.drain(..count);
            self.first += count as u64;
        }
    }
}

/// A distance between samples that are in hand at the same time.
fn index(distance: u64) -> usize {
    usize::try_from(distance).unwrap_or(usize::MAX)
}
