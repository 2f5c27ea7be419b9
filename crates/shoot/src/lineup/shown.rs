//! From a line-up to what the page shows.

use super::apart::Clocks;
use super::clocks::Crystal;
use super::codes::CodePair;
use super::findings::Found;
use super::lines::{Line, Point};
use super::shoot::{
    Clip, ClockLine, ClockPoint, CodeRow, DeviceRow, MarkRow, Row, Shoot, ShootFinding,
};
use super::{Basis, Device, LineUp, Moment, Placed, Recording, ShootClock};
use super::{copies, rates, rolling, verdict};
use plumbline_words::{self as words, Fact, counted, number, seconds, signed};

pub(super) fn shoot(line_up: &LineUp<'_>) -> Shoot {
    let placed = || {
        line_up
            .recordings
            .iter()
            .filter_map(|recording| recording.placed)
    };
    let from = placed()
        .map(|placed| placed.from.0)
        .fold(f64::INFINITY, f64::min);
    let to = placed()
        .map(|placed| placed.to.0)
        .fold(f64::NEG_INFINITY, f64::max);
    let timebase = line_up.clock.map(|clock| clock.timebase);
    let devices = line_up.devices.iter().enumerate();
    Shoot {
        verdict: verdict::of(line_up),
        about: about(line_up),
        rate: timebase
            .map(|timebase| timebase.rate().name().to_owned())
            .unwrap_or_default(),
        drop_frame: timebase.is_some_and(|timebase| timebase.count().is_drop()),
        from: if from.is_finite() { from } else { 0.0 },
        to: if to.is_finite() { to } else { 0.0 },
        devices: devices
            .map(|(number, device)| device_row(line_up, number, device))
            .collect(),
        recordings: rows(line_up),
        codes: line_up
            .codes
            .iter()
            .map(|pair| code_row(line_up, pair))
            .collect(),
        rolling: rolling::of(line_up),
        jam: Clocks::of(line_up).jam(),
        marks: marks(line_up),
        findings: line_up
            .findings
            .iter()
            .map(|found| finding(line_up, found))
            .collect(),
        text: text(line_up),
    }
}

fn marks(line_up: &LineUp<'_>) -> Vec<MarkRow> {
    let mut marks: Vec<MarkRow> = (line_up.marks.iter())
        .map(|placed| MarkRow {
            address: placed.mark.address.clone(),
            at: placed.at.map(|at| at.0),
            title: placed.mark.title(),
            rolling: who(line_up, &placed.rolling),
        })
        .collect();
    let at = |row: &MarkRow| row.at.unwrap_or(f64::INFINITY);
    marks.sort_by(|a, b| at(a).total_cmp(&at(b)));
    marks
}

/// The devices of recordings: "Deck camera and Sound bag".
fn who(line_up: &LineUp<'_>, recordings: &[usize]) -> String {
    let rolls = |device: &usize| {
        let mut own = recordings
            .iter()
            .filter_map(|number| line_up.recordings.get(*number));
        own.any(|recording| recording.device == *device)
    };
    let numbers = (0..line_up.devices.len()).filter(rolls);
    let names: Vec<&str> = numbers
        .filter_map(|number| line_up.devices.get(number))
        .map(|device| device.name.as_str())
        .collect();
    if names.is_empty() {
        "nobody".to_owned()
    } else {
        words::listed(&names)
    }
}

fn about(line_up: &LineUp<'_>) -> String {
    let all = line_up.recordings.iter();
    let sound: f64 = all.map(|recording| recording.entry.summary.seconds()).sum();
    let facts = [
        Some(counted(line_up.recordings.len() as u64, "recording")),
        Some(counted(line_up.devices.len() as u64, "device")),
        Some(format!("{} of sound", seconds(sound))),
        line_up
            .clock
            .map(|clock| format!("{} frames a second", clock.timebase)),
    ];
    facts.into_iter().flatten().collect::<Vec<_>>().join(" · ")
}

fn device_row(line_up: &LineUp<'_>, number: usize, device: &Device) -> DeviceRow {
    let own = line_up.recordings.iter().enumerate();
    let own = own.filter(|(_, recording)| recording.device == number);
    let clips: Vec<Clip> = own
        .filter_map(|(number, recording)| clip(number, recording))
        .collect();
    let Drawn { points, lines } = drawn(line_up, &device.clock.points, &device.clock.lines);
    DeviceRow {
        key: device.key.clone(),
        name: device.name.clone(),
        facts: facts(line_up, number, device),
        clips,
        points,
        lines,
    }
}

/// Two codes that were recorded together.
fn code_row(line_up: &LineUp<'_>, pair: &CodePair) -> CodeRow {
    let Drawn { points, lines } = drawn(line_up, &pair.points, &pair.lines);
    CodeRow {
        name: pair.name.clone(),
        facts: code_facts(line_up, pair),
        points,
        lines,
    }
}

