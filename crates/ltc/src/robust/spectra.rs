//! Short-time spectra and back.
//!
//! Frames overlap by half, under a sine window both on the way there and on the way back: the
//! squares of the two windows over a sample add up to one, so that spectra that are left as they
//! are give the sound again.

use std::ops::Range;
use std::sync::Arc;

use realfft::num_complex::Complex32;
use realfft::{ComplexToReal, RealFftPlanner, RealToComplex};

use super::whole;

/// How long a frame is, in seconds: shorter than speech stands still, since it begins and ends in a moment.
const FRAME_SECONDS: f64 = 10.7e-3;

/// The transform for one sample rate.
#[derive(Clone)]
pub(super) struct Transform {
    /// Samples in a second.
    hertz: f64,
    there: Arc<dyn RealToComplex<f32>>,
    back: Arc<dyn ComplexToReal<f32>>,
    window: Vec<f32>,
}

/// The spectra of a sound, one after the other.
#[derive(Debug, Clone)]
pub(super) struct Spectra {
    pub(super) values: Vec<Complex32>,
    /// How many values each has.
    pub(super) bins: usize,
}

/// Something real for each value of some spectra.
#[derive(Debug, Clone)]
pub(super) struct Weights {
    pub(super) values: Vec<f32>,
    pub(super) bins: usize,
}

impl std::fmt::Debug for Transform {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Transform")
            .field("size", &self.size())
            .finish_non_exhaustive()
    }
}

impl Transform {
    /// For sound with so many samples a second.
    pub(super) fn new(hertz: f64) -> Self {
        let size = (FRAME_SECONDS * hertz).log2().round().exp2();
        let size = whole::index(size).max(16);
        let mut planner = RealFftPlanner::new();
        let step = std::f64::consts::PI / size as f64;
        Self {
            hertz,
            there: planner.plan_fft_forward(size),
            back: planner.plan_fft_inverse(size),
            window: (0..size)
                .map(|n| whole::single((step * (n as f64 + 0.5)).sin()))
                .collect(),
        }
    }

    /// Samples in a second.
    pub(super) fn hertz(&self) -> f64 {
        self.hertz
    }

    /// Samples in a frame.
    pub(super) fn size(&self) -> usize {
        self.window.len()
    }

    /// Samples from one frame to the next.
    pub(super) fn hop(&self) -> usize {
        self.size() / 2
    }

    /// Values in a spectrum: from nought to half the sample rate.
    pub(super) fn bins(&self) -> usize {
        self.size() / 2 + 1
    }

    /// The spectra of samples. The first frame begins a hop before them, the last ends after them.
    pub(super) fn spectra(&self, samples: &[f32]) -> Spectra {
        let (size, hop, bins) = (self.size(), self.hop(), self.bins());
        let frames = samples.len().div_ceil(hop) + 1;
        let mut values = vec![Complex32::default(); frames * bins];
        let mut frame = vec![0.0; size];
        let mut scratch = self.there.make_scratch_vec();
        for (number, spectrum) in values.chunks_exact_mut(bins).enumerate() {
            let (part, of_samples) = self.overlap(number, samples.len());
            frame.fill(0.0);
            let values = frame[part.clone()].iter_mut();
            let windowed = samples[of_samples].iter().zip(&self.window[part]);
            for (value, (sample, window)) in values.zip(windowed) {
                *value = sample * window;
            }
            // The lengths are those that it was planned for.
            let _ = self
                .there
                .process_with_scratch(&mut frame, spectrum, &mut scratch);
        }
        Spectra { values, bins }
    }

    /// Which part of a frame lies on samples, and on which of so many.
    fn overlap(&self, number: usize, samples: usize) -> (Range<usize>, Range<usize>) {
        let (size, hop) = (self.size(), self.hop());
        let begins = number * hop;
        let from = hop.saturating_sub(begins).min(size);
        let first = (begins + from - hop).min(samples);
        let last = (begins + size - hop).min(samples);
        (from..from + last - first, first..last)
    }

    /// The sound of spectra: so many samples of it.
    pub(super) fn sound(&self, spectra: &Spectra, length: usize) -> Vec<f32> {
        let size = self.size();
        let scale = 1.0 / size as f32;
        let mut samples = vec![0.0; length];
        let mut frame = vec![0.0; size];
        let mut spectrum = vec![Complex32::default(); spectra.bins];
        let mut scratch = self.back.make_scratch_vec();
        for (number, values) in spectra.values.chunks_exact(spectra.bins).enumerate() {
            spectrum.copy_from_slice(values);
            spectrum[0].im = 0.0;
            spectrum[size / 2].im = 0.0;
            let _ = self
                .back
                .process_with_scratch(&mut spectrum, &mut frame, &mut scratch);
            let (part, of_samples) = self.overlap(number, length);
            let windowed = frame[part.clone()].iter().zip(&self.window[part]);
            for (sample, (value, window)) in samples[of_samples].iter_mut().zip(windowed) {
                *sample += scale * value * window;
            }
        }
        samples
    }

