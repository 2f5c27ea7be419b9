//! A gain that does not stay.

use std::f64::consts::TAU;

use crate::convert::narrowed;
use crate::{Damage, DamageError, Decibels, Random, Take};

/// A gain that swings up and down in decibels like a sine: somebody at the fader, or an automatic
/// level control that pumps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GainRiding {
    /// How far it goes either way.
    pub swing: Decibels,
    /// How often a second it goes there and back.
    pub hertz: f64,
}

impl Damage for GainRiding {
    fn apply(&self, take: &mut Take, random: &mut Random) -> Result<(), DamageError> {
        let expected = "at least 0 and finite";
        let hertz = DamageError::check("a swing's frequency", self.hertz, expected, |hertz| {
            hertz >= 0.0
        })?;
        DamageError::check("a swing", self.swing.0, "-100 to 100 dB", |db| {
            db.abs() <= 100.0
        })?;
        let step = TAU * hertz / take.sample_rate.as_f64();
        let phase = random.between(0.0, TAU);
        for (sample, n) in take.samples.iter_mut().zip(0_u32..) {
            let gain = Decibels(self.swing.0 * (step * f64::from(n) + phase).sin());
            *sample = narrowed(f64::from(*sample) * gain.amplitude());
        }
        Ok(())
    }
}
