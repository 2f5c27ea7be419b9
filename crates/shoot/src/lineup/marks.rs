//! Moments that somebody noted, on the shoot's clock.

use super::{Moment, Recording, ShootClock};
use crate::mark::Mark;

/// A mark at its moment.
#[derive(Debug)]
pub(crate) struct PlacedMark {
    pub(crate) mark: Mark,
    /// None where its address names no frame.
    pub(crate) at: Option<Moment>,
    /// The recordings that were rolling then.
    pub(crate) rolling: Vec<usize>,
}

/// Puts marks where their digits say, on the day on which most was rolling then, or else on the
/// nearest: they know no day, as code knows none.
pub(crate) fn placed(
    marks: &[Mark],
    recordings: &[Recording<'_>],
    clock: ShootClock,
) -> Vec<PlacedMark> {
    let place = |mark: &Mark| {
        let first = first_moment(mark, clock)?;
        let days = days(recordings, first, clock);
        let all = days.map(|day| first + day as f64 * clock.day());
        let rolling = |at: f64| rolling(recordings, at);
        // Of equal days the first.
        let at = all.min_by_key(|at| std::cmp::Reverse(rolling(*at).len()))?;
        Some((Moment(at), rolling(at)))
    };
    let placed = marks.iter().map(|mark| {
        let (at, rolling) = place(mark).map_or((None, Vec::new()), |(at, on)| (Some(at), on));
        PlacedMark {
            mark: mark.clone(),
            at,
            rolling,
        }
    });
    placed.collect()
}

/// On the clock's first day.
fn first_moment(mark: &Mark, clock: ShootClock) -> Option<f64> {
    let (timebase, address) = mark.at()?;
    let own = ShootClock { timebase };
    Some(clock.by_digits(timebase, own.moment(address)?.0))
}

/// The days, counted from the first, that come nearest to what was recorded.
fn days(
    recordings: &[Recording<'_>],
    first: f64,
    clock: ShootClock,
) -> std::ops::RangeInclusive<i64> {
    let placed = || recordings.iter().filter_map(|recording| recording.placed);
    let from = placed()
        .map(|placed| placed.from.0)
        .fold(f64::INFINITY, f64::min);
    let to = placed()
        .map(|placed| placed.to.0)
        .fold(f64::NEG_INFINITY, f64::max);
    if from > to {
        return 0..=0;
    }
    let day = |moment: f64| crate::whole::signed((moment - first) / clock.day());
    // A shoot of years is none.
    day(from)..=day(to).min(day(from) + 400)
}

fn rolling(recordings: &[Recording<'_>], at: f64) -> Vec<usize> {
    let numbered = recordings.iter().enumerate();
    let on = numbered.filter(|(_, recording)| {
        (recording.placed).is_some_and(|placed| (placed.from.0..placed.to.0).contains(&at))
    });
    on.map(|(number, _)| number).collect()
}
