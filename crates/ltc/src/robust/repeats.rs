//! How long codewords are if nothing is known of their speed: most of each is as in the one before, so
//! the sound is like itself one codeword later.
//!
//! The bit that corrects may come late in a codeword: up to there, one may be the other way round than
//! the one before. So short parts are compared, whichever way round they are.

use std::ops::Range;

use super::running_sum::RunningSum;
use super::sync_fold::Periods;
use super::whole;

/// So many sums a second are compared: what code has of its power below half of that is enough.
const SUMS_PER_SECOND: f64 = 12_000.0;
/// A part has so many of them: some ten cells.
const PART: usize = 64;
/// From the shortest codewords to the longest, in seconds: from twice the speed to half of it.
const SHORTEST: f64 = 0.5 / 30.0;
const LONGEST: f64 = 2.0 / 24.0;
/// So many of the shortest are as long as one of the longest.
const MOST: u8 = 5;
/// Likeness from which on a sound repeats itself, in standard deviations of that of noise: the highest
/// of all lengths is about 3.5.
const ENOUGH: f32 = 5.0;
/// How often the length is made more exact by twice as many codewords.
const DOUBLINGS: u32 = 4;
/// What it may still be off by.
const WITHIN: f64 = 150e-6;

/// The lengths after which a white sound is most like itself, if it is: that of one codeword, or of some.
pub(super) fn periods(white: &RunningSum, length: usize, hertz: f64) -> Vec<Periods> {
    let sums = Sums::of(white, length, hertz / SUMS_PER_SECOND);
    let lags = whole::index(SHORTEST * SUMS_PER_SECOND)..whole::index(LONGEST * SUMS_PER_SECOND);
    let Some((lag, likeness)) = sums.likest(lags.clone()) else {
        return Vec::new();
    };
    if likeness < ENOUGH {
        return Vec::new();
    }
    let exactly = sums.exactly(lag);
    (1..=MOST)
        .map(|codewords| exactly / f64::from(codewords))
        .take_while(|about| *about >= lags.start as f64)
        .map(|about| Periods {
            about: about * hertz / SUMS_PER_SECOND,
            within: WITHIN,
        })
        .collect()
}

/// A sound in sums of some samples each.
struct Sums {
    values: Vec<f32>,
    /// Their mean square.
    power: f32,
}

impl Sums {
    fn of(white: &RunningSum, length: usize, step: f64) -> Self {
        let borders = (0..=whole::index(length as f64 / step)).map(|n| n as f64 * step - 0.5);
        let values = white.parts(borders);
        let power = values.iter().map(|x| x * x).sum::<f32>() / values.len().max(1) as f32;
        Self { values, power }
    }

    /// How much the parts of the sound are like those so many sums later, in standard deviations of
    /// noise. The square of what two parts of noise have in common has a mean square of 2 beside 1.
    fn likeness(&self, lag: usize) -> f32 {
        let later = self.values.get(lag..).unwrap_or_default();
        let (parts, _) = self.values.as_chunks::<PART>();
        let (later, _) = later.as_chunks::<PART>();
        let squares = parts
            .iter()
            .zip(later)
            .map(|(part, later)| common(part, later).powi(2));
        let noise = PART as f32 * self.power * self.power;
        let count = later.len() as f32;
        (squares.sum::<f32>() / noise.max(f32::MIN_POSITIVE) - count)
            / (2.0 * count).sqrt().max(1.0)
    }

    /// Where the sound is most like itself, and how much.
    fn likest(&self, lags: Range<usize>) -> Option<(usize, f32)> {
        lags.map(|lag| (lag, self.likeness(lag)))
            .max_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// A length of about so many sums, by that of many codewords.
    fn exactly(&self, lag: usize) -> f64 {
        let mut period = self.between(lag);
        for doubling in 1..=DOUBLINGS {
            let codewords = f64::from(1_u32 << doubling);
            let near = whole::index((codewords * period).round());
            // Each time it is known half as well as it has to be.
            match self.likest(near.saturating_sub(2)..near + 3) {
                Some((lag, likeness)) if likeness >= ENOUGH => {
                    period = self.between(lag) / codewords;
                }
                _ => break,
            }
        }
        period
    }

    /// Where the parabola through a highest value and those beside it is highest.
    fn between(&self, lag: usize) -> f64 {
        let beside = [lag.saturating_sub(1), lag, lag + 1];
        let [before, own, after] = beside.map(|lag| f64::from(self.likeness(lag)));
        let late = 0.5 * (before - after) / (before - 2.0 * own + after);
        lag as f64 + if late.abs() <= 1.0 { late } else { 0.0 }
    }
}

/// What two parts have in common: several sums side by side, so that they are added several at a time.
fn common(one: &[f32; PART], other: &[f32; PART]) -> f32 {
    let mut lanes = [0.0; 8];
    let (ones, _) = one.as_chunks::<8>();
    let (others, _) = other.as_chunks::<8>();
    for (one, other) in ones.iter().zip(others) {
        for ((lane, a), b) in lanes.iter_mut().zip(one).zip(other) {
            *lane += a * b;
        }
    }
    lanes.iter().sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PolarityRule;
    use crate::robust::testing::{Random, counting, sound};
    use plumbline_timecode::{Count, Rate};

    const HERTZ: f64 = 48_000.0;

    /// Played so many times as fast, by straight lines between samples.
    fn at_speed(code: &[f32], speed: f64) -> Vec<f32> {
        let length = whole::index(code.len() as f64 / speed) - 1;
        let sample = |n: usize| {
            let at = n as f64 * speed;
            let before = whole::index(at);
            let part = whole::single(at - before as f64);
            (1.0 - part) * code[before] + part * code[before + 1]
        };
        (0..length).map(sample).collect()
    }

    #[test]
    fn codewords_of_any_speed_are_as_long_as_they_are_in_noise() {
        let mut random = Random::new(91);
        for (rate, count, period) in [
            (Rate::F24, Count::F24, 2000.0),
            (Rate::F25, Count::F25, 1920.0),
            (Rate::F30, Count::F30, 1600.0),
        ] {
            let code = sound(rate, 1.0, 5, &counting(count, 200, PolarityRule::Corrected));
            for speed in [0.52, 0.8, 0.96, 0.999, 1.0, 1.001, 1.042, 1.25, 1.95] {
                let mut sound = at_speed(&code, speed);
                sound.truncate(144_000);
                // -8 dB.
                random.add_to(&mut sound, 2.5);
                let white = RunningSum::of(&sound);
                let found = super::periods(&white, sound.len(), HERTZ);
                let offs = found.iter().map(|found| found.about * speed / period - 1.0);
                let off = offs.min_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap();
                assert!(off.abs() < WITHIN, "{rate} {speed}: {off}");
            }
        }
    }

    #[test]
    fn noise_does_not_repeat_itself() {
        let mut random = Random::new(92);
        for _ in 0..40 {
            let noise: Vec<f32> = (0..144_000).map(|_| random.normal()).collect();
            let white = RunningSum::of(&noise);
            assert!(super::periods(&white, noise.len(), HERTZ).is_empty());
        }
    }
}
