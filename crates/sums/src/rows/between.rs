//! Gaps and overlaps between the rows.

use super::good;
use super::line::{Line, Place};

/// How a row follows on the one before it in the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Follows {
    /// It is the first, or one of the two is a duration.
    Nothing,
    /// It begins where the row before ends.
    Directly,
    /// So many frames are between them.
    Gap(i64),
    /// So many frames are in both.
    Overlap(i64),
    /// It ends so many frames before the row before it begins.
    Back(i64),
}

/// What is between the rows that count.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Between {
    /// Of each row that counts, in order.
    pub(super) follows: Vec<Follows>,
    /// Frames that are in at least one row.
    pub(super) covered: i64,
    /// Of all rows with a place, from the first frame to the last, where there are any.
    pub(super) ends: Option<(Place, Place)>,
}

impl Between {
    pub(super) fn new(lines: &[Line]) -> Self {
        let places: Vec<Option<Place>> = good(lines).map(|(_, span)| span.place).collect();
        let pairs = places.iter().zip(places.iter().skip(1));
        let follows = pairs.map(|(before, row)| match (before, row) {
            (Some(before), Some(row)) => follows(*before, *row),
            _ => Follows::Nothing,
        });
        let first = places.first().map(|_| Follows::Nothing);
        let follows = first.into_iter().chain(follows).collect();
        let in_day: Vec<Place> = places.into_iter().flatten().collect();
        let earliest = in_day.iter().min_by_key(|place| place.from);
        let latest = in_day.iter().max_by_key(|place| place.to);
        Self {
            follows,
            ends: earliest.copied().zip(latest.copied()),
            covered: covered(in_day),
        }
    }

    /// How many rows follow that way, and the frames of all of them.
    pub(super) fn all(&self, frames: impl Fn(Follows) -> Option<i64>) -> (u64, i64) {
        self.follows
            .iter()
            .filter_map(|&each| frames(each))
            .fold((0, 0), |(rows, sum), frames| (rows + 1, sum + frames))
    }
}

fn follows(before: Place, row: Place) -> Follows {
    if row.from == before.to {
        Follows::Directly
    } else if row.from > before.to {
        Follows::Gap(row.from - before.to)
    } else if row.to <= before.from {
        Follows::Back(before.from - row.to)
    } else {
        Follows::Overlap(row.to.min(before.to) - row.from.max(before.from))
    }
}

/// Frames that are in at least one of the rows.
fn covered(mut places: Vec<Place>) -> i64 {
    places.sort_by_key(|place| place.from);
    let (mut covered, mut reached) = (0, 0);
    for place in places {
        covered += (place.to - place.from.max(reached)).max(0);
        reached = reached.max(place.to);
    }
    covered
}
