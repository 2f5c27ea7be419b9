//! Lengths, sizes and sentences, without a needless nought.

use plumbline_timecode::{Fraction, Rounding, Seconds};

use crate::counted;

/// A length of real time, to the millisecond where it is not whole: "40 ms", "10 s", "10 min",
/// "1 h 03.6 s", "59 min 59.996 s".
pub fn clock(time: Seconds) -> String {
    let milliseconds = time.0.checked_mul(Fraction::whole(1000));
    let milliseconds = milliseconds.map_or(0, |time| time.round(Rounding::Nearest));
    let (seconds, rest) = (milliseconds / 1000, milliseconds % 1000);
    if seconds == 0 {
        return format!("{rest} ms");
    }
    let (h, m, s) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    let fraction = format!(".{rest:03}");
    let fraction = fraction.trim_end_matches('0').trim_end_matches('.');
    let mut parts = Vec::new();
    if h > 0 {
        parts.push(format!("{h} h"));
    }
    if m > 0 {
        parts.push(format!("{m} min"));
    }
    if s > 0 || rest > 0 {
        parts.push(format!("{s}{fraction} s"));
    }
    parts.join(" ")
}

/// A size in bytes: "1,234 bytes", "86.4 MB", "12.4 GB"; a million bytes are a megabyte.
pub fn size(bytes: u64) -> String {
    match bytes {
        0..10_000 => counted(bytes, "byte"),
        10_000..1_000_000 => format!("{} kB", bytes.div_ceil(1000)),
        1_000_000..1_000_000_000 => tenths(bytes, 1_000_000, "MB"),
        _ => tenths(bytes, 1_000_000_000, "GB"),
    }
}

fn tenths(bytes: u64, unit: u64, name: &str) -> String {
    let tenths = (u128::from(bytes) * 10 + u128::from(unit / 2)) / u128::from(unit);
    format!("{}.{} {name}", tenths / 10, tenths % 10)
}

/// A whole number or a decimal one with a true minus sign, without noughts at its end: "−18",
/// "0.5".
pub fn number(value: f64, decimals: usize) -> String {
    let text = format!("{:.decimals$}", value.abs());
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    let sign = if value < 0.0 && text != "0" {
        "−"
    } else {
        ""
    };
    format!("{sign}{text}")
}

/// Words that can begin a sentence.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

/// A sentence from an error's words: a capital letter before, a full stop after.
pub fn sentence(words: &str) -> String {
    let stop = if words.ends_with('.') { "" } else { "." };
    capital(words) + stop
}

#[cfg(test)]
mod tests {
    use super::*;
    use plumbline_timecode::{Frames, Rate};

    #[test]
    fn real_time_is_told_to_the_millisecond_where_it_is_not_whole() {
        let said = [
            (Rate::F25, 1),
            (Rate::F25, 250),
            (Rate::F25, 15_000),
            (Rate::F29_97, 108_000),
            (Rate::F29_97, 107_892),
            (Rate::F25, 2_160_000),
        ]
        .map(|(rate, frames)| clock(rate.seconds(Frames(frames))));
        let wanted = [
            "40 ms",
            "10 s",
            "10 min",
            "1 h 3.6 s",
            "59 min 59.996 s",
            "24 h",
        ];
        assert_eq!(said, wanted);
    }

    #[test]
    fn sizes_have_one_decimal_at_most() {
        let said = [44, 12_345, 86_400_750, 12_441_600_684].map(size);
        assert_eq!(said, ["44 bytes", "13 kB", "86.4 MB", "12.4 GB"]);
    }

    #[test]
    fn numbers_have_a_true_minus_and_no_needless_noughts() {
        let said = [-18.0, 0.5, -0.001, 100.0].map(|value| number(value, 2));
        assert_eq!(said, ["−18", "0.5", "0", "100"]);
    }
}
