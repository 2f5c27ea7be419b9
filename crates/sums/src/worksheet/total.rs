//! The lengths of a sheet added up, line by line.

use plumbline_timecode::Fraction;
use plumbline_words::{counted, in_letters, sentence};
use serde::Serialize;

use super::evaluate::Rates;
use super::shown::{Shown, with_other_forms};
use super::value::{Length, Origin, Unit, Value};

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

/// What became of a line in the total.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Adds {
    Added,
    Named,
    Address,
    Number,
    Fault,
}

impl Adds {
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Added => "added",
            Self::Named => {
                "not added: it has a name, so it adds where a line without a name uses it"
            }
            Self::Address => "not added: an address is a moment, not a length",
            Self::Number => "not added: a bare number is not a length",
            Self::Fault => "not added: the line has a mistake",
        }
    }
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

    /// Adds a line's value, if it is one that adds.
    pub(super) fn take(&mut self, value: Value, name: &str) -> Adds {
        let adds = match value {
            Value::Length(_) if !name.is_empty() => Adds::Named,
            Value::Length(it) if it.origin == Origin::Anywhere => Adds::Added,
            Value::Length(_) | Value::Address(_) => Adds::Address,
            Value::Number(_) => Adds::Number,
        };
        if let (Adds::Added, Value::Length(length)) = (adds, value) {
            self.sum = self.sum.and_then(|sum| sum.checked_add(length.seconds));
        }
        self.count(adds)
    }

    /// Counts a line that has no value.
    pub(super) fn pass_over(&mut self) -> Adds {
        self.count(Adds::Fault)
    }

    fn count(&mut self, adds: Adds) -> Adds {
        *match adds {
            Adds::Added => &mut self.added,
            Adds::Named => &mut self.named,
            Adds::Address | Adds::Number => &mut self.other,
            Adds::Fault => &mut self.wrong,
        } += 1;
        adds
    }

    /// What it comes to so far, in the sheet's own unit: `about 00:01:22:01 long` where that is
    /// rounded.
    pub(super) fn so_far(&self) -> String {
        let Some(shown) = self.value().map(Shown::new) else {
            return "too large or too finely divided to be kept exactly".to_owned();
        };
        match shown.rounded {
            None => shown.value,
            Some(_) => format!("about {}", shown.value),
        }
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
            how: with_other_forms(Vec::new(), value, self.rates.timebase).join("; "),
            rounded: shown.rounded.as_deref().map(sentence),
            words,
        }
    }

    fn words(&self) -> String {
        let added = match self.added {
            0 => "no line adds to the total".to_owned(),
            n => format!("{} added", lines(n)),
        };
        let left: Vec<String> = [
            (self.named, "with a name, which adds where it is used"),
            (self.other, "with an address or a bare number"),
            (self.wrong, "with a mistake"),
        ]
        .into_iter()
        .filter(|&(n, _)| n > 0)
        .map(|(n, which)| format!("{} {which}", lines(n)))
        .collect();
        if left.is_empty() {
            return sentence(&added);
        }
        format!("{} Not added: {}.", sentence(&added), left.join("; "))
    }
}

fn lines(n: usize) -> String {
    match n {
        2..=12 => format!("{} lines", in_letters(n)),
        1 => "one line".to_owned(),
        _ => counted(n as u64, "line"),
    }
}
