//! Some seconds of sound in which no codeword can be read, from samples to what all of them say
//! together.

use std::cmp::Reverse;

use super::channels;
use super::frame_clock::FrameClock;
use super::level::Level;
use super::pattern::{BEFORE_SYNC, HALVES, SYNC_LEVELS, is_one};
use super::piece::Pieces;
use super::reading::Run;
use super::sound::Sound;
use super::sync_fold::{Fold, Periods};
use super::together::{Joint, joint};
use crate::{Codeword, Direction, UserBitsHeard};

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
    pub(crate) user_bits: UserBitsHeard,
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
    sound: Sound<'static>,
    clock: FrameClock,
    joint: Joint,
}

/// How often the clock is set by what was found.
const CLOCK_ROUNDS: usize = 2;
/// Another channel may make sure of a start that is no more than so many nats less probable than the best
/// one by the channel itself.
const UNLIKE: f64 = 3.0;

impl Pieces {
    /// What all codewords of a window say, if it is code of a kind that its pieces made supposed. `beside`
    /// is the same time on other channels that may have the same code.
    pub(crate) fn together(
        &self,
        samples: &[f32],
        beside: &[&[f32]],
        supposed: &[Run],
    ) -> Option<HeardTogether> {
        // The mirror image of the synchronizing word is much like it, but not what is between.
        let mut directions = Direction::EITHER;
        directions.sort_by_key(|&direction| {
            let speak = supposed.iter().filter(|run| run.direction == direction);
            Reverse(speak.count())
        });
        let mut best: Option<Way> = None;
        for direction in directions {
            let Some(way) = self.way(samples, supposed, direction) else {
                continue;
            };
            if way.joint.is_certain() {
                best = Some(way);
                break;
            }
            let level = way.joint.level;
            if best.as_ref().is_none_or(|best| level > best.joint.level) {
                best = Some(way);
            }
        }
        let mut way = best?;
        (way.clock, way.joint) = way.set(self, &way.joint, &[])?;
        if !way.joint.is_certain()
            && let Some(with_others) = self.with_others(&way, beside)
        {
            (way.clock, way.joint) = with_others;
        }
        way.whole_ones()
    }

    /// What the sound says if code runs in a direction.
    fn way(&self, samples: &[f32], supposed: &[Run], direction: Direction) -> Option<Way> {
        let sound = Sound::prepared_towards(&self.transform, samples, direction)?;
        let fold = self.likeliest(&sound, supposed)?;
        let clock = FrameClock::straight(fold.begins, fold.period, sound.samples.len());
        let halves = halves(&sound, &clock);
        if is_a_tone(&halves) {
            return None;
        }
        let joint = joint(&halves, self.frames_in_a_second(clock.period()))?;
        Some(Way {
            direction,
            sound,
            clock,
            joint,
        })
    }

    /// What it says with other channels, if these make sure of it.
    fn with_others(&self, own: &Way, beside: &[&[f32]]) -> Option<(FrameClock, Joint)> {
        let others = beside.iter();
        let others: Vec<Sound<'_>> = others
            .filter_map(|samples| Sound::prepared_towards(&self.transform, samples, own.direction))
            .collect();
        if others.is_empty() {
            return None;
        }
        let joint = own.joint(self, &own.clock, &others)?;
        if !joint.is_certain() {
            return None;
        }
        let (clock, joint) = own.set(self, &joint, &others)?;
        (joint.is_certain() && own.may_have(&joint, &clock)).then_some((clock, joint))
    }

    /// The highest fold of those that are supposed.
    fn likeliest(&self, sound: &Sound<'_>, supposed: &[Run]) -> Option<Fold> {
        let is_supposed = |periods: &Periods| {
            let near = |run: &Run| (run.period / periods.about - 1.0).abs() <= periods.within;
            supposed.iter().any(near)
        };
        let periods: Vec<Periods> = self.nominal().into_iter().filter(is_supposed).collect();
        let folds = Self::folds(sound, &periods, &[Direction::Forward], 1.0);
        folds.into_iter().next()
    }
}

/// The half cells of a sound, with noise of variance 1.
fn halves(sound: &Sound<'_>, clock: &FrameClock) -> Vec<f32> {
    let integrals = clock.integrals(&sound.white);
    Level::of(&integrals).over_noise(&integrals)
}

