//! Recordings that stand nowhere, stand by less than code, or stand where another does.

use super::super::shoot::ShootFindingKind as Kind;
use super::super::{Basis, Moment, Placed, Recording};
use super::{Found, Known, named};
use plumbline_words::{in_letters, sentence};

pub(super) fn unread(recordings: &[Recording<'_>]) -> Vec<Found> {
    let unread = |recording: &&Recording<'_>| recording.entry.summary.sample_rate == 0;
    let numbered = recordings.iter().enumerate();
    numbered
        .filter(|(_, recording)| unread(recording))
        .map(|(number, recording)| {
            let file = &recording.entry.summary.file;
            let error = recording.entry.summary.error.as_deref().unwrap_or_default();
            Found {
                kind: Kind::Unread,
                heading: "Not read".into(),
                place: file.clone(),
                text: sentence(error),
                remedy: "Its own page says where the trouble is and what can be done.".into(),
                at: None,
                device: None,
                recordings: vec![number],
                said: (file.clone(), "can’t be read".into()),
            }
        })
        .collect()
}

pub(super) fn without_place(known: &Known<'_>) -> Vec<Found> {
    let nowhere = |recording: &Recording<'_>| {
        recording.placed.is_none() && recording.entry.summary.sample_rate > 0
    };
    let numbered = known.recordings.iter().enumerate();
    let numbers: Vec<usize> = numbered
        .filter(|(_, recording)| nowhere(recording))
        .map(|(number, _)| number)
        .collect();
    if numbers.is_empty() {
        return Vec::new();
    }
    let names = named(known.recordings, &numbers);
    vec![Found {
        kind: Kind::NoPlace,
        heading: "Nothing says when".into(),
        place: names.clone(),
        text: "No code was found, and the metadata has no start time: the camera was given no \
               timecode, or its cable was not in."
            .into(),
        remedy: "Look for it by sound, or type the address of its first frame in the table, for \
                 instance from a slate that another recording saw too."
            .into(),
        at: None,
        device: None,
        recordings: numbers,
        said: (names, "has no place on it".into()),
    }]
}

/// One finding for each device whose recordings stand by their stamps alone.
pub(super) fn without_code(known: &Known<'_>) -> Vec<Found> {
    let devices = known.devices.iter().enumerate();
    devices
        .filter_map(|(number, device)| {
            let by_stamp = |placed: Placed| placed.basis == Basis::Stamp;
            let own: Vec<(usize, Moment)> = known
                .of(number)
                .filter_map(|(number, recording)| {
                    let placed = recording.placed.filter(|placed| by_stamp(*placed))?;
                    Some((number, placed.from))
                })
                .collect();
            let numbers: Vec<usize> = own.iter().map(|(number, _)| *number).collect();
            let at = own.first()?.1;
            Some(Found {
                kind: Kind::NoCode,
                heading: format!("{}: no code", device.name),
                place: named(known.recordings, &numbers),
                text: "It stands by the start time in its own metadata. That is the device’s own \
                       clock: nothing in the sound confirms it."
                    .into(),
                remedy: "Check it by a clap or a slate that another recording saw too, and move \
                         it in the table if it is off."
                    .into(),
                at: Some(at),
                device: Some(number),
                recordings: numbers,
                said: (
                    device.name.clone(),
                    "has no code and stands by its own clock".into(),
                ),
            })
        })
        .collect()
}

/// Two recordings of one device may touch by so many frames: the last of one is the first of the
/// next where a recorder splits its files.
const TOUCH: f64 = 1.5;

/// Recordings of one device that stand at the same time.
pub(super) fn twice(known: &Known<'_>) -> Vec<Found> {
    let devices = 0..known.devices.len();
    devices
        .filter_map(|device| twice_of(known, device))
        .collect()
}

