//! Where codewords begin, how long they are and which way they run: the synchronizing word looked
//! for at one place in every codeword of a piece of sound, and all places laid over each other.
//!
//! One synchronizing word is lost in noise at -10 dB, but it comes again and again.

use super::parabola::highest;
use super::pattern::{BEFORE_SYNC, HALVES, SYNC_HALVES, SYNC_LEVELS};
use super::running_sum::RunningSum;
use super::whole;
use crate::Direction;

/// How many places are looked at in each half cell.
const PLACES: usize = 4;
const PLACES_IN_CODEWORD: usize = PLACES * HALVES;
/// So many of them are looked at together.
const PLACES_AT_ONCE: usize = 32;
const _: () = assert!(PLACES_IN_CODEWORD.is_multiple_of(PLACES_AT_ONCE));
/// Squares beyond this count no more: a click or a burst of speech is one codeword's witness.
const SQUARE_LIMIT: f32 = 25.0;
/// Standard deviations beyond noise from which on there is code. The highest of all places, rates
/// and directions of two seconds of noise has about 7 and 5.
const SQUARES_ENOUGH: f32 = 9.0;
const SUM_ENOUGH: f32 = 6.5;

/// Where code may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Fold {
    /// Where the first codeword begins that may be whole, in samples: as the sound runs, so in
    /// reverse it is where bit 79 begins.
    pub(super) begins: f64,
    /// Samples from one codeword to the next.
    pub(super) period: f64,
    pub(super) direction: Direction,
    /// How much more than noise gives, 1 being enough.
    pub(super) score: f32,
}

/// How long codewords may be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Periods {
    /// About so many samples...
    pub(super) about: f64,
    /// ...more or less by this part.
    pub(super) within: f64,
}

impl Periods {
    /// Whether synchronizing words of both are as long, as far as they can be told apart: those of
    /// rates that differ by 1000/1001 are, to a thirtieth of a half cell.
    pub(super) fn is_near(&self, other: &Self) -> bool {
        (self.about / other.about - 1.0).abs() < 2e-3
    }
}

/// The synchronizing word looked for everywhere, for half cells of one length.
#[derive(Debug)]
pub(super) struct Correlation {
    /// Samples from one place to the next.
    step: f64,
    direction: Direction,
    values: Vec<f32>,
}

impl Correlation {
    /// For codewords of about so many samples that run one way or the other, in white sound of unit
    /// variance.
    pub(super) fn either_way(white: &RunningSum, period: f64) -> [Self; 2] {
        Self::towards(Direction::EITHER, white, period)
    }

    /// For those that run in one direction.
    pub(super) fn towards<const N: usize>(
        directions: [Direction; N],
        white: &RunningSum,
        period: f64,
    ) -> [Self; N] {
        let half = period / HALVES as f64;
        let step = half / PLACES as f64;
        let parts = half_cells(white, step);
        let ones = ones(&parts);
        let scale = whole::single(1.0 / (SYNC_HALVES as f64 * half).sqrt());
        directions.map(|direction| Self {
            step,
            direction,
            values: correlated(&parts, &ones, scale, direction),
        })
    }

    /// Where it fits better than so many standard deviations of noise, in samples, and how well.
    pub(super) fn shows(&self, deviations: f32) -> impl Iterator<Item = (f64, f32)> {
        let places = self.values.iter().enumerate();
        let shows = places.filter(move |(_, fit)| fit.abs() >= deviations);
        shows.map(|(place, fit)| {
            let late = match self.values.get(place.wrapping_sub(1)..place + 2) {
                Some(&[before, own, after]) => highest([before, own, after]),
                _ => 0.0,
            };
            ((place as f64 + late) * self.step, fit.abs())
        })
    }

    /// Which way code runs that this finds.
    pub(super) fn direction(&self) -> Direction {
        self.direction
    }

    /// The best place of codewords, and the best of the lengths that they may have.
    pub(super) fn fold(&self, periods: &[Periods]) -> Option<Fold> {
        let squares: Vec<f32> = self
            .values
            .iter()
            .map(|value| (value * value).min(SQUARE_LIMIT))
            .collect();
        let (mean, spread) = moments(&squares);
        let (_, deviation) = moments(&self.values);
        let periods = periods.iter().flat_map(|periods| self.grid(periods));
        let folds = periods.filter_map(|period| {
            let offsets = self.offsets(period);
            let root = (offsets.len() as f32).sqrt();
            let squares = laid_over(&squares, &offsets);
            let sums = laid_over(&self.values, &offsets);
            let scores = squares.iter().zip(&sums).map(|(square, sum)| {
                let by_squares = (square / root - root * mean) / spread;
                let by_sum = sum.abs() / (deviation * root);
                (by_squares / SQUARES_ENOUGH).max(by_sum / SUM_ENOUGH)
            });
            let (place, score) = scores.enumerate().max_by(|a, b| a.1.total_cmp(&b.1))?;
            score.is_finite().then(|| self.at(place, period, score))
        });
        folds.max_by(|a, b| a.score.total_cmp(&b.score))
    }

