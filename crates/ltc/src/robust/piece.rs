//! Some seconds of sound, from samples to codewords that were weighed.
//!
//! ```text
//! samples ── blanking ── spectra ── whitening ─┬─ sync fold ───┬─ frame clock ── model ── weigh
//!            no clicks              flat,      │  place, rate  │  each codeword  noise    80 bits
//!                                   level      ├─ repeats ─────┤
//!                                              │  any speed    │
//!                                              └─ sync chain ──┘
//!                                                 that changes
//! ```
//!
//! Everything works on sound in which bit 0 comes first: where code runs backwards, so does the
//! sound that it is given.

use super::frame_clock::FrameClock;
use super::reading::{Reading, Run};
use super::repeats::Repeats;
use super::sound::{EitherWay, Sound};
use super::spectra::Transform;
use super::sync_chain::Chain;
use super::sync_fold::{Correlation, Fold, Periods};
use crate::Direction;

/// The rates at which codewords follow each other: 24, 25 and 30 frames a second, and the first
/// and the last slowed down by 1000/1001.
const RATES: [f64; 5] = [24.0 / 1.001, 24.0, 25.0, 30.0 / 1.001, 30.0];
/// How far clocks are off.
const CLOCKS: f64 = 250e-6;
/// The same once code has been followed.
const FOLLOWED: f64 = 60e-6;
/// How exactly a sound tells how long codewords are if it repeats itself all along...
const ALL_ALONG: f64 = 150e-6;
/// ...and if it does so for a while.
const FOR_A_WHILE: f64 = 3e-3;
/// What is enough of a fold when code was followed there before.
const FOLLOWED_ENOUGH: f32 = 0.7;
/// The same for code that runs the other way, as a part of what it was taken for. The synchronizing word
/// has seven eighths of its fit in common with its mirror image.
const TURNED: f32 = 0.95;
/// What is enough of a fold to look at more sound than a piece. The highest of noise is about there.
const SUPPOSED: f32 = 0.8;

/// Reads pieces of sound of one sample rate.
#[derive(Debug, Clone)]
pub(crate) struct Pieces {
    pub(super) transform: Transform,
}

impl Pieces {
    pub(crate) fn new(hertz: f64) -> Self {
        Self {
            transform: Transform::new(hertz),
        }
    }

    /// Reads a piece, all of it finite; `beside` is the same time on other channels that may have the
    /// same code, and `run` how code ran just before.
    pub(crate) fn read(&self, samples: &[f32], beside: &[&[f32]], run: Option<Run>) -> Reading {
        let Some(sound) = Sound::prepared(&self.transform, samples, beside) else {
            return Reading::default();
        };
        let sound = EitherWay::new(&sound);
        let followed = run.map(|run| self.followed(&sound, run));
        let steady = followed
            .filter(Reading::is_code)
            .unwrap_or_else(|| self.at_nominal_speed(&sound));
        let reading = self.at_any_speed(&sound, steady);
        Reading {
            run: reading.run.filter(|_| reading.is_code()),
            ..reading
        }
    }

    /// Reads code of the rates that there are.
    fn at_nominal_speed(&self, sound: &EitherWay<'_>) -> Reading {
        let (white, periods) = (sound.as_it_runs, self.nominal());
        let mut folds = Self::folds(white, &periods, &Direction::EITHER, SUPPOSED);
        let likeliest = folds.iter().max_by(|a, b| a.score.total_cmp(&b.score));
        let supposed = likeliest.map(|fold| Run {
            period: fold.period,
            direction: fold.direction,
        });
        folds.retain(|fold| fold.score > 1.0);
        Reading {
            supposed,
            ..self.best(sound, &folds)
        }
    }

