//! The time address: hours, minutes, seconds and frames that exist.

use std::cmp::Ordering;
use std::fmt;

use thiserror::Error;

use crate::{Count, FrameNumber, Frames};

/// The name of a frame: `14:03:20:06`, or `14:03:20;06` where it is counted drop-frame.
///
/// One that is built exists: its digits are in range and not among those that drop-frame
/// counting skips. It knows how it is counted, not how fast its frames run; what real time it
/// comes to is a matter of the [`crate::Timebase`].
///
/// Addresses that are counted alike have an order; others have none.
///
/// ```
/// use plumbline_timecode::{Count, Frames, TimeAddress};
/// let last = TimeAddress::new(Count::F30Drop, 0, 0, 59, 29)?;
/// assert_eq!(last.plus_wrapping(Frames(1)).to_string(), "00:01:00;02");
/// assert!(TimeAddress::new(Count::F30Drop, 0, 1, 0, 0).is_err());
/// # Ok::<(), plumbline_timecode::AddressError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct TimeAddress {
    count: Count,
    hours: u8,
    minutes: u8,
    seconds: u8,
    frames: u8,
}

/// A part of a time address.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Field {
    /// 00 to 23.
    Hours,
    /// 00 to 59.
    Minutes,
    /// 00 to 59.
    Seconds,
    /// 00 to one less than the frames in a second.
    Frames,
}

/// Why digits name no frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum AddressError {
    /// One of the four is past the end of its range.
    #[error("{field} {value:02} do not exist{}: 00 to {:02}", at_rate(*field, *count), field.largest(*count))]
    OutOfRange {
        /// Which one.
        field: Field,
        /// What it was.
        value: u32,
        /// How frames were to be counted.
        count: Count,
    },
    /// The digits are in range, but drop-frame counting skips them.
    #[error(
        "{hours:02}:{minutes:02}:00;{frames:0width$} is skipped by drop-frame counting: the frame \
         after {before} is {after}",
        width = before.count().frame_digits()
    )]
    Skipped {
        /// The hours.
        hours: u8,
        /// The minutes: not a multiple of ten. The seconds are 0.
        minutes: u8,
        /// The frames.
        frames: u8,
        /// The last frame before the gap.
        before: TimeAddress,
        /// The first frame after it.
        after: TimeAddress,
    },
    /// The frame is not of this day.
    #[error(
        "frame {frame} since midnight is outside the day, which has frames 0 to {} at {count} \
         frames a second",
        count.frames_per_day() - 1
    )]
    OutsideDay {
        /// The frame, counted from midnight; below 0 before it.
        frame: i64,
        /// How frames are counted.
        count: Count,
    },
}

fn at_rate(field: Field, count: Count) -> String {
    match field {
        Field::Frames => format!(" at {} frames a second", count.frames_per_second()),
        _ => String::new(),
    }
}

impl Field {
    /// The largest value that it takes.
    pub const fn largest(self, count: Count) -> u32 {
        match self {
            Self::Hours => 23,
            Self::Minutes | Self::Seconds => 59,
            Self::Frames => count.frames_per_second() - 1,
        }
    }
}

impl fmt::Display for Field {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Hours => "hours",
            Self::Minutes => "minutes",
            Self::Seconds => "seconds",
            Self::Frames => "frames",
        })
    }
}

impl TimeAddress {
    /// The address with these digits, if it exists.
    pub fn new(
        count: Count,
        hours: u8,
        minutes: u8,
        seconds: u8,
        frames: u8,
    ) -> Result<Self, AddressError> {
        let fields = [
            (Field::Hours, hours),
            (Field::Minutes, minutes),
            (Field::Seconds, seconds),
            (Field::Frames, frames),
        ];
        for (field, value) in fields {
            let value = u32::from(value);
            if value > field.largest(count) {
                return Err(AddressError::OutOfRange {
                    field,
                    value,
                    count,
                });
            }
        }
        let address = Self {
            count,
            hours,
            minutes,
            seconds,
            frames,
        };
        if address.is_skipped() {
            Err(address.skipped())
        } else {
            Ok(address)
        }
    }

    /// 00:00:00:00.
    pub const fn midnight(count: Count) -> Self {
        Self {
            count,
            hours: 0,
            minutes: 0,
            seconds: 0,
            frames: 0,
        }
    }

    /// The address of a frame, if the day has it.
    pub fn from_frame_number(count: Count, number: FrameNumber) -> Result<Self, AddressError> {
        if number.0 < count.frames_per_day() {
            Ok(Self::within_day(count, number.0))
        } else {
            Err(AddressError::OutsideDay {
                frame: i64::from(number.0),
                count,
            })
        }
    }

