//! The clocks of a device that plays, read together.

use plumbline_timecode::st309::UtcOffset;
use plumbline_timecode::{Rounding, Seconds, TimeAddress, Timebase};
use serde::Deserialize;

use crate::{Begins, CodeClock, Now, OutputRate};

/// What the clocks of a device say at one moment, as a page reads them.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct ClockReading {
    /// The time of day: milliseconds since 1970, `Date.now()`.
    pub unix_milliseconds: f64,
    /// The page's own clock, which is never set: milliseconds, `performance.now()`.
    pub page_milliseconds: f64,
    /// The output's position when it was last measured: seconds, `contextTime` of
    /// `getOutputTimestamp()`. None where the browser has none.
    pub output_seconds: Option<f64>,
    /// When that was, by the page's clock: milliseconds, its `performanceTime`.
    pub output_milliseconds: Option<f64>,
    /// The end of what has been made: seconds, `currentTime`.
    pub made_seconds: f64,
    /// How long a sample takes from there to the output, by the browser's account: seconds,
    /// `outputLatency`. None where the browser has none.
    pub latency_seconds: Option<f64>,
}

/// The clocks of a device at one moment, in nanoseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Clocks {
    /// The time of day, since 1970.
    pub(crate) unix: i64,
    /// By the clock that is never set.
    pub(crate) page: i64,
    /// What is at the output now, counted in its own samples since it began.
    pub(crate) output: i64,
    /// The end of what has been made, counted likewise.
    made: i64,
    known_by: KnownBy,
}

/// Where it is known from what is at the output now.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum KnownBy {
    /// The browser measured it.
    Timestamp,
    /// It is reckoned from the latency that the browser states.
    Latency,
    /// Neither: it is taken for the end of what has been made.
    Nothing,
}

const SECOND: i32 = 1_000_000_000;
const MILLISECOND: i32 = 1_000_000;
/// A timestamp that was taken so long ago is of an output that stands still.
const STALE: i64 = 2_000_000_000;

impl Clocks {
    /// None where a clock gives what is no time.
    pub fn new(reading: &ClockReading) -> Option<Self> {
        let page = nanoseconds(reading.page_milliseconds, MILLISECOND)?;
        let made = nanoseconds(reading.made_seconds, SECOND)?;
        let stated = (reading.latency_seconds)
            .and_then(|latency| nanoseconds(latency, SECOND))
            .filter(|latency| (0..STALE).contains(latency));
        let measured = || {
            let at = nanoseconds(reading.output_milliseconds?, MILLISECOND)?;
            let output = nanoseconds(reading.output_seconds?, SECOND)? + (page - at);
            // Some browsers give noughts until sound has come out. Others take the latency off
            // the position and off the moment, as if there were none.
            let sound = at > 0 && (page - at).abs() < STALE && (made - output).abs() < STALE;
            let late = stated.is_none_or(|stated| made - output >= stated / 2);
            (sound && late).then_some((output, KnownBy::Timestamp))
        };
        let stated = || stated.map(|latency| (made - latency, KnownBy::Latency));
        let (output, known_by) = measured()
            .or_else(stated)
            .unwrap_or((made, KnownBy::Nothing));
        Some(Self {
            unix: nanoseconds(reading.unix_milliseconds, MILLISECOND)?,
            page,
            output,
            made,
            known_by,
        })
    }

    /// What is at the output, in seconds since it began.
    pub fn output(&self) -> f64 {
        self.output as f64 * 1e-9
    }

    /// How long a sample takes from being made to the output, as far as it is known.
    pub fn latency(&self) -> Seconds {
        Seconds::from_nanoseconds(self.made - self.output)
    }

    /// Where that is known from.
    pub const fn known_by(&self) -> KnownBy {
        self.known_by
    }
}

/// The codeword in progress by the time of day when the last of the readings was taken, and the
/// sample at which it begins if it is to be at the output then.
///
/// What the time of day was when the output began is the middle of what the readings say, so
/// that one that was held up says nothing; where they reckon from what has been made, which is
/// told in steps, it is the earliest. None where there is no reading, or the clock is set to a
/// year that it can't be.
pub(crate) fn by_the_clock(
    readings: &[Clocks],
    offset: UtcOffset,
    timebase: Timebase,
    rate: OutputRate,
) -> Option<(TimeAddress, Begins)> {
    let last = readings.last()?;
    let began = began(readings, |clocks| clocks.unix)?;
    let now = Now::from_nanoseconds(began.checked_add(last.output)?, offset);
    let codeword = now.codeword(timebase);
    Some((codeword.address, begins(last, codeword.ago, rate)?))
}

