//! Sound made ready to be weighed.

use std::cell::OnceCell;

use super::blanking::{self, Click};
use super::frame_clock::FrameClock;
use super::running_sum::RunningSum;
use super::spectra::{Spectra, Transform, Weights};
use super::whitening;
use super::whole;
use crate::Direction;

/// Sound made ready, so that bit 0 comes first if it runs in the direction.
#[derive(Debug)]
pub(super) struct Sound<'a> {
    pub(super) samples: Vec<f32>,
    /// What was taken out of them.
    pub(super) clicks: Vec<Click>,
    pub(super) spectra: Spectra,
    pub(super) weights: Weights,
    pub(super) white: RunningSum,
    /// The same time on other channels, as it came.
    pub(super) beside: &'a [&'a [f32]],
}

/// A piece whose samples are all within this is silent: half a step of 24 bits.
const SILENCE: f32 = 6e-8;

impl<'a> Sound<'a> {
    /// Of finite samples, unless they are silent or too few to tell anything.
    pub(super) fn prepared(
        transform: &Transform,
        samples: &[f32],
        beside: &'a [&'a [f32]],
    ) -> Option<Self> {
        let mut samples = samples.to_vec();
        let (low, high) = samples
            .iter()
            .fold((f32::MAX, f32::MIN), |(low, high), &x| {
                (low.min(x), high.max(x))
            });
        if samples.len() < 2 * transform.size() || high - low < SILENCE {
            return None;
        }
        let clicks = blanking::blank(&mut samples, transform.hertz());
        Some(Self::of(transform, samples, clicks, beside))
    }

    /// Of finite samples turned so that bit 0 comes first of code that runs in a direction.
    pub(super) fn prepared_towards(
        transform: &Transform,
        samples: &[f32],
        direction: Direction,
    ) -> Option<Sound<'static>> {
        match direction {
            Direction::Forward => Sound::prepared(transform, samples, &[]),
            Direction::Reverse => Sound::prepared(transform, &turned(samples), &[]),
        }
    }

    /// The same backwards.
    pub(super) fn turned(&self, transform: &Transform) -> Self {
        let clicks = self.clicks.clone();
        Self::of(transform, turned(&self.samples), clicks, self.beside)
    }

    /// How loud code is in it, as it came: code of which half cells have those levels.
    pub(super) fn loudness(&self, clock: &FrameClock, levels: &[f32]) -> f32 {
        let integrals = clock.integrals(&RunningSum::of(&self.samples));
        let parts = levels.iter().zip(&integrals);
        let fit: f64 = parts.map(|(a, part)| f64::from(a * part)).sum();
        let certain: f64 = levels.iter().map(|a| f64::from(a * a)).sum();
        whole::single((fit / (certain.max(1.0) * clock.half())).abs())
    }

    fn of(
        transform: &Transform,
        samples: Vec<f32>,
        clicks: Vec<Click>,
        beside: &'a [&'a [f32]],
    ) -> Self {
        let spectra = transform.spectra(&samples);
        let weights = whitening::weights(&spectra);
        let white = whitening::whiten(transform, &spectra, &weights, samples.len());
        Self {
            white: RunningSum::of(&white),
            samples,
            clicks,
            spectra,
            weights,
            beside,
        }
    }
}

/// A sound, and the same turned round once that is asked for.
#[derive(Debug)]
pub(super) struct EitherWay<'a> {
    pub(super) as_it_runs: &'a Sound<'a>,
    turned: OnceCell<Sound<'a>>,
}

impl<'a> EitherWay<'a> {
    pub(super) fn new(as_it_runs: &'a Sound<'a>) -> Self {
        Self {
            as_it_runs,
            turned: OnceCell::new(),
        }
    }

    /// The one in which bit 0 comes first of code that runs in a direction.
    pub(super) fn towards(&self, transform: &Transform, direction: Direction) -> &Sound<'a> {
        match direction {
            Direction::Forward => self.as_it_runs,
            Direction::Reverse => self
                .turned
                .get_or_init(|| self.as_it_runs.turned(transform)),
        }
    }
}

/// Samples backwards.
fn turned(samples: &[f32]) -> Vec<f32> {
    samples.iter().rev().copied().collect()
}
