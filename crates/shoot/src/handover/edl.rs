//! A shoot as edit lists in the layout of CMX 3600.
//!
//! ```text
//! TITLE: The last crossing, Deck camera
//! FCM: NON-DROP FRAME
//! 001  DECK0417 V     C        14:03:20:06 14:04:20:06 14:03:20:06 14:04:20:06
//! * FROM CLIP NAME: ferry-deck-camera_0417.mov
//! * SOURCE FILE: deck/ferry-deck-camera_0417.mov
//! ```
//!
//! Outs are exclusive, and a source is as long as its record. An event that passes midnight, in the
//! record or in the source, is cut there, and what comes after the record's midnight goes into a
//! list of its own: readers sort by address. The out of a part that ends at midnight is 24:00:00:00;
//! 00:00:00:00 would stand before its in, and readers then make its length less than 0.
//!
//! What overlaps goes into a further list, and so does what is past 999 events. Of a recording that
//! is longer than a day the first day is listed, with a comment that says how much is not.

use super::clips::{self, Clip, Kind};
use super::reels::Reels;
use crate::lineup::{LineUp, Recording, ShootClock};
use plumbline_timecode::{Count, FrameNumber, Frames, TimeAddress};
use std::collections::BTreeMap;

/// Which recordings share a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lists {
    /// Those of one device.
    OneADevice,
    /// All, in as few lists as hold them without an overlap.
    OneForAll,
}

/// An edit list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EditList {
    /// What tells it apart: "Deck camera", "Deck camera 2". It may hold any letter.
    pub name: String,
    /// The list, its lines ended by a line feed.
    pub text: String,
}

/// No list holds more events. From memory.
const EVENTS: usize = 999;

/// The lists, under a title for the whole; none where there is no recording.
///
/// A recording without a place is a comment at the end of the last list of its device, and of the
/// last list where there is one for all.
pub fn edit_lists(line_up: &LineUp<'_>, title: &str, lists: Lists) -> Vec<EditList> {
    let everyone = line_up.devices.iter().enumerate();
    let groups: Vec<(&str, Option<usize>)> = match lists {
        Lists::OneADevice => everyone
            .map(|(number, device)| (device.name.as_str(), Some(number)))
            .collect(),
        Lists::OneForAll if line_up.recordings.is_empty() => Vec::new(),
        Lists::OneForAll => vec![("All recordings", None)],
    };
    let clips = line_up.clock.map(|clock| clips::clips(line_up, clock));
    let mut reels = Reels::default();
    let recordings = line_up.recordings.iter();
    let known = Known {
        line_up,
        clips: clips.unwrap_or_default(),
        reels: recordings.map(|recording| reels.of(recording)).collect(),
        title,
    };
    groups
        .into_iter()
        .flat_map(|(name, device)| known.lists(name, device))
        .collect()
}

struct Known<'a> {
    line_up: &'a LineUp<'a>,
    clips: Vec<Clip<'a>>,
    /// The reel of each recording.
    reels: Vec<String>,
    title: &'a str,
}

/// Part of a clip, on one day of the record and one of the source.
struct Event<'c, 'a> {
    clip: &'c Clip<'a>,
    record: Frames,
    source: Frames,
    length: Frames,
}

