//! A shoot as an `OpenTimelineIO` timeline: JSON, with the current versions of its schemas.
//!
//! A track a device; what overlaps on one device goes on a second one. All times are frames of the
//! shoot's clock. The timeline begins at the first clip, and its tracks at 0.

use super::clips::{self, Clip, Kind};
use super::marks::MARK_COLOR;
use crate::lineup::findings::Found;
use crate::lineup::marks::PlacedMark;
use crate::lineup::shown::changed;
use crate::lineup::{Basis, LineUp, Recording, ShootClock, ShootFindingKind};
use crate::mark::Mark;
use plumbline_timecode::Frames;
use serde::Serialize;

/// The timeline as JSON, under a name for the whole.
///
/// What is wrong across recordings, and what somebody noted, stands as markers on the stack; what
/// is about no instant, at its beginning. Clips have under `plumbline` in their metadata what places them, what was
/// changed by hand, and the seconds between their first sample and their first frame.
pub fn otio(line_up: &LineUp<'_>, name: &str) -> String {
    let clips = line_up.clock.map(|clock| clips::clips(line_up, clock));
    let clips = clips.unwrap_or_default();
    let first = clips.first().map_or(Frames(0), |clip| clip.at);
    let timeline = Timeline {
        schema: "Timeline.1",
        name,
        global_start_time: line_up.clock.map(|clock| time(clock, first)),
        tracks: stack(line_up, clips, first),
        metadata: Metadata {
            plumbline: ShootFacts {
                count: line_up.clock.map(|clock| clock.timebase.to_string()),
                without_place: without_place(line_up),
            },
        },
    };
    // Nothing in it can fail: its keys are texts.
    serde_json::to_string_pretty(&timeline).unwrap_or_default()
}

#[derive(Serialize)]
struct Timeline<'a> {
    #[serde(rename = "OTIO_SCHEMA")]
    schema: &'static str,
    name: &'a str,
    global_start_time: Option<Time>,
    tracks: Stack<'a>,
    metadata: Metadata<ShootFacts<'a>>,
}

#[derive(Serialize)]
struct Stack<'a> {
    #[serde(rename = "OTIO_SCHEMA")]
    schema: &'static str,
    name: &'static str,
    children: Vec<Track<'a>>,
    markers: Vec<Marker<'a>>,
}

#[derive(Serialize)]
struct Track<'a> {
    #[serde(rename = "OTIO_SCHEMA")]
    schema: &'static str,
    name: String,
    kind: &'static str,
    children: Vec<Item<'a>>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum Item<'a> {
    Gap(Gap),
    Clip(Box<TimelineClip<'a>>),
}

#[derive(Serialize)]
struct Gap {
    #[serde(rename = "OTIO_SCHEMA")]
    schema: &'static str,
    source_range: Range,
}

#[derive(Serialize)]
struct TimelineClip<'a> {
    #[serde(rename = "OTIO_SCHEMA")]
    schema: &'static str,
    name: &'a str,
    source_range: Range,
    media_references: References,
    active_media_reference_key: &'static str,
    metadata: Metadata<ClipFacts<'a>>,
}

#[derive(Serialize)]
struct References {
    #[serde(rename = "DEFAULT_MEDIA")]
    default: ExternalReference,
}

#[derive(Serialize)]
struct ExternalReference {
    #[serde(rename = "OTIO_SCHEMA")]
    schema: &'static str,
    target_url: String,
    available_range: Range,
}

#[derive(Serialize)]
struct Marker<'a> {
    #[serde(rename = "OTIO_SCHEMA")]
    schema: &'static str,
    name: String,
    color: &'static str,
    comment: String,
    marked_range: Range,
    metadata: Metadata<MarkerFacts<'a>>,
}

/// What a marker is about.
#[derive(Serialize)]
#[serde(untagged)]
enum MarkerFacts<'a> {
    Finding(FindingFacts<'a>),
    Mark(&'a Mark),
}

#[derive(Serialize)]
pub(super) struct Range {
    #[serde(rename = "OTIO_SCHEMA")]
    pub(super) schema: &'static str,
    pub(super) start_time: Time,
    pub(super) duration: Time,
}

#[derive(Serialize)]
pub(super) struct Time {
    #[serde(rename = "OTIO_SCHEMA")]
    pub(super) schema: &'static str,
    pub(super) rate: f64,
    pub(super) value: f64,
}

/// What only this project says: other programs keep it and pass it on.
#[derive(Serialize)]
pub(super) struct Metadata<T> {
    pub(super) plumbline: T,
}

#[derive(Serialize)]
struct ShootFacts<'a> {
    /// Rate and count of the shoot's clock.
    count: Option<String>,
    without_place: Vec<WithoutPlace<'a>>,
}

