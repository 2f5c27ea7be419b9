//! Taking the measurements.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use std::thread;

use super::case::{Case, Sweep};
use super::{Effort, SweepError};
use crate::{
    DamageError, Decibels, Reader, Score, Seed, Trials, best_position, best_single_word,
    half_cell_snr,
};

/// What a case came to.
#[derive(Debug, Clone)]
pub(crate) enum Outcome {
    /// The score of each reader, and what the best one of single codewords could do, where that
    /// is known.
    Measured {
        scores: Vec<Score>,
        limit: Option<Limit>,
    },
    /// A program that the damage needs is missing.
    NotMeasured,
}

/// What the best receiver could do in white noise.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Limit {
    /// Codewords, each on its own, with known timing.
    pub(crate) words: Trials,
    /// The root mean square of where a known codeword is placed, in samples.
    pub(crate) position: f64,
}

/// Measures all cases of all sweeps; outcomes are in their order. Cores share the work, and which
/// of them does what changes nothing, since every case has seeds of its own.
pub(crate) fn measure(
    sweeps: &[Sweep],
    readers: &[&dyn Reader],
    effort: Effort,
) -> Result<Vec<Vec<Outcome>>, SweepError> {
    let cases: Vec<(u64, &Case)> = sweeps
        .iter()
        .flat_map(|sweep| (seeds(sweep.stem)..).step_by(SEEDS).zip(&sweep.cases))
        .collect();
    let outcomes = in_parallel(cases.len(), |number| {
        let (first, case) = cases[number];
        outcome(case, first, readers, effort)
    });
    let mut outcomes = outcomes.into_iter();
    sweeps
        .iter()
        .map(|sweep| outcomes.by_ref().take(sweep.cases.len()).collect())
        .collect()
}

/// So many pieces of work, shared by the cores; what they come to, in their order.
pub(crate) fn in_parallel<T: Send>(count: usize, work: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let next = AtomicUsize::new(0);
    let done = Mutex::new(Vec::new());
    let take_turns = || {
        loop {
            let number = next.fetch_add(1, Ordering::Relaxed);
            if number >= count {
                break;
            }
            let one = work(number);
            let mut done = done.lock().unwrap_or_else(PoisonError::into_inner);
            done.push((number, one));
        }
    };
    thread::scope(|scope| {
        for _ in 0..thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(take_turns);
        }
    });
    let mut done = done.into_inner().unwrap_or_else(PoisonError::into_inner);
    done.sort_by_key(|(number, _)| *number);
    done.into_iter().map(|(_, one)| one).collect()
}

/// How many seeds a case may use.
const SEEDS: usize = 1000;

/// The first seed of what has a name: its letters (by the hash of Fowler, Noll and Vo). So a new
/// sweep, or an order that changes, leaves the takes of the others as they are.
pub(crate) fn seeds(name: &str) -> u64 {
    let hash = name.bytes().fold(0x811C_9DC5_u32, |hash, byte| {
        (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193)
    });
    u64::from(hash) << 24
}

fn outcome(
    case: &Case,
    first: u64,
    readers: &[&dyn Reader],
    effort: Effort,
) -> Result<Outcome, SweepError> {
    let mut scores = vec![Score::default(); readers.len()];
    for take in 0..effort.takes() {
        let take = match case.take(effort.seed(first + take), effort.part()) {
            Err(DamageError::NoProgram { .. }) => return Ok(Outcome::NotMeasured),
            take => take?,
        };
        for (score, reader) in scores.iter_mut().zip(readers) {
            *score = score.and(Score::of(&take, &reader.read(&take)));
        }
    }
    let limit = case
        .snr
        .map(|snr| limit(case, snr, first, effort))
        .transpose()?;
    Ok(Outcome::Measured { scores, limit })
}

fn limit(case: &Case, snr: Decibels, first: u64, effort: Effort) -> Result<Limit, SweepError> {
    let gamma = half_cell_snr(case.source.codeword_samples(), snr.power());
    let seed = effort.seed(first + SEEDS as u64 - 1);
    let clean = case.source.take(50, seed)?;
    Ok(Limit {
        words: best_single_word(gamma, effort.limit_words(), &mut seed.random(1)),
        position: best_position(&clean, snr),
    })
}

impl Effort {
    /// Seeds for judging are for judging alone: a quick run looks at others.
    pub(crate) fn seed(self, number: u64) -> Seed {
        match self {
            Self::Full => Seed::judging(number),
            Self::Quick => Seed::tuning(number),
        }
    }

    /// How many takes a case has.
    fn takes(self) -> u64 {
        match self {
            Self::Full => 4,
            Self::Quick => 1,
        }
    }

    /// How long a take is, as a part of its whole length.
    fn part(self) -> f64 {
        match self {
            Self::Full => 1.0,
            Self::Quick => 0.1,
        }
    }

    /// How many codewords the limit is tried on.
    pub(crate) fn limit_words(self) -> u32 {
        match self {
            Self::Full => 40_000,
            Self::Quick => 200,
        }
    }
}
