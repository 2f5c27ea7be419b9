//! Values as they are shown: in figures, rounded where they must be, and how far.

use plumbline_timecode::{Count, Fraction, Frames, Rounding, SampleRate, TimeAddress, Timebase};

use super::LineKind;
use super::digits::in_full;
use super::value::{Address, Length, Origin, Unit, Value};
use crate::decimal::{PLACES, about, decimal, figures};

/// A value, ready to be shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Shown {
    pub(super) kind: LineKind,
    pub(super) value: String,
    /// The rate that it stands at, where it has one.
    pub(super) at: String,
    /// What was rounded and what is left over.
    pub(super) rounded: Option<String>,
}

/// A value in a few words, for the working: `frame 900000`, `90 frames`, `3.6 s`. An ellipsis
/// stands for figures left out.
pub(super) fn brief(value: Value) -> String {
    match value {
        Value::Number(number) => figures(number),
        Value::Address(address) => format!("frame {}", all(address.frames())),
        Value::Length(length) => {
            let amount = all(length.amount());
            format!("{amount} {}", name(length.unit, &amount))
        }
    }
}

/// The bounds of values keep every product with a rate within 128 bits.
fn all(amount: Option<Fraction>) -> String {
    amount.map_or_else(|| "…".to_owned(), figures)
}

/// `1 frame`, `1.5 frames`.
pub(super) fn name(unit: Unit, amount: &str) -> &'static str {
    let one = amount.trim_start_matches('−') == "1";
    match unit {
        Unit::Full(_) | Unit::Frames(_) if one => "frame",
        Unit::Full(_) | Unit::Frames(_) => "frames",
        Unit::Samples(_) if one => "sample",
        Unit::Samples(_) => "samples",
        Unit::Hours => "h",
        Unit::Minutes => "min",
        Unit::Seconds => "s",
        Unit::Milliseconds => "ms",
    }
}

/// The same with the rate at which its frames or samples follow each other.
pub(super) fn brief_at(value: Value) -> String {
    let at = match value {
        Value::Address(it) => Some(it.timebase.to_string()),
        Value::Length(it) => match it.unit {
            Unit::Samples(rate) => Some(format!("{} Hz", hertz(rate))),
            other => other.timebase().map(|timebase| timebase.to_string()),
        },
        Value::Number(_) => None,
    };
    brief(value) + &at.map_or_else(String::new, |at| format!(" at {at}"))
}

/// The same length in frames of a timebase.
pub(super) fn in_frames_of(timebase: Timebase, length: Length) -> Length {
    Length {
        unit: Unit::Frames(timebase),
        ..length
    }
}

/// The same length in seconds.
pub(super) fn in_seconds(length: Length) -> Length {
    Length {
        unit: Unit::Seconds,
        ..length
    }
}

impl Shown {
    pub(super) fn new(value: Value) -> Self {
        match value {
            Value::Number(number) => Self {
                kind: LineKind::Number,
                at: String::new(),
                ..rounded_figures(number, 9, "")
            },
            Value::Address(address) => Self::address(address),
            Value::Length(Length {
                unit: Unit::Full(timebase),
                seconds,
                ..
            }) => Self::in_full(timebase, seconds),
            Value::Length(length) => Self::amount(length),
        }
    }

    /// The nearest frame: a moment that was counted in whole samples would otherwise fall into
    /// the frame before (compare [`Rounding::Nearest`]).
    fn address(it: Address) -> Self {
        let (frame, between) = nearest(it.frames());
        let address = |frame| in_day(frame, it.timebase.count()).0.to_string();
        let in_progress = if between < Fraction::ZERO {
            format!(", while {} is in progress", address(frame - 1))
        } else {
            String::new()
        };
        Self {
            kind: LineKind::Address,
            value: address(frame),
            at: it.timebase.to_string(),
            rounded: off(it.timebase, between, ["moment", "later", "earlier"])
                .map(|off| off + &in_progress),
        }
    }

