//! Where each codeword of a piece begins, and each of its half cells: evenly within a codeword, unless the
//! clock is bent, and free to wander from one to the next.

use super::line::Line;
use super::pattern::HALVES;
use super::running_sum::RunningSum;
use super::smoother::{State, Wander, Witness, smoothed};
use super::whole;
use crate::Direction;

/// The borders between codewords.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FrameClock {
    borders: Vec<f64>,
    motion: Motion,
}

/// How evenly code runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Motion {
    /// As clocks of quartz do.
    Even,
    /// As tape does: codewords have lengths of their own, and the speed changes within each.
    Bent,
}

/// How far ahead and behind of each edge is looked to see which way it lies, in half cells.
const BESIDE: f64 = 0.25;

impl FrameClock {
    /// Codewords of one length, as many as touch a sound of `length` samples.
    pub(super) fn straight(begins: f64, period: f64, length: usize) -> Self {
        let first = begins - (begins / period).ceil() * period;
        let count = whole::index(((length as f64 - first) / period).ceil());
        Self {
            borders: (0..=count).map(|n| first + n as f64 * period).collect(),
            motion: Motion::Even,
        }
    }

    /// Codewords of lengths of their own, between two borders at least, and before and after these as
    /// many more, as long as the nearest, as touch a sound of `length` samples.
    pub(super) fn bent(inner: &[f64], length: usize) -> Option<Self> {
        let (&[first, second, ..], &[.., before, last]) = (inner, inner) else {
            return None;
        };
        let (early, late) = (second - first, last - before);
        let earlier = whole::index((first / early).ceil());
        let later = whole::index(((length as f64 - last) / late).ceil());
        let earlier = (1..=earlier).rev().map(|n| first - n as f64 * early);
        let later = (1..=later).map(|n| last + n as f64 * late);
        Some(Self {
            borders: earlier.chain(inner.iter().copied()).chain(later).collect(),
            motion: Motion::Bent,
        })
    }

    /// How many codewords there are.
    pub(super) fn codewords(&self) -> usize {
        self.borders.len() - 1
    }

    /// Where a codeword begins and ends.
    pub(super) fn codeword(&self, number: usize) -> [f64; 2] {
        [self.borders[number], self.borders[number + 1]]
    }

    fn length(&self, number: usize) -> f64 {
        let [begins, ends] = self.codeword(number);
        ends - begins
    }

    /// How much longer codewords become from one to the next at one of them, if its own speed changes.
    fn bend(&self, number: usize) -> f64 {
        match self.motion {
            Motion::Even => 0.0,
            Motion::Bent => {
                let (before, after) = (number.saturating_sub(1), number + 1);
                let after = after.min(self.codewords() - 1);
                let steps = (after - before).max(1) as f64;
                (self.length(after) - self.length(before)) / steps
            }
        }
    }

    /// The mean length of codewords, in samples.
    pub(super) fn period(&self) -> f64 {
        (self.borders[self.codewords()] - self.borders[0]) / self.codewords() as f64
    }

    /// How long codewords are that follow as the sound runs, if it was turned for those of a direction.
    pub(super) fn onwards(&self, direction: Direction) -> f64 {
        match (self.motion, direction) {
            (Motion::Even, _) => self.period(),
            (Motion::Bent, Direction::Forward) => self.length(self.codewords() - 1),
            (Motion::Bent, Direction::Reverse) => self.length(0),
        }
    }

    /// The mean length of half cells, in samples.
    pub(super) fn half(&self) -> f64 {
        self.period() / HALVES as f64
    }

    /// The borders of all half cells, `late` samples later.
    pub(super) fn halves(&self, late: f64) -> impl Iterator<Item = f64> {
        let inner = (0..self.codewords()).flat_map(move |number| {
            let begins = self.borders[number] + late;
            let bend = self.bend(number) / (2.0 * (HALVES * HALVES) as f64);
            let half = self.length(number) / HALVES as f64 - bend * HALVES as f64;
            (0..HALVES).map(move |n| begins + n as f64 * (half + n as f64 * bend))
        });
        inner.chain(self.borders.last().map(|border| border + late))
    }

    /// The integrals of a sound over all half cells.
    pub(super) fn integrals(&self, sound: &RunningSum) -> Vec<f32> {
        sound.parts(self.halves(0.0))
    }

    /// The same, later.
    pub(super) fn moved(&self, late: f64) -> Self {
        self.with(self.borders.iter().map(|border| border + late))
    }

    /// The same of the sound turned round, which has so many samples.
    pub(super) fn turned(&self, length: usize) -> Self {
        let last = length as f64 - 1.0;
        self.with(self.borders.iter().rev().map(|border| last - border))
    }

    /// The same, each border later.
    fn later(&self, late: &[f64]) -> Self {
        let borders = self.borders.iter().zip(late);
        self.with(borders.map(|(border, late)| border + late))
    }

