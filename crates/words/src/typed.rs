//! Reading what was typed into a field.

use plumbline_timecode::Fraction;

use crate::Problem;

/// Most digits that a typed number may have, before and after its point.
const DIGITS_AT_MOST: usize = 9;

/// How much of a typed text is shown.
const SHOWN: usize = 24;

/// What one of a few words stands for.
///
/// ```
/// # use plumbline_words::choice;
/// assert_eq!(choice("outs", "inclusive", &[("exclusive", 0), ("inclusive", 1)]), Ok(1));
/// ```
pub fn choice<T: Copy>(field: &str, typed: &str, words: &[(&str, T)]) -> Result<T, Problem> {
    let found = words.iter().find(|(word, _)| *word == typed.trim());
    found.map(|&(_, meaning)| meaning).ok_or_else(|| {
        let words: Vec<&str> = words.iter().map(|&(word, _)| word).collect();
        Problem::new(
            field,
            format!("{} is not one of the choices.", quoted(typed)),
            format!("Choose {}.", alternatives(&words)),
        )
    })
}

/// A decimal number, exactly: a sign (also −), digits, and a point or comma with digits after it.
pub fn decimal(typed: &str) -> Option<Fraction> {
    let typed = typed.trim();
    let (sign, digits) = match typed.strip_prefix(['-', '−']) {
        Some(digits) => (-1, digits),
        None => (1, typed.strip_prefix('+').unwrap_or(typed)),
    };
    let (whole, rest) = digits.split_once(['.', ',']).unwrap_or((digits, "0"));
    let number = whole_number(whole)? * ten_to(rest.len()) + whole_number(rest)?;
    Fraction::new(sign * number, ten_to(rest.len()))
}

/// A whole number without a sign.
pub fn whole_number(digits: &str) -> Option<i128> {
    let is_number = (1..=DIGITS_AT_MOST).contains(&digits.len())
        && digits.bytes().all(|digit| digit.is_ascii_digit());
    digits.parse().ok().filter(|_| is_number)
}

fn ten_to(digits: usize) -> i128 {
    (0..digits.min(DIGITS_AT_MOST)).fold(1, |product, _| product * 10)
}

/// A typed text in quotes, shortened where it is long, and without characters that can't be seen.
pub fn quoted(typed: &str) -> String {
    let typed = typed.trim();
    let shown: String = typed
        .chars()
        .take(SHOWN)
        .map(|c| if c.is_control() { '\u{FFFD}' } else { c })
        .collect();
    let more = if typed.chars().nth(SHOWN).is_some() {
        "…"
    } else {
        ""
    };
    format!("“{shown}{more}”")
}

/// "a", "a or b", "a, b or c".
pub fn alternatives(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_read_exactly_or_not_at_all() {
        let half = Fraction::new(1, 2);
        assert_eq!(decimal("0.5"), half);
        assert_eq!(decimal(" +0,50 "), half);
        assert_eq!(decimal("-18"), Some(Fraction::whole(-18)));
        assert_eq!(decimal("−18.25"), Fraction::new(-73, 4));
        for wrong in [
            "",
            "-",
            ".",
            "1.",
            ".5",
            "1e3",
            "--1",
            "NaN",
            "1.2.3",
            "1234567890",
        ] {
            assert_eq!(decimal(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn what_is_quoted_is_short_and_visible() {
        assert_eq!(quoted(" 26 "), "“26”");
        assert_eq!(quoted("a\u{0}b"), "“a\u{FFFD}b”");
        assert_eq!(quoted(&"x".repeat(100)).chars().count(), SHOWN + 3);
    }
}
