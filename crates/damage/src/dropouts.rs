//! Moments without sound.

use crate::convert::whole;
use crate::{Damage, DamageError, Random, Take};

/// Moments without sound, at times by chance: a wireless link that loses its signal, a loose plug.
/// Codewords that are touched are torn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dropouts {
    /// How many a second in the mean, counted from the end of one.
    pub per_second: f64,
    /// How many seconds each lasts.
    pub seconds: f64,
}

impl Damage for Dropouts {
    fn apply(&self, take: &mut Take, random: &mut Random) -> Result<(), DamageError> {
        let expected = "at least 0 and finite";
        let rate = DamageError::check(
            "a number of dropouts a second",
            self.per_second,
            expected,
            |n| n >= 0.0,
        )?;
        DamageError::check("a dropout's length", self.seconds, "above 0 s", |s| s > 0.0)?;
        let hertz = take.sample_rate.as_f64();
        let length = (self.seconds * hertz).max(1.0).round();
        let mut from = (random.wait(rate) * hertz).round();
        while from < take.samples.len() as f64 {
            let to = from + length;
            let lost = take
                .samples
                .iter_mut()
                .skip(whole(from))
                .take(whole(length));
            lost.for_each(|sample| *sample = 0.0);
            // A sample stands for the time around it.
            take.words
                .iter_mut()
                .for_each(|word| word.tear(from - 0.5, to - 0.5));
            from = (to + random.wait(rate) * hertz).round();
        }
        Ok(())
    }
}