fn twice_of(known: &Known<'_>, device: usize) -> Option<Found> {
    let mut own: Vec<(usize, Placed)> = known
        .of(device)
        .filter_map(|(number, recording)| Some((number, recording.placed?)))
        .collect();
    own.sort_by(|a, b| a.1.from.0.total_cmp(&b.1.from.0));
    let frames = |seconds: f64| known.clock.frames(seconds);
    let mut longest: Option<(usize, Placed)> = None;
    let mut pairs = Vec::new();
    for &(number, placed) in &own {
        if let Some((other, before)) = longest
            && frames(before.to.0 - placed.from.0) > TOUCH
        {
            pairs.push((other, number, placed.from));
        }
        if longest.is_none_or(|(_, before)| placed.to.0 > before.to.0) {
            longest = Some((number, placed));
        }
    }
    let &(first, second, at) = pairs.first()?;
    let name = &known.devices.get(device)?.name;
    let numbers: Vec<usize> = pairs.iter().flat_map(|&(a, b, _)| [a, b]).collect();
    let times = match pairs.len() {
        1 => String::new(),
        more => format!(", and at {} more", in_letters(more - 1)),
    };
    Some(Found {
        kind: Kind::SameTimeTwice,
        heading: format!("{name}: the same time twice"),
        place: format!("{}{times}", known.address(at)),
        text: format!(
            "{} claim the same time, but one device records one at a time. Its clock was set back \
             or counts only while it records, these are two devices under one name, or files of \
             another day lie among them.",
            named(known.recordings, &[first, second])
        ),
        remedy: "Give one of them another device in the table if two were meant. Otherwise read \
                 each day by itself, and trust only what a slate confirms."
            .into(),
        at: Some(at),
        device: Some(device),
        recordings: numbers,
        said: (name.clone(), "has the same time twice".into()),
    })
}

pub(super) fn midnight(known: &Known<'_>) -> Vec<Found> {
    if known.days.is_some() {
        return Vec::new();
    }
    let day = known.clock.day();
    let placed = || {
        known
            .recordings
            .iter()
            .filter_map(|recording| recording.placed)
    };
    if !(placed().any(|placed| placed.from.0 < day) && placed().any(|placed| placed.to.0 > day)) {
        return Vec::new();
    }
    let after = known
        .recordings
        .iter()
        .enumerate()
        .filter(|(_, recording)| recording.placed.is_some_and(|placed| placed.to.0 > day));
    vec![Found {
        kind: Kind::Midnight,
        heading: "Through midnight".into(),
        place: known.address(Moment(day)),
        text: "The addresses begin again at midnight; what comes after stands on the next day in \
               the drawing."
            .into(),
        remedy: "Editing software sorts by address: put the part after midnight into a timeline \
                 of its own, or start the next shoot’s code an hour later."
            .into(),
        at: Some(Moment(day)),
        device: None,
        recordings: after.map(|(number, _)| number).collect(),
        said: ("The shoot".into(), "passes midnight".into()),
    }]
}

pub(super) fn leaps(known: &Known<'_>) -> Vec<Found> {
    let numbered = known.recordings.iter().enumerate();
    numbered
        .filter_map(|(number, recording)| {
            let placed = recording.placed?;
            let code = recording.entry.summary.codes.first()?;
            let by_code = matches!(placed.basis, Basis::Code { .. });
            (by_code && code.leaps).then(|| Found {
                kind: Kind::Leaps,
                heading: "The address leaps".into(),
                place: recording.entry.summary.file.clone(),
                text: "Its code does not go on from where it was. It is placed by what stands \
                       before the first leap; what comes after claims another time."
                    .into(),
                remedy: "Its own page shows each leap. Cut the recording there if both parts are \
                         used."
                    .into(),
                at: Some(placed.from),
                device: Some(recording.device),
                recordings: vec![number],
                said: (
                    recording.entry.summary.file.clone(),
                    "leaps within its code".into(),
                ),
            })
        })
        .collect()
}