    /// Reads code that repeats itself at another speed, or at one that changes, unless most of what was
    /// read is code: a little of it stands at the places of codewords that are nearly as long.
    fn at_any_speed(&self, sound: &EitherWay<'_>, steady: Reading) -> Reading {
        if steady.mostly_counts_on() {
            return steady;
        }
        let supposed = steady.supposed;
        let white = &sound.as_it_runs.white;
        let repeats = Repeats::of(white, self.transform.hertz());
        let repeating = self.repeating(sound, &repeats, &steady);
        let read = steady.or(repeating);
        if read.mostly_counts_on() {
            return Reading { supposed, ..read };
        }
        let changing = self.at_changing_speed(sound, &repeats, &read);
        Reading {
            supposed,
            ..read.or(changing)
        }
    }

    /// Reads code as a sound repeats itself all along, if that is not what was read.
    fn repeating(&self, sound: &EitherWay<'_>, repeats: &Repeats, read: &Reading) -> Reading {
        let periods = read.untried(repeats.all_along(), CLOCKS);
        let periods: Vec<Periods> = periods
            .into_iter()
            .map(|about| Periods {
                about,
                within: ALL_ALONG,
            })
            .collect();
        let folds = Self::folds(sound.as_it_runs, &periods, &Direction::EITHER, 1.0);
        self.best(sound, &folds)
    }

    /// Reads code along the chain that shows best of those with codewords as long as a sound repeats
    /// itself for a while, if that is not what was read.
    fn at_changing_speed(
        &self,
        sound: &EitherWay<'_>,
        repeats: &Repeats,
        read: &Reading,
    ) -> Reading {
        let periods = read.untried(repeats.for_a_while(), FOR_A_WHILE);
        let white = &sound.as_it_runs.white;
        let chains = periods.into_iter().flat_map(|about| {
            let either = Direction::EITHER.into_iter();
            either.filter_map(move |direction| Chain::of(white, about, direction))
        });
        let best = chains.max_by(|a, b| a.fit.total_cmp(&b.fit));
        self.by_chain(sound, best.as_ref())
    }

    /// Reads code along a chain, if there is one, and most of its codewords count on, and nearly all have
    /// their synchronizing words: a clock that may bend finds some where there is another word.
    fn by_chain(&self, sound: &EitherWay<'_>, chain: Option<&Chain>) -> Reading {
        let reading = chain.map(|chain| self.by_clock(sound, &chain.clock, chain.direction));
        let is_plain =
            |reading: &Reading| reading.mostly_counts_on() && reading.is_nearly_all_clean();
        reading.filter(is_plain).unwrap_or_default()
    }

    /// Reads on as code ran just before. If synchronizing words stand there but no codeword counts on,
    /// that may have been taken for code which runs the other way.
    fn followed(&self, sound: &EitherWay<'_>, run: Run) -> Reading {
        let folds = |direction, enough| {
            Self::folds(sound.as_it_runs, &Self::near(run), &[direction], enough)
        };
        let folds_onwards = folds(run.direction, FOLLOWED_ENOUGH);
        let onwards = self.best(sound, &folds_onwards);
        if !onwards.is_mostly_clean() || onwards.counts_on() {
            return onwards;
        }
        let highest = folds_onwards
            .iter()
            .map(|fold| fold.score)
            .fold(1.0, f32::max);
        let folds_turned = folds(run.direction.turned(), TURNED * highest);
        let turned = self.best(sound, &folds_turned);
        if turned.counts_on() { turned } else { onwards }
    }

    fn near(run: Run) -> Vec<Periods> {
        vec![Periods {
            about: run.period,
            within: FOLLOWED,
        }]
    }

    pub(super) fn nominal(&self) -> Vec<Periods> {
        let periods = RATES.map(|rate| Periods {
            about: self.transform.hertz() / rate,
            within: CLOCKS,
        });
        periods.to_vec()
    }

    /// The nominal number of frames in a second of codewords of a length.
    pub(super) fn frames_in_a_second(&self, period: f64) -> u16 {
        match (self.transform.hertz() / period).round() {
            ..24.5 => 24,
            24.5..27.5 => 25,
            _ => 30,
        }
    }

