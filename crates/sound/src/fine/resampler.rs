//! Samples between samples.
//!
//! A windowed sinc (J. O. Smith, "Digital Audio Resampling", CCRMA, describes the method). Own
//! code rather than a library: what is needed are some seconds from any place and at any step,
//! also one that is a few millionths off, and libraries are made for streams at fixed ratios.

use std::f64::consts::PI;

use super::WORK_RATE;
use crate::recording::{Recording, Side};
use crate::whole;

/// Zeros of the sinc that are used on either side.
const REACH: f64 = 16.0;
/// Places between two samples at which the kernel is worked out: none is further than a thousandth
/// of a sample from what is asked for.
const PHASES: usize = 512;
/// The part of the lower sample rate's band that is kept: above, the kernel's slope begins.
const BAND: f64 = 0.9;

/// Reads one recording at any instants.
#[derive(Debug)]
pub(super) struct Resampler {
    hertz: f64,
    /// Samples on either side that count.
    reach: usize,
    /// A row of weights for each phase.
    rows: Vec<f32>,
}

/// Instants in a recording, by its own clock in seconds.
#[derive(Debug, Clone, Copy)]
pub(super) struct Instants {
    pub(super) first: f64,
    pub(super) step: f64,
    pub(super) count: usize,
}

impl Resampler {
    pub(super) fn new(hertz: f64) -> Self {
        let narrow = BAND * (WORK_RATE / hertz).min(1.0);
        let reach = whole::index((REACH / narrow).ceil());
        let mut rows = Vec::with_capacity(PHASES * 2 * reach);
        for phase in 0..PHASES {
            let phase = phase as f64 / PHASES as f64;
            for tap in 0..2 * reach {
                let at = tap as f64 - (reach as f64 - 1.0) - phase;
                rows.push(whole::single(kernel(at * narrow) * narrow));
            }
        }
        Self { hertz, reach, rows }
    }

    /// The sound at some instants; silence where the recording has none.
    pub(super) fn read<R: Recording>(
        &self,
        side: &mut Side<'_, R>,
        instants: Instants,
    ) -> Result<Vec<f32>, R::Error> {
        let begins = instants.first * self.hertz;
        let step = instants.step * self.hertz;
        let from = whole::nearest(begins.floor()) - whole::signed(self.reach);
        let length = whole::index(step * instants.count as f64) + 2 * self.reach + 2;
        let samples = samples(side, from, length)?;
        let sound = (0..instants.count).map(|n| {
            let place = begins - from as f64 + n as f64 * step;
            let nearest = (place * PHASES as f64).round();
            let whole = whole::index(nearest / PHASES as f64);
            let phase = whole::index(nearest) - whole * PHASES;
            let row = &self.rows[phase * 2 * self.reach..][..2 * self.reach];
            let around = samples.get(whole + 1 - self.reach..).unwrap_or_default();
            around.iter().zip(row).map(|(a, b)| a * b).sum()
        });
        Ok(sound.collect())
    }
}

/// Samples from number `from` on, with silence before the first and after the last.
fn samples<R: Recording>(
    side: &mut Side<'_, R>,
    from: i64,
    length: usize,
) -> Result<Vec<f32>, R::Error> {
    let mut samples = vec![0.0_f32; length];
    let end = i64::try_from(side.print.samples()).unwrap_or(i64::MAX);
    let skip = whole::unsigned(-from).min(length);
    let stop = whole::unsigned(end - from).min(length);
    if let Some(inside) = samples.get_mut(skip..stop)
        && !inside.is_empty()
    {
        let first = u64::try_from(from.max(0)).unwrap_or(0);
        side.recording.read(first, inside)?;
        for sample in inside {
            if !sample.is_finite() {
                *sample = 0.0;
            }
        }
    }
    Ok(samples)
}

/// A sinc under a Blackman window.
fn kernel(at: f64) -> f64 {
    if at.abs() >= REACH {
        return 0.0;
    }
    let sinc = if at == 0.0 {
        1.0
    } else {
        (PI * at).sin() / (PI * at)
    };
    let part = PI * at / REACH;
    sinc * (0.42 + 0.5 * part.cos() + 0.08 * (2.0 * part).cos())
}
