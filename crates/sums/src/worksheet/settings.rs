//! What stands at the top of the sheet.

use plumbline_timecode::Timebase;
use plumbline_words::{Problem, counting, quoted, rate, timebase};

use super::Worksheet;
use super::evaluate::Rates;
use super::syntax;

/// The rates of a sheet, as far as they are right, and what is wrong with the others.
pub(super) fn rates(sheet: &Worksheet) -> (Rates, Vec<Problem>) {
    let mut problems = Vec::new();
    let sample_rate = syntax::sample_rate(&sheet.sample_rate).ok_or_else(|| {
        Problem::new(
            "sample_rate",
            format!("{} is not a sample rate.", quoted(&sheet.sample_rate)),
            "Write samples a second, such as 48000, 48 kHz or 48000 pulled down.",
        )
    });
    let rates = Rates {
        timebase: frame_rate(sheet, &mut problems),
        sample_rate: keep(sample_rate, &mut problems),
    };
    (rates, problems)
}

/// A rate that has no drop-frame is counted in the one way that it has, though the problem stands.
fn frame_rate(sheet: &Worksheet, problems: &mut Vec<Problem>) -> Option<Timebase> {
    let rate = keep(rate("rate", &sheet.rate), problems);
    let counting = keep(counting("counting", &sheet.counting), problems);
    let (rate, counting) = (rate?, counting?);
    keep(timebase("counting", rate, counting), problems).or(Some(Timebase::non_drop(rate)))
}

fn keep<T>(read: Result<T, Problem>, problems: &mut Vec<Problem>) -> Option<T> {
    read.map_err(|problem| problems.push(problem)).ok()
}
