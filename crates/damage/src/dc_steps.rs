//! A constant that jumps.

use crate::convert::{narrowed, whole};
use crate::{Damage, DamageError, Decibels, Random, Take};

/// A constant offset that jumps to another value again and again: a supply that is switched, a
/// plug that is moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DcSteps {
    /// How far offsets go either way: the square of the furthest over the mean square of the code.
    pub over: Decibels,
    /// How many seconds each lasts.
    pub seconds: f64,
}

impl Damage for DcSteps {
    fn apply(&self, take: &mut Take, random: &mut Random) -> Result<(), DamageError> {
        let expected = "above 0 s";
        let seconds = DamageError::check("a step's length", self.seconds, expected, |s| s > 0.0)?;
        let furthest = take.code_power.sqrt() * self.over.amplitude();
        let length = whole((seconds * take.sample_rate.as_f64()).max(1.0));
        for step in take.samples.chunks_mut(length) {
            let offset = narrowed(random.between(-furthest, furthest));
            for sample in step {
                *sample += offset;
            }
        }
        Ok(())
    }
}