impl Way {
    /// The clock set by what was found, and what is found by that.
    fn set(
        &self,
        pieces: &Pieces,
        found: &Joint,
        others: &[Sound<'_>],
    ) -> Option<(FrameClock, Joint)> {
        let mut clock = self.clock.clone();
        for _ in 0..CLOCK_ROUNDS {
            clock = clock.straightened(&self.sound.white, &found.levels);
        }
        let joint = self.joint(pieces, &clock, others)?;
        Some((clock, joint))
    }

    /// What its half cells say, with those of other channels.
    fn joint(&self, pieces: &Pieces, clock: &FrameClock, others: &[Sound<'_>]) -> Option<Joint> {
        let own = halves(&self.sound, clock);
        let all = others.iter().fold(own, |own, other| {
            channels::joined_over_noise(&own, &halves(other, clock))
        });
        joint(&all, pieces.frames_in_a_second(clock.period()))
    }

    /// Whether what was found with others may be what it has by itself: another channel may have code of
    /// its own that runs in step.
    fn may_have(&self, found: &Joint, clock: &FrameClock) -> bool {
        let halves = halves(&self.sound, clock);
        let fit = |joint: &Joint| -> f64 {
            let parts = joint.levels.iter().zip(&halves);
            parts
                .map(|(a, half)| f64::from(a * half))
                .sum::<f64>()
                .abs()
        };
        let (best, found) = (fit(&self.joint), fit(found));
        let level = found / halves.len().max(1) as f64;
        level * (best - found) <= UNLIKE
    }

    /// What was found, less the codewords that the window cuts.
    fn whole_ones(&self) -> Option<HeardTogether> {
        let (clock, joint) = (&self.clock, &self.joint);
        let length = self.sound.samples.len() as f64;
        let is_whole = |number: &usize| {
            let [begins, ends] = clock.codeword(*number);
            begins >= -1.0 && ends <= length
        };
        let whole: Vec<usize> = (0..joint.codewords.len()).filter(is_whole).collect();
        let (first, last) = (*whole.first()?, *whole.last()?);
        let level = self.sound.loudness(clock, &joint.levels);
        let mut codewords = joint.codewords.get(first..=last)?.to_vec();
        let ([begins, _], [_, ends]) = (clock.codeword(first), clock.codeword(last));
        let (begins, ends) = match self.direction {
            Direction::Forward => (begins, ends),
            Direction::Reverse => {
                codewords.reverse();
                (length - 1.0 - ends, length - 1.0 - begins)
            }
        };
        Some(HeardTogether {
            begins,
            ends,
            direction: self.direction,
            codewords,
            user_bits: joint.user_bits,
            odds: joint.odds,
            fit: joint.fit,
            jumps: joint.jumps,
            level,
        })
    }
}

/// Half cells of the zeros in a synchronizing word, and of the ones.
const ZEROS: f64 = 6.0;
const ONES: f64 = 26.0;
/// Zeros that are less than this part as loud as the ones, both as power, are not there.
const AS_LOUD: f64 = 0.2;

/// Whether the ones of the synchronizing words are there without the zeros. A tone of their pitch has
/// just that, and to try all starts takes long.
fn is_a_tone(halves: &[f32]) -> bool {
    let (mut both, mut ones_alone) = (0.0, 0.0);
    for word in halves.chunks_exact(HALVES) {
        let (mut zeros, mut ones) = (0.0, 0.0);
        let fits = word[BEFORE_SYNC..].iter().zip(SYNC_LEVELS);
        for (number, (half, level)) in fits.enumerate() {
            let sum = if is_one(number / 2) {
                &mut ones
            } else {
                &mut zeros
            };
            *sum += f64::from(half * level);
        }
        both += zeros * ones;
        // Noise of variance 1 adds that of each half cell.
        ones_alone += ones * ones - ONES;
    }
    both / (ZEROS * ONES) < AS_LOUD * ones_alone / (ONES * ONES)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PolarityRule;
    use crate::robust::pattern::levels;
    use crate::robust::testing::{Random, counting};
    use plumbline_timecode::Count;

    /// Code at -25 dB, where a start is still told, with timing given; a tone at -15 dB.
    #[test]
    fn code_is_no_tone_and_a_tone_is() {
        let mut random = Random::new(81);
        let amplitude = (12.0 * 10_f32.powf(-2.5)).sqrt();
        let code = levels(&counting(Count::F25, 250, PolarityRule::Corrected));
        let alternating = |half: usize| if half.is_multiple_of(2) { 1.0 } else { -1.0 };
        let tone: Vec<f32> = (0..code.len()).map(alternating).collect();
        for _ in 0..50 {
            let mut heard = |levels: &[f32], amplitude: f32| -> Vec<f32> {
                let heard = levels.iter().map(|a| amplitude * a + random.normal());
                heard.collect()
            };
            assert!(!is_a_tone(&heard(&code, amplitude)));
            assert!(is_a_tone(&heard(&tone, 3.0 * amplitude)));
        }
    }
}
