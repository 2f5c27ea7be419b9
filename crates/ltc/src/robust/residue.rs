//! What lies over the code, told by what is left of the sound when the code is taken out.

use super::hum;
use super::model::Model;
use super::sound::Sound;
use super::spectra::{Spectra, Transform, Weights};
use super::whole;
use crate::{Cause, Disturbance};

/// The mean square of code over the square of its mean level in half cells: its corners are round.
const ROUND: f64 = 1.06;
/// No code is believed to have less power.
const SILENCE: f64 = 1e-14;
/// What is left is believed to be at least this part of the code.
const LEAST: f64 = 1e-4;
/// A click is at least so much higher than what else is left, in root mean squares of that.
const HIGHER: f32 = 6.0;
/// The part of what is left that clicks must have to be the cause: longer ones stay in it.
const CLICKING: f64 = 0.5;
/// The part of what is left that lies at multiples of the mains frequency, from which on it is hum.
const HUMMING: f64 = 0.6;
/// A sound is another than noise and hum if it swells and fades: if the variance of its level over
/// the square of the mean is more than this, in bands so wide, in hertz, and parts so long, in
/// seconds. Of noise of any colour it is one over the number of values in those.
const RESTLESS: f64 = 0.25;
const BAND: f64 = 375.0;
const PART_SECONDS: f64 = 85e-3;

/// A piece of sound, and the code in it.
pub(super) struct Heard<'a> {
    pub(super) transform: &'a Transform,
    pub(super) sound: &'a Sound<'a>,
    pub(super) model: &'a Model,
    /// The levels of half cells that the model was made of.
    pub(super) levels: &'a [f32],
    /// How loud the code is, full scale being 1.
    pub(super) level: f32,
}

/// What lies over the code of a piece.
pub(super) fn disturbance(heard: &Heard<'_>) -> Disturbance {
    let left = heard.model.left(&heard.sound.spectra);
    let length = heard.sound.samples.len();
    let offset = mean(&heard.sound.samples).powi(2);
    let power = |spectra| heard.transform.energy(spectra) / length.max(1) as f64 - offset;
    let code = (ROUND * f64::from(heard.level).powi(2)).max(SILENCE);
    let certain = heard.levels.iter().map(|a| f64::from(a * a)).sum::<f64>();
    let certain = certain / heard.levels.len().max(1) as f64;
    // Levels that are not certain leave a part of the code in what is left; a channel that was not
    // understood, more. What is not code is never more than all without the code.
    let noise = (power(&left) - (1.0 - certain) * code).min(power(&heard.sound.spectra) - code);
    let noise = noise.max(LEAST * code);
    let clicks = Clicks::of(heard, code, noise);
    let unrest = unrest(&left, heard.transform);
    let (cause, power) = if clicks.power > CLICKING * noise {
        let per_second = clicks.per_second;
        (Cause::Clicks { per_second }, clicks.power)
    } else if unrest > RESTLESS {
        (Cause::Sound, noise)
    } else {
        let hum = hum::loudest(heard.transform, &left, length);
        match hum.filter(|hum| hum.power > HUMMING * noise) {
            Some(hum) => (Cause::Hum(hum.mains), hum.power),
            None => (Cause::Noise, noise),
        }
    };
    Disturbance {
        cause,
        over_code: decibels(power, code),
    }
}

fn mean(samples: &[f32]) -> f64 {
    let sum: f64 = samples.iter().copied().map(f64::from).sum();
    sum / samples.len().max(1) as f64
}

fn decibels(power: f64, reference: f64) -> f32 {
    whole::single(10.0 * (power.max(f64::MIN_POSITIVE) / reference).log10())
}

/// What was taken out before.
struct Clicks {
    /// Their mean square over the whole piece.
    power: f64,
    per_second: f32,
}

impl Clicks {
    /// Those that are no chance peaks of noise, and no corners of the code.
    fn of(heard: &Heard<'_>, code: f64, noise: f64) -> Self {
        let least = whole::single(code.sqrt()) + HIGHER * whole::single(noise.sqrt());
        let high = heard
            .sound
            .clicks
            .iter()
            .filter(|click| click.height > least);
        let (count, energy) = high.fold((0_u32, 0.0), |(count, energy), click| {
            (count + 1, energy + f64::from(click.energy))
        });
        let length = heard.sound.samples.len().max(1) as f64;
        Self {
            power: energy / length,
            per_second: whole::single(f64::from(count) * heard.transform.hertz() / length),
        }
    }
}