    /// Lengths that are tried: over the whole piece, neighbours part by one place.
    fn grid(&self, periods: &Periods) -> impl Iterator<Item = f64> {
        let about = periods.about;
        let codewords = self.values.len() as f64 * self.step / about;
        let grid = self.step / codewords.max(1.0);
        let steps = whole::nearest(periods.within * about / grid);
        (-steps..=steps).map(move |step| about + step as f64 * grid)
    }

    /// How many places each codeword is after the first.
    fn offsets(&self, period: f64) -> Vec<usize> {
        let places = self.values.len().saturating_sub(PLACES_IN_CODEWORD) as f64;
        let offset = |number: usize| number as f64 * period / self.step;
        (0..=whole::index(places * self.step / period))
            .map(|number| whole::index(offset(number).round()))
            .filter(|offset| offset + PLACES_IN_CODEWORD <= self.values.len())
            .collect()
    }

    fn at(&self, place: usize, period: f64, score: f32) -> Fold {
        let sync = place as f64 * self.step;
        let before = match self.direction {
            Direction::Forward => period * BEFORE_SYNC as f64 / HALVES as f64,
            Direction::Reverse => 0.0,
        };
        Fold {
            begins: sync - before,
            period,
            direction: self.direction,
            score,
        }
    }
}

/// Where the ones of the synchronizing word begin, in half cells, and how many of these they have:
/// the same both ways. Their levels alternate, so that a sum of them follows from the last one.
const ONES_FROM: usize = 4;
const ONES: usize = 24;

/// The level of a half cell of the synchronizing word, as the sound runs.
const fn level(half: usize, direction: Direction) -> f32 {
    match direction {
        Direction::Forward => SYNC_LEVELS[half],
        Direction::Reverse => SYNC_LEVELS[SYNC_HALVES - 1 - half],
    }
}

/// The integrals over the half cells that begin at each place.
fn half_cells(white: &RunningSum, step: f64) -> Vec<f32> {
    let count = whole::index(white.samples() as f64 / step);
    let sums: Vec<f64> = (0..=count).map(|n| white.until(n as f64 * step)).collect();
    let parts = sums.iter().zip(sums.iter().skip(PLACES));
    parts.map(|(a, b)| whole::single(b - a)).collect()
}

/// The sums of the half cells of [`ONES`] that begin at each place, the first one's sign kept and
/// every other one's turned. What is rounded goes from sum to sum, so these are in double precision.
fn ones(parts: &[f32]) -> Vec<f32> {
    let places = parts.len().saturating_sub(PLACES * (ONES - 1));
    let part = |place: usize| f64::from(parts[place]);
    let mut sums: Vec<f64> = Vec::with_capacity(places);
    for place in 0..places {
        sums.push(if place < PLACES {
            (0..ONES)
                .map(|n| part(place + PLACES * n))
                .zip([1.0, -1.0].into_iter().cycle())
                .map(|(part, sign)| sign * part)
                .sum()
        } else {
            let before = place - PLACES;
            part(before) - sums[before] - part(before + PLACES * ONES)
        });
    }
    sums.into_iter().map(whole::single).collect()
}

/// How well the synchronizing word fits at each place.
fn correlated(parts: &[f32], ones: &[f32], scale: f32, direction: Direction) -> Vec<f32> {
    let places = (parts.len() + PLACES).saturating_sub(PLACES * SYNC_HALVES);
    let mut values = vec![0.0; places];
    let mut add = |from: usize, sums: &[f32]| {
        let weight = scale * level(from, direction);
        let sums = &sums[(PLACES * from).min(sums.len())..];
        let sums = values.iter_mut().zip(sums);
        sums.for_each(|(value, sum)| *value += weight * sum);
    };
    add(ONES_FROM, ones);
    for half in (0..ONES_FROM).chain(ONES_FROM + ONES..SYNC_HALVES) {
        add(half, parts);
    }
    values
}

/// The sums of the values at each place of all codewords. Some places are done with before the next ones:
/// their sums need not be stored and fetched again for each codeword.
fn laid_over(values: &[f32], offsets: &[usize]) -> [f32; PLACES_IN_CODEWORD] {
    let mut all = [0.0; PLACES_IN_CODEWORD];
    let (some, _) = all.as_chunks_mut::<PLACES_AT_ONCE>();
    for (some, from) in some.iter_mut().zip((0..).step_by(PLACES_AT_ONCE)) {
        let mut sums = [0.0; PLACES_AT_ONCE];
        for &offset in offsets {
            let values = &values[offset + from..][..PLACES_AT_ONCE];
            sums.iter_mut()
                .zip(values)
                .for_each(|(sum, value)| *sum += value);
        }
        *some = sums;
    }
    all
}

