//! What the file's own metadata says.

use crate::findings::Stamp;
use crate::report::Embedded;
use plumbline_media::{Counting, Creation, Header, TimecodeTrack, When};
use plumbline_timecode::{Fraction, Rounding, SampleRate, Samples, Timebase};
use plumbline_words::{Fact, counted};

/// The start times that the metadata states, in the file's own samples.
pub(crate) fn stamps(header: &Header) -> Vec<Stamp> {
    let bext = header.bext.as_ref().map(|bext| Stamp {
        source: "bext",
        samples: bext.time_reference,
        address: None,
        timebase: stated(header),
    });
    let tracks = header.timecodes.iter();
    bext.into_iter()
        .chain(ixml_stamp(header))
        .chain(tracks.filter_map(|track| track_stamp(track, header.sample_rate)))
        .collect()
}

fn track_stamp(track: &TimecodeTrack, hertz: u32) -> Option<Stamp> {
    let address = track.start()?;
    let rate = SampleRate::hertz(hertz).ok()?;
    let samples = track.timebase()?.samples_at(address, rate).ok()?;
    Some(Stamp {
        source: "tmcd",
        samples: u64::try_from(samples.round(Rounding::Nearest)).ok()?,
        address: Some(address),
        timebase: track.timebase(),
    })
}

fn ixml_stamp(header: &Header) -> Option<Stamp> {
    let speed = header.ixml.as_ref()?.speed.as_ref()?;
    let samples = speed.samples_since_midnight?;
    // The stamp counts at its own rate, which need not be the file's.
    let own = u64::from(
        speed
            .timestamp_sample_rate
            .unwrap_or(header.sample_rate)
            .max(1),
    );
    let file = u64::from(header.sample_rate);
    let samples = (u128::from(samples) * u128::from(file) + u128::from(own / 2)) / u128::from(own);
    Some(Stamp {
        source: "ixml",
        samples: u64::try_from(samples).ok()?,
        address: None,
        timebase: stated(header),
    })
}

/// The rate and count that the iXML states.
fn stated(header: &Header) -> Option<Timebase> {
    header.ixml.as_ref()?.speed.as_ref()?.timebase()
}

/// The stamps as the report has them, at the rate of the code, or else at the metadata's own.
pub(crate) fn embedded(
    header: &Header,
    stamps: &[Stamp],
    timebase: Option<Timebase>,
) -> Vec<Embedded> {
    let timebase = timebase.or_else(|| stated(header));
    stamps
        .iter()
        .map(|stamp| Embedded {
            source: stamp.source.to_owned(),
            start: stamp
                .address
                .map(|address| address.to_string())
                .or_else(|| {
                    timebase
                        .and_then(|timebase| address(stamp.samples, timebase, header.sample_rate))
                }),
            samples_since_midnight: stamp.samples,
        })
        .collect()
}

/// The address of the frame in progress at a stamp, in samples since midnight. A stamp is a whole number of samples, up to
/// half a sample before the instant that was meant (EBU Tech 3285), so that much is allowed for.
pub(crate) fn address(samples: u64, timebase: Timebase, hertz: u32) -> Option<String> {
    let rate = SampleRate::hertz(hertz).ok()?;
    let meant = Fraction::new(i128::from(samples) * 2 + 1, 2)?;
    let address = timebase
        .address_at_samples(Samples(meant), rate, Rounding::Down)
        .ok()?;
    Some(address.to_string())
}

/// What the metadata says that a person may want to see.
pub(crate) fn notes(header: &Header) -> Vec<Fact> {
    let mut notes = Vec::new();
    let mut note = |label: &str, value: Option<&str>| {
        if let Some(value) = value.map(str::trim).filter(|value| !value.is_empty()) {
            notes.push(Fact::new(label, value));
        }
    };
    if let Some(ixml) = &header.ixml {
        note("Project", ixml.project.as_deref());
        note("Scene", ixml.scene.as_deref());
        note("Take", ixml.take.as_deref());
        note("Tape", ixml.tape.as_deref());
        note("Note", ixml.note.as_deref());
        note("User bits in the metadata", ixml.ubits.as_deref());
        let tracks: Vec<String> = ixml
            .tracks
            .iter()
            .filter_map(|track| {
                track
                    .name
                    .as_deref()
                    .map(str::trim)
                    .filter(|n| !n.is_empty())
            })
            .map(ToOwned::to_owned)
            .collect();
        note("Tracks", Some(&tracks.join(", ")));
    }
    if let Some(bext) = &header.bext {
        note("Description", Some(&bext.description));
        note("Originator", Some(&bext.originator));
        note(
            "Recorded",
            Some(&format!(
                "{} {}",
                bext.origination_date, bext.origination_time
            )),
        );
    }
    note("Created", header.creation.as_ref().map(created).as_deref());
    for track in &header.timecodes {
        note("Timecode track", Some(&counted_at(track)));
        note("Reel", track.reel.as_deref());
    }
    notes
}

/// "2025-11-26 09:12:44 UTC (mvhd)": what the file says, and where.
fn created(creation: &Creation) -> String {
    let place = creation.place;
    match &creation.when {
        When::Written(text) => format!("{text} ({place})"),
        When::Utc { date, second } => {
            let (hour, minute, second) = (second / 3600, second / 60 % 60, second % 60);
            let (year, month, day) = (date.year(), date.month(), date.day());
            format!("{year}-{month:02}-{day:02} {hour:02}:{minute:02}:{second:02} UTC ({place})")
        }
    }
}

/// "10:00:00:00 at 25", and what is odd about it.
fn counted_at(track: &TimecodeTrack) -> String {
    let parts = match track.starts.len() {
        0 | 1 => String::new(),
        more => format!(", then {} more", counted(more as u64 - 1, "start")),
    };
    let odd = if track.agrees_with_itself() {
        String::new()
    } else {
        format!(", though it says {} frames a second", track.frames_a_second)
    };
    match (track.start(), track.timebase(), track.counting) {
        (Some(start), Some(timebase), _) => format!("{start} at {timebase}{odd}{parts}"),
        (None, _, Counting::Counter) => "a counter, no time of day".to_owned(),
        _ => format!(
            "{}/{} frames a second, which is no known rate",
            track.time_scale, track.frame_duration
        ),
    }
}
