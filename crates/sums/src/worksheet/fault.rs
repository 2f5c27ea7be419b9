//! What is wrong with a line: where, what was expected and what to do.

use std::fmt;
use std::ops::Range;

use plumbline_timecode::{AddressError, ParseProblem, Rate, Timebase};
use plumbline_words::alternatives;
use thiserror::Error;

use super::value::Value;

/// What is wrong, at a place in the line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fault {
    pub(super) wrong: Wrong,
    /// Bytes of the line, on character boundaries.
    pub(super) span: Range<usize>,
}

/// What is wrong with a line.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub(super) enum Wrong {
    #[error("{found}")]
    Syntax { found: Found, expected: String },
    #[error("this line has {found} characters; {most} are read")]
    TooLong { found: usize, most: usize },
    #[error("parentheses and from are nested too deeply")]
    TooDeep { most: usize },
    #[error("“{0}” has a meaning of its own in a line, so it cannot be a name")]
    ReservedName(String),
    #[error("“{name}” has been given in line {line} already")]
    NameTaken { name: String, line: usize },
    #[error("nothing is called “{0}”")]
    NameUnknown(String),
    #[error("“{name}” is given only further down, in line {line}")]
    NameLater { name: String, line: usize },
    #[error("“{name}” has no value, because line {line} is wrong")]
    NameBroken { name: String, line: usize },
    #[error("this figure has too many digits to be kept exactly")]
    TooManyDigits,
    #[error("{0} is not a frame rate")]
    FrameRate(String),
    #[error("{0} is never counted drop-frame")]
    NoDropFrame(Rate),
    #[error("{0} is not a sample rate")]
    SampleRate(String),
    #[error("{fields} fields are no address: hours, minutes, seconds and frames are four")]
    Fields { fields: usize },
    #[error("a point or comma does not belong between the fields of an address or length")]
    Point,
    #[error("{0}")]
    Digits(ParseProblem),
    #[error("the ; says drop-frame, but {0} is counted here without it")]
    Semicolon(Timebase),
    #[error(
        "no length is written so: {frames} frames are {after}, one fewer are {before}, and \
             drop-frame counting skips what would be between them"
    )]
    SkippedLength {
        frames: u128,
        before: String,
        after: String,
    },
    #[error("{}", Combined::of(*operator, *left, *right).text)]
    Combination {
        operator: Operator,
        left: Kind,
        right: Kind,
    },
    #[error("from and to stand before addresses, and this is {0}")]
    NotAnAddress(Kind),
    #[error("an address has no opposite: a minus before it means nothing")]
    NegatedAddress,
    #[error("a bare number has no unit, so it cannot be shown in another")]
    NoUnit,
    #[error("the addresses are of two clocks: one is at {left}, the other at {right}")]
    TwoClocks { left: Timebase, right: Timebase },
    #[error("nothing can be divided by 0")]
    DivisionByZero,
    #[error("the result is too large, or too finely divided, to be worked out exactly")]
    TooLarge,
    #[error("this needs a frame rate, and the one at the top of the sheet is not right")]
    NoRate,
    #[error("this needs a sample rate, and the one at the top of the sheet is not right")]
    NoSampleRate,
}

/// What stands where it cannot.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub(super) enum Found {
    #[error("the line ends too early")]
    End,
    #[error("a comma has no place in a line")]
    Comma,
    #[error("“{0}” cannot stand here")]
    Other(String),
}

/// A sign between two values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Operator {
    Plus,
    Minus,
    Times,
    Over,
}

/// What a value is, as far as arithmetic minds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Address,
    Length,
    Number,
}

impl Wrong {
    /// At a place.
    pub(super) fn at(self, span: Range<usize>) -> Fault {
        Fault { wrong: self, span }
    }

