//! Rows whose value is a number.

use plumbline_timecode::{Fraction, Rounding};

use crate::Row;
use crate::decimal::{about, decimal, exactly};

/// What a number is rounded to, if it must be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Step {
    /// The nearest whole one: `sample`.
    Whole(&'static str),
    /// So many places after the point.
    Places(u32),
}

/// A row with a number, and with what its rounding left over.
pub(crate) fn figure(
    label: impl Into<String>,
    value: Fraction,
    step: Step,
    how: impl Into<String>,
) -> Row {
    let (places, to) = match step {
        Step::Whole(unit) => (0, format!("the nearest {unit}")),
        Step::Places(places) => (places, format!("{places} places")),
    };
    let shown = decimal(value, places);
    let row = Row::new(label, shown.text.as_str(), how);
    if shown.is_exact() {
        return row;
    }
    row.rounded(format!("rounded to {to}: {}", off(value, shown.left_over)))
}

/// "exactly it is 172799827.2, 0.2 more".
pub(crate) fn off(value: Fraction, left_over: Fraction) -> String {
    let more = if left_over > Fraction::ZERO {
        "more"
    } else {
        "less"
    };
    format!(
        "exactly it is {}, {} {more}",
        exactly(value),
        about(left_over)
    )
}

/// A length of time as a clock shows it, to the microsecond: `00:59:59.996400`; hours go on past
/// 24.
pub(crate) fn clock(seconds: Fraction) -> String {
    let microseconds = product(seconds, Fraction::whole(1_000_000)).round(Rounding::Nearest);
    let sign = if microseconds < 0 { "−" } else { "" };
    let all = microseconds.unsigned_abs();
    let (whole, rest) = (all / 1_000_000, all % 1_000_000);
    let (h, m, s) = (whole / 3600, whole / 60 % 60, whole % 60);
    format!("{sign}{h:02}:{m:02}:{s:02}.{rest:06}")
}

/// The same inside a sentence: an ellipsis stands for figures left out.
pub(crate) fn clock_words(seconds: Fraction) -> String {
    let more = if decimal(seconds, 6).is_exact() {
        ""
    } else {
        "…"
    };
    format!("{}{more}", clock(seconds))
}

/// A row with a length of time as a clock shows it.
pub(crate) fn clock_figure(
    label: impl Into<String>,
    seconds: Fraction,
    how: impl Into<String>,
) -> Row {
    let row = Row::new(label, clock(seconds), how);
    let left = decimal(seconds, 6).left_over;
    if left == Fraction::ZERO {
        return row;
    }
    row.rounded(format!(
        "rounded to the nearest microsecond: {}",
        off(seconds, left)
    ))
}

/// The product.
pub(crate) fn product(a: Fraction, b: Fraction) -> Fraction {
    bounded(a.checked_mul(b))
}

/// The quotient by what is not nought.
pub(crate) fn quotient(a: Fraction, b: Fraction) -> Fraction {
    bounded(a.checked_div(b))
}

/// The sum.
pub(crate) fn sum(a: Fraction, b: Fraction) -> Fraction {
    bounded(a.checked_add(b))
}

/// The difference.
pub(crate) fn difference(a: Fraction, b: Fraction) -> Fraction {
    bounded(a.checked_sub(b))
}

/// What can be typed is bounded so that every result fits 128 bits.
fn bounded(result: Option<Fraction>) -> Fraction {
    debug_assert!(result.is_some(), "a typed number is not bounded enough");
    result.unwrap_or(Fraction::ZERO)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_rounded_stands_beside_it() {
        let samples = Fraction::new(863_999_136, 5).unwrap();
        let row = figure("", samples, Step::Whole("sample"), "");
        assert_eq!(row.value, "172799827");
        let rounded = row.rounded.unwrap();
        assert_eq!(
            rounded,
            "rounded to the nearest sample: exactly it is 172799827.2, 0.2 more"
        );
        assert_eq!(
            figure("", Fraction::whole(5), Step::Places(3), "").rounded,
            None
        );
    }

    #[test]
    fn a_clock_goes_on_past_a_day_and_below_nought() {
        assert_eq!(clock(Fraction::whole(90_061)), "25:01:01.000000");
        assert_eq!(clock(Fraction::new(-3, 1000).unwrap()), "−00:00:00.003000");
        assert_eq!(
            clock(Fraction::new(8_999_991, 2500).unwrap()),
            "00:59:59.996400"
        );
    }
}