    /// The sum of the squares of the samples that spectra stand for, if they fit together.
    pub(super) fn energy(&self, spectra: &Spectra) -> f64 {
        let frames = spectra.values.chunks_exact(spectra.bins);
        let energy = |frame: &[Complex32]| {
            let all: f32 = frame.iter().map(Complex32::norm_sqr).sum();
            // All bins but the first and the last stand for two.
            let ends = frame[0].norm_sqr() + frame[spectra.bins - 1].norm_sqr();
            f64::from(2.0 * all - ends)
        };
        frames.map(energy).sum::<f64>() / self.size() as f64
    }

    /// A real spectrum as taps, the one at nought first and those before it last; and the way
    /// back. So that a filter can be cut in time.
    pub(super) fn taps(&self, spectrum: &[Complex32]) -> Vec<f32> {
        let mut spectrum = spectrum.to_vec();
        spectrum[0].im = 0.0;
        spectrum[self.size() / 2].im = 0.0;
        let mut taps = vec![0.0; self.size()];
        let _ = self.back.process(&mut spectrum, &mut taps);
        let scale = 1.0 / self.size() as f32;
        for tap in &mut taps {
            *tap *= scale;
        }
        taps
    }

    /// The spectrum of such taps.
    pub(super) fn of_taps(&self, taps: &[f32]) -> Vec<Complex32> {
        let mut taps = taps.to_vec();
        let mut spectrum = vec![Complex32::default(); self.bins()];
        let _ = self.there.process(&mut taps, &mut spectrum);
        spectrum
    }
}

impl Spectra {
    /// The power of each value.
    pub(super) fn power(&self) -> Weights {
        Weights {
            values: self.values.iter().map(Complex32::norm_sqr).collect(),
            bins: self.bins,
        }
    }

    /// Each value times a weight.
    pub(super) fn weighted(&self, weights: &Weights) -> Self {
        let values = self.values.iter().zip(&weights.values);
        Self {
            values: values.map(|(value, weight)| value * weight).collect(),
            bins: self.bins,
        }
    }
}

impl Weights {
    /// The mean over so many frames and bins around each, both odd; at the borders, of those there
    /// are.
    pub(super) fn smooth(&self, frames: usize, bins: usize) -> Self {
        let mut rows = Vec::with_capacity(self.values.len());
        for row in self.values.chunks_exact(self.bins) {
            average(row, bins / 2, &mut rows);
        }
        let count = rows.len() / self.bins;
        let mut values = Vec::with_capacity(rows.len());
        for frame in 0..count {
            let range = frame.saturating_sub(frames / 2)..(frame + frames / 2 + 1).min(count);
            let scale = 1.0 / range.len() as f32;
            let begins = values.len();
            values.resize(begins + self.bins, 0.0);
            let row = &mut values[begins..];
            for other in range {
                let other = &rows[other * self.bins..(other + 1) * self.bins];
                row.iter_mut()
                    .zip(other)
                    .for_each(|(sum, value)| *sum += value);
            }
            for value in row {
                *value *= scale;
            }
        }
        Self {
            values,
            bins: self.bins,
        }
    }

    /// Each value made another.
    pub(super) fn map(mut self, change: impl Fn(f32) -> f32) -> Self {
        self.values
            .iter_mut()
            .for_each(|value| *value = change(*value));
        self
    }
}

/// The mean of each value and those up to `beside` on both sides.
fn average(row: &[f32], beside: usize, means: &mut Vec<f32>) {
    let (begins, count) = (means.len(), row.len());
    means.extend_from_slice(row);
    let sums = &mut means[begins..];
    // One neighbour of all values after the other: that goes many at a time.
    for apart in 1..=beside.min(count - 1) {
        let (early, late) = (&row[..count - apart], &row[apart..]);
        let add = |(sum, value): (&mut f32, &f32)| *sum += value;
        sums[apart..].iter_mut().zip(early).for_each(add);
        sums.iter_mut().zip(late).for_each(add);
    }
    for (at, sum) in sums.iter_mut().enumerate() {
        let around = at.saturating_sub(beside)..(at + beside + 1).min(count);
        *sum /= around.len() as f32;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::robust::testing::Random;

    #[test]
    fn spectra_left_as_they_are_give_the_sound_again() {
        for (hertz, size) in [
            (48_000.0, 512),
            (44_100.0, 512),
            (8_000.0, 64),
            (192_000.0, 2048),
        ] {
            let transform = Transform::new(hertz);
            assert_eq!(transform.size(), size);
            let mut random = Random::new(1);
            let samples: Vec<f32> = (0..10_000).map(|_| random.normal()).collect();
            let again = transform.sound(&transform.spectra(&samples), samples.len());
            assert_eq!(again.len(), samples.len());
            let worst = samples
                .iter()
                .zip(&again)
                .map(|(a, b)| (a - b).abs())
                .fold(0.0, f32::max);
            // Ten roundings of 2⁻²⁴ of values up to 4.
            assert!(worst < 5e-6, "{hertz} Hz: {worst}");
        }
    }
}
