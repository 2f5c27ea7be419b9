//! The lengths of a sheet added up, line by line.

use plumbline_timecode::Fraction;
use plumbline_words::{counted, in_letters};
use serde::Serialize;

use super::LineKind;
use super::evaluate::Rates;
use super::shown::{Shown, also};
use super::value::{Length, Unit, Value};

/// What the lengths of a sheet come to.
///
/// Every line that is a length adds, but for those that have a name: a length with a name adds
/// where it is used, in a line without one, so that none is added twice.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Total {
    /// In hours, minutes, seconds and frames of the sheet's rate, or in seconds where that is not
    /// right. Empty where no line adds.
    pub value: String,
    /// The same in frames and in seconds.
    pub how: String,
    /// What was rounded and what is left over; none where the value is exact.
    pub rounded: Option<String>,
    /// What was added and what was not, in a sentence or two.
    pub words: String,
}

/// The total as far as it has been added up.
#[derive(Debug, Clone)]
pub(super) struct Running {
    unit: Unit,
    rates: Rates,
    /// None once it no longer fits.
    sum: Option<Fraction>,
    added: usize,
    named: usize,
    other: usize,
    wrong: usize,
}

impl Running {
    pub(super) fn new(rates: Rates) -> Self {
        Self {
            unit: rates.timebase.map_or(Unit::Seconds, Unit::Full),
            rates,
            sum: Some(Fraction::ZERO),
            added: 0,
            named: 0,
            other: 0,
            wrong: 0,
        }
    }

    /// Adds a line's value, if it is one that adds, and says what became of it.
    pub(super) fn take(&mut self, value: Value, name: &str) -> &'static str {
        match value {
            Value::Length(length) if name.is_empty() => {
                self.added += 1;
                self.sum = self.sum.and_then(|sum| sum.checked_add(length.seconds));
                "added"
            }
            Value::Length(_) => {
                self.named += 1;
                "not added: it has a name, so it adds where a line without a name uses it"
            }
            Value::Address(_) => {
                self.other += 1;
                "not added: an address is a moment, not a length"
            }
            Value::Number(_) => {
                self.other += 1;
                "not added: a bare number is not a length"
            }
        }
    }

    /// Counts a line that has no value.
    pub(super) fn pass_over(&mut self) -> &'static str {
        self.wrong += 1;
        "not added: the line is wrong"
    }

    /// What it comes to so far, in the sheet's own unit.
    pub(super) fn so_far(&self) -> String {
        self.value().map_or_else(
            || "too large or too finely divided to be kept exactly".to_owned(),
            |value| Shown::new(value).value,
        )
    }

    fn value(&self) -> Option<Value> {
        Length::new(self.sum, self.unit).map(Value::Length)
    }

    pub(super) fn finish(self) -> Total {
        let words = self.words();
        if self.added == 0 {
            return Total {
                words,
                ..Total::default()
            };
        }
        let Some(value) = self.value() else {
            return Total {
                value: self.so_far(),
                words,
                ..Total::default()
            };
        };
        let shown = Shown::new(value);
        Total {
            value: shown.value,
            how: also(value, self.rates.timebase).unwrap_or_default(),
            rounded: shown.rounded,
            words,
        }
    }

    fn words(&self) -> String {
        let added = match self.added {
            0 => "No line adds to the total".to_owned(),
            1 => "One line added".to_owned(),
            more => format!("{} added", capital(&lines(more))),
        };
        let left: Vec<String> = [
            (self.named, "with a name, which adds where it is used"),
            (self.other, "with an address or a number"),
            (self.wrong, "that is wrong"),
        ]
        .into_iter()
        .filter(|&(lines, _)| lines > 0)
        .map(|(n, which)| format!("{} {}", lines(n), several(n, which)))
        .collect();
        if left.is_empty() {
            return added + ".";
        }
        format!("{added}. Not added: {}.", left.join("; "))
    }
}

fn lines(n: usize) -> String {
    match n {
        2..=12 => format!("{} lines", in_letters(n)),
        1 => "one line".to_owned(),
        _ => counted(n as u64, "line"),
    }
}

/// `which`, said of several lines.
fn several(n: usize, which: &'static str) -> String {
    if n == 1 {
        return which.to_owned();
    }
    match which {
        "that is wrong" => "that are wrong".to_owned(),
        other => other.to_owned(),
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}
