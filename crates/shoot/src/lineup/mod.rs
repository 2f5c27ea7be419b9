//! Recordings on one clock: who made them, where each stands on the day, how the clocks keep
//! together and what is wrong across them.
//!
//! ```text
//! entries ─ devices ─ place ─ clocks (lines) ─ findings ─ verdict ─ Shoot
//! ```
//!
//! # What places a recording
//! A person's own word, else its code, else its sound beside a recording that has code, else the
//! start time in its metadata. What was measured and
//! what a person changed are kept apart: a corrected clip still says where its code puts it.
//!
//! # Which day
//! The day begins after the longest time in which nothing was recorded, so that a shoot through
//! midnight stays in one piece.

mod by_sound;
mod clocks;
mod corrections;
mod devices;
pub(crate) mod findings;
mod lines;
mod moment;
pub(crate) mod place;
mod shoot;
pub(crate) mod shown;
mod ticks;
mod verdict;

pub use by_sound::SoundLine;
pub use corrections::{Correction, Corrections};
pub use moment::{Moment, ShootClock};
pub use place::{Basis, Placed, clock_of};
pub use shoot::{
    Clip, ClockLine, ClockPoint, DeviceRow, Row, Shoot, ShootFinding, ShootFindingKind,
};
pub use ticks::{Tick, ticks};

use crate::summary::Summary;
use clocks::DeviceClock;
use plumbline_words::Problem;
use serde::{Deserialize, Serialize};

/// One recording, as it is handed in.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Entry {
    /// What tells it apart from all others, and stays the same when it is dropped again.
    pub key: String,
    /// The folder that it was dropped in, its parts divided by `/`; empty where it was dropped
    /// alone.
    pub folder: String,
    /// What was read.
    pub summary: Summary,
    /// How its sound lies beside that of others.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sounds: Vec<SoundLine>,
}

/// Recordings on one clock.
#[derive(Debug)]
pub struct LineUp<'a> {
    /// The clock on which they stand; none where nothing could be placed.
    pub clock: Option<ShootClock>,
    /// Who made them, in the order of their first recording.
    pub devices: Vec<Device>,
    /// The recordings, in the order in which they were handed in.
    pub recordings: Vec<Recording<'a>>,
    /// What is wrong across them, the worst first.
    pub(crate) findings: Vec<findings::Found>,
}

/// A recording in its place.
#[derive(Debug)]
pub struct Recording<'a> {
    /// As it was handed in.
    pub entry: &'a Entry,
    /// The number of its device in [`LineUp::devices`].
    pub device: usize,
    /// Where it stands; none where nothing says.
    pub placed: Option<Placed>,
    /// The reel, where a person or the file names one.
    pub reel: Option<String>,
    /// What is wrong with what a person typed about it.
    pub problems: Vec<Problem>,
}

/// Who made recordings.
#[derive(Debug)]
pub struct Device {
    /// What tells it apart from the others.
    pub key: String,
    /// Its name, a person's own or one that its recordings suggest.
    pub name: String,
    /// How its clock keeps.
    pub(crate) clock: DeviceClock,
}

impl LineUp<'_> {
    /// What is wrong across recordings and concerns the one with this number.
    pub(crate) fn concerning(&self, recording: usize) -> impl Iterator<Item = &findings::Found> {
        let findings = self.findings.iter();
        findings.filter(move |found| found.recordings.contains(&recording))
    }
}

/// Lays recordings on one clock.
pub fn line_up<'a>(entries: &'a [Entry], corrections: &Corrections) -> LineUp<'a> {
    let groups = devices::group(entries, corrections);
    let clock = place::clock_of(entries);
    let mut recordings: Vec<Recording<'a>> = entries
        .iter()
        .zip(groups.of)
        .map(|(entry, device)| {
            let correction = corrections.of(&entry.key);
            let (placed, problems) = place::place(entry, entries, correction, clock);
            Recording {
                entry,
                device,
                placed,
                reel: correction.reel().or_else(|| entry.summary.reel.clone()),
                problems,
            }
        })
        .collect();
    if let Some(clock) = clock {
        place::on_one_day(&mut recordings, clock);
    }
    let devices = groups.devices.into_iter().enumerate();
    let devices: Vec<Device> = devices
        .map(|(number, (key, name))| Device {
            key,
            name,
            clock: clocks::of(&recordings, number, clock),
        })
        .collect();
    let findings = findings::all(clock, entries, &devices, &recordings);
    LineUp {
        clock,
        devices,
        recordings,
        findings,
    }
}

/// Recordings on one clock, made ready to be shown.
pub fn shoot(entries: &[Entry], corrections: &Corrections) -> Shoot {
    shown::shoot(&line_up(entries, corrections))
}
