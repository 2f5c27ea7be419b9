//! Days of the calendar, as user bits carry them.

use std::fmt;

use thiserror::Error;

/// A day of the Gregorian calendar, of the years 0 to 9999.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

/// A day whose century is not told: two digits are all that user bits have room for.
///
/// Only by agreement or from elsewhere can the century be known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ShortDate {
    year: u8,
    month: u8,
    day: u8,
}

/// Why numbers name no day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum DateError {
    /// Months are 1 to 12.
    #[error("there is no month {0:02}: 01 to 12")]
    Month(u8),
    /// The month has fewer days, or the day is 0.
    #[error("month {month:02} has no day {day:02}: 01 to {last:02}")]
    Day {
        /// The day.
        day: u8,
        /// The month.
        month: u8,
        /// Its last day in that year.
        last: u8,
    },
    /// Years are 0 to 9999, of a short date 0 to 99.
    #[error("year {found} is past {last}, the last that fits")]
    Year {
        /// The year.
        found: u16,
        /// The last that there is.
        last: u16,
    },
    /// The Modified Julian Date is of no day within the years 0 to 9999.
    #[error("Modified Julian Date {0} is past 31 December 9999")]
    TooLate(u32),
}

impl Date {
    /// A day that exists.
    pub fn new(year: u16, month: u8, day: u8) -> Result<Self, DateError> {
        if year > 9999 {
            return Err(DateError::Year {
                found: year,
                last: 9999,
            });
        }
        check_day(year.into(), month, day)?;
        Ok(Self { year, month, day })
    }

    /// 0 to 9999.
    pub const fn year(self) -> u16 {
        self.year
    }

    /// 1 to 12.
    pub const fn month(self) -> u8 {
        self.month
    }

    /// 1 to 31.
    pub const fn day(self) -> u8 {
        self.day
    }

    /// The same without its century.
    pub const fn short(self) -> ShortDate {
        ShortDate {
            year: (self.year % 100) as u8,
            month: self.month,
            day: self.day,
        }
    }

    /// The Modified Julian Date: days since 17 November 1858; none for days before it.
    pub fn modified_julian_day(self) -> Option<u32> {
        let year = u32::from(self.year);
        let before = days_before_year(year) + days_before_month(year, self.month);
        (before + u32::from(self.day) - 1).checked_sub(MJD_ORIGIN)
    }

    /// The day with this Modified Julian Date.
    pub fn from_modified_julian_day(days: u32) -> Result<Self, DateError> {
        if days > LAST_MJD {
            return Err(DateError::TooLate(days));
        }
        let days = days + MJD_ORIGIN;
        // No year is longer than 366 days, so this is the year or one shortly before it.
        let mut year = days / 366;
        while days_before_year(year + 1) <= days {
            year += 1;
        }
        let (mut month, mut rest) = (1, days - days_before_year(year));
        while rest >= u32::from(days_in_month(year, month)) {
            rest -= u32::from(days_in_month(year, month));
            month += 1;
        }
        Ok(Self::of(year, month, rest + 1))
    }

    #[expect(
        clippy::cast_possible_truncation,
        reason = "a day of the years 0 to 9999"
    )]
    const fn of(year: u32, month: u8, day: u32) -> Self {
        Self {
            year: year as u16,
            month,
            day: day as u8,
        }
    }
}

impl ShortDate {
    /// A day that exists; `year` is 0 to 99.
    ///
    /// 29 February is taken where the year divides by four, also in year 00, which is a leap
    /// year in 2000: there was no timecode in 1900.
    pub fn new(year: u8, month: u8, day: u8) -> Result<Self, DateError> {
        if year > 99 {
            return Err(DateError::Year {
                found: year.into(),
                last: 99,
            });
        }
        check_day(2000 + u32::from(year), month, day)?;
        Ok(Self { year, month, day })
    }

    /// 0 to 99.
    pub const fn year(self) -> u8 {
        self.year
    }

    /// 1 to 12.
    pub const fn month(self) -> u8 {
        self.month
    }

    /// 1 to 31.
    pub const fn day(self) -> u8 {
        self.day
    }

    /// The day in a century that the caller knows: 20 for 2000 to 2099.
    pub fn in_century(self, century: u8) -> Result<Date, DateError> {
        Date::new(
            u16::from(century) * 100 + u16::from(self.year),
            self.month,
            self.day,
        )
    }
}

impl fmt::Display for Date {
    /// `2026-10-10`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl fmt::Display for ShortDate {
    /// `26-10-10`: year, month, day.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// Days from the beginning of year 0 to 17 November 1858.
const MJD_ORIGIN: u32 = 678_941;

/// The last day of 9999.
const LAST_MJD: u32 = days_before_year(10_000) - 1 - MJD_ORIGIN;

/// Days from the beginning of year 0, a leap year, to that of `year`.
const fn days_before_year(year: u32) -> u32 {
    year * 365 + year.div_ceil(4) - year.div_ceil(100) + year.div_ceil(400)
}

/// Days from the beginning of `year` to that of `month`.
fn days_before_month(year: u32, month: u8) -> u32 {
    (1..month)
        .map(|each| u32::from(days_in_month(year, each)))
        .sum()
}

const fn is_leap(year: u32) -> bool {
    year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400))
}

const fn days_in_month(year: u32, month: u8) -> u8 {
    match month {
        2 if is_leap(year) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

fn check_day(year: u32, month: u8, day: u8) -> Result<(), DateError> {
    if !(1..=12).contains(&month) {
        return Err(DateError::Month(month));
    }
    let last = days_in_month(year, month);
    if (1..=last).contains(&day) {
        Ok(())
    } else {
        Err(DateError::Day { day, month, last })
    }
}
