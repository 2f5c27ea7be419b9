//! Code as a clock: which frame it is at a moment of the page's own clock.

use plumbline_timecode::{Frames, TimeAddress, Timebase};
use plumbline_words::{Counting, named_timebase};
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Code that runs, against the page's own clock, which is never set.
///
/// ```
/// use plumbline_timecode::{Rate, Timebase};
/// use plumbline_tone::CodeClock;
/// let ten = 10.0 * 3600.0 * 25.0;
/// let clock = CodeClock::new(Timebase::non_drop(Rate::F25), ten, 500.0, 25.0)?;
/// assert_eq!(clock.address_at(1_500.0).to_string(), "10:00:01:00");
/// assert_eq!(clock.address_at(499.0).to_string(), "09:59:59:24");
/// # Ok::<(), plumbline_tone::CodeClockError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CodeClock {
    timebase: Timebase,
    frame: f64,
    page_milliseconds: f64,
    frames_per_second: f64,
}

/// The same in plain values, as a page keeps it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Ticking {
    /// The rate of its codewords, by name.
    pub rate: String,
    /// Whether it counts drop-frame.
    pub drop_frame: bool,
    /// Which frame since midnight it is at a moment, with the part of it that has passed.
    pub frame: f64,
    /// That moment by the page's own clock, in milliseconds.
    pub page_milliseconds: f64,
    /// How many frames pass in a second of that clock: below 0 backwards, 0 where it stands.
    pub frames_per_second: f64,
}

/// Why something is no clock.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum CodeClockError {
    /// There is no such rate, or it is not counted so.
    #[error("{found:?} is not a rate of codewords, or not counted so")]
    Rate {
        /// What was given for one.
        found: String,
    },
    /// A number is none, or beyond all time.
    #[error("a clock needs a frame, a moment and a pace that are numbers")]
    NoNumber,
}

/// No clock is further from its beginning than this: frames of a thousand years.
const FURTHEST: f64 = 1e12;

impl CodeClock {
    /// Code of which frame number `frame` since midnight, with the part of it that has passed, is
    /// at a moment, and which moves by so many frames in a second of the page's clock.
    pub fn new(
        timebase: Timebase,
        frame: f64,
        page_milliseconds: f64,
        frames_per_second: f64,
    ) -> Result<Self, CodeClockError> {
        let numbers = [frame, page_milliseconds, frames_per_second];
        if numbers.iter().any(|n| n.is_nan() || n.abs() > FURTHEST) {
            return Err(CodeClockError::NoNumber);
        }
        Ok(Self {
            timebase: timebase.code(),
            frame,
            page_milliseconds,
            frames_per_second,
        })
    }

    /// How its codewords count.
    pub const fn timebase(&self) -> Timebase {
        self.timebase
    }

    /// Frames since a midnight, with the part of the one in progress that has passed: above a
    /// day's frames the day after, below 0 the day before.
    pub fn frame_at(&self, page_milliseconds: f64) -> f64 {
        let seconds = (page_milliseconds - self.page_milliseconds) * 1e-3;
        self.frame + seconds * self.frames_per_second
    }

    /// The address of the frame in progress.
    pub fn address_at(&self, page_milliseconds: f64) -> TimeAddress {
        let midnight = TimeAddress::midnight(self.timebase.count());
        midnight.plus_wrapping(Frames(whole(self.frame_at(page_milliseconds))))
    }

    /// The same clock running on at its rate, as a clock that was set from it does.
    #[must_use]
    pub fn at_rate(&self, page_milliseconds: f64) -> Self {
        Self {
            frame: self.frame_at(page_milliseconds),
            page_milliseconds,
            frames_per_second: self.timebase.rate().fraction().as_f64(),
            ..*self
        }
    }

    /// The same clock by a clock of the page that says so many milliseconds more.
    pub fn moved(&self, milliseconds: f64) -> Result<Self, CodeClockError> {
        Self::new(
            self.timebase,
            self.frame,
            self.page_milliseconds + milliseconds,
            self.frames_per_second,
        )
    }
}

/// Whole frames that have passed.
#[expect(clippy::cast_possible_truncation, reason = "`as` saturates")]
const fn whole(frames: f64) -> i64 {
    frames.floor() as i64
}

impl From<CodeClock> for Ticking {
    fn from(clock: CodeClock) -> Self {
        Self {
            rate: clock.timebase.rate().name().to_owned(),
            drop_frame: clock.timebase.count().is_drop(),
            frame: clock.frame,
            page_milliseconds: clock.page_milliseconds,
            frames_per_second: clock.frames_per_second,
        }
    }
}

impl TryFrom<&Ticking> for CodeClock {
    type Error = CodeClockError;

    fn try_from(ticking: &Ticking) -> Result<Self, CodeClockError> {
        let no_rate = || CodeClockError::Rate {
            found: ticking.rate.clone(),
        };
        let counting = Counting::of(ticking.drop_frame);
        let timebase = named_timebase(&ticking.rate, counting).ok_or_else(no_rate)?;
        Self::new(
            timebase,
            ticking.frame,
            ticking.page_milliseconds,
            ticking.frames_per_second,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_timecode::{Count, Rate};

    fn drop_frame() -> Timebase {
        Timebase::new(Rate::F29_97, Count::F30Drop).unwrap()
    }

    /// IEC 60461 clause 5.2.2: after 00:00:59;29 comes 00:01:00;02, and after the last frame of
    /// the day its first.
    #[test]
    fn it_counts_as_its_code_does() {
        let pace = Rate::F29_97.fraction().as_f64();
        let clock = CodeClock::new(drop_frame(), 1799.5, 0.0, pace).unwrap();
        assert_eq!(clock.address_at(0.0).to_string(), "00:00:59;29");
        assert_eq!(clock.address_at(17.0).to_string(), "00:01:00;02");
        let day = f64::from(Count::F30Drop.frames_per_day());
        let clock = CodeClock::new(drop_frame(), day - 0.5, 0.0, pace).unwrap();
        assert_eq!(clock.address_at(0.0).to_string(), "23:59:59;29");
        assert_eq!(clock.address_at(17.0).to_string(), "00:00:00;00");
        assert_eq!(clock.address_at(-1e3).to_string(), "23:59:58;29");
    }

    #[test]
    fn backwards_and_still_it_runs_on_at_its_rate_when_held() {
        let base = Timebase::non_drop(Rate::F25);
        for pace in [-25.0, 0.0, 26.0] {
            let clock = CodeClock::new(base, 100.0, 1_000.0, pace).unwrap();
            let held = clock.at_rate(2_000.0);
            assert!((held.frame_at(2_000.0) - (100.0 + pace)).abs() < 1e-9);
            assert!((held.frame_at(3_000.0) - (125.0 + pace)).abs() < 1e-9);
        }
    }

    #[test]
    fn it_comes_back_from_plain_values_and_refuses_others() {
        let clock = CodeClock::new(drop_frame(), 12.25, 3.5, 29.97).unwrap();
        let plain = Ticking::from(clock);
        assert_eq!(CodeClock::try_from(&plain), Ok(clock));
        let with = |change: fn(&mut Ticking)| {
            let mut wrong = plain.clone();
            change(&mut wrong);
            CodeClock::try_from(&wrong)
        };
        assert!(with(|plain| plain.rate = "26".to_owned()).is_err());
        assert!(with(|plain| plain.rate = "25".to_owned()).is_err());
        assert!(with(|plain| plain.frame = f64::NAN).is_err());
        assert!(with(|plain| plain.page_milliseconds = f64::INFINITY).is_err());
    }
}
