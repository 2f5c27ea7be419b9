//! What changes in a print: the part of a sound that two microphones hear alike.
//!
//! Levels differ between two recordings of the same sound: another distance, another microphone,
//! another room. Their rises and falls do not. So each band's level in decibels is smoothed and
//! differenced: the mean of the three frames after a moment, less that of the three before it.

use std::ops::Range;

use crate::Print;
use crate::print::{BANDS, level_of};
use crate::whole;

/// Frames before and after a moment that are compared.
const REACH: i64 = 3;
/// A change counts as no more than that, in dB: a door is one event and not ten.
const LARGEST: f32 = 12.0;
/// Levels below so much of the recording (its noise, between the sounds) are taken as that level.
const FLOOR_SHARE: f64 = 0.2;
/// A band that changes less than that, in dB, has no sound but a converter's or none at all.
const STEADY: f32 = 0.1;

/// The changes of a print, band by band, scaled so that their mean square is 1.
#[derive(Debug)]
pub(crate) struct Onsets<'a> {
    print: &'a Print,
    floors: [f32; BANDS],
    gains: [f32; BANDS],
}

impl<'a> Onsets<'a> {
    pub(crate) fn of(print: &'a Print) -> Self {
        let mut onsets = Self {
            print,
            floors: std::array::from_fn(|band| floor(print, band)),
            gains: [1.0; BANDS],
        };
        onsets.gains = std::array::from_fn(|band| onsets.gain(band));
        onsets
    }

    pub(crate) fn frames(&self) -> usize {
        self.print.frames.len()
    }

    /// The changes in a band from frame `from` on; nought where the recording has none.
    pub(crate) fn fill(&self, band: usize, from: i64, into: &mut [f32]) {
        into.fill(0.0);
        let end = whole::signed(self.frames()) - REACH;
        let gain = self.gains[band];
        let first = from.max(REACH);
        // Two running sums of whole half decibels above the floor: exact in single precision.
        let level = |frame: i64| self.level(band, frame);
        let mut before: f32 = (1..=REACH).map(|n| level(first - n)).sum();
        let mut after: f32 = (1..=REACH).map(|n| level(first + n)).sum();
        for frame in first..end {
            let Some(value) = into.get_mut(whole::unsigned(frame - from)) else {
                break;
            };
            let change = (after - before) / 3.0;
            *value = change.clamp(-LARGEST, LARGEST) * gain;
            before += level(frame) - level(frame - REACH);
            after += level(frame + REACH + 1) - level(frame + 1);
        }
    }

    /// How much happens in each frame of a range: the mean of the squares over the bands.
    pub(crate) fn activity(&self, frames: Range<i64>) -> Vec<f32> {
        let length = whole::unsigned(frames.end - frames.start);
        let mut sums = vec![0.0; length];
        let mut changes = vec![0.0; length];
        for band in 0..BANDS {
            self.fill(band, frames.start, &mut changes);
            for (sum, change) in sums.iter_mut().zip(&changes) {
                *sum += change * change / BANDS as f32;
            }
        }
        sums
    }

    fn level(&self, band: usize, frame: i64) -> f32 {
        let frame = usize::try_from(frame)
            .ok()
            .and_then(|frame| self.print.frames.get(frame));
        frame.map_or(0.0, |levels| level_of(levels[band]).max(self.floors[band]))
    }

    /// What makes the mean square of a band's changes 1; 0 where it hardly changes.
    fn gain(&self, band: usize) -> f32 {
        const BLOCK: usize = 4096;
        let mut changes = vec![0.0; BLOCK];
        let mut sum = 0.0;
        for from in (0..self.frames()).step_by(BLOCK) {
            self.fill(band, whole::signed(from), &mut changes);
            sum += f64::from(changes.iter().map(|change| change * change).sum::<f32>());
        }
        let root = whole::single((sum / self.frames().max(1) as f64).sqrt());
        if root < STEADY { 0.0 } else { root.recip() }
    }
}

/// The level that a band is above for most of the time, in dB.
fn floor(print: &Print, band: usize) -> f32 {
    let mut counts = [0_usize; 256];
    for levels in &print.frames {
        counts[usize::from(levels[band])] += 1;
    }
    let below = whole::index(print.frames.len() as f64 * FLOOR_SHARE);
    let mut sum = 0;
    let reached = (0..=u8::MAX).find(|byte| {
        sum += counts[usize::from(*byte)];
        sum > below
    });
    level_of(reached.unwrap_or(0))
}
