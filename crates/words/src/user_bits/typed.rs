//! What is typed to become user bits. Each says at its field what is wrong.

use plumbline_timecode::st309::{UtcOffset, ZoneCode};
use plumbline_timecode::{Date, DateError, HexError, UserBits};

use crate::{Problem, quoted, sentence, whole_number};

const WRITTEN: &str = "Type year, month and day, such as 2026-11-25.";

/// Two digits for the year are all that user bits have; these are the years that they may mean.
pub const YEARS: std::ops::RangeInclusive<u16> = 1970..=2069;

/// Eight hexadecimal digits.
pub fn hex(field: &str, typed: &str) -> Result<UserBits, Problem> {
    typed.parse().map_err(|error: HexError| {
        Problem::new(
            field,
            sentence(&error.to_string()),
            "Type eight of the digits 0 to 9 and A to F, such as 25112601.",
        )
    })
}

/// Four characters.
pub fn characters(field: &str, typed: &str) -> Result<UserBits, Problem> {
    UserBits::from_text(typed).map_err(|error| {
        Problem::new(
            field,
            sentence(&error.to_string()),
            "Type four letters, digits, blanks or signs, such as CAM2.",
        )
    })
}

/// Two spare hexadecimal digits after a date.
pub fn spare(field: &str, typed: &str) -> Result<u8, Problem> {
    let typed = typed.trim();
    let digits = typed.len() == 2 && typed.bytes().all(|digit| digit.is_ascii_hexdigit());
    u8::from_str_radix(typed, 16)
        .ok()
        .filter(|_| digits)
        .ok_or_else(|| {
            Problem::new(
                field,
                format!("{} is no pair of digits.", quoted(typed)),
                "Type two of the digits 0 to 9 and A to F, such as 01.",
            )
        })
}

/// A day, `2026-11-25`.
pub fn day(field: &str, typed: &str) -> Result<Date, Problem> {
    let typed = typed.trim();
    if typed.is_empty() {
        return Err(Problem::new(field, "No date was typed.", WRITTEN));
    }
    let (year, month, day) = parts(typed)
        .ok_or_else(|| Problem::new(field, format!("{} is no date.", quoted(typed)), WRITTEN))?;
    Date::new(year, month, day).map_err(|error| {
        let remedy = match error {
            DateError::Day { last, .. } => {
                format!("{year}-{month:02}-01 to {year}-{month:02}-{last:02} would be right.")
            }
            _ => WRITTEN.to_owned(),
        };
        Problem::new(field, sentence(&error.to_string()), remedy)
    })
}

/// A day whose year can be sent with two digits.
pub fn date(field: &str, typed: &str) -> Result<Date, Problem> {
    let date = day(field, typed)?;
    if YEARS.contains(&date.year()) {
        return Ok(date);
    }
    Err(Problem::new(
        field,
        format!(
            "User bits have two digits for the year, and {:04} needs more.",
            date.year()
        ),
        format!("{} to {} would be right.", YEARS.start(), YEARS.end()),
    ))
}

/// Year, month and day as numbers.
fn parts(typed: &str) -> Option<(u16, u8, u8)> {
    let mut parts = typed.split('-').map(whole_number);
    let (year, month, day) = (parts.next()??, parts.next()??, parts.next()??);
    if parts.next().is_some() {
        return None;
    }
    Some((
        u16::try_from(year).ok()?,
        u8::try_from(month).ok()?,
        u8::try_from(day).ok()?,
    ))
}

/// An offset from UTC that SMPTE ST 309 has a code for.
pub fn zone(field: &str, typed: &str) -> Result<UtcOffset, Problem> {
    let offset: UtcOffset = typed.parse().map_err(|_| {
        Problem::new(
            field,
            format!("{} is no offset from UTC.", quoted(typed)),
            "Type how far local time is ahead of UTC, such as +01:00, −03:30 or Z.",
        )
    })?;
    match ZoneCode::for_offset(offset) {
        Ok(_) => Ok(offset),
        Err(error) => Err(Problem::new(
            field,
            sentence(&error.to_string()),
            "Send the date without a zone, in one of the three orders, or the nearest offset that \
             has a code if all who read it know.",
        )),
    }
}
