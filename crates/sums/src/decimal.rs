//! Exact fractions as decimal figures, and back.

use plumbline_timecode::Fraction;

/// The most digits before the point that a figure may have: they fit 64 bits.
const WHOLE_DIGITS: usize = 18;
/// The most digits after it: a billionth.
pub(crate) const PLACES: u32 = 9;

/// A number in decimal figures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Decimal {
    /// `3599.9964`, `−0.5`: without noughts at its end.
    pub(crate) text: String,
    /// How much the exact number is more than its figures say; nought where they are all.
    pub(crate) left_over: Fraction,
}

impl Decimal {
    pub(crate) fn is_exact(&self) -> bool {
        self.left_over == Fraction::ZERO
    }
}

/// The figures of `value`, to the nearest at `places` after the point.
///
/// Denominators are bounded wherever values are made, so that all products here fit.
pub(crate) fn decimal(value: Fraction, places: u32) -> Decimal {
    let (above, below) = (value.numerator().abs(), value.denominator());
    let unit = 10_i128.pow(places);
    let rest = (above % below).saturating_mul(unit);
    let (down, left) = (rest / below, rest % below);
    let up = left >= below - left;
    let rounded = down + i128::from(up);
    let (whole, part) = (above / below + rounded / unit, rounded % unit);
    let negative = value < Fraction::ZERO;
    let left = if up { left - below } else { left };
    Decimal {
        text: written(negative && (whole, part) != (0, 0), whole, part, places),
        left_over: below
            .checked_mul(unit)
            .and_then(|below| Fraction::new(if negative { -left } else { left }, below))
            .unwrap_or(Fraction::ZERO),
    }
}

fn written(negative: bool, whole: i128, part: i128, places: u32) -> String {
    let width = usize::try_from(places).unwrap_or_default();
    let digits = if places == 0 {
        String::new()
    } else {
        format!("{part:0width$}")
    };
    let digits = digits.trim_end_matches('0');
    let sign = if negative { "−" } else { "" };
    let point = if digits.is_empty() { "" } else { "." };
    format!("{sign}{whole}{point}{digits}")
}

/// How large `value` is, to two figures that count and without its sign: `about 0.00003`.
pub(crate) fn about(value: Fraction) -> String {
    let size = if value < Fraction::ZERO {
        Fraction::ZERO.checked_sub(value).unwrap_or(value)
    } else {
        value
    };
    (0..=PLACES)
        .map(|places| {
            (
                decimal(size, places),
                Fraction::new(10, 10_i128.pow(places)),
            )
        })
        .find_map(|(shown, two_figures)| match shown.is_exact() {
            true => Some(shown.text),
            false if two_figures.is_some_and(|least| size >= least) => {
                Some(format!("about {}", shown.text))
            }
            false => None,
        })
        .unwrap_or_else(|| "less than 0.00000001".to_owned())
}

/// The whole exact value: in figures where they end, else with a fraction: `41708 1/3`.
pub(crate) fn exactly(value: Fraction) -> String {
    let shown = decimal(value, PLACES);
    if shown.is_exact() {
        return shown.text;
    }
    let (above, below) = (value.numerator().abs(), value.denominator());
    let sign = if value < Fraction::ZERO { "−" } else { "" };
    match above / below {
        0 => format!("{sign}{above}/{below}"),
        whole => format!("{sign}{whole} {}/{below}", above % below),
    }
}

/// All figures of `value`, or six places and an ellipsis.
pub(crate) fn figures(value: Fraction) -> String {
    let shown = decimal(value, 6);
    if shown.is_exact() {
        shown.text
    } else {
        shown.text + "…"
    }
}

/// Reads `90`, `3.5` or `.5`; none where there are more digits than are kept exactly.
pub(crate) fn read(text: &str) -> Option<Fraction> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let places = u32::try_from(part.len())
        .ok()
        .filter(|&places| places <= PLACES)?;
    if whole.trim_start_matches('0').len() > WHOLE_DIGITS {
        return None;
    }
    let digits: i128 = format!("0{whole}{part}").parse().ok()?;
    Fraction::new(digits, 10_i128.pow(places))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fraction(above: i128, below: i128) -> Fraction {
        Fraction::new(above, below).unwrap()
    }

    #[test]
    fn figures_are_rounded_to_the_nearest_and_keep_what_is_left() {
        let third = decimal(fraction(-1, 3), 3);
        assert_eq!(third.text, "−0.333");
        assert_eq!(third.left_over, fraction(-1, 3000));
        let up = decimal(fraction(2, 3), 3);
        assert_eq!(
            (up.text.as_str(), up.left_over),
            ("0.667", fraction(-1, 3000))
        );
        assert!(decimal(fraction(5, 2), 3).is_exact());
        assert_eq!(decimal(fraction(19_999, 10_000), 3).text, "2");
        assert_eq!(decimal(fraction(-1, 10_000), 3).text, "0");
        assert_eq!(decimal(fraction(-5, 2), 0).text, "−3");
    }

    #[test]
    fn small_differences_are_told_by_their_first_figures() {
        assert_eq!(about(fraction(-3, 100_100)), "about 0.00003");
        assert_eq!(about(fraction(1, 3)), "about 0.33");
        assert_eq!(about(fraction(-1, 5)), "0.2");
        assert_eq!(about(fraction(1, 999_999_999_999)), "less than 0.00000001");
    }

    #[test]
    fn what_has_no_end_is_shown_as_a_fraction() {
        assert_eq!(exactly(fraction(863_999_136, 5)), "172799827.2");
        assert_eq!(exactly(fraction(125_125, 3)), "41708 1/3");
        assert_eq!(exactly(fraction(-1, 3)), "−1/3");
    }

    #[test]
    fn what_is_read_is_exact_or_refused() {
        assert_eq!(read("3599.9964"), Some(fraction(35_999_964, 10_000)));
        assert_eq!(read(".5"), Some(fraction(1, 2)));
        assert_eq!(read("0.1234567890"), None);
        assert_eq!(read(&"9".repeat(19)), None);
        assert_eq!(
            read(&format!("{}7", "0".repeat(300))),
            Some(Fraction::whole(7))
        );
    }
}
