//! Curves of what was measured.

use super::case::Sweep;
use super::measure::Outcome;
use crate::Reader;
use crate::chart::{Axis, Chart, Scale, Series};

/// The curves of a sweep whose settings have an order.
pub(crate) fn curves(
    sweep: &Sweep,
    outcomes: &[Outcome],
    readers: &[&dyn Reader],
) -> Option<String> {
    let scale = sweep.scale?;
    let per_cent = (0..=5).map(|fifth| f64::from(20 * fifth)).collect();
    let mut series: Vec<Series> = readers
        .iter()
        .enumerate()
        .map(|(reader, named)| {
            curve(named.name(), sweep, outcomes, |outcome| {
                share(outcome, reader)
            })
        })
        .collect();
    let limit = curve("limit of single codewords", sweep, outcomes, limit);
    if !limit.points.is_empty() {
        series.push(limit);
    }
    let chart = Chart {
        title: sweep.title.to_owned(),
        x: Axis::spanning(sweep.setting, scale, sweep.cases.iter().map(|case| case.x)),
        y: Axis::new("codewords read (%)", Scale::Linear, per_cent),
        series,
    };
    Some(chart.svg())
}

/// How far frames are from their places, where the limit of that is known too.
pub(crate) fn positions(
    sweep: &Sweep,
    outcomes: &[Outcome],
    readers: &[&dyn Reader],
) -> Option<String> {
    let scale = sweep.scale?;
    let best = curve(
        "limit from one codeword",
        sweep,
        outcomes,
        |outcome| match outcome {
            Outcome::Measured { limit, .. } => limit.map(|limit| limit.position),
            Outcome::NotMeasured => None,
        },
    );
    if best.points.is_empty() {
        return None;
    }
    let named = readers.iter().enumerate();
    let mut series: Vec<Series> = named
        .map(|(reader, named)| {
            curve(named.name(), sweep, outcomes, |outcome| {
                error(outcome, reader)
            })
        })
        .collect();
    series.push(best);
    let chart = Chart {
        title: format!("{}: where codewords are placed", sweep.title),
        x: Axis::spanning(sweep.setting, scale, sweep.cases.iter().map(|case| case.x)),
        y: Axis::new(
            "error (samples, root mean square)",
            Scale::Logarithmic,
            vec![0.01, 0.03, 0.1, 0.3, 1.0, 3.0],
        ),
        series,
    };
    Some(chart.svg())
}

fn error(outcome: &Outcome, reader: usize) -> Option<f64> {
    match outcome {
        Outcome::Measured { scores, .. } => scores.get(reader)?.position_error(),
        Outcome::NotMeasured => None,
    }
}

fn curve(
    name: &str,
    sweep: &Sweep,
    outcomes: &[Outcome],
    value: impl Fn(&Outcome) -> Option<f64>,
) -> Series {
    let pairs = sweep.cases.iter().zip(outcomes);
    let points = pairs.filter_map(|(case, outcome)| Some((case.x, value(outcome)?)));
    Series {
        name: name.to_owned(),
        points: points.collect(),
    }
}

fn share(outcome: &Outcome, reader: usize) -> Option<f64> {
    match outcome {
        Outcome::Measured { scores, .. } => Some(100.0 * scores.get(reader)?.share()?),
        Outcome::NotMeasured => None,
    }
}

fn limit(outcome: &Outcome) -> Option<f64> {
    match outcome {
        Outcome::Measured { limit, .. } => limit.map(|limit| 100.0 * limit.words.share()),
        Outcome::NotMeasured => None,
    }
}
