//! Random numbers.

use rand::rngs::ChaCha8Rng;
use rand::{Rng, RngExt};
use rand_distr::{Distribution, StandardNormal};

/// A stream of random numbers, made by [`Seed::random`](crate::Seed::random).
#[derive(Debug)]
pub struct Random(ChaCha8Rng);

impl Random {
    pub(crate) fn new(generator: ChaCha8Rng) -> Self {
        Self(generator)
    }

    /// Thirty-two bits.
    pub fn bits(&mut self) -> u32 {
        self.0.next_u32()
    }

    /// At least 0 and below 1, every value alike.
    pub fn uniform(&mut self) -> f64 {
        self.0.random()
    }

    /// At least `from` and below `to`; `from` if there is nothing between.
    pub fn between(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * self.uniform()
    }

    /// At least 0 and below `end`, every number alike; 0 if there is none.
    pub fn below(&mut self, end: u32) -> u32 {
        if end == 0 {
            0
        } else {
            self.0.random_range(0..end)
        }
    }

    /// 1 or -1.
    pub fn sign(&mut self) -> f64 {
        if self.bits() & 1 == 0 { 1.0 } else { -1.0 }
    }

    /// Normally distributed around 0, its mean square 1.
    pub fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    /// How long until the next of events that come without memory, so many a unit of time in the
    /// mean: exponentially distributed. Infinite where there are none.
    pub fn wait(&mut self, rate: f64) -> f64 {
        if rate > 0.0 {
            -(1.0 - self.uniform()).ln() / rate
        } else {
            f64::INFINITY
        }
    }
}
