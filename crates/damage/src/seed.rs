//! Where chance comes from.

use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;

use crate::Random;

/// A number from which all chance in a take follows: the same seed, the same take.
///
/// Seeds for choosing and seeds for judging are apart: whoever sets a threshold by looking at
/// takes fits it to those takes, and figures measured on them flatter. So parameters are chosen on
/// [`Seed::tuning`] alone, and what is published is measured on [`Seed::judging`]. No number makes
/// the one kind equal to the other, because the purpose is part of the generator's key.
///
/// ```
/// # use plumbline_damage::Seed;
/// let mut tuning = Seed::tuning(1).random(0);
/// let mut judging = Seed::judging(1).random(0);
/// assert_ne!(tuning.bits(), judging.bits());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Seed {
    purpose: Purpose,
    number: u64,
}

/// What a seed is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Purpose {
    /// For looking at while parameters are chosen, and for tests that run at every change.
    Tuning,
    /// For measuring what is published, and nothing else.
    Judging,
}

impl Seed {
    /// A seed to choose parameters by.
    pub const fn tuning(number: u64) -> Self {
        Self {
            purpose: Purpose::Tuning,
            number,
        }
    }

    /// A seed to judge by. No choice may have been made on what it gives.
    pub const fn judging(number: u64) -> Self {
        Self {
            purpose: Purpose::Judging,
            number,
        }
    }

    /// What it is for.
    pub const fn purpose(self) -> Purpose {
        self.purpose
    }

    /// One of its streams of random numbers. Streams are independent of each other, so that what
    /// one damage draws does not change what the next one gets.
    pub fn random(self, stream: u64) -> Random {
        let name: &[u8; 16] = match self.purpose {
            Purpose::Tuning => b"plumbline tuning",
            Purpose::Judging => b"plumbline judge!",
        };
        let mut key = [0; 32];
        key[..16].copy_from_slice(name);
        key[16..24].copy_from_slice(&self.number.to_le_bytes());
        let mut generator = ChaCha8Rng::from_seed(key);
        generator.set_stream(stream);
        Random::new(generator)
    }
}
