//! Numbers as a colleague would say them.

use plumbline_timecode::Count;

/// "1 frame", "2 frames".
pub fn frames(n: u64) -> String {
    counted(n, "frame")
}

/// "1 place", "2 places".
pub fn counted(n: u64, noun: &str) -> String {
    format!("{} {noun}{}", thousands(n), if n == 1 { "" } else { "s" })
}

/// "two", "three" ... up to twelve, then digits.
pub fn in_letters(n: usize) -> String {
    const LETTERS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    LETTERS
        .get(n)
        .map_or_else(|| n.to_string(), ToString::to_string)
}

/// 2,160,000.
pub fn thousands(n: u64) -> String {
    let digits = n.to_string();
    let mut grouped = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    grouped
}

/// Odds, given as a power of ten: "40 to one", "3 million to one". Beyond ten thousand million they
/// say no more than that: what tells odds stops not far above.
pub fn odds(log10: f64) -> String {
    let rounded = |power: f64| 10_f64.powf(power).round().max(1.0);
    match log10 {
        ..2.0 => format!("{:.0} to one", rounded(log10)),
        ..4.0 => format!("{:.0} to one", 10.0 * rounded(log10 - 1.0)),
        ..6.0 => format!("{:.0} thousand to one", rounded(log10 - 3.0)),
        ..9.0 => format!("{:.0} million to one", rounded(log10 - 6.0)),
        ..10.0 => format!("{:.0} thousand million to one", rounded(log10 - 9.0)),
        _ => "over ten thousand million to one".into(),
    }
}

/// A length of real time: "80 ms", "1.2 s", "3 min 05 s", "1 h 02 min".
pub fn seconds(seconds: f64) -> String {
    let whole = seconds.round();
    if seconds < 0.9995 {
        format!("{:.0} ms", seconds * 1000.0)
    } else if seconds < 59.95 {
        format!("{seconds:.1} s")
    } else if whole < 3600.0 {
        format!("{:.0} min {:02.0} s", (whole / 60.0).floor(), whole % 60.0)
    } else {
        let minutes = (seconds / 60.0).round();
        format!(
            "{:.0} h {:02.0} min",
            (minutes / 60.0).floor(),
            minutes % 60.0
        )
    }
}

/// A number of frames as a difference of addresses: "+1 s 03 f", "−2 f", "+1 h 00 min 00 s 00 f".
pub fn difference(frames: i64, count: Count) -> String {
    let sign = if frames < 0 { '−' } else { '+' };
    let base = u64::from(count.frames_per_second());
    let (all, f) = (frames.unsigned_abs() / base, frames.unsigned_abs() % base);
    let (h, m, s) = (all / 3600, all / 60 % 60, all % 60);
    match (h, m, s) {
        (0, 0, 0) => format!("{sign}{f} f"),
        (0, 0, s) => format!("{sign}{s} s {f:02} f"),
        (0, m, s) => format!("{sign}{m} min {s:02} s {f:02} f"),
        (h, m, s) => format!("{sign}{h} h {m:02} min {s:02} s {f:02} f"),
    }
}

/// A number with a true minus sign.
pub fn signed(value: f64, decimals: usize) -> String {
    let text = format!("{:.decimals$}", value.abs());
    let zero = text.chars().all(|c| c == '0' || c == '.');
    format!("{}{text}", if value < 0.0 && !zero { "−" } else { "" })
}

/// How two clocks run beside each other, in parts per million with one standard deviation, to what
/// that tells: "−3.1 ppm ± 0.4", "20.00 ppm ± 0.02".
pub fn ppm(ppm: f64, deviation: f64) -> String {
    let decimals = if deviation < 0.095 { 2 } else { 1 };
    let deviation = deviation.max(0.01);
    format!("{} ppm ± {deviation:.decimals$}", signed(ppm, decimals))
}

/// "A", "A and B", "A, B and C"; nothing of none.
pub fn listed<T: AsRef<str>>(names: &[T]) -> String {
    let names: Vec<&str> = names.iter().map(AsRef::as_ref).collect();
    match names.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// "channel 2", "channels 1 and 2"; "no channel" of none. They are counted from 1.
pub fn channels(numbers: &[u32]) -> String {
    let names: Vec<String> = numbers.iter().map(u32::to_string).collect();
    match names.len() {
        0 => "no channel".to_owned(),
        1 => format!("channel {}", listed(&names)),
        _ => format!("channels {}", listed(&names)),
    }
}

/// A place in the recording, on the recording's own clock: "12:04.3".
pub fn place(seconds: f64) -> String {
    let tenths = (seconds.max(0.0) * 10.0).round();
    let (minutes, rest) = ((tenths / 600.0).floor(), tenths % 600.0);
    format!("{minutes:.0}:{:04.1} into the recording", rest / 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_of_time_are_said_in_their_own_unit() {
        let said = [0.08, 0.9994, 1.24, 59.96, 185.0, 3599.6, 3725.0].map(seconds);
        let expected = [
            "80 ms",
            "999 ms",
            "1.2 s",
            "1 min 00 s",
            "3 min 05 s",
            "1 h 00 min",
            "1 h 02 min",
        ];
        assert_eq!(said, expected);
    }

    #[test]
    fn odds_are_said_in_round_numbers() {
        let said = [0.3, 1.6, 2.9, 5.2, 6.0, 8.4, 17.0].map(odds);
        let expected = [
            "2 to one",
            "40 to one",
            "790 to one",
            "158 thousand to one",
            "1 million to one",
            "251 million to one",
            "over ten thousand million to one",
        ];
        assert_eq!(said, expected);
    }

    #[test]
    fn differences_carry_a_sign_and_leave_out_empty_fields() {
        assert_eq!(difference(28, Count::F25), "+1 s 03 f");
        assert_eq!(difference(-2, Count::F25), "−2 f");
        assert_eq!(difference(90_000, Count::F25), "+1 h 00 min 00 s 00 f");
    }

    #[test]
    fn numbers_are_grouped_and_never_minus_nothing() {
        assert_eq!(thousands(2_160_000), "2,160,000");
        assert_eq!(thousands(999), "999");
        assert_eq!(signed(-0.01, 1), "0.0");
        assert_eq!(signed(-3.12, 1), "−3.1");
        assert_eq!(in_letters(2), "two");
        assert_eq!(in_letters(13), "13");
    }
}
