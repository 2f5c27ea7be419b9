//! A stretch: a run that stands, with all that is counted along it.

use crate::clock::Line;
use crate::run::{Motion, Run, Step};
use crate::word::Word;
use plumbline_timecode::{Count, TimeAddress, UserBits};

/// Codewords over which a stretch's beginning is averaged: ten seconds at 25 frames a second.
const HEAD: u64 = 250;

/// A run that stands.
#[derive(Debug, Clone)]
pub(crate) struct Stretch {
    pub(crate) run: Run,
    /// Codewords missing between those that were read.
    pub(crate) lost: u64,
    /// Codewords from the first to the last, whether read or not.
    pub(crate) length: u64,
    /// How many codewords have the drop-frame flag set.
    pub(crate) flagged: u64,
    /// How many touch full scale.
    pub(crate) full_scale: u64,
    /// Sum of the codewords' amplitudes.
    pub(crate) amplitude: f64,
    /// Places of all its codewords.
    pub(crate) line: Line,
    /// Places of its first codewords.
    head: Line,
}

impl Stretch {
    pub(crate) fn begin(run: Run) -> Self {
        let first = run.first;
        let line = Line::new(first.first_edge, first.period);
        let mut stretch = Stretch {
            run,
            lost: 0,
            length: 1,
            flagged: 0,
            full_scale: 0,
            amplitude: 0.0,
            line,
            head: line,
        };
        stretch.tally(&first);
        stretch
    }

    /// Takes a codeword that follows.
    pub(crate) fn accept(&mut self, word: Word, step: Step) {
        self.run.accept(word, step);
        self.lost += step.codewords - 1;
        self.length += step.codewords;
        self.tally(&word);
    }

    fn tally(&mut self, word: &Word) {
        self.flagged += u64::from(word.codeword.drop_flag());
        self.full_scale += u64::from(word.full_scale);
        self.amplitude += f64::from(word.amplitude);
        let index = self.length - 1;
        self.line.add(index, word.first_edge);
        if index < HEAD {
            self.head.add(index, word.first_edge);
        }
    }

    pub(crate) fn motion(&self) -> Motion {
        self.run.motion()
    }

    /// Where its first codeword's bit 0 begins, averaged over its first codewords.
    pub(crate) fn start(&self) -> f64 {
        self.head.intercept()
    }

    /// The counting to read it in: the wanted one where it holds, else the first that does.
    pub(crate) fn count(&self, wanted: Count) -> Count {
        let held = self.run.counts;
        if held.contains(wanted) {
            wanted
        } else {
            held.iter().next().unwrap_or(wanted)
        }
    }

    /// The first address, in the wanted counting where it holds.
    pub(crate) fn first(&self, wanted: Count) -> Option<TimeAddress> {
        self.run.first.codeword.address(self.count(wanted)).ok()
    }

    /// The last address, in the wanted counting where it holds.
    pub(crate) fn last(&self, wanted: Count) -> Option<TimeAddress> {
        self.run.last.codeword.address(self.count(wanted)).ok()
    }

    /// The user bits of its first codeword.
    pub(crate) fn user_bits(&self) -> UserBits {
        self.run.first.codeword.user_bits()
    }
}