#[derive(Serialize)]
struct WithoutPlace<'a> {
    file: &'a str,
    folder: &'a str,
    error: Option<&'a str>,
}

#[derive(Serialize)]
struct ClipFacts<'a> {
    folder: &'a str,
    reel: Option<&'a str>,
    /// What places it: `code`, `sound`, `stamp` or `hand`.
    placed_by: &'static str,
    /// One standard deviation of its place, where its sound says it.
    sound_deviation_seconds: Option<f64>,
    /// The channel of the code that places it, counted from 1.
    code_channel: Option<u32>,
    /// How much later than the clip's first frame the first sample is.
    remainder_seconds: f64,
    /// What a person changed; empty where nothing was.
    changed: String,
    /// How fast the code's clock runs against the recorder's.
    clock_ppm: Option<f64>,
    /// How long the recording is on the shoot's clock.
    seconds_on_clock: f64,
}

#[derive(Serialize)]
struct FindingFacts<'a> {
    kind: ShootFindingKind,
    place: &'a str,
    device: Option<&'a str>,
    files: Vec<&'a str>,
}

fn time(clock: ShootClock, frames: Frames) -> Time {
    Time {
        schema: "RationalTime.1",
        rate: clock.timebase.rate().fraction().as_f64(),
        value: frames.0 as f64,
    }
}

fn range(clock: ShootClock, start: Frames, length: Frames) -> Range {
    Range {
        schema: "TimeRange.1",
        start_time: time(clock, start),
        duration: time(clock, length),
    }
}

fn stack<'a>(line_up: &'a LineUp<'a>, clips: Vec<Clip<'a>>, first: Frames) -> Stack<'a> {
    let mut stack = Stack {
        schema: "Stack.1",
        name: "tracks",
        children: Vec::new(),
        markers: Vec::new(),
    };
    let Some(clock) = line_up.clock else {
        return stack;
    };
    let mut by_device: Vec<Vec<Clip<'a>>> = line_up.devices.iter().map(|_| Vec::new()).collect();
    for clip in clips {
        if let Some(own) = by_device.get_mut(clip.recording.device) {
            own.push(clip);
        }
    }
    for (device, own) in line_up.devices.iter().zip(by_device) {
        let lanes = Kind::BOTH.into_iter().flat_map(|kind| {
            let own = own.iter().filter(|clip| clip.kind == kind).cloned();
            let lanes = clips::lanes(own.collect());
            lanes.into_iter().map(move |lane| (kind, lane))
        });
        for (number, (kind, lane)) in lanes.enumerate() {
            let name = match number {
                0 => device.name.clone(),
                number => format!("{} {}", device.name, number + 1),
            };
            let track = track(clock, name, kind, &lane, first);
            stack.children.push(track);
        }
    }
    let findings = line_up.findings.iter();
    stack.markers = findings
        .map(|found| marker(line_up, clock, found, first))
        .collect();
    let noted = line_up.marks.iter();
    (stack.markers).extend(noted.map(|placed| noted_marker(clock, placed, first)));
    stack
}

fn track<'a>(
    clock: ShootClock,
    name: String,
    kind: Kind,
    lane: &[Clip<'a>],
    first: Frames,
) -> Track<'a> {
    let mut children = Vec::new();
    let mut until = first;
    for clip in lane {
        if clip.at > until {
            children.push(Item::Gap(Gap {
                schema: "Gap.1",
                source_range: range(clock, Frames(0), clip.at - until),
            }));
        }
        children.push(Item::Clip(Box::new(timeline_clip(clock, clip))));
        until = clip.end();
    }
    Track {
        schema: "Track.1",
        name,
        kind: match kind {
            Kind::Picture => "Video",
            Kind::Sound => "Audio",
        },
        children,
    }
}

