//! An ordinary reader, for comparison.

use plumbline_ltc::{Codeword, Digits, SYNC_FORWARD, SYNC_REVERSE};

use crate::{Frame, Reader, Take};

/// An ordinary reader, as one would write it first: take the constant out, call a crossing what
/// goes far enough to the other side of a threshold that follows the level, tell short intervals
/// from long ones, and look for the synchronizing word both ways. No second thoughts.
///
/// It stands for a way of working, not for any program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EdgeCounter;

impl Reader for EdgeCounter {
    fn name(&self) -> &'static str {
        "edge counter"
    }

    fn read(&self, take: &Take) -> Vec<Frame> {
        let mut slicer = Slicer::new(take.sample_rate.as_f64());
        let mut clusters = Clusters::default();
        let mut frames = Vec::new();
        let mut register = Register::default();
        let mut last = None;
        for (n, sample) in (0_u32..).zip(&take.samples) {
            let Some(crossing) = slicer.push(f64::from(n), f64::from(*sample)) else {
                continue;
            };
            if let Some(last) = last.replace(crossing) {
                match clusters.push(crossing - last) {
                    Some(bit) => register.push(bit, crossing),
                    None => continue,
                }
                frames.extend(register.frame());
            }
        }
        frames
    }
}

/// Finds crossings by a threshold that follows the level.
#[derive(Debug)]
struct Slicer {
    constant: f64,
    constant_rate: f64,
    peak: f64,
    peak_decay: f64,
    high: bool,
    last: f64,
    /// The last place at which the signal went through zero towards the other side.
    through: f64,
}

/// A constant is followed with this time constant, in seconds.
const CONSTANT_SECONDS: f64 = 0.02;
/// The level falls with this time constant, in seconds.
const PEAK_SECONDS: f64 = 0.05;
/// The part of the level that a crossing must reach on the other side.
const THRESHOLD: f64 = 0.25;

impl Slicer {
    fn new(hertz: f64) -> Self {
        Self {
            constant: 0.0,
            constant_rate: 1.0 / (CONSTANT_SECONDS * hertz),
            peak: 0.0,
            peak_decay: (-1.0 / (PEAK_SECONDS * hertz)).exp(),
            high: false,
            last: 0.0,
            through: 0.0,
        }
    }

    /// Takes the sample at `at` and gives where the signal crossed, once that is settled.
    fn push(&mut self, at: f64, sample: f64) -> Option<f64> {
        self.constant += self.constant_rate * (sample - self.constant);
        let value = sample - self.constant;
        self.peak = (self.peak * self.peak_decay).max(value.abs());
        let towards = if self.high { -value } else { value };
        let before = if self.high { -self.last } else { self.last };
        if before <= 0.0 && towards > 0.0 {
            self.through = at - towards / (towards - before);
        }
        self.last = value;
        (towards > THRESHOLD * self.peak && self.peak > 0.0).then(|| {
            self.high = !self.high;
            self.through
        })
    }
}

/// Tells half cells from whole ones by the two lengths about which intervals gather.
#[derive(Debug, Default)]
struct Clusters {
    recent: Vec<f64>,
    /// How long a whole cell is.
    cell: Option<f64>,
    /// Whether half a one has been heard.
    half: bool,
}

/// Intervals that are looked at to find the two lengths.
const RECENT: usize = 24;
/// How much of each interval's departure the cell takes on.
const FOLLOW: f64 = 0.1;

impl Clusters {
    /// Takes an interval and gives a bit, if it completes one.
    fn push(&mut self, interval: f64) -> Option<bool> {
        let Some(cell) = self.cell else {
            self.begin(interval);
            return None;
        };
        let part = interval / cell;
        if !(0.25..=1.75).contains(&part) {
            // Neither: lose the beat and begin again.
            *self = Self::default();
            return None;
        }
        if part < 0.75 {
            self.cell = Some(cell + FOLLOW * (2.0 * interval - cell));
            self.half = !self.half;
            (!self.half).then_some(true)
        } else {
            self.cell = Some(cell + FOLLOW * (interval - cell));
            self.half = false;
            Some(false)
        }
    }

    /// Two lengths are there when the longest of the recent intervals is about twice the shortest.
    fn begin(&mut self, interval: f64) {
        self.recent.push(interval);
        if self.recent.len() == RECENT {
            let longest = self.recent.iter().copied().fold(f64::MIN, f64::max);
            let shortest = self.recent.iter().copied().fold(f64::MAX, f64::min);
            if (1.6..2.6).contains(&(longest / shortest)) {
                let middle = f64::midpoint(longest, shortest);
                let long = self.recent.iter().filter(|interval| **interval > middle);
                let count = long.clone().count().max(1) as f64;
                self.cell = Some(long.sum::<f64>() / count);
                self.half = false;
            }
            self.recent.clear();
        }
    }
}

/// The last 80 bits, and where each ended.
#[derive(Debug, Default)]
struct Register {
    bits: u128,
    ends: std::collections::VecDeque<f64>,
}

impl Register {
    fn push(&mut self, bit: bool, end: f64) {
        self.bits = self.bits << 1 | u128::from(bit);
        self.ends.push_back(end);
        if self.ends.len() > usize::from(Codeword::BITS) + 1 {
            self.ends.pop_front();
        }
    }

    /// The frame that stands in it, if one does whose digits exist.
    fn frame(&self) -> Option<Frame> {
        if self.ends.len() <= usize::from(Codeword::BITS) {
            return None;
        }
        let sync = |shift: u32| (self.bits >> shift & 0xFFFF) as u16;
        let (bits, first_edge) = if sync(0) == SYNC_FORWARD {
            // The first bit is the highest of 80; bytes want it lowest.
            ((self.bits << 48).reverse_bits(), self.ends.front()?)
        } else if sync(64) == SYNC_REVERSE {
            (self.bits, self.ends.back()?)
        } else {
            return None;
        };
        let mut bytes = [0; 10];
        bytes.copy_from_slice(&bits.to_le_bytes()[..10]);
        let digits: Digits = Codeword(bytes).digits();
        digits.are_valid().then_some(Frame {
            digits,
            first_edge: *first_edge,
        })
    }
}
