//! Some seconds of sound in which no codeword can be read, from samples to what all of them say
//! together.

use std::cmp::Reverse;

use super::frame_clock::FrameClock;
use super::level::Level;
use super::pattern::levels;
use super::piece::{EITHER, Pieces, Run, Sound};
use super::running_sum::RunningSum;
use super::sync_fold::{Fold, Periods};
use super::together::{Joint, joint};
use super::whole;
use crate::{Codeword, Direction};

/// Code that was heard. Positions are samples of the window.
#[derive(Debug, Clone)]
pub(crate) struct HeardTogether {
    /// Where the first whole codeword begins, as the sound runs...
    pub(crate) begins: f64,
    /// ...and the last one ends.
    pub(crate) ends: f64,
    pub(crate) direction: Direction,
    /// In the order of the sound.
    pub(crate) codewords: Vec<Codeword>,
    /// By how many nats they are more probable than any with another start.
    pub(crate) odds: f64,
    /// How loud all half cells are with them, against the synchronizing words alone.
    pub(crate) fit: f64,
    /// By how many nats another start explains one part of them better.
    pub(crate) jumps: f64,
    /// How loud the code is, full scale being 1.
    pub(crate) level: f32,
}

/// What is heard in a direction.
#[derive(Debug)]
struct Way {
    direction: Direction,
    sound: Sound,
    clock: FrameClock,
    joint: Joint,
}

/// How often the clock is set by what was found.
const CLOCK_ROUNDS: usize = 2;

impl Pieces {
    /// What all codewords of a window say, if it is code of a kind that its pieces made supposed.
    pub(crate) fn together(&self, samples: &[f32], supposed: &[Run]) -> Option<HeardTogether> {
        // The mirror image of the synchronizing word is much like it, but not what is between.
        let mut directions = EITHER;
        directions.sort_by_key(|&direction| {
            let speak = supposed.iter().filter(|run| run.direction == direction);
            Reverse(speak.count())
        });
        let mut best: Option<Way> = None;
        for direction in directions {
            let Some(way) = self.way(samples, supposed, direction) else {
                continue;
            };
            let is_certain = way.joint.is_certain();
            let level = way.joint.level;
            if is_certain || best.as_ref().is_none_or(|best| level > best.joint.level) {
                best = Some(way);
            }
            if is_certain {
                break;
            }
        }
        let Way {
            direction,
            sound,
            mut clock,
            joint,
        } = best?;
        let found = levels(&joint.codewords);
        for _ in 0..CLOCK_ROUNDS {
            clock = clock.straightened(&sound.white, &found);
        }
        let joint = self.joint(&sound, &clock)?;
        whole_ones(&sound, &clock, direction, &joint)
    }

    /// What the sound says if code runs in a direction.
    fn way(&self, samples: &[f32], supposed: &[Run], direction: Direction) -> Option<Way> {
        // Bit 0 comes first.
        let sound = match direction {
            Direction::Forward => self.prepared(samples)?,
            Direction::Reverse => {
                let turned: Vec<f32> = samples.iter().rev().copied().collect();
                self.prepared(&turned)?
            }
        };
        let fold = self.likeliest(&sound, supposed)?;
        let clock = FrameClock::straight(fold.begins, fold.period, sound.samples.len());
        let joint = self.joint(&sound, &clock)?;
        Some(Way {
            direction,
            sound,
            clock,
            joint,
        })
    }

    /// The highest fold of those that are supposed.
    fn likeliest(&self, sound: &Sound, supposed: &[Run]) -> Option<Fold> {
        let is_supposed = |periods: &Periods| {
            let near = |run: &Run| (run.period / periods.about - 1.0).abs() <= periods.within;
            supposed.iter().any(near)
        };
        let periods: Vec<Periods> = self.nominal().into_iter().filter(is_supposed).collect();
        let folds = Self::folds(sound, &periods, &[Direction::Forward], 1.0);
        folds.into_iter().next()
    }

    fn joint(&self, sound: &Sound, clock: &FrameClock) -> Option<Joint> {
        let integrals = clock.integrals(&sound.white);
        let halves = Level::of(&integrals).over_noise(&integrals);
        joint(&halves, self.frames_in_a_second(clock.period()))
    }
}

/// What was found, less the codewords that the window cuts.
fn whole_ones(
    sound: &Sound,
    clock: &FrameClock,
    direction: Direction,
    joint: &Joint,
) -> Option<HeardTogether> {
    let length = sound.samples.len() as f64;
    let is_whole = |number: &usize| {
        let [begins, ends] = clock.codeword(*number);
        begins >= -1.0 && ends <= length
    };
    let whole: Vec<usize> = (0..joint.codewords.len()).filter(is_whole).collect();
    let (first, last) = (*whole.first()?, *whole.last()?);
    let level = loudness(sound, clock, &levels(&joint.codewords));
    let mut codewords = joint.codewords.get(first..=last)?.to_vec();
    let ([begins, _], [_, ends]) = (clock.codeword(first), clock.codeword(last));
    let (begins, ends) = match direction {
        Direction::Forward => (begins, ends),
        Direction::Reverse => {
            codewords.reverse();
            (length - 1.0 - ends, length - 1.0 - begins)
        }
    };
    Some(HeardTogether {
        begins,
        ends,
        direction,
        codewords,
        odds: joint.odds,
        fit: joint.fit,
        jumps: joint.jumps,
        level,
    })
}

/// How loud the code is in the sound as it came.
fn loudness(sound: &Sound, clock: &FrameClock, levels: &[f32]) -> f32 {
    let integrals = clock.integrals(&RunningSum::of(&sound.samples));
    let fit: f64 = levels
        .iter()
        .zip(&integrals)
        .map(|(a, part)| f64::from(a * part))
        .sum();
    whole::single((fit / (levels.len().max(1) as f64 * clock.half())).abs())
}
