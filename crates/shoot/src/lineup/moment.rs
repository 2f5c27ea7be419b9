//! The clock of a shoot, and instants on it.

use plumbline_timecode::{Frames, Rounding, Seconds, TimeAddress, Timebase};

/// A measured instant on a shoot's clock: seconds of its real time since the midnight at which its
/// day began.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Moment(pub f64);

/// The clock on which recordings stand: the rate and count that most of them have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ShootClock {
    /// Its rate and count.
    pub timebase: Timebase,
}

/// An instant this many seconds before a frame is taken to be at it: half a sample, and more than
/// floating point loses in a day.
const AT_ONCE: f64 = 1e-5;

impl ShootClock {
    /// How long its day of addresses is, in seconds: 86,400, or 86,486.4 where a pulled-down rate
    /// counts without drop-frame.
    pub fn day(self) -> f64 {
        self.seconds(f64::from(self.timebase.count().frames_per_day()))
    }

    /// Frames in seconds.
    pub fn seconds(self, frames: f64) -> f64 {
        frames / self.timebase.rate().fraction().as_f64()
    }

    /// Seconds in frames.
    pub fn frames(self, seconds: f64) -> f64 {
        seconds * self.timebase.rate().fraction().as_f64()
    }

    /// The address of the frame in progress.
    pub fn address(self, moment: Moment) -> TimeAddress {
        let midnight = TimeAddress::midnight(self.timebase.count());
        let nanoseconds = ((moment.0 + AT_ONCE).rem_euclid(self.day()) * 1e9).floor();
        let time = Seconds::from_nanoseconds(crate::whole::signed(nanoseconds));
        let address = self.timebase.address_at(time, Rounding::Down);
        address.unwrap_or(midnight)
    }

    /// The instant at which an address of the first day begins.
    pub fn moment(self, address: TimeAddress) -> Option<Moment> {
        let seconds = self.timebase.seconds_at(address).ok()?;
        Some(Moment(seconds.as_f64()))
    }

    /// The frame that is nearest to an instant, counted from the midnight of the day.
    pub fn nearest_frame(self, moment: Moment) -> Frames {
        Frames(crate::whole::signed(self.frames(moment.0)))
    }

    /// A time of day on a clock of another rate, put where this clock shows the same digits.
    ///
    /// Digits of a pulled-down rate without drop-frame take 1.001 s each.
    pub(crate) fn by_digits(self, other: Timebase, seconds: f64) -> f64 {
        seconds / digit_seconds(other) * digit_seconds(self.timebase)
    }
}

/// How long a second of a timebase's digits takes.
fn digit_seconds(timebase: Timebase) -> f64 {
    if timebase.count().is_drop() {
        1.0
    } else {
        f64::from(timebase.count().frames_per_second()) / timebase.rate().fraction().as_f64()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_timecode::{Count, Rate};

    #[test]
    fn an_address_is_where_its_digits_say_and_days_go_round() {
        let clock = ShootClock {
            timebase: Timebase::non_drop(Rate::F25),
        };
        let at = |seconds| clock.address(Moment(seconds)).to_string();
        assert_eq!(at(36_000.0), "10:00:00:00");
        assert_eq!(at(36_000.04 - 1e-9), "10:00:00:01");
        assert_eq!(at(86_400.0 + 1.0), "00:00:01:00");
        assert_eq!(at(-1.0), "23:59:59:00");
    }

    /// SMPTE ST 12-1 clause 5.2.2: an hour of non-drop digits at 29.97 takes 3603.6 s.
    #[test]
    fn the_same_digits_at_another_rate_stand_together() {
        let slow = Timebase::non_drop(Rate::F29_97);
        let clock = ShootClock {
            timebase: Timebase::non_drop(Rate::F25),
        };
        assert!((clock.by_digits(slow, 36_036.0) - 36_000.0).abs() < 1e-6);
        let drop = Timebase::new(Rate::F29_97, Count::F30Drop).unwrap();
        let day = ShootClock { timebase: drop }.day();
        assert!((day - 86_399.913_6).abs() < 1e-6);
    }
}
