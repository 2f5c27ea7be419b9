//! Takes of code whose truth is known, and damage that can be done to them.
#![allow(dead_code, reason = "every test uses its part")]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on is to stop")]

use plumbline_ltc::{
    Codeword, Demodulator, Direction, Flags, Level, Modulator, Polarity, PolarityRule, Received,
    Tone,
};
use plumbline_timecode::{
    BinaryGroupFlags, Count, Fraction, Frames, Rate, SampleRate, Samples, TimeAddress, UserBits,
};

pub(crate) fn hertz(hertz: u32) -> SampleRate {
    SampleRate::hertz(hertz).unwrap()
}

pub(crate) fn dbfs(level: f64) -> Level {
    Level::dbfs(level).unwrap()
}

pub(crate) fn fraction(numerator: i128, denominator: i128) -> Fraction {
    Fraction::new(numerator, denominator).unwrap()
}

/// Codewords that count on from an address, with user bits that are the same in all.
pub(crate) fn counting(start: TimeAddress, user_bits: u32, count: u16) -> Vec<Codeword> {
    (0..i64::from(count))
        .map(|number| {
            Codeword::new(
                start.plus_wrapping(Frames(number)),
                UserBits(user_bits),
                BinaryGroupFlags::Unspecified,
                Flags::default(),
                PolarityRule::Corrected,
            )
        })
        .collect()
}

/// An address that shows all digits, two seconds before a minute's end.
pub(crate) fn some_address(count: Count) -> TimeAddress {
    TimeAddress::new(count, 13, 29, 58, 17).unwrap()
}

/// A take and what is true of it.
#[derive(Debug, Clone)]
pub(crate) struct Take {
    pub(crate) samples: Vec<f32>,
    pub(crate) words: Vec<Truth>,
}

/// What is true of a codeword: as the recording runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Truth {
    pub(crate) codeword: Codeword,
    pub(crate) begins: f64,
    pub(crate) ends: f64,
    pub(crate) direction: Direction,
}

/// Codewords as a tone, and nothing before or after.
pub(crate) fn take(tone: Tone, codewords: &[Codeword]) -> Take {
    let mut modulator = Modulator::new(tone).unwrap();
    let mut samples = Vec::new();
    for &codeword in codewords {
        modulator.push(codeword, &mut |block| samples.extend_from_slice(block));
    }
    modulator.finish(&mut |block| samples.extend_from_slice(block));
    assert_eq!(modulator.samples(), samples.len() as u64);
    let length = length(tone);
    let begins = tone.begins.as_f64();
    let words = codewords
        .iter()
        .enumerate()
        .map(|(number, &codeword)| Truth {
            codeword,
            begins: begins + number as f64 * length,
            ends: begins + (number + 1) as f64 * length,
            direction: tone.direction,
        });
    Take {
        samples,
        words: words.collect(),
    }
}

/// Samples from one codeword to the next.
pub(crate) fn length(tone: Tone) -> f64 {
    tone.sample_rate.as_f64() / (tone.rate.code().fraction().as_f64() * tone.speed.as_f64())
}

impl Take {
    /// Each sample as `change` makes it.
    pub(crate) fn map(mut self, change: impl Fn(f32) -> f32) -> Self {
        self.samples
            .iter_mut()
            .for_each(|sample| *sample = change(*sample));
        self
    }

    /// White noise of a given root mean square added.
    pub(crate) fn with_noise(mut self, rms: f32, random: &mut Random) -> Self {
        self.samples
            .iter_mut()
            .for_each(|sample| *sample += rms * random.normal());
        self
    }

    /// Played backwards.
    pub(crate) fn reversed(mut self) -> Self {
        self.samples.reverse();
        self.words.reverse();
        let last = self.samples.len() as f64 - 1.0;
        for word in &mut self.words {
            (word.begins, word.ends) = (last - word.ends, last - word.begins);
            word.direction = match word.direction {
                Direction::Forward => Direction::Reverse,
                Direction::Reverse => Direction::Forward,
            };
        }
        self
    }

    /// Only a part of it, and the codewords that are whole in there.
    pub(crate) fn cut(mut self, from: usize, to: usize) -> Self {
        self.samples.truncate(to);
        self.samples.drain(..from);
        let end = self.samples.len() as f64;
        for word in &mut self.words {
            word.begins -= from as f64;
            word.ends -= from as f64;
        }
        self.words
            .retain(|word| word.begins >= 0.0 && word.ends <= end);
        self
    }

    /// More sound after it, and its codewords.
    pub(crate) fn then(mut self, other: &Take) -> Self {
        let shift = self.samples.len() as f64;
        self.samples.extend_from_slice(&other.samples);
        self.words.extend(other.words.iter().map(|word| Truth {
            begins: word.begins + shift,
            ends: word.ends + shift,
            ..*word
        }));
        self
    }

