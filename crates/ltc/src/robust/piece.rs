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

use super::blanking::{self, Click};
use super::channels;
use super::echoes::without_echoes;
use super::frame_clock::{FrameClock, Wander};
use super::level::Level;
use super::model::{Floor, Model};
use super::opinions;
use super::pattern::HALVES;
use super::residue::{self, disturbance};
use super::running_sum::RunningSum;
use super::spectra::{Spectra, Transform, Weights};
use super::sync_fold::{Correlation, Fold, Periods};
use super::trellis::{self, of_codewords};
use super::weigh::{Weighed, Zeros, is_another_word, is_synchronized, weigh};
use super::whitening;
use super::whole;
use crate::{Direction, Disturbance};

/// A codeword that was weighed. Positions are samples of the piece, as the sound runs.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Heard {
    pub(crate) begins: f64,
    pub(crate) ends: f64,
    pub(crate) direction: Direction,
    pub(crate) weighed: Weighed,
    /// Whether its synchronizing word stands there by itself.
    pub(crate) is_clean: bool,
    /// How loud the code is, full scale being 1.
    pub(crate) level: f32,
    /// What lies over the code of the piece.
    pub(crate) over: Disturbance,
}

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

/// Sound made ready, so that bit 0 comes first if it runs in the direction.
#[derive(Debug)]
pub(super) struct Sound<'a> {
    pub(super) samples: Vec<f32>,
    /// What was taken out of them.
    clicks: Vec<Click>,
    spectra: Spectra,
    weights: Weights,
    pub(super) white: RunningSum,
    /// The same time on other channels, as it came.
    beside: &'a [&'a [f32]],
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
/// How often the clock is followed.
const CLOCK_ROUNDS: usize = 3;
/// How often the clock is moved to where the channel has the code, until it is off by less than
/// this, in samples, and how far at most, in half cells.
const PLACINGS: usize = 2;
const PLACED: f64 = 0.3;
const FARTHEST: f64 = 1.25;
/// How far the steepest edges may move the clock, in half cells: it was followed before.
const FINE: f64 = 0.04;
/// What the noise is believed to be at least.
const FLOOR: Floor = Floor(0.003);
/// The same where it follows the code, as that of lossy coding does; and where nothing is believed of
/// how it changes, unless it is louder than the code.
const LOSSY_FLOORS: [Floor; 2] = [Floor(0.1), Floor(3.0)];
/// A piece whose samples are all within this is silent: half a step of 24 bits.
const SILENCE: f32 = 6e-8;
/// With so few clean codewords code was not found.
const FEW: usize = 2;
pub(super) const EITHER: [Direction; 2] = [Direction::Forward, Direction::Reverse];

/// Reads pieces of sound of one sample rate.
#[derive(Debug, Clone)]
pub(crate) struct Pieces {
    hertz: f64,
    transform: Transform,
}

/// What is asked where the first opinion on a sound is not enough.
#[derive(Debug, Clone, Copy)]
enum Other {
    /// The sounds beside it.
    Beside,
    /// The same sound, if the noise is believed to be so much at least.
    Floor(Floor),
}

/// What is known of a sound once its code was taken out to see the noise.
#[derive(Debug, Clone)]
struct Modelled {
    clock: FrameClock,
    /// What each half cell says, by the channel and the noise.
    slopes: Vec<f32>,
    /// The sound whitened by the noise alone.
    steep: RunningSum,
    /// What lies over the code.
    over: Disturbance,
}

