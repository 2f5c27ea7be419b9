//! What edges show.

use std::collections::VecDeque;
use std::ops::Range;

use plumbline_timecode::SampleRate;

use super::kept::Kept;
use super::{GAP, SAME, middle};
use crate::finer::Finer;
use crate::{Demodulator, Received, Seam};

/// The edge reader, and what it found that no block has taken yet.
#[derive(Debug, Clone)]
pub(super) struct Edges {
    demodulator: Demodulator,
    gaze: Gaze,
    finer: Finer,
    words: VecDeque<Received>,
    /// The last one that a block took.
    before: Option<Received>,
}

/// How edges are looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Gaze {
    /// All of them, as samples come.
    Steady,
    /// Some of each block, when it is read.
    Glimpses,
}

/// A block has so many glimpses...
const GLIMPSES: u64 = 2;
/// ...each one of so many parts of it: long enough to know cells from half cells.
const IN_BLOCK: u64 = 16;

impl Edges {
    pub(super) fn new(sample_rate: SampleRate) -> Self {
        Self {
            demodulator: Demodulator::new(sample_rate),
            gaze: Gaze::Steady,
            finer: Finer::new(sample_rate.as_f64()),
            words: VecDeque::new(),
            before: None,
        }
    }

    /// Looks at the next samples; `seen` is told at once of what they show.
    pub(super) fn push(&mut self, samples: &[f32], seen: &mut impl FnMut(&Received)) {
        if self.gaze == Gaze::Steady {
            let words = &mut self.words;
            self.demodulator.push(samples, &mut |word| {
                seen(&word);
                words.push_back(word);
            });
        }
    }

    /// What has been shown to the last, as if the input ended here.
    pub(super) fn in_hand(&self, seen: &mut impl FnMut(&Received)) -> Option<Seam> {
        self.demodulator.in_hand(&mut |word| seen(&word))
    }

    /// Takes the end of the input.
    pub(super) fn finish(&mut self) {
        let words = &mut self.words;
        self.demodulator.finish(&mut |word| words.push_back(word));
    }

    /// As new, ready for the first sample of another recording.
    pub(super) fn reset(&mut self) {
        self.demodulator.begin_at(0);
        self.gaze = Gaze::Steady;
        self.words.clear();
        self.before = None;
    }

    pub(super) fn gaze(&self) -> Gaze {
        self.gaze
    }

    /// Looks in glimpses from now on, unless there is something to be seen.
    pub(super) fn rest(&mut self) {
        if self.words.is_empty() && !self.demodulator.follows() {
            self.gaze = Gaze::Glimpses;
        }
    }

    /// Looks steadily again, at all that is kept from a sample on too, in which code may have begun.
    pub(super) fn gaze_again(&mut self, kept: &Kept, from: u64) {
        if self.gaze == Gaze::Glimpses {
            self.gaze = Gaze::Steady;
            self.demodulator.begin_at(from.max(kept.from()));
            self.push(kept.since(from), &mut |_| ());
        }
    }

    /// Whether a glimpse of a block shows what looks like code.
    pub(super) fn glimpse(&mut self, kept: &Kept, block: &Range<u64>) -> bool {
        let length = block.end - block.start;
        (0..GLIMPSES).any(|number| {
            let begins = block.start + number * length / GLIMPSES;
            let glimpse = kept.get(begins..begins + length / IN_BLOCK);
            (self.demodulator).glimpses(begins, glimpse.unwrap_or_default())
        })
    }

    /// Whether codewords, each trusted, cover a block.
    pub(super) fn cover(&self, block: &Range<u64>, kept: &Kept) -> bool {
        let (from, to) = (block.start as f64, block.end as f64);
        let mut covered = from;
        let mut slack = GAP;
        for word in self.before.iter().chain(&self.words) {
            let (begins, ends) = (word.begins.as_f64(), word.ends.as_f64());
            if ends <= from || begins >= to {
                continue;
            }
            if block.start == 0 && covered <= 0.0 {
                // The recording began within a codeword.
                slack = 1.0;
            }
            if !word.quality.is_trusted() || begins - covered > slack * word.samples_per_codeword {
                return false;
            }
            slack = GAP;
            covered = ends;
        }
        let last = self.before.iter().chain(&self.words).next_back();
        let length = last.map_or(0.0, |word| word.samples_per_codeword);
        // The recording may end within a codeword.
        let slack = if block.end == kept.end() { 1.0 } else { GAP };
        to - covered <= slack * length
    }

    /// The next codeword.
    pub(super) fn next(&self) -> Option<&Received> {
        self.words.front()
    }

    /// The codewords whose middle comes before a sample.
    pub(super) fn take_before(&mut self, to: u64) -> Vec<Received> {
        let count = self.count_before(to);
        let taken: Vec<Received> = self.words.drain(..count).collect();
        if let Some(last) = taken.last() {
            self.before = Some(*last);
        }
        taken
    }

    /// All that are left.
    pub(super) fn take_all(&mut self) -> impl Iterator<Item = Received> {
        self.words.drain(..)
    }

    fn count_before(&self, to: u64) -> usize {
        let is_before = |word: &&Received| middle(word) < to as f64;
        self.words.iter().take_while(is_before).count()
    }

    /// Looks for edges between the samples of a block, of which `piece` has some more, from sample
    /// `begins` on. What they show stands for what edges showed there, if it is more; `last` is where
    /// the last codeword of the block before is.
    pub(super) fn look_closer(
        &mut self,
        block: &Range<u64>,
        (begins, piece): (u64, &[f32]),
        last: f64,
    ) {
        let mut words = self.finer.read(piece, begins);
        words.retain(|word| {
            let is_new = word.begins.as_f64() - last > SAME * word.samples_per_codeword;
            is_new && (block.start as f64..block.end as f64).contains(&middle(word))
        });
        let count = self.count_before(block.end);
        if words.len() > count {
            drop(self.words.drain(..count));
            let words = words.into_iter().rev();
            words.for_each(|word| self.words.push_front(word));
        }
    }
}
