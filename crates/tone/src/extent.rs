//! From which address to which.

use plumbline_timecode::{
    AddressError, CodeAddress, Count, Frames, ParseProblem, TimeAddress, Timebase,
};

use crate::Settings;
use crate::field::Field;
use crate::length::{self, LengthError};
use crate::remarks::Remarks;
use crate::typed::{choice, quoted};
use plumbline_words::{Problem, sentence};

/// The codewords of the first take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Extent {
    /// The first frame of the first codeword, counted as frames are.
    pub(crate) first: TimeAddress,
    /// How many codewords: at least 1, at most a day of them.
    pub(crate) codewords: u32,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Until {
    Length,
    Last,
}

/// The first address and how many codewords follow it.
pub(crate) fn extent(
    settings: &Settings,
    timebase: Timebase,
    remarks: &mut Remarks,
) -> Option<Extent> {
    let count = timebase.count();
    let first = first(settings, timebase, remarks);
    let words = [("length", Until::Length), ("last", Until::Last)];
    let frames = match remarks.keep(choice(Field::Until, &settings.until, &words))? {
        Until::Length => remarks.keep(length(&settings.length, count)),
        Until::Last => remarks
            .keep(address(Field::Last, &settings.last, count))
            .and_then(|last| Some(up_to(first?, last, remarks))),
    };
    let codewords = frames?.0 / i64::from(count.frames_per_codeword());
    Some(Extent {
        first: first?,
        codewords: u32::try_from(codewords).ok()?,
    })
}

/// The first address.
pub(crate) fn first(
    settings: &Settings,
    timebase: Timebase,
    remarks: &mut Remarks,
) -> Option<TimeAddress> {
    remarks.keep(address(Field::Start, &settings.start, timebase.count()))
}

/// An address at which a codeword begins.
fn address(field: Field, typed: &str, count: Count) -> Result<TimeAddress, Problem> {
    let address = TimeAddress::parse(typed, count).map_err(|error| {
        let remedy = remedy(&error.problem, count);
        field.problem(sentence(&error.to_string()), remedy)
    })?;
    let (before, after) = around(address);
    if before == address {
        return Ok(address);
    }
    Err(field.problem(
        format!(
            "{address} is inside a codeword, which spans {} frames at {} frames a second.",
            count.frames_per_codeword(),
            count.frames_per_second()
        ),
        format!("{before} or {after} would be right: codewords begin there."),
    ))
}

/// The first frame of a codeword, counted as frames are, from its address.
pub(crate) fn first_frame(codeword: TimeAddress, timebase: Timebase) -> TimeAddress {
    CodeAddress::new(codeword, 0, timebase.count()).map_or(codeword, CodeAddress::frame)
}

/// The first frame of the codeword that carries an address, and of the next one.
fn around(address: TimeAddress) -> (TimeAddress, TimeAddress) {
    let code = address.code();
    let before = address.plus_wrapping(Frames(-i64::from(code.part())));
    (before, before.plus_wrapping(Frames(code.parts().into())))
}

fn remedy(problem: &ParseProblem, count: Count) -> String {
    match problem {
        ParseProblem::Address(AddressError::Skipped { before, after, .. }) => {
            format!("{} or {after} would be right.", around(*before).0)
        }
        ParseProblem::Address(_) => {
            let first = TimeAddress::midnight(count);
            let (last, _) = around(first.plus_wrapping(Frames(-1)));
            format!("{first} to {last} would be right.")
        }
        ParseProblem::DropSeparator { plain, .. } => match count.with_drop() {
            Some(_) => format!("Type {plain}, or count drop-frame."),
            None => format!("Type {plain}."),
        },
        _ => "Type hours, minutes, seconds and frames, such as 10:00:00:00.".to_owned(),
    }
}

/// A length of at least one codeword, in frames.
fn length(typed: &str, count: Count) -> Result<Frames, Problem> {
    let day = i64::from(count.frames_per_day());
    let codeword = i64::from(count.frames_per_codeword());
    let frames = length::parse(typed, count).map_err(|error| {
        let remedy = match &error {
            LengthError::TooLong(_) => {
                let longest = length::shown(Frames(day), count);
                format!("{longest} is the longest that there is; {longest} or less would be right.")
            }
            LengthError::Empty | LengthError::Digits(_) => {
                "Type hours, minutes, seconds and frames, such as 00:10:00:00, or 10 min."
                    .to_owned()
            }
        };
        Field::Length.problem(sentence(&error.to_string()), remedy)
    })?;
    let over = frames.0 % codeword;
    let (before, after) = (frames.0 - over, frames.0 - over + codeword);
    if frames.0 == 0 {
        let one = length::shown(Frames(codeword), count);
        return Err(Field::Length.problem(
            format!("{} is no length: nothing would be heard.", quoted(typed)),
            format!("{one}, one codeword, is the shortest that would be right."),
        ));
    }
    if over == 0 {
        return Ok(frames);
    }
    let shown: Vec<String> = [before, after]
        .into_iter()
        .filter(|&frames| frames > 0)
        .map(|frames| length::shown(Frames(frames), count))
        .collect();
    Err(Field::Length.problem(
        format!(
            "{} ends inside a codeword, which spans {codeword} frames at {} frames a second.",
            quoted(typed),
            count.frames_per_second()
        ),
        format!("{} would be right.", shown.join(" or ")),
    ))
}

/// The frames from the first address to the end of the last one's codeword, past midnight if need
/// be.
fn up_to(first: TimeAddress, last: TimeAddress, remarks: &mut Remarks) -> Frames {
    let count = first.count();
    let between = Frames::from(last.frame_number()) - Frames::from(first.frame_number());
    if between.0 < 0 {
        remarks.note(
            Field::Last,
            format!("{last} is before {first}: the code passes midnight on its way there."),
        );
    }
    let between = between.0.rem_euclid(i64::from(count.frames_per_day()));
    Frames(between + i64::from(count.frames_per_codeword()))
}
