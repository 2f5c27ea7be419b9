//! Clicks.

use crate::convert::{narrowed, whole};
use crate::{Damage, DamageError, Decibels, Random, Take};

/// Clicks at times by chance: what dimmers, static, bad plugs and a dirty disc give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clicks {
    /// How many a second in the mean.
    pub per_second: f64,
    /// The square of a click's height over the mean square of the code.
    pub over: Decibels,
    /// How many samples one lasts, at most; at least one.
    pub samples: u32,
}

impl Damage for Clicks {
    fn apply(&self, take: &mut Take, random: &mut Random) -> Result<(), DamageError> {
        let expected = "at least 0 and finite";
        let rate = DamageError::check(
            "a number of clicks a second",
            self.per_second,
            expected,
            |n| n >= 0.0,
        )?;
        let height = take.code_power.sqrt() * self.over.amplitude();
        let hertz = take.sample_rate.as_f64();
        let mut at = random.wait(rate) * hertz;
        while at < take.samples.len() as f64 {
            let lasts = 1 + random.below(self.samples);
            let click = narrowed(height * random.sign());
            let hit = take.samples.iter_mut().skip(whole(at)).take(lasts as usize);
            hit.for_each(|sample| *sample += click);
            at += random.wait(rate) * hertz;
        }
        Ok(())
    }
}
