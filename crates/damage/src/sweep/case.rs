//! What is measured: a source, damage, and what can be known of the outcome beforehand.

use crate::chart::Scale;
use crate::{Damage, DamageError, Decibels, Seed, Source, Take};

/// One kind of damage, done by more and more.
#[derive(Debug)]
pub(crate) struct Sweep {
    /// The name of its picture, without an ending.
    pub(crate) stem: &'static str,
    /// What it is.
    pub(crate) title: &'static str,
    /// What a reader of the table needs to know.
    pub(crate) note: &'static str,
    /// What its settings are called, with their unit.
    pub(crate) setting: &'static str,
    /// How settings lie along an axis; none where they have no order.
    pub(crate) scale: Option<Scale>,
    /// Its settings.
    pub(crate) cases: Vec<Case>,
}

/// One setting.
#[derive(Debug)]
pub(crate) struct Case {
    /// The setting in words.
    pub(crate) label: String,
    /// The setting as a number, for the axis.
    pub(crate) x: f64,
    pub(crate) source: Source,
    /// How many codewords a take has.
    pub(crate) words: u32,
    pub(crate) damages: Vec<Box<dyn Damage>>,
    /// Where the limit of single codewords is known: the ratio of code to white noise.
    pub(crate) snr: Option<Decibels>,
}

impl Case {
    pub(crate) fn new(label: String, x: f64, source: Source) -> Self {
        Self {
            label,
            x,
            source,
            words: 250,
            damages: Vec::new(),
            snr: None,
        }
    }

    pub(crate) fn with(mut self, damage: impl Damage + 'static) -> Self {
        self.damages.push(Box::new(damage));
        self
    }

    /// The take that a seed gives, with codewords in proportion to `part`.
    pub(crate) fn take(&self, seed: Seed, part: f64) -> Result<Take, DamageError> {
        let damages: Vec<&dyn Damage> = self.damages.iter().map(AsRef::as_ref).collect();
        let words = (f64::from(self.words) * part).round().max(10.0);
        let words = u32::try_from(crate::convert::whole(words)).unwrap_or(self.words);
        self.source.take(words, seed)?.damaged(seed, &damages)
    }
}
