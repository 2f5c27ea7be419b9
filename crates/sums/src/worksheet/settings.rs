//! What stands at the top of the sheet.

use plumbline_timecode::{Rate, Timebase};
use plumbline_words::Problem;

use super::Worksheet;
use super::evaluate::Rates;
use super::syntax;

/// The rates of a sheet, as far as they are right, and what is wrong with the others.
pub(super) fn rates(sheet: &Worksheet) -> (Rates, Vec<Problem>) {
    let mut problems = Vec::new();
    let timebase = timebase(sheet).unwrap_or_else(|(timebase, problem)| {
        problems.push(problem);
        timebase
    });
    let sample_rate = syntax::sample_rate(&sheet.sample_rate);
    if sample_rate.is_none() {
        problems.push(Problem::new(
            "sample_rate",
            format!("“{}” is not a sample rate.", sheet.sample_rate.trim()),
            "Write samples a second, such as 48000, 48 kHz or 48000 pulled down.",
        ));
    }
    let rates = Rates {
        timebase,
        sample_rate,
    };
    (rates, problems)
}

/// With a problem, what can be counted with all the same.
fn timebase(sheet: &Worksheet) -> Result<Option<Timebase>, (Option<Timebase>, Problem)> {
    let rate: Rate = sheet.rate.parse().map_err(|_| {
        let text = format!("“{}” is not a frame rate.", sheet.rate.trim());
        let names = Rate::ALL.map(Rate::name).join(", ");
        (
            None,
            Problem::new("rate", text, format!("Choose one of {names}.")),
        )
    })?;
    let non_drop = Timebase::non_drop(rate);
    let wrong = |timebase, text| {
        let remedy = "Choose “drop” or “non-drop”.";
        Err((timebase, Problem::new("counting", text, remedy)))
    };
    match sheet.counting.trim() {
        "non-drop" => Ok(Some(non_drop)),
        "drop" => match rate.drop_count().map(|count| Timebase::new(rate, count)) {
            Some(Ok(timebase)) => Ok(Some(timebase)),
            _ => wrong(
                Some(non_drop),
                format!("{rate} is never counted drop-frame, so it is counted without."),
            ),
        },
        other => wrong(None, format!("“{other}” is not a way to count frames.")),
    }
}
