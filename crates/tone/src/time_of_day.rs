//! The time of day by a device's clock, and the codeword that belongs to it.

use plumbline_timecode::st309::UtcOffset;
use plumbline_timecode::{
    AddressError, Fraction, Frames, Rounding, Seconds, TimeAddress, Timebase,
};

/// A moment by a device's clock, and how far its local time is ahead of UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Now {
    /// Nanoseconds since the beginning of 1970, UTC, without leap seconds.
    unix: i128,
    offset: UtcOffset,
}

/// The codeword in progress at a moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct InProgress {
    /// What it says.
    pub address: TimeAddress,
    /// How long ago its bit 0 began. Below 0, and then it begins so much later, only where
    /// drop-frame counting has no name for the frame of the moment.
    pub ago: Seconds,
}

const SECOND: i128 = 1_000_000_000;
const DAY: i128 = 86_400 * SECOND;

impl Now {
    /// From milliseconds since 1970 as `Date.now()` gives them, to the nanosecond; none where
    /// they are further from it than 100 million days, the end of that clock.
    pub fn new(unix_milliseconds: f64, offset: UtcOffset) -> Option<Self> {
        let whole = unix_milliseconds.floor();
        #[expect(
            clippy::cast_possible_truncation,
            reason = "within 2^53 and below a million"
        )]
        (whole.abs() <= 8.64e15).then(|| Self {
            unix: i128::from(whole as i64) * 1_000_000
                + i128::from(((unix_milliseconds - whole) * 1e6).round() as i64),
            offset,
        })
    }

    /// From nanoseconds since 1970.
    pub(crate) fn from_nanoseconds(unix: i64, offset: UtcOffset) -> Self {
        let unix = i128::from(unix);
        Self { unix, offset }
    }

    /// How far local time is ahead of UTC.
    pub const fn offset(self) -> UtcOffset {
        self.offset
    }

    /// Since the last midnight, local time: from 0 to less than 24 h.
    pub fn since_midnight(self) -> Seconds {
        nanoseconds(self.local().rem_euclid(DAY))
    }

    /// Whole local days since the beginning of 1970.
    pub const fn local_days(self) -> i128 {
        self.local().div_euclid(DAY)
    }

    const fn local(self) -> i128 {
        self.unix + self.offset.as_minutes() as i128 * 60 * SECOND
    }

    /// The codeword in progress, counted as codewords are under `timebase`.
    ///
    /// Where counting keeps up with the clock, at whole rates and with drop-frame counting at
    /// pulled-down ones, the frame is the real time since midnight times the rate (SMPTE
    /// ST 2059-1 clause 9.3.3.4, IEC 60461 clause A.3). Drop-frame counting is then up to two
    /// frames off the digits of a clock, and past midnight 2.6 frames before the clock is.
    ///
    /// Elsewhere the digits are those of the clock and the frame is counted from the beginning of
    /// the second (common practice); from then on the address falls behind by 3.6 s an hour.
    ///
    /// ```
    /// use plumbline_timecode::st309::UtcOffset;
    /// use plumbline_timecode::{Count, Rate, Timebase};
    /// use plumbline_tone::Now;
    /// // 2026-01-15, an hour and ten milliseconds past midnight.
    /// let now = Now::new(1_768_438_800_010.0, UtcOffset::UTC).unwrap();
    /// let video = Timebase::new(Rate::F29_97, Count::F30Drop)?;
    /// assert_eq!(now.codeword(video).address.to_string(), "01:00:00;00");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn codeword(self, timebase: Timebase) -> InProgress {
        let code = timebase.code();
        let since_midnight = self.local().rem_euclid(DAY);
        if code.rate().is_pulled_down() == code.count().is_drop() {
            counted(since_midnight, code)
        } else {
            digits(since_midnight, code)
        }
    }
}

fn nanoseconds(nanoseconds: i128) -> Seconds {
    Seconds(Fraction::new(nanoseconds, SECOND).unwrap_or(Fraction::ZERO))
}

/// Frames since midnight by the clock.
fn counted(since_midnight: i128, code: Timebase) -> InProgress {
    let time = nanoseconds(since_midnight);
    // A day by a rate: always there.
    let frames = (code.rate().frames(time, Rounding::Down)).unwrap_or_default();
    InProgress {
        address: TimeAddress::midnight(code.count()).plus_wrapping(frames),
        ago: less(time, code.rate().seconds(frames)),
    }
}

/// The clock's digits, and frames since the second began.
fn digits(since_midnight: i128, code: Timebase) -> InProgress {
    let into_second = nanoseconds(since_midnight % SECOND);
    let frames = (code.rate().frames(into_second, Rounding::Down)).unwrap_or_default();
    let count = code.count();
    #[expect(clippy::cast_sign_loss, reason = "0 to 59")]
    let digit = |unit: i128| (since_midnight / (unit * SECOND) % 60) as u8;
    let frame = u8::try_from(frames.0).unwrap_or_default();
    let address = match TimeAddress::new(count, digit(3600), digit(60), digit(1), frame) {
        Ok(address) => address,
        Err(AddressError::Skipped { after, .. }) => after,
        Err(_) => TimeAddress::midnight(count),
    };
    InProgress {
        address,
        ago: less(
            into_second,
            code.rate().seconds(Frames(address.frames().into())),
        ),
    }
}