    /// What would have been right, without an article of its own sentence: "a length".
    pub(super) fn expected(&self) -> String {
        match self {
            Self::Syntax { expected, .. } => expected.clone(),
            Self::TooLong { most, .. } => format!("a line of at most {most} characters"),
            Self::TooDeep { most } => format!("at most {most} of them open at once"),
            Self::ReservedName(_) | Self::NameTaken { .. } => "another name".to_owned(),
            Self::NameUnknown(_) | Self::NameLater { .. } => {
                "a name that is given further up, a figure or (".to_owned()
            }
            Self::NameBroken { line, .. } => format!("a value in line {line}"),
            Self::TooManyDigits => "18 digits before the point and 9 after it at most".to_owned(),
            Self::FrameRate(_) => rates(),
            Self::NoDropFrame(_) => "29.97, 59.94 or 119.88, or no “drop”".to_owned(),
            Self::SampleRate(_) | Self::NoSampleRate => {
                "samples a second, such as 48000 or 48 kHz".to_owned()
            }
            Self::Fields { .. } | Self::Point => {
                "four fields with colons, such as 10:00:00:00".to_owned()
            }
            Self::Digits(problem) => digits_expected(problem),
            Self::Semicolon(_) => "a colon".to_owned(),
            Self::SkippedLength { before, after, .. } => format!("{before} or {after}"),
            Self::Combination {
                operator,
                left,
                right,
            } => Combined::of(*operator, *left, *right).expected.to_owned(),
            Self::NotAnAddress(_) => "an address, such as 10:00:00:00".to_owned(),
            Self::NegatedAddress => "a length or a number after the minus".to_owned(),
            Self::NoUnit => "a length or an address before “in”, “as” or “counted as”".to_owned(),
            Self::TwoClocks { left, .. } => format!("two addresses at {left}"),
            Self::DivisionByZero => "anything but 0".to_owned(),
            Self::TooLarge => "a length of at most 10000000000 s".to_owned(),
            Self::NoRate => "a frame rate at the top".to_owned(),
        }
    }

    /// What to do now, in a sentence.
    pub(super) fn remedy(&self) -> String {
        match self {
            Self::Syntax { found, expected } => match found {
                Found::Comma => "Write 1500 for fifteen hundred and 1.5 for one and a half.",
                Found::End => return format!("Go on with {expected}."),
                Found::Other(_) => "Put # before what is only a note.",
            }
            .to_owned(),
            Self::TooLong { .. } | Self::TooDeep { .. } => {
                "Give a part of it a name on a line of its own, and use that.".to_owned()
            }
            Self::ReservedName(name) => format!("Call it “my_{name}”, for instance."),
            Self::NameTaken { name, .. } => format!("Call it “{name}_2”, for instance."),
            Self::NameUnknown(name) => {
                format!("Give it a value further up: {name} = 90 frames. Put # before a note.")
            }
            Self::NameLater { line, .. } => format!("Move line {line} above this one."),
            Self::NameBroken { line, .. } => format!("Put line {line} right."),
            Self::TooManyDigits => "Leave out the digits that mean nothing.".to_owned(),
            Self::FrameRate(_) => {
                "Write the rate as the trade names it, such as 23.976.".to_owned()
            }
            Self::NoDropFrame(rate) => format!("Write {rate} alone."),
            Self::SampleRate(_) => "Write it in hertz, without a comma.".to_owned(),
            Self::Fields { .. } => FIELDS_REMEDY.to_owned(),
            Self::Point => "Write 10:00:00:00, with ; before the frames for drop-frame; a length \
                            with a fraction is 1 min 30.5 s."
                .to_owned(),
            Self::Digits(problem) => digits_remedy(problem),
            Self::Semicolon(_) => {
                "Write a colon, or say that it is drop-frame: choose that count at the top, or \
                 write “at 29.97 drop” after the digits."
                    .to_owned()
            }
            Self::SkippedLength { after, .. } => {
                format!("Write {after} long. A minute by the clock is written 1 min.")
            }
            Self::Combination {
                operator,
                left,
                right,
            } => Combined::of(*operator, *left, *right).remedy.to_owned(),
            Self::NotAnAddress(_) => "For a sum of lengths use + and −.".to_owned(),
            Self::NegatedAddress => "If it is a length, write long after it.".to_owned(),
            Self::NoUnit => "Give it one: 90 frames in seconds.".to_owned(),
            Self::TwoClocks { left, .. } => {
                format!("Convert one of them first: (… as {}).", rate_words(*left))
            }
            Self::DivisionByZero => "Divide by another number.".to_owned(),
            Self::TooLarge => "Work with smaller figures, or with fewer digits.".to_owned(),
            Self::NoRate | Self::NoSampleRate => {
                "Put it right at the top, or say one in the line.".to_owned()
            }
        }
    }
}

