//! What each line of the list is.

use plumbline_timecode::{Count, Frames, TimeAddress};
use plumbline_words::sentence;

use super::tokens::{Token, tokens};
use super::{Outs, Pair, Reading, RowsAre};
use crate::length::{in_digits, in_full};
use crate::typed::remedy;

/// A line that is not blank.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Line {
    /// The first is 1.
    pub(super) number: u32,
    pub(super) label: String,
    pub(super) kind: Kind,
    /// Whether the line says itself how the list is counted.
    pub(super) says: Option<Said>,
}

/// What a line is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Kind {
    Row(Span),
    Bad(Wrong),
    Heading,
    Remark,
}

/// What a row counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Span {
    /// Where it stands in the day; a duration stands nowhere.
    pub(super) place: Option<Place>,
    pub(super) length: Frames,
    /// Worth knowing; empty where there is nothing.
    pub(super) note: String,
}

/// The frames from `from` up to, but not with, `to`, since midnight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Place {
    pub(super) from: i64,
    pub(super) to: i64,
    pub(super) in_point: TimeAddress,
    /// As it was pasted.
    pub(super) out_point: OutPoint,
}

/// An out point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum OutPoint {
    At(TimeAddress),
    /// `24:00:00:00`, which is no address: the midnight that ends the day.
    EndOfDay(Count),
}

/// Why a row does not count.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Wrong {
    pub(super) text: String,
    pub(super) remedy: String,
}

/// How a list says it is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Said {
    Drop,
    NonDrop,
}

impl Wrong {
    fn new(text: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            remedy: remedy.into(),
        }
    }
}

/// Every line that is not blank.
pub(super) fn read(text: &str, reading: Reading) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    for (number, line) in (1..).zip(text.lines()) {
        if line.trim().is_empty() {
            continue;
        }
        let begun = lines
            .iter()
            .any(|line| !matches!(line.kind, Kind::Heading | Kind::Remark));
        lines.push(Line::read(number, line, reading, begun));
    }
    lines
}

impl Line {
    fn read(number: u32, line: &str, reading: Reading, begun: bool) -> Self {
        let tokens = tokens(line);
        let (mut addresses, mut almost, mut label) = (Vec::new(), None, Vec::new());
        for token in tokens {
            match token {
                Token::Address(text) => addresses.push(text),
                Token::Almost(text) => {
                    almost = almost.or(Some(text));
                    label.push(text);
                }
                Token::Label(text) => label.push(text),
            }
        }
        let kind = if is_remark(line) {
            Kind::Remark
        } else if !begun && addresses.is_empty() && almost.is_none() {
            Kind::Heading
        } else {
            match row(&addresses, almost, reading) {
                Ok(span) => Kind::Row(span),
                Err(wrong) => Kind::Bad(wrong),
            }
        };
        let says = said(line, &addresses);
        let label = match kind {
            // What is not understood stays as it was pasted.
            Kind::Remark | Kind::Bad(_) => line.trim().to_owned(),
            _ => label.join(" "),
        };
        Self {
            number,
            label,
            kind,
            says,
        }
    }
}

/// What edit lists write between their events.
fn is_remark(line: &str) -> bool {
    let line = line.trim_start();
    ["*", "M2 ", "M2\t", "TITLE:", "FCM:"]
        .iter()
        .any(|start| line.starts_with(start))
}

/// `FCM: DROP FRAME` stands in edit lists; a semicolon before the frames says the same.
fn said(line: &str, addresses: &[&str]) -> Option<Said> {
    if let Some(counting) = line.trim_start().strip_prefix("FCM:") {
        return match counting.trim() {
            "DROP FRAME" => Some(Said::Drop),
            "NON-DROP FRAME" | "NON DROP FRAME" => Some(Said::NonDrop),
            _ => None,
        };
    }
    addresses
        .iter()
        .any(|address| address.contains(';'))
        .then_some(Said::Drop)
}

fn row(addresses: &[&str], almost: Option<&str>, reading: Reading) -> Result<Span, Wrong> {
    match (reading.rows_are, addresses) {
        (RowsAre::InAndOut, [from, to]) => between(from, to, reading),
        (RowsAre::InAndOut, [from, to, long]) => {
            between(from, to, reading).and_then(|span| as_long_as(span, long, reading))
        }
        (RowsAre::InAndOut, &[source_in, source_out, record_in, record_out]) => {
            pair([source_in, source_out], [record_in, record_out], reading)
        }
        (RowsAre::Durations, [long]) => duration(long, reading),
        (_, []) => Err(almost.map_or_else(nothing, incomplete)),
        (RowsAre::InAndOut, [one]) => Err(almost.map_or_else(|| lonely(one), incomplete)),
        (RowsAre::Durations, many) => Err(Wrong::new(
            format!(
                "{} time addresses stand here, and a duration is one.",
                many.len()
            ),
            "Choose in and out points, or leave one address in the row.",
        )),
        (RowsAre::InAndOut, many) => Err(Wrong::new(
            format!(
                "{} time addresses stand here, and which of them count is not clear.",
                many.len()
            ),
            "Leave in and out in the row, or the two pairs of an edit list.",
        )),
    }
}

