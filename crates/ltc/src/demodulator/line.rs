//! The samples in hand, in tiles.
//!
//! Time: adds no delay; a tile is handed on once it is whole.

use std::f64::consts::SQRT_2;

use super::envelope::Extremes;

/// Samples that stay in hand: as many tiles as the envelope looks ahead, two behind for edges
/// that began there, and room to go on.
#[derive(Debug, Clone)]
pub(super) struct Line {
    tile: usize,
    samples: Vec<f32>,
    /// How many of `samples` are filled.
    filled: usize,
    /// How many samples the tile that is being filled still lacks.
    open: usize,
    /// Where in `samples` the next tile to be looked for edges begins.
    next: usize,
    /// The number of the sample there.
    next_sample: u64,
    /// The number of the sample that is pushed next.
    pushed: u64,
    is_new: bool,
}

/// A tile with what lies around it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tile<'a> {
    /// Samples before, within and after it.
    pub(super) around: &'a [f32],
    /// Where in `around` it begins: with [`BEHIND`] tiles before it.
    pub(super) begins: usize,
    /// How many samples it has: a multiple of 32.
    pub(super) length: usize,
    /// The number of its first sample.
    pub(super) sample: u64,
}

/// The tiles that stay in hand behind the one that is looked at.
pub(super) const BEHIND: usize = 2;
/// The tiles that may be in hand, room to go on included.
const TILES: usize = 64;
/// The shortest tile, and the longest: files may claim any sample rate.
const SHORTEST: usize = 32;
const LONGEST: usize = 4096;
/// Tiles in a second, about; code of any speed has several edges in some of them.
const TILES_PER_SECOND: f64 = 750.0;

impl Line {
    pub(super) fn new(hertz: f64) -> Self {
        let mut tile = SHORTEST;
        // The power of two that is nearest.
        while (tile as f64) * TILES_PER_SECOND * SQRT_2 < hertz && tile < LONGEST {
            tile *= 2;
        }
        let begins = BEHIND * tile;
        Self {
            tile,
            samples: vec![0.0; TILES * tile],
            filled: begins,
            open: tile,
            next: begins,
            next_sample: 0,
            pushed: 0,
            is_new: true,
        }
    }

    /// Has the first sample that is pushed counted as that one.
    pub(super) fn begin_at(&mut self, sample: u64) {
        self.next_sample = sample;
    }

    /// How many samples a tile has.
    pub(super) fn tile(&self) -> usize {
        self.tile
    }

    /// How many samples were pushed.
    pub(super) fn samples(&self) -> u64 {
        self.pushed
    }

    /// Takes samples up to the end of the tile; gives back the rest.
    pub(super) fn push<'a>(&mut self, samples: &'a [f32]) -> &'a [f32] {
        if self.is_new {
            self.begin(samples);
        }
        let (now, rest) = samples.split_at(self.open.min(samples.len()));
        let target = &mut self.samples[self.filled..self.filled + now.len()];
        for (target, &sample) in target.iter_mut().zip(now) {
            *target = finite(sample);
        }
        self.filled += now.len();
        self.open -= now.len();
        self.pushed += now.len() as u64;
        rest
    }

    /// Before the first sample, the sound is taken to have stood at its level.
    fn begin(&mut self, samples: &[f32]) {
        self.pushed = self.next_sample;
        if let Some(&first) = samples.first() {
            self.is_new = false;
            self.samples[..BEHIND * self.tile].fill(finite(first));
        }
    }

    /// The extremes of the last tile, once it is whole.
    pub(super) fn complete(&mut self) -> Option<Extremes> {
        (self.open == 0).then(|| {
            self.open = self.tile;
            Extremes::of(&self.samples[self.filled - self.tile..self.filled])
        })
    }

    /// The tile that is looked at now, for once.
    pub(super) fn next_tile(&mut self) -> Tile<'_> {
        let tile = Tile {
            around: &self.samples[self.next - BEHIND * self.tile..self.filled],
            begins: BEHIND * self.tile,
            length: self.tile,
            sample: self.next_sample,
        };
        self.next += self.tile;
        self.next_sample += self.tile as u64;
        tile
    }

    /// Lets go of what nobody will look at again. Between tiles only.
    pub(super) fn make_room(&mut self) {
        // Room for the next tile, and for what fills up the last one and follows it.
        if self.filled + 3 * self.tile > self.samples.len() {
            let keep = self.next - BEHIND * self.tile;
            self.samples.copy_within(keep..self.filled, 0);
            self.filled -= keep;
            self.next -= keep;
        }
    }

    /// Fills up the last tile, as if the sound stood at its last level, and one more, so that it
    /// is seen whether the sound had come to rest; a third is only looked at from the second. The
    /// extremes of the first two, if the first was not whole before.
    pub(super) fn finish(&mut self) -> [Option<Extremes>; 2] {
        let last = self.samples[self.filled - 1];
        let lacks = if self.open == self.tile { 0 } else { self.open };
        let end = self.filled + lacks;
        self.samples[self.filled..end + 2 * self.tile].fill(last);
        self.filled = end;
        self.open -= lacks;
        let filled_up = self.complete();
        self.filled += 2 * self.tile;
        [
            filled_up,
            Some(Extremes {
                low: last,
                high: last,
            }),
        ]
    }

    /// As new, but for the count of samples, which stays until the next is pushed.
    pub(super) fn reset(&mut self) {
        self.filled = BEHIND * self.tile;
        self.open = self.tile;
        self.next = self.filled;
        self.next_sample = 0;
        self.is_new = true;
    }
}

/// What is no number, or without end, is silence.
fn finite(sample: f32) -> f32 {
    if sample.is_finite() { sample } else { 0.0 }
}
