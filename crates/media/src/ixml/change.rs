//! A few values of an iXML changed, and every other byte of it as it was.

use std::fmt::Display;
use std::ops::Range;

use super::tree::{Element, Tree};
use super::write::escaped;
use super::{Ixml, encoding};
use crate::Malformed;
use crate::stamp::Channels;

/// What an iXML is to say. Elements that are missing are added; what is none stays as it is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Wanted<'a> {
    pub(crate) samples_since_midnight: u64,
    pub(crate) sample_rate: u32,
    /// `TIMECODE_RATE` and `TIMECODE_FLAG`.
    pub(crate) rate_and_flag: Option<(&'a str, &'a str)>,
    pub(crate) tape: Option<&'a str>,
    pub(crate) channels: &'a Channels,
}

/// Bytes of the chunk's content, and what stands for them.
pub(crate) type Change = (Range<usize>, Vec<u8>);

impl Ixml {
    /// What has to change in a chunk's content, in order. Fails where it can't be read to its end:
    /// then nothing tells where what is missing belongs.
    pub(crate) fn changes(content: &[u8], wanted: &Wanted) -> Result<Vec<Change>, Malformed> {
        let source = encoding::decode(content);
        let Tree { root, fault } = Tree::read(&source);
        let root = match (root, fault) {
            (Some(_), Some(what)) => return Err(Malformed::BrokenXml { what }),
            (None, what) => {
                let what = what.unwrap_or_else(|| "it is empty".to_owned());
                return Err(Malformed::NotXml { what });
            }
            (Some(root), None) => root,
        };
        if !root.is("BWFXML") {
            let found = root.name().to_owned();
            return Err(Malformed::NotIxml { found });
        }
        let mut changes = Changes {
            source: &source,
            made: Vec::new(),
        };
        changes.start(&root, wanted);
        changes.tracks(&root, wanted.channels);
        changes
            .made
            .sort_by_key(|(range, _)| (range.start, range.end));
        Ok(encoding::encode(content, changes.made))
    }
}

/// Ranges of the text, and what stands for them.
struct Changes<'s> {
    source: &'s str,
    made: Vec<(Range<usize>, String)>,
}

impl Changes<'_> {
    fn start(&mut self, root: &Element, wanted: &Wanted) {
        let mut in_root = Vec::new();
        in_root.extend(wanted.tape.map(|tape| ("TAPE", tape.to_owned())));
        let added = match root.child("SPEED") {
            Some(speed) => {
                self.set(speed, wanted.speed());
                String::new()
            }
            None => element("SPEED", &elements(&wanted.speed())),
        };
        self.set_and_add(root, in_root, &added);
        if let Some(copy) = root.child("BEXT") {
            let names = ["BWF_TIME_REFERENCE_HIGH", "BWF_TIME_REFERENCE_LOW"];
            let halves = halves(names, wanted.samples_since_midnight);
            let there = halves
                .into_iter()
                .filter(|(name, _)| copy.child(name).is_some());
            self.set(copy, there.collect());
        }
    }

    /// Without the tracks of channels that are left out, and with the places of the others.
    fn tracks(&mut self, root: &Element, channels: &Channels) {
        let Some(list) = root.child("TRACK_LIST").filter(|_| !channels.are_all()) else {
            return;
        };
        let mut stay = 0;
        for (position, track) in (1..).zip(root.items("TRACK")) {
            let index = track.number::<u16>("INTERLEAVE_INDEX");
            let channel = index.unwrap_or(position).checked_sub(1);
            // A place that no channel has says nothing about one that is left out.
            let place = channel.map_or(Some(None), |channel| channels.place(channel).map(Some));
            match place {
                None => self.take_out(track),
                Some(place) => {
                    stay += 1;
                    let moved = place.filter(|_| index.is_some() && place != channel);
                    if let Some(place) = moved {
                        self.set(track, vec![("INTERLEAVE_INDEX", (place + 1).to_string())]);
                    }
                }
            }
        }
        if list.child("TRACK_COUNT").is_some() {
            self.set(list, vec![("TRACK_COUNT", stay.to_string())]);
        }
    }

    /// Sets elements in another one; those that say so already stay as they are.
    fn set(&mut self, parent: &Element, values: Vec<(&'static str, String)>) {
        self.set_and_add(parent, values, "");
    }

    fn set_and_add(&mut self, parent: &Element, values: Vec<(&'static str, String)>, add: &str) {
        let mut missing = Vec::new();
        for (name, value) in values {
            match parent.child(name) {
                None => missing.push((name, value)),
                Some(_) if parent.text(name).is_some_and(|text| text == value) => {}
                Some(child) => self.fill(child, child.content(), &escaped(&value)),
            }
        }
        let added = elements(&missing) + add;
        if !added.is_empty() {
            let end = parent.content().end;
            self.fill(parent, end..end, &added);
        }
    }

    /// Puts `to` for a range of an element's content. An element that is closed where it is opened
    /// gets an end of its own.
    fn fill(&mut self, element: &Element, range: Range<usize>, to: &str) {
        let opened = self.source.get(..range.start).unwrap_or_default();
        let tag = self.source.get(element.whole()).unwrap_or_default();
        let is_closed = element.whole().end == range.start;
        match opened.strip_suffix("/>").filter(|_| is_closed) {
            None => self.made.push((range, to.to_owned())),
            Some(before) => {
                let ends = |c: char| c.is_whitespace() || matches!(c, '/' | '>');
                let name = tag.trim_start_matches('<').split(ends).next();
                let name = name.unwrap_or_default();
                self.made
                    .push((before.len()..range.end, format!(">{to}</{name}>")));
            }
        }
    }

    /// Takes an element out, and the space before it.
    fn take_out(&mut self, element: &Element) {
        let Range { start, end } = element.whole();
        let before = self.source.get(..start).unwrap_or_default();
        self.made
            .push((before.trim_end().len()..end, String::new()));
    }
}

impl Wanted<'_> {
    fn speed(&self) -> Vec<(&'static str, String)> {
        let names = [
            "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI",
            "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO",
        ];
        let mut speed = Vec::new();
        if let Some((rate, flag)) = self.rate_and_flag {
            speed.push(("TIMECODE_RATE", rate.to_owned()));
            speed.push(("TIMECODE_FLAG", flag.to_owned()));
        }
        speed.extend(halves(names, self.samples_since_midnight));
        speed.push(("TIMESTAMP_SAMPLE_RATE", self.sample_rate.to_string()));
        speed
    }
}

fn halves([high, low]: [&'static str; 2], value: u64) -> [(&'static str, String); 2] {
    [
        (high, (value >> 32).to_string()),
        (low, (value & u64::from(u32::MAX)).to_string()),
    ]
}

fn elements(values: &[(&'static str, String)]) -> String {
    let each = values.iter();
    each.map(|(name, value)| element(name, &escaped(value)))
        .collect()
}

fn element(name: &str, content: &impl Display) -> String {
    format!("<{name}>{content}</{name}>")
}
