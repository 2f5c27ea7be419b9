//! Hum: lines at the multiples of the mains frequency.
//!
//! The frames of short-time spectra are too short to tell 50 Hz from 60. What is left of a piece is
//! thinned out to a low sample rate and looked at in frames of 0.4 s, one bin of which is 2.5 Hz.

use realfft::RealFftPlanner;
use realfft::num_complex::Complex32;

use super::spectra::{Spectra, Transform};
use super::whole;
use crate::Mains;

/// How many samples a second are left, about.
const THINNED: f64 = 4_800.0;
/// How long a frame is.
const FRAME_SECONDS: f64 = 0.4;
/// How far from a multiple a line may stand, in bins: the mains is off by 0.2 Hz now and then, its
/// harmonics by as many times more, and the window makes a line wide.
const BESIDE: usize = 2;
/// How high the lines are looked for, in hertz.
const HIGHEST: f64 = 1_500.0;
/// Where less than this part of a sound lies below that, it is no hum.
const LOW: f64 = 0.5;

/// Hum of one mains frequency.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hum {
    pub(super) mains: Mains,
    /// Its mean square.
    pub(super) power: f64,
}

/// The louder hum of the two, if there may be any.
pub(super) fn loudest(transform: &Transform, left: &Spectra, length: usize) -> Option<Hum> {
    let hertz = transform.hertz();
    if low_part(left, hertz, transform.size()) < LOW {
        return None;
    }
    let every = whole::index(hertz / THINNED).max(1);
    let thinned = thinned(&transform.sound(left, length), every);
    let spectrum = spectrum(&thinned, hertz / every as f64)?;
    let hum = |mains: Mains| Hum {
        mains,
        power: lines(&spectrum, mains.hertz()),
    };
    [hum(Mains::Hertz50), hum(Mains::Hertz60)]
        .into_iter()
        .max_by(|a, b| a.power.total_cmp(&b.power))
}

/// The part of a sound's power that lies below [`HIGHEST`].
fn low_part(left: &Spectra, hertz: f64, size: usize) -> f64 {
    let bins = whole::index(HIGHEST * size as f64 / hertz).min(left.bins);
    let (mut low, mut all) = (0.0_f64, 0.0_f64);
    for frame in left.values.chunks_exact(left.bins) {
        let power = |values: &[Complex32]| values.iter().map(Complex32::norm_sqr).sum::<f32>();
        low += f64::from(power(&frame[..bins]));
        all += f64::from(power(frame));
    }
    low / all.max(f64::MIN_POSITIVE)
}

/// The mean of every so many samples.
fn thinned(samples: &[f32], every: usize) -> Vec<f32> {
    let scale = 1.0 / every as f32;
    let means = samples.chunks_exact(every);
    means.map(|some| scale * some.iter().sum::<f32>()).collect()
}

/// The mean square in each bin, averaged over frames.
struct Spectrum {
    values: Vec<f64>,
    /// Bins in a hertz.
    bins: f64,
}

fn spectrum(samples: &[f32], hertz: f64) -> Option<Spectrum> {
    let size = whole::index((FRAME_SECONDS * hertz / 2.0).round()).max(8) * 2;
    let there = RealFftPlanner::new().plan_fft_forward(size);
    let step = std::f64::consts::TAU / size as f64;
    let window: Vec<f32> = (0..size)
        .map(|n| whole::single(0.5 - 0.5 * (step * (n as f64 + 0.5)).cos()))
        .collect();
    let mut values = vec![0.0; size / 2 + 1];
    let mut spectrum = vec![Complex32::default(); size / 2 + 1];
    let mut frames = 0_u32;
    for some in samples.windows(size).step_by(size / 2) {
        let mut frame: Vec<f32> = some.iter().zip(&window).map(|(a, b)| a * b).collect();
        // The lengths are those that it was planned for.
        let _ = there.process(&mut frame, &mut spectrum);
        for (sum, value) in values.iter_mut().zip(&spectrum) {
            *sum += f64::from(value.norm_sqr());
        }
        frames += 1;
    }
    // Half of each bin stands beyond half the sample rate; the window has a mean square of 3/8.
    let scale = 2.0 / (0.375 * (size * size) as f64 * f64::from(frames));
    for value in &mut values {
        *value *= scale;
    }
    (frames > 0).then_some(Spectrum {
        values,
        bins: size as f64 / hertz,
    })
}

/// The mean square of lines at multiples of a frequency, over what stands between them.
fn lines(spectrum: &Spectrum, mains: f64) -> f64 {
    let between = whole::index(mains * spectrum.bins) / 2;
    let last = whole::index(HIGHEST / mains);
    let line = |number: usize| {
        let middle = whole::index((number as f64 * mains * spectrum.bins).round());
        let around = spectrum.values.get(middle - between..=middle + between)?;
        let all: f64 = around.iter().sum();
        let line: f64 = around[between - BESIDE..=between + BESIDE].iter().sum();
        let (wide, beside) = (2 * BESIDE + 1, 2 * (between - BESIDE));
        Some((line - (all - line) * wide as f64 / beside as f64).max(0.0))
    };
    (1..=last).filter_map(line).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::robust::testing::Random;

    /// Three seconds of four harmonics, 0.1 Hz off, in noise of half their power.
    #[test]
    fn hum_is_told_by_its_mains_and_its_level() {
        let transform = Transform::new(48_000.0);
        for (mains, seed) in [(Mains::Hertz50, 71), (Mains::Hertz60, 72)] {
            let step = std::f64::consts::TAU * (mains.hertz() + 0.1) / 48_000.0;
            let hum = |n: u32| -> f64 {
                let harmonics = [1.0, 2.0, 3.0, 7.0];
                harmonics
                    .map(|k| (k * step * f64::from(n)).sin())
                    .iter()
                    .sum()
            };
            let mut sound: Vec<f32> = (0..144_000).map(|n| whole::single(hum(n))).collect();
            let mut held = 0.0;
            let mut random = Random::new(seed);
            for sample in &mut sound {
                // Low-pass at about 1 kHz: noise is where hum is.
                held += 0.12 * (random.normal() - held);
                *sample += 4.0 * held;
            }
            let spectra = transform.spectra(&sound);
            let hum = loudest(&transform, &spectra, sound.len()).unwrap();
            assert_eq!(hum.mains, mains);
            // Four sines have a mean square of two.
            assert!((hum.power - 2.0).abs() < 0.1, "{}", hum.power);
        }
    }

    #[test]
    fn noise_without_hum_has_little_of_it() {
        let transform = Transform::new(48_000.0);
        let mut held = 0.0;
        let mut random = Random::new(73);
        let sound: Vec<f32> = (0..144_000)
            .map(|_| {
                held += 0.05 * (random.normal() - held);
                held
            })
            .collect();
        let power = sound.iter().map(|x| f64::from(x * x)).sum::<f64>() / sound.len() as f64;
        let spectra = transform.spectra(&sound);
        let hum = loudest(&transform, &spectra, sound.len()).unwrap();
        assert!(hum.power < 0.1 * power, "{} of {power}", hum.power);
    }
}
