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
//! midnight stays in one piece. Where files state dates, and one device has recorded on several,
//! each day has its own place.

mod apart;
mod by_sound;
mod clocks;
mod codes;
mod copies;
mod corrections;
mod days;
mod devices;
pub(crate) mod findings;
mod lines;
pub(crate) mod marks;
mod moment;
pub(crate) mod place;
pub(crate) mod rates;
mod rolling;
mod shoot;
pub(crate) mod shown;
mod ticks;
mod verdict;

pub use apart::{Apart, Clocks, Jam};
pub use by_sound::{SoundLine, SoundPrior, prior};
pub use copies::CopyPlan;
pub use corrections::{Correction, Corrections};
pub use moment::{Moment, ShootClock};
pub use place::{Basis, Placed, clock_of};
pub use rates::SaidRate;
pub use rolling::{Rolling, Span};
pub use shoot::{
    Clip, ClockLine, ClockPoint, CodeRow, DeviceRow, Row, Shoot, ShootFinding, ShootFindingKind,
};
pub use ticks::{Tick, ticks};

use crate::summary::Summary;
use clocks::DeviceClock;
use plumbline_words::Problem;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

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
    /// Where two codes were recorded together, how they keep beside each other.
    pub(crate) codes: Vec<codes::CodePair>,
    /// Moments that somebody noted.
    pub(crate) marks: Vec<marks::PlacedMark>,
    /// What is wrong across them, the worst first.
    pub(crate) findings: Vec<findings::Found>,
}

/// A recording in its place.
#[derive(Debug)]
pub struct Recording<'a> {
    /// As it was handed in, but for a rate that a person says.
    pub entry: Cow<'a, Entry>,
    /// The number of its device in [`LineUp::devices`].
    pub device: usize,
    /// Where it stands; none where nothing says.
    pub placed: Option<Placed>,
    /// The rate, where a person says one.
    pub rate: Option<SaidRate>,
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
    let at_rates = rates::all(entries, corrections);
    let clock = place::most_common(&at_rates);
    let places: Vec<_> = at_rates
        .iter()
        .map(|at_rate| place::place(at_rate, &at_rates, corrections, clock))
        .collect();
    let of = groups.of.iter().zip(at_rates).zip(places);
    let mut recordings: Vec<Recording<'a>> = of
        .map(|((&device, at_rate), (placed, mut problems))| {
            let own = &at_rate.entry;
            let reel = corrections.of(&own.key).reel();
            problems.extend(at_rate.problem);
            Recording {
                device,
                placed,
                rate: at_rate.said,
                reel: reel.or_else(|| own.summary.reel.clone()),
                entry: at_rate.entry,
                problems,
            }
        })
        .collect();
    let days = clock.and_then(|clock| {
        place::on_one_day(&mut recordings, clock);
        days::tell_apart(&mut recordings, clock)
    });
    let devices = groups.devices.into_iter().enumerate();
    let devices: Vec<Device> = devices
        .map(|(number, (key, name))| Device {
            key,
            name,
            clock: clocks::of(&recordings, number, clock),
        })
        .collect();
    let codes = codes::pairs(&recordings, &devices, clock);
    let findings = clock.map_or_else(
        || findings::without_clock(&recordings),
        |clock| {
            findings::all(&findings::Known {
                clock,
                devices: &devices,
                recordings: &recordings,
                codes: &codes,
                days: days.as_ref(),
            })
        },
    );
    let marks = clock.map(|clock| marks::placed(&corrections.marks, &recordings, clock));
    LineUp {
        clock,
        devices,
        codes,
        marks: marks.unwrap_or_default(),
        findings,
        recordings,
    }
}

/// Recordings on one clock, made ready to be shown.
pub fn shoot(entries: &[Entry], corrections: &Corrections) -> Shoot {
    shown::shoot(&line_up(entries, corrections))
}
