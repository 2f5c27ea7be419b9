//! One line of the sheet, as it is shown.

use std::ops::Range;

use plumbline_words::sentence;
use serde::Serialize;

use super::evaluate::{Meant, Names, Rates, Working};
use super::exact::exact;
use super::fault::{Fault, Wrong};
use super::shown::{Shown, cautions, with_other_forms};
use super::syntax::Statement;
use super::total::{Adds, Running};
use super::value::Value;

/// What one line comes to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Line {
    /// What its result is.
    pub kind: LineKind,
    /// The name that it gives to its result; empty where it gives none.
    pub name: String,
    /// The result as it is shown: `10:00:03:15`, `00:01:00:00 long`, `86.4 frames`. Empty where
    /// there is none.
    pub value: String,
    /// The rate at which the result stands: `29.97 drop-frame`, `48000 Hz`; empty where it needs
    /// none.
    pub at: String,
    /// A line that gives the result again exactly, on a sheet with the same rates.
    pub exact: String,
    /// How it was got, in a line.
    pub how: String,
    /// What was rounded and what is left over; none where what is shown is exact.
    pub rounded: Option<String>,
    /// What one should know about the result, in sentences.
    pub cautions: Vec<String>,
    /// Whether the line adds to the total, and if not why; empty where there is nothing to add.
    pub adds: String,
    /// The total after this line; empty where the line does not add.
    pub total: String,
    /// What is wrong with the line.
    pub fault: Option<LineFault>,
}

/// What a line's result is.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub enum LineKind {
    /// None: the line is blank or a note.
    #[default]
    Nothing,
    /// A time address; also one that was converted to another rate.
    Address,
    /// A length in hours, minutes, seconds and frames.
    Duration,
    /// A length in frames.
    Frames,
    /// A length in hours, minutes, seconds or milliseconds.
    Seconds,
    /// A length in samples.
    Samples,
    /// A bare number.
    Number,
    /// None: something is wrong with the line.
    Fault,
}

/// What is wrong with a line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct LineFault {
    /// What was found and what is wrong with it, in a sentence.
    pub text: String,
    /// What would be right there: `a length`.
    pub expected: String,
    /// What to do, in a sentence.
    pub remedy: String,
    /// Where it stands.
    pub span: Span,
}

/// A place in a line: from `start` up to, not including, `end`. Both are equal where something is
/// missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Span {
    /// In UTF-16 units from the beginning of the line, as JavaScript counts.
    pub start: u32,
    /// In UTF-16 units.
    pub end: u32,
    /// In bytes of UTF-8 from the beginning of the line, on a character boundary.
    pub start_byte: u32,
    /// In bytes.
    pub end_byte: u32,
}

/// The most steps of the working that are told: of a long line the last ones.
const MOST_STEPS: usize = 6;

/// Works out the line that was read from `text`, keeps its name and adds it up.
pub(super) fn work_out(
    read: Result<Option<Statement>, Fault>,
    text: &str,
    rates: Rates,
    names: &mut Names,
    total: &mut Running,
) -> Line {
    let statement = match read {
        Ok(Some(statement)) => statement,
        Ok(None) => return Line::blank(),
        Err(fault) => return Line::wrong(&fault, text, total),
    };
    let name = statement.name.as_ref().map(|(name, _)| name.as_str());
    let mut working = Working {
        rates: Rates {
            timebase: statement.timebase.or(rates.timebase),
            ..rates
        },
        names,
        steps: Vec::new(),
        cautions: Vec::new(),
    };
    let result = working.value(&statement.expression);
    let line = match &result {
        Ok(value) => Line::right(*value, name.unwrap_or_default(), working, rates, total),
        Err(fault) => Line::wrong(fault, text, total),
    };
    if let Some(named) = name.and_then(|name| names.get_mut(&name.to_lowercase())) {
        named.value = result.map_or(Meant::Broken, Meant::Known);
    }
    line
}

/// A name can be given once.
pub(super) fn check_name(
    statement: Option<Statement>,
    names: &Names,
    line: usize,
) -> Result<Option<Statement>, Fault> {
    let name = statement.as_ref().and_then(|read| read.name.as_ref());
    match name.map(|(name, span)| (name, span, names.get(&name.to_lowercase()))) {
        Some((name, span, Some(first))) if first.line != line => Err(Wrong::NameTaken {
            name: name.clone(),
            line: first.line,
        }
        .at(span.clone())),
        _ => Ok(statement),
    }
}

impl Line {
    fn blank() -> Self {
        Self {
            kind: LineKind::Nothing,
            name: String::new(),
            value: String::new(),
            at: String::new(),
            exact: String::new(),
            how: String::new(),
            rounded: None,
            cautions: Vec::new(),
            adds: String::new(),
            total: String::new(),
            fault: None,
        }
    }

    fn right(
        value: Value,
        name: &str,
        working: Working<'_>,
        rates: Rates,
        total: &mut Running,
    ) -> Self {
        let shown = Shown::new(value);
        let adds = total.take(value, name);
        let mut told = working.cautions;
        told.extend(cautions(value));
        told.dedup();
        Self {
            kind: shown.kind,
            name: name.to_owned(),
            value: shown.value,
            at: shown.at,
            exact: exact(value, rates),
            how: how(with_other_forms(
                working.steps,
                value,
                working.rates.timebase,
            )),
            rounded: shown.rounded.as_deref().map(sentence),
            cautions: told,
            adds: sentence(adds.words()),
            total: if adds == Adds::Added {
                total.so_far()
            } else {
                String::new()
            },
            fault: None,
        }
    }

    fn wrong(fault: &Fault, text: &str, total: &mut Running) -> Self {
        Self {
            kind: LineKind::Fault,
            adds: sentence(total.pass_over().words()),
            fault: Some(LineFault {
                text: sentence(&fault.wrong.to_string()),
                expected: fault.wrong.expected(),
                remedy: fault.wrong.remedy(),
                span: Span::new(&fault.span, text),
            }),
            ..Self::blank()
        }
    }
}

fn how(mut steps: Vec<String>) -> String {
    if steps.len() > MOST_STEPS {
        steps.drain(..steps.len() - MOST_STEPS);
        steps.insert(0, "…".to_owned());
    }
    steps.join("; ")
}

impl Span {
    /// Of bytes of a line, on character boundaries.
    fn new(bytes: &Range<usize>, line: &str) -> Self {
        let units = |byte: usize| {
            let before = line.get(..byte).unwrap_or(line);
            small(before.encode_utf16().count())
        };
        Self {
            start: units(bytes.start),
            end: units(bytes.end),
            start_byte: small(bytes.start),
            end_byte: small(bytes.end),
        }
    }
}

fn small(place: usize) -> u32 {
    u32::try_from(place).unwrap_or(u32::MAX)
}
