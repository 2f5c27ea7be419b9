//! What a line of the worksheet comes to: an address, a length or a number, all exact.

use plumbline_timecode::{Fraction, SampleRate, Timebase};

/// Exact, and not yet rounded to anything that is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Value {
    Address(Address),
    Length(Length),
    Number(Fraction),
}

/// A moment on the clock of a timebase.
///
/// It need not be the beginning of a frame, and it remembers the day, so that what goes past
/// midnight comes back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Address {
    pub(super) timebase: Timebase,
    /// Real seconds since 00:00:00:00 of the first day.
    pub(super) seconds: Fraction,
}

/// A length of real time, and what it is shown in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Length {
    pub(super) seconds: Fraction,
    pub(super) unit: Unit,
    pub(super) origin: Origin,
}

/// Where a length begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Origin {
    Anywhere,
    /// It is an address, told as the length from midnight to it.
    Midnight,
}

/// What a length is shown in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    /// Hours, minutes, seconds and frames.
    Full(Timebase),
    Frames(Timebase),
    Samples(SampleRate),
    Hours,
    Minutes,
    Seconds,
    Milliseconds,
}

/// Keeps every product of a length with a rate within 128 bits: 10^10 s are three centuries.
const LONGEST: i64 = 10_000_000_000;
const FINEST: i128 = 1_000_000_000_000_000;
/// The same for bare numbers: as many digits as a figure may have.
const LARGEST: i64 = 999_999_999_999_999_999;

impl Address {
    /// None where it is too far from midnight, or too finely divided.
    pub(super) fn new(timebase: Timebase, seconds: Option<Fraction>) -> Option<Self> {
        let seconds = within(seconds, LONGEST, FINEST)?;
        Some(Self { timebase, seconds })
    }

    /// Frames since midnight of the first day; none where they do not fit.
    pub(super) fn frames(self) -> Option<Fraction> {
        self.seconds.checked_mul(self.timebase.rate().fraction())
    }
}

impl Length {
    /// None where it is too long or too finely divided.
    pub(super) fn new(seconds: Option<Fraction>, unit: Unit) -> Option<Self> {
        let seconds = within(seconds, LONGEST, FINEST)?;
        Some(Self {
            seconds,
            unit,
            origin: Origin::Anywhere,
        })
    }

    /// So many of a unit.
    pub(super) fn of(amount: Fraction, unit: Unit) -> Option<Self> {
        Self::new(amount.checked_div(unit.per_second()), unit)
    }

    /// How many of its unit it is.
    pub(super) fn amount(self) -> Option<Fraction> {
        self.seconds.checked_mul(self.unit.per_second())
    }
}

impl Unit {
    /// How many there are in a second.
    pub(super) fn per_second(self) -> Fraction {
        match self {
            Self::Full(timebase) | Self::Frames(timebase) => timebase.rate().fraction(),
            Self::Samples(rate) => rate.fraction(),
            Self::Hours => one_in(3600),
            Self::Minutes => one_in(60),
            Self::Seconds => Fraction::whole(1),
            Self::Milliseconds => Fraction::whole(1000),
        }
    }

    /// How its frames run and are counted, where it has any.
    pub(super) fn timebase(self) -> Option<Timebase> {
        match self {
            Self::Full(timebase) | Self::Frames(timebase) => Some(timebase),
            _ => None,
        }
    }

    /// What a sum of two lengths is shown in: in their unit, if they share it; in full if one of
    /// them has frames; else in seconds.
    pub(super) fn joined(self, other: Self) -> Self {
        match (self, other) {
            (left, right) if left == right => left,
            (left, right) => left
                .timebase()
                .or(right.timebase())
                .map_or(Self::Seconds, Self::Full),
        }
    }

    /// The same at another rate: only frames notice.
    pub(super) fn at(self, timebase: Timebase) -> Self {
        match self {
            Self::Full(_) => Self::Full(timebase),
            Self::Frames(_) => Self::Frames(timebase),
            other => other,
        }
    }
}

/// A number that is not too large nor too finely divided.
pub(super) fn number(value: Option<Fraction>) -> Option<Fraction> {
    within(value, LARGEST, i128::from(LARGEST))
}

fn within(value: Option<Fraction>, largest: i64, finest: i128) -> Option<Fraction> {
    value.filter(|&value| {
        let bounds = Fraction::whole(-largest)..=Fraction::whole(largest);
        bounds.contains(&value) && value.denominator() <= finest
    })
}

/// `1 / number`, for a number above 0.
fn one_in(number: i64) -> Fraction {
    Fraction::whole(1)
        .checked_div(Fraction::whole(number))
        .unwrap_or(Fraction::ZERO)
}