fn code_facts(line_up: &LineUp<'_>, pair: &CodePair) -> Vec<Fact> {
    let recordings = counted(pair.recordings.len() as u64, "recording");
    let mut facts = vec![Fact::new("Both were recorded in", recordings)];
    let ends = line_up.clock.zip(pair.lines.first()).zip(pair.lines.last());
    if let Some(((clock, first), last)) = ends {
        let at = |seconds: f64| {
            let frames = signed(clock.frames(seconds), 2);
            format!("{frames} frames ({} ms)", signed(seconds * 1e3, 2))
        };
        let (from, to) = (at(first.at(first.from)), at(last.at(last.to)));
        facts.push(Fact::new("Ahead", format!("{from} to {to}")));
    }
    if let Some((ppm, deviation)) = pair
        .lines
        .last()
        .and_then(|line| Some((line.slope * 1e6, line.deviation? * 1e6)))
    {
        facts.push(Fact::new(
            "Its clock against the other",
            words::ppm(ppm, deviation),
        ));
    }
    facts
}

/// A clock as it is drawn, in frames.
struct Drawn {
    points: Vec<ClockPoint>,
    lines: Vec<ClockLine>,
}

fn drawn(line_up: &LineUp<'_>, points: &[Point], lines: &[Line]) -> Drawn {
    let frames = |seconds: f64| line_up.clock.map_or(0.0, |clock| clock.frames(seconds));
    let points = points.iter().map(|point| ClockPoint {
        at: point.at,
        frames: frames(point.offset),
        deviation: frames(point.deviation),
    });
    let lines = lines.iter().map(|line| ClockLine {
        from: line.from,
        to: line.to,
        frames_from: frames(line.at(line.from)),
        frames_to: frames(line.at(line.to)),
        ppm: line.slope * 1e6,
        ppm_uncertainty: line.deviation.map(|deviation| deviation * 1e6),
    });
    Drawn {
        points: points.collect(),
        lines: lines.collect(),
    }
}

fn clip(number: usize, recording: &Recording<'_>) -> Option<Clip> {
    let Placed {
        from, to, basis, ..
    } = recording.placed?;
    let summary = &recording.entry.summary;
    let code = summary
        .codes
        .first()
        .filter(|_| matches!(basis, Basis::Code { .. }));
    let runs = code.map(|code| code.runs.as_slice()).unwrap_or_default();
    let speed = (to.0 - from.0) / summary.seconds().max(1e-9);
    let place = |second: f64| (from.0 + second * speed).clamp(from.0, to.0);
    Some(Clip {
        recording: u32::try_from(number).ok()?,
        from: from.0,
        to: to.0,
        read: runs
            .iter()
            .map(|run| (place(run.from), place(run.to)))
            .collect(),
    })
}

fn facts(line_up: &LineUp<'_>, number: usize, device: &Device) -> Vec<Fact> {
    let own = || {
        line_up
            .recordings
            .iter()
            .filter(|recording| recording.device == number)
    };
    let sound: f64 = own()
        .map(|recording| recording.entry.summary.seconds())
        .sum();
    let recordings = counted(own().count() as u64, "recording");
    let mut facts = vec![Fact::new(
        "Recorded",
        format!("{recordings}, {}", seconds(sound)),
    )];
    if let Some(Crystal { ppm, deviation }) = device.clock.crystal {
        facts.push(Fact::new(
            "Sample clock against the code",
            words::ppm(ppm, deviation),
        ));
    }
    if let (Some(clock), Some(line)) = (line_up.clock, device.clock.lines.last()) {
        let (from, to) = (
            clock.frames(line.at(line.from)),
            clock.frames(line.at(line.to)),
        );
        let text = if device.clock.points.len() == 1 {
            format!("{} frames", signed(from, 1))
        } else {
            format!("{} to {} frames", signed(from, 1), signed(to, 1))
        };
        facts.push(Fact::new("Own clock against the code", text));
        if line.parts() {
            let hold = clock.seconds(0.5) / line.slope.abs();
            facts.push(Fact::new("Within half a frame for", seconds(hold)));
        }
    }
    facts
}

fn rows(line_up: &LineUp<'_>) -> Vec<Row> {
    let mut order: Vec<usize> = (0..line_up.recordings.len()).collect();
    let from = |number: &usize| {
        let placed = line_up
            .recordings
            .get(*number)
            .and_then(|recording| recording.placed);
        placed.map_or(f64::INFINITY, |placed| placed.from.0)
    };
    order.sort_by(|a, b| from(a).total_cmp(&from(b)));
    let mut places = vec![0; order.len()];
    for (place, number) in order.into_iter().enumerate() {
        if let Some(slot) = places.get_mut(number) {
            *slot = place;
        }
    }
    let numbered = line_up.recordings.iter().enumerate();
    numbered
        .zip(places)
        .map(|((number, recording), order)| row(line_up, number, recording, order))
        .collect()
}