fn timeline_clip<'a>(clock: ShootClock, clip: &Clip<'a>) -> TimelineClip<'a> {
    let Recording { entry, reel, .. } = clip.recording;
    let summary = &entry.summary;
    let (code_channel, deviation) = match clip.placed.basis {
        Basis::Code { channel } => (Some(u32::from(channel) + 1), None),
        Basis::Sound { deviation } => (None, Some(to_the_nanosecond(deviation))),
        Basis::Stamp | Basis::Hand => (None, None),
    };
    TimelineClip {
        schema: "Clip.2",
        name: &summary.file,
        source_range: range(clock, clip.source, clip.length),
        media_references: References {
            default: ExternalReference {
                schema: "ExternalReference.1",
                target_url: url(&summary.file),
                available_range: range(clock, clip.source, clip.available),
            },
        },
        active_media_reference_key: "DEFAULT_MEDIA",
        metadata: Metadata {
            plumbline: ClipFacts {
                folder: &entry.folder,
                reel: reel.as_deref(),
                placed_by: clip.placed.basis.name(),
                sound_deviation_seconds: deviation,
                code_channel,
                remainder_seconds: to_the_nanosecond(clip.remainder),
                changed: changed(Some(clock), clip.recording),
                clock_ppm: summary.codes.first().and_then(|code| code.clock_ppm),
                seconds_on_clock: to_the_nanosecond(clip.placed.to.0 - clip.placed.from.0),
            },
        },
    }
}

fn marker<'a>(
    line_up: &'a LineUp<'a>,
    clock: ShootClock,
    found: &'a Found,
    first: Frames,
) -> Marker<'a> {
    let at = found.at.map_or(first, |at| clock.nearest_frame(at));
    let device = found.device.and_then(|number| line_up.devices.get(number));
    let numbers = found.recordings.iter();
    let files = numbers.filter_map(|number| line_up.recordings.get(*number));
    Marker {
        schema: "Marker.2",
        name: found.heading.clone(),
        color: color(found.kind),
        comment: format!("{} {}", found.text, found.remedy),
        marked_range: range(clock, (at - first).max(Frames(0)), Frames(1)),
        metadata: Metadata {
            plumbline: MarkerFacts::Finding(FindingFacts {
                kind: found.kind,
                place: &found.place,
                device: device.map(|device| device.name.as_str()),
                files: files
                    .map(|recording| recording.entry.summary.file.as_str())
                    .collect(),
            }),
        },
    }
}

/// A moment that somebody noted; where the timeline does not reach it, at its beginning, with words
/// that say so.
fn noted_marker(clock: ShootClock, placed: &PlacedMark, first: Frames) -> Marker<'_> {
    let mark = &placed.mark;
    let at = placed.at.map(|at| clock.nearest_frame(at) - first);
    let within = at.filter(|at| *at >= Frames(0));
    let comment = match within {
        Some(_) => mark.word.clone(),
        None => format!(
            "Noted at {}, before the first clip. {}",
            mark.address, mark.word
        ),
    };
    Marker {
        schema: "Marker.2",
        name: mark.title(),
        color: MARK_COLOR,
        comment: comment.trim_end().to_owned(),
        marked_range: range(clock, within.unwrap_or_default(), Frames(1)),
        metadata: Metadata {
            plumbline: MarkerFacts::Mark(mark),
        },
    }
}

/// Finer than anything that was measured, and not the noise of floating point, which other programs
/// write with fewer figures.
fn to_the_nanosecond(seconds: f64) -> f64 {
    (seconds * 1e9).round() / 1e9
}

/// Red where a place is missing or in doubt, yellow where it is only worth knowing.
fn color(kind: ShootFindingKind) -> &'static str {
    use ShootFindingKind as Kind;
    match kind {
        Kind::Unread
        | Kind::NoPlace
        | Kind::OtherRate
        | Kind::SameTimeTwice
        | Kind::Leaps
        | Kind::SoundTwice => "RED",
        Kind::SoundAgainstCode
        | Kind::CodesDiffer
        | Kind::SetAgain
        | Kind::Drift
        | Kind::Lag
        | Kind::NoCode
        | Kind::UserBits
        | Kind::LongerThanADay
        | Kind::Days
        | Kind::Midnight => "YELLOW",
    }
}

fn without_place<'a>(line_up: &'a LineUp<'a>) -> Vec<WithoutPlace<'a>> {
    let nowhere = line_up.recordings.iter();
    nowhere
        .filter(|recording| recording.placed.is_none())
        .map(|recording| WithoutPlace {
            file: &recording.entry.summary.file,
            folder: &recording.entry.folder,
            error: recording.entry.summary.error.as_deref(),
        })
        .collect()
}

/// A file's name as a relative reference: all but unreserved characters are percent-encoded
/// (RFC 3986, clauses 2.1 and 2.3).
fn url(file: &str) -> String {
    let encoded = |byte: u8| {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            char::from(byte).to_string()
        } else {
            format!("%{byte:02X}")
        }
    };
    file.bytes().map(encoded).collect()
}
