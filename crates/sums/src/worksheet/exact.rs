//! A value as a line that gives it again, with nothing rounded.

use plumbline_timecode::{Fraction, SampleRate, Timebase};

use super::digits::in_full;
use super::evaluate::Rates;
use super::fault::rate_words;
use super::shown::{hertz, in_day, name, nearest};
use super::value::{Address, Length, Unit, Value};
use crate::decimal::{PLACES, decimal};

/// `10:00:03:15`, `90.5 frames at 24`, `2 frames + 1 / 3 * 1 frame`: what a line must say to come
/// to `value` on a sheet with these rates.
pub(super) fn exact(value: Value, rates: Rates) -> String {
    match value {
        Value::Number(number) => joined(None, number, str::to_owned),
        Value::Address(address) => address_again(address, rates),
        Value::Length(length) => length_again(length, rates),
    }
}

fn address_again(it: Address, rates: Rates) -> String {
    let frames = it.frames().unwrap_or(Fraction::ZERO);
    let (address, _) = in_day(nearest(Some(frames)).0, it.timebase.count());
    let at = at_timebase(it.timebase, rates);
    let first = Some(format!("{address}{at}"));
    let named = Fraction::whole(i64::from(address.frame_number().0));
    let rest = frames.checked_sub(named).unwrap_or(Fraction::ZERO);
    if rest.denominator() <= FINEST {
        let unit = Unit::Frames(it.timebase);
        return joined(first, rest, |amount| {
            format!("{amount} {}{at}", name(unit, amount))
        });
    }
    let seconds = rest.checked_div(it.timebase.rate().fraction());
    joined(first, seconds.unwrap_or(Fraction::ZERO), in_seconds)
}

fn length_again(length: Length, rates: Rates) -> String {
    let amount = length.amount().unwrap_or(Fraction::ZERO);
    if amount.denominator() > FINEST {
        let seconds = joined(None, length.seconds, in_seconds);
        return seconds + &converted_to(length.unit, rates);
    }
    let at = match length.unit {
        Unit::Full(timebase) | Unit::Frames(timebase) => at_timebase(timebase, rates),
        Unit::Samples(rate) => at_sample_rate(rate, rates),
        _ => String::new(),
    };
    if let Unit::Full(timebase) = length.unit
        && amount.denominator() == 1
    {
        let sign = if amount < Fraction::ZERO { "−" } else { "" };
        let digits = in_full(amount.numerator().unsigned_abs(), timebase.count());
        return format!("{sign}{digits} long{at}");
    }
    let sum = joined(None, amount, |amount| {
        format!("{amount} {}{at}", name(length.unit, amount))
    });
    match length.unit {
        Unit::Full(_) => sum + " in full",
        _ => sum,
    }
}

/// The finest division of a unit that a figure can be written for. Seconds are never finer.
const FINEST: i128 = 100_000_000_000_000_000;

fn in_seconds(amount: &str) -> String {
    format!("{amount} s")
}

/// What makes seconds into another unit.
fn converted_to(unit: Unit, rates: Rates) -> String {
    match unit {
        Unit::Full(timebase) => format!(" as {}", rate_words(timebase)),
        Unit::Frames(timebase) => format!(" as {} in frames", rate_words(timebase)),
        Unit::Samples(rate) => format!(" in samples{}", at_sample_rate(rate, rates)),
        other => format!(" in {}", name(other, "")),
    }
}

/// `first + 2.5 frames` or `first − 2 frames − 1 / 3 * 1 frame`; `unit` makes an amount into a
/// quantity.
fn joined(first: Option<String>, amount: Fraction, unit: impl Fn(&str) -> String) -> String {
    let (above, below) = (amount.numerator().abs(), amount.denominator());
    let size = Fraction::new(above, below).unwrap_or(Fraction::ZERO);
    let figures = decimal(size, PLACES);
    let (whole, rest) = (above / below, above % below);
    let mut terms = Vec::new();
    if figures.is_exact() {
        if first.is_none() || size != Fraction::ZERO {
            terms.push(unit(&figures.text));
        }
    } else {
        if whole > 0 {
            terms.push(unit(&whole.to_string()));
        }
        terms.push(match unit("1").as_str() {
            "1" => format!("{rest} / {below}"),
            one => format!("{rest} / {below} * {one}"),
        });
    }
    let (begun, sign) = if amount < Fraction::ZERO {
        ("−", " − ")
    } else {
        ("", " + ")
    };
    let sum = terms.join(sign);
    match first {
        None => format!("{begun}{sum}"),
        Some(first) if sum.is_empty() => first,
        Some(first) => format!("{first}{sign}{sum}"),
    }
}

fn at_timebase(timebase: Timebase, rates: Rates) -> String {
    if rates.timebase == Some(timebase) {
        String::new()
    } else {
        format!(" at {}", rate_words(timebase))
    }
}

fn at_sample_rate(rate: SampleRate, rates: Rates) -> String {
    if rates.sample_rate == Some(rate) {
        String::new()
    } else {
        format!(" at {}", hertz(rate))
    }
}
