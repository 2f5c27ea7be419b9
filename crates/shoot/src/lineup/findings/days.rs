//! Recordings of several days, and recordings that are longer than a day.

use super::super::shoot::ShootFindingKind as Kind;
use super::{Found, Known, named};
use plumbline_words::{capital, counted, in_letters, seconds};

pub(super) fn several(known: &Known<'_>) -> Option<Found> {
    let days = known.days?;
    let each = days.dates.iter().zip(&days.of);
    let each = each.map(|(date, of)| format!("{date} ({})", counted(of.len() as u64, "recording")));
    let each: Vec<String> = each.collect();
    let undated = match days.undated.as_slice() {
        [] => String::new(),
        undated => {
            let (states, stands) = if undated.len() == 1 {
                ("states", "stands")
            } else {
                ("state", "stand")
            };
            format!(
                " {} {states} no date that fits and {stands} on the first.",
                named(known.recordings, undated)
            )
        }
    };
    let second = days.of.get(1)?;
    let at = known.recordings.get(*second.first()?)?.placed;
    let count = capital(&in_letters(days.dates.len()));
    Some(Found {
        kind: Kind::Days,
        heading: format!("{count} days"),
        place: each.join(", "),
        text: format!(
            "By the dates in the files, which code has none of, these are recordings of {} days. \
             Each day stands in its place in the drawing.{undated}",
            in_letters(days.dates.len())
        ),
        remedy: "Edit lists are divided by days as they are. For a timeline of one day, take the \
                 recordings of the others off the page."
            .into(),
        at: at.map(|placed| placed.from),
        device: None,
        recordings: days.of.iter().skip(1).flatten().copied().collect(),
        said: (
            "The shoot".into(),
            format!("has {} days", in_letters(days.dates.len())),
        ),
    })
}

pub(super) fn longer_than_one(known: &Known<'_>) -> Vec<Found> {
    let numbered = known.recordings.iter().enumerate();
    numbered
        .filter_map(|(number, recording)| {
            let placed = recording.placed?;
            let length = placed.to.0 - placed.from.0;
            let file = recording.entry.summary.file.clone();
            (length > known.clock.day()).then(|| Found {
                kind: Kind::LongerThanADay,
                heading: "Longer than a day".into(),
                place: file.clone(),
                text: format!(
                    "It is {} long, and an address says no day: an edit list would have its \
                     addresses twice. Edit lists have its first 24 hours alone, and say so.",
                    seconds(length)
                ),
                remedy: "The timeline has all of it. For edit lists, cut the recording in two."
                    .into(),
                at: Some(placed.from),
                device: Some(recording.device),
                recordings: vec![number],
                said: (file, "is longer than a day".into()),
            })
        })
        .collect()
}