/// The codeword in progress by a clock that is held, likewise.
pub(crate) fn by_a_held_clock(
    readings: &[Clocks],
    clock: &CodeClock,
    rate: OutputRate,
) -> Option<(TimeAddress, Begins)> {
    let last = readings.last()?;
    let began = began(readings, |clocks| clocks.page)?;
    let now = began.checked_add(last.output)? as f64 * 1e-6;
    let frame = clock.frame_at(now);
    let ago = (frame - frame.floor()) / clock.timebase().rate().fraction().as_f64();
    let ago = Seconds::from_nanoseconds(nanoseconds(ago, SECOND)?);
    Some((clock.address_at(now), begins(last, ago, rate)?))
}

/// When the output began by one of the device's clocks: the middle of what the readings say, or
/// the earliest where they reckon from what has been made.
fn began(readings: &[Clocks], by: fn(&Clocks) -> i64) -> Option<i64> {
    let mut began: Vec<i64> = (readings.iter())
        .map(|clocks| by(clocks).saturating_sub(clocks.output))
        .collect();
    began.sort_unstable();
    match readings.last()?.known_by {
        KnownBy::Timestamp => began.get(began.len() / 2),
        KnownBy::Latency | KnownBy::Nothing => began.first(),
    }
    .copied()
}

/// The sample at which a codeword begins that began so long before the last reading.
fn begins(last: &Clocks, ago: Seconds, rate: OutputRate) -> Option<Begins> {
    let sample = Seconds::from_nanoseconds(last.output)
        .0
        .checked_sub(ago.0)?
        .checked_mul(rate.exact().fraction())?
        .round(Rounding::Nearest);
    Some(Begins::Counted(i64::try_from(sample).ok()?))
}

