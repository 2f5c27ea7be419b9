//! Sound over the code.

use crate::convert::narrowed;
use crate::{Damage, DamageError, Decibels, Random, Sound, Take};

/// A sound over the whole take, at a level against the code: noise, hum, or what was said and
/// played while the code ran.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Added<S> {
    sound: S,
    over: Decibels,
}

impl<S: Sound> Added<S> {
    /// The mean square of the sound against that of the code: +20 dB buries it.
    pub const fn over_code(sound: S, over: Decibels) -> Self {
        Self { sound, over }
    }

    /// The mean square of the code against that of the sound, both up to half the sample rate.
    ///
    /// The same ratio at twice the sample rate means 3 dB more, because noise has twice the room.
    pub const fn at_snr(sound: S, snr: Decibels) -> Self {
        Self {
            sound,
            over: Decibels(-snr.0),
        }
    }
}

impl<S: Sound> Damage for Added<S> {
    fn apply(&self, take: &mut Take, random: &mut Random) -> Result<(), DamageError> {
        DamageError::check("a level", self.over.0, "-300 to 300 dB", |db| {
            db.abs() <= 300.0
        })?;
        let gain = take.code_power.sqrt() * self.over.amplitude();
        let sound = self
            .sound
            .samples(take.sample_rate, take.samples.len(), random);
        for (sample, sound) in take.samples.iter_mut().zip(sound) {
            *sample = narrowed(f64::from(*sample) + gain * sound);
        }
        Ok(())
    }
}
