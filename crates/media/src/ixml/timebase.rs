//! Frame rates as recorders write them.

use plumbline_timecode::{Fraction, Rate, Timebase};

/// Whether a text says drop-frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Said {
    Drop,
    NonDrop,
    Nothing,
    /// Something that is neither.
    Other,
}

/// The timebase that `TIMECODE_RATE` and `TIMECODE_FLAG` name together.
///
/// The rate may be exact (`30000/1001`, `25/1`), rounded (`29.97`, `23.98`), without its point
/// (`2997`), and have the flag at its end (`2997ND`, `29.97DF`).
pub(crate) fn timebase(rate: &str, flag: &str) -> Option<Timebase> {
    let letters = rate.find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | '/' | ' '));
    let (number, suffix) = rate.split_at(letters.unwrap_or(rate.len()));
    let rate = named(number.trim())?;
    let count = match both(said(suffix), said(flag))? {
        Said::Drop => rate.drop_count()?,
        Said::NonDrop => rate.count(),
        // At a pulled-down rate of 30 either is common, so nothing is assumed.
        _ if rate.is_pulled_down() && rate.drop_count().is_some() => return None,
        _ => rate.count(),
    };
    Timebase::new(rate, count).ok()
}

fn said(text: &str) -> Said {
    let letters: String = text.chars().filter(char::is_ascii_alphabetic).collect();
    match letters.to_ascii_uppercase().trim_start_matches("FPS") {
        "" => Said::Nothing,
        "D" | "DF" | "DROP" | "DROPFRAME" => Said::Drop,
        "N" | "ND" | "NDF" | "NONDROP" | "NONDROPFRAME" => Said::NonDrop,
        _ => Said::Other,
    }
}

/// What the two say together; none where they contradict each other.
fn both(suffix: Said, flag: Said) -> Option<Said> {
    match (suffix, flag) {
        (Said::Other, _) => None,
        (Said::Nothing, flag) => Some(flag),
        (suffix, Said::Nothing | Said::Other) => Some(suffix),
        (suffix, flag) => (suffix == flag).then_some(suffix),
    }
}

fn named(number: &str) -> Option<Rate> {
    if let Some((numerator, denominator)) = number.split_once('/') {
        return nearest(Fraction::new(whole(numerator)?, whole(denominator)?)?);
    }
    if let Some((before, after)) = number.split_once('.') {
        let digits = whole(&format!("{before}{after}"))?;
        return nearest(Fraction::new(digits, ten_to(after.len())?)?);
    }
    // Without its point: 2997 is 29.97, 11988 is 119.88, 25 is 25.
    let digits = whole(number)?;
    (0..=3).find_map(|decimals| nearest(Fraction::new(digits, ten_to(decimals)?)?))
}

/// Digits as a number; short enough that nothing below overflows.
fn whole(digits: &str) -> Option<i128> {
    let digits = digits.trim();
    let fits = digits.len() <= 12 && digits.bytes().all(|byte| byte.is_ascii_digit());
    if fits { digits.parse().ok() } else { None }
}

fn ten_to(power: usize) -> Option<i128> {
    10_i128.checked_pow(u32::try_from(power).ok()?)
}

/// The rate that this is, or is rounded from: within a quarter of what lies between 23.976 and 24.
pub(crate) fn nearest(found: Fraction) -> Option<Rate> {
    Rate::ALL.into_iter().find(|rate| {
        let exact = rate.fraction();
        let (found, exact) = (
            found.numerator() * exact.denominator(),
            exact.numerator() * found.denominator(),
        );
        (found - exact).abs() * 4004 <= exact
    })
}
