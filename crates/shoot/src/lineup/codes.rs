//! Two codes on two channels of one recording: one device's clock beside another's, by the same
//! sample clock.
//!
//! The sample clock's own error is in both and goes out. A straight line that was fitted to one
//! recording's codewords says no more than its values at two places that are a standard deviation
//! of the codewords' times before and after their middle, each with √2 of what the line's slope is
//! unsure by over that distance; the two values are then independent, and lines over the day are
//! fitted to them as to any points.

use super::lines::{self, Line, Point};
use super::place::timebase;
use super::{Device, Recording, ShootClock};
use crate::summary::{CodeLine, Summary};
use plumbline_timecode::Timebase;
use std::collections::BTreeMap;

/// The codes of two channels in the recordings of one device.
#[derive(Debug)]
pub(crate) struct CodePair {
    /// "Sound bag: channel 2 against channel 1".
    pub(crate) name: String,
    /// The number of the device.
    pub(crate) device: usize,
    /// Both channels, counted from 0, the lower one first.
    pub(crate) channels: (u16, u16),
    /// The recordings that have both.
    pub(crate) recordings: Vec<usize>,
    /// By how much the code on the higher channel was ahead, in seconds of its digits.
    pub(crate) points: Vec<Point>,
    /// The lines through that; a new line is a device that was jammed again.
    pub(crate) lines: Vec<Line>,
    /// Both rates, lower channel first, of the first recording in which they differ: such codes
    /// are not compared any further.
    pub(crate) rates: Option<(Timebase, Timebase)>,
}

/// No place in a code is trusted further than this, in seconds: a tenth of a sample at 48 kHz.
const FLOOR: f64 = 2e-6;

/// More codes of one recording than this are not compared: their pairs grow with the square.
const CODES: usize = 16;

/// Every pair of channels on which a device recorded two codes.
pub(crate) fn pairs(
    recordings: &[Recording<'_>],
    devices: &[Device],
    clock: Option<ShootClock>,
) -> Vec<CodePair> {
    let Some(clock) = clock else {
        return Vec::new();
    };
    let mut pairs: BTreeMap<(usize, (u16, u16)), CodePair> = BTreeMap::new();
    for (number, recording) in recordings.iter().enumerate() {
        for (one, other) in both(&recording.entry.summary) {
            let channels = (one.channel, other.channel);
            let pair = pairs
                .entry((recording.device, channels))
                .or_insert_with(|| empty(recording.device, channels, devices));
            pair.recordings.push(number);
            let (first, second) = (of(one), of(other));
            match (first, second) {
                (Some(first), Some(second)) if first == second => {
                    pair.points.extend(points(recording, one, other, clock));
                }
                (Some(first), Some(second)) => pair.rates = pair.rates.or(Some((first, second))),
                _ => {}
            }
        }
    }
    let mut pairs: Vec<CodePair> = pairs.into_values().collect();
    for pair in &mut pairs {
        pair.points.sort_by(|a, b| a.at.total_cmp(&b.at));
        pair.lines = lines::through(&pair.points);
    }
    pairs
}

fn empty(device: usize, channels: (u16, u16), devices: &[Device]) -> CodePair {
    let name = devices.get(device).map(|device| device.name.as_str());
    let counted = |channel: u16| u32::from(channel) + 1;
    CodePair {
        name: format!(
            "{}: channel {} against channel {}",
            name.unwrap_or_default(),
            counted(channels.1),
            counted(channels.0)
        ),
        device,
        channels,
        recordings: Vec::new(),
        points: Vec::new(),
        lines: Vec::new(),
        rates: None,
    }
}

/// Each two codes of a recording that do not leap, the lower channel first.
fn both(summary: &Summary) -> impl Iterator<Item = (&CodeLine, &CodeLine)> {
    let steady = summary.codes.iter().filter(|code| !code.leaps);
    let mut steady: Vec<&CodeLine> = steady.take(CODES).collect();
    steady.sort_by_key(|code| code.channel);
    let pairs: Vec<_> = steady
        .iter()
        .enumerate()
        .flat_map(|(number, one)| {
            steady
                .iter()
                .skip(number + 1)
                .map(move |other| (*one, *other))
        })
        .collect();
    pairs.into_iter()
}

fn of(code: &CodeLine) -> Option<Timebase> {
    timebase(&code.rate, code.drop_frame)
}

/// What one recording says of the higher channel's code beside the lower one's.
fn points(
    recording: &Recording<'_>,
    one: &CodeLine,
    other: &CodeLine,
    clock: ShootClock,
) -> Vec<Point> {
    let Some(placed) = recording.placed else {
        return Vec::new();
    };
    let hertz = f64::from(recording.entry.summary.sample_rate.max(1));
    let at_start = (other.start - one.start) / hertz;
    let day = of(one)
        .map_or(clock, |timebase| ShootClock { timebase })
        .day();
    let at_start = (at_start + day / 2.0).rem_euclid(day) - day / 2.0;
    let Some((from, to)) = overlap(one, other) else {
        return Vec::new();
    };
    let middle = f64::midpoint(from, to);
    let point = |second: f64, drift: f64, deviation: f64| Point {
        at: placed.from.0 + second,
        offset: at_start + drift * second,
        deviation: deviation.max(FLOOR),
    };
    let Some((drift, deviation)) = drift(one, other) else {
        // Where no speed was measured, the start is no better than the first edges are.
        return vec![point(middle, 0.0, 1.0 / hertz)];
    };
    // The standard deviation of times that lie evenly over that length.
    let aside = (to - from) / 12f64.sqrt();
    let deviation = 2f64.sqrt() * aside * deviation;
    vec![
        point(middle - aside, drift, deviation),
        point(middle + aside, drift, deviation),
    ]
}

/// How fast the other code runs beside the one, in seconds a second, with one standard deviation.
fn drift(one: &CodeLine, other: &CodeLine) -> Option<(f64, f64)> {
    let both = one.clock_ppm.zip(other.clock_ppm)?;
    let unsure = one.clock_ppm_uncertainty.zip(other.clock_ppm_uncertainty)?;
    Some(((both.1 - both.0) * 1e-6, unsure.0.hypot(unsure.1) * 1e-6))
}

/// Where both codes were read, in seconds of the recording.
fn overlap(one: &CodeLine, other: &CodeLine) -> Option<(f64, f64)> {
    let extent = |code: &CodeLine| Some((code.runs.first()?.from, code.runs.last()?.to));
    let (one, other) = (extent(one)?, extent(other)?);
    let (from, to) = (one.0.max(other.0), one.1.min(other.1));
    (to > from).then_some((from, to))
}
