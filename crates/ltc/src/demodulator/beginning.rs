//! Where code may begin: the last edges while none is followed.
//!
//! Time: adds no delay; the edges are gone through again once they are understood.

use super::cells::WHOLE;
use super::crossings::Edge;
use super::envelope::{higher, lower};

/// How many intervals must make two groups, one of half cells and one of whole ones.
const TO_BEGIN: usize = 24;
/// How many times as long as the shortest the longest interval may be, for them to be such groups.
const SPREAD: f32 = 3.0;
/// How many times as long as the mean half cell the mean whole cell may be.
const RATIO: std::ops::RangeInclusive<f32> = 1.6..=2.6;
/// How many edges are kept: a power of two, so that a slot is soon found. At midnight, with user
/// bits of nought, nearly a whole codeword passes before the first half cell.
const KEPT: usize = 128;

/// The last edges, the intervals between which are so alike that they may be of one code.
#[derive(Debug, Clone)]
pub(super) struct Beginning {
    /// Edge number n at n modulo [`KEPT`], and the interval that ends with it.
    edges: [Edge; KEPT],
    intervals: [f32; KEPT],
    /// How many edges came.
    came: usize,
    /// How many of the last intervals are alike.
    alike: usize,
    /// The shortest and the longest of them.
    shortest: f32,
    longest: f32,
}

/// Code that begins.
#[derive(Debug, Clone, Copy)]
pub(super) struct Begins {
    /// How long a cell is, in samples.
    pub(super) cell: f32,
    /// How many of the last edges belong to it. The first begins a cell.
    pub(super) edges: usize,
}

impl Default for Beginning {
    fn default() -> Self {
        Self {
            edges: [Edge::NONE; KEPT],
            intervals: [0.0; KEPT],
            came: 0,
            alike: 0,
            shortest: f32::MAX,
            longest: 0.0,
        }
    }
}

impl Beginning {
    /// Takes the next edge; the code that it makes clear.
    pub(super) fn push(&mut self, edge: Edge) -> Option<Begins> {
        let before = self.edges[self.came.wrapping_sub(1) % KEPT];
        self.edges[self.came % KEPT] = edge;
        self.came += 1;
        if self.came == 1 {
            return None;
        }
        let interval = edge.at.since(before.at);
        self.intervals[(self.came - 1) % KEPT] = interval;
        self.add(interval);
        if self.alike < TO_BEGIN {
            return None;
        }
        let begins = self.two_groups();
        if begins.is_none() {
            self.let_go();
        }
        begins
    }

    /// The edge that came `back` edges before the last.
    pub(super) fn edge(&self, back: usize) -> Edge {
        self.edges[(self.came - 1).wrapping_sub(back) % KEPT]
    }

    /// As new.
    pub(super) fn reset(&mut self) {
        self.came = 0;
        self.alike = 0;
        (self.shortest, self.longest) = (f32::MAX, 0.0);
    }

    fn add(&mut self, interval: f32) {
        self.shortest = lower(self.shortest, interval);
        self.longest = higher(self.longest, interval);
        self.alike += 1;
        if self.longest > SPREAD * self.shortest {
            self.measure();
        }
    }

    /// The oldest of the intervals that are alike is none of them any more.
    fn let_go(&mut self) {
        let oldest = self.intervals[(self.came - self.alike) % KEPT];
        self.alike -= 1;
        if oldest <= self.shortest || oldest >= self.longest {
            self.measure();
        }
    }

    /// Of the intervals that were alike, those that are like the last ones.
    fn measure(&mut self) {
        let (mut shortest, mut longest) = (f32::MAX, 0.0_f32);
        let mut alike = 0;
        for interval in self.last_intervals() {
            let (lower, upper) = (lower(shortest, interval), higher(longest, interval));
            if upper > SPREAD * lower {
                break;
            }
            (shortest, longest) = (lower, upper);
            alike += 1;
        }
        (self.shortest, self.longest, self.alike) = (shortest, longest, alike);
    }

    /// The intervals that are alike, the last one first.
    fn last_intervals(&self) -> impl Iterator<Item = f32> {
        (self.came - self.alike..self.came)
            .rev()
            .map(|number| self.intervals[number % KEPT])
    }

    /// Whether the intervals are half and whole cells.
    fn two_groups(&self) -> Option<Begins> {
        if self.longest < RATIO.start() * self.shortest {
            return None;
        }
        let split = f32::midpoint(self.shortest, self.longest);
        let (mut half_sum, mut whole_sum) = (0.0, 0.0);
        let (mut halves, mut halves_before) = (0_u8, 0);
        for interval in self.last_intervals() {
            if interval < split {
                half_sum += interval;
                halves += 1;
            } else {
                whole_sum += interval;
                halves_before = halves;
            }
        }
        // What is counted last came first: the halves before the first whole cell.
        let halves_before = halves - halves_before;
        let (halves, wholes) = (f32::from(halves), self.alike as f32 - f32::from(halves));
        if !RATIO.contains(&((whole_sum / wholes) / (half_sum / halves))) {
            return None;
        }
        let cell = (half_sum + whole_sum) / (wholes + halves / 2.0);
        // Where a whole cell begins a half cell has ended, so the halves before go in pairs.
        let edges = match halves_before {
            0 => self.alike + 1 + self.wholes_before(cell),
            halves => self.alike + 1 - usize::from(halves % 2),
        };
        Some(Begins { cell, edges })
    }

    /// How many whole cells came straight before the intervals that are alike.
    fn wholes_before(&self, cell: f32) -> usize {
        let oldest = (self.came + 1).saturating_sub(KEPT).max(1);
        (oldest..self.came - self.alike)
            .rev()
            .take_while(|number| WHOLE.contains(&(self.intervals[number % KEPT] / cell)))
            .count()
    }
}
