//! Code whose truth is known, and seeded noise, for tests.

use plumbline_timecode::{
    BinaryGroupFlags, Count, Fraction, Frames, Rate, SampleRate, Samples, TimeAddress, UserBits,
};

use super::pattern::levels;
use crate::{Codeword, Flags, Level, Modulator, PolarityRule, Tone};

/// Random numbers from a seed: xorshift, and Box and Muller's way to normal ones.
#[derive(Debug, Clone)]
pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        let mut random = Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        for _ in 0..16 {
            random.bits();
        }
        random
    }

    pub(crate) fn bits(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    /// At least 0 and below 1.
    pub(crate) fn uniform(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn user_bits(&mut self) -> UserBits {
        UserBits(u32::try_from(self.bits() >> 32).unwrap())
    }

    /// Normally distributed, its root mean square 1.
    pub(crate) fn normal(&mut self) -> f32 {
        let (a, b) = (1.0 - self.uniform(), self.uniform());
        super::whole::single((-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos())
    }
}

impl Random {
    /// Adds noise of a given root mean square.
    pub(crate) fn add_to(&mut self, samples: &mut [f32], rms: f32) {
        for sample in samples {
            *sample += rms * self.normal();
        }
    }
}

/// Each count, and how many codewords it has in a second.
pub(crate) const COUNTS: [(Count, u16); 4] = [
    (Count::F24, 24),
    (Count::F25, 25),
    (Count::F30, 30),
    (Count::F30Drop, 30),
];

/// Codewords that count on from 13:29:58:17.
pub(crate) fn counting(count: Count, number: u16, rule: PolarityRule) -> Vec<Codeword> {
    counting_with(count, number, rule, || UserBits(0x2511_2601))
}

/// The same, each with user bits of its own.
pub(crate) fn counting_varied(
    count: Count,
    number: u16,
    rule: PolarityRule,
    random: &mut Random,
) -> Vec<Codeword> {
    counting_with(count, number, rule, || random.user_bits())
}

fn counting_with(
    count: Count,
    number: u16,
    rule: PolarityRule,
    mut user_bits: impl FnMut() -> UserBits,
) -> Vec<Codeword> {
    let start = TimeAddress::new(count, 13, 29, 58, 17).unwrap();
    let numbers = 0..i64::from(number);
    numbers
        .map(|number| {
            Codeword::new(
                start.plus_wrapping(Frames(number)),
                user_bits(),
                BinaryGroupFlags::Unspecified,
                Flags::default(),
                rule,
            )
        })
        .collect()
}

/// The sound of codewords at 48 kHz, its level (that of half cells) as given; the first begins
/// `sixteenths` of a sample after sample 0.
pub(crate) fn sound(rate: Rate, level: f32, sixteenths: i128, codewords: &[Codeword]) -> Vec<f32> {
    let tone = Tone {
        level: Level::dbfs(0.0).unwrap(),
        begins: Samples(Fraction::new(sixteenths, 16).unwrap()),
        ..Tone::new(rate, SampleRate::hertz(48_000).unwrap())
    };
    let mut modulator = Modulator::new(tone).unwrap();
    let mut samples = Vec::new();
    for &codeword in codewords {
        modulator.push(codeword, &mut |block| samples.extend_from_slice(block));
    }
    modulator.finish(&mut |block| samples.extend_from_slice(block));
    for sample in &mut samples {
        *sample *= level;
    }
    samples
}

/// Half cells of codewords in noise of variance 1, timing given; SNR at twelve samples a half cell.
pub(crate) fn half_cells(words: &[Codeword], decibels: f32, random: &mut Random) -> Vec<f32> {
    let level = (12.0 * 10_f32.powf(decibels / 10.0)).sqrt();
    let levels = levels(words).into_iter();
    levels.map(|a| level * a + random.normal()).collect()
}

/// Samples of which each has what is at a place between those of others, by straight lines.
pub(crate) fn played(sound: &[f32], length: u32, place: impl Fn(f64) -> f64) -> Vec<f32> {
    let samples = (0..length).map(|n| {
        let place = place(f64::from(n));
        let before = super::whole::index(place);
        let part = super::whole::single(place - before as f64);
        (1.0 - part) * sound[before] + part * sound[before + 1]
    });
    samples.collect()
}

/// The chance that normal noise goes beyond `x` standard deviations, by adding up the bell.
pub(crate) fn beyond(x: f64) -> f64 {
    let step = 1e-4;
    let steps = 0..120_000;
    let bell = |x: f64| (-x * x / 2.0).exp();
    let sum: f64 = steps.map(|n| bell(x + step * (f64::from(n) + 0.5))).sum();
    sum * step / std::f64::consts::TAU.sqrt()
}

/// A codeword of which all is random, but its digits name a frame.
pub(crate) fn random_codeword(random: &mut Random) -> Codeword {
    let number = random.bits() % u64::from(Count::F30.frames_per_day());
    let number = plumbline_timecode::FrameNumber(u32::try_from(number).unwrap());
    Codeword::new(
        TimeAddress::from_frame_number(Count::F30, number).unwrap(),
        random.user_bits(),
        BinaryGroupFlags::Unspecified,
        Flags::default(),
        PolarityRule::Uncorrected,
    )
}
