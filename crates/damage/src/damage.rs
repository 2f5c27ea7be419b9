//! What all damage has in common.

use std::fmt::Debug;

use crate::{DamageError, Random, Seed, Take};

/// Something that happens to a take.
pub trait Damage: Debug + Sync {
    /// Does it, and keeps the truth true.
    fn apply(&self, take: &mut Take, random: &mut Random) -> Result<(), DamageError>;
}

impl Take {
    /// Does one damage after the other. Each draws from its own stream of the seed, by its place
    /// in the row.
    pub fn damaged(mut self, seed: Seed, damages: &[&dyn Damage]) -> Result<Self, DamageError> {
        for (place, damage) in (1..).zip(damages) {
            damage.apply(&mut self, &mut seed.random(place))?;
        }
        Ok(self)
    }
}
