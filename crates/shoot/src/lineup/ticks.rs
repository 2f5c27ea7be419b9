//! The marks along a day: round addresses, as many as there is room for.

use super::{Moment, ShootClock};
use plumbline_timecode::TimeAddress;
use serde::Serialize;

/// A mark with its address.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Tick {
    /// Where, in seconds on the shoot's clock.
    pub at: f64,
    /// The address, as far as it says anything: "14:00", "14:00:05", "14:00:05:12".
    pub label: String,
}

/// Steps in seconds of digits; below them come frames.
const SECONDS: [u32; 14] = [
    1, 2, 5, 10, 30, 60, 120, 300, 600, 1_800, 3_600, 7_200, 14_400, 28_800,
];

/// Marks between two instants, at most so many.
pub fn ticks(clock: ShootClock, from: Moment, to: Moment, at_most: u32) -> Vec<Tick> {
    let base = clock.timebase.count().frames_per_second();
    let frames = clock.frames(to.0 - from.0);
    let room = f64::from(at_most.clamp(1, 100));
    let steps = [1, 2, 5, 10].into_iter().filter(|step| *step < base);
    let steps = steps.chain(SECONDS.map(|seconds| seconds * base));
    let fits = |step: &u32| frames / f64::from(*step) < room;
    let Some(step) = steps.into_iter().find(fits) else {
        return Vec::new();
    };
    let step = i64::from(step);
    let first = digits_at(clock, from) / step;
    (first..)
        .filter_map(|number| mark(clock, number * step, step))
        .skip_while(|tick| tick.at < from.0)
        .take_while(|tick| tick.at <= to.0)
        .collect()
}

/// The digits of an address as a number of frames, as if none were left out, from the first
/// midnight on.
fn digits_at(clock: ShootClock, moment: Moment) -> i64 {
    let address = clock.address(moment);
    let base = i64::from(clock.timebase.count().frames_per_second());
    let seconds = i64::from(address.hours()) * 3600
        + i64::from(address.minutes()) * 60
        + i64::from(address.seconds());
    let days = crate::whole::signed((moment.0 / clock.day()).floor());
    (days * 86_400 + seconds) * base + i64::from(address.frames())
}

/// The mark at an address; where drop-frame leaves it out, at the one that follows.
fn mark(clock: ShootClock, digits: i64, step: i64) -> Option<Tick> {
    let count = clock.timebase.count();
    let base = i64::from(count.frames_per_second());
    let (seconds, frames) = (digits.div_euclid(base), digits.rem_euclid(base));
    let (day, second) = (seconds.div_euclid(86_400), seconds.rem_euclid(86_400));
    let part = |value: i64| u8::try_from(value).ok();
    let (h, m, s) = (
        part(second / 3600)?,
        part(second / 60 % 60)?,
        part(second % 60)?,
    );
    let frames = part(frames)?;
    let address = TimeAddress::new(count, h, m, s, frames)
        .or_else(|_| TimeAddress::new(count, h, m, s, frames + 2))
        .ok()?;
    Some(Tick {
        at: clock.moment(address)?.0 + day as f64 * clock.day(),
        label: label(&address.to_string(), step, base),
    })
}

fn label(address: &str, step: i64, base: i64) -> String {
    let letters = match step {
        step if step < base => return address.to_owned(),
        step if step < 60 * base => 8,
        _ => 5,
    };
    address.chars().take(letters).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_timecode::{Count, Rate, Timebase};

    fn labels(timebase: Timebase, from: f64, to: f64, at_most: u32) -> Vec<String> {
        let clock = ShootClock { timebase };
        let ticks = ticks(clock, Moment(from), Moment(to), at_most);
        assert!(ticks.iter().all(|tick| (from..=to).contains(&tick.at)));
        ticks.into_iter().map(|tick| tick.label).collect()
    }

    #[test]
    fn a_day_has_hours_and_an_instant_has_frames() {
        let timebase = Timebase::non_drop(Rate::F25);
        let day = labels(timebase, 32_000.0, 58_000.0, 9);
        assert_eq!(
            day,
            [
                "09:00", "10:00", "11:00", "12:00", "13:00", "14:00", "15:00", "16:00"
            ]
        );
        let instant = labels(timebase, 36_000.0, 36_000.3, 5);
        assert_eq!(
            instant,
            ["10:00:00:00", "10:00:00:02", "10:00:00:04", "10:00:00:06"]
        );
        let night = labels(timebase, 86_300.0, 86_500.0, 4);
        assert_eq!(night, ["23:59", "00:00", "00:01"]);
    }

    #[test]
    fn minutes_that_drop_frame_leaves_out_are_marked_at_the_next_frame() {
        let timebase = Timebase::new(Rate::F29_97, Count::F30Drop).unwrap();
        let minutes = labels(timebase, 0.0, 185.0, 5);
        assert_eq!(minutes, ["00:00", "00:01", "00:02", "00:03"]);
    }
}
