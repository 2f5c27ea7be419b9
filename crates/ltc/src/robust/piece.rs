//! Some seconds of sound, from samples to codewords that were weighed.
//!
//! ```text
//! samples ── blanking ── spectra ── whitening ── sync fold ── frame clock ── model ── weigh
//!            no clicks              flat, level  place, rate  each codeword  noise    80 bits
//! ```
//!
//! Everything works on sound in which bit 0 comes first: where code runs backwards, so does the
//! sound that it is given.

use std::borrow::Cow;
use std::cmp::Ordering;

use super::channels;
use super::frame_clock::FrameClock;
use super::level::Level;
use super::model::Floor;
use super::modelled::{Heard, Modelled};
use super::opinions;
use super::repeats;
use super::running_sum::RunningSum;
use super::sound::{Sound, turned};
use super::spectra::Transform;
use super::sync_fold::{Correlation, Fold, Periods};
use super::trellis::{self, of_codewords};
use crate::Direction;

/// What a piece came to.
#[derive(Debug, Clone, Default)]
pub(crate) struct Reading {
    pub(crate) words: Vec<Heard>,
    /// How code runs here, if there are codewords.
    pub(crate) run: Option<Run>,
    /// How code may run here: so much as might be code, or might be noise.
    pub(crate) supposed: Option<Run>,
}

/// How code runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Run {
    pub(super) period: f64,
    pub(super) direction: Direction,
}

/// The rates at which codewords follow each other: 24, 25 and 30 frames a second, and the first
/// and the last slowed down by 1000/1001.
const RATES: [f64; 5] = [24.0 / 1.001, 24.0, 25.0, 30.0 / 1.001, 30.0];
/// How far clocks are off.
const CLOCKS: f64 = 250e-6;
/// The same once code has been followed.
const FOLLOWED: f64 = 60e-6;
/// What is enough of a fold when code was followed there before.
const FOLLOWED_ENOUGH: f32 = 0.7;
/// What is enough of a fold to look at more sound than a piece. The highest of noise is about there.
const SUPPOSED: f32 = 0.8;
/// Offsets that are tried, in quarters of half cells: two half cells on either side.
const QUARTERS: i8 = 8;
/// What the noise is believed to be at least.
const FLOOR: Floor = Floor(0.003);
/// The same where it follows the code, as that of lossy coding does; and where nothing is believed of
/// how it changes, unless it is louder than the code.
const LOSSY_FLOORS: [Floor; 2] = [Floor(0.1), Floor(3.0)];
/// With so few clean codewords code was not found.
const FEW: usize = 2;
pub(super) const EITHER: [Direction; 2] = [Direction::Forward, Direction::Reverse];

/// Reads pieces of sound of one sample rate.
#[derive(Debug, Clone)]
pub(crate) struct Pieces {
    pub(super) transform: Transform,
}

