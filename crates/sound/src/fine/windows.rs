//! Where in two recordings it is worth listening.

use super::WORK_RATE;
use crate::coarse::Place;
use crate::onsets::Onsets;
use crate::print::FRAMES_A_SECOND;
use crate::whole;

/// Windows at most.
const MOST: usize = 24;
/// Windows that a short overlap is divided into, so that there are enough to agree.
const SHORT: f64 = 8.0;
/// Samples in a window at the working rate: half a second to four.
const SIZES: std::ops::RangeInclusive<f64> = 8192.0..=65536.0;

/// Windows of one length.
#[derive(Debug)]
pub(super) struct Windows {
    /// Samples in each, at the working rate.
    pub(super) size: usize,
    pub(super) windows: Vec<Window>,
}

/// A window.
#[derive(Debug, Clone, Copy)]
pub(super) struct Window {
    /// Where it begins in the second recording, in seconds of its clock.
    pub(super) second: f64,
    /// How much later the first recording is expected to have the same, in seconds.
    pub(super) offset: f64,
}

impl Windows {
    /// Spread evenly over what overlaps; in each part, where most happens in both.
    pub(super) fn choose(first: &Onsets<'_>, second: &Onsets<'_>, places: &[Place]) -> Self {
        let rate = f64::from(FRAMES_A_SECOND);
        let length = |place: &Place| whole::unsigned(place.second.end - place.second.start);
        let total: usize = places.iter().map(length).sum();
        let wanted = total as f64 / rate / SHORT * WORK_RATE;
        let size = wanted
            .log2()
            .floor()
            .exp2()
            .clamp(*SIZES.start(), *SIZES.end());
        let frames = whole::index((size / WORK_RATE * rate).ceil());
        let mut windows = Vec::new();
        for place in every(places, places.len().div_ceil(MOST)) {
            let share = length(place) as f64 / total as f64 * MOST as f64;
            let count = whole::index(share).max(1).min(length(place) / frames);
            for begins in busiest(first, second, place, frames, count) {
                windows.push(Window {
                    second: begins as f64 / rate,
                    offset: place.lag as f64 / rate,
                });
            }
        }
        Self {
            size: whole::index(size),
            windows,
        }
    }
}

/// Some of many, evenly.
fn every(places: &[Place], step: usize) -> impl Iterator<Item = &Place> {
    places.iter().step_by(step.max(1))
}

/// The place in each of so many equal parts from which on most happens in both, over so many
/// frames; as frames of the second print.
fn busiest(
    first: &Onsets<'_>,
    second: &Onsets<'_>,
    place: &Place,
    frames: usize,
    count: usize,
) -> Vec<i64> {
    let range = place.second.clone();
    let there = first.activity(range.start + place.lag..range.end + place.lag);
    let here = second.activity(range.clone());
    // What has happened in both up to each frame: roots, so that one bang does not outweigh a
    // sentence.
    let mut sum = 0.0;
    let sums = there.iter().zip(&here).map(|(a, b)| {
        sum += f64::from(a * b).sqrt();
        sum
    });
    let sums: Vec<f64> = std::iter::once(0.0).chain(sums).collect();
    let part = here.len() / count.max(1);
    let best = |number: usize| {
        let starts = number * part..=(number + 1) * part - frames;
        let happens = |start: &usize| sums[start + frames] - sums[*start];
        starts.max_by(|a, b| happens(a).total_cmp(&happens(b)))
    };
    let starts = (0..count).filter_map(best);
    starts
        .map(|start| range.start + whole::signed(start))
        .collect()
}
