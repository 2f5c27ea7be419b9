//! Date and time zone in user bits, as SMPTE ST 309 lays them out.
//!
//! Groups 1 to 6 hold the date: YYMMDD (group 1 the units of the day, group 6 the tens of the
//! year), and then the time address is local time; or the Modified Julian Date (group 1 the
//! units), and then it is UTC. Groups 7 and 8 hold the time zone and two flags (SMPTE ST 2059-1
//! clauses 9.3.1 and 9.3.4; the text of ST 309 itself was not at hand). The date steps where the
//! address is 00:00:00:00.
//!
//! ```
//! use plumbline_timecode::UserBits;
//! use plumbline_timecode::st309::{Offsets, Stamp, UtcOffset};
//! // Stamped by a camera on 22 December 2024, eight hours ahead of UTC.
//! let stamp = Stamp::read(UserBits(0x1824_1222))?;
//! assert_eq!(stamp.day.to_string(), "24-12-22");
//! assert_eq!(stamp.offsets(), Offsets::One(UtcOffset::minutes(8 * 60)?));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod zone;

use std::fmt;

use thiserror::Error;

pub use zone::{OffsetError, UtcOffset, ZoneCode, ZoneMeaning};

use crate::{Date, DateError, ShortDate, UserBits};

/// What user bits say as SMPTE ST 309.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Stamp {
    /// The day.
    pub day: Day,
    /// The time zone as it is coded.
    pub zone: ZoneCode,
    /// The flag for daylight saving time, which the 2012 edition added.
    pub daylight_saving: DaylightSaving,
}

/// The day in one of the two forms.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Day {
    /// YYMMDD: the time address is local time. The century must come from elsewhere.
    Local(ShortDate),
    /// Modified Julian Date: the time address is UTC.
    Utc(Date),
}

/// The flag for daylight saving time, group 8 bit 2.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DaylightSaving {
    /// 0.
    Unmarked,
    /// 1.
    Marked,
}

/// How far local time is ahead of UTC, as far as a stamp tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Offsets {
    /// The zone code is of no offset.
    None,
    /// The offset in force.
    One(UtcOffset),
    /// The flag for daylight saving time is set. By one reading of ST 309 the code leaves out
    /// the hour that the flag stands for, by the other it is the offset in force. Nothing in the
    /// stamp tells which its writer had in mind.
    Either {
        /// The offset as coded.
        as_coded: UtcOffset,
        /// An hour more than coded.
        hour_added: UtcOffset,
    },
}

/// Why user bits are no stamp, or a day and an offset make none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum StampError {
    /// A digit of the date is above 9.
    #[error("binary group {group} is {value:X}, but the date there has decimal digits")]
    NotDecimal {
        /// Which group, 1 to 6.
        group: usize,
        /// What it holds.
        value: u8,
    },
    /// The digits name no day.
    #[error(transparent)]
    Day(#[from] DateError),
    /// The offset has no code.
    #[error(transparent)]
    Offset(#[from] OffsetError),
    /// The day is before the first Modified Julian Date, or past its six digits.
    #[error("{0} has no Modified Julian Date of six digits: 1858-11-17 to 4596-10-12 have")]
    OutsideMjd(Date),
}

const MJD_FLAG: u8 = 0b1000;
const DAYLIGHT_SAVING_FLAG: u8 = 0b0100;

impl Stamp {
    /// A stamp with the offset that is in force.
    ///
    /// In summer that is the one with the hour in it, and the flag for daylight saving time stays
    /// 0: then both readings of the flag agree. Offsets without a code, such as +05:45, are
    /// refused.
    pub fn new(day: Day, in_force: UtcOffset) -> Result<Self, StampError> {
        let zone = ZoneCode::for_offset(in_force)?;
        let stamp = Self {
            day,
            zone,
            daylight_saving: DaylightSaving::Unmarked,
        };
        stamp.digits().map(|_| stamp)
    }

    /// Reads user bits whose flags say that they are a date and a time zone.
    pub fn read(bits: UserBits) -> Result<Self, StampError> {
        let [date @ .., low, high] = bits.groups();
        let day = if high & MJD_FLAG == 0 {
            local(date)?
        } else {
            utc(date)?
        };
        let daylight_saving = match high & DAYLIGHT_SAVING_FLAG {
            0 => DaylightSaving::Unmarked,
            _ => DaylightSaving::Marked,
        };
        Ok(Self {
            day,
            zone: ZoneCode::from_groups(low, high),
            daylight_saving,
        })
    }

    /// The user bits to send with the flags [`crate::BinaryGroupFlags::DateAndZone`], or with
    /// [`crate::BinaryGroupFlags::ClockTimeDateAndZone`].
    pub fn user_bits(self) -> Result<UserBits, StampError> {
        let mjd = match self.day {
            Day::Local(_) => 0,
            Day::Utc(_) => MJD_FLAG,
        };
        let daylight_saving = match self.daylight_saving {
            DaylightSaving::Unmarked => 0,
            DaylightSaving::Marked => DAYLIGHT_SAVING_FLAG,
        };
        let zone = self.zone.code() | (mjd | daylight_saving) << 4;
        Ok(UserBits(u32::from(zone) << 24 | self.digits()?))
    }

    /// How far local time is ahead of UTC.
    pub fn offsets(self) -> Offsets {
        let ZoneMeaning::Offset(as_coded) = self.zone.meaning() else {
            return Offsets::None;
        };
        match (self.daylight_saving, as_coded.plus_hour()) {
            (DaylightSaving::Marked, Ok(hour_added)) => Offsets::Either {
                as_coded,
                hour_added,
            },
            _ => Offsets::One(as_coded),
        }
    }

    /// The six digits of the date, group 6 first.
    fn digits(self) -> Result<u32, StampError> {
        let number = match self.day {
            Day::Local(date) => {
                let (year, month, day) = (date.year(), date.month(), date.day());
                u32::from(year) * 10_000 + u32::from(month) * 100 + u32::from(day)
            }
            Day::Utc(date) => date
                .modified_julian_day()
                .filter(|&days| days <= 999_999)
                .ok_or(StampError::OutsideMjd(date))?,
        };
        Ok((0..6).fold(0, |bits, place| {
            bits | (number / 10_u32.pow(place) % 10) << (4 * place)
        }))
    }
}

impl fmt::Display for Day {
    /// `24-12-22`, or `2024-12-22` where the century is known.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Local(date) => date.fmt(f),
            Self::Utc(date) => date.fmt(f),
        }
    }
}

fn local(groups: [u8; 6]) -> Result<Day, StampError> {
    check_decimal(groups)?;
    let [day, days, month, months, year, years] = groups;
    let date = ShortDate::new(years * 10 + year, months * 10 + month, days * 10 + day)?;
    Ok(Day::Local(date))
}

fn utc(groups: [u8; 6]) -> Result<Day, StampError> {
    check_decimal(groups)?;
    let days = groups
        .iter()
        .rev()
        .fold(0, |days, &digit| days * 10 + u32::from(digit));
    Ok(Day::Utc(Date::from_modified_julian_day(days)?))
}

fn check_decimal(groups: [u8; 6]) -> Result<(), StampError> {
    match groups.iter().position(|&digit| digit > 9) {
        Some(index) => Err(StampError::NotDecimal {
            group: index + 1,
            value: groups[index],
        }),
        None => Ok(()),
    }
}
