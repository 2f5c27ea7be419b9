//! The moments at which the signal goes over to its other level.
//!
//! Time: positions are those of the input. Adds no delay beyond that of the tiles.

use super::envelope::{Extremes, higher};
use super::instant::Instant;
use super::line::Tile;

/// A moment at which the level changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Edge {
    pub(super) at: Instant,
    pub(super) kind: EdgeKind,
}

impl Edge {
    /// Stands where no edge is.
    pub(super) const NONE: Self = Self {
        at: Instant::ZERO,
        kind: EdgeKind::Outer,
    };
}

/// How well the place of an edge is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum EdgeKind {
    /// From one level to the other: its place was measured.
    Inner,
    /// Out of silence or into it: about there.
    Outer,
}

/// What the signal does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Event {
    /// It changes its level.
    Edge(Edge),
    /// It has been near its middle for a whole tile.
    Quiet {
        /// Where it came there, as if by an edge.
        since: Edge,
        /// Up to which sample it has been there.
        until: u64,
    },
    /// The input ends.
    End(Edge),
}

/// Where the signal was last, outside its middle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    High,
    Low,
    /// Nowhere, for a tile or more.
    Middle,
}

/// Signals that move less than this are silence: 100 dB below full scale.
const SILENCE: f32 = 1e-5;

/// How far the signal must go beyond its middle to be on the other side: part of the half
/// peak-to-peak.
const HYSTERESIS: f32 = 0.25;

#[derive(Debug, Clone)]
pub(super) struct Crossings {
    side: Side,
    /// The number of the last sample outside the middle.
    last_outside: u64,
    /// Where the signal came to its middle.
    since: Edge,
}

impl Default for Crossings {
    fn default() -> Self {
        Self {
            side: Side::Middle,
            last_outside: 0,
            since: Edge::NONE,
        }
    }
}

/// How many samples are compared at once.
const GROUP: usize = 32;

impl Crossings {
    /// Takes the next tile and the band in which its signal moves.
    pub(super) fn push(&mut self, tile: Tile<'_>, band: Extremes, found: &mut impl FnMut(Event)) {
        let look = Look::new(tile, band);
        let mut outside = 0;
        if band.half() > SILENCE {
            let samples = &tile.around[tile.begins..tile.begins + tile.length];
            for (group, begins) in samples.chunks(GROUP).zip((tile.begins..).step_by(GROUP)) {
                outside |= self.group(group, begins, &look, found);
            }
        }
        if outside == 0 {
            self.quiet(&look, found);
        }
    }

    /// The edges among some samples. Which of them are outside the middle, one bit each.
    fn group(
        &mut self,
        samples: &[f32],
        begins: usize,
        look: &Look<'_>,
        found: &mut impl FnMut(Event),
    ) -> u32 {
        let (above, below) = outside(samples, look.low, look.high);
        let mut left = u32::MAX;
        loop {
            let other = match self.side {
                Side::High => below,
                Side::Low => above,
                Side::Middle => above | below,
            } & left;
            if other == 0 {
                break;
            }
            let n = other.trailing_zeros();
            let edge = look.edge(begins + n as usize, self.side);
            self.side = if above >> n & 1 == 1 {
                Side::High
            } else {
                Side::Low
            };
            found(Event::Edge(edge));
            left = u32::MAX << n;
        }
        let outside = above | below;
        if outside != 0 {
            let last = begins + outside.ilog2() as usize;
            self.last_outside = look.number(last);
        }
        outside
    }

    /// A whole tile near the middle.
    fn quiet(&mut self, look: &Look<'_>, found: &mut impl FnMut(Event)) {
        if self.side != Side::Middle {
            self.since = look.fall(self.last_outside, self.side);
            self.side = Side::Middle;
        }
        let until = look.tile.sample + look.tile.length as u64;
        found(Event::Quiet {
            since: self.since,
            until,
        });
    }

    /// Takes the end of the input after so many samples.
    pub(super) fn finish(&mut self, samples: u64, found: &mut impl FnMut(Event)) {
        let ends = Edge {
            at: Instant::new(samples, 0.0),
            ..self.since
        };
        found(Event::End(if self.side == Side::Middle {
            self.since
        } else {
            ends
        }));
    }
}

/// Which samples of a group are above and below the middle, the first lowest. A function of its
/// own over any number of samples, so that it stays a loop that compares several at a time.
#[inline(never)]
fn outside(samples: &[f32], low: f32, high: f32) -> (u32, u32) {
    (
        mask(samples, |sample| sample > high),
        mask(samples, |sample| sample < low),
    )
}

