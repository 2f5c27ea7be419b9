//! Clipping.

use crate::convert::narrowed;
use crate::{Damage, DamageError, Decibels, Random, Take};

/// What a preamplifier that is driven too far does: nothing goes beyond a limit on either side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clip {
    /// The square of the limit over the mean square of the code: below 0 dB, code is cut to a
    /// fraction of its height.
    pub limit: Decibels,
}

impl Damage for Clip {
    fn apply(&self, take: &mut Take, _: &mut Random) -> Result<(), DamageError> {
        DamageError::check("a limit", self.limit.0, "-300 to 300 dB", |db| {
            db.abs() <= 300.0
        })?;
        let limit = narrowed(take.code_power.sqrt() * self.limit.amplitude());
        take.samples
            .iter_mut()
            .for_each(|sample| *sample = sample.clamp(-limit, limit));
        Ok(())
    }
}
