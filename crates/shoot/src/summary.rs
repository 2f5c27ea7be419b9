//! What a shoot needs to know of one recording: little enough to be kept for hundreds of them, and
//! to be saved.

use crate::facts::{Extent, Facts};
use crate::findings::{self, Stamp};
use crate::recording::Heard;
use crate::report::Report;
use plumbline_media::{Bext, Creation, Header, When};
use serde::{Deserialize, Serialize};

/// One recording, as far as the others are concerned.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(default)]
pub struct Summary {
    /// The file's name.
    pub file: String,
    /// The container, as in the report.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub container: Option<String>,
    /// Samples a second; 0 where nothing could be read.
    pub sample_rate: u32,
    /// Samples in each channel.
    pub samples: u64,
    /// How many channels.
    pub channels: u16,
    /// Who or what made the file, as it says.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub originator: Option<String>,
    /// When the file was made by its device's own clock, as it says: `2026-11-27T09:07:06`, or the
    /// date alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub made: Option<String>,
    /// The reel or tape that the file names.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reel: Option<String>,
    /// The code of each channel that has a start, the best first.
    pub codes: Vec<CodeLine>,
    /// Start times that the metadata states.
    pub stamps: Vec<StampLine>,
    /// How many findings the recording has of its own.
    pub findings: u32,
    /// What stopped the reading.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub error: Option<String>,
}

/// Where the code of one channel puts the recording.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(default)]
pub struct CodeLine {
    /// The channel, counted from 0.
    pub channel: u16,
    /// The frame rate by its trade name.
    pub rate: String,
    /// Whether the frames are counted drop-frame.
    pub drop_frame: bool,
    /// The first sample, in the recording's samples since the midnight of the code.
    pub start: f64,
    /// How fast the code's clock runs against the recorder's, in parts per million.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clock_ppm: Option<f64>,
    /// One standard deviation of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clock_ppm_uncertainty: Option<f64>,
    /// The user bits of the first codeword, binary group 8 first; none if they could not be told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub user_bits: Option<String>,
    /// Where code was read, in seconds of the recording's clock.
    pub runs: Vec<Run>,
    /// Whether it is another channel's code that leaks in: what the channel was meant to record is its
    /// sound.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub leaks: bool,
    /// Whether the address leaps in it: then only what stands before the first leap is in its
    /// place.
    pub leaps: bool,
}

/// A part of a recording in which code was read.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Run {
    /// Where it begins, in seconds of the recording's clock.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
}

/// A start time that the metadata states.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct StampLine {
    /// Where it stands, as in the report.
    pub source: String,
    /// The first sample, in the file's samples since midnight.
    pub start: f64,
    /// How many frames it is ahead of the first code, where there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ahead: Option<f64>,
    /// How finely it is stated.
    pub steps: Steps,
    /// The frame rate that the metadata states, by its trade name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rate: Option<String>,
    /// Whether it states drop-frame.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub drop_frame: bool,
}

/// How finely a start time is stated.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Steps {
    /// In whole frames.
    #[default]
    Frames,
    /// To the sample.
    Samples,
}

/// Runs that are kept; what is closer together than the eye can see is one.
const RUNS: usize = 200;