impl Known<'_> {
    /// The lists of one device, or of all.
    fn lists(&self, name: &str, device: Option<usize>) -> Vec<EditList> {
        let ours = |recording: &Recording<'_>| device.is_none_or(|own| recording.device == own);
        let nowhere = self.line_up.recordings.iter();
        let nowhere = nowhere.filter(|recording| ours(recording) && recording.placed.is_none());
        let nowhere: String = nowhere.map(without_place).collect();
        let own = self.clips.iter().filter(|clip| ours(clip.recording));
        let own: Vec<Clip<'_>> = own.cloned().collect();
        let mut bodies = self
            .line_up
            .clock
            .map(|clock| self.bodies(&own, clock))
            .unwrap_or_default();
        match bodies.last_mut() {
            Some(last) => last.push_str(&nowhere),
            None => bodies.push(nowhere),
        }
        let numbered = bodies.into_iter().enumerate();
        numbered
            .map(|(number, body)| {
                let name = match number {
                    0 => name.to_owned(),
                    number => format!("{name} {}", number + 1),
                };
                let text = format!("{}{body}", self.head(&name));
                EditList { name, text }
            })
            .collect()
    }

    fn head(&self, name: &str) -> String {
        let drop = self.line_up.clock.map(|clock| clock.timebase.count());
        let counting = if drop.is_some_and(Count::is_drop) {
            "DROP FRAME"
        } else {
            "NON-DROP FRAME"
        };
        let title = one_line(&format!("{}, {name}", self.title));
        format!("TITLE: {title}\nFCM: {counting}\n")
    }

    /// The events of the lists that hold these clips.
    fn bodies(&self, own: &[Clip<'_>], clock: ShootClock) -> Vec<String> {
        let day = Frames(i64::from(clock.timebase.count().frames_per_day()));
        let lanes = Kind::BOTH.into_iter().flat_map(|kind| {
            let own = own.iter().filter(|clip| clip.kind == kind).cloned();
            clips::lanes(own.collect()).into_iter().enumerate()
        });
        // Picture and sound are channels of one list.
        let lanes: Vec<(usize, Vec<Clip<'_>>)> = lanes.collect();
        let mut lists: BTreeMap<(i64, usize), Vec<Event<'_, '_>>> = BTreeMap::new();
        for (lane, clips) in &lanes {
            for event in clips.iter().flat_map(|clip| parts(clip, day)) {
                let which = (event.record.0.div_euclid(day.0), *lane);
                lists.entry(which).or_default().push(event);
            }
        }
        lists
            .into_values()
            .flat_map(|mut events| {
                events.sort_by_key(|event| event.record);
                let chunks = events.chunks(EVENTS);
                chunks
                    .map(|events| self.events(events, clock.timebase.count()))
                    .collect::<Vec<_>>()
            })
            .collect()
    }

    fn events(&self, events: &[Event<'_, '_>], count: Count) -> String {
        let numbered = (1..).zip(events);
        numbered
            .map(|(number, event)| self.event(number, event, count))
            .collect()
    }

    fn event(&self, number: usize, event: &Event<'_, '_>, count: Count) -> String {
        let entry = &event.clip.recording.entry;
        let reel = self.reels.get(event.clip.number);
        let reel = reel.map(String::as_str).unwrap_or_default();
        let channel = match event.clip.kind {
            Kind::Picture => "V",
            Kind::Sound => "A",
        };
        let span = |from: Frames| {
            let until = end_of(from + event.length, count);
            format!("{} {until}", address(from, count))
        };
        let (source, record) = (span(event.source), span(event.record));
        let folder = match entry.folder.as_str() {
            "" => String::new(),
            folder => format!("{folder}/"),
        };
        format!(
            "{number:03}  {reel:<8} {channel:<5} C        {source} {record}\n\
             * FROM CLIP NAME: {file}\n* SOURCE FILE: {folder}{file}\n{cut}",
            file = one_line(&entry.summary.file),
            folder = one_line(&folder),
            cut = event.cut(count),
        )
    }
}

impl Event<'_, '_> {
    /// What of its clip is in no list, at the clip's last part.
    fn cut(&self, count: Count) -> String {
        let day = Frames(i64::from(count.frames_per_day()));
        let left = self.clip.length - day;
        let is_last = self.record + self.length == self.clip.at + self.clip.length.min(day);
        if left <= Frames(0) || !is_last {
            return String::new();
        }
        format!(
            "* LONGER THAN A DAY: ITS LAST {} FRAMES ARE NOT IN THIS LIST\n",
            left.0
        )
    }
}

/// A clip cut where its record or its source passes midnight. No address tells days apart, so more
/// than a day of one recording is left out.
fn parts<'c, 'a>(clip: &'c Clip<'a>, day: Frames) -> Vec<Event<'c, 'a>> {
    let (mut record, mut source) = (clip.at, clip.source);
    let mut left = clip.length.min(day);
    let mut parts = Vec::new();
    while left > Frames(0) {
        let until_midnight = |at: Frames| day - Frames(at.0.rem_euclid(day.0));
        let length = left.min(until_midnight(record)).min(until_midnight(source));
        parts.push(Event {
            clip,
            record,
            source,
            length,
        });
        (record, source) = (record + length, source + length);
        left = left - length;
    }
    parts
}

fn address(at: Frames, count: Count) -> TimeAddress {
    TimeAddress::midnight(count).plus_wrapping(at)
}

/// An exclusive end: at midnight it belongs to the day that ends.
fn end_of(at: Frames, count: Count) -> String {
    let midnight = address(at, count);
    if midnight.frame_number() == FrameNumber(0) {
        midnight.to_string().replacen("00", "24", 1)
    } else {
        midnight.to_string()
    }
}

fn without_place(recording: &Recording<'_>) -> String {
    let entry = &recording.entry;
    let why = match &entry.summary.error {
        Some(_) => "could not be read",
        None => "nothing says when",
    };
    format!(
        "* WITHOUT PLACE: {} ({why})\n",
        one_line(&entry.summary.file)
    )
}

/// A text that stays on its line.
fn one_line(text: &str) -> String {
    let breaks = |c: char| c.is_control() || matches!(c, '\u{2028}' | '\u{2029}');
    text.replace(breaks, " ")
}