/// What is asked where the first opinion on a sound is not enough.
#[derive(Debug, Clone, Copy)]
enum Other {
    /// The sounds beside it.
    Beside,
    /// The same sound, if the noise is believed to be so much at least.
    Floor(Floor),
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
        let reading = self.reading(samples, beside, run);
        Reading {
            run: reading.run.filter(|_| is_code(&reading)),
            ..reading
        }
    }

    fn reading(&self, samples: &[f32], beside: &[&[f32]], run: Option<Run>) -> Reading {
        let Some(sound) = Sound::prepared(&self.transform, samples, beside) else {
            return Reading::default();
        };
        let followed = run
            .map(|run| self.followed(&sound, run))
            .unwrap_or_default();
        if is_code(&followed) {
            return followed;
        }
        let mut folds = Self::folds(&sound, &self.nominal(), &EITHER, SUPPOSED);
        let likeliest = folds.iter().max_by(|a, b| a.score.total_cmp(&b.score));
        let supposed = likeliest.map(|fold| Run {
            period: fold.period,
            direction: fold.direction,
        });
        folds.retain(|fold| fold.score > 1.0);
        Reading {
            supposed,
            ..self.at_any_speed(&sound, self.best(&sound, folds))
        }
    }

    /// Reads code that repeats itself at another speed, unless most of what was read is code: a little of
    /// it stands at the nominal places of codewords that are nearly as long.
    fn at_any_speed(&self, sound: &Sound<'_>, nominal: Reading) -> Reading {
        let read = opinions::count_on(&nominal.words);
        if read > 0 && 2 * read >= nominal.words.len() {
            return nominal;
        }
        let length = sound.samples.len();
        let mut periods = repeats::periods(&sound.white, length, self.transform.hertz());
        periods.retain(|periods| {
            let tried = nominal
                .run
                .map(|run| (periods.about / run.period - 1.0).abs());
            tried.is_none_or(|off| off > CLOCKS)
        });
        let repeating = self.best(sound, Self::folds(sound, &periods, &EITHER, 1.0));
        if opinions::count_on(&repeating.words) > read {
            repeating
        } else {
            nominal
        }
    }

    /// Reads on as code ran just before. If synchronizing words stand there but no codeword counts on,
    /// that was taken for code which runs the other way.
    fn followed(&self, sound: &Sound<'_>, run: Run) -> Reading {
        let run_on = |direction, enough| {
            let folds = Self::folds(sound, &Self::near(run), &[direction], enough);
            self.best(sound, folds)
        };
        let onwards = run_on(run.direction, FOLLOWED_ENOUGH);
        let clean = onwards.words.iter().filter(|word| word.is_clean).count();
        if 2 * clean < onwards.words.len() || opinions::count_on(&onwards.words) > 0 {
            return onwards;
        }
        let turned = run_on(run.direction.turned(), 1.0);
        if opinions::count_on(&turned.words) > 0 {
            turned
        } else {
            onwards
        }
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
        let length = sound.samples.len();
        let mut folds: Vec<Fold> = Vec::new();
        for alike in periods.chunk_by(Periods::is_near) {
            let ways = Correlation::either_way(&sound.white, length, alike[0].about);
            let ways = ways
                .iter()
                .filter(|way| directions.contains(&way.direction()));
            folds
                .extend(ways.flat_map(|way| alike.iter().filter_map(|&periods| way.fold(periods))));
        }
        let best = directions.iter().filter_map(|&direction| {
            let own = folds.iter().filter(|fold| fold.direction == direction);
            own.max_by(|a, b| a.score.total_cmp(&b.score)).copied()
        });
        best.filter(|fold| fold.score > enough).collect()
    }

    /// The reading of the fold that explains the sound best. Backwards, the synchronizing word looks
    /// nearly as good: which way code runs shows when its codewords have been weighed.
    fn best(&self, sound: &Sound<'_>, folds: Vec<Fold>) -> Reading {
        let mut reversed = None;
        let mut best: Option<(Fit, Reading)> = None;
        for fold in folds {
            let length = sound.samples.len();
            let (sound, begins) = match fold.direction {
                Direction::Forward => (sound, fold.begins),
                Direction::Reverse => {
                    let sound = &*reversed.get_or_insert_with(|| sound.turned(&self.transform));
                    (sound, length as f64 - 1.0 - fold.begins - fold.period)
                }
            };
            let clock = FrameClock::straight(begins, fold.period, length);
            let (likelihood, clock) = settled(&sound.white, &clock);
            let reading = self.words(sound, &clock, fold.direction);
            let fit = Fit {
                count_on: opinions::count_on(&reading.words),
                clean: reading.words.iter().filter(|word| word.is_clean).count(),
                likelihood,
            };
            if best.as_ref().is_none_or(|(other, _)| fit.is_better(other)) {
                best = Some((fit, reading));
            }
        }
        best.map(|(_, reading)| reading).unwrap_or_default()
    }

    /// From a clock that is nearly right to codewords.
    fn words(&self, sound: &Sound<'_>, clock: &FrameClock, direction: Direction) -> Reading {
        let modelled = Modelled::of(&self.transform, sound, clock.clone(), FLOOR);
        let first = modelled.heard(sound, direction);
        let run = Run {
            period: modelled.clock.period(),
            direction,
        };
        let ask = |other| match other {
            Other::Beside => self.heard_with_those_beside(sound, &modelled, direction, &first),
            Other::Floor(floor) => {
                let modelled = Modelled::of(&self.transform, sound, clock.clone(), floor);
                modelled.heard(sound, direction)
            }
        };
        let beside = (!sound.beside.is_empty()).then_some(Other::Beside);
        let others = beside.into_iter().chain(LOSSY_FLOORS.map(Other::Floor));
        Reading {
            words: opinions::best(&first, others.map(ask)),
            run: Some(run),
            supposed: Some(run),
        }
    }

    /// What is heard of a sound, and of those beside it that have the same code; nothing if none has.
    fn heard_with_those_beside(
        &self,
        sound: &Sound<'_>,
        own: &Modelled,
        direction: Direction,
        words: &[Heard],
    ) -> Vec<Heard> {
        let mut slopes = Cow::Borrowed(&own.slopes);
        for samples in sound.beside {
            let samples = match direction {
                Direction::Forward => Sound::prepared(&self.transform, samples, &[]),
                Direction::Reverse => Sound::prepared(&self.transform, &turned(samples), &[]),
            };
            let Some(other) = samples else { continue };
            let modelled = Modelled::of(&self.transform, &other, own.clock.clone(), FLOOR);
            let others = modelled.heard(&other, direction);
            if modelled.is_in_step(own) && opinions::are_of_one(words, &others) {
                slopes = Cow::Owned(channels::joined(&slopes, &modelled.slopes));
            }
        }
        match slopes {
            Cow::Borrowed(_) => Vec::new(),
            Cow::Owned(slopes) => own.clone().saying(slopes).heard(sound, direction),
        }
    }
}

