//! What signs do to values: the table in the module's documentation.

use std::ops::Range;

use plumbline_timecode::Fraction;

use super::evaluate::{Working, address, length, number};
use super::fault::{Fault, Kind, Operator, Wrong};
use super::shown::{brief, brief_at, in_frames_of};
use super::value::{Address, Length, Unit, Value};

impl Working<'_> {
    /// Two values with a sign between them; `spans` are their places.
    pub(super) fn joined(
        &mut self,
        (left, right): (Value, Value),
        operator: Operator,
        spans: [&Range<usize>; 2],
    ) -> Result<Value, Fault> {
        use Operator::{Minus, Over, Plus, Times};
        let span = &(spans[0].start..spans[1].end);
        match (left, operator, right) {
            (Value::Number(a), _, Value::Number(b)) => self.numbers(a, operator, b, spans),
            (Value::Length(a), Plus | Minus, Value::Length(b)) => {
                self.lengths(a, operator, b, span)
            }
            (Value::Address(at), Plus | Minus, Value::Length(by)) => {
                self.moved(at, operator, by, span)
            }
            (Value::Length(by), Plus, Value::Address(at)) => self.moved(at, Plus, by, span),
            (Value::Address(a), Minus, Value::Address(b)) => {
                self.apart(b, a, span).map(Value::Length)
            }
            (Value::Length(it), Times, Value::Number(by))
            | (Value::Number(by), Times, Value::Length(it)) => {
                let result = length(it.seconds.checked_mul(by), it.unit, span)?;
                Ok(self.step(left, operator, right, result))
            }
            (Value::Length(it), Over, Value::Number(by)) => {
                let seconds = it.seconds.checked_div(divisor(by, spans[1])?);
                let result = length(seconds, it.unit, span)?;
                Ok(self.step(left, operator, right, result))
            }
            (Value::Length(a), Over, Value::Length(b)) => {
                let times = a.seconds.checked_div(divisor(b.seconds, spans[1])?);
                let result = number(times, span)?;
                Ok(self.step(left, operator, right, result))
            }
            _ => Err(not_joined(left.kind(), operator, right.kind(), spans)),
        }
    }

    /// From one address to another, which is on the next day if it is earlier.
    pub(super) fn between(
        &mut self,
        from: Address,
        to: Address,
        span: &Range<usize>,
    ) -> Result<Value, Fault> {
        let apart = self.apart(from, to, span)?;
        if apart.seconds >= Fraction::ZERO {
            return Ok(Value::Length(apart));
        }
        let day = Fraction::whole(i64::from(from.timebase.count().frames_per_day()));
        let day = Length::of(day, apart.unit).ok_or_else(|| Wrong::TooLarge.at(span.clone()))?;
        self.cautions.push(
            "The second address is earlier than the first, so it is taken to be on the next day."
                .to_owned(),
        );
        self.lengths(apart, Operator::Plus, day, span)
    }

    fn numbers(
        &mut self,
        a: Fraction,
        operator: Operator,
        b: Fraction,
        spans: [&Range<usize>; 2],
    ) -> Result<Value, Fault> {
        let result = match operator {
            Operator::Plus => a.checked_add(b),
            Operator::Minus => a.checked_sub(b),
            Operator::Times => a.checked_mul(b),
            Operator::Over => a.checked_div(divisor(b, spans[1])?),
        };
        let result = number(result, &(spans[0].start..spans[1].end))?;
        Ok(self.step(Value::Number(a), operator, Value::Number(b), result))
    }

    fn lengths(
        &mut self,
        a: Length,
        operator: Operator,
        b: Length,
        span: &Range<usize>,
    ) -> Result<Value, Fault> {
        self.mind_rates(a.unit, b.unit);
        let unit = a.unit.joined(b.unit);
        let result = length(added(a.seconds, operator, b.seconds), unit, span)?;
        // In one unit, so that the sum can be followed.
        let same = |it: Length| Value::Length(Length { unit, ..it });
        for it in [a, b] {
            if brief(Value::Length(it)) != brief(same(it)) {
                let (it, same) = (brief_at(Value::Length(it)), brief(same(it)));
                self.steps.push(format!("{it} = {same}"));
            }
        }
        Ok(self.step(same(a), operator, same(b), result))
    }

    /// An address, so much later or earlier.
    fn moved(
        &mut self,
        at: Address,
        operator: Operator,
        by: Length,
        span: &Range<usize>,
    ) -> Result<Value, Fault> {
        self.mind_rates(Unit::Frames(at.timebase), by.unit);
        let result = address(at.timebase, added(at.seconds, operator, by.seconds), span)?;
        let frames = Value::Length(in_frames_of(at.timebase, by));
        if brief(frames) != brief(Value::Length(by)) {
            let it = brief_at(Value::Length(by));
            self.steps.push(format!("{it} = {}", brief_at(frames)));
        }
        Ok(self.step(Value::Address(at), operator, frames, result))
    }

    /// From one address to another; below 0 where that is earlier.
    fn apart(&mut self, from: Address, to: Address, span: &Range<usize>) -> Result<Length, Fault> {
        if from.timebase != to.timebase {
            let (left, right) = (to.timebase, from.timebase);
            return Err(Wrong::TwoClocks { left, right }.at(span.clone()));
        }
        let seconds = to.seconds.checked_sub(from.seconds);
        let result = Length::new(seconds, Unit::Full(from.timebase))
            .ok_or_else(|| Wrong::TooLarge.at(span.clone()))?;
        let (to, from) = (Value::Address(to), Value::Address(from));
        self.step(to, Operator::Minus, from, Value::Length(result));
        Ok(result)
    }

    /// Tells a step of the working, and gives its result.
    fn step(&mut self, left: Value, operator: Operator, right: Value, result: Value) -> Value {
        let (left, right, sum) = (brief(left), brief(right), brief(result));
        let sign = operator.sign();
        self.steps.push(format!("{left} {sign} {right} = {sum}"));
        result
    }

    /// Says so where frames of two rates meet.
    fn mind_rates(&mut self, left: Unit, right: Unit) {
        let (Some(left), Some(right)) = (left.timebase(), right.timebase()) else {
            return;
        };
        if left.rate() != right.rate() {
            let (left, right) = (left.rate(), right.rate());
            self.cautions.push(format!(
                "Frames at {left} and frames at {right} meet in this line: they are reckoned by \
                 their real length."
            ));
        }
    }
}

impl Operator {
    fn sign(self) -> char {
        match self {
            Self::Plus => '+',
            Self::Minus => '−',
            Self::Times => '×',
            Self::Over => '÷',
        }
    }
}

/// The caller has plus or minus.
fn added(a: Fraction, operator: Operator, b: Fraction) -> Option<Fraction> {
    match operator {
        Operator::Minus => a.checked_sub(b),
        _ => a.checked_add(b),
    }
}

fn divisor(value: Fraction, span: &Range<usize>) -> Result<Fraction, Fault> {
    if value == Fraction::ZERO {
        Err(Wrong::DivisionByZero.at(span.clone()))
    } else {
        Ok(value)
    }
}

/// The fault stands at the value that would have to be another.
fn not_joined(left: Kind, operator: Operator, right: Kind, spans: [&Range<usize>; 2]) -> Fault {
    let scaling = matches!(operator, Operator::Times | Operator::Over);
    let left_is_wrong = if scaling {
        left == Kind::Address
    } else {
        left == Kind::Number
    };
    let span = if left_is_wrong { spans[0] } else { spans[1] };
    Wrong::Combination {
        operator,
        left,
        right,
    }
    .at(span.clone())
}