    fn in_full(timebase: Timebase, seconds: Fraction) -> Self {
        let (frames, between) = nearest(seconds.checked_mul(timebase.rate().fraction()));
        let sign = if frames < 0 { "−" } else { "" };
        let digits = in_full(frames.unsigned_abs(), timebase.count());
        Self {
            kind: LineKind::Duration,
            value: format!("{sign}{digits} long"),
            at: timebase.to_string(),
            rounded: off(timebase, between, ["length", "more", "less"]),
        }
    }

    fn amount(length: Length) -> Self {
        let (kind, places, at) = match length.unit {
            Unit::Full(timebase) => (LineKind::Duration, 3, timebase.to_string()),
            Unit::Frames(timebase) => (LineKind::Frames, 3, timebase.to_string()),
            Unit::Samples(rate) => (LineKind::Samples, 3, format!("{} Hz", hertz(rate))),
            Unit::Milliseconds => (LineKind::Seconds, 3, String::new()),
            Unit::Hours | Unit::Minutes | Unit::Seconds => (LineKind::Seconds, 6, String::new()),
        };
        let amount = length.amount().unwrap_or(Fraction::ZERO);
        let name = name(length.unit, &decimal(amount, places).text);
        Self {
            kind,
            at,
            ..rounded_figures(amount, places, name)
        }
    }
}

/// Figures with a unit, and what they leave out.
fn rounded_figures(amount: Fraction, places: u32, unit: &str) -> Shown {
    let figures = decimal(amount, places);
    let value = format!("{} {unit}", figures.text).trim_end().to_owned();
    let more = if figures.left_over > Fraction::ZERO {
        "more"
    } else {
        "less"
    };
    let left = about(figures.left_over);
    let rounded = format!("rounded to {places} places: exactly it is {amount} {unit}");
    let rounded = format!("{}, {left} {more}", rounded.trim_end());
    Shown {
        kind: LineKind::Number,
        at: String::new(),
        rounded: (!figures.is_exact()).then_some(rounded),
        value,
    }
}

/// The nearest whole number of frames, and how much more it exactly is.
pub(super) fn nearest(frames: Option<Fraction>) -> (i128, Fraction) {
    let frames = frames.unwrap_or(Fraction::ZERO);
    let whole = frames.round(Rounding::Nearest);
    let between = Fraction::new(whole, 1).and_then(|whole| frames.checked_sub(whole));
    (whole, between.unwrap_or(Fraction::ZERO))
}

/// The address of a frame since midnight of the first day, and how many days on it is.
pub(super) fn in_day(frame: i128, count: Count) -> (TimeAddress, i128) {
    let day = i128::from(count.frames_per_day());
    let within = i64::try_from(frame.rem_euclid(day)).unwrap_or_default();
    let address = TimeAddress::midnight(count).plus_wrapping(Frames(within));
    (address, frame.div_euclid(day))
}

/// What rounding to a whole frame left out.
fn off(timebase: Timebase, frames: Fraction, [what, more, less]: [&str; 3]) -> Option<String> {
    if frames == Fraction::ZERO {
        return None;
    }
    let direction = if frames > Fraction::ZERO { more } else { less };
    let milliseconds = frames
        .checked_div(timebase.rate().fraction())
        .and_then(|seconds| seconds.checked_mul(Fraction::whole(1000)))
        .unwrap_or(Fraction::ZERO);
    Some(format!(
        "rounded to the nearest frame: the exact {what} is {} frames ({} ms) {direction}",
        about(frames),
        about(milliseconds)
    ))
}

/// A sample rate as it is written in a line: `48000`, `48000 pulled down`.
pub(super) fn hertz(rate: SampleRate) -> String {
    let exact = decimal(rate.fraction(), PLACES);
    match rate.pulled_up() {
        Ok(up) if !exact.is_exact() => {
            format!("{} pulled down", decimal(up.fraction(), PLACES).text)
        }
        _ => exact.text,
    }
}

