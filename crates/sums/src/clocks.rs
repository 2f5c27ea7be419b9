//! Clocks: drift, how long two of them hold together, and how far apart two were seen to run.

mod classes;
mod drift;
mod observed;
mod parting;

use plumbline_timecode::{Fraction, Rate};
use plumbline_words::{self as words, Problem, quoted};
use serde::{Deserialize, Serialize};

use crate::decimal::exactly;
use crate::problems::Problems;
use crate::{Answer, Table};

/// What is asked about clocks. What is empty is left out of the answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct ClocksForm {
    /// Frames a second, by the rate's name: `25`.
    pub rate: String,
    /// How the addresses that were seen are counted: `non-drop` or `drop`.
    pub counting: String,
    /// How much faster one clock runs than another, in the unit of `drift_is`.
    pub drift: String,
    /// `ppm`, `frames-an-hour`, `frames-a-day` (of the length in `day`) or
    /// `milliseconds-an-hour`.
    pub drift_is: String,
    /// How long a shooting day is, in hours: `10`.
    pub day: String,
    /// How far the first clock may be off, in ppm either way: `2.5`.
    pub first_tolerance: String,
    /// How far the second clock may be off, in ppm either way.
    pub second_tolerance: String,
    /// How warm it is, in °C, for a guess at what that does to a crystal.
    pub temperature: String,
    /// The address seen on the first device, at the first time.
    pub first_before: String,
    /// The address seen on the second device at the same moment.
    pub second_before: String,
    /// The address seen on the first device, at the second time.
    pub first_after: String,
    /// The address seen on the second device at that moment.
    pub second_after: String,
    /// How good each reading is, in frames either way: `0.5`.
    pub reading: String,
}

impl Default for ClocksForm {
    fn default() -> Self {
        let text = str::to_owned;
        Self {
            rate: text("25"),
            counting: text("non-drop"),
            drift: text("1"),
            drift_is: text("ppm"),
            day: text("10"),
            first_tolerance: text("2.5"),
            second_tolerance: text("2.5"),
            temperature: String::new(),
            first_before: String::new(),
            second_before: String::new(),
            first_after: String::new(),
            second_after: String::new(),
            reading: text("0.5"),
        }
    }
}

/// A table and the sentence that says the most of it, if there is one.
struct Part {
    sentence: String,
    table: Table,
}

/// Drift in every unit, how long two clocks hold together, and what was observed of two.
///
/// ```
/// use plumbline_sums::{ClocksForm, clocks};
/// let answer = clocks(&ClocksForm::default());
/// // 1 ppm is 3.6 ms an hour: one part in a million of 3600 s.
/// assert_eq!(answer.tables[1].rows[1].value, "3.6");
/// ```
pub fn clocks(form: &ClocksForm) -> Answer {
    let mut problems = Problems::default();
    let rate = problems.keep(words::rate("rate", &form.rate));
    let day = problems.keep(number("day", &form.day, DAY));
    let tolerances = parting::tolerances(form, &mut problems);
    let drift = rate
        .zip(day)
        .and_then(|(rate, day)| drift::ppm(form, rate, day, &mut problems));
    let warmth = (!form.temperature.trim().is_empty())
        .then(|| problems.keep(number("temperature", &form.temperature, TEMPERATURE)))
        .flatten();
    let mut parts = Vec::new();
    if let Some(rate) = rate {
        parts.extend(tolerances.map(|sum| parting::part(sum, rate)));
        parts.extend(drift.zip(day).map(|(ppm, day)| drift::part(ppm, rate, day)));
        parts.extend(observed::part(form, rate, &mut problems));
        parts.extend(warmth.map(|warmth| parting::temperature(warmth, tolerances, rate)));
    }
    let sentences = parts.iter().map(|part| part.sentence.as_str());
    let verdict: Vec<&str> = sentences.filter(|sentence| !sentence.is_empty()).collect();
    let verdict = match verdict.join(" ").as_str() {
        "" => "Nothing to work out yet: something is not right in the fields.".to_owned(),
        sentences => sentences.to_owned(),
    };
    let classes = rate.map(classes::table);
    Answer {
        verdict,
        tables: parts
            .into_iter()
            .map(|part| part.table)
            .chain(classes)
            .collect(),
        problems: problems.0,
    }
}

/// What a number is of, and how large it may be: bounds keep all that follows exact.
#[derive(Debug, Clone, Copy)]
struct Bounds {
    what: &'static str,
    least: i64,
    most: i64,
}

const DAY: Bounds = Bounds {
    what: "number of hours",
    least: 0,
    most: 1000,
};
const TEMPERATURE: Bounds = Bounds {
    what: "temperature in °C",
    least: -100,
    most: 200,
};
const TOLERANCE: Bounds = Bounds {
    what: "tolerance in ppm",
    least: 0,
    most: 100_000,
};
const DRIFT: Bounds = Bounds {
    what: "drift",
    least: -1_000_000,
    most: 1_000_000,
};
const READING: Bounds = Bounds {
    what: "number of frames",
    least: 0,
    most: 1000,
};

/// A number within bounds.
fn number(field: &str, typed: &str, bounds: Bounds) -> Result<Fraction, Problem> {
    let Bounds { what, least, most } = bounds;
    let bare = typed.trim().trim_start_matches('±');
    words::decimal(bare)
        .filter(|&number| number >= Fraction::whole(least) && number <= Fraction::whole(most))
        .ok_or_else(|| {
            Problem::new(
                field,
                format!("{} is not a {what}.", quoted(typed)),
                format!(
                    "{} to {most} would be right.",
                    exactly(Fraction::whole(least))
                ),
            )
        })
}

/// Frames in so many seconds of a clock that is off by so many ppm.
fn frames(ppm: Fraction, rate: Rate, seconds: Fraction) -> Fraction {
    let off = crate::figure::product(ppm, millionth());
    crate::figure::product(off, crate::figure::product(rate.fraction(), seconds))
}

fn millionth() -> Fraction {
    Fraction::new(1, 1_000_000).unwrap_or(Fraction::ZERO)
}