/// How well a direction explains a sound.
#[derive(Debug, Clone, Copy)]
struct Fit {
    /// How many codewords count on from others.
    count_on: usize,
    /// How many synchronizing words stand there by themselves.
    clean: usize,
    likelihood: f64,
}

impl Fit {
    /// Nothing speaks as plainly as codewords that count on. The likelihood takes what whitening does
    /// to code for noise, and can be wrong where little else is noise; there the synchronizing words
    /// speak, but those look much like their own mirror image.
    fn is_better(self, other: &Self) -> bool {
        let said = self.count_on.cmp(&other.count_on);
        let said = said.then(self.clean.cmp(&other.clean));
        let said = said.then(self.likelihood.total_cmp(&other.likelihood));
        said == Ordering::Greater
    }
}

fn is_code(reading: &Reading) -> bool {
    reading.words.iter().filter(|word| word.is_clean).count() >= FEW
}

/// The clock moved by up to two half cells to where the trellis likes it best, and how well.
fn settled(sound: &RunningSum, clock: &FrameClock) -> (f64, FrameClock) {
    let quarter = clock.half() / 4.0;
    let places: Vec<_> = (-QUARTERS..=QUARTERS)
        .map(|quarters| {
            let clock = clock.moved(f64::from(quarters) * quarter);
            let integrals = clock.integrals(sound);
            (Level::of(&integrals), integrals, clock)
        })
        .collect();
    // The same scale for all, or else they could not be compared.
    let level = places
        .iter()
        .map(|place| place.0)
        .max_by(|a, b| a.code.total_cmp(&b.code));
    let judged = places.into_iter().filter_map(|(_, integrals, clock)| {
        let likelihood = trellis::likelihood(&level?.slopes(&integrals), of_codewords);
        Some((likelihood, clock))
    });
    judged
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap_or_else(|| (f64::MIN, clock.clone()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PolarityRule;
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
}