fn row(line_up: &LineUp<'_>, number: usize, recording: &Recording<'_>, order: usize) -> Row {
    let summary = &recording.entry.summary;
    let device = line_up.devices.get(recording.device);
    let address = |moment: Option<Moment>| {
        let both = line_up.clock.zip(moment);
        both.map(|(clock, moment)| clock.address(moment).to_string())
            .unwrap_or_default()
    };
    let concerning = line_up.findings.iter().enumerate();
    let concerning = concerning.filter(|(_, found)| found.recordings.contains(&number));
    Row {
        key: recording.entry.key.clone(),
        file: summary.file.clone(),
        device: device.map(|device| device.key.clone()).unwrap_or_default(),
        device_name: device.map(|device| device.name.clone()).unwrap_or_default(),
        starts_at: address(recording.placed.map(|placed| placed.from)),
        ends_at: address(recording.placed.map(|placed| placed.to)),
        length: seconds(summary.seconds()),
        by: by(recording.placed),
        reel: recording.reel.clone().unwrap_or_default(),
        changed: changed(line_up.clock, recording),
        rate: rate(recording),
        copy: copies::plan(line_up, recording),
        own_findings: summary.findings,
        findings: concerning
            .filter_map(|(n, _)| u32::try_from(n + 1).ok())
            .collect(),
        problems: recording.problems.clone(),
        error: summary.error.clone().unwrap_or_default(),
        order: u32::try_from(order).unwrap_or(u32::MAX),
        seconds: summary.seconds(),
    }
}

fn by(placed: Option<Placed>) -> String {
    match placed.map(|placed| placed.basis) {
        Some(Basis::Code { channel }) => format!("channel {}", u32::from(channel) + 1),
        Some(Basis::Sound { deviation }) => {
            format!("none; by sound ± {} ms", number(deviation * 1e3, 1))
        }
        Some(Basis::Stamp) => "none; its own stamp".into(),
        Some(Basis::Hand) => "none; by hand".into(),
        None => "none".into(),
    }
}

fn rate(recording: &Recording<'_>) -> String {
    let said = recording.rate.map(|rate| rate.timebase);
    let rate = said.or_else(|| rates::measured(&recording.entry));
    rate.map(|rate| rate.to_string()).unwrap_or_default()
}

/// What a person changed: "moved by +2 frames from 10:00:00:00; at 24 instead of 23.976".
pub(crate) fn changed(clock: Option<ShootClock>, recording: &Recording<'_>) -> String {
    let own = recording.entry.summary.reel.as_deref();
    let reel = recording.reel.as_deref().filter(|reel| Some(*reel) != own);
    let reel = reel.map(|reel| match own {
        Some(own) => format!("reel {reel} instead of {own}"),
        None => format!("reel {reel}"),
    });
    let place = Some(place_changed(clock, recording)).filter(|place| !place.is_empty());
    let all = [place, reel];
    all.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// What of that makes its place and its rate.
pub(super) fn place_changed(clock: Option<ShootClock>, recording: &Recording<'_>) -> String {
    let rate = recording.rate.map(|rate| match rate.instead_of {
        Some(measured) => format!("at {} instead of {measured}", rate.timebase),
        None => format!("at {}", rate.timebase),
    });
    let all = [moved(clock, recording.placed), rate];
    all.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// Where a person put it: "moved by +2 frames from 10:00:00:00".
fn moved(clock: Option<ShootClock>, placed: Option<Placed>) -> Option<String> {
    let (clock, placed) = clock.zip(placed)?;
    match (placed.measured, placed.basis) {
        (Some(measured), _) => {
            let frames = clock.frames(placed.from.0 - measured.0);
            let plus = if frames > 0.0 { "+" } else { "" };
            let frames = number(frames, 2);
            Some(format!(
                "moved by {plus}{frames} frames from {}",
                clock.address(measured)
            ))
        }
        (None, Basis::Hand) => Some("placed by hand".into()),
        (None, _) => None,
    }
}

fn finding(line_up: &LineUp<'_>, found: &Found) -> ShootFinding {
    let device = found.device.and_then(|number| line_up.devices.get(number));
    ShootFinding {
        kind: found.kind,
        heading: found.heading.clone(),
        place: found.place.clone(),
        text: found.text.clone(),
        remedy: found.remedy.clone(),
        at: found.at.map(|moment| moment.0),
        device: device.map(|device| device.key.clone()).unwrap_or_default(),
    }
}

/// The drawing of who was rolling, for those who cannot see it.
fn text(line_up: &LineUp<'_>) -> String {
    let Some(clock) = line_up.clock else {
        return String::new();
    };
    let devices = line_up.devices.iter().enumerate();
    let said = devices.filter_map(|(number, device)| {
        let own = || {
            let own = line_up
                .recordings
                .iter()
                .filter(move |recording| recording.device == number);
            own.filter_map(|recording| recording.placed)
        };
        let first = own()
            .map(|placed| placed.from)
            .min_by(|a, b| a.0.total_cmp(&b.0))?;
        let last = own()
            .map(|placed| placed.to)
            .max_by(|a, b| a.0.total_cmp(&b.0))?;
        Some(format!(
            "{}: {} from {} to {}.",
            device.name,
            counted(own().count() as u64, "recording"),
            clock.address(first),
            clock.address(last)
        ))
    });
    said.collect::<Vec<_>>().join(" ")
}
