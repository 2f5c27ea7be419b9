//! Code that begins late or ends early, and code that passes midnight.

use super::Found;
use crate::facts::{Facts, Progress};
use crate::report::FindingKind;
use crate::run::Motion;
use crate::stretch::Stretch;
use crate::whole;
use crate::word::Word;
use plumbline_timecode::{Frames, TimeAddress};
use plumbline_words::{frames, seconds};

/// A recording begins and ends somewhere within a codeword, and the next one may be spoiled by
/// the cut: only more than this many missing ones are worth telling.
const WORTH_TELLING: f64 = 2.0;
/// What lies over the code costs some codewords there as elsewhere: a second of them.
const WORTH_TELLING_COVERED: f64 = 25.0;

pub(super) fn all(facts: &Facts<'_>) -> Vec<Found> {
    let midnights = facts
        .stretches()
        .iter()
        .filter_map(|stretch| midnight(facts, stretch));
    late_start(facts)
        .into_iter()
        .chain(early_end(facts))
        .chain(midnights)
        .collect()
}

/// More than how many codewords must be missing beside one, and one reason more for that.
fn beside(facts: &Facts<'_>, word: &Word) -> (f64, &'static str) {
    match facts.cover().and(word.over) {
        Some(_) => (
            WORTH_TELLING_COVERED,
            ", or what lies over the code covers it there",
        ),
        None => (WORTH_TELLING, ""),
    }
}

fn late_start(facts: &Facts<'_>) -> Option<Found> {
    let first = facts.stretches().first()?.run.first;
    let missing = (first.begins / first.period).floor();
    let (worth_telling, covered) = beside(facts, &first);
    let text = format!(
        "The first {} carry no code that can be read. The device that sends it was switched on or \
         plugged in after the recorder rolled{covered}.",
        seconds(facts.extent.seconds(first.begins)),
    );
    let remedy = "The start time is worked back from the first code, as if the clock had run \
                  before; trust it as far as you trust that.";
    let address = first.codeword.address(facts.timebase.count()).ok();
    (missing > worth_telling).then(|| {
        Found::whole(
            FindingKind::LateStart,
            "Code starts late".into(),
            text,
            remedy,
        )
        .at(address, first.first_edge)
        .frames(missing)
    })
}

fn early_end(facts: &Facts<'_>) -> Option<Found> {
    let last = facts.stretches().last()?.run.last;
    let rest = facts.extent.samples as f64 - last.ends;
    let missing = (rest / last.period).floor();
    let (worth_telling, covered) = beside(facts, &last);
    let text = format!(
        "The last {} ({}) carry no code that can be read. The plug came out, or the device that \
         sends it was switched off{covered}.",
        seconds(facts.extent.seconds(rest)),
        frames(whole::unsigned(missing)),
    );
    let remedy = "Everything before it stands. Check the cable and the battery of the sender.";
    let address = last.codeword.address(facts.timebase.count()).ok();
    (facts.extent.progress == Progress::Done && missing > worth_telling).then(|| {
        Found::whole(
            FindingKind::EarlyEnd,
            "Code ends early".into(),
            text,
            remedy,
        )
        .at(address, last.ends)
        .frames(missing)
    })
}

fn midnight(facts: &Facts<'_>, stretch: &Stretch) -> Option<Found> {
    let count = facts.timebase.count();
    let (first, last) = (stretch.first(count)?, stretch.last(count)?);
    let midnight = TimeAddress::midnight(first.count());
    let passed = match stretch.motion() {
        Motion::Onwards => last.frame_number() < first.frame_number(),
        Motion::Backwards => last.frame_number() > first.frame_number(),
        Motion::Still => false,
    };
    let day = i64::from(first.count().frames_per_day());
    let number = i64::from(first.frame_number().0);
    let away = if stretch.motion() == Motion::Onwards {
        day - number
    } else {
        number
    };
    let sample = stretch.run.first.first_edge + away as f64 * facts.period_of(stretch);
    let before = midnight.plus_wrapping(Frames(-1));
    let text = format!(
        "The address passes midnight: {before} is followed by {midnight}. The day changes inside \
         this recording."
    );
    let remedy = "Editing software that sorts by address puts what follows before all else: keep \
                  the date beside it.";
    passed.then(|| {
        Found::whole(
            FindingKind::Midnight,
            "Passes midnight".into(),
            text,
            remedy,
        )
        .at(Some(midnight), sample)
    })
}
