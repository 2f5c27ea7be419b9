//! Reading what was typed: a timebase, an address, a number.

use plumbline_timecode::{AddressError, Count, Fraction, ParseProblem, TimeAddress, Timebase};
use plumbline_words::{self as words, Problem, quoted, sentence};

use crate::problems::Problems;

/// Digits of a whole number of frames or samples: a year of them at any rate.
const DIGITS: usize = 12;
/// Digits after a point.
const PLACES: usize = 6;

/// The rate and the counting, which every part names alike.
pub(crate) fn timebase(rate: &str, counting: &str, problems: &mut Problems) -> Option<Timebase> {
    let rate = problems.keep(words::rate("rate", rate));
    let counting = problems.keep(words::counting("counting", counting));
    problems.keep(words::timebase("counting", rate?, counting?))
}

/// The address of a frame.
pub(crate) fn address(field: &str, typed: &str, count: Count) -> Result<TimeAddress, Problem> {
    TimeAddress::parse(typed, count).map_err(|error| {
        Problem::new(
            field,
            sentence(&error.to_string()),
            remedy(&error.problem, count),
        )
    })
}

/// What would be right in place of a text that names no frame.
pub(crate) fn remedy(problem: &ParseProblem, count: Count) -> String {
    match problem {
        ParseProblem::Address(AddressError::Skipped { before, after, .. }) => {
            format!("{before} or {after} would be right.")
        }
        ParseProblem::Address(_) => {
            let first = TimeAddress::midnight(count);
            let last = first.plus_wrapping(plumbline_timecode::Frames(-1));
            format!("{first} to {last} would be right.")
        }
        ParseProblem::DropSeparator { plain, .. } => match count.with_drop() {
            Some(_) => format!("Type {plain}, or count drop-frame."),
            None => format!("Type {plain}."),
        },
        _ => "Type hours, minutes, seconds and frames, such as 10:00:00:00.".to_owned(),
    }
}

/// A number that is not below 0, exactly: `172800000`, `172 800 000`, `172,800,000`,
/// `172799827.2`. None where it is none.
pub(crate) fn amount(typed: &str) -> Option<Fraction> {
    let (whole, part) = typed.trim().split_once('.').unwrap_or((typed.trim(), "0"));
    let whole = ungrouped(whole)?;
    if whole.len() > DIGITS || part.is_empty() || part.len() > PLACES {
        return None;
    }
    let part = format!("{part:0<PLACES$}");
    if !part.bytes().all(|digit| digit.is_ascii_digit()) {
        return None;
    }
    Fraction::new(format!("{whole}{part}").parse().ok()?, 1_000_000)
}

/// Digits of a number, without what groups them in threes; none where they are none.
pub(crate) fn ungrouped(typed: &str) -> Option<String> {
    let groups: Vec<&str> = typed
        .split([',', ' ', '\u{a0}', '\u{202f}', '\'', '_'])
        .collect();
    let digits = groups
        .iter()
        .all(|group| !group.is_empty() && group.bytes().all(|digit| digit.is_ascii_digit()));
    let grouped = groups.len() == 1
        || groups.first().is_some_and(|first| first.len() <= 3)
            && groups.iter().skip(1).all(|group| group.len() == 3);
    (digits && grouped).then(|| groups.concat())
}

/// A whole number of at most twelve digits.
pub(crate) fn whole(field: &str, typed: &str, what: &str) -> Result<i64, Problem> {
    amount(typed)
        .filter(|number| number.denominator() == 1)
        .and_then(|number| i64::try_from(number.numerator()).ok())
        .ok_or_else(|| {
            Problem::new(
                field,
                format!("{} is not a number of {what}.", quoted(typed)),
                format!("Type a whole number of {what}, such as 90000."),
            )
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_may_be_grouped_in_threes_and_in_no_other_way() {
        for typed in [
            "172800000",
            "172 800 000",
            "172,800,000",
            " 172'800'000 ",
            "172800000.0",
        ] {
            assert_eq!(amount(typed), Some(Fraction::whole(172_800_000)), "{typed}");
        }
        assert_eq!(amount("172799827.2"), Fraction::new(863_999_136, 5));
        for typed in [
            "",
            ".",
            "1.",
            "1,23",
            "1234,567",
            "-1",
            "1e3",
            "1234567890123",
            "0.1234567",
            "1 .5x",
        ] {
            assert_eq!(amount(typed), None, "{typed}");
        }
    }

    #[test]
    fn an_address_that_does_not_exist_names_its_neighbours() {
        // IEC 60461 clause 4.2.3.
        let wrong = address("text", "00:01:00;00", Count::F30Drop).unwrap_err();
        assert_eq!(wrong.remedy, "00:00:59;29 or 00:01:00;02 would be right.");
        let wrong = address("text", "10:00:00;00", Count::F25).unwrap_err();
        assert_eq!(wrong.remedy, "Type 10:00:00:00.");
    }
}
