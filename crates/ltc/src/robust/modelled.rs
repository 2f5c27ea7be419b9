//! What is known of a sound once its code was taken out to see the noise, and the codewords that this
//! comes to.

use super::echoes::without_echoes;
use super::frame_clock::FrameClock;
use super::level::Level;
use super::model::{Floor, Model};
use super::pattern::{HALVES, Prior};
use super::residue::{self, disturbance};
use super::running_sum::RunningSum;
use super::smoother::Wander;
use super::sound::Sound;
use super::spectra::{Transform, Weights};
use super::trellis::{self, of_anything, of_codewords};
use super::weigh::{Weighed, Zeros, is_another_word, is_synchronized, weigh};
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

/// What is known of a sound once its code was taken out to see the noise.
#[derive(Debug, Clone)]
pub(super) struct Modelled {
    pub(super) clock: FrameClock,
    /// What each half cell says, by the channel and the noise.
    pub(super) slopes: Vec<f32>,
    /// The sound whitened by the noise alone.
    steep: RunningSum,
    /// How loud the code is, full scale being 1.
    level: f32,
    /// What lies over it.
    over: Disturbance,
}

/// How often the code is taken out.
const ROUNDS: usize = 3;
/// How often the clock is followed.
const CLOCK_ROUNDS: usize = 3;
/// How often the clock is moved to where the channel has the code, until it is off by less than
/// this, in samples, and how far at most, in half cells.
const PLACINGS: usize = 2;
const PLACED: f64 = 0.3;
const FARTHEST: f64 = 1.25;
/// How far the steepest edges may move the clock, in half cells: it was followed before.
const FINE: f64 = 0.04;

/// What a sound is taken for.
#[derive(Debug, Clone, Copy)]
struct Taken<'a> {
    transform: &'a Transform,
    sound: &'a Sound<'a>,
    floor: Floor,
}

/// The code taken out once, and what the noise then shows.
struct Round {
    clock: FrameClock,
    /// The levels that were expected.
    levels: Vec<f32>,
    model: Model,
    weights: Weights,
    /// What each half cell says.
    slopes: Vec<f32>,
    /// The sound whitened by the noise alone. Edges are as steep as the channel has them; but where the
    /// noise is much louder at some pitches than at others, little is left of edges.
    steep: RunningSum,
}

impl Taken<'_> {
    /// Takes code of such levels out of the sound, as it is heard under such weights.
    fn round(self, clock: FrameClock, weights: &Weights, levels: Vec<f32>) -> Round {
        let Self {
            transform,
            sound,
            floor,
        } = self;
        let (spectra, length) = (&sound.spectra, sound.samples.len());
        let (clock, model) = placed(transform, sound, clock, weights, &levels);
        let weights = model.weights(transform, spectra, floor);
        Round {
            slopes: model.hear(transform, spectra, &weights, &clock, &levels, length),
            steep: RunningSum::of(&transform.sound(&spectra.weighted(&weights), length)),
            clock,
            levels,
            model,
            weights,
        }
    }

    /// The same with the levels and the clock that the round before has come to.
    fn next(self, before: &Round) -> Round {
        let levels = trellis::expected_levels(&before.slopes, of_anything);
        let fine = before
            .clock
            .followed(&before.steep, &levels, Wander::SETTLED);
        let clock = if fine.is_within(FINE * before.clock.half(), &before.clock) {
            fine
        } else {
            before.clock.clone()
        };
        self.round(clock, &before.weights, levels)
    }
}

impl Modelled {
    /// Takes the code out of the sound to see the noise, and weighs by it. That takes some rounds:
    /// what was whitened by all that is heard hides what the code itself is. Nothing is presumed of the
    /// synchronizing words: where others stand, what they differ in would be taken for noise.
    pub(super) fn of(
        transform: &Transform,
        sound: &Sound<'_>,
        clock: FrameClock,
        floor: Floor,
    ) -> Self {
        let taken = Taken {
            transform,
            sound,
            floor,
        };
        let clock = followed(&sound.white, clock);
        let levels = expected(&sound.white, &clock, of_anything);
        let mut round = taken.round(clock, &sound.weights, levels);
        for _ in 1..ROUNDS {
            round = taken.next(&round);
        }
        let levels = trellis::expected_levels(&round.slopes, of_codewords);
        let level = sound.loudness(&round.clock, &levels);
        let over = disturbance(&residue::Heard {
            transform,
            sound,
            model: &round.model,
            levels: &round.levels,
            level,
        });
        Self {
            clock: round.clock,
            slopes: round.slopes,
            steep: round.steep,
            level,
            over,
        }
    }

    /// The same, if half cells say that.
    pub(super) fn saying(self, slopes: Vec<f32>) -> Self {
        Self { slopes, ..self }
    }

    /// Whether its clock is that of another sound, as far as a channel may delay it.
    pub(super) fn is_in_step(&self, other: &Self) -> bool {
        let near = FARTHEST * other.clock.half();
        self.clock.is_within(near, &other.clock)
    }

    /// The codewords that it comes to, if the sound was turned so that code runs forward.
    pub(super) fn heard(&self, sound: &Sound<'_>, direction: Direction) -> Vec<Heard> {
        let Self {
            clock,
            slopes,
            steep,
            level,
            over,
        } = self;
        let clean = either_clean([&sound.white, steep], clock);
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
                level: *level,
                over: *over,
            })
        });
        let mut words: Vec<Heard> = words.collect();
        if direction == Direction::Reverse {
            words.reverse();
        }
        words
    }
}

/// The code taken for what it is, and the clock moved to where the channel has it. Channel and
/// clock could trade a delay, up to a whole half cell.
fn placed(
    transform: &Transform,
    sound: &Sound<'_>,
    mut clock: FrameClock,
    weights: &Weights,
    levels: &[f32],
) -> (FrameClock, Model) {
    let of = |clock: &FrameClock| {
        let length = sound.samples.len();
        Model::new(transform, &sound.spectra, weights, clock, levels, length)
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

/// The levels of half cells that the integrals of a sound make expect.
fn expected(sound: &RunningSum, clock: &FrameClock, prior: impl Fn(usize) -> Prior) -> Vec<f32> {
    let integrals = clock.integrals(sound);
    trellis::expected_levels(&Level::of(&integrals).slopes(&integrals), prior)
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

/// The clock followed from codeword to codeword.
fn followed(sound: &RunningSum, mut clock: FrameClock) -> FrameClock {
    for round in 1..=CLOCK_ROUNDS {
        let wander = if round < CLOCK_ROUNDS {
            Wander::SETTLING
        } else {
            Wander::SETTLED
        };
        clock = clock.followed(sound, &expected(sound, &clock, of_codewords), wander);
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
