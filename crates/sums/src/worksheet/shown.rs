//! Values as they are shown: in figures, rounded where they must be, and how far.

use plumbline_timecode::{
    Count, Fraction, Frames, Rounding, SampleRate, TimeAddress, Timebase,
};

use super::LineKind;
use super::decimal::{PLACES, about, decimal, figures};
use super::digits::in_full;
use super::value::{Address, Length, Unit, Value};

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

/// The same length in frames of a timebase.
pub(super) fn in_frames_of(timebase: Timebase, length: Length) -> Value {
    Value::Length(Length {
        unit: Unit::Frames(timebase),
        ..length
    })
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
            }) => Self::in_full(timebase, seconds),
            Value::Length(length) => Self::amount(length),
        }
    }

    /// The nearest frame: a moment that was counted in whole samples would otherwise fall into
    /// the frame before (compare [`Rounding::Nearest`]).
    fn address(it: Address) -> Self {
        let (frame, between) = nearest(it.frames());
        let (address, _) = in_day(frame, it.timebase.count());
        Self {
            kind: LineKind::Address,
            value: address.to_string(),
            at: it.timebase.to_string(),
            rounded: off(it.timebase, between, ["moment", "later", "earlier"]),
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
    let more = if figures.left_over > Fraction::ZERO { "more" } else { "less" };
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
        Ok(up) if !exact.is_exact() => format!("{} pulled down", decimal(up.fraction(), PLACES).text),
        _ => exact.text,
    }
}

/// The same in its other forms, which end the working.
pub(super) fn also(value: Value, timebase: Option<Timebase>) -> Option<String> {
    let length = match value {
        Value::Number(_) => return None,
        Value::Address(it) => {
            let (frame, seconds) = (brief(value), figures(it.seconds));
            return Some(format!("{frame} since midnight begins {seconds} s after it"));
        }
        Value::Length(length) => length,
    };
    let seconds = brief(Value::Length(Length {
        unit: Unit::Seconds,
        ..length
    }));
    let timebase = length.unit.timebase().or(timebase);
    let frames = timebase.map(|timebase| brief(in_frames_of(timebase, length)));
    let mut forms = vec![brief(value)];
    for form in frames.into_iter().chain([seconds]) {
        if !forms.contains(&form) {
            forms.push(form);
        }
    }
    Some(forms.join(" = ") + &whole_sample(length))
}

/// A file holds whole samples only.
fn whole_sample(length: Length) -> String {
    let (Unit::Samples(_), Some(amount)) = (length.unit, length.amount()) else {
        return String::new();
    };
    let (whole, left) = nearest(Some(amount));
    if left == Fraction::ZERO {
        return String::new();
    }
    let direction = if left > Fraction::ZERO { "more" } else { "less" };
    format!("; the nearest whole sample is {whole}, and it is {} {direction}", about(left))
}

/// What the reader should know about a value.
pub(super) fn caution(value: Value) -> Option<String> {
    let timebase = match value {
        Value::Address(it) => it.timebase,
        Value::Length(it) => it.unit.timebase()?,
        Value::Number(_) => return None,
    };
    let unusual = timebase.is_unusual().then(|| {
        format!(
            "Drop-frame exists for the pulled-down rates (IEC 60461 clause 4.2.3): at {} frames a \
             second it runs 3.6 s ahead of the clock every hour.",
            timebase.rate()
        )
    });
    let Value::Address(it) = value else {
        return unusual;
    };
    let (_, days) = in_day(nearest(it.frames()).0, timebase.count());
    let midnight = match days {
        0 => return unusual,
        1 => "Past midnight: this is on the next day.".to_owned(),
        -1 => "Before midnight: this is on the day before.".to_owned(),
        2.. => format!("Past midnight: this is {days} days on."),
        _ => format!("Before midnight: this is {} days back.", -days),
    };
    Some(unusual.map_or(midnight.clone(), |unusual| format!("{midnight} {unusual}")))
}
