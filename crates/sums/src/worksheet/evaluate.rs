//! From what a line says to what it comes to, with the working.

use std::collections::HashMap;
use std::ops::Range;

use plumbline_timecode::{Fraction, SampleRate, Timebase};

use super::digits;
use super::fault::{Fault, Operator, Wrong};
use super::syntax::{Expression, Meaning, Node, Quantity, UnitWord};
use super::value::{self, Address, Length, Unit, Value};

/// What a line is worked out with where it says nothing else.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Rates {
    /// None where the sheet's is not right.
    pub(super) timebase: Option<Timebase>,
    pub(super) sample_rate: Option<SampleRate>,
}

/// What names stand for, by their small letters.
pub(super) type Names = HashMap<String, Named>;

/// What a name stands for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Named {
    /// The line that gives it, counted from 1.
    pub(super) line: usize,
    pub(super) value: Meant,
}

#[derive(Debug, Clone, Copy)]
pub(super) enum Meant {
    /// The line that gives it has not been reached.
    Later,
    /// That line is wrong.
    Broken,
    Known(Value),
}

/// The working of one line.
#[derive(Debug)]
pub(super) struct Working<'a> {
    pub(super) rates: Rates,
    pub(super) names: &'a Names,
    /// What was done, in order.
    pub(super) steps: Vec<String>,
    /// What the reader should know about the result.
    pub(super) cautions: Vec<String>,
}

impl Working<'_> {
    pub(super) fn value(&mut self, expression: &Expression) -> Result<Value, Fault> {
        let span = &expression.span;
        match &expression.node {
            Node::Midnight => {
                let timebase = self.timebase(None, span)?;
                address(timebase, Some(Fraction::ZERO), span)
            }
            Node::Clock {
                digits,
                meaning,
                timebase,
            } => self.clock(digits, *meaning, *timebase, span),
            Node::Length(quantities) => self.length(quantities),
            Node::Number(number) => Ok(Value::Number(*number)),
            Node::Name(name) => self.named(name, span),
            Node::Negated(of) => self.negated(of, span),
            Node::Joined {
                left,
                operator,
                right,
            } => {
                let values = (self.value(left)?, self.value(right)?);
                self.joined(values, *operator, [&left.span, &right.span])
            }
            Node::Between { from, to } => {
                let (start, end) = (self.moment(from)?, self.moment(to)?);
                self.between(start, end, span)
            }
            Node::Converted { of, into } => {
                let value = self.value(of)?;
                self.converted(value, *into, &of.span, span)
            }
        }
    }

    /// The rate that is said, or the line's.
    pub(super) fn timebase(
        &self,
        said: Option<Timebase>,
        span: &Range<usize>,
    ) -> Result<Timebase, Fault> {
        said.or(self.rates.timebase)
            .ok_or_else(|| Wrong::NoRate.at(span.clone()))
    }

    /// A unit by its word; its frames run as `own` does, where that is said.
    pub(super) fn unit(
        &self,
        word: UnitWord,
        own: Option<Timebase>,
        span: &Range<usize>,
    ) -> Result<Unit, Fault> {
        Ok(match word {
            UnitWord::Hours => Unit::Hours,
            UnitWord::Minutes => Unit::Minutes,
            UnitWord::Seconds => Unit::Seconds,
            UnitWord::Milliseconds => Unit::Milliseconds,
            UnitWord::Full => Unit::Full(self.timebase(own, span)?),
            UnitWord::Frames(said) => Unit::Frames(self.timebase(said.or(own), span)?),
            UnitWord::Samples(said) => said
                .or(self.rates.sample_rate)
                .map(Unit::Samples)
                .ok_or_else(|| Wrong::NoSampleRate.at(span.clone()))?,
        })
    }

    fn clock(
        &mut self,
        text: &str,
        meaning: Meaning,
        said: Option<Timebase>,
        span: &Range<usize>,
    ) -> Result<Value, Fault> {
        let timebase = self.timebase(said, span)?;
        let frames = match meaning {
            Meaning::Address => digits::address(text, timebase),
            Meaning::Length => digits::length(text, timebase),
        };
        let frames = frames.map_err(|fault| {
            let place = fault.span.start + span.start..fault.span.end + span.start;
            fault.wrong.at(place)
        })?;
        let seconds = frames.checked_div(timebase.rate().fraction());
        match meaning {
            Meaning::Address => address(timebase, seconds, span),
            Meaning::Length => length(seconds, Unit::Full(timebase), span),
        }
    }

    /// Quantities side by side are added up.
    fn length(&mut self, quantities: &[Quantity]) -> Result<Value, Fault> {
        let mut sum: Option<(Value, Range<usize>)> = None;
        for Quantity { amount, unit, span } in quantities {
            let length = Length::of(*amount, self.unit(*unit, None, span)?)
                .map(Value::Length)
                .ok_or_else(|| Wrong::TooLarge.at(span.clone()))?;
            sum = Some(match sum {
                None => (length, span.clone()),
                Some((so_far, before)) => {
                    let spans = [&before, span];
                    let sum = self.joined((so_far, length), Operator::Plus, spans)?;
                    (sum, before.start..span.end)
                }
            });
        }
        // The grammar has one at least.
        Ok(sum.map_or(Value::Number(Fraction::ZERO), |(length, _)| length))
    }

    fn named(&self, name: &str, span: &Range<usize>) -> Result<Value, Fault> {
        let wrong = match self.names.get(&name.to_lowercase()) {
            None => Wrong::NameUnknown(name.to_owned()),
            Some(&Named { line, value }) => {
                let name = name.to_owned();
                match value {
                    Meant::Known(value) => return Ok(value),
                    Meant::Later => Wrong::NameLater { name, line },
                    Meant::Broken => Wrong::NameBroken { name, line },
                }
            }
        };
        Err(wrong.at(span.clone()))
    }

    fn negated(&mut self, of: &Expression, span: &Range<usize>) -> Result<Value, Fault> {
        let minus = |value: Fraction| Fraction::ZERO.checked_sub(value);
        match self.value(of)? {
            Value::Address(_) => Err(Wrong::NegatedAddress.at(span.clone())),
            Value::Length(it) => length(minus(it.seconds), it.unit, span),
            Value::Number(it) => number(minus(it), span),
        }
    }

    /// The value of something that must be an address.
    fn moment(&mut self, expression: &Expression) -> Result<Address, Fault> {
        match self.value(expression)? {
            Value::Address(address) => Ok(address),
            other => Err(Wrong::NotAnAddress(other.kind()).at(expression.span.clone())),
        }
    }
}

/// An address, if it is not too far from midnight.
pub(super) fn address(
    timebase: Timebase,
    seconds: Option<Fraction>,
    span: &Range<usize>,
) -> Result<Value, Fault> {
    Address::new(timebase, seconds)
        .map(Value::Address)
        .ok_or_else(|| Wrong::TooLarge.at(span.clone()))
}

/// A length, if it is not too long.
pub(super) fn length(
    seconds: Option<Fraction>,
    unit: Unit,
    span: &Range<usize>,
) -> Result<Value, Fault> {
    Length::new(seconds, unit)
        .map(Value::Length)
        .ok_or_else(|| Wrong::TooLarge.at(span.clone()))
}

/// A bare number, if it is not too large.
pub(super) fn number(value: Option<Fraction>, span: &Range<usize>) -> Result<Value, Fault> {
    value::number(value)
        .map(Value::Number)
        .ok_or_else(|| Wrong::TooLarge.at(span.clone()))
}
