//! bext with another time reference (EBU Tech 3285 clause 2.3).

use std::ops::Range;

use super::portion::Portions;
use crate::Bext;

/// Where the time reference stands: the low word, then the high one.
const TIME_REFERENCE: Range<u64> = 338..346;

/// What a stamped file says beside the time reference, where it said nothing.
pub(super) fn new(time_reference: u64) -> Bext {
    Bext {
        time_reference,
        version: 1,
        ..Bext::default()
    }
}

/// The chunk's content with another time reference; one that is too short for it is filled up.
pub(super) fn stamped(content: &Range<u64>, time_reference: u64) -> Portions {
    let mut portions = Portions::default();
    let place = |offset: u64| content.start.saturating_add(offset).min(content.end);
    let (before, after) = (place(TIME_REFERENCE.start), place(TIME_REFERENCE.end));
    portions.keep(content.start..before);
    let missing = TIME_REFERENCE.start - (before - content.start);
    portions.put(vec![0; usize::try_from(missing).unwrap_or(0)]);
    portions.put(time_reference.to_le_bytes());
    portions.keep(after..content.end);
    portions
}
