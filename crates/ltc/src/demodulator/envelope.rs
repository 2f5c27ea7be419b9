//! Between which levels the signal moves.
//!
//! Time: looks ahead by one window less a tile, and takes that delay out: the band that comes
//! back belongs to the oldest tile that has none yet.

/// The lowest and the highest level of some samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Extremes {
    pub(super) low: f32,
    pub(super) high: f32,
}

/// How many times quieter the quieter side of a moment may be and still be code.
const QUIETEST_SIDE: f32 = 8.0;

/// The shortest and the longest window, in tiles.
const SHORTEST: usize = 4;
const LONGEST: usize = 16;

/// The extremes on either side of every tile.
///
/// One outlying tile on either side counts for nothing, so a click does not hide the code around
/// it.
#[derive(Debug, Clone)]
pub(super) struct Envelope {
    /// How many tiles a window has.
    window: usize,
    /// The extremes of the last tiles, tile n at n modulo [`LONGEST`].
    tiles: [Extremes; LONGEST],
    /// The same for the windows that end with them.
    windows: [Extremes; LONGEST],
    /// How many tiles came in.
    came: u64,
    /// How many bands went out.
    went: u64,
}

impl Extremes {
    const NONE: Self = Self {
        low: 0.0,
        high: 0.0,
    };

    /// Of a multiple of 16 samples.
    pub(super) fn of(samples: &[f32]) -> Self {
        let mut low = [f32::MAX; 16];
        let mut high = [f32::MIN; 16];
        for chunk in samples.chunks_exact(16) {
            for ((low, high), &sample) in low.iter_mut().zip(&mut high).zip(chunk) {
                *low = if sample < *low { sample } else { *low };
                *high = if sample > *high { sample } else { *high };
            }
        }
        Self {
            low: low.into_iter().fold(f32::MAX, f32::min),
            high: high.into_iter().fold(f32::MIN, f32::max),
        }
    }

    /// The level half-way between.
    pub(super) fn middle(self) -> f32 {
        f32::midpoint(self.low, self.high)
    }

    /// How far the extremes are from the middle.
    pub(super) fn half(self) -> f32 {
        (self.high - self.low) / 2.0
    }

    fn contains(self, other: Self) -> bool {
        self.low <= other.low && other.high <= self.high
    }

    /// The second lowest and second highest of some tiles; of a single one, its own.
    fn second_of(tiles: impl Iterator<Item = Self>) -> Self {
        let mut lows = (f32::MAX, f32::MAX);
        let mut highs = (f32::MIN, f32::MIN);
        let mut count = 0;
        for tile in tiles {
            lows = (lows.0.min(tile.low), lows.1.min(lows.0.max(tile.low)));
            highs = (highs.0.max(tile.high), highs.1.max(highs.0.min(tile.high)));
            count += 1;
        }
        match count {
            0 => Self::NONE,
            1 => Self {
                low: lows.0,
                high: highs.0,
            },
            _ => Self {
                low: lows.1,
                high: highs.1,
            },
        }
    }

    /// Of what is on either side of a moment: the quieter, so that code goes on through a step
    /// of its level, but not if it is so quiet, or so far off, that it is no code.
    fn choose(self, other: Self) -> Self {
        let (quiet, loud) = if self.half() < other.half() {
            (self, other)
        } else {
            (other, self)
        };
        if quiet.half() * QUIETEST_SIDE >= loud.half() && loud.contains(quiet) {
            quiet
        } else {
            loud
        }
    }
}

impl Envelope {
    /// A window of so many tiles, as far as that makes sense.
    pub(super) fn new(window: usize) -> Self {
        Self {
            window: window.clamp(SHORTEST, LONGEST),
            tiles: [Extremes::NONE; LONGEST],
            windows: [Extremes::NONE; LONGEST],
            came: 0,
            went: 0,
        }
    }

    /// Takes the extremes of the next tile; the band of the tile that is now seen from both sides.
    pub(super) fn push(&mut self, extremes: Extremes) -> Option<Extremes> {
        self.tiles[slot(self.came)] = extremes;
        self.came += 1;
        let held = (0..self.came).rev().take(self.window);
        let ahead = Extremes::second_of(held.map(|tile| self.tiles[slot(tile)]));
        self.windows[slot(self.came - 1)] = ahead;
        let oldest = self.came.checked_sub(self.window as u64)?;
        self.went = oldest + 1;
        Some(
            self.behind(oldest)
                .map_or(ahead, |behind| behind.choose(ahead)),
        )
    }

    /// The band of the next tile of those that will never be seen from both sides.
    pub(super) fn finish(&mut self) -> Option<Extremes> {
        let tile = self.went;
        if tile == self.came {
            return None;
        }
        self.went += 1;
        // Where the input was shorter than two windows, one that lies off the tile has to do.
        let last = self.windows[slot(self.came - 1)];
        Some(self.behind(tile).unwrap_or(last))
    }

    /// The extremes of the window that ends with a tile, if it is a whole one.
    fn behind(&self, tile: u64) -> Option<Extremes> {
        (tile + 1 >= self.window as u64).then(|| self.windows[slot(tile)])
    }

    pub(super) fn reset(&mut self) {
        *self = Self::new(self.window);
    }
}

#[expect(clippy::cast_possible_truncation, reason = "less than LONGEST")]
fn slot(tile: u64) -> usize {
    (tile % LONGEST as u64) as usize
}
