//! Time addresses as people type them.

use std::ops::Range;

use thiserror::Error;

use crate::{AddressError, Count, Field, TimeAddress};

/// A text that names no frame: what is wrong, and where in the text.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{problem}")]
pub struct ParseError {
    /// What is wrong, and what would be right.
    #[source]
    pub problem: ParseProblem,
    /// The bytes of the text that are wrong, on character boundaries: what to underline.
    pub span: Range<usize>,
}

/// What is wrong with a text that should name a frame.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum ParseProblem {
    /// There is nothing.
    #[error("no time address was typed: hours, minutes, seconds, frames, such as 01:00:00:00")]
    Empty,
    /// A character that has no place in an address.
    #[error(
        "'{}' in \"{shown}\" is neither a digit nor one of the separators : ; . ,",
        found.escape_debug()
    )]
    Character {
        /// The character.
        found: char,
        /// The text, shortened where it is long.
        shown: String,
    },
    /// More than four fields.
    #[error("{fields} fields are too many: hours, minutes, seconds and frames are four")]
    TooManyFields {
        /// How many there are.
        fields: usize,
    },
    /// A separator with no digits on one side.
    #[error("the {0} have no digits: type 0 where there are none")]
    NoDigits(Field),
    /// More digits than the field has.
    #[error("the {field} \"{digits}\" have more digits than the {most} that are allowed")]
    TooManyDigits {
        /// Which field.
        field: Field,
        /// Its digits, shortened where there are many.
        digits: String,
        /// How many are allowed.
        most: usize,
    },
    /// A row of digits without separators that is too long for an address.
    #[error(
        "{digits} digits are too many: hours, minutes, seconds and frames without separators are \
         {most} at most"
    )]
    TooLong {
        /// How many there are.
        digits: usize,
        /// How many are allowed.
        most: usize,
    },
    /// A semicolon, where frames are not counted drop-frame.
    #[error(
        "the ; says drop-frame, but frames are counted as {count}, {}: write {plain}",
        without_drop_because(*count)
    )]
    DropSeparator {
        /// How frames are counted.
        count: Count,
        /// The same address with colons.
        plain: TimeAddress,
    },
    /// Well-formed, but there is no such frame.
    #[error(transparent)]
    Address(AddressError),
}

fn without_drop_because(count: Count) -> &'static str {
    match count.with_drop() {
        Some(_) => "not drop-frame",
        None => "where there is no drop-frame",
    }
}

/// The digits of one field and where they stand.
#[derive(Debug, Clone, Copy)]
struct Part<'a> {
    digits: &'a str,
    at: usize,
}

impl Part<'_> {
    fn span(&self) -> Range<usize> {
        self.at..self.at + self.digits.len()
    }

    fn fails(&self, problem: ParseProblem) -> ParseError {
        ParseError {
            problem,
            span: self.span(),
        }
    }
}

const FIELDS: [Field; 4] = [Field::Hours, Field::Minutes, Field::Seconds, Field::Frames];

impl TimeAddress {
    /// Reads an address as people type it, counted as `count` says.
    ///
    /// * Between the fields stands `:`, `;`, `.` or `,`; leading noughts may be left out:
    ///   `1:2:3:4`.
    /// * Without separators digits are read in pairs from the right: `01020304`. At 120 frames a
    ///   second the frames are the last three.
    /// * What is left out on the left is nought: `12` is 12 frames, `1:00` a second.
    /// * A `;` says drop-frame and is refused where `count` is not. The other separators say
    ///   nothing, so `01:00:00:00` may be typed for drop-frame too.
    ///
    /// ```
    /// use plumbline_timecode::{Count, TimeAddress};
    /// assert_eq!(TimeAddress::parse("1.2.3.4", Count::F25)?.to_string(), "01:02:03:04");
    /// assert_eq!(TimeAddress::parse("1000", Count::F30Drop)?.to_string(), "00:00:10;00");
    ///
    /// let wrong = TimeAddress::parse("10:00:00:25", Count::F25).unwrap_err();
    /// assert_eq!(wrong.to_string(), "frames 25 do not exist at 25 frames a second: 00 to 24");
    /// assert_eq!(wrong.span, 9..11);
    /// # Ok::<(), plumbline_timecode::ParseError>(())
    /// ```
    pub fn parse(text: &str, count: Count) -> Result<Self, ParseError> {
        check_characters(text)?;
        let parts = parts(text, count)?;
        let address = address(&parts, count)?;
        check_separator(text, address)?;
        Ok(address)
    }
}

