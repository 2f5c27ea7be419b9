//! From a sound and a clock that is nearly right to codewords that were weighed.

use std::borrow::Cow;
use std::cmp::Ordering;

use super::channels;
use super::frame_clock::FrameClock;
use super::level::Level;
use super::model::Floor;
use super::modelled::{Heard, Modelled};
use super::opinions;
use super::piece::Pieces;
use super::running_sum::RunningSum;
use super::sound::{EitherWay, Sound};
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
    pub(super) fit: Fit,
}

/// How code runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Run {
    pub(super) period: f64,
    pub(super) direction: Direction,
}

/// How well a reading explains a sound.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Fit {
    /// How many codewords count on from others.
    count_on: usize,
    /// How many synchronizing words stand there by themselves.
    clean: usize,
    likelihood: f64,
}

/// Offsets that are tried, in quarters of half cells: two half cells on either side.
const QUARTERS: i8 = 8;
/// What the noise is believed to be at least.
const FLOOR: Floor = Floor(0.003);
/// The same where it follows the code, as that of lossy coding does; and where nothing is believed of
/// how it changes, unless it is louder than the code.
const LOSSY_FLOORS: [Floor; 2] = [Floor(0.1), Floor(3.0)];
/// With so few clean codewords code was not found.
const FEW: usize = 2;

impl Default for Fit {
    fn default() -> Self {
        Self {
            count_on: 0,
            clean: 0,
            likelihood: f64::MIN,
        }
    }
}

impl Fit {
    fn of(words: &[Heard], likelihood: f64) -> Self {
        Self {
            count_on: opinions::count_on(words),
            clean: clean(words),
            likelihood,
        }
    }

    /// Nothing speaks as plainly as codewords that count on. The likelihood takes what whitening does
    /// to code for noise, and can be wrong where little else is noise; there the synchronizing words
    /// speak, but those look much like their own mirror image.
    fn is_better(self, other: Self) -> bool {
        let said = self.count_on.cmp(&other.count_on);
        let said = said.then(self.clean.cmp(&other.clean));
        let said = said.then(self.likelihood.total_cmp(&other.likelihood));
        said == Ordering::Greater
    }
}

/// How many synchronizing words stand there by themselves.
fn clean(words: &[Heard]) -> usize {
    words.iter().filter(|word| word.is_clean).count()
}

impl Reading {
    /// Whether it is of code: enough synchronizing words stand there by themselves.
    pub(super) fn is_code(&self) -> bool {
        self.fit.clean >= FEW
    }

    /// Whether most synchronizing words do.
    pub(super) fn is_mostly_clean(&self) -> bool {
        2 * self.fit.clean >= self.words.len()
    }

    /// Whether nearly all do: tape in noise 6 dB louder than it has four of five.
    pub(super) fn is_nearly_all_clean(&self) -> bool {
        4 * self.fit.clean >= 3 * self.words.len()
    }

    /// Whether some codewords count on from others.
    pub(super) fn counts_on(&self) -> bool {
        self.fit.count_on > 0
    }

    /// Whether most of them do.
    pub(super) fn mostly_counts_on(&self) -> bool {
        self.counts_on() && 2 * self.fit.count_on >= self.words.len()
    }

    /// Whether all of them do.
    pub(super) fn all_counts_on(&self) -> bool {
        self.fit.count_on == self.words.len()
    }

    /// Which of the lengths after which a sound repeats itself, that of one codeword or of some, are left
    /// to be tried, if one within this part of that of its codewords was: none, if these count on or most
    /// of their synchronizing words stand there.
    pub(super) fn untried(&self, periods: Vec<f64>, within: f64) -> Vec<f64> {
        let (tried, left): (Vec<f64>, Vec<f64>) = periods.into_iter().partition(|period| {
            let off = self.run.map(|run| (period / run.period - 1.0).abs());
            off.is_some_and(|off| off <= within)
        });
        if (self.counts_on() || self.is_mostly_clean()) && !tried.is_empty() {
            Vec::new()
        } else {
            left
        }
    }

    /// This one, or another if that explains the sound better.
    pub(super) fn or(self, other: Self) -> Self {
        if other.fit.is_better(self.fit) {
            other
        } else {
            self
        }
    }
}

impl Pieces {
    /// What a clock that is nearly right makes of a sound, as it runs in a direction.
    pub(super) fn by_clock(
        &self,
        sound: &EitherWay<'_>,
        clock: &FrameClock,
        direction: Direction,
    ) -> Reading {
        let sound = sound.towards(&self.transform, direction);
        let clock = match direction {
            Direction::Forward => clock.clone(),
            Direction::Reverse => clock.turned(sound.samples.len()),
        };
        let (likelihood, clock) = settled(&sound.white, &clock);
        let modelled = Modelled::of(&self.transform, sound, clock.clone(), FLOOR);
        let first = modelled.heard(sound, direction);
        let run = Run {
            period: modelled.clock.onwards(direction),
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
        // Where hardly a synchronizing word stands by itself, no other floor makes codewords of it.
        let may_be_code = clean(&first) >= FEW;
        let floors = LOSSY_FLOORS.into_iter().filter(|_| may_be_code);
        let others = beside.into_iter().chain(floors.map(Other::Floor));
        let words = opinions::best(&first, others.map(ask));
        Reading {
            run: Some(run),
            supposed: Some(run),
            fit: Fit::of(&words, likelihood),
            words,
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
            let other = Sound::prepared_towards(&self.transform, samples, direction);
            let Some(other) = other else { continue };
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

/// What is asked where the first opinion on a sound is not enough.
#[derive(Debug, Clone, Copy)]
enum Other {
    /// The sounds beside it.
    Beside,
    /// The same sound, if the noise is believed to be so much at least.
    Floor(Floor),
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
