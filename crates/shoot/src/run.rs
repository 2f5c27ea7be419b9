//! A run: codewords of which each follows from the one before it, in some way of counting.

use crate::counts::CountSet;
use crate::whole;
use crate::word::Word;
use plumbline_ltc::Direction;
use plumbline_timecode::Count;

/// How the addresses of a run move while the recording runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Motion {
    Onwards,
    Backwards,
    Still,
}

impl Motion {
    /// Frames that the address moves from one codeword to the next.
    pub(crate) fn sign(self) -> i64 {
        match self {
            Motion::Onwards => 1,
            Motion::Backwards => -1,
            Motion::Still => 0,
        }
    }
}

/// How a codeword follows from a run.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Step {
    counts: CountSet,
    motion: Motion,
    /// Codewords from the run's last one to this one: 1 when nothing is missing.
    pub(crate) codewords: u64,
}

/// A run of codewords.
#[derive(Debug, Clone)]
pub(crate) struct Run {
    /// The countings in which every step so far is right.
    pub(crate) counts: CountSet,
    /// Known from the second codeword on.
    motion: Option<Motion>,
    pub(crate) first: Word,
    pub(crate) last: Word,
    /// Codewords read.
    pub(crate) read: u64,
    /// Of those, the ones that may be believed by themselves.
    trusted: u64,
    /// The last step's codeword spacing, smoothed.
    period: f64,
}

/// A time between codewords may miss a whole number of codewords by this much of one...
const TIME_TOLERANCE: f64 = 0.25;
/// ...and by this much more for each codeword that is missing, because speeds wander.
const DRIFT_TOLERANCE: f64 = 2e-4;
/// Beyond this many codewords the smoothed period tells time better than the word's own.
const LONG_GAP: f64 = 20.0;
/// How quickly the smoothed period follows.
const PERIOD_GAIN: f64 = 1.0 / 32.0;

impl Run {
    /// A run of one codeword; none where its digits are no address in any counting.
    pub(crate) fn begin(word: Word) -> Option<Run> {
        let counts = CountSet::of(|count| word.codeword.address(count).is_ok());
        (!counts.is_empty()).then_some(Run {
            counts,
            motion: None,
            first: word,
            last: word,
            read: 1,
            trusted: u64::from(word.trusted),
            period: word.period,
        })
    }

    /// How the run moves; a single codeword moves as its sync word was read.
    pub(crate) fn motion(&self) -> Motion {
        self.motion.unwrap_or(along(self.first.direction))
    }

    /// Whether enough codewords agree for the run to count: chance agreement of two addresses is
    /// about one in two million, and codewords that are not trusted count half.
    pub(crate) fn stands(&self) -> bool {
        self.read >= 2 && self.trusted + self.read >= 4
    }

    /// How `word` follows from this run, if it does.
    pub(crate) fn follows(&self, word: &Word) -> Option<Step> {
        if word.direction != self.last.direction {
            return None;
        }
        let elapsed = self.codewords_until(word);
        let onwards = along(word.direction);
        [Motion::Still, onwards]
            .into_iter()
            .filter(|&motion| self.motion.is_none_or(|held| held == motion))
            .find_map(|motion| self.step(word, motion, elapsed))
    }

    fn step(&self, word: &Word, motion: Motion, elapsed: f64) -> Option<Step> {
        let expected = |count: Count| {
            let from = self.last.codeword.address(count).ok()?;
            let to = word.codeword.address(count).ok()?;
            let moved = from.frames_until_wrapping(to)?.0;
            match motion {
                Motion::Still => (moved == 0).then_some(elapsed.round().max(1.0)),
                _ => (moved * motion.sign() >= 1).then_some((moved * motion.sign()) as f64),
            }
        };
        let agrees = |codewords: f64| {
            (elapsed - codewords).abs() <= TIME_TOLERANCE + DRIFT_TOLERANCE * codewords
        };
        let held = |count| self.counts.contains(count) && expected(count).is_some_and(agrees);
        let counts = CountSet::of(held);
        let codewords = expected(counts.iter().next()?)?;
        Some(Step {
            counts,
            motion,
            codewords: whole::unsigned(codewords),
        })
    }

    /// Time from the run's last codeword to `word`, in codewords.
    pub(crate) fn codewords_until(&self, word: &Word) -> f64 {
        let near = f64::midpoint(self.last.period, word.period);
        let elapsed = word.begins - self.last.begins;
        if elapsed > LONG_GAP * near {
            elapsed / self.period
        } else {
            elapsed / near
        }
    }

    /// Takes a codeword that follows.
    pub(crate) fn accept(&mut self, word: Word, step: Step) {
        self.counts = step.counts;
        self.motion = Some(step.motion);
        self.last = word;
        self.read += 1;
        self.trusted += u64::from(word.trusted);
        self.period += PERIOD_GAIN * (word.period - self.period);
    }
}

fn along(direction: Direction) -> Motion {
    match direction {
        Direction::Forward => Motion::Onwards,
        Direction::Reverse => Motion::Backwards,
    }
}
