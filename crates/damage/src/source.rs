//! What is sent: codewords and how they sound.

use plumbline_ltc::{Codeword, Direction, Flags, Level, Modulator, PolarityRule, Tone};
use plumbline_timecode::{
    BinaryGroupFlags, Count, FrameNumber, Frames, Rate, SampleRate, TimeAddress, UserBits,
};

use crate::convert::whole;
use crate::{BitFlips, Condition, DamageError, Random, Seed, Take, Truth};

/// A source of code: what it counts, what else it says, and how that sounds.
///
/// ```
/// use plumbline_damage::{Addresses, Seed, Source};
/// use plumbline_ltc::PolarityRule;
/// use plumbline_timecode::{Rate, SampleRate};
/// let usual = Source::new(Rate::F29_97, SampleRate::hertz(48_000)?);
/// let standing = Source {
///     addresses: Addresses::Held,
///     polarity_rule: PolarityRule::Uncorrected,
///     ..usual
/// };
/// let take = standing.take(10, Seed::tuning(3))?;
/// assert!(take.words.iter().all(|word| word.meant == take.words[0].meant));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source {
    /// How the code sounds. Its `begins` is where the first codeword begins.
    pub tone: Tone,
    /// How frames are counted.
    pub count: Count,
    /// Which frames follow each other.
    pub addresses: Addresses,
    /// What the user bits say.
    pub user_bits: UserBitsSent,
    /// Whether the bit of polarity correction is used.
    pub polarity_rule: PolarityRule,
    /// Bits that are flipped before they are sent.
    pub flips: BitFlips,
}

/// Which frames follow each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Addresses {
    /// One after the other, from a frame of the day that chance chooses.
    Counting,
    /// One after the other from here on, over midnight as if every day were the same.
    From(TimeAddress),
    /// The same for ever: a source that stands still.
    Held,
    /// Each by chance.
    Random,
    /// Counting that goes on from elsewhere after so many codewords.
    Jumping {
        /// How many codewords count on.
        every: u32,
        /// How many frames further than the next one it then goes on.
        by: Frames,
    },
}

/// What the user bits say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UserBitsSent {
    /// The same in every codeword.
    Constant(UserBits),
    /// In every codeword what chance says.
    Random,
}

impl Source {
    /// Code that counts on from a frame by chance, with nothing in its user bits, polarity
    /// corrected, as [`Tone::new`] sounds.
    pub fn new(rate: Rate, sample_rate: SampleRate) -> Self {
        Self {
            tone: Tone::new(rate, sample_rate),
            count: rate.code().count(),
            addresses: Addresses::Counting,
            user_bits: UserBitsSent::Constant(UserBits(0)),
            polarity_rule: PolarityRule::default(),
            flips: BitFlips::NONE,
        }
    }

    /// The same at another peak level.
    pub fn at_dbfs(mut self, dbfs: f64) -> Result<Self, DamageError> {
        self.tone.level = Level::dbfs(dbfs)?;
        Ok(self)
    }

    /// The same played backwards.
    #[must_use]
    pub fn reversed(mut self) -> Self {
        self.tone.direction = Direction::Reverse;
        self
    }

    /// So many codewords and their sound. It ends with the last of them.
    pub fn take(&self, count: u32, seed: Seed) -> Result<Take, DamageError> {
        let mut random = seed.random(0);
        let meant = self.codewords(count, &mut random);
        let mut sent = meant.clone();
        self.flips.flip(&mut sent, &mut random);
        let samples = self.sound(&sent)?;
        let (begins, length) = (self.tone.begins.as_f64(), self.codeword_samples());
        let words = meant.iter().zip(&sent).zip(0_u32..);
        let words = words.map(|((&meant, &sent), number)| Truth {
            meant,
            sent,
            begins: begins + f64::from(number) * length,
            ends: begins + f64::from(number + 1) * length,
            direction: self.tone.direction,
            condition: if meant == sent {
                Condition::Whole
            } else {
                Condition::Flipped
            },
        });
        Ok(Take {
            sample_rate: self.tone.sample_rate,
            words: words.collect(),
            code_power: code_power(&samples, begins),
            samples,
        })
    }

    /// How many samples lie from one codeword to the next.
    pub fn codeword_samples(&self) -> f64 {
        let tone = self.tone;
        tone.sample_rate.as_f64() / (tone.rate.code().fraction().as_f64() * tone.speed.as_f64())
    }

    /// In the order in which they are heard.
    fn codewords(&self, count: u32, random: &mut Random) -> Vec<Codeword> {
        let counted = self.count.code();
        let anywhere = |random: &mut Random| {
            let number = FrameNumber(random.below(counted.frames_per_day()));
            TimeAddress::from_frame_number(counted, number)
                .unwrap_or(TimeAddress::midnight(counted))
        };
        let first = match self.addresses {
            Addresses::From(address) => address.code().address(),
            _ => anywhere(random),
        };
        let forward = self.tone.direction == Direction::Forward;
        let at = |number: u32, random: &mut Random| {
            // Running backwards, the last frame is heard first.
            let number = if forward { number } else { count - 1 - number };
            let on = |frames: i64| first.plus_wrapping(Frames(frames));
            match self.addresses {
                Addresses::Counting | Addresses::From(_) => on(number.into()),
                Addresses::Held => first,
                Addresses::Random => anywhere(random),
                Addresses::Jumping { every, by } => {
                    let jumps = i64::from(number / every.max(1));
                    on(i64::from(number).wrapping_add(jumps.wrapping_mul(by.0)))
                }
            }
        };
        (0..count)
            .map(|number| self.codeword(at(number, random), random))
            .collect()
    }

    fn codeword(&self, address: TimeAddress, random: &mut Random) -> Codeword {
        let user_bits = match self.user_bits {
            UserBitsSent::Constant(user_bits) => user_bits,
            UserBitsSent::Random => UserBits(random.bits()),
        };
        Codeword::new(
            address,
            user_bits,
            BinaryGroupFlags::Unspecified,
            Flags::default(),
            self.polarity_rule,
        )
    }

    fn sound(&self, codewords: &[Codeword]) -> Result<Vec<f32>, DamageError> {
        let mut modulator = Modulator::new(self.tone)?;
        let mut samples = Vec::new();
        for &codeword in codewords {
            modulator.push(codeword, &mut |block| samples.extend_from_slice(block));
        }
        modulator.finish(&mut |block| samples.extend_from_slice(block));
        Ok(samples)
    }
}

/// The mean square from a sample on.
fn code_power(samples: &[f32], begins: f64) -> f64 {
    let code = samples.get(whole(begins.ceil())..).unwrap_or_default();
    let sum: f64 = code.iter().map(|&sample| f64::from(sample).powi(2)).sum();
    sum / code.len().max(1) as f64
}
