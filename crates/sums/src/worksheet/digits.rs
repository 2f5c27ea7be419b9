//! Digits with colons: addresses and lengths in hours, minutes, seconds and frames.

use plumbline_timecode::{
    AddressError, Count, Fraction, FrameNumber, ParseError, ParseProblem, TimeAddress, Timebase,
};

use super::fault::{Fault, Wrong};

/// The most digits for the hours of a length.
const HOUR_DIGITS: usize = 7;

/// Frames from midnight to the frame of that name. The fault's place is within `text`.
pub(super) fn address(text: &str, timebase: Timebase) -> Result<Fraction, Fault> {
    check(text, timebase)?;
    number_of(text, timebase.count()).map_err(|error| Wrong::Digits(error.problem).at(error.span))
}

/// How many frames a length of so many hours, minutes, seconds and frames has: as many as lie
/// between midnight and the address of the same digits, but the hours may go on beyond 23.
pub(super) fn length(text: &str, timebase: Timebase) -> Result<Fraction, Fault> {
    check(text, timebase)?;
    let count = timebase.count();
    let (hours, rest) = text.split_at(text.find([':', ';']).unwrap_or_default());
    let wrong = || Wrong::TooManyDigits.at(0..hours.len());
    if hours.len() > HOUR_DIGITS {
        return Err(wrong());
    }
    let whole = hours.parse::<i64>().map_err(|_| wrong())? * i64::from(per_hour(count));
    let whole = Fraction::whole(whole);
    match number_of(&rest[1..], count) {
        Ok(frames) => frames.checked_add(whole).ok_or_else(wrong),
        Err(error) => Err(not_a_length(error, hours, count)),
    }
}

/// A number of frames in hours, minutes, seconds and frames: `30:00:00:00`.
pub(super) fn in_full(frames: u128, count: Count) -> String {
    let hour = u128::from(per_hour(count));
    // Less than an hour of frames: an address has them.
    let rest = FrameNumber(u32::try_from(frames % hour).unwrap_or_default());
    let minutes = TimeAddress::from_frame_number(count, rest)
        .map(|address| address.to_string())
        .unwrap_or_default();
    format!(
        "{:02}{}",
        frames / hour,
        minutes.get(2..).unwrap_or_default()
    )
}

fn per_hour(count: Count) -> u32 {
    count.frames_per_ten_minutes() * 6
}

fn number_of(text: &str, count: Count) -> Result<Fraction, ParseError> {
    let address = TimeAddress::parse(text, count)?;
    Ok(Fraction::whole(i64::from(address.frame_number().0)))
}

/// What [`TimeAddress::parse`] would let pass, because in a field of its own it is clear.
fn check(text: &str, timebase: Timebase) -> Result<(), Fault> {
    if let Some(at) = text.find(['.', ',']) {
        return Err(Wrong::Point.at(at..at + 1));
    }
    match text.find(';') {
        Some(at) if !timebase.count().is_drop() => {
            return Err(Wrong::Semicolon(timebase).at(at..at + 1));
        }
        _ => {}
    }
    match text.split([':', ';']).count() {
        4 => Ok(()),
        fields => Err(Wrong::Fields { fields }.at(0..text.len())),
    }
}

/// An error of what stands after the hours, said of the whole.
fn not_a_length(error: ParseError, hours: &str, count: Count) -> Fault {
    let behind = hours.len() + 1;
    let span = error.span.start + behind..error.span.end + behind;
    let ParseProblem::Address(AddressError::Skipped { after, .. }) = error.problem else {
        return Wrong::Digits(error.problem).at(span);
    };
    let hours = hours.parse::<u128>().unwrap_or_default() * u128::from(per_hour(count));
    let frames = hours + u128::from(after.frame_number().0);
    Wrong::SkippedLength {
        frames,
        before: in_full(frames.saturating_sub(1), count),
        after: in_full(frames, count),
    }
    .at(span)
}