/// Mean and standard deviation.
fn moments(values: &[f32]) -> (f32, f32) {
    let count = values.len().max(1) as f64;
    let mean = values.iter().map(|&x| f64::from(x)).sum::<f64>() / count;
    let square = values
        .iter()
        .map(|&x| (f64::from(x) - mean).powi(2))
        .sum::<f64>()
        / count;
    (whole::single(mean), whole::single(square.sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PolarityRule;
    use crate::robust::testing::{Random, counting, sound};
    use plumbline_timecode::{Count, Rate};

    const NOMINAL: f64 = 1920.0;
    const NEAR: Periods = Periods {
        about: NOMINAL,
        within: 250e-6,
    };

    fn towards(white: &RunningSum, direction: Direction) -> Correlation {
        let [correlation] = Correlation::towards([direction], white, NOMINAL);
        correlation
    }

    /// The ones are added up from place to place: that comes to what adding everything up does.
    #[test]
    fn every_place_has_the_sum_over_the_whole_synchronizing_word() {
        let mut random = Random::new(24);
        let white = RunningSum::of(&noise(&mut random, 96_000));
        for direction in [Direction::Forward, Direction::Reverse] {
            let correlation = towards(&white, direction);
            let half = NOMINAL / HALVES as f64;
            for place in (0..correlation.values.len()).step_by(97) {
                let begins = place as f64 * correlation.step;
                let borders = (0_u8..=32).map(|n| begins + f64::from(n) * half);
                let parts = white.parts(borders).into_iter().enumerate();
                let sum: f64 = parts
                    .map(|(n, part)| f64::from(level(n, direction) * part))
                    .sum();
                let value = sum / (SYNC_HALVES as f64 * half).sqrt();
                let own = f64::from(correlation.values[place]);
                assert!((own - value).abs() < 1e-5, "{own} {value}");
            }
        }
    }

    fn noise(random: &mut Random, length: usize) -> Vec<f32> {
        (0..length).map(|_| random.normal()).collect()
    }

    /// In white noise the correlation has variance 1, so its square has mean 1 and variance 2.
    /// Places a quarter of a half cell apart are alike, so only every 32nd half cell counts.
    #[test]
    fn the_correlation_of_white_noise_has_unit_variance() {
        let mut random = Random::new(21);
        let length = 4_800_000;
        let white = RunningSum::of(&noise(&mut random, length));
        for direction in [Direction::Forward, Direction::Reverse] {
            let correlation = towards(&white, direction);
            let apart: Vec<f64> = correlation
                .values
                .iter()
                .step_by(PLACES * SYNC_HALVES)
                .map(|&x| f64::from(x))
                .collect();
            let count = apart.len() as f64;
            let squares = apart.iter().map(|x| x * x).sum::<f64>() / count;
            let fourths = apart.iter().map(|x| (x * x - 1.0).powi(2)).sum::<f64>() / count;
            // Interpolation between samples takes a little: (1 - 1/(6·12)·28·2/32).
            assert!(
                (squares - 1.0).abs() < 4.0 * (2.0 / count).sqrt() + 0.02,
                "{squares}"
            );
            assert!(
                (fourths - 2.0).abs() < 4.0 * (56.0 / count).sqrt() + 0.06,
                "{fourths}"
            );
        }
    }

    #[test]
    fn noise_is_no_code() {
        let mut random = Random::new(22);
        let mut highest = 0.0_f32;
        for _ in 0..40 {
            let white = RunningSum::of(&noise(&mut random, 96_000));
            for direction in [Direction::Forward, Direction::Reverse] {
                let fold = towards(&white, direction).fold(&[NEAR]);
                highest = highest.max(fold.map_or(0.0, |fold| fold.score));
            }
        }
        assert!(highest > 0.4 && highest < 0.9, "{highest}");
    }

    #[test]
    fn code_is_found_in_its_direction_and_at_its_place_far_below_noise() {
        let codewords = counting(Count::F25, 50, PolarityRule::Corrected);
        let mut random = Random::new(23);
        // -16 dB.
        let level = 10_f32.powf(-16.0 / 20.0);
        for reverse in [false, true] {
            let mut code = sound(Rate::F25, level, 5, &codewords);
            if reverse {
                code.reverse();
            }
            let length = code.len();
            random.add_to(&mut code, 1.0);
            let white = RunningSum::of(&code);
            let fold = |direction| towards(&white, direction).fold(&[NEAR]).unwrap();
            let (forward, backward) = (fold(Direction::Forward), fold(Direction::Reverse));
            let (right, wrong) = if reverse {
                (backward, forward)
            } else {
                (forward, backward)
            };
            assert!(
                right.score > 1.2 && right.score > wrong.score,
                "{right:?} {wrong:?}"
            );
            // The first edge is at 5/16 of a sample, or as far from the other end.
            let begins = if reverse {
                length as f64 - 1.0 - 0.3125
            } else {
                0.3125
            };
            let off = (right.begins - begins).rem_euclid(NOMINAL);
            let off = off.min(NOMINAL - off);
            // An interval of four places either side, and noise of a sample.
            assert!(off < 5.0, "{right:?}: {off}");
        }
    }
}
