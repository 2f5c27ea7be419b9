//! From what was typed to user bits and flags.

use plumbline_timecode::st309::{Day, Stamp, StampError};
use plumbline_timecode::{BinaryGroupFlags, TypedDate, UserBits};
use plumbline_words::{Problem, choice, quoted, sentence, user_bits as words};

use super::{Content, Kind, UserBitsForm};
use crate::problems::Problems;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ClockTime {
    Unsaid,
    Said,
}

/// User bits and flags, where all that they need is right.
pub(super) fn content(kind: Kind, form: &UserBitsForm, problems: &mut Problems) -> Option<Content> {
    let bits = bits(kind, form, problems);
    let flags = if kind == Kind::Hex {
        problems.keep(typed_flags(&form.flags))
    } else {
        let words = [("no", ClockTime::Unsaid), ("yes", ClockTime::Said)];
        problems
            .keep(choice("clock_time", &form.clock_time, &words))
            .and_then(|clock_time| problems.keep(flags(kind, clock_time)))
    };
    Some(Content {
        bits: bits?,
        flags: flags?,
    })
}

fn bits(kind: Kind, form: &UserBitsForm, problems: &mut Problems) -> Option<UserBits> {
    match kind {
        Kind::Hex => problems.keep(words::hex("user_bits", &form.user_bits)),
        Kind::Characters => problems.keep(words::characters("characters", &form.characters)),
        Kind::Typed(order) => {
            let date = problems.keep(words::date("date", &form.date));
            let spare = problems.keep(words::spare("spare", &form.spare));
            let (date, spare) = (date?.short(), spare?);
            Some(TypedDate { order, date, spare }.into())
        }
        Kind::DateAndZone => {
            let date = problems.keep(words::date("date", &form.date));
            let zone = problems.keep(words::zone("zone", &form.zone));
            stamped(Stamp::new(Day::Local(date?.short()), zone?), problems)
        }
        Kind::JulianDateAndZone => {
            let date = problems.keep(words::day("date", &form.date));
            let zone = problems.keep(words::zone("zone", &form.zone));
            stamped(Stamp::new(Day::Utc(date?), zone?), problems)
        }
    }
}

fn stamped(stamp: Result<Stamp, StampError>, problems: &mut Problems) -> Option<UserBits> {
    let bits = stamp.and_then(Stamp::user_bits);
    problems.keep(bits.map_err(|error| {
        Problem::new(
            "date",
            sentence(&error.to_string()),
            "Type a day from 1858-11-17 to 4596-10-12.",
        )
    }))
}

/// `100`: BGF2, BGF1, BGF0.
fn typed_flags(typed: &str) -> Result<BinaryGroupFlags, Problem> {
    let bit = |character| match character {
        '0' => Some(false),
        '1' => Some(true),
        _ => None,
    };
    let bits: Option<Vec<bool>> = typed.trim().chars().map(bit).collect();
    bits.and_then(|bits| <[bool; 3]>::try_from(bits).ok())
        .map(BinaryGroupFlags::from_flags)
        .ok_or_else(|| {
            Problem::new(
                "flags",
                format!("{} is not three flags.", quoted(typed)),
                "Type BGF2, BGF1 and BGF0, each 0 or 1, such as 100.",
            )
        })
}

/// IEC 60461 table 1, SMPTE ST 12-1 table 1.
fn flags(kind: Kind, clock_time: ClockTime) -> Result<BinaryGroupFlags, Problem> {
    use BinaryGroupFlags as Flags;
    match (kind, clock_time) {
        (Kind::Hex | Kind::Typed(_), ClockTime::Unsaid) => Ok(Flags::Unspecified),
        (Kind::Hex | Kind::Typed(_), ClockTime::Said) => Ok(Flags::ClockTime),
        (Kind::Characters, ClockTime::Unsaid) => Ok(Flags::Characters),
        (Kind::DateAndZone | Kind::JulianDateAndZone, ClockTime::Unsaid) => Ok(Flags::DateAndZone),
        (Kind::DateAndZone | Kind::JulianDateAndZone, ClockTime::Said) => {
            Ok(Flags::ClockTimeDateAndZone)
        }
        (Kind::Characters, ClockTime::Said) => Err(Problem::new(
            "clock_time",
            "The flags can't say four characters and clock time at once: that combination is not \
             to be sent (SMPTE ST 12-1 clause 8.4.4).",
            "Leave clock time unsaid, or choose other user bits.",
        )),
    }
}