    /// The caller knows that the day has the frame.
    fn within_day(count: Count, number: u32) -> Self {
        let dropped = count.dropped_per_minute();
        let second = count.frames_per_second();
        // The first minute of ten is a full one, the other nine lack the dropped numbers.
        let tens = number / count.frames_per_ten_minutes();
        let rest = number % count.frames_per_ten_minutes();
        let minute = rest.saturating_sub(dropped) / (second * 60 - dropped);
        // The number that the frame would have if none had been skipped.
        let number = number + dropped * (tens * 9 + minute);
        Self {
            count,
            hours: small(number / second / 3600),
            minutes: small(number / second / 60 % 60),
            seconds: small(number / second % 60),
            frames: small(number % second),
        }
    }

    /// Which frame since midnight it is.
    ///
    /// SMPTE ST 2059-1 clause 9.3.3.4 has the sum for drop-frame counting.
    pub fn frame_number(self) -> FrameNumber {
        let minutes = u32::from(self.hours) * 60 + u32::from(self.minutes);
        let seconds = minutes * 60 + u32::from(self.seconds);
        let named = seconds * self.count.frames_per_second() + u32::from(self.frames);
        FrameNumber(named - self.count.dropped_per_minute() * (minutes - minutes / 10))
    }

    /// How it is counted.
    pub const fn count(self) -> Count {
        self.count
    }

    /// 0 to 23.
    pub const fn hours(self) -> u8 {
        self.hours
    }

    /// 0 to 59.
    pub const fn minutes(self) -> u8 {
        self.minutes
    }

    /// 0 to 59.
    pub const fn seconds(self) -> u8 {
        self.seconds
    }

    /// 0 to one less than the frames in a second.
    pub const fn frames(self) -> u8 {
        self.frames
    }

    /// The address that many frames on (or back), past midnight as if every day were the same.
    #[must_use]
    pub fn plus_wrapping(self, frames: Frames) -> Self {
        let day = i64::from(self.count.frames_per_day());
        // The remainder first, so that no sum can overflow.
        let number = (Frames::from(self.frame_number()).0 + frames.0.rem_euclid(day)) % day;
        Self::within_day(self.count, u32::try_from(number).unwrap_or_default())
    }

    /// The address that many frames on (or back), if it is on the same day.
    pub fn checked_plus(self, frames: Frames) -> Result<Self, AddressError> {
        let frame = (Frames::from(self.frame_number()) + frames).0;
        u32::try_from(frame)
            .map_err(|_| AddressError::OutsideDay {
                frame,
                count: self.count,
            })
            .and_then(|number| Self::from_frame_number(self.count, FrameNumber(number)))
    }

    /// How many frames on `other` is, both on the same day; below 0 where it is earlier. None
    /// where the two are not counted alike.
    pub fn frames_until(self, other: Self) -> Option<Frames> {
        (self.count == other.count)
            .then(|| Frames::from(other.frame_number()) - Frames::from(self.frame_number()))
    }

    /// How many frames on `other` is by the shorter way round, which may pass midnight: from
    /// half a day back to half a day on. None where the two are not counted alike.
    pub fn frames_until_wrapping(self, other: Self) -> Option<Frames> {
        let day = i64::from(self.count.frames_per_day());
        let onward = self.frames_until(other)?.0.rem_euclid(day);
        Some(Frames(if onward > day / 2 {
            onward - day
        } else {
            onward
        }))
    }

    /// The same hours, minutes and seconds in another count; the caller knows that it exists.
    pub(crate) const fn with_frames(self, count: Count, frames: u8) -> Self {
        Self {
            count,
            frames,
            ..self
        }
    }

    fn is_skipped(self) -> bool {
        u32::from(self.frames) < self.count.dropped_per_minute()
            && self.seconds == 0
            && !self.minutes.is_multiple_of(10)
    }

    fn skipped(self) -> AddressError {
        let after = Self {
            frames: small(self.count.dropped_per_minute()),
            ..self
        };
        AddressError::Skipped {
            hours: self.hours,
            minutes: self.minutes,
            frames: self.frames,
            before: after.plus_wrapping(Frames(-1)),
            after,
        }
    }
}

impl PartialOrd for TimeAddress {
    /// None where the two are not counted alike.
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        (self.count == other.count).then(|| self.frame_number().cmp(&other.frame_number()))
    }
}

impl fmt::Display for TimeAddress {
    /// `14:03:20:06`, drop-frame `14:03:20;06`; the frames have three digits at 120.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:02}:{:02}:{:02}{}{:0width$}",
            self.hours,
            self.minutes,
            self.seconds,
            self.count.separator(),
            self.frames,
            width = self.count.frame_digits()
        )
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "hours, minutes, seconds and frames: below 120"
)]
const fn small(value: u32) -> u8 {
    value as u8
}