impl Pieces {
    pub(crate) fn new(hertz: f64) -> Self {
        Self {
            hertz,
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
        let Some(sound) = self.prepared(samples) else {
            return Reading::default();
        };
        let sound = Sound { beside, ..sound };
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
            ..self.best(&sound, folds)
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

    /// Sound of finite samples, unless it is silent or too short to tell anything.
    pub(super) fn prepared(&self, samples: &[f32]) -> Option<Sound<'static>> {
        let mut samples = samples.to_vec();
        let (low, high) = samples
            .iter()
            .fold((f32::MAX, f32::MIN), |(low, high), &x| {
                (low.min(x), high.max(x))
            });
        if samples.len() < 2 * self.transform.size() || high - low < SILENCE {
            return None;
        }
        let clicks = blanking::blank(&mut samples, self.hertz);
        Some(self.sound(samples, clicks))
    }

    fn sound(&self, samples: Vec<f32>, clicks: Vec<Click>) -> Sound<'static> {
        let spectra = self.transform.spectra(&samples);
        let weights = whitening::weights(&spectra);
        let white = whitening::whiten(&self.transform, &spectra, &weights, samples.len());
        Sound {
            white: RunningSum::of(&white),
            samples,
            clicks,
            spectra,
            weights,
            beside: &[],
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
            about: self.hertz / rate,
            within: CLOCKS,
        });
        periods.to_vec()
    }

    /// The nominal number of frames in a second of codewords of a length.
    pub(super) fn frames_in_a_second(&self, period: f64) -> u16 {
        match (self.hertz / period).round() {
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
                    let backwards = || Sound {
                        beside: sound.beside,
                        ..self.sound(turned(&sound.samples), sound.clicks.clone())
                    };
                    let sound = &*reversed.get_or_insert_with(backwards);
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
        let modelled = self.model(sound, clock.clone(), FLOOR);
        let first = Self::heard(sound, &modelled, direction);
        let run = Run {
            period: modelled.clock.period(),
            direction,
        };
        let ask = |other| match other {
            Other::Beside => self.heard_with_those_beside(sound, &modelled, direction, &first),
            Other::Floor(floor) => {
                let modelled = self.model(sound, clock.clone(), floor);
                Self::heard(sound, &modelled, direction)
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
                Direction::Forward => self.prepared(samples),
                Direction::Reverse => self.prepared(&turned(samples)),
            };
            let Some(other) = samples else { continue };
            let modelled = self.model(&other, own.clock.clone(), FLOOR);
            let others = Self::heard(&other, &modelled, direction);
            let near = FARTHEST * own.clock.half();
            if modelled.clock.is_within(near, &own.clock) && opinions::are_of_one(words, &others) {
                slopes = Cow::Owned(channels::joined(&slopes, &modelled.slopes));
            }
        }
        match slopes {
            Cow::Borrowed(_) => Vec::new(),
            Cow::Owned(slopes) => Self::heard(
                sound,
                &Modelled {
                    slopes,
                    ..own.clone()
                },
                direction,
            ),
        }
    }

    /// The codewords that a sound and what is known of it come to.
    fn heard(sound: &Sound<'_>, modelled: &Modelled, direction: Direction) -> Vec<Heard> {
        let Modelled {
            clock,
            slopes,
            steep,
            over,
        } = modelled;
        // The model knows the synchronizing word and would find it anywhere.
        let clean = either_clean([&sound.white, steep], clock);
        let level = loudness(sound, clock, slopes);
        let length = sound.samples.len() as f64;
        let words = weighed(slopes);
        let words = words.into_iter().zip(clean).enumerate();
        let words = words.filter_map(|(number, (weighed, is_clean))| {
            let [begins, ends] = clock.codeword(number);
            if begins < -1.0 || ends > length {
                return None;
            }
            let (begins, ends) = match direction {
                Direction::Forward => (begins, ends),
                Direction::Reverse => (length - 1.0 - ends, length - 1.0 - begins),
            };
            Some(Heard {
                begins,
                ends,
                direction,
                weighed,
                is_clean,
                level,
                over: *over,
            })
        });
        let mut words: Vec<Heard> = words.collect();
        if direction == Direction::Reverse {
            words.reverse();
        }
        words
    }

    /// Takes the code out of the sound to see the noise, and weighs by it. That takes two rounds:
    /// what was whitened by all that is heard hides what the code itself is.
    fn model(&self, sound: &Sound<'_>, clock: FrameClock, floor: Floor) -> Modelled {
        let (transform, spectra, length) = (&self.transform, &sound.spectra, sound.samples.len());
        let clock = followed(&sound.white, clock);
        let levels = expected(&sound.white, &clock);
        let (clock, model) = self.placed(sound, clock, &sound.weights, &levels);
        let weights = model.weights(transform, spectra, floor);
        let slopes = model.hear(transform, spectra, &weights, &clock, &levels, length);
        let levels = trellis::expected_levels(&slopes, of_codewords);
        // Whitened by the noise alone, edges are as steep as the channel has them; but where the noise
        // is much louder at some pitches than at others, little is left of edges.
        let steep = RunningSum::of(&transform.sound(&spectra.weighted(&weights), length));
        let fine = clock.followed(&steep, &levels, Wander::Settled);
        let clock = if fine.is_within(FINE * clock.half(), &clock) {
            fine
        } else {
            clock
        };
        let (clock, model) = self.placed(sound, clock, &weights, &levels);
        let weights = model.weights(transform, spectra, floor);
        let slopes = model.hear(transform, spectra, &weights, &clock, &levels, length);
        let over = disturbance(&residue::Heard {
            transform,
            spectra,
            model: &model,
            levels: &levels,
            clicks: &sound.clicks,
            level: loudness(sound, &clock, &slopes),
            samples: &sound.samples,
            hertz: self.hertz,
        });
        let steep = RunningSum::of(&transform.sound(&spectra.weighted(&weights), length));
        Modelled {
            clock,
            slopes,
            steep,
            over,
        }
    }

    /// The code taken for what it is, and the clock moved to where the channel has it. Channel and
    /// clock could trade a delay, up to a whole half cell.
    fn placed(
        &self,
        sound: &Sound<'_>,
        mut clock: FrameClock,
        weights: &Weights,
        levels: &[f32],
    ) -> (FrameClock, Model) {
        let of = |clock: &FrameClock| {
            let length = sound.samples.len();
            Model::new(
                &self.transform,
                &sound.spectra,
                weights,
                clock,
                levels,
                length,
            )
        };
        let mut model = of(&clock);
        for _ in 0..PLACINGS {
            let late = model.late;
            if late.abs() < PLACED || late.abs() > FARTHEST * clock.half() {
                break;
            }
            clock = clock.moved(late);
            model = of(&clock);
        }
        (clock, model)
    }
}

