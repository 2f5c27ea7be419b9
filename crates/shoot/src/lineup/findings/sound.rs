//! Code and sound that put a recording at different places, or sound alone at two.

use super::super::by_sound::{BySound, by_sound, heard};
use super::super::shoot::ShootFindingKind as Kind;
use super::super::{Basis, Recording};
use super::{Found, Known};
use plumbline_words::{number, seconds};

/// Sound and code may differ by so many frames: sound takes 12 m through the air in a frame at 30.
const ALIKE: f64 = 0.75;

pub(super) fn against_code(known: &Known<'_>) -> Vec<Found> {
    let numbered = known.recordings.iter().enumerate();
    numbered
        .filter_map(|(which, recording)| disagreement(known, which, recording))
        .collect()
}

/// Recordings that sound puts at two places.
pub(super) fn twice(known: &Known<'_>) -> Vec<Found> {
    let numbered = known.recordings.iter().enumerate();
    numbered
        .filter_map(|(which, recording)| at_two_places(known, which, recording))
        .collect()
}

fn at_two_places(known: &Known<'_>, which: usize, recording: &Recording<'_>) -> Option<Found> {
    let all = known.recordings.iter().map(|other| &*other.entry);
    let BySound::Twice {
        first,
        second,
        apart,
    } = heard(&recording.entry, &all, known.clock)
    else {
        return None;
    };
    let named = |key: &str| {
        let other = known.recordings.iter().find(|other| other.entry.key == key);
        other.map_or("", |other| other.entry.summary.file.as_str())
    };
    let file = recording.entry.summary.file.clone();
    Some(Found {
        kind: Kind::SoundTwice,
        heading: "At two places by its sound".into(),
        place: file.clone(),
        text: format!(
            "Beside {} it would begin {} away from where it would beside {}. Something that repeats, \
             such as music, was heard there, or the codes of these two do not agree. Neither place \
             is taken.",
            named(first),
            seconds(apart),
            named(second)
        ),
        remedy: "Take it back under Change, and line it up again with a rough start, or type the \
                 address of its first frame."
            .into(),
        at: recording.placed.map(|placed| placed.from),
        device: Some(recording.device),
        recordings: vec![which],
        said: (file, "would stand at two places by its sound".into()),
    })
}

fn disagreement(known: &Known<'_>, which: usize, recording: &Recording<'_>) -> Option<Found> {
    let placed = recording.placed?;
    let Basis::Code { .. } = placed.basis else {
        return None;
    };
    let all = known.recordings.iter().map(|other| &*other.entry);
    let by_code = placed.measured.unwrap_or(placed.from);
    let by_sound = by_sound(&recording.entry, &all, known.clock)?;
    let day = known.clock.day();
    let off = by_code.0 - by_sound.from.0;
    let off = (off + day / 2.0).rem_euclid(day) - day / 2.0;
    let frames = known.clock.frames(off);
    if frames.abs() <= ALIKE {
        return None;
    }
    let file = recording.entry.summary.file.clone();
    let late = if off > 0.0 { "late" } else { "early" };
    let size = number(frames.abs(), 1);
    Some(Found {
        kind: Kind::SoundAgainstCode,
        heading: "Code and sound differ".into(),
        place: file.clone(),
        text: format!(
            "Its sound comes {size} frames ({}) {late} against its code, beside the recording that \
             it was lined up with. The device delays one of the two, or stood far away: sound \
             takes 2.9 ms a metre.",
            seconds(off.abs())
        ),
        remedy: "Cut to picture by the code and to sound by the sound. If the device always does \
                 this, move its recordings by the same in the table."
            .into(),
        at: Some(placed.from),
        device: Some(recording.device),
        recordings: vec![which],
        said: (file, format!("has its sound {size} frames {late}")),
    })
}
