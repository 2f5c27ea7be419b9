//! Samples of few bits.

use crate::convert::narrowed;
use crate::{Damage, DamageError, Random, Take};

/// Samples rounded to a number of bits, and cut off at full scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Quantise {
    /// How many bits a sample has: 2 to 24.
    pub bits: u32,
    /// What is added before rounding.
    pub dither: Dither,
}

/// What is added before rounding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dither {
    /// Nothing: errors follow the signal, and what is below half a step is gone.
    None,
    /// Noise with a triangular distribution, two steps wide: errors are then white noise with a
    /// mean square of a quarter of a step's, whatever the signal (Lipshitz, Wannamaker and
    /// Vanderkooy, "Quantization and dither: a theoretical survey", J. Audio Eng. Soc. 40, 1992).
    Triangular,
}

impl Quantise {
    /// The distance between two values; full scale is 1.
    pub fn step(self) -> f64 {
        2.0_f64.powi(1 - self.bits.cast_signed())
    }

    /// The mean square of what triangular dither and rounding add: step²/6 and step²/12.
    pub fn dithered_noise(self) -> f64 {
        self.step().powi(2) / 4.0
    }
}

impl Damage for Quantise {
    fn apply(&self, take: &mut Take, random: &mut Random) -> Result<(), DamageError> {
        DamageError::check("a number of bits", self.bits.into(), "2 to 24", |bits| {
            (2.0..=24.0).contains(&bits)
        })?;
        let step = self.step();
        for sample in &mut take.samples {
            let dither = match self.dither {
                Dither::None => 0.0,
                Dither::Triangular => random.uniform() - random.uniform(),
            };
            let rounded = (f64::from(*sample) / step + dither).round();
            *sample = narrowed((rounded * step).clamp(-1.0, 1.0 - step));
        }
        Ok(())
    }
}
