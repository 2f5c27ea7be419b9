//! From the distances between edges to bits.
//!
//! A cell with no edge in its middle is a 0, one with an edge there a 1 (IEC 60461 clause 8.3).
//! How long a cell is, is learnt from the edges themselves, and followed.
//!
//! Time: adds no delay once it follows. Before, it keeps the edges that it has not understood
//! yet, and goes through them again.

use std::ops::RangeInclusive;

use super::beginning::{Beginning, Begins};
use super::crossings::{Edge, Event};
use super::envelope::{Extremes, higher};
use super::words::Words;
use crate::{Received, Seam};

/// A bit and where its edges are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bit {
    pub(super) value: bool,
    /// The edge that begins its cell.
    pub(super) begins: Edge,
    /// How long after that the edge in its middle is, in samples; there is none in a 0.
    pub(super) middle: f32,
    /// How far its intervals are from a whole or half cell: for two halves the worse; for a whole
    /// cell, half of it. In cells.
    pub(super) departure: f32,
    /// Between which levels the signal moves there.
    pub(super) band: Extremes,
}

/// How much of the difference is taken over, each time a whole cell is seen. Follows flutter of
/// 3 % at 12 Hz, where the phase swings by most of a cell within one codeword.
const GAIN: f32 = 0.1;
/// Intervals outside these parts of a cell are neither half nor whole.
const SHORTEST: f32 = 0.3;
const LONGEST: f32 = 1.5;
/// Between half and whole.
const BORDER: f32 = 0.75;
/// What is a whole cell.
pub(super) const WHOLE: RangeInclusive<f32> = BORDER..=LONGEST;

#[derive(Debug, Clone, Default)]
pub(super) struct Cells {
    /// The last edges while nothing is followed.
    beginning: Beginning,
    /// What is followed.
    follows: Option<Follows>,
    words: Words,
}

/// Code that is being followed.
#[derive(Debug, Clone, Copy)]
struct Follows {
    /// The length of a cell, in samples.
    cell: f32,
    /// One over that.
    per_sample: f32,
    /// The last edge.
    last: Edge,
    /// The first half of a cell, when the second is to come.
    half: Option<Half>,
}

#[derive(Debug, Clone, Copy)]
struct Half {
    begins: Edge,
    length: f32,
    departure: f32,
}

/// What an interval makes of the code that is followed.
enum Step {
    /// The first half of a cell.
    Half,
    /// A bit.
    Bit(Bit),
    /// A half cell stood alone before this whole one: an edge is missing or there is one too many.
    Slipped(Bit),
    /// The interval is none of code.
    Lost,
}

impl Cells {
    /// Takes what the signal does next, and between which levels it moves.
    pub(super) fn push(
        &mut self,
        event: Event,
        band: Extremes,
        received: &mut impl FnMut(Received),
    ) {
        match event {
            Event::Edge(edge) => self.edge(edge, band, received),
            Event::Quiet { since, until } => {
                self.close(since, band, received);
                self.lapse(until, received);
            }
            Event::End(edge) => self.close(edge, band, received),
        }
    }

    fn edge(&mut self, edge: Edge, band: Extremes, received: &mut impl FnMut(Received)) {
        if self.follows.is_some() {
            self.step(edge, band, received);
        } else if let Some(begins) = self.beginning.push(edge) {
            self.begin(begins, band, received);
        }
    }

    /// Goes through the edges again that have been understood now.
    fn begin(&mut self, begins: Begins, band: Extremes, received: &mut impl FnMut(Received)) {
        self.follows = Some(Follows::new(
            begins.cell,
            self.beginning.edge(begins.edges - 1),
        ));
        for back in (0..begins.edges - 1).rev() {
            self.step(self.beginning.edge(back), band, received);
        }
    }

    /// Follows code by one edge.
    fn step(&mut self, edge: Edge, band: Extremes, received: &mut impl FnMut(Received)) {
        let Some(follows) = &mut self.follows else {
            return;
        };
        match follows.step(edge, band) {
            Step::Half => (),
            Step::Bit(bit) => self.words.push(bit, edge, received),
            Step::Slipped(bit) => {
                self.words.break_off(received);
                self.words.push(bit, edge, received);
            }
            Step::Lost => {
                self.lose(received);
                self.beginning.push(edge);
            }
        }
    }

    /// The signal may have come to its end by what counts as an edge: if that completes a
    /// codeword, it did.
    fn close(&mut self, edge: Edge, band: Extremes, received: &mut impl FnMut(Received)) {
        let Some(follows) = self.follows else { return };
        if self.words.close(follows.last_bit(band), edge, received) {
            self.lose(received);
        }
    }

    /// Nothing came up to a sample: if that is too long, the code has ended.
    fn lapse(&mut self, until: u64, received: &mut impl FnMut(Received)) {
        let Some(follows) = self.follows else { return };
        let quiet = until.saturating_sub(follows.last.at.sample());
        if quiet as f32 > LONGEST * follows.cell {
            self.lose(received);
        }
    }

    /// Follows nothing any more.
    fn lose(&mut self, received: &mut impl FnMut(Received)) {
        self.follows = None;
        self.beginning.reset();
        self.words.break_off(received);
    }

    /// Whether cells are followed.
    pub(super) fn follows(&self) -> bool {
        self.follows.is_some()
    }

    /// Where the last codeword ended, and what was heard there.
    pub(super) fn seam(&self) -> Option<Seam> {
        self.words.seam()
    }

    /// Takes the end of the input.
    pub(super) fn finish(&mut self, received: &mut impl FnMut(Received)) {
        self.lose(received);
    }

    /// As new.
    pub(super) fn reset(&mut self) {
        self.follows = None;
        self.beginning.reset();
        self.words.reset();
    }
}

impl Follows {
    fn new(cell: f32, last: Edge) -> Self {
        Self {
            cell,
            per_sample: 1.0 / cell,
            last,
            half: None,
        }
    }

    /// The bit whose cell the code's end would end. Where that is, is known to a sample or so, too
    /// little to tell half a cell from a whole one: whether an edge stands in its middle tells.
    fn last_bit(&self, band: Extremes) -> Bit {
        let (begins, middle) = match self.half {
            Some(half) => (half.begins, half.length),
            None => (self.last, 0.0),
        };
        Bit {
            value: self.half.is_some(),
            begins,
            middle,
            departure: 0.0,
            band,
        }
    }

    fn step(&mut self, edge: Edge, band: Extremes) -> Step {
        let begins = self.last;
        let length = edge.at.since(begins.at);
        let part = length * self.per_sample;
        self.last = edge;
        if !(SHORTEST..=LONGEST).contains(&part) {
            return Step::Lost;
        }
        if part < BORDER {
            let departure = (part - 0.5).abs();
            let Some(half) = self.half.take() else {
                self.half = Some(Half {
                    begins,
                    length,
                    departure,
                });
                return Step::Half;
            };
            self.adapt(half.length + length);
            let departure = higher(departure, half.departure);
            Step::Bit(Bit {
                value: true,
                begins: half.begins,
                middle: half.length,
                departure,
                band,
            })
        } else {
            self.adapt(length);
            let departure = (part - 1.0).abs() / 2.0;
            let bit = Bit {
                value: false,
                begins,
                middle: 0.0,
                departure,
                band,
            };
            if self.half.take().is_some() {
                Step::Slipped(bit)
            } else {
                Step::Bit(bit)
            }
        }
    }

    fn adapt(&mut self, length: f32) {
        self.cell += GAIN * (length - self.cell);
        self.per_sample = 1.0 / self.cell;
    }
}
