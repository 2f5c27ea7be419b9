//! What a stamped copy of each recording is to say: its place, in the file's own samples.

use super::shown::place_changed;
use super::{Basis, Device, LineUp, Recording, ShootClock};
use crate::stamping::StampOrder;
use plumbline_timecode::Timebase;
use plumbline_words::number;
use serde::Serialize;

/// Whether a recording's place can be stamped into a copy of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub enum CopyPlan {
    /// It can.
    Possible {
        /// What is stamped; all channels stay.
        order: StampOrder,
        /// The channels with code of their own, counted from 0, where there are others beside them.
        coded: Vec<u16>,
    },
    /// It can't.
    Impossible {
        /// Why not, as the end of a sentence: "it is no WAV".
        why: String,
    },
}

/// Containers that have a place for a stamp, as the report names them.
const STAMPED: [&str; 3] = ["wav", "rf64", "bw64"];

/// What a copy of the recording would be.
pub(super) fn plan(line_up: &LineUp<'_>, recording: &Recording<'_>) -> CopyPlan {
    let order = line_up
        .clock
        .ok_or("nothing says when it begins")
        .and_then(|clock| order(line_up, recording, clock));
    match order {
        Ok(order) => CopyPlan::Possible {
            order,
            coded: coded(recording),
        },
        Err(why) => CopyPlan::Impossible { why: why.into() },
    }
}

fn order(
    line_up: &LineUp<'_>,
    recording: &Recording<'_>,
    clock: ShootClock,
) -> Result<StampOrder, &'static str> {
    let summary = &recording.entry.summary;
    if summary.sample_rate == 0 {
        return Err("it could not be read");
    }
    let container = summary.container.as_deref().unwrap_or_default();
    if !STAMPED.contains(&container) {
        return Err("it is no WAV");
    }
    let placed = recording.placed.ok_or("nothing says when it begins")?;
    if placed.basis == Basis::Stamp && placed.measured.is_none() {
        return Err("it stands by the stamp that it has");
    }
    let timebase = own_timebase(recording).unwrap_or(clock.timebase);
    let device = line_up.devices.get(recording.device);
    Ok(StampOrder {
        start_samples_since_midnight: start(recording, clock, timebase)
            .ok_or("nothing says when it begins")?,
        rate: timebase.rate().name().to_owned(),
        drop_frame: timebase.count().is_drop(),
        leave_out: Vec::new(),
        tape: tape(recording, device),
        made_from: made_from(line_up, recording),
    })
}

fn own_timebase(recording: &Recording<'_>) -> Option<Timebase> {
    let said = recording.rate.map(|rate| rate.timebase);
    said.or_else(|| super::rates::measured(&recording.entry))
}

/// The first sample, in the file's samples since midnight, on a clock of the file's own rate.
fn start(recording: &Recording<'_>, clock: ShootClock, own: Timebase) -> Option<f64> {
    let placed = recording.placed?;
    let summary = &recording.entry.summary;
    // What was measured is not sent through the shoot's clock and back: it would lose its last digits.
    if let (Basis::Code { channel }, None) = (placed.basis, placed.measured) {
        let code = summary.codes.iter().find(|code| code.channel == channel);
        return code.map(|code| code.start);
    }
    let own = ShootClock { timebase: own };
    let seconds = own.by_digits(clock.timebase, placed.from.0.rem_euclid(clock.day()));
    Some(seconds.rem_euclid(own.day()) * f64::from(summary.sample_rate))
}

/// The reel that a person names; else the one in the file, which stays; else the device's name.
fn tape(recording: &Recording<'_>, device: Option<&Device>) -> Option<String> {
    match (&recording.reel, &recording.entry.summary.reel) {
        (Some(reel), Some(own)) if reel == own => None,
        (Some(reel), _) => Some(reel.clone()),
        (None, _) => device.map(|device| device.name.clone()),
    }
}

/// "the code on channel 2", "its sound, ± 0.4 ms", "an address typed by hand".
fn made_from(line_up: &LineUp<'_>, recording: &Recording<'_>) -> String {
    let Some(placed) = recording.placed else {
        return String::new();
    };
    let from = match placed.basis {
        Basis::Code { channel } => format!("the code on channel {}", u32::from(channel) + 1),
        Basis::Sound { deviation } => {
            format!("its sound, ± {} ms", number(deviation * 1e3, 1))
        }
        Basis::Stamp => "the start time in its own metadata".to_owned(),
        Basis::Hand => return "an address typed by hand".to_owned(),
    };
    match place_changed(line_up.clock, recording) {
        by_hand if by_hand.is_empty() => from,
        by_hand => format!("{from}, {by_hand} by hand"),
    }
}

fn coded(recording: &Recording<'_>) -> Vec<u16> {
    let summary = &recording.entry.summary;
    let own = summary.codes.iter().filter(|code| !code.leaks);
    let coded: Vec<u16> = own.map(|code| code.channel).collect();
    if coded.len() < usize::from(summary.channels) {
        coded
    } else {
        Vec::new()
    }
}
