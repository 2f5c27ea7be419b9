//! The same in another unit or at another rate.

use std::ops::Range;

use plumbline_timecode::{Fraction, Timebase};

use super::evaluate::{Working, address};
use super::fault::{Fault, Wrong};
use super::shown::{brief, brief_at, in_frames_of, in_seconds};
use super::syntax::{Conversion, UnitWord};
use super::value::{Address, Length, Origin, Unit, Value};

impl Working<'_> {
    /// `of` is the place of what is converted, `span` that of the whole.
    pub(super) fn converted(
        &mut self,
        value: Value,
        into: Conversion,
        of: &Range<usize>,
        span: &Range<usize>,
    ) -> Result<Value, Fault> {
        match (value, into) {
            (Value::Number(_), _) => Err(Wrong::NoUnit.at(of.clone())),
            (_, Conversion::In(word)) => self.in_unit(value, word, span),
            (Value::Address(it), Conversion::As(to)) => Ok(self.same_moment(it, to)),
            (Value::Length(it), Conversion::As(to)) => Ok(self.same_length(it, to)),
            (Value::Address(it), Conversion::CountedAs(to)) => {
                let seconds = recounted(it.seconds, it.timebase, to);
                let result = address(to, seconds, span)?;
                let (from, to) = (brief_at(value), brief_at(result));
                self.steps.push(format!("{from} becomes {to}"));
                Ok(result)
            }
            (Value::Length(it), Conversion::CountedAs(to)) => self.same_frames(it, to, span),
        }
    }

    /// In another unit. What has frames of its own keeps them; an address becomes the length from
    /// midnight to it.
    fn in_unit(
        &mut self,
        value: Value,
        word: UnitWord,
        span: &Range<usize>,
    ) -> Result<Value, Fault> {
        let (own, origin) = match value {
            Value::Address(it) => (Some(it.timebase), Origin::Midnight),
            Value::Length(it) => (it.unit.timebase(), it.origin),
            Value::Number(_) => (None, Origin::Anywhere),
        };
        let (seconds, unit) = (seconds_of(value), self.unit(word, own, span)?);
        let result = Value::Length(Length {
            seconds,
            unit,
            origin,
        });
        let since = match value {
            Value::Address(_) => " since midnight",
            _ => "",
        };
        let (from, to) = match unit {
            Unit::Samples(_) => (brief_at(value), brief_at(result)),
            _ => (brief(value), brief(result)),
        };
        if from != to {
            self.steps.push(format!("{from} = {to}{since}"));
        }
        Ok(result)
    }

    fn same_moment(&mut self, it: Address, to: Timebase) -> Value {
        let result = Value::Address(Address {
            timebase: to,
            seconds: it.seconds,
        });
        let (from, to) = (brief_at(Value::Address(it)), brief_at(result));
        self.steps.push(format!("the moment of {from} is {to}"));
        result
    }

    fn same_length(&mut self, it: Length, to: Timebase) -> Value {
        let unit = match it.unit {
            Unit::Frames(_) => Unit::Frames(to),
            _ => Unit::Full(to),
        };
        let result = Length { unit, ..it };
        let forms = [it, in_seconds(it), result].map(|form| brief_at(Value::Length(form)));
        let [from, seconds, to] = &forms;
        self.steps.push(if from == seconds {
            format!("{seconds} = {to}")
        } else {
            format!("{from} = {seconds} = {to}")
        });
        Value::Length(result)
    }

    /// The same frames at another rate: the length changes.
    fn same_frames(
        &mut self,
        it: Length,
        to: Timebase,
        span: &Range<usize>,
    ) -> Result<Value, Fault> {
        let from = self.timebase(it.unit.timebase(), span)?;
        let result = Length::new(recounted(it.seconds, from, to), it.unit.at(to))
            .ok_or_else(|| Wrong::TooLarge.at(span.clone()))?;
        for length in [in_frames_of(from, it), in_frames_of(to, result)] {
            let seconds = brief(Value::Length(in_seconds(length)));
            let frames = brief_at(Value::Length(length));
            self.steps.push(format!("{frames} = {seconds}"));
        }
        Ok(Value::Length(result))
    }
}

/// The same frames, following each other at another rate.
fn recounted(seconds: Fraction, from: Timebase, to: Timebase) -> Option<Fraction> {
    let frames = seconds.checked_mul(from.rate().fraction())?;
    frames.checked_div(to.rate().fraction())
}

/// Nought for a number, which has none.
fn seconds_of(value: Value) -> Fraction {
    match value {
        Value::Address(it) => it.seconds,
        Value::Length(it) => it.seconds,
        Value::Number(_) => Fraction::ZERO,
    }
}