/// The caller knows that both are within a day and have small denominators.
fn less(time: Seconds, other: Seconds) -> Seconds {
    Seconds((time.0.checked_sub(other.0)).unwrap_or(Fraction::ZERO))
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_timecode::{Count, Rate};
    use proptest::prelude::*;

    /// That many nanoseconds past midnight of 2026-10-10, an hour east of UTC.
    fn at(nanoseconds: i128) -> Now {
        Now {
            unix: (1_791_590_400 - 3600) * SECOND + nanoseconds,
            offset: UtcOffset::minutes(60).unwrap(),
        }
    }

    fn base(rate: Rate, count: Count) -> Timebase {
        Timebase::new(rate, count).unwrap()
    }

    fn ago(found: InProgress) -> i128 {
        found.ago.nanoseconds(Rounding::Down).unwrap()
    }

    /// SMPTE ST 2059-1 clause 9.3.3.4 and IEC 60461 clause A.3: frames since midnight are real
    /// time by the rate. Frame 107892 is 01:00:00;00 and begins 3599.9964 s after midnight; the
    /// day of 2589408 frames is over after 86399.9136 s.
    #[test]
    fn drop_frame_counts_real_time() {
        let drop = base(Rate::F29_97, Count::F30Drop);
        for (nanoseconds, address, began) in [
            (0, "00:00:00;00", 0),
            (3_599_996_399_999, "00:59:59;29", 33_366_665),
            (3_599_996_400_000, "01:00:00;00", 0),
            (3_600_000_000_000, "01:00:00;00", 3_600_000),
            (59_993_266_667, "00:00:59;28", 0),
            (60_026_633_333, "00:00:59;28", 33_366_666),
            (60_060_000_000, "00:01:00;02", 0),
            (86_399_913_599_999, "23:59:59;29", 33_366_665),
            (86_399_913_600_000, "00:00:00;00", 0),
            (86_399_999_999_999, "00:00:00;02", 19_666_665),
        ] {
            let found = at(nanoseconds).codeword(drop);
            assert_eq!(found.address.to_string(), address, "{nanoseconds}");
            assert_eq!(ago(found), began, "{nanoseconds}");
        }
    }

    #[test]
    fn whole_rates_count_real_time() {
        let found = at(45_296_499_000_000).codeword(Timebase::non_drop(Rate::F25));
        assert_eq!(found.address.to_string(), "12:34:56:12");
        assert_eq!(ago(found), 19_000_000);
    }

    /// After an hour of real time 29.97 non-drop that ran from midnight would be at 00:59:56:12;
    /// set by the clock it is at the clock's digits (common practice).
    #[test]
    fn pulled_down_non_drop_takes_the_digits_of_the_clock() {
        for (rate, count, last) in [
            (Rate::F29_97, Count::F30, "12:34:56:29"),
            (Rate::F23_976, Count::F24, "12:34:56:23"),
        ] {
            let code = base(rate, count);
            let second = 45_296 * SECOND;
            let found = at(second).codeword(code);
            assert_eq!((found.address.frames(), ago(found)), (0, 0));
            assert_eq!(found.address.seconds(), 56);
            let found = at(second + SECOND - 1).codeword(code);
            assert_eq!(found.address.to_string(), last);
        }
    }

    #[test]
    fn above_thirty_it_is_the_codeword_that_spans_the_frame() {
        let found = at(45_296_499_000_000).codeword(Timebase::non_drop(Rate::F50));
        assert_eq!(found.address.to_string(), "12:34:56:12");
        let found = at(3_600_000_000_000).codeword(base(Rate::F59_94, Count::F60Drop));
        assert_eq!(found.address.to_string(), "01:00:00;00");
    }

    #[test]
    fn drop_frame_that_is_not_pulled_down_waits_for_the_first_name_of_the_minute() {
        let found = at(61_000_000_000 - SECOND).codeword(base(Rate::F30, Count::F30Drop));
        assert_eq!(found.address.to_string(), "00:01:00;02");
        assert_eq!(ago(found), -66_666_667);
    }

    #[test]
    fn milliseconds_are_taken_to_the_nanosecond() {
        let now = |ms| Now::new(ms, UtcOffset::UTC);
        assert_eq!(now(1.5).unwrap().unix, 1_500_000);
        assert_eq!(now(-0.25).unwrap().unix, -250_000);
        assert_eq!(now(-0.25).unwrap().local_days(), -1);
        assert_eq!(
            now(1_791_590_400_000.25).unwrap().unix,
            1_791_590_400_000_250_000
        );
        assert!(
            [f64::NAN, f64::INFINITY, 1e16]
                .into_iter()
                .all(|ms| now(ms).is_none())
        );
    }

    proptest! {
        /// By another way: the codeword holds the moment, and where the clock counts, it is as
        /// far from midnight as its number says.
        #[test]
        fn the_moment_is_within_the_codeword(
            since in 0..DAY,
            which in 0..Timebase::all().count(),
        ) {
            let timebase = Timebase::all().nth(which).unwrap();
            let code = timebase.code();
            let found = at(since).codeword(timebase);
            prop_assert_eq!(found.address.count(), code.count());
            let one = code.rate().seconds(Frames(1)).0;
            let early = if timebase.is_unusual() { Fraction::new(-1, 15).unwrap() } else { Fraction::ZERO };
            prop_assert!(found.ago.0 >= early && found.ago.0 < one, "{:?}", found);
            if code.count().is_drop() && !timebase.is_unusual() {
                // Off by what drop-frame counting is off the clock at most: 61 ms, or past the
                // end of the day.
                let named = i128::from(found.address.hours()) * 3600
                    + i128::from(found.address.minutes()) * 60
                    + i128::from(found.address.seconds());
                let apart = (since / SECOND - named).rem_euclid(86_400);
                prop_assert!(apart <= 1 || apart == 86_399, "{} s", apart);
            }
        }
    }
}