    /// The best fold in each direction, of those that are enough.
    pub(super) fn folds(
        sound: &Sound<'_>,
        periods: &[Periods],
        directions: &[Direction],
        enough: f32,
    ) -> Vec<Fold> {
        let mut folds: Vec<Fold> = Vec::new();
        for alike in periods.chunk_by(Periods::is_near) {
            let ways = Correlation::either_way(&sound.white, alike[0].about);
            let ways = ways
                .iter()
                .filter(|way| directions.contains(&way.direction()));
            folds.extend(ways.filter_map(|way| way.fold(alike)));
        }
        let best = directions.iter().filter_map(|&direction| {
            let own = folds.iter().filter(|fold| fold.direction == direction);
            own.max_by(|a, b| a.score.total_cmp(&b.score)).copied()
        });
        best.filter(|fold| fold.score > enough).collect()
    }

    /// The reading of the fold that explains the sound best. Backwards, the synchronizing word looks
    /// nearly as good: which way code runs shows when its codewords have been weighed.
    fn best(&self, sound: &EitherWay<'_>, folds: &[Fold]) -> Reading {
        let readings = folds.iter().map(|fold| self.by_fold(sound, fold));
        readings.reduce(Reading::or).unwrap_or_default()
    }

    /// The reading of a fold: as a straight line through it has codewords, or else as those have it that
    /// show beside that.
    fn by_fold(&self, sound: &EitherWay<'_>, fold: &Fold) -> Reading {
        let white = &sound.as_it_runs.white;
        let straight = FrameClock::straight(fold.begins, fold.period, white.samples());
        let straight = self.by_clock(sound, &straight, fold.direction);
        if straight.all_counts_on() {
            return straight;
        }
        let chain = Chain::of(white, fold.period, fold.direction);
        straight.or(self.by_chain(sound, chain.as_ref()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PolarityRule;
    use crate::robust::Heard;
    use crate::robust::testing::{Random, counting, sound};
    use plumbline_timecode::{Count, Rate};

    /// A piece by itself, with no other to bear it out: at 0 dB every whole codeword is weighed
    /// right, and the clock is within a quarter of a sample.
    #[test]
    fn whole_codewords_are_weighed_right_in_noise_as_loud_as_they_are() {
        let pieces = Pieces::new(48_000.0);
        for (rate, count, period) in [
            (Rate::F25, Count::F25, 1920.0),
            (Rate::F29_97, Count::F30, 1601.6),
            (Rate::F24, Count::F24, 2000.0),
        ] {
            let codewords = counting(count, 60, PolarityRule::Corrected);
            let mut code = sound(rate, 1.0, 5, &codewords);
            Random::new(51).add_to(&mut code, 1.0);
            let Reading {
                words: heard, run, ..
            } = pieces.read(&code, &[], None);
            assert!(run.is_some());
            for (number, codeword) in (0_u8..).zip(&codewords).skip(1).take(58) {
                let begins = f64::from(number) * period + 0.3125;
                let near = |word: &&Heard| (word.begins - begins).abs() < 0.5;
                let word = heard.iter().find(near).unwrap();
                assert_eq!(word.weighed.codeword.digits(), codeword.digits());
                assert!((word.begins - begins).abs() < 0.25, "{begins}");
            }
        }
    }

    /// The same bit of every synchronizing word is wrong, under noise that hides it now and then. One or the
    /// other may look right by chance, but never most.
    #[test]
    fn codewords_with_another_word_where_they_are_synchronized_are_no_code() {
        let pieces = Pieces::new(48_000.0);
        for bit in 64..80 {
            let mut codewords = counting(Count::F25, 76, PolarityRule::Corrected);
            for codeword in &mut codewords {
                codeword.0[bit / 8] ^= 1 << (bit % 8);
            }
            let code = sound(Rate::F25, 1.0, 5, &codewords);
            for rms in [0.35, 0.7, 1.0] {
                let mut code = code.clone();
                Random::new(52).add_to(&mut code, rms);
                let reading = pieces.read(&code, &[], None);
                let of_code = reading.counts_on() || reading.is_mostly_clean();
                assert!(!of_code, "bit {bit} under {rms}");
            }
        }
    }
}
