//! Sample rates as they are typed and named.

use plumbline_timecode::{Fraction, SampleRate};
use plumbline_words::{Problem, decimal, quoted};

use crate::decimal::{PLACES, decimal as figures};

/// Slower and faster rates are no sound's.
const LOWEST: i64 = 1000;
const HIGHEST: i64 = 10_000_000;

/// Rates that the trade names by digits that are not exact: they are these over 1.001.
const PULLED_DOWN: [(&str, u32); 3] = [("44.056", 44_100), ("47.952", 48_000), ("95.904", 96_000)];

/// The sample rates that recorders have, and 48 kHz pulled down and up (common practice).
pub(crate) fn usual() -> Vec<SampleRate> {
    let rates = [44_100, 48_000, 88_200, 96_000, 192_000].map(SampleRate::hertz);
    let down = SampleRate::hertz(48_000).and_then(SampleRate::pulled_down);
    let up = SampleRate::hertz(48_048);
    rates.into_iter().chain([down, up]).flatten().collect()
}

/// A sample rate: `48000`, `48 kHz`, `47.952` (which is 48000/1.001), `48000/1.001`.
pub(crate) fn sample_rate(field: &str, typed: &str) -> Result<SampleRate, Problem> {
    hertz(typed)
        .filter(|&hertz| hertz >= Fraction::whole(LOWEST) && hertz <= Fraction::whole(HIGHEST))
        .and_then(|hertz| SampleRate::new(hertz).ok())
        .ok_or_else(|| {
            Problem::new(
                field,
                format!("{} is not a sample rate.", quoted(typed)),
                "Type one such as 48000, 44.1 kHz or 48000/1.001.",
            )
        })
}

fn hertz(typed: &str) -> Option<Fraction> {
    let typed = typed.trim();
    let (number, unit) = split_unit(typed);
    if let Some(pulled) = named(number).filter(|_| unit != Some(Unit::Hertz)) {
        return Some(pulled);
    }
    let number = ratio(number)?;
    // Below 1 kHz only kilohertz make sense.
    let kilohertz = unit.map_or(number < Fraction::whole(LOWEST), |unit| {
        unit == Unit::Kilohertz
    });
    if kilohertz {
        number.checked_mul(Fraction::whole(1000))
    } else {
        Some(number)
    }
}

fn named(number: &str) -> Option<Fraction> {
    let &(_, hertz) = PULLED_DOWN.iter().find(|(name, _)| *name == number)?;
    let pulled = SampleRate::hertz(hertz).and_then(SampleRate::pulled_down);
    pulled.ok().map(SampleRate::fraction)
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Unit {
    Hertz,
    Kilohertz,
}

fn split_unit(typed: &str) -> (&str, Option<Unit>) {
    let units = [
        ("khz", Unit::Kilohertz),
        ("hz", Unit::Hertz),
        ("k", Unit::Kilohertz),
    ];
    let found = units.into_iter().find_map(|(name, unit)| {
        let at = typed.len().checked_sub(name.len())?;
        let (number, end) = typed.split_at_checked(at)?;
        end.eq_ignore_ascii_case(name)
            .then(|| (number.trim_end(), Some(unit)))
    });
    found.unwrap_or((typed, None))
}

fn ratio(number: &str) -> Option<Fraction> {
    match number.split_once('/') {
        Some((above, below)) => decimal(above)?.checked_div(decimal(below)?),
        None => decimal(number),
    }
}

/// "48 kHz", "47.952 kHz (48000/1.001)", "48.048 kHz".
pub(crate) fn name(rate: SampleRate) -> String {
    let hertz = rate.fraction();
    let kilohertz = hertz.checked_div(Fraction::whole(1000)).unwrap_or(hertz);
    let shown = figures(kilohertz, PLACES);
    if shown.is_exact() {
        return format!("{} kHz", shown.text);
    }
    let rounded = figures(kilohertz, 3).text;
    match rate.pulled_up().map(|up| figures(up.fraction(), 3)) {
        Ok(up) if up.is_exact() => format!("{rounded} kHz ({}/1.001)", up.text),
        _ => format!("{rounded} kHz ({hertz} Hz)"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(typed: &str) -> Option<String> {
        sample_rate("", typed).ok().map(|rate| rate.to_string())
    }

    #[test]
    fn sample_rates_are_read_as_the_trade_writes_them() {
        for typed in ["48000", "48 kHz", "48k", "48", "48000 Hz", "48.000 khz"] {
            assert_eq!(read(typed).as_deref(), Some("48000"), "{typed}");
        }
        for typed in ["47.952", "47.952 kHz", "48000/1.001", "48000000/1001"] {
            assert_eq!(read(typed).as_deref(), Some("48000000/1001"), "{typed}");
        }
        assert_eq!(read("47952").as_deref(), Some("47952"));
        assert_eq!(read("48.048").as_deref(), Some("48048"));
        assert_eq!(read("44,1").as_deref(), Some("44100"));
    }

    #[test]
    fn what_is_no_rate_of_sound_is_refused() {
        for typed in [
            "",
            "0",
            "-48000",
            "48/0",
            "0.5",
            "20000000",
            "k",
            "é",
            "48 MHz",
            "47.952 Hz",
        ] {
            assert_eq!(read(typed), None, "{typed}");
        }
    }

    #[test]
    fn sample_rates_are_named_and_read_again() {
        for rate in usual() {
            let shown = name(rate);
            let short = shown.split(" (").next().unwrap();
            assert_eq!(sample_rate("", short), Ok(rate), "{shown}");
        }
    }
}
