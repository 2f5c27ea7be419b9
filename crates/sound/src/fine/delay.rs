//! The time between two windows of sound: generalized cross-correlation.
//!
//! Both are transformed, one spectrum is multiplied with the other's conjugate, and the size of
//! each product is brought down towards 1, so that what counts is its phase: the time by which one
//! is later than the other stands in the phases alone, and an even spectrum makes a sharp peak
//! (C. H. Knapp and G. C. Carter, "The generalized correlation method for estimation of time
//! delay", IEEE Trans. ASSP 24(4), 1976, the phase transform among their weightings).

use std::sync::Arc;

use realfft::num_complex::Complex32;
use realfft::{ComplexToReal, RealFftPlanner, RealToComplex};

use super::WORK_RATE;
use crate::whole;

/// The power to which the size of a product is left: 0 would give a band of mere noise as much
/// say as one with sound, 1 would give all to the loudest tone.
const SIZE_LEFT: f32 = 0.25;
/// The band that is listened to, in hertz.
const LOWEST: f64 = 120.0;
const HIGHEST: f64 = 7_000.0;
/// What belongs to the peak itself, in seconds either way.
const PEAK: f64 = 2e-3;

/// How two windows of so many samples stand to each other.
pub(super) struct Delays {
    there: Arc<dyn RealToComplex<f32>>,
    back: Arc<dyn ComplexToReal<f32>>,
    window: Vec<f32>,
    /// Samples by which one may be later, either way.
    reach: usize,
}

/// What a window says.
#[derive(Debug, Clone, Copy)]
pub(super) struct Delay {
    /// By how much the first is later, in seconds.
    pub(super) seconds: f64,
    /// The height of the peak in spreads of the correlation beside it; below 0 where one of the two
    /// is upside down.
    pub(super) height: f64,
}

impl std::fmt::Debug for Delays {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Delays")
            .field("samples", &self.window.len())
            .field("reach", &self.reach)
            .finish_non_exhaustive()
    }
}

impl Delays {
    pub(super) fn new(samples: usize, reach: f64) -> Self {
        let mut planner = RealFftPlanner::new();
        let step = std::f64::consts::TAU / samples as f64;
        let hann = |n: usize| 0.5 - 0.5 * (step * (n as f64 + 0.5)).cos();
        Self {
            there: planner.plan_fft_forward(samples),
            back: planner.plan_fft_inverse(samples),
            window: (0..samples).map(|n| whole::single(hann(n))).collect(),
            reach: whole::index(reach * WORK_RATE).min(samples / 2 - 1),
        }
    }

    /// How much later the first has what the second has; nothing where one of them is silent.
    pub(super) fn between(&self, first: &[f32], second: &[f32]) -> Option<Delay> {
        let mut product = self.spectrum(first);
        let other = self.spectrum(second);
        let bin = |hertz: f64| whole::index(hertz * self.window.len() as f64 / WORK_RATE);
        let heard = bin(LOWEST)..bin(HIGHEST);
        for (n, (value, other)) in product.iter_mut().zip(&other).enumerate() {
            *value *= other.conj();
            let size = value.norm();
            *value = if heard.contains(&n) && size > 0.0 {
                *value * (size.powf(SIZE_LEFT) / size)
            } else {
                Complex32::default()
            };
        }
        let mut values = self.back.make_output_vec();
        // The lengths are those that it was planned for.
        let _ = self.back.process(&mut product, &mut values);
        self.peak(&values)
    }

    fn spectrum(&self, samples: &[f32]) -> Vec<Complex32> {
        let windowed = samples.iter().zip(&self.window).map(|(a, b)| a * b);
        let mut windowed: Vec<f32> = windowed.collect();
        windowed.resize(self.window.len(), 0.0);
        let mut spectrum = self.there.make_output_vec();
        let _ = self.there.process(&mut windowed, &mut spectrum);
        spectrum
    }

    /// The highest value, either way up, between samples.
    fn peak(&self, values: &[f32]) -> Option<Delay> {
        let length = whole::signed(values.len());
        let value = |lag: i64| values[whole::unsigned(lag.rem_euclid(length))];
        let reach = whole::signed(self.reach);
        let best = (-reach..=reach).max_by(|a, b| value(*a).abs().total_cmp(&value(*b).abs()))?;
        let peak = whole::nearest(PEAK * WORK_RATE);
        let (mut squares, mut count) = (0.0, 0_u32);
        // Beside the reach too: a narrow one would leave nothing to compare with.
        let beside = (2 * reach).min(length / 2 - 1);
        for lag in -beside..=beside {
            if (lag - best).abs() > peak {
                squares += f64::from(value(lag)).powi(2);
                count += 1;
            }
        }
        let spread = (squares / f64::from(count.max(1))).sqrt();
        let [before, at, after] = [best - 1, best, best + 1].map(|lag| f64::from(value(lag)));
        // The top of the parabola through three values.
        let bend = before - 2.0 * at + after;
        let beside = if bend == 0.0 {
            0.0
        } else {
            ((before - after) / (2.0 * bend)).clamp(-0.5, 0.5)
        };
        (spread > 0.0).then(|| Delay {
            seconds: (best as f64 + beside) / WORK_RATE,
            height: at / spread,
        })
    }
}