/// The working with the result in its other forms at its end.
pub(super) fn with_other_forms(
    mut steps: Vec<String>,
    value: Value,
    timebase: Option<Timebase>,
) -> Vec<String> {
    let last = steps.pop();
    let (result, forms) = match value {
        Value::Number(_) => return steps.into_iter().chain(last).collect(),
        Value::Address(it) => {
            let begins = format!("which begins {} s after midnight", figures(it.seconds));
            steps.push(last.unwrap_or_else(|| brief(value)) + ", " + &begins);
            return steps;
        }
        Value::Length(it) => (brief(value), forms(it, timebase)),
    };
    let mut told = last.unwrap_or(result);
    for form in forms {
        // `90 frames` has been told by `90 frames at 25` too.
        let is_told = |part: &str| {
            let rest = part.strip_prefix(form.as_str());
            rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
        };
        if !told.split(" = ").any(is_told) {
            told = format!("{told} = {form}");
        }
    }
    steps.push(told);
    steps.extend(match value {
        Value::Length(it) => whole_sample(it),
        _ => None,
    });
    steps
}

/// A length in frames and in seconds; one that is told from midnight began as a frame's number.
fn forms(length: Length, timebase: Option<Timebase>) -> impl Iterator<Item = String> {
    let timebase = length.unit.timebase().or(timebase);
    let timebase = timebase.filter(|_| length.origin == Origin::Anywhere);
    let frames = timebase.map(|timebase| in_frames_of(timebase, length));
    frames
        .into_iter()
        .chain([in_seconds(length)])
        .map(|form| brief(Value::Length(form)))
}

/// A file holds whole samples only.
fn whole_sample(length: Length) -> Option<String> {
    let (Unit::Samples(_), Some(amount)) = (length.unit, length.amount()) else {
        return None;
    };
    let (whole, left) = nearest(Some(amount));
    let direction = if left > Fraction::ZERO {
        "less"
    } else {
        "more"
    };
    let left = (left != Fraction::ZERO).then(|| about(left))?;
    Some(format!(
        "the nearest whole sample, {whole}, is {left} {direction}"
    ))
}

/// What the reader should know about a value.
pub(super) fn cautions(value: Value) -> Vec<String> {
    let (timebase, others) = match value {
        Value::Address(it) => (Some(it.timebase), other_day(it)),
        Value::Length(it) => (it.unit.timebase(), nearly_pulled(it.unit)),
        Value::Number(_) => (None, None),
    };
    let unusual = timebase.filter(|timebase| timebase.is_unusual());
    let unusual = unusual.map(|timebase| {
        format!(
            "Drop-frame exists for the pulled-down rates (IEC 60461 clause 4.2.3): at {} frames a \
             second it runs 3.6 s ahead of the clock every hour.",
            timebase.rate()
        )
    });
    others.into_iter().chain(unusual).collect()
}

fn other_day(it: Address) -> Option<String> {
    let (_, days) = in_day(nearest(it.frames()).0, it.timebase.count());
    match days {
        0 => None,
        1 => Some("Past midnight: this is on the next day.".to_owned()),
        -1 => Some("Before midnight: this is on the day before.".to_owned()),
        2.. => Some(format!("Past midnight: this is {days} days on.")),
        _ => Some(format!("Before midnight: this is {} days back.", -days)),
    }
}

/// Sample rates that are pulled down, in hertz.
const PULLED: [u32; 6] = [44_100, 48_000, 88_200, 96_000, 176_400, 192_000];

/// 47952 Hz is what 48000 Hz pulled down is called, but is slower by a millionth.
fn nearly_pulled(unit: Unit) -> Option<String> {
    let Unit::Samples(rate) = unit else {
        return None;
    };
    let meant = PULLED.into_iter().find(|&hertz| {
        let pulled = SampleRate::hertz(hertz).and_then(SampleRate::pulled_down);
        let off = pulled
            .ok()
            .and_then(|pulled| pulled.fraction().checked_sub(rate.fraction()));
        let one = Fraction::whole(-1)..=Fraction::whole(1);
        off.is_some_and(|off| off != Fraction::ZERO && one.contains(&off))
    })?;
    Some(format!(
        "{0} Hz is taken as it is written. {meant} Hz pulled down by 1.001 is not quite the same: \
         write {meant} pulled down.",
        hertz(rate)
    ))
}
