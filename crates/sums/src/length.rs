//! Lengths as they are typed: in frames as addresses count them, or by the clock.

use plumbline_timecode::{
    AddressError, Count, Fraction, FrameNumber, Frames, ParseError, ParseProblem, TimeAddress,
    Timebase,
};
use plumbline_words::{Problem, decimal, quoted, sentence, whole_number};

use crate::figure::{product, sum};

/// A length that was typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Length {
    /// A whole number of frames.
    Frames(Frames),
    /// Seconds by the clock, exactly.
    Clock(Fraction),
}

/// Eleven years, so that no sum of a list is too large.
const MOST_HOURS: i64 = 99_999;

const WRITTEN: &str =
    "Type hours, minutes, seconds and frames, such as 00:10:00:00, or units, such as 1 h 30 min.";

/// The units of a length, in seconds; frames apart.
const UNITS: [(&str, Unit); 16] = [
    ("h", Unit::Seconds(3600, 1)),
    ("hour", Unit::Seconds(3600, 1)),
    ("hours", Unit::Seconds(3600, 1)),
    ("m", Unit::Seconds(60, 1)),
    ("min", Unit::Seconds(60, 1)),
    ("minute", Unit::Seconds(60, 1)),
    ("minutes", Unit::Seconds(60, 1)),
    ("s", Unit::Seconds(1, 1)),
    ("sec", Unit::Seconds(1, 1)),
    ("second", Unit::Seconds(1, 1)),
    ("seconds", Unit::Seconds(1, 1)),
    ("ms", Unit::Seconds(1, 1000)),
    ("µs", Unit::Seconds(1, 1_000_000)),
    ("f", Unit::Frames),
    ("frame", Unit::Frames),
    ("frames", Unit::Frames),
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Unit {
    Seconds(i64, i128),
    Frames,
}

/// A length. With units it is real time, but for frames: `1 h 2 min 3.5 s`, `250 frames`. In
/// digits it counts frames as addresses do, and its hours may go on past 23: `26:00:00:00`.
pub(crate) fn length(field: &str, typed: &str, timebase: Timebase) -> Result<Length, Problem> {
    if typed.chars().any(char::is_alphabetic) {
        return with_units(typed, timebase)
            .filter(|length| length.seconds(timebase) >= Fraction::ZERO)
            .ok_or_else(|| {
                Problem::new(
                    field,
                    format!("{} is not a length.", quoted(typed)),
                    WRITTEN,
                )
            });
    }
    in_digits(typed, timebase.count())
        .map(Length::Frames)
        .map_err(|(text, remedy)| Problem::new(field, text, remedy))
}

impl Length {
    /// By the clock, exactly.
    pub(crate) fn seconds(self, timebase: Timebase) -> Fraction {
        match self {
            Self::Frames(frames) => timebase.rate().seconds(frames).0,
            Self::Clock(seconds) => seconds,
        }
    }
}

/// Each unit once at most, so that the sum is bounded.
fn with_units(typed: &str, timebase: Timebase) -> Option<Length> {
    let mut rest = typed.trim();
    let mut used: Vec<Unit> = Vec::new();
    let (mut seconds, mut frames) = (Fraction::ZERO, Fraction::ZERO);
    while !rest.is_empty() {
        let unit_at = rest.find(char::is_alphabetic)?;
        let (number, behind) = rest.split_at(unit_at);
        let end = behind
            .find(|c: char| !c.is_alphabetic())
            .unwrap_or(behind.len());
        let (name, left) = behind.split_at(end);
        let &(_, unit) = UNITS.iter().find(|(unit, _)| name == *unit)?;
        if used.contains(&unit) {
            return None;
        }
        used.push(unit);
        let number = decimal(number)?;
        match unit {
            Unit::Seconds(above, below) => {
                let scale = Fraction::new(i128::from(above), below)?;
                seconds = seconds.checked_add(number.checked_mul(scale)?)?;
            }
            Unit::Frames => frames = number,
        }
        rest = left.trim_start();
    }
    if used == [Unit::Frames] && frames.denominator() == 1 {
        return i64::try_from(frames.numerator())
            .ok()
            .map(Frames)
            .map(Length::Frames);
    }
    let frame = timebase.rate().seconds(Frames(1)).0;
    Some(Length::Clock(sum(seconds, product(frames, frame))))
}

/// What is wrong, and what would be right.
type Wrong = (String, String);

/// Hours, minutes, seconds and frames; hours of any number.
pub(crate) fn in_digits(typed: &str, count: Count) -> Result<Frames, Wrong> {
    let typed = typed.trim();
    if typed.is_empty() {
        return Err(("No length was typed.".to_owned(), WRITTEN.to_owned()));
    }
    let (hours, rest) = hours_apart(typed);
    if hours > MOST_HOURS {
        let text = format!("{} is longer than {MOST_HOURS} hours.", quoted(typed));
        return Err((text, WRITTEN.to_owned()));
    }
    let within =
        TimeAddress::parse(rest, count).map_err(|error| wrong(typed, hours, &error, count))?;
    let number = i64::from(within.frame_number().0);
    Ok(Frames(hours * i64::from(per_hour(count)) + number))
}

/// The hours of a text with four fields, and the rest.
fn hours_apart(typed: &str) -> (i64, &str) {
    let separators = [':', ';', '.', ','];
    let four = typed.split(separators).count() == 4;
    let apart = typed.split_once(separators).filter(|_| four);
    apart
        .and_then(|(hours, rest)| Some((i64::try_from(whole_number(hours)?).ok()?, rest)))
        .unwrap_or((0, typed))
}

fn wrong(typed: &str, hours: i64, error: &ParseError, count: Count) -> Wrong {
    if let ParseProblem::Address(AddressError::Skipped { after, .. }) = error.problem {
        let after = hours * i64::from(per_hour(count)) + i64::from(after.frame_number().0);
        return (
            format!(
                "No number of frames is {} long: drop-frame counting skips that number.",
                quoted(typed)
            ),
            format!(
                "{} or {} would be right.",
                in_full(Frames(after - 1), count),
                in_full(Frames(after), count)
            ),
        );
    }
    (sentence(&error.to_string()), WRITTEN.to_owned())
}

const fn per_hour(count: Count) -> u32 {
    count.frames_per_ten_minutes() * 6
}

/// A number of frames in hours, minutes, seconds and frames: `26:00:00:00`, `−00:00:00:12`.
pub(crate) fn in_full(frames: Frames, count: Count) -> String {
    let hour = u64::from(per_hour(count));
    let (all, sign) = (frames.0.unsigned_abs(), if frames.0 < 0 { "−" } else { "" });
    // Less than an hour of frames: there is an address with that number.
    let rest = FrameNumber(u32::try_from(all % hour).unwrap_or_default());
    let rest = TimeAddress::from_frame_number(count, rest).unwrap_or(TimeAddress::midnight(count));
    let behind = rest.to_string().split_off(2);
    format!("{sign}{:02}{behind}", all / hour)
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_timecode::Rate;

    fn at(rate: Rate, count: Count) -> Timebase {
        Timebase::new(rate, count).unwrap()
    }

    fn frames(typed: &str, timebase: Timebase) -> i64 {
        match length("", typed, timebase).unwrap() {
            Length::Frames(frames) => frames.0,
            Length::Clock(seconds) => panic!("{typed}: {seconds} s"),
        }
    }

    #[test]
    fn digits_count_frames_as_addresses_do() {
        let (pal, drop) = (at(Rate::F25, Count::F25), at(Rate::F29_97, Count::F30Drop));
        assert_eq!(frames("00:10:00:00", pal), 15_000);
        assert_eq!(frames("26:00:00:00", pal), 2_340_000);
        assert_eq!(frames("10:00", pal), 250);
        assert_eq!(frames("250 frames", pal), 250);
        // SMPTE ST 2059-1 clause 9.3.3.4: 107892 frames an hour.
        assert_eq!(frames("01:00:00;00", drop), 107_892);
        assert_eq!(frames("100:00:00;00", drop), 10_789_200);
    }

    #[test]
    fn units_are_real_time() {
        let drop = at(Rate::F29_97, Count::F30Drop);
        let clock = |typed| match length("", typed, drop).unwrap() {
            Length::Clock(seconds) => seconds.to_string(),
            Length::Frames(frames) => panic!("{typed}: {frames} frames"),
        };
        assert_eq!(clock("1 h 2 min 3.5 s"), "7447/2");
        assert_eq!(clock("90min"), "5400");
        assert_eq!(clock("1,5 h"), "5400");
        assert_eq!(clock("40 ms"), "1/25");
        // 30 frames at 29.97 are 1.001 s.
        assert_eq!(clock("1 s 30 f"), "2001/1000");
    }

    #[test]
    fn what_is_no_length_is_refused() {
        let drop = at(Rate::F29_97, Count::F30Drop);
        for typed in [
            "",
            "ten",
            "1 h 2 h",
            "h",
            "-1 s",
            "5 parsecs",
            "1:2:3:4:5",
            "00:01:00;00",
            "1e3 s",
        ] {
            assert!(length("", typed, drop).is_err(), "{typed}");
        }
        let skipped = length("", "25:01:00;00", drop).unwrap_err();
        assert_eq!(skipped.remedy, "25:00:59;29 or 25:01:00;02 would be right.");
    }

    #[test]
    fn a_length_is_shown_as_it_is_read() {
        for timebase in Timebase::all() {
            for number in [0, 1, 29, 1798, 1800, 107_892, 3_000_000, 999_999_999] {
                let shown = in_full(Frames(number), timebase.count());
                assert_eq!(frames(&shown, timebase), number, "{shown}");
            }
        }
    }
}