fn nothing() -> Wrong {
    Wrong::new(
        "There is no time address in this line.",
        "Type hours, minutes, seconds and frames, such as 10:00:00:00.",
    )
}

fn lonely(one: &str) -> Wrong {
    Wrong::new(
        format!("{one} stands alone: in or out is missing."),
        "Type both, or choose durations.",
    )
}

fn incomplete(almost: &str) -> Wrong {
    let fields = almost.split([':', ';', '.']).count();
    let shown = plumbline_words::quoted(almost);
    let text = if almost.starts_with(['-', '−', '+']) {
        format!("{shown} has a sign, and time addresses have none.")
    } else {
        format!(
            "{shown} has {fields} fields of digits, and hours, minutes, seconds and frames are four."
        )
    };
    Wrong::new(text, "Type all four, such as 10:00:00:00.")
}

fn address(typed: &str, count: Count) -> Result<TimeAddress, Wrong> {
    TimeAddress::parse(typed, count)
        .map_err(|error| Wrong::new(sentence(&error.to_string()), remedy(&error.problem, count)))
}

/// The out point; with exclusive outs the midnight that ends the day is one too.
fn out_point(typed: &str, reading: Reading) -> Result<OutPoint, Wrong> {
    let count = reading.timebase.count();
    let end = typed.split([':', ';', '.']).map(str::parse::<u32>);
    if reading.outs == Outs::Exclusive && end.eq([Ok(24), Ok(0), Ok(0), Ok(0)]) {
        return Ok(OutPoint::EndOfDay(count));
    }
    address(typed, count).map(OutPoint::At)
}

fn between(from: &str, to: &str, reading: Reading) -> Result<Span, Wrong> {
    let count = reading.timebase.count();
    let in_point = address(from, count)?;
    let out_point = out_point(to, reading)?;
    let day = i64::from(count.frames_per_day());
    let from = i64::from(in_point.frame_number().0);
    let to = match out_point {
        OutPoint::EndOfDay(_) => day,
        OutPoint::At(out) => i64::from(out.frame_number().0),
    };
    let (to, note) = match reading.outs {
        Outs::Inclusive => (to + 1, ""),
        // An exclusive out at midnight is the end of the day that the in is in.
        Outs::Exclusive if to == 0 && from > 0 => {
            (day, "The out is the midnight that ends the day.")
        }
        Outs::Exclusive if to == from => (
            to,
            "In and out are the same: no frames, where outs are exclusive.",
        ),
        Outs::Exclusive => (to, ""),
    };
    if to < from {
        return Err(Wrong::new(
            format!("The out {out_point} is before the in {in_point}."),
            "Exchange them, or, where midnight was passed, split the row there into two.",
        ));
    }
    Ok(Span {
        place: Some(Place {
            from,
            to,
            in_point,
            out_point,
        }),
        length: Frames(to - from),
        note: note.to_owned(),
    })
}

/// A third address is how long the row is.
fn as_long_as(span: Span, typed: &str, reading: Reading) -> Result<Span, Wrong> {
    let count = reading.timebase.count();
    let long = in_digits(typed, count).map_err(|(text, remedy)| Wrong::new(text, remedy))?;
    if long == span.length {
        return Ok(span);
    }
    let other = match reading.outs {
        Outs::Exclusive => (span.length + Frames(1), "inclusive"),
        Outs::Inclusive => (span.length - Frames(1), "exclusive"),
    };
    let remedy = if long == other.0 {
        format!("They would agree with {} outs.", other.1)
    } else {
        "Correct one of the three.".to_owned()
    };
    Err(Wrong::new(
        format!(
            "The third address says {typed}, but from in to out it is {}.",
            in_full(span.length, count)
        ),
        remedy,
    ))
}

/// Source and record of an edit list: both are checked, one counts.
fn pair(source: [&str; 2], record: [&str; 2], reading: Reading) -> Result<Span, Wrong> {
    let [source, record] = [source, record].map(|[from, to]| between(from, to, reading));
    let (source, record) = (source?, record?);
    let (chosen, other) = match reading.pair {
        Pair::First => (source, record),
        Pair::Last => (record, source),
    };
    if chosen.length == other.length {
        return Ok(chosen);
    }
    let note = format!(
        "The other pair is {} long: the speed was changed, or one address is wrong.",
        in_full(other.length, reading.timebase.count())
    );
    Ok(Span { note, ..chosen })
}

fn duration(typed: &str, reading: Reading) -> Result<Span, Wrong> {
    let length = in_digits(typed, reading.timebase.count());
    let length = length.map_err(|(text, remedy)| Wrong::new(text, remedy))?;
    Ok(Span {
        place: None,
        length,
        note: String::new(),
    })
}

impl std::fmt::Display for OutPoint {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::At(address) => address.fmt(f),
            Self::EndOfDay(count) => {
                let digits = count.frame_digits();
                write!(f, "24:00:00{}{:0digits$}", count.separator(), 0)
            }
        }
    }
}
