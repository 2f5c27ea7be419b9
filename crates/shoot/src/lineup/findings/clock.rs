//! A device's own clock that drifts, was set again, or is beside the code all day.

use super::super::lines::Line;
use super::super::shoot::ShootFindingKind as Kind;
use super::super::{Device, Moment};
use super::{Found, Known};
use plumbline_words::{number, seconds, signed};

/// A clock that stays within this many frames is good: a start time is stated in whole ones.
const GOOD: f64 = 0.75;

pub(super) fn all(known: &Known<'_>) -> Vec<Found> {
    let numbered = known.devices.iter().enumerate();
    numbered
        .flat_map(|(which, device)| {
            let set_again = set_again(known, which, device);
            let drift = drift(known, which, device);
            let lag = if drift.is_none() && set_again.is_none() {
                lag(known, which, device)
            } else {
                None
            };
            [set_again, drift, lag].into_iter().flatten()
        })
        .collect()
}

fn set_again(known: &Known<'_>, which: usize, device: &Device) -> Option<Found> {
    let breaks: Vec<(Moment, Moment, f64)> = device
        .clock
        .lines
        .windows(2)
        .filter_map(|pair| match pair {
            [a, b] => Some((Moment(a.to), Moment(b.from), b.at(b.from) - a.at(b.from))),
            _ => None,
        })
        .collect();
    let &(before, after, by) = breaks.first()?;
    let frames = known.clock.frames(by);
    let again = match breaks.len() {
        1 => String::new(),
        more => format!(" It was set {more} times in all."),
    };
    Some(Found {
        kind: Kind::SetAgain,
        heading: format!("{}: clock set again", device.name),
        place: format!("{} to {}", known.hours(before), known.hours(after)),
        text: format!(
            "Between these two recordings its own clock leaps by {} frames, which is {}. It was \
             jammed again, lost its battery, or was set by hand.{again}",
            signed(frames, 1),
            seconds(by.abs())
        ),
        remedy: "Where a recording has code, it is placed by that and nothing need be done. Note \
                 the time: recordings without code on either side stand apart by that much."
            .into(),
        at: Some(after),
        device: Some(which),
        recordings: recordings_of(known, which),
        said: (
            device.name.clone(),
            format!("was set again before {}", known.hours(after)),
        ),
    })
}

fn drift(known: &Known<'_>, which: usize, device: &Device) -> Option<Found> {
    let is_worth_telling =
        |line: &&Line| line.parts() && known.clock.frames(line.parted()).abs() > GOOD;
    let worst = device.clock.lines.iter().filter(is_worth_telling);
    let line = worst.max_by(|a, b| a.parted().abs().total_cmp(&b.parted().abs()))?;
    let frames = known.clock.frames(line.parted());
    let (way, parts, direction) = if frames > 0.0 {
        ("gains", "runs", "ahead")
    } else {
        ("loses", "falls", "behind")
    };
    let ppm = line.slope.abs() * 1e6;
    let deviation = line.deviation? * 1e6;
    let hold = known.clock.seconds(0.5) / line.slope.abs();
    let (begins, ends) = (Moment(line.from), Moment(line.to));
    Some(Found {
        kind: Kind::Drift,
        heading: format!("{} drifts", device.name),
        place: format!("{} f by {}", signed(frames, 1), known.hours(ends)),
        text: format!(
            "Its own clock {way} {} ppm ± {} against the code, since {} at the latest: it was \
             jammed then or before, and not again.",
            figure(ppm),
            figure(deviation),
            known.hours(begins)
        ),
        remedy: format!(
            "Recordings with code are placed by it. Next time jam it again every {} to stay within \
             half a frame.",
            seconds(hold)
        ),
        at: Some(ends),
        device: Some(which),
        recordings: recordings_of(known, which),
        said: (
            device.name.clone(),
            format!(
                "{parts} {} frames {direction} by {}",
                number(frames.abs(), 1),
                known.hours(ends)
            ),
        ),
    })
}

/// Two figures of what is small, one decimal of what is not.
fn figure(ppm: f64) -> String {
    number(ppm, if ppm < 1.0 { 2 } else { 1 })
}

/// A clock that neither drifts nor was set, and yet is not where the code is.
fn lag(known: &Known<'_>, which: usize, device: &Device) -> Option<Found> {
    let [line] = device.clock.lines.as_slice() else {
        return None;
    };
    let middle = Moment(f64::midpoint(line.from, line.to));
    let by = line.at(middle.0);
    let frames = known.clock.frames(by);
    if frames.abs() <= GOOD {
        return None;
    }
    let (way, cause) = if frames.abs() < 10.0 {
        (
            "by the same all along",
            "An audio path’s or a camera’s constant delay does that, or a clock that was set by \
             hand",
        )
    } else {
        (
            "all along",
            "It was never jammed from this code, or was set by hand",
        )
    };
    Some(Found {
        kind: Kind::Lag,
        heading: format!("{}: own clock beside the code", device.name),
        place: format!("{} f", signed(frames, 1)),
        text: format!(
            "The start times in its files are {} frames ({}) {} the code, {way}. {cause}.",
            number(frames.abs(), 1),
            seconds(by.abs()),
            if frames > 0.0 { "ahead of" } else { "behind" },
        ),
        remedy: "Hand over by the code, as is done here, or stamp copies from it. Do not mix \
                 the two."
            .into(),
        at: None,
        device: Some(which),
        recordings: recordings_of(known, which),
        said: (
            device.name.clone(),
            format!("has its own clock {} frames off", number(frames.abs(), 1)),
        ),
    })
}

fn recordings_of(known: &Known<'_>, device: usize) -> Vec<usize> {
    known.of(device).map(|(which, _)| which).collect()
}