/// How much a sound swells and fades: the variance of its level in a band over the square of the
/// mean, in the mean over all bands, the loud ones counting more.
fn unrest(left: &Spectra, transform: &Transform) -> f64 {
    let hertz = transform.hertz();
    let wide = whole::index((BAND * transform.size() as f64 / hertz).round()).max(4);
    let long = whole::index((PART_SECONDS * hertz / transform.hop() as f64).round()).max(1);
    let Weights { values, bins } = left.power();
    let (mut sums, mut squares) = (vec![0.0_f64; bins / wide], vec![0.0_f64; bins / wide]);
    let parts = values.chunks_exact(long * bins);
    let count = parts.len() as f64;
    for part in parts {
        for (band, (sum, square)) in sums.iter_mut().zip(&mut squares).enumerate() {
            let rows = part.chunks_exact(bins);
            let level: f32 = rows
                .flat_map(|row| &row[band * wide..(band + 1) * wide])
                .sum();
            *sum += f64::from(level);
            *square += f64::from(level).powi(2);
        }
    }
    let all = sums.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    let bands = sums.iter().zip(&squares).filter(|(sum, _)| **sum > 0.0);
    bands
        .map(|(sum, square)| (square * count / sum - sum) / all)
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PolarityRule;
    use crate::robust::piece::Pieces;
    use crate::robust::testing::{Random, counting, sound};
    use plumbline_timecode::{Count, Rate};

    fn over(sound: &[f32]) -> Disturbance {
        let heard = Pieces::new(48_000.0).read(sound, &[], None).words;
        assert!(heard.len() > 50, "{} codewords", heard.len());
        heard[0].over
    }

    fn code() -> Vec<f32> {
        let codewords = counting(Count::F25, 70, PolarityRule::Corrected);
        sound(Rate::F25, 0.1, 5, &codewords)
    }

    /// The mean square of code is a little less than that of its level.
    #[test]
    fn the_level_of_noise_is_that_against_the_code() {
        let clean = code();
        let power = clean.iter().map(|x| f64::from(x * x)).sum::<f64>() / clean.len() as f64;
        for decibels in [-8.0_f32, -4.0, 0.0, 3.0] {
            for offset in [0.0, 0.5] {
                let mut sound: Vec<f32> = clean.iter().map(|x| x + offset).collect();
                let rms = whole::single(power.sqrt()) * 10_f32.powf(decibels / 20.0);
                Random::new(61).add_to(&mut sound, rms);
                let over = over(&sound);
                assert_eq!(over.cause, Cause::Noise);
                let error = over.over_code - decibels;
                assert!(error.abs() < 0.5, "{decibels} dB: {over:?}");
            }
        }
    }

    /// Noise of the same level in the mean, once as it is and once in bursts of a fifth of a second.
    #[test]
    fn noise_that_swells_and_fades_is_another_sound() {
        let mut sound = code();
        let mut random = Random::new(62);
        for (n, sample) in sound.iter_mut().enumerate() {
            let burst = if n / 9_600 % 2 == 0 { 1.4 } else { 0.1 };
            *sample += 0.1 * burst * random.normal();
        }
        assert_eq!(over(&sound).cause, Cause::Sound);
    }

    /// One in three hundred samples, by chance: 160 clicks a second.
    #[test]
    fn clicks_are_counted() {
        let mut sound = code();
        let mut random = Random::new(63);
        random.add_to(&mut sound, 0.01);
        let mut clicks = 0.0;
        for sample in &mut sound {
            if random.uniform() < 1.0 / 300.0 {
                *sample = 0.8;
                clicks += 1.0;
            }
        }
        let wanted = clicks * 48_000.0 / sound.len() as f32;
        let Cause::Clicks { per_second } = over(&sound).cause else {
            panic!("{:?}", over(&sound));
        };
        // Two that touch are one, and in a few parts there are too many to be unusual.
        assert!(
            (per_second / wanted - 1.0).abs() < 0.05,
            "{per_second} of {wanted}"
        );
    }
}
