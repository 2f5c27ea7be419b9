//! A recording and what is true of it.

use plumbline_ltc::{Codeword, Direction};
use plumbline_timecode::SampleRate;

/// A recording and what is true of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Take {
    /// How many samples a second.
    pub sample_rate: SampleRate,
    /// The sound; full scale is 1.
    pub samples: Vec<f32>,
    /// The codewords that were sent, in the order in which they are heard.
    pub words: Vec<Truth>,
    /// The mean square of the code as its source made it, over the samples in which it runs.
    pub code_power: f64,
}

/// What is true of a codeword, as the recording runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Truth {
    /// The codeword that stands for the frame.
    pub meant: Codeword,
    /// The codeword that was sent, which differs where bits were flipped.
    pub sent: Codeword,
    /// Where it begins, in samples: 0 is the first sample's own moment.
    pub begins: f64,
    /// Where it ends, in samples.
    pub ends: f64,
    /// Which way it runs.
    pub direction: Direction,
    /// What is left of it.
    pub condition: Condition,
}

/// What is left of a codeword.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Condition {
    /// All of it is in the recording, under whatever was added.
    Whole,
    /// A part is missing: cut off, spliced away or dropped out.
    Torn,
    /// All of it is there, with bits that were flipped before it was sent.
    Flipped,
}

impl Truth {
    /// How many samples it lasts.
    pub fn length(&self) -> f64 {
        self.ends - self.begins
    }

    /// The edge that begins bit 0: where it begins, or where it ends if it runs backwards.
    pub fn first_edge(&self) -> f64 {
        match self.direction {
            Direction::Forward => self.begins,
            Direction::Reverse => self.ends,
        }
    }

    /// Torn, if a part of `from` to `to` (in samples) is of it.
    pub(crate) fn tear(&mut self, from: f64, to: f64) {
        if self.begins < to && from < self.ends {
            self.condition = Condition::Torn;
        }
    }
}

impl Take {
    /// How many codewords a reader can be expected to read: those that are whole.
    pub fn whole_words(&self) -> usize {
        self.words
            .iter()
            .filter(|word| word.condition == Condition::Whole)
            .count()
    }

    /// How many seconds it lasts.
    pub fn seconds(&self) -> f64 {
        self.samples.len() as f64 / self.sample_rate.as_f64()
    }
}

impl Take {
    /// Silence, with no code in it. The level of what is added is against a mean square of 1.
    pub fn without_code(sample_rate: SampleRate, seconds: f64) -> Self {
        Self {
            sample_rate,
            samples: vec![0.0; crate::convert::whole(seconds * sample_rate.as_f64())],
            words: Vec::new(),
            code_power: 1.0,
        }
    }
}