const fn is_separator(character: char) -> bool {
    matches!(character, ':' | ';' | '.' | ',')
}

fn check_characters(text: &str) -> Result<(), ParseError> {
    let typed = text.trim();
    let start = text.len() - text.trim_start().len();
    if typed.is_empty() {
        return Err(ParseError {
            problem: ParseProblem::Empty,
            span: 0..text.len(),
        });
    }
    match typed
        .char_indices()
        .find(|&(_, c)| !c.is_ascii_digit() && !is_separator(c))
    {
        None => Ok(()),
        Some((at, found)) => Err(ParseError {
            problem: ParseProblem::Character {
                found,
                shown: shortened(typed),
            },
            span: start + at..start + at + found.len_utf8(),
        }),
    }
}

/// The fields from left to right, frames last, at most four.
fn parts(text: &str, count: Count) -> Result<Vec<Part<'_>>, ParseError> {
    let typed = text.trim();
    let at = text.len() - text.trim_start().len();
    if !typed.contains(is_separator) {
        return pairs(Part { digits: typed, at }, count);
    }
    let fields = typed.split(is_separator).count();
    if fields > FIELDS.len() {
        let problem = ParseProblem::TooManyFields { fields };
        return Err(Part { digits: typed, at }.fails(problem));
    }
    let parts = typed.split(is_separator).scan(at, |next, digits| {
        let part = Part { digits, at: *next };
        *next += digits.len() + 1;
        Some(part)
    });
    Ok(parts.collect())
}

/// Digits without separators, cut into fields from the right.
fn pairs(run: Part<'_>, count: Count) -> Result<Vec<Part<'_>>, ParseError> {
    let most = 6 + count.frame_digits();
    if run.digits.len() > most {
        return Err(run.fails(ParseProblem::TooLong {
            digits: run.digits.len(),
            most,
        }));
    }
    let mut parts = Vec::with_capacity(FIELDS.len());
    let (mut left, mut width) = (run.digits, count.frame_digits());
    while !left.is_empty() {
        let cut = left.len().saturating_sub(width);
        parts.insert(
            0,
            Part {
                digits: &left[cut..],
                at: run.at + cut,
            },
        );
        left = &left[..cut];
        width = 2;
    }
    Ok(parts)
}

fn address(parts: &[Part<'_>], count: Count) -> Result<TimeAddress, ParseError> {
    let mut values = [0; FIELDS.len()];
    let omitted = FIELDS.len() - parts.len();
    for ((part, field), value) in parts
        .iter()
        .zip(&FIELDS[omitted..])
        .zip(&mut values[omitted..])
    {
        *value = digits(part, *field, count)?;
    }
    let [hours, minutes, seconds, frames] = values;
    TimeAddress::new(count, hours, minutes, seconds, frames).map_err(|error| {
        let wrong = match error {
            AddressError::OutOfRange { field, .. } => FIELDS
                .iter()
                .position(|&each| each == field)
                .and_then(|at| parts.get(at - omitted)),
            _ => parts.last(),
        };
        ParseError {
            problem: ParseProblem::Address(error),
            span: wrong.map_or(0..0, Part::span),
        }
    })
}

fn digits(part: &Part<'_>, field: Field, count: Count) -> Result<u8, ParseError> {
    let most = if field == Field::Frames {
        count.frame_digits()
    } else {
        2
    };
    if part.digits.is_empty() {
        return Err(part.fails(ParseProblem::NoDigits(field)));
    }
    if part.digits.len() > most {
        let digits = shortened(part.digits);
        return Err(part.fails(ParseProblem::TooManyDigits {
            field,
            digits,
            most,
        }));
    }
    let value = part
        .digits
        .bytes()
        .fold(0, |value, digit| value * 10 + u32::from(digit - b'0'));
    // Three digits may name more frames than a byte holds.
    u8::try_from(value).map_err(|_| {
        part.fails(ParseProblem::Address(AddressError::OutOfRange {
            field,
            value,
            count,
        }))
    })
}

fn check_separator(text: &str, address: TimeAddress) -> Result<(), ParseError> {
    match text.find(';') {
        Some(at) if !address.count().is_drop() => Err(ParseError {
            problem: ParseProblem::DropSeparator {
                count: address.count(),
                plain: address,
            },
            span: at..at + 1,
        }),
        _ => Ok(()),
    }
}

/// At most 24 characters of a text, for messages.
fn shortened(text: &str) -> String {
    match text.char_indices().nth(24) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}
