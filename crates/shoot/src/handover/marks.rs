//! What somebody noted while listening, as texts that other programs open.

use super::otio::{Metadata, Range, Time};
use crate::lineup::place::timebase;
use plumbline_timecode::TimeAddress;
use plumbline_words::csv_row;
use serde::{Deserialize, Serialize};

/// A moment that somebody noted.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Mark {
    /// The time address.
    pub address: String,
    /// The rate of the code, by name.
    pub rate: String,
    /// Whether it counts drop-frame.
    pub drop_frame: bool,
    /// What was heard: "channel 1", "the clock that is held".
    pub heard: String,
    /// The device's own date and time: "2026-11-28 18:04:05".
    pub made: String,
    /// What was noted.
    pub word: String,
    /// The scene.
    pub scene: String,
    /// The take.
    pub take: String,
}

const HEADING: &str = "address,rate,count,word,scene,take,heard,made";

/// The marks as CSV (RFC 4180), with a heading line.
///
/// ```
/// use plumbline_shoot::handover::{Mark, marks_table};
/// let mark = Mark {
///     address: "10:00:00:12".into(),
///     rate: "25".into(),
///     word: "gull over the line, again".into(),
///     ..Mark::default()
/// };
/// let table = marks_table(&[mark]);
/// assert_eq!(
///     table.lines().nth(1),
///     Some("10:00:00:12,25,non-drop,\"gull over the line, again\",,,,"),
/// );
/// ```
pub fn marks_table(marks: &[Mark]) -> String {
    let rows = marks.iter().map(|mark| {
        csv_row([
            mark.address.as_str(),
            &mark.rate,
            if mark.drop_frame {
                "drop-frame"
            } else {
                "non-drop"
            },
            &mark.word,
            &mark.scene,
            &mark.take,
            &mark.heard,
            &mark.made,
        ])
    });
    let lines: Vec<String> = [HEADING.to_owned()].into_iter().chain(rows).collect();
    lines.join("\r\n") + "\r\n"
}

/// The marks as an `OpenTimelineIO` timeline that begins at midnight: a marker a mark, each at its
/// own rate. One whose address is none stands at midnight, and says so.
pub fn marks_otio(marks: &[Mark], name: &str) -> String {
    let timeline = Timeline {
        schema: "Timeline.1",
        name,
        tracks: Stack {
            schema: "Stack.1",
            name: "tracks",
            children: [],
            markers: marks.iter().map(marker).collect(),
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
    tracks: Stack<'a>,
}

#[derive(Serialize)]
struct Stack<'a> {
    #[serde(rename = "OTIO_SCHEMA")]
    schema: &'static str,
    name: &'static str,
    children: [(); 0],
    markers: Vec<Marker<'a>>,
}

#[derive(Serialize)]
struct Marker<'a> {
    #[serde(rename = "OTIO_SCHEMA")]
    schema: &'static str,
    name: String,
    color: &'static str,
    comment: &'a str,
    marked_range: Range,
    metadata: Metadata<&'a Mark>,
}

fn marker(mark: &Mark) -> Marker<'_> {
    let timebase = timebase(&mark.rate, mark.drop_frame);
    let address =
        timebase.and_then(|timebase| TimeAddress::parse(&mark.address, timebase.count()).ok());
    let rate = timebase.map_or(25.0, |timebase| timebase.rate().fraction().as_f64());
    let time = |value: f64| Time {
        schema: "RationalTime.1",
        rate,
        value,
    };
    let noted: Vec<&str> = [&mark.scene, &mark.take, &mark.word]
        .into_iter()
        .map(String::as_str)
        .filter(|text| !text.is_empty())
        .collect();
    Marker {
        schema: "Marker.2",
        name: if noted.is_empty() {
            mark.address.clone()
        } else {
            noted.join(" · ")
        },
        color: "RED",
        comment: &mark.word,
        marked_range: Range {
            schema: "TimeRange.1",
            start_time: time(address.map_or(0.0, |address| f64::from(address.frame_number().0))),
            duration: time(1.0),
        },
        metadata: Metadata { plumbline: mark },
    }
}