const FIELDS_REMEDY: &str =
    "Write all four: 00:10:00:00. A length may also be written with its units: 10 min 30 s.";

/// What there is to say about two values that a sign does not join.
struct Combined {
    text: &'static str,
    expected: &'static str,
    remedy: &'static str,
}

impl Combined {
    fn of(operator: Operator, left: Kind, right: Kind) -> Self {
        use Kind::{Address, Length, Number};
        use Operator::{Minus, Over, Plus, Times};
        let [text, expected, remedy] = match (operator, left, right) {
            (Plus, Address, Address) => [
                "two addresses cannot be added up: each is a moment, and only a length can be \
                 added to a moment",
                "a length",
                "If this is a length, write long after it, as in 00:10:00:00 long.",
            ],
            (Minus, Length, Address) => [
                "an address cannot be taken from a length: it is a moment, and has none",
                "a length",
                "Put the address first, or write long after it if it is a length.",
            ],
            (Plus | Minus, _, _) => [
                "a bare number cannot be added to or taken from a length or an address: it does \
                 not say what it counts",
                "a length",
                "Give it a unit: 5 frames, 5 s.",
            ],
            (Times | Over, Address, _) | (Times | Over, _, Address) => [
                "an address cannot be multiplied or divided: it is a moment, not a length",
                "a length or a number",
                "If it is a length, write long after it, as in 00:10:00:00 long.",
            ],
            (Times, _, _) => [
                "two lengths cannot be multiplied",
                "a bare number",
                "Leave out the unit of one of them.",
            ],
            (Over, Number, _) => [
                "a bare number cannot be divided by a length",
                "a bare number",
                "Put the length first, or write half a second as 0.5 s.",
            ],
            (Over, Length, _) => ["these two cannot be divided", "a length or a number", ""],
        };
        Self {
            text,
            expected,
            remedy,
        }
    }
}

fn digits_expected(problem: &ParseProblem) -> String {
    match problem {
        ParseProblem::Address(AddressError::OutOfRange { field, count, .. }) => {
            format!("{field} from 00 to {:02}", field.largest(*count))
        }
        ParseProblem::Address(AddressError::Skipped { before, after, .. }) => {
            format!("{before} or {after}")
        }
        ParseProblem::TooManyFields { .. } | ParseProblem::TooLong { .. } => {
            "four fields with colons, such as 10:00:00:00".to_owned()
        }
        ParseProblem::TooManyDigits { most, .. } => format!("{most} digits at most"),
        _ => "digits".to_owned(),
    }
}

fn digits_remedy(problem: &ParseProblem) -> String {
    match problem {
        ParseProblem::Address(AddressError::OutOfRange { field, count, .. }) => {
            format!("Write {field} from 00 to {:02}.", field.largest(*count))
        }
        ParseProblem::Address(AddressError::Skipped { after, .. }) => {
            format!("Write {after}, which is the frame that follows.")
        }
        ParseProblem::TooManyFields { .. } => FIELDS_REMEDY.to_owned(),
        _ => "Write all four fields with two digits each: 10:00:00:00.".to_owned(),
    }
}

/// A timebase as it is written in a line: `29.97 drop`.
pub(super) fn rate_words(timebase: Timebase) -> String {
    let drop = if timebase.count().is_drop() {
        " drop"
    } else {
        ""
    };
    format!("{}{drop}", timebase.rate())
}

fn rates() -> String {
    alternatives(&Rate::ALL.map(Rate::name))
}

impl Value {
    pub(super) fn kind(self) -> Kind {
        match self {
            Self::Address(_) => Kind::Address,
            Self::Length(_) => Kind::Length,
            Self::Number(_) => Kind::Number,
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Address => "an address",
            Self::Length => "a length",
            Self::Number => "a bare number",
        })
    }
}
