//! Code and sound that put a recording at different places.

use super::super::by_sound::by_sound;
use super::super::shoot::ShootFindingKind as Kind;
use super::super::{Basis, Entry, Recording};
use super::{Found, Known};
use plumbline_words::{number, seconds};

/// Sound and code may differ by so many frames: sound takes 12 m through the air in a frame at 30.
const ALIKE: f64 = 0.75;

pub(super) fn against_code(known: &Known<'_>, entries: &[Entry]) -> Vec<Found> {
    let numbered = known.recordings.iter().enumerate();
    numbered
        .filter_map(|(which, recording)| disagreement(known, entries, which, recording))
        .collect()
}

fn disagreement(
    known: &Known<'_>,
    entries: &[Entry],
    which: usize,
    recording: &Recording<'_>,
) -> Option<Found> {
    let placed = recording.placed?;
    let Basis::Code { .. } = placed.basis else {
        return None;
    };
    let by_code = placed.measured.unwrap_or(placed.from);
    let by_sound = by_sound(recording.entry, entries, known.clock)?;
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