    /// Sound without code.
    pub(crate) fn still(level: f32, count: usize) -> Self {
        Self {
            samples: vec![level; count],
            words: Vec::new(),
        }
    }
}

/// All codewords of some samples, pushed whole.
pub(crate) fn demodulate(rate: SampleRate, samples: &[f32]) -> Vec<Received> {
    demodulate_in(rate, samples, usize::MAX)
}

/// All codewords of some samples, pushed in blocks of `size`.
pub(crate) fn demodulate_in(rate: SampleRate, samples: &[f32], size: usize) -> Vec<Received> {
    let mut demodulator = Demodulator::new(rate);
    let mut all = Vec::new();
    for block in samples.chunks(size) {
        demodulator.push(block, &mut |received| all.push(received));
    }
    demodulator.finish(&mut |received| all.push(received));
    assert_eq!(demodulator.samples(), samples.len() as u64);
    all
}

/// How far positions are from the truth: the mean, the root mean square and the worst, in samples.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Errors {
    pub(crate) mean: f64,
    pub(crate) rms: f64,
    pub(crate) worst: f64,
}

/// Demands that exactly the codewords of a take were read, with their digits, all trusted; how
/// far their positions are from the truth.
pub(crate) fn judge(name: &str, take: &Take, received: &[Received]) -> Errors {
    let got: Vec<_> = received
        .iter()
        .map(|word| (word.codeword, word.direction))
        .collect();
    let right: Vec<_> = take
        .words
        .iter()
        .map(|word| (word.codeword, word.direction))
        .collect();
    assert!(!right.is_empty(), "{name}: no codewords to be read");
    assert_eq!(got.len(), right.len(), "{name}: codewords read, and there");
    assert_eq!(got, right, "{name}");
    let mut errors = Vec::new();
    for (word, truth) in received.iter().zip(&take.words) {
        assert!(word.quality.is_trusted(), "{name}: {:?}", word.quality);
        errors.push(word.begins.as_f64() - truth.begins);
        errors.push(word.ends.as_f64() - truth.ends);
    }
    let count = errors.len() as f64;
    Errors {
        mean: errors.iter().sum::<f64>() / count,
        rms: (errors.iter().map(|error| error * error).sum::<f64>() / count).sqrt(),
        worst: errors
            .iter()
            .fold(0.0, |worst, error| error.abs().max(worst)),
    }
}

/// Random numbers from a seed: a 64-bit linear congruential generator with its high half used.
#[derive(Debug, Clone)]
pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        let mut random = Self(seed);
        for _ in 0..8 {
            random.bits();
        }
        random
    }

    /// Thirty-two bits.
    pub(crate) fn bits(&mut self) -> u32 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        // The lowest bits repeat soon.
        let mixed = (self.0 ^ (self.0 >> 29)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        u32::try_from(mixed >> 32).unwrap()
    }

    /// At least 0 and below 1.
    pub(crate) fn uniform(&mut self) -> f32 {
        (self.bits() >> 8) as f32 / (1_u32 << 24) as f32
    }

    /// Normally distributed, its root mean square 1.
    pub(crate) fn normal(&mut self) -> f32 {
        let (a, b) = (1.0 - self.uniform(), self.uniform());
        (-2.0 * a.ln()).sqrt() * (std::f32::consts::TAU * b).cos()
    }

    /// At least 0 and below `end`.
    pub(crate) fn below(&mut self, end: u32) -> u32 {
        u32::try_from((u64::from(self.bits()) * u64::from(end)) >> 32).unwrap()
    }
}

/// A codeword with nothing in it left to chance but all of it random: address, user bits, flags.
pub(crate) fn random_codeword(random: &mut Random, count: Count) -> Codeword {
    let number = plumbline_timecode::FrameNumber(random.below(count.frames_per_day()));
    Codeword::new(
        TimeAddress::from_frame_number(count, number).unwrap(),
        UserBits(random.bits()),
        BinaryGroupFlags::ALL[random.below(8) as usize],
        Flags::default(),
        if random.below(2) == 0 {
            PolarityRule::Corrected
        } else {
            PolarityRule::Uncorrected
        },
    )
}

/// The usual tone, its first edge `sixteenths` of a sample after sample `begins`.
pub(crate) fn tone(rate: Rate, sample_rate: SampleRate, begins: i128, sixteenths: i128) -> Tone {
    let begins = Samples(fraction(begins * 16 + sixteenths, 16));
    Tone {
        begins,
        ..Tone::new(rate, sample_rate)
    }
}

pub(crate) const POLARITIES: [Polarity; 2] = [Polarity::Upright, Polarity::Inverted];