/// Milliseconds or seconds as whole nanoseconds, `scale` in each; none beyond the years 1678 to
/// 2262.
fn nanoseconds(value: f64, scale: i32) -> Option<i64> {
    let whole = value.floor();
    let rest = ((value - whole) * f64::from(scale)).round();
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the limit is within 2^63 nanoseconds"
    )]
    (whole.abs() < 9.2e18 / f64::from(scale)).then(|| whole as i64 * i64::from(scale) + rest as i64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_timecode::{Count, Fraction, Rate};

    /// Sound has come out for ten seconds, 30 ms after it was made; the timestamp is 8 ms old.
    const READING: ClockReading = ClockReading {
        unix_milliseconds: 1_791_590_400_500.0,
        page_milliseconds: 61_008.0,
        output_seconds: Some(9.992),
        output_milliseconds: Some(61_000.0),
        made_seconds: 10.03,
        latency_seconds: Some(0.025),
    };

    fn clocks(reading: ClockReading) -> Clocks {
        Clocks::new(&reading).unwrap()
    }

    fn rate(hertz: u32) -> OutputRate {
        OutputRate::hertz(hertz).unwrap()
    }

    #[test]
    fn what_is_at_the_output_is_known_as_well_as_the_browser_tells() {
        let measured = clocks(READING);
        assert_eq!(measured.known_by(), KnownBy::Timestamp);
        assert!((measured.output() - 10.0).abs() < 1e-9);
        assert_eq!(measured.latency(), Seconds::from_nanoseconds(30_000_000));

        let without = ClockReading {
            output_seconds: None,
            ..READING
        };
        assert_eq!(clocks(without).known_by(), KnownBy::Latency);
        assert_eq!(
            clocks(without).latency(),
            Seconds::from_nanoseconds(25_000_000)
        );
        // Of an output that has not begun, or that stands still.
        for output_milliseconds in [Some(0.0), Some(50_000.0), Some(f64::NAN)] {
            let reading = ClockReading {
                output_milliseconds,
                ..READING
            };
            assert_eq!(clocks(reading).known_by(), KnownBy::Latency);
        }
        // The latency taken off twice.
        let twice = ClockReading {
            output_seconds: Some(READING.made_seconds - 0.025),
            output_milliseconds: Some(READING.page_milliseconds - 25.0),
            ..READING
        };
        assert_eq!(clocks(twice).known_by(), KnownBy::Latency);
        let nothing = ClockReading {
            latency_seconds: Some(-1.0),
            ..without
        };
        assert_eq!(clocks(nothing).known_by(), KnownBy::Nothing);
        assert_eq!(clocks(nothing).latency(), Seconds(Fraction::ZERO));
    }

    #[test]
    fn what_is_no_time_is_none() {
        for wrong in [f64::NAN, f64::INFINITY, 1e300, -9.3e18] {
            let set = |change: fn(&mut ClockReading, f64)| {
                let mut reading = READING;
                change(&mut reading, wrong);
                Clocks::new(&reading)
            };
            assert!(set(|reading, wrong| reading.unix_milliseconds = wrong).is_none());
            assert!(set(|reading, wrong| reading.page_milliseconds = wrong).is_none());
            assert!(set(|reading, wrong| reading.made_seconds = wrong).is_none());
            assert!(set(|reading, wrong| reading.output_seconds = Some(wrong)).is_some());
        }
    }

    /// SMPTE ST 2059-1 clause 9.3.3.4: half a second past midnight, 25 has had 12 whole frames,
    /// the last 20 ms of the half second belong to the next one; 29.97 drop-frame has had 14 of
    /// 1001/30 ms, and 32.866… ms of the next one.
    #[test]
    fn the_codeword_of_the_moment_is_where_it_agrees_with_the_clock() {
        let at = |readings: &[Clocks], timebase, hertz| {
            by_the_clock(readings, UtcOffset::UTC, timebase, rate(hertz))
                .map(|(address, begins)| (address.to_string(), begins))
        };
        let frames_25 = Timebase::non_drop(Rate::F25);
        let drop = Timebase::new(Rate::F29_97, Count::F30Drop).unwrap();
        let counted = |address: &str, sample| Some((address.to_owned(), Begins::Counted(sample)));
        let now = clocks(READING);
        assert_eq!(
            at(&[now], frames_25, 48_000),
            counted("00:00:00:12", 479_040)
        );
        assert_eq!(at(&[now], drop, 48_000), counted("00:00:00;14", 478_422));
        assert_eq!(at(&[now], drop, 44_100), counted("00:00:00;14", 439_551));
        assert_eq!(at(&[], frames_25, 48_000), None);

        // One that was held up by 30 ms between two clocks does not matter, wherever it stands.
        let held = clocks(ClockReading {
            unix_milliseconds: READING.unix_milliseconds + 30.0,
            ..READING
        });
        for readings in [[now, now, held], [now, held, now], [held, now, now]] {
            assert_eq!(
                at(&readings, frames_25, 48_000),
                counted("00:00:00:12", 479_040)
            );
        }
    }

    /// Readings that reckon from what has been made see it too late, some more than others.
    #[test]
    fn of_coarse_readings_the_earliest_beginning_counts() {
        let coarse = |late: f64| {
            clocks(ClockReading {
                output_seconds: None,
                made_seconds: 10.025 - late,
                ..READING
            })
        };
        let readings = [coarse(0.02), coarse(0.0), coarse(0.01), coarse(0.015)];
        let (address, begins) = by_the_clock(
            &readings,
            UtcOffset::UTC,
            Timebase::non_drop(Rate::F25),
            rate(48_000),
        )
        .unwrap();
        assert_eq!(address.to_string(), "00:00:00:12");
        assert_eq!(begins, Begins::Counted(479_040));
    }

    #[test]
    fn the_zone_and_midnight_are_those_of_the_device() {
        let east = UtcOffset::minutes(330).unwrap();
        let last = ClockReading {
            unix_milliseconds: READING.unix_milliseconds - 501.0,
            ..READING
        };
        let at = |reading, offset| {
            let timebase = Timebase::non_drop(Rate::F24);
            by_the_clock(&[clocks(reading)], offset, timebase, rate(48_000)).unwrap()
        };
        assert_eq!(at(READING, east).0.to_string(), "05:30:00:12");
        // A millisecond before midnight, 40.67 ms into the frame.
        let (address, begins) = at(last, UtcOffset::UTC);
        assert_eq!(address.to_string(), "23:59:59:23");
        assert_eq!(begins, Begins::Counted(478_048));
    }
}