    /// From the same first border to the same last one, with codewords of one length.
    fn straightest(&self) -> Self {
        let (first, period) = (self.borders[0], self.period());
        self.with((0..=self.codewords()).map(|n| first + n as f64 * period))
    }

    /// The same with other borders.
    fn with(&self, borders: impl Iterator<Item = f64>) -> Self {
        Self {
            borders: borders.collect(),
            motion: self.motion,
        }
    }

    /// Whether no border is further than so many samples from where another clock has it.
    pub(super) fn is_within(&self, samples: f64, other: &Self) -> bool {
        let mut pairs = self.borders.iter().zip(&other.borders);
        pairs.all(|(border, other)| (border - other).abs() <= samples)
    }

    /// The clock as the sound has it, by the expected levels of half cells.
    pub(super) fn followed(&self, sound: &RunningSum, levels: &[f32], wander: Wander) -> Self {
        let witnesses = self.witnesses(sound, levels).into_iter().enumerate();
        let line = self.straightest();
        let witnesses = witnesses.map(|(number, witness)| {
            witness.map(|witness| Witness {
                late: witness.late + self.middle(number) - line.middle(number),
                ..witness
            })
        });
        let first = match self.motion {
            Motion::Even => {
                let near = self.half() / 4.0;
                State::within(near, near / self.codewords() as f64)
            }
            Motion::Bent => State::within(self.period(), self.period()),
        };
        line.later(&smoothed(&witnesses.collect::<Vec<_>>(), first, wander))
    }

    fn middle(&self, number: usize) -> f64 {
        let [begins, ends] = self.codeword(number);
        f64::midpoint(begins, ends)
    }

    /// The clock as the sound has it, if codewords all have one length: where none says by itself how
    /// late it is, all of them do.
    pub(super) fn straightened(&self, sound: &RunningSum, levels: &[f32]) -> Self {
        let beside = BESIDE * self.half();
        let fits = |late| -> Vec<f64> {
            let parts = sound.parts(self.halves(late));
            let words = levels.chunks_exact(HALVES).zip(parts.chunks_exact(HALVES));
            words.map(|(levels, parts)| fit(levels, parts)).collect()
        };
        let (early, late) = (fits(-beside), fits(beside));
        let steep: f64 = levels.windows(2).map(steepness).sum();
        let certain: f64 = levels.iter().map(|a| f64::from(a * a)).sum();
        let all: f64 = early.iter().zip(&late).map(|(a, b)| a + b).sum();
        let level = all / (2.0 * (self.half() * certain - beside * steep)).max(1.0);
        let words = self.codewords().max(1) as f64;
        if level <= 0.0 || steep <= 0.0 {
            return self.clone();
        }
        let lates = early.iter().zip(&late).map(|(a, b)| b - a);
        let lates: Vec<f64> = lates.map(|e| e * words / (2.0 * level * steep)).collect();
        let line = Line::through(&lates);
        let late = (0..self.borders.len()).map(|n| line.at(n as f64 - 0.5));
        self.later(&late.collect::<Vec<_>>())
    }

    /// Each codeword's early/late: an edge that is late gives less to the half cells that are
    /// looked at too early than to those that are looked at too late. Of one that is not whole, what is
    /// missing would be taken for that.
    fn witnesses(&self, sound: &RunningSum, levels: &[f32]) -> Vec<Option<Witness>> {
        let beside = BESIDE * self.half();
        let at = |late| sound.parts(self.halves(late));
        let (early, now, late) = (at(-beside), at(0.0), at(beside));
        let parts = levels.chunks_exact(HALVES).zip(early.chunks_exact(HALVES));
        let parts = parts
            .zip(now.chunks_exact(HALVES))
            .zip(late.chunks_exact(HALVES));
        let whole = (0..self.codewords()).map(|number| {
            let [begins, ends] = self.codeword(number);
            begins >= -beside && ends <= sound.samples() as f64 + beside
        });
        parts
            .zip(whole)
            .map(|((((levels, early), now), late), is_whole)| {
                witness(levels, early, now, late, beside).filter(|_| is_whole)
            })
            .collect()
    }
}

fn fit(levels: &[f32], parts: &[f32]) -> f64 {
    let products = levels.iter().zip(parts);
    products.map(|(a, part)| f64::from(a * part)).sum()
}

/// By how much the fit falls at an edge for each sample that the clock is off, over the level.
fn steepness(pair: &[f32]) -> f64 {
    f64::from(pair[0] * (pair[0] - pair[1]))
}

fn witness(
    levels: &[f32],
    early: &[f32],
    now: &[f32],
    late: &[f32],
    beside: f64,
) -> Option<Witness> {
    let certain: f64 = levels.iter().map(|a| f64::from(a * a)).sum();
    let steep: f64 = levels.windows(2).map(steepness).sum();
    let half = beside / BESIDE;
    let (early, late) = (fit(levels, early), fit(levels, late));
    let level = (early + late) / (2.0 * (half * certain - beside * steep)).max(1.0);
    if level <= 0.0 || certain < LEAST_CERTAIN * levels.len() as f64 || steep < certain / 4.0 {
        return None;
    }
    let loud: f64 = now.iter().map(|part| f64::from(part * part)).sum();
    let noise = (loud - (level * half).powi(2) * certain).max(0.0) / (levels.len() as f64 * half);
    Some(Witness {
        late: (late - early) / (2.0 * level * steep),
        variance: noise / (level * level) * beside / steep + FLOOR,
    })
}

