//! Drift, from each of its units to all the others.

use plumbline_timecode::{Fraction, Rate};
use plumbline_words::choice;

use super::{ClocksForm, DRIFT, Part, frames, millionth, number};
use crate::decimal::{decimal, exactly};
use crate::figure::{Step, figure, product, quotient};
use crate::problems::Problems;
use crate::{Row, Table};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Unit {
    Ppm,
    FramesAnHour,
    FramesADay,
    MillisecondsAnHour,
}

const UNITS: [(&str, Unit); 4] = [
    ("ppm", Unit::Ppm),
    ("frames-an-hour", Unit::FramesAnHour),
    ("frames-a-day", Unit::FramesADay),
    ("milliseconds-an-hour", Unit::MillisecondsAnHour),
];

const HOUR: Fraction = Fraction::whole(3600);

/// The drift in ppm and how that was found; none where no drift was typed or it is none.
pub(super) fn ppm(
    form: &ClocksForm,
    rate: Rate,
    day: Fraction,
    problems: &mut Problems,
) -> Option<(Fraction, String)> {
    let unit = problems.keep(choice("drift_is", &form.drift_is, &UNITS))?;
    if form.drift.trim().is_empty() {
        return None;
    }
    let drift = problems.keep(number("drift", &form.drift, DRIFT))?;
    let million = Fraction::whole(1_000_000);
    let hz = rate.fraction();
    let typed = exactly(drift);
    Some(match unit {
        Unit::Ppm => (drift, "as it was typed".to_owned()),
        Unit::FramesAnHour => (
            quotient(product(drift, million), product(hz, HOUR)),
            format!("{typed} frames ÷ ({hz} × 3600 s) × 1000000"),
        ),
        // A day of no hours has no drift a day.
        Unit::FramesADay if day == Fraction::ZERO => return None,
        Unit::FramesADay => (
            quotient(product(drift, million), product(hz, product(day, HOUR))),
            format!(
                "{typed} frames ÷ ({hz} × {} × 3600 s) × 1000000",
                exactly(day)
            ),
        ),
        Unit::MillisecondsAnHour => (
            quotient(product(drift, Fraction::whole(1000)), HOUR),
            format!("{typed} ms ÷ 3600 s"),
        ),
    })
}

/// The drift an hour, a shooting day and 24 hours.
pub(super) fn part((ppm, how): (Fraction, String), rate: Rate, day: Fraction) -> Part {
    let mut rows = vec![figure("ppm", ppm, Step::Places(6), how)];
    for (name, hours) in spans(day) {
        rows.extend(over(ppm, rate, &name, hours));
    }
    let samples = product(
        product(ppm, millionth()),
        product(HOUR, Fraction::whole(48_000)),
    );
    rows.push(figure(
        "Samples at 48 kHz, an hour",
        samples,
        Step::Places(3),
        format!("{} ÷ 1000000 × 3600 s × 48000", exactly(ppm)),
    ));
    rows.extend(one_frame(ppm, rate));
    Part {
        sentence: format!(
            "A drift of {} ppm is {} frames an hour at {rate}.",
            figures(ppm, 3),
            figures(frames(ppm, rate, HOUR), 3)
        ),
        table: Table::new("Drift", rows),
    }
}

fn figures(value: Fraction, places: u32) -> String {
    let shown = decimal(value, places);
    if shown.is_exact() {
        shown.text
    } else {
        format!("about {}", shown.text)
    }
}

fn spans(day: Fraction) -> [(String, Fraction); 3] {
    [
        ("an hour".to_owned(), Fraction::whole(1)),
        (format!("in a day of {} h", exactly(day)), day),
        ("in 24 h".to_owned(), Fraction::whole(24)),
    ]
}

fn over(ppm: Fraction, rate: Rate, name: &str, hours: Fraction) -> [Row; 2] {
    let seconds = product(hours, HOUR);
    let milliseconds = product(
        product(ppm, millionth()),
        product(seconds, Fraction::whole(1000)),
    );
    let (ppm_words, seconds_words) = (exactly(ppm), exactly(seconds));
    [
        figure(
            format!("Milliseconds {name}"),
            milliseconds,
            Step::Places(3),
            format!("{ppm_words} ÷ 1000000 × {seconds_words} s"),
        ),
        figure(
            format!("Frames at {rate} {name}"),
            frames(ppm, rate, seconds),
            Step::Places(3),
            format!(
                "{ppm_words} ÷ 1000000 × {seconds_words} s × {}",
                rate.fraction()
            ),
        ),
    ]
}

/// How long until that is a whole frame; none where the two never part.
fn one_frame(ppm: Fraction, rate: Rate) -> Option<Row> {
    let an_hour = frames(ppm, rate, HOUR);
    let hours = Fraction::whole(1).checked_div(an_hour)?;
    let size = if hours < Fraction::ZERO {
        Fraction::ZERO.checked_sub(hours)?
    } else {
        hours
    };
    Some(figure(
        "Hours until one frame",
        size,
        Step::Places(3),
        format!("1 ÷ {} frames an hour", exactly(an_hour)),
    ))
}
