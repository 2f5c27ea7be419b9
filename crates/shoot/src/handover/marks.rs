//! What somebody noted while listening, as texts that other programs open.

use super::otio::{Metadata, Range, Time};
use crate::mark::Mark;
use plumbline_words::csv_row;
use serde::Serialize;

/// One of the colours that the format names.
pub(super) const MARK_COLOR: &str = "GREEN";

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
    let at = mark.at();
    let rate = at.map_or(25.0, |(timebase, _)| timebase.rate().fraction().as_f64());
    let time = |value: f64| Time {
        schema: "RationalTime.1",
        rate,
        value,
    };
    let frame = at.map_or(0.0, |(_, address)| f64::from(address.frame_number().0));
    Marker {
        schema: "Marker.2",
        name: mark.title(),
        color: MARK_COLOR,
        comment: &mark.word,
        marked_range: Range {
            schema: "TimeRange.1",
            start_time: time(frame),
            duration: time(1.0),
        },
        metadata: Metadata { plumbline: mark },
    }
}
