//! How long codewords are if nothing is known of their speed: most of each is as in the one before, so
//! the sound is like itself one codeword later.
//!
//! The bit that corrects may come late in a codeword: up to there, one may be the other way round than
//! the one before. So short parts are compared, whichever way round they are.

use std::ops::Range;

use super::parabola::highest;
use super::running_sum::RunningSum;
use super::whole;

/// So many sums a second are compared: what code has of its power below half of that is enough.
const SUMS_PER_SECOND: f64 = 12_000.0;
/// A part has so many of them: some ten cells.
const PART: usize = 64;
/// They are added up in so many rows: their sum is the more exact.
const LANES: usize = 8;
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

/// So long a sound may repeat itself before its speed has changed too much, in parts: half a second...
const WHILE: usize = 94;
/// ...and this likeness is enough of that, where there are more lengths and whiles to choose from.
const ENOUGH_FOR_A_WHILE: f32 = 7.0;

/// How a sound repeats itself.
pub(super) struct Repeats {
    /// How many samples there are for each sum.
    step: f64,
    sums: Sums,
    /// For each while, how much the parts in it are like those so much later, by the lags.
    whiles: Vec<Vec<Likeness>>,
}

const LAGS: Range<usize> = whole_sums(SHORTEST)..whole_sums(LONGEST);
/// So many of them are looked at side by side.
const BESIDE: usize = 16;

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "some hundreds"
)]
const fn whole_sums(seconds: f64) -> usize {
    (seconds * SUMS_PER_SECOND) as usize
}

impl Repeats {
    /// Of a white sound.
    pub(super) fn of(white: &RunningSum, hertz: f64) -> Self {
        let step = hertz / SUMS_PER_SECOND;
        let sums = Sums::of(white, step);
        let parts = sums.values.len() / PART;
        let whiles = (0..parts).step_by(WHILE).map(|from| {
            let parts = from..(from + WHILE).min(parts);
            let lags = LAGS.step_by(BESIDE);
            let likeness = lags.flat_map(|lag| sums.likeness::<BESIDE>(&parts, lag));
            likeness.take(LAGS.len()).collect()
        });
        Self {
            whiles: whiles.collect(),
            step,
            sums,
        }
    }

    /// The lengths after which all of it is most like itself, if it is, in samples: that of one codeword,
    /// or of some.
    pub(super) fn all_along(&self) -> Vec<f64> {
        let all = |number: usize| {
            let whiles = self.whiles.iter().map(|lags| lags[number]);
            whiles.fold(Likeness::default(), Likeness::and)
        };
        let all: Vec<Likeness> = (0..LAGS.len()).map(all).collect();
        let likest = likest(&all, ENOUGH);
        self.of_codewords(likest.map(|(lag, _)| self.sums.exactly(lag)))
    }

    /// The same for a while.
    pub(super) fn for_a_while(&self) -> Vec<f64> {
        let whiles = self.whiles.iter();
        let likest = whiles.filter_map(|lags| likest(lags, ENOUGH_FOR_A_WHILE));
        let likest = likest.max_by(|a, b| a.1.total_cmp(&b.1));
        self.of_codewords(likest.map(|(lag, _)| lag))
    }

    /// How long codewords are, in samples, if some of them are as long as so many sums.
    fn of_codewords(&self, sums: Option<f64>) -> Vec<f64> {
        let of_some = sums.into_iter().flat_map(|sums| {
            let codewords = 1..=MOST;
            codewords.map(move |codewords| sums / f64::from(codewords))
        });
        let long_enough = of_some.filter(|about| *about >= LAGS.start as f64);
        long_enough.map(|about| about * self.step).collect()
    }
}

/// How much parts of a sound are like others.
#[derive(Debug, Clone, Copy, Default)]
struct Likeness {
    /// The squares of what they have in common, against what noise has.
    squares: f32,
    /// How many they are.
    parts: f32,
}

impl Likeness {
    fn and(self, other: Self) -> Self {
        Self {
            squares: self.squares + other.squares,
            parts: self.parts + other.parts,
        }
    }

    /// In standard deviations of noise. The square of what two parts of noise have in common has a mean
    /// square of 2 beside 1.
    fn deviations(self) -> f32 {
        (self.squares - self.parts) / (2.0 * self.parts).sqrt().max(1.0)
    }
}

/// After how many sums, between whole ones, a sound is most like itself, and how much, if that is enough.
fn likest(lags: &[Likeness], enough: f32) -> Option<(f64, f32)> {
    let likeness = lags
        .iter()
        .map(|likeness| likeness.deviations())
        .enumerate();
    let (number, most) = likeness.max_by(|a, b| a.1.total_cmp(&b.1))?;
    let beside = |number: usize| {
        lags.get(number)
            .map_or(most, |likeness| likeness.deviations())
    };
    let (before, after) = (beside(number.wrapping_sub(1)), beside(number + 1));
    let lag = (LAGS.start + number) as f64 + highest([before, most, after]);
    (most >= enough).then_some((lag, most))
}

/// A sound in sums of some samples each.
struct Sums {
    values: Vec<f32>,
    /// Their mean square.
    power: f32,
}