/// Sound backwards.
fn turned(samples: &[f32]) -> Vec<f32> {
    samples.iter().rev().copied().collect()
}

/// The levels of half cells that the integrals of a sound make expect.
fn expected(sound: &RunningSum, clock: &FrameClock) -> Vec<f32> {
    let integrals = clock.integrals(sound);
    trellis::expected_levels(&Level::of(&integrals).slopes(&integrals), of_codewords)
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

/// Whether the synchronizing word of each codeword stands there by itself, in the sound in which more
/// of them do. Whitened by all that is heard, a lone hum is gone together with the code beneath it;
/// whitened by the noise alone, edges are as flat as a channel without high frequencies made them.
fn either_clean(sounds: [&RunningSum; 2], clock: &FrameClock) -> Vec<bool> {
    let clean = sounds.map(|sound| clean(sound, clock));
    let most = clean
        .into_iter()
        .max_by_key(|clean| clean.iter().filter(|&&clean| clean).count());
    most.unwrap_or_default()
}

/// The same in one sound; none at all where what stands there is another word.
fn clean(sound: &RunningSum, clock: &FrameClock) -> Vec<bool> {
    let integrals = clock.integrals(sound);
    let slopes = Level::of(&integrals).slopes(&integrals);
    let words = slopes.chunks_exact(HALVES);
    let clean: Vec<bool> = words.map(is_synchronized).collect();
    let levels = trellis::expected_levels(&slopes, of_codewords);
    let alone = without_echoes(&slopes, &levels);
    let synchronized = alone.chunks_exact(HALVES).zip(&clean);
    let synchronized = synchronized.filter(|(_, clean)| **clean);
    if is_another_word(synchronized.map(|(word, _)| word)) {
        return vec![false; clean.len()];
    }
    clean
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

/// The clock followed from codeword to codeword.
fn followed(sound: &RunningSum, mut clock: FrameClock) -> FrameClock {
    for round in 1..=CLOCK_ROUNDS {
        let wander = if round < CLOCK_ROUNDS {
            Wander::Settling
        } else {
            Wander::Settled
        };
        clock = clock.followed(sound, &expected(sound, &clock), wander);
    }
    clock
}

/// The share of codewords with an even number of zeros from which on all have one...
const EVEN: f64 = 0.85;
/// ...of those that are surer than this, in nats...
const SURE: f32 = 4.0;
/// ...and of these, so many must there be.
const SURE_ENOUGH: usize = 8;

/// The codewords that half cells say. Whether the correction bit is in use is learnt from the
/// codewords that are sure without it.
fn weighed(slopes: &[f32]) -> Vec<Weighed> {
    let all = |zeros| -> Vec<Weighed> {
        slopes
            .chunks_exact(HALVES)
            .map(|word| weigh(word, zeros))
            .collect()
    };
    let words = all(Zeros::Any);
    let sure: Vec<&Weighed> = words.iter().filter(|word| word.margin > SURE).collect();
    let even = sure.iter().filter(|word| word.codeword.is_even()).count();
    if sure.len() >= SURE_ENOUGH && even as f64 > EVEN * sure.len() as f64 {
        all(Zeros::Even)
    } else {
        words
    }
}

/// How loud the code is in the sound as it came.
fn loudness(sound: &Sound<'_>, clock: &FrameClock, slopes: &[f32]) -> f32 {
    let levels = trellis::expected_levels(slopes, of_codewords);
    let integrals = clock.integrals(&RunningSum::of(&sound.samples));
    let fit: f64 = levels
        .iter()
        .zip(&integrals)
        .map(|(a, part)| f64::from(a * part))
        .sum();
    let certain: f64 = levels.iter().map(|a| f64::from(a * a)).sum();
    whole::single((fit / (certain.max(1.0) * clock.half())).abs())
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
