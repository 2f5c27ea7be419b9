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
/// How much further one level may move towards the middle than the other, as part of both, and be
/// a step of the level: it is as much as the offset that the code stands on, in half peaks.
const ONE_SIDED: f32 = 0.4;
/// How far its middle may then be from that of the louder side, as part of its own half
/// peak-to-peak: code has both its levels beyond it.
const BESIDE: f32 = 0.75;
/// A middle that is off by this part of the half peak-to-peak does no harm.
const OFF: f32 = 0.1;

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
    /// The highest levels of the tiles of the window, in no order; the rest is [`f32::MIN`].
    highs: [f32; LONGEST],
    /// The same of the lowest levels with their signs turned.
    depths: [f32; LONGEST],
    /// Which of them the next tile replaces.
    next: usize,
    /// The extremes of the windows that ended with the last tiles, tile n at n modulo [`LONGEST`].
    windows: [Extremes; LONGEST],
    /// How many tiles came in.
    came: u64,
    /// How many bands went out.
    went: u64,
}

impl Extremes {
    /// Where nothing moves.
    pub(super) const NONE: Self = Self {
        low: 0.0,
        high: 0.0,
    };

    /// Of a multiple of 16 samples.
    pub(super) fn of(samples: &[f32]) -> Self {
        Self {
            low: extreme(samples, lower),
            high: extreme(samples, higher),
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

    /// Of what is on either side of a moment: the quieter, so that code goes on through a step
    /// of its level, but not if it is so quiet that it is no code, or only a scrap of it.
    fn choose(self, other: Self) -> Self {
        let (quiet, loud) = if self.half() < other.half() {
            (self, other)
        } else {
            (other, self)
        };
        if quiet.half() * QUIETEST_SIDE >= loud.half()
            && loud.contains(quiet)
            && !quiet.is_scrap_of(loud)
        {
            quiet
        } else {
            loud
        }
    }

    /// Whether this shows but one of the levels between which the louder side moves, as the first
    /// or last scrap of code beside silence does, which says nothing of where its middle is. A step
    /// of the level brings both levels nearer to the middle.
    fn is_scrap_of(self, loud: Self) -> bool {
        let beside = (self.middle() - loud.middle()).abs();
        let most = lower(
            ONE_SIDED * (loud.half() - self.half()),
            BESIDE * self.half(),
        );
        beside > most && beside > OFF * loud.half()
    }
}

impl Envelope {
    /// A window of so many tiles, as far as that makes sense.
    pub(super) fn new(window: usize) -> Self {
        Self {
            window: window.clamp(SHORTEST, LONGEST),
            highs: [f32::MIN; LONGEST],
            depths: [f32::MIN; LONGEST],
            next: 0,
            windows: [Extremes::NONE; LONGEST],
            came: 0,
            went: 0,
        }
    }

    /// Takes the extremes of the next tile; the band of the tile that is now seen from both sides.
    pub(super) fn push(&mut self, extremes: Extremes) -> Option<Extremes> {
        self.highs[self.next] = extremes.high;
        self.depths[self.next] = -extremes.low;
        self.next = if self.next + 1 == self.window {
            0
        } else {
            self.next + 1
        };
        let ahead = if self.came == 0 {
            extremes
        } else {
            Extremes {
                low: -second_highest(&self.depths),
                high: second_highest(&self.highs),
            }
        };
        self.windows[slot(self.came)] = ahead;
        self.came += 1;
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

/// The sample that `pick` prefers to all others: several chains side by side, so that they are
/// compared several at a time.
fn extreme(samples: &[f32], pick: impl Fn(f32, f32) -> f32 + Copy) -> f32 {
    let (chunks, _) = samples.as_chunks::<16>();
    let Some((&first, rest)) = chunks.split_first() else {
        return 0.0;
    };
    let mut lanes = first;
    for chunk in rest {
        for (lane, &sample) in lanes.iter_mut().zip(chunk) {
            *lane = pick(*lane, sample);
        }
    }
    let [a, b, c, d] = fours(&lanes);
    let [a, b, c, d] = each(each(a, b, pick), each(c, d, pick), pick);
    pick(pick(a, b), pick(c, d))
}

fn fours(lanes: &[f32; LONGEST]) -> [[f32; 4]; 4] {
    let (fours, _) = lanes.as_chunks::<4>();
    [fours[0], fours[1], fours[2], fours[3]]
}

/// The highest but one: four lanes at a time, then of the lanes.
fn second_highest(levels: &[f32; LONGEST]) -> f32 {
    let [a, b, c, d] = fours(levels);
    let (ab, below_ab) = (each(a, b, higher), each(a, b, lower));
    let (cd, below_cd) = (each(c, d, higher), each(c, d, lower));
    let first = each(ab, cd, higher);
    let second = each(
        each(below_ab, below_cd, higher),
        each(ab, cd, lower),
        higher,
    );
    let top = |lane: usize| (first[lane], second[lane]);
    let merge = |a: (f32, f32), b: (f32, f32)| {
        (higher(a.0, b.0), higher(higher(a.1, b.1), lower(a.0, b.0)))
    };
    merge(merge(top(0), top(1)), merge(top(2), top(3))).1
}

fn each(a: [f32; 4], b: [f32; 4], pick: impl Fn(f32, f32) -> f32) -> [f32; 4] {
    [
        pick(a[0], b[0]),
        pick(a[1], b[1]),
        pick(a[2], b[2]),
        pick(a[3], b[3]),
    ]
}

/// Unlike `f32::min`, which takes pains over what is no number, one instruction.
pub(super) fn lower(a: f32, b: f32) -> f32 {
    if b < a { b } else { a }
}

pub(super) fn higher(a: f32, b: f32) -> f32 {
    if b > a { b } else { a }
}

#[expect(clippy::cast_possible_truncation, reason = "less than LONGEST")]
fn slot(tile: u64) -> usize {
    (tile % LONGEST as u64) as usize
}