impl Sums {
    fn of(white: &RunningSum, step: f64) -> Self {
        let borders =
            (0..=whole::index(white.samples() as f64 / step)).map(|n| n as f64 * step - 0.5);
        let values = white.parts(borders);
        let power = values.iter().map(|x| x * x).sum::<f32>() / values.len().max(1) as f32;
        Self { values, power }
    }

    /// How much some parts of the sound are like those so many sums later, and after up to N - 1 sums more.
    fn likeness<const N: usize>(&self, parts: &Range<usize>, lag: usize) -> [Likeness; N] {
        let mut likeness = [Likeness::default(); N];
        let (all, _) = self.values.as_chunks::<PART>();
        for (number, part) in all.iter().enumerate().take(parts.end).skip(parts.start) {
            let later = self.values.get(number * PART + lag..).unwrap_or_default();
            let mut add = |lag: usize, common: f32| {
                likeness[lag].squares += common * common;
                likeness[lag].parts += 1.0;
            };
            if later.len() >= PART + N - 1 {
                for (lag, common) in common::<N>(part, later).into_iter().enumerate() {
                    add(lag, common);
                }
            } else {
                // So near the end of the sound there is something later only for the first lags.
                for (lag, later) in later.windows(PART).enumerate().take(N) {
                    add(lag, common::<1>(part, later)[0]);
                }
            }
        }
        let noise = (PART as f32 * self.power * self.power).max(f32::MIN_POSITIVE);
        likeness.map(|Likeness { squares, parts }| Likeness {
            squares: squares / noise,
            parts,
        })
    }

    /// The same of all of them, in standard deviations of noise.
    fn overall(&self, lag: usize) -> f32 {
        let [likeness] = self.likeness(&(0..usize::MAX), lag);
        likeness.deviations()
    }

    /// A length of about so many sums, by that of many codewords.
    fn exactly(&self, about: f64) -> f64 {
        let mut period = about;
        for doubling in 1..=DOUBLINGS {
            let codewords = f64::from(1_u32 << doubling);
            let near = whole::index((codewords * period).round());
            // Each time it is known half as well as it has to be.
            let near = (near.saturating_sub(2)..near + 3).map(|lag| (lag, self.overall(lag)));
            match near.max_by(|a, b| a.1.total_cmp(&b.1)) {
                Some((lag, own)) if own >= ENOUGH => {
                    let [before, after] = [lag.saturating_sub(1), lag + 1];
                    let late = highest([self.overall(before), own, self.overall(after)]);
                    period = (lag as f64 + late) / codewords;
                }
                _ => break,
            }
        }
        period
    }
}

/// What a part has in common with N others, of which each begins one sum later than the one before:
/// several of these side by side, so that they are added several at a time. A function of its own,
/// or the compiler takes them two by two.
#[inline(never)]
fn common<const N: usize>(part: &[f32; PART], later: &[f32]) -> [f32; N] {
    let later = &later[..PART + N - 1];
    let mut common = [0.0; N];
    for lane in 0..LANES {
        let mut sums = [0.0; N];
        for at in (lane..PART).step_by(LANES) {
            let others = sums.iter_mut().zip(&later[at..at + N]);
            others.for_each(|(sum, other)| *sum += part[at] * other);
        }
        let each = common.iter_mut().zip(sums);
        each.for_each(|(common, sum)| *common += sum);
    }
    common
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PolarityRule;
    use crate::robust::testing::{Random, counting, played, sound};
    use plumbline_timecode::{Count, Rate};

    const HERTZ: f64 = 48_000.0;

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
                let mut sound = played(&code, 144_000, |n| n * speed);
                // -8 dB.
                random.add_to(&mut sound, 2.5);
                let white = RunningSum::of(&sound);
                let found = Repeats::of(&white, HERTZ).all_along();
                let offs = found.iter().map(|found| found * speed / period - 1.0);
                let off = offs.min_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap();
                assert!(off.abs() < 150e-6, "{rate} {speed}: {off}");
            }
        }
    }

    /// To the last bit, and where the sound ends too soon for some of the lags.
    #[test]
    fn lags_side_by_side_say_what_each_does_alone() {
        let mut random = Random::new(93);
        for length in [PART, 1_000, 2_047, 2_048] {
            let values: Vec<f32> = (0..length).map(|_| random.normal()).collect();
            let sums = Sums { values, power: 1.0 };
            let bits = |it: Likeness| (it.squares.to_bits(), it.parts.to_bits());
            for lag in [0, 1, 63, 200, 985, 2_000] {
                let beside = sums.likeness::<BESIDE>(&(1..30), lag);
                for (lag, beside) in (lag..).zip(beside) {
                    let [alone] = sums.likeness(&(1..30), lag);
                    assert_eq!(bits(beside), bits(alone), "{length} {lag}");
                    let parts = (length.saturating_sub(lag) / PART).clamp(1, 30) - 1;
                    assert_eq!(bits(alone).1, (parts as f32).to_bits(), "{length} {lag}");
                }
            }
        }
    }

    #[test]
    fn noise_does_not_repeat_itself() {
        let mut random = Random::new(92);
        for _ in 0..40 {
            let noise: Vec<f32> = (0..144_000).map(|_| random.normal()).collect();
            let white = RunningSum::of(&noise);
            let repeats = Repeats::of(&white, HERTZ);
            assert!(repeats.all_along().is_empty() && repeats.for_a_while().is_empty());
        }
    }
}
