//! The codes of SMPTE ST 309 for time zones.

use std::fmt;
use std::str::FromStr;

use thiserror::Error;

/// How far local time is ahead of UTC, in whole minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct UtcOffset(i16);

/// Why an offset is none, or has no code.
#[derive(Debug, Clone, PartialEq, Eq, Error, Copy)]
#[non_exhaustive]
pub enum OffsetError {
    /// Further from UTC than any clock.
    #[error("an offset of {0} minutes is more than a day")]
    TooFar(i16),
    /// ST 309 has codes for whole and half hours from -12 to +13 and for +12:45 only.
    #[error(
        "{0} has no code in SMPTE ST 309: whole hours from -12:00 to +13:00, half hours from \
         -11:30 to +11:30 and +12:45 have"
    )]
    NoCode(UtcOffset),
    /// Not written as an offset is.
    #[error("an offset from UTC is written as +02:00, -03:30 or Z")]
    Unreadable,
}

/// A time zone as ST 309 codes it: six bits, written as two hex digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ZoneCode(u8);

/// What a zone code stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ZoneMeaning {
    /// An offset from UTC.
    Offset(UtcOffset),
    /// How precise the time is, not where (from memory: 28 to 31).
    Precision,
    /// An offset by agreement (from memory: 38).
    UserDefined,
    /// Not known (from memory: 39).
    Unknown,
    /// Kept for later.
    Reserved,
}

impl UtcOffset {
    /// UTC itself.
    pub const UTC: Self = Self(0);

    /// That many minutes ahead of UTC, within a day.
    pub const fn minutes(minutes: i16) -> Result<Self, OffsetError> {
        if minutes.unsigned_abs() < 24 * 60 {
            Ok(Self(minutes))
        } else {
            Err(OffsetError::TooFar(minutes))
        }
    }

    /// How many minutes ahead of UTC; below 0 behind it.
    pub const fn as_minutes(self) -> i16 {
        self.0
    }

    /// An hour further ahead.
    pub const fn plus_hour(self) -> Result<Self, OffsetError> {
        Self::minutes(self.0 + 60)
    }
}

impl ZoneCode {
    /// Every code.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..0x40).map(Self)
    }

    /// The code for an offset; not every offset has one.
    pub fn for_offset(offset: UtcOffset) -> Result<Self, OffsetError> {
        Self::all()
            .find(|code| code.meaning() == ZoneMeaning::Offset(offset))
            .ok_or(OffsetError::NoCode(offset))
    }

    /// From binary group 7 and the two low bits of group 8.
    pub(super) const fn from_groups(group7: u8, group8: u8) -> Self {
        Self((group8 & 0b11) << 4 | group7 & 0b1111)
    }

    /// The code, 0x00 to 0x3F.
    pub const fn code(self) -> u8 {
        self.0
    }

    /// What it stands for.
    pub const fn meaning(self) -> ZoneMeaning {
        let (tens, units) = (self.0 >> 4, (self.0 & 15) as i16);
        let minutes = match (tens, units) {
            // Whole hours, decimal: behind UTC up to 12, then ahead of it from 25 downward.
            (0, 0..=9) => -60 * units,
            (1, 0..=2) => -60 * (10 + units),
            (1, 3) => 60 * 13,
            (1, 4..=9) => 60 * (16 - units),
            (2, 0..=5) => 60 * (6 - units),
            // Half hours, in the hex digits: behind UTC, then ahead of it.
            (0, 10..=15) => -60 * (units - 10) - 30,
            (1, 10..=15) => -60 * (units - 4) - 30,
            (3, 10..=15) => 60 * (15 - units) + 30,
            (2, 10..=15) => 60 * (21 - units) + 30,
            (3, 2) => 60 * 12 + 45,
            (2, 8..=9) | (3, 0..=1) => return ZoneMeaning::Precision,
            (3, 8) => return ZoneMeaning::UserDefined,
            (3, 9) => return ZoneMeaning::Unknown,
            _ => return ZoneMeaning::Reserved,
        };
        ZoneMeaning::Offset(UtcOffset(minutes))
    }
}

impl fmt::Display for UtcOffset {
    /// `+02:00`, `-03:30`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { '-' } else { '+' };
        let minutes = self.0.unsigned_abs();
        write!(f, "{sign}{:02}:{:02}", minutes / 60, minutes % 60)
    }
}

impl FromStr for UtcOffset {
    type Err = OffsetError;

    /// `+02:00`, `-03:30`, `+2`, `Z`.
    fn from_str(text: &str) -> Result<Self, OffsetError> {
        let text = text.trim();
        if matches!(text, "Z" | "z" | "UTC") {
            return Ok(Self::UTC);
        }
        let (sign, rest) = match (text.strip_prefix('+'), text.strip_prefix(['-', '\u{2212}'])) {
            (Some(rest), _) => (1, rest),
            (_, Some(rest)) => (-1, rest),
            _ => return Err(OffsetError::Unreadable),
        };
        let (hours, minutes) = rest.split_once(':').unwrap_or((rest, "00"));
        let (hours, minutes) = (two_digits(hours)?, two_digits(minutes)?);
        if minutes > 59 {
            return Err(OffsetError::Unreadable);
        }
        Self::minutes(sign * (hours * 60 + minutes))
    }
}

fn two_digits(text: &str) -> Result<i16, OffsetError> {
    let digits = matches!(text.len(), 1..=2) && text.bytes().all(|byte| byte.is_ascii_digit());
    text.parse()
        .ok()
        .filter(|_| digits)
        .ok_or(OffsetError::Unreadable)
}

impl fmt::Display for ZoneCode {
    /// Two hex digits.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02X}", self.0)
    }
}
