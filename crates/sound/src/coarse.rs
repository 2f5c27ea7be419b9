//! Places at which two prints may have heard the same.

mod correlation;

use std::ops::Range;

use crate::onsets::Onsets;
use crate::print::FRAMES_A_SECOND;
use crate::whole;
use crate::{Print, Seconds};
use correlation::Haystack;

/// The shorter print is looked for in pieces of so many frames, two minutes: over that time two
/// clocks that differ by 100 ppm part by about one frame.
const PIECE: usize = 12_000;
/// Frames that must overlap: three seconds.
pub(crate) const LEAST_OVERLAP: i64 = 300;
/// How much better than the best of pure chance a piece must fit, in spreads. What is handed out
/// here is looked at again in the sound.
const ABOVE_CHANCE: f32 = 0.6;
/// Places that are nearer than that many frames are one.
const APART: usize = 12;
/// Places of a piece that are kept.
const PLACES: usize = 6;
/// Candidates that are handed out.
const CANDIDATES: usize = 5;
/// Two clocks are believed to part by at most that: twice what poor quartz does.
pub(crate) const MOST_DRIFT: f64 = 200e-6;

/// A range of offsets that is believed for other reasons (time of day in the files' names, say),
/// by the first recording's clock: the answer is looked for in it alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// The least offset.
    pub from: Seconds,
    /// The greatest.
    pub to: Seconds,
}

/// An offset at which two prints may have heard the same.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// How long after the first recording's first sample the second one's is, to about a
    /// hundredth of a second; in long recordings, as it is where they fit best.
    pub offset: Seconds,
    /// How well it fits, in spreads of how well they fit at all other offsets.
    pub height: f64,
    /// Which parts fit.
    pub(crate) places: Vec<Place>,
}

/// A piece of the second print that fits on the first.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Place {
    /// The frames of the second print that have a counterpart.
    pub(crate) second: Range<i64>,
    /// How many frames later the first print has the same.
    pub(crate) lag: i64,
    height: f32,
}

/// The offsets at which two prints may have heard the same, the best first, five at most; none
/// where nothing stands out.
///
/// This looks at prints alone: what it finds is a question to the sound
/// ([`line_up`](crate::line_up) asks it), not an answer.
pub fn candidates(first: &Print, second: &Print, prior: Option<Prior>) -> Vec<Candidate> {
    // Pieces of the shorter one are looked for in the longer one.
    let places = if second.frames.len() <= first.frames.len() {
        places(first, second, prior.map(frames))
    } else {
        let prior = prior.map(frames).map(|lags| 1 - lags.end..1 - lags.start);
        let places = places(second, first, prior);
        places.into_iter().map(Place::swapped).collect()
    };
    groups(places)
}

/// The lags of a prior.
fn frames(prior: Prior) -> Range<i64> {
    // No recording has so many frames, and sums of such numbers still fit.
    let frame = |seconds: Seconds| (seconds.0 * f64::from(FRAMES_A_SECOND)).clamp(-1e12, 1e12);
    whole::nearest(frame(prior.from).floor())..whole::nearest(frame(prior.to).ceil()) + 1
}

/// Where each piece of `needle` fits on `hay`.
fn places(hay: &Print, needle: &Print, prior: Option<Range<i64>>) -> Vec<Place> {
    let (long, short) = (Onsets::of(hay), Onsets::of(needle));
    let length = whole::signed(short.frames());
    let pieces = whole::signed(short.frames().div_ceil(PIECE).max(1));
    let piece = length / pieces + 1;
    let possible = LEAST_OVERLAP - length..whole::signed(long.frames()) - LEAST_OVERLAP + 1;
    let lags = prior.map_or(possible.clone(), |prior| {
        // Drift may carry a piece out of what is believed of the first sample.
        let slack = whole::nearest(MOST_DRIFT * length as f64) + 2;
        (prior.start - slack).max(possible.start)..(prior.end + slack).min(possible.end)
    });
    if lags.is_empty() || length < LEAST_OVERLAP {
        return Vec::new();
    }
    let reach = long_lags(&lags, length, piece, whole::signed(long.frames()));
    let haystack = Haystack::new(&long, whole::unsigned(piece), reach);
    let least = least_height((lags.end - lags.start) * pieces);
    let mut found = Vec::new();
    for begins in (0..length).step_by(whole::unsigned(piece)) {
        let frames = begins..(begins + piece).min(length);
        let fits = haystack.fits(&short, frames.clone(), LEAST_OVERLAP.min(piece / 2));
        let believed = lags.start + begins..lags.end + begins;
        for (at, height) in fits.peaks(&believed, least, APART, PLACES) {
            let lag = at - begins;
            let common = frames.start.max(-lag)..frames.end.min(whole::signed(long.frames()) - lag);
            found.push(Place {
                second: common,
                lag,
                height,
            });
        }
    }
    found
}

/// Where pieces of the shorter print can stand on the longer one.
fn long_lags(lags: &Range<i64>, length: i64, piece: i64, frames: i64) -> Range<i64> {
    lags.start.max(1 - piece)..(lags.end + length).min(frames)
}

/// How far above the spread a piece must fit, where chance has so many tries: `√(2 ln n)` is what
/// the highest of n normal values comes to, and what fits a little better is looked at.
fn least_height(tries: i64) -> f32 {
    whole::single((2.0 * (tries.max(2) as f64).ln()).sqrt()) + ABOVE_CHANCE
}

impl Place {
    /// The same with the two prints in each other's place.
    fn swapped(self) -> Self {
        Self {
            second: self.second.start + self.lag..self.second.end + self.lag,
            lag: -self.lag,
            height: self.height,
        }
    }

    /// Whether two clocks that differ by no more than is believed could make both.
    fn goes_with(&self, other: &Self) -> bool {
        let apart = (self.second.start - other.second.start).abs();
        let drift = whole::nearest(MOST_DRIFT * apart as f64);
        (self.lag - other.lag).abs() <= 3 + drift
    }
}

/// Places that can be of one offset, together; the best group first.
fn groups(mut places: Vec<Place>) -> Vec<Candidate> {
    places.sort_by(|a, b| b.height.total_cmp(&a.height));
    let mut groups = Vec::new();
    while let Some(best) = places.first().cloned() {
        let (group, rest): (Vec<Place>, Vec<Place>) =
            places.into_iter().partition(|place| place.goes_with(&best));
        places = rest;
        let squares: f32 = group.iter().map(|place| place.height.powi(2)).sum();
        groups.push(Candidate {
            offset: Seconds(best.lag as f64 / f64::from(FRAMES_A_SECOND)),
            height: f64::from(squares.sqrt()),
            places: group,
        });
    }
    groups.sort_by(|a, b| b.height.total_cmp(&a.height));
    groups.truncate(CANDIDATES);
    groups
}
