//! Lengths as people type them.

use plumbline_timecode::{AddressError, Count, Frames, ParseProblem, TimeAddress};
use thiserror::Error;

use crate::typed::{quoted, whole_number};

/// Why a text is no length.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub(crate) enum LengthError {
    /// There is nothing.
    #[error("no length was typed")]
    Empty,
    /// More than the day of the address.
    #[error("{} is longer than 24 h", quoted(.0))]
    TooLong(String),
    /// Digits that make no length.
    #[error(transparent)]
    Digits(ParseProblem),
}

/// How many frames a typed length is.
///
/// It is typed as an address is (`00:10:00:00`, `10:00:00`) or with a unit (`90 min`, `2 h`,
/// `30 s`), and counts frames as addresses do: in drop-frame an hour has 107,892 of them
/// (SMPTE ST 2059-1 clause 9.3.3.4), also where no address has that name.
pub(crate) fn parse(typed: &str, count: Count) -> Result<Frames, LengthError> {
    let typed = typed.trim();
    if typed.is_empty() {
        return Err(LengthError::Empty);
    }
    let frames = match with_unit(typed) {
        Some(seconds) => named_frames(seconds, 0, count),
        None => as_address(typed, count)?,
    };
    if frames > i64::from(count.frames_per_day()) {
        return Err(LengthError::TooLong(typed.to_owned()));
    }
    Ok(Frames(frames))
}

/// Seconds of the address, from a whole number with a unit.
fn with_unit(typed: &str) -> Option<i64> {
    let units = [("min", 60), ("h", 3600), ("s", 1)];
    units.into_iter().find_map(|(unit, seconds)| {
        let number = whole_number(typed.strip_suffix(unit)?.trim_end())?;
        Some(i64::try_from(number).ok()? * seconds)
    })
}

fn as_address(typed: &str, count: Count) -> Result<i64, LengthError> {
    // Both separators are common in lengths, whatever is counted.
    let plain = typed.replace(';', ":");
    let (hours, rest) = hours_apart(&plain);
    let length = TimeAddress::parse(rest, count.without_drop()).map_err(|error| {
        let too_long = matches!(
            error.problem,
            ParseProblem::Address(AddressError::OutOfRange {
                field: plumbline_timecode::Field::Hours,
                ..
            })
        );
        if too_long {
            LengthError::TooLong(typed.to_owned())
        } else {
            LengthError::Digits(error.problem)
        }
    })?;
    let minutes = i64::from(length.hours()) * 60 + i64::from(length.minutes());
    let seconds = hours * 3600 + minutes * 60 + i64::from(length.seconds());
    Ok(named_frames(seconds, length.frames().into(), count))
}

/// The hours of a text with four fields, which may be more than a day has, and the rest.
fn hours_apart(plain: &str) -> (i64, &str) {
    let separators = [':', '.', ','];
    let has_hours = plain.split(separators).count() == 4;
    let apart = plain.split_once(separators).filter(|_| has_hours);
    apart
        .and_then(|(hours, rest)| Some((i64::try_from(whole_number(hours)?).ok()?, rest)))
        .unwrap_or((0, plain))
}

/// SMPTE ST 2059-1 clause 9.3.3.4.
fn named_frames(seconds: i64, frames: i64, count: Count) -> i64 {
    let minutes = seconds / 60;
    let dropped = i64::from(count.dropped_per_minute()) * (minutes - minutes / 10);
    seconds * i64::from(count.frames_per_second()) + frames - dropped
}

/// A length as it would be typed.
pub(crate) fn shown(length: Frames, count: Count) -> String {
    if length.0 == i64::from(count.frames_per_day()) {
        return format!("24:00:00{}00", count.separator());
    }
    TimeAddress::midnight(count)
        .plus_wrapping(length)
        .to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frames(typed: &str, count: Count) -> i64 {
        parse(typed, count).unwrap().0
    }

    #[test]
    fn lengths_count_as_addresses_do() {
        assert_eq!(frames("00:10:00:00", Count::F25), 15_000);
        assert_eq!(frames("10:00", Count::F25), 250);
        assert_eq!(frames("90 min", Count::F25), 135_000);
        assert_eq!(frames("2h", Count::F24), 172_800);
        assert_eq!(frames("30 s", Count::F50), 1500);
        assert_eq!(frames("24:00:00:00", Count::F25), 2_160_000);
        assert_eq!(frames("24 h", Count::F30Drop), 2_589_408);
        // SMPTE ST 2059-1 clause 9.3.3.4: n = FF + 30 SS + 1798 MM + 2 int(MM/10) + 107892 HH.
        assert_eq!(frames("01:00:00;00", Count::F30Drop), 107_892);
        assert_eq!(frames("1 min", Count::F30Drop), 1798);
        assert_eq!(frames("00:01:00:00", Count::F30Drop), 1798);
        assert_eq!(frames("00:10:00;00", Count::F60Drop), 35_964);
    }

    #[test]
    fn what_is_longer_than_a_day_says_so() {
        for typed in [
            "200 h",
            "200:00:00:00",
            "24:00:00:01",
            "25:0:0:0",
            "24000000",
            "1441 min",
        ] {
            let too_long = LengthError::TooLong(typed.to_owned());
            assert_eq!(parse(typed, Count::F25), Err(too_long), "{typed}");
        }
    }

    #[test]
    fn what_is_no_length_is_refused() {
        assert_eq!(parse("  ", Count::F25), Err(LengthError::Empty));
        for typed in [
            "h",
            "ten",
            "1:2:3:4:5",
            "00:60:00:00",
            "00:00:00:25",
            "1.5 h",
            "-1",
        ] {
            let read = parse(typed, Count::F25);
            assert!(
                matches!(read, Err(LengthError::Digits(_))),
                "{typed}: {read:?}"
            );
        }
    }

    #[test]
    fn a_length_is_shown_as_it_is_read() {
        for count in [Count::F24, Count::F30Drop, Count::F60, Count::F120Drop] {
            for length in [
                1,
                29,
                1798,
                1800,
                107_892,
                i64::from(count.frames_per_day()),
            ] {
                let text = shown(Frames(length), count);
                assert_eq!(parse(&text, count), Ok(Frames(length)), "{text}");
            }
        }
    }
}
