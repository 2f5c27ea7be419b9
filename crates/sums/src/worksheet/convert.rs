//! The same in another unit or at another rate.

use std::ops::Range;

use plumbline_timecode::{Fraction, Timebase};

use super::evaluate::{Working, address, length};
use super::fault::{Fault, Wrong};
use super::shown::{brief, in_frames_of};
use super::syntax::{Conversion, UnitWord};
use super::value::{Address, Length, Unit, Value};

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
                self.steps.push(format!(
                    "{} at {} is {} at {to}",
                    brief(value),
                    it.timebase,
                    brief(result)
                ));
                Ok(result)
            }
            (Value::Length(it), Conversion::CountedAs(to)) => {
                let from = self.timebase(it.unit.timebase(), span)?;
                let result = length(recounted(it.seconds, from, to), it.unit.at(to), span)?;
                self.steps.push(format!(
                    "{} last {} at {}, {} at {to}",
                    brief(in_frames_of(from, it)),
                    brief(in_seconds(it.seconds)),
                    from,
                    brief(in_seconds(seconds_of(result)))
                ));
                Ok(result)
            }
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
        let (own, since) = match value {
            Value::Address(it) => (Some(it.timebase), " since midnight"),
            Value::Length(it) => (it.unit.timebase(), ""),
            Value::Number(_) => (None, ""),
        };
        let (seconds, unit) = (seconds_of(value), self.unit(word, own, span)?);
        let result = Value::Length(Length { seconds, unit });
        let (from, to) = (brief(value), brief(result));
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
        self.steps.push(format!(
            "{} at {} begins {} after midnight, which is {} at {to}",
            brief(Value::Address(it)),
            it.timebase,
            brief(in_seconds(it.seconds)),
            brief(result)
        ));
        result
    }

    fn same_length(&mut self, it: Length, to: Timebase) -> Value {
        let unit = match it.unit {
            Unit::Frames(_) => Unit::Frames(to),
            _ => Unit::Full(to),
        };
        let result = Value::Length(Length { unit, ..it });
        let seconds = brief(in_seconds(it.seconds));
        let own = brief(Value::Length(it));
        if own != seconds {
            self.steps.push(format!("{own} = {seconds}"));
        }
        self.steps
            .push(format!("{seconds} = {} at {to}", brief(result)));
        result
    }
}

/// The same frames, following each other at another rate.
fn recounted(seconds: Fraction, from: Timebase, to: Timebase) -> Option<Fraction> {
    let frames = seconds.checked_mul(from.rate().fraction())?;
    frames.checked_div(to.rate().fraction())
}

fn in_seconds(seconds: Fraction) -> Value {
    Value::Length(Length {
        seconds,
        unit: Unit::Seconds,
    })
}

/// Nought for a number, which has none.
fn seconds_of(value: Value) -> Fraction {
    match value {
        Value::Address(it) => it.seconds,
        Value::Length(it) => it.seconds,
        Value::Number(_) => Fraction::ZERO,
    }
}