/// Codewords of which less than this is certain, as a mean square of expected levels, are no
/// witnesses.
const LEAST_CERTAIN: f64 = 0.1;
/// What a codeword can't know better of its place, in samples².
const FLOOR: f64 = 1e-3;
#[cfg(test)]
mod tests {
    use super::*;
    use crate::PolarityRule;
    use crate::robust::pattern::levels;
    use crate::robust::testing::{Random, counting, sound};
    use plumbline_timecode::{Count, Rate};

    /// Edges of 40 µs are within the 3 samples looked at on either side while the clock is off by
    /// less than two, so early/late tells the offset exactly there, and a little less beyond.
    #[test]
    fn early_and_late_tell_how_far_off_the_clock_is() {
        let codewords = counting(Count::F25, 4, PolarityRule::Corrected);
        let levels = levels(&codewords);
        let code = RunningSum::of(&sound(Rate::F25, 0.5, 0, &codewords));
        for off in [0.05, 0.4, 1.0, 1.9, 2.5] {
            let clock = FrameClock::straight(0.0, 1920.0, 4 * 1920).moved(-off);
            for witness in clock.witnesses(&code, &levels).into_iter().skip(1).take(2) {
                let late = witness.unwrap().late;
                assert!((late - off).abs() < 0.02 * off + 0.01, "{off}: {late}");
            }
        }
    }

    /// Of the first codeword only noise is in the sound: it would have led the clock away from those
    /// that follow.
    #[test]
    fn what_is_not_whole_is_no_witness() {
        let codewords = counting(Count::F25, 5, PolarityRule::Corrected);
        let levels = levels(&codewords);
        let code = sound(Rate::F25, 0.5, 0, &codewords[1..]);
        let mut with_noise = vec![0.0; 100];
        with_noise.extend_from_slice(&code);
        Random::new(32).add_to(&mut with_noise, 0.5);
        let clock = FrameClock::straight(100.0, 1920.0, with_noise.len());
        let witnesses = clock.witnesses(&RunningSum::of(&with_noise), &levels);
        let says = witnesses.iter().map(Option::is_some);
        assert_eq!(says.collect::<Vec<_>>(), [false, true, true, true, true]);
    }

    /// The speed of tape that slows down evenly is known from the borders, and with it every half cell.
    #[test]
    fn half_cells_of_a_bent_clock_are_where_the_speed_has_them() {
        let at = |codewords: f64| 100.0 + 1900.0 * codewords + 4.0 * codewords * codewords;
        let borders: Vec<f64> = (0..20).map(|n| at(f64::from(n))).collect();
        let clock = FrameClock::bent(&borders, 40_000).unwrap();
        let first = clock
            .borders
            .iter()
            .position(|&at| (at - 100.0).abs() < 1.0);
        let first = first.unwrap();
        for (number, half) in clock.halves(0.25).enumerate() {
            let codewords = number as f64 / 160.0 - first as f64;
            // Beyond the borders that are known speeds are the last ones.
            if (1.0..18.0).contains(&codewords) {
                assert!((half - 0.25 - at(codewords)).abs() < 1e-6, "{codewords}");
            }
        }
    }

    /// Each codeword in noise at 0 dB tells its place to about 0.117 sample, by the formula
    /// (σ/A)·√(d/(2n)), with d = 3 samples and n = 110 edges; twenty codewords on a line do better.
    #[test]
    fn the_clock_is_followed_in_noise() {
        let codewords = counting(Count::F25, 60, PolarityRule::Corrected);
        let levels = levels(&codewords);
        let mut random = Random::new(31);
        let mut code = sound(Rate::F25, 1.0, 0, &codewords);
        random.add_to(&mut code, 1.0);
        let code = RunningSum::of(&code);
        // A clock that is 1.5 samples early in the beginning and 1.5 late in the end.
        let off = FrameClock::straight(-1.5, 1920.0 + 3.0 / 60.0, 60 * 1920);
        let off = FrameClock {
            borders: off.borders[off.borders.len() - 61..].to_vec(),
            ..off
        };
        let mut clock = off;
        for _ in 0..2 {
            clock = clock.followed(&code, &levels, Wander::SETTLED);
        }
        let errors = clock
            .borders
            .iter()
            .zip(0_u32..)
            .map(|(at, n)| at - 1920.0 * f64::from(n));
        let square = errors.map(|error| error * error).sum::<f64>() / 61.0;
        assert!(square.sqrt() < 0.066, "{}", square.sqrt());
    }
}
