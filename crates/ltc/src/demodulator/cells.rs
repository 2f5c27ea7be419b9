//! From the distances between edges to bits.
//!
//! A cell with no edge in its middle is a 0, one with an edge there a 1 (IEC 60461 clause 8.3).
//! How long a cell is, is learnt from the edges themselves, and followed.
//!
//! Time: adds no delay once it follows. Before, it keeps the edges that it has not understood
//! yet, and goes through them again.

use std::collections::VecDeque;

use super::crossings::{Edge, Event};
use super::words::Words;
use crate::Received;

/// A bit and where its edges are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bit {
    pub(super) value: bool,
    /// The edge that begins its cell.
    pub(super) begins: Edge,
    /// The edge in the middle of its cell; for a 0 there is none, and this is the first again.
    pub(super) middle: Edge,
    /// How far its intervals are from a whole or half cell: for two halves the worse; for a whole
    /// cell, half of it. In cells.
    pub(super) departure: f32,
}

/// How many intervals must make two groups, one of half cells and one of whole ones.
const TO_BEGIN: usize = 24;
/// How much longer the longest interval may be than the shortest, for them to be such groups.
const SPREAD: f32 = 3.0;
/// Within which the mean whole cell must be of the mean half cell.
const RATIO: std::ops::RangeInclusive<f32> = 1.6..=2.6;
/// How much of the difference is taken over, each time a whole cell is seen. Follows flutter of
/// 3 % at 12 Hz, where the phase swings by most of a cell within one codeword.
const GAIN: f32 = 0.1;
/// Intervals outside these parts of a cell are neither half nor whole.
const SHORTEST: f32 = 0.3;
const LONGEST: f32 = 1.5;
/// Between half and whole.
const BORDER: f32 = 0.75;

#[derive(Debug, Clone)]
pub(super) struct Cells {
    /// The last edges while nothing is followed; the intervals between them do not differ more
    /// than those of code may.
    edges: VecDeque<Edge>,
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

impl Default for Cells {
    fn default() -> Self {
        let edges = VecDeque::with_capacity(TO_BEGIN + 2);
        Self {
            edges,
            follows: None,
            words: Words::default(),
        }
    }
}

impl Cells {
    /// Takes what the signal does next.
    pub(super) fn push(&mut self, event: Event, received: &mut impl FnMut(Received)) {
        match event {
            Event::Edge(edge) => self.edge(edge, received),
            Event::Quiet { since, until } => {
                self.close(since, received);
                self.lapse(until, received);
            }
            Event::End(edge) => self.close(edge, received),
        }
    }

    fn edge(&mut self, edge: Edge, received: &mut impl FnMut(Received)) {
        if self.follows.is_some() {
            self.step(edge, received);
        } else {
            self.begin(edge, received);
        }
    }

    /// Looks for code in the last edges.
    fn begin(&mut self, edge: Edge, received: &mut impl FnMut(Received)) {
        self.edges.push_back(edge);
        let Some((shortest, longest)) = self.keep_alike() else {
            return;
        };
        let split = f32::midpoint(shortest, longest);
        let (mut halves, mut wholes) = (Mean::default(), Mean::default());
        let mut before_whole = 0;
        for interval in self.intervals() {
            if interval < split {
                halves.add(interval);
                before_whole += usize::from(wholes.count == 0);
            } else {
                wholes.add(interval);
            }
        }
        if !RATIO.contains(&(wholes.mean() / halves.mean())) {
            self.edges.pop_front();
            return;
        }
        let cell =
            (halves.sum + wholes.sum) / (f32::from(wholes.count) + f32::from(halves.count) / 2.0);
        // Where a whole cell begins, a half cell has ended: what came before is counted from there.
        let skip = before_whole % 2;
        let mut edges = std::mem::take(&mut self.edges);
        if let Some(&first) = edges.get(skip) {
            self.follows = Some(Follows::new(cell, first));
            for &edge in edges.range(skip + 1..) {
                self.edge(edge, received);
            }
        }
        // The room is used again.
        if self.edges.is_empty() {
            edges.clear();
            self.edges = edges;
        }
    }

    /// Lets go of edges before an interval that can't be of the same code as the last ones; the
    /// shortest and longest interval, once there are enough.
    fn keep_alike(&mut self) -> Option<(f32, f32)> {
        let (mut shortest, mut longest) = (f32::MAX, 0.0_f32);
        let mut alike = 0;
        for interval in self.intervals().rev() {
            (shortest, longest) = (shortest.min(interval), longest.max(interval));
            if longest > SPREAD * shortest {
                break;
            }
            alike += 1;
        }
        let keep = alike + 1;
        if self.edges.len() > keep {
            self.edges.drain(..self.edges.len() - keep);
        }
        (alike == TO_BEGIN).then_some((shortest, longest))
    }

    fn intervals(&self) -> impl DoubleEndedIterator<Item = f32> {
        let later = self.edges.range(1.min(self.edges.len())..);
        // From the back, so that both run to their ends together.
        self.edges
            .range(..self.edges.len().saturating_sub(1))
            .zip(later)
            .map(|(a, b)| b.at.since(a.at))
    }

    /// Follows code by one edge.
    fn step(&mut self, edge: Edge, received: &mut impl FnMut(Received)) {
        let Some(follows) = &mut self.follows else {
            return;
        };
        match follows.step(edge) {
            Step::Half => (),
            Step::Bit(bit) => self.words.push(bit, received),
            Step::Slipped(bit) => {
                self.words.break_off(received);
                self.words.push(bit, received);
            }
            Step::Lost => {
                self.lose(received);
                self.edges.push_back(edge);
            }
        }
    }

    /// The signal may have come to its end by what counts as an edge: if that completes a
    /// codeword, it did.
    fn close(&mut self, edge: Edge, received: &mut impl FnMut(Received)) {
        let Some(mut follows) = self.follows else {
            return;
        };
        if let Step::Bit(bit) = follows.step(edge)
            && self.words.close(bit, edge, received)
        {
            self.lose(received);
        }
    }

    /// Nothing came up to a sample: if that is too long, the code has ended.
    fn lapse(&mut self, until: u64, received: &mut impl FnMut(Received)) {
        let Some(follows) = self.follows else { return };
        let quiet = until.saturating_sub(follows.last.at.sample);
        if quiet as f32 > LONGEST * follows.cell {
            self.lose(received);
        }
    }

    /// Follows nothing any more.
    fn lose(&mut self, received: &mut impl FnMut(Received)) {
        self.follows = None;
        self.edges.clear();
        self.words.break_off(received);
    }

    /// Takes the end of the input.
    pub(super) fn finish(&mut self, received: &mut impl FnMut(Received)) {
        self.lose(received);
    }

    /// As new.
    pub(super) fn reset(&mut self) {
        self.follows = None;
        self.edges.clear();
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

    fn step(&mut self, edge: Edge) -> Step {
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
            let departure = departure.max(half.departure);
            Step::Bit(Bit {
                value: true,
                begins: half.begins,
                middle: begins,
                departure,
            })
        } else {
            self.adapt(length);
            let departure = (part - 1.0).abs() / 2.0;
            let bit = Bit {
                value: false,
                begins,
                middle: begins,
                departure,
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

/// A mean in the making.
#[derive(Default)]
struct Mean {
    sum: f32,
    count: u16,
}

impl Mean {
    fn add(&mut self, value: f32) {
        self.sum += value;
        self.count += 1;
    }

    fn mean(&self) -> f32 {
        self.sum / f32::from(self.count)
    }
}