/// The summary of a recording that was read.
pub(crate) fn of(
    report: &Report,
    header: &Header,
    heard: &[Heard<'_>],
    stamps: &[Stamp],
) -> Summary {
    let bext = header.bext.as_ref();
    let ixml = header.ixml.as_ref();
    let originator = bext.map(|bext| bext.originator.as_str());
    let tape = ixml.and_then(|ixml| ixml.tape.as_deref());
    let reel = header
        .timecodes
        .iter()
        .find_map(|track| track.reel.as_deref());
    let first = heard.first().map(|heard| &heard.facts);
    Summary {
        file: report.file.clone(),
        container: report.container.clone(),
        sample_rate: header.sample_rate,
        samples: report.samples.unwrap_or(0),
        channels: header.channels(),
        originator: said(originator),
        made: bext
            .and_then(made)
            .or_else(|| header.creation.as_ref().and_then(created)),
        reel: said(reel).or_else(|| said(tape)),
        codes: heard.iter().filter_map(code_line).collect(),
        stamps: stamps
            .iter()
            .map(|stamp| stamp_line(*stamp, first))
            .collect(),
        findings: u32::try_from(heard.iter().map(|heard| heard.found.len()).sum::<usize>())
            .unwrap_or(u32::MAX),
        error: report.error.as_ref().map(|error| error.text.clone()),
    }
}

/// Date and time of a `bext` (EBU Tech 3285 clause 2.3 allows any separator), the date alone where
/// its time is none.
fn made(bext: &Bext) -> Option<String> {
    let date = digits(&bext.origination_date, [4, 2, 2])?;
    // A field of noughts was never filled in.
    if date
        .iter()
        .all(|part| part.bytes().all(|byte| byte == b'0'))
    {
        return None;
    }
    let date = date.join("-");
    let time = digits(&bext.origination_time, [2, 2, 2]);
    Some(time.map_or_else(|| date.clone(), |time| format!("{date}T{}", time.join(":"))))
}

/// What films and other files say instead: in UTC, where it is in numbers.
fn created(creation: &Creation) -> Option<String> {
    match &creation.when {
        When::Written(text) => Some(digits(text, [4, 2, 2])?.join("-")),
        When::Utc { date, second } => {
            let (year, month, day) = (date.year(), date.month(), date.day());
            let (hour, minute, second) = (second / 3600, second / 60 % 60, second % 60);
            Some(format!(
                "{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}"
            ))
        }
    }
}

/// Three numbers of so many digits each, with one letter between them.
fn digits(text: &str, lengths: [usize; 3]) -> Option<[&str; 3]> {
    let mut at = 0;
    let mut next = |length: usize| {
        let part = text.get(at..at + length)?;
        at += length + 1;
        part.bytes()
            .all(|byte| byte.is_ascii_digit())
            .then_some(part)
    };
    let [a, b, c] = lengths;
    Some([next(a)?, next(b)?, next(c)?])
}

fn said(text: Option<&str>) -> Option<String> {
    let text = text?.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

fn code_line(heard: &Heard<'_>) -> Option<CodeLine> {
    let facts = &heard.facts;
    let clock = facts.clock_ppm();
    Some(CodeLine {
        channel: facts.channel,
        rate: facts.timebase.rate().name().to_owned(),
        drop_frame: facts.timebase.count().is_drop(),
        start: facts.start()?.samples,
        clock_ppm: clock.map(|(ppm, _)| ppm),
        clock_ppm_uncertainty: clock.and_then(|(_, deviation)| deviation),
        user_bits: facts
            .stretches()
            .first()?
            .user_bits()
            .map(|bits| bits.to_string()),
        runs: runs(facts),
        leaks: findings::is_a_leak(&heard.found),
        leaps: heard.found.iter().any(|found| found.finding.kind.leaps()),
    })
}

fn runs(facts: &Facts<'_>) -> Vec<Run> {
    let Extent { samples, .. } = facts.extent;
    let apart = facts.extent.seconds(samples as f64) / RUNS as f64;
    let mut runs: Vec<Run> = Vec::new();
    for bar in crate::drawing::bars(facts) {
        match runs.last_mut() {
            Some(last) if bar.from - last.to < apart => last.to = last.to.max(bar.to),
            _ => runs.push(Run {
                from: bar.from,
                to: bar.to,
            }),
        }
    }
    runs.truncate(RUNS);
    runs
}

fn stamp_line(stamp: Stamp, facts: Option<&Facts<'_>>) -> StampLine {
    let start = facts.and_then(|facts| Some((facts, facts.start()?)));
    let ahead = start.map(|(facts, start)| stamp.ahead_of(facts, start));
    let in_frames = facts.is_some_and(|facts| {
        let frames = stamp.samples as f64 / facts.nominal;
        (frames - frames.round()).abs() * facts.nominal < 1.0
    });
    StampLine {
        source: stamp.source.to_owned(),
        start: stamp.samples as f64,
        ahead,
        steps: if in_frames || stamp.address.is_some() {
            Steps::Frames
        } else {
            Steps::Samples
        },
        rate: stamp
            .timebase
            .map(|timebase| timebase.rate().name().to_owned()),
        drop_frame: stamp
            .timebase
            .is_some_and(|timebase| timebase.count().is_drop()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_date_is_taken_with_any_separator_and_never_made_up() {
        let made = |date: &str, time: &str| {
            made(&Bext {
                origination_date: date.into(),
                origination_time: time.into(),
                ..Bext::default()
            })
        };
        let whole = Some("2026-11-27T09:07:06".to_owned());
        assert_eq!(made("2026-11-27", "09:07:06"), whole);
        // EBU Tech 3285 clause 2.3 names -, _, :, space and the full stop.
        assert_eq!(made("2026:11_27", "09 07.06"), whole);
        assert_eq!(made("2026-11-27", ""), Some("2026-11-27".into()));
        for date in ["", "0000-00-00", "27-11-2026", "2026-11-2é", "soon"] {
            assert_eq!(made(date, "09:07:06"), None, "{date}");
        }
    }

    #[test]
    fn a_film_says_it_in_utc_and_others_as_it_was_written() {
        let made = |when| {
            created(&Creation {
                place: "mvhd",
                when,
            })
        };
        let date = plumbline_timecode::Date::new(2026, 11, 27).unwrap();
        let second = 9 * 3_600 + 7 * 60 + 6;
        let utc = made(When::Utc { date, second });
        assert_eq!(utc.as_deref(), Some("2026-11-27T09:07:06"));
        let written = |text: &str| made(When::Written(text.into()));
        assert_eq!(written("2026-11-27").as_deref(), Some("2026-11-27"));
        assert_eq!(written("autumn"), None);
    }
}