fn mask(samples: &[f32], test: impl Fn(f32) -> bool) -> u32 {
    let mut lanes = [0; 4];
    let (fours, _) = samples.as_chunks::<4>();
    for four in fours.iter().rev() {
        for (lane, &sample) in lanes.iter_mut().zip(four) {
            *lane = *lane << 4 | u32::from(test(sample));
        }
    }
    lanes[0] | lanes[1] << 1 | lanes[2] << 2 | lanes[3] << 3
}

/// A tile, and the levels that matter in it.
struct Look<'a> {
    tile: Tile<'a>,
    low: f32,
    middle: f32,
    high: f32,
}

/// The value half-way between two samples from the four on either side: the polynomial of the
/// seventh degree through all eight.
const HALF_WAY: [f32; 4] = [
    1225.0 / 2048.0,
    -245.0 / 2048.0,
    49.0 / 2048.0,
    -5.0 / 2048.0,
];

impl<'a> Look<'a> {
    fn new(tile: Tile<'a>, band: Extremes) -> Self {
        let middle = band.middle();
        let margin = HYSTERESIS * band.half();
        Self {
            tile,
            low: middle - margin,
            middle,
            high: middle + margin,
        }
    }

    /// The number of the sample at `index` of the samples around the tile.
    fn number(&self, index: usize) -> u64 {
        self.tile.sample + index as u64 - self.tile.begins as u64
    }

    /// The edge that leads from a side to the sample at `index`, which is on another.
    fn edge(&self, index: usize, from: Side) -> Edge {
        let (at, fraction, kind) = match from {
            Side::Middle => (index, self.out_of_middle(index), EdgeKind::Outer),
            Side::High | Side::Low => {
                let at = self.after_crossing(index, from);
                (at, self.between(at), EdgeKind::Inner)
            }
        };
        // Nothing comes before the first sample.
        let before = self.number(at).checked_sub(1);
        let at = before.map_or(Instant::ZERO, |sample| Instant::new(sample, fraction));
        Edge { at, kind }
    }

    /// The first of the samples up to `index` that all are on its side of the middle level.
    fn after_crossing(&self, index: usize, from: Side) -> usize {
        // Not further back than a tile: what takes that long is no edge of code.
        let samples = &self.tile.around[self.tile.begins - self.tile.length..index];
        let is_beyond = |&sample: &f32| match from {
            Side::High => sample > self.middle,
            Side::Low | Side::Middle => sample < self.middle,
        };
        let near = samples
            .iter()
            .rev()
            .take_while(|sample| !is_beyond(sample))
            .count();
        index - near
    }

    /// How long after the sample before `at` the signal crosses its middle level: 0 to 1.
    ///
    /// A value half-way between the two samples comes first, so that a straight line has to do
    /// for half a sample only.
    fn between(&self, at: usize) -> f32 {
        let Some(near) = self.tile.around.get(at - 4..at + 4) else {
            return 0.5;
        };
        let half_way: f32 = (0..4)
            .map(|n| HALF_WAY[n] * (near[3 - n] + near[4 + n]))
            .sum();
        let (before, half_way, after) = (
            near[3] - self.middle,
            half_way - self.middle,
            near[4] - self.middle,
        );
        let first = (before < 0.0) != (half_way < 0.0);
        let (begins, from, to) = if first {
            (0.0, before, half_way)
        } else {
            (0.5, half_way, after)
        };
        let part = from / (from - to);
        // Where the three samples are all on the middle level it is no number.
        begins
            + if part <= 1.0 {
                0.5 * higher(part, 0.0)
            } else {
                0.5
            }
    }

    /// How long after the sample before `index` the signal leaves its middle.
    fn out_of_middle(&self, index: usize) -> f32 {
        self.reaches(self.tile.around[index], self.tile.around[index - 1])
    }

    /// Where the signal came to its middle after sample number `last`, which was outside.
    fn fall(&self, last: u64, from: Side) -> Edge {
        let behind = usize::try_from(self.tile.sample - last).unwrap_or(usize::MAX);
        let index = self.tile.begins.saturating_sub(behind);
        let next = (index + 1).min(self.tile.around.len() - 1);
        let level = self.tile.around[index];
        let fraction = if from == Side::Middle {
            0.0
        } else {
            1.0 - self.reaches(level, self.tile.around[next])
        };
        Edge {
            at: Instant::new(last, fraction),
            kind: EdgeKind::Outer,
        }
    }

    /// How far from a sample `inside` the middle to one `outside` the signal leaves the middle.
    fn reaches(&self, outside: f32, inside: f32) -> f32 {
        let border = if outside > self.middle {
            self.high
        } else {
            self.low
        };
        let part = (border - inside) / (outside - inside);
        if part.is_finite() {
            part.clamp(0.0, 1.0)
        } else {
            0.5
        }
    }
}
