//! iXML: what a recorder writes down beside the sound, as XML.

mod change;
mod encoding;
mod timebase;
mod tree;
mod write;

use plumbline_timecode::Timebase;

use crate::Malformed;
use tree::{Element, Tree};

pub(crate) use change::{Change, Wanted};
pub(crate) use timebase::{nearest, timebase};

/// What the iXML chunk says. Every part of it is optional.
///
/// Texts are as they stand, without the space around them. Markup where iXML has text (a tag in a
/// scene's name) is text.
///
/// The names of `NO_GOOD`, `FALSE_START`, `WILD_TRACK`, `LOCATION_NAME`, `USER` and of what stands
/// in `SYNC_POINT` and `BEXT` are from memory: no text of the specification had them at hand.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ixml {
    /// `IXML_VERSION`.
    pub version: Option<String>,
    /// `PROJECT`.
    pub project: Option<String>,
    /// `SCENE`.
    pub scene: Option<String>,
    /// `TAKE`.
    pub take: Option<String>,
    /// `TAPE`: the sound roll.
    pub tape: Option<String>,
    /// `NOTE`.
    pub note: Option<String>,
    /// `CIRCLED`: a take to be used.
    pub circled: Option<bool>,
    /// `NO_GOOD`.
    pub no_good: Option<bool>,
    /// `FALSE_START`.
    pub false_start: Option<bool>,
    /// `WILD_TRACK`: sound without a picture.
    pub wild_track: Option<bool>,
    /// `FILE_UID`.
    pub file_uid: Option<String>,
    /// `UBITS`: the user bits, as they stand.
    pub ubits: Option<String>,
    /// `SPEED`.
    pub speed: Option<Speed>,
    /// `TRACK_LIST`/`TRACK`, in the order of the file.
    pub tracks: Vec<IxmlTrack>,
    /// `FILE_SET`: the files that one recording was split into.
    pub file_set: Option<FileSet>,
    /// `HISTORY`.
    pub history: Option<History>,
    /// `SYNC_POINT_LIST`/`SYNC_POINT`, in the order of the file.
    pub sync_points: Vec<SyncPoint>,
    /// `BEXT`: a copy of the bext chunk. The chunk itself is what counts.
    pub bext: Option<BextCopy>,
    /// `LOCATION`/`LOCATION_NAME`.
    pub location: Option<String>,
    /// `USER`: free text.
    pub user: Option<String>,
}

/// `SPEED`: rates and the start time.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Speed {
    /// `NOTE`.
    pub note: Option<String>,
    /// `MASTER_SPEED`: frames a second of the finished picture, as it stands.
    pub master_speed: Option<String>,
    /// `CURRENT_SPEED`: frames a second of this file, as it stands.
    pub current_speed: Option<String>,
    /// `TIMECODE_RATE`, as it stands: `24000/1001`, but also `2997ND` and other short forms.
    pub timecode_rate: Option<String>,
    /// `TIMECODE_FLAG`, as it stands: `DF` or `NDF`.
    pub timecode_flag: Option<String>,
    /// `FILE_SAMPLE_RATE` in hertz. The fmt chunk is what counts.
    pub file_sample_rate: Option<u32>,
    /// `AUDIO_BIT_DEPTH`. The fmt chunk is what counts.
    pub audio_bit_depth: Option<u16>,
    /// `DIGITIZER_SAMPLE_RATE` in hertz: what the converters ran at.
    pub digitizer_sample_rate: Option<u32>,
    /// The first sample, counted from midnight: `TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI` and `_LO`,
    /// two halves of 32 bits.
    pub samples_since_midnight: Option<u64>,
    /// `TIMESTAMP_SAMPLE_RATE` in hertz: what that count is in.
    pub timestamp_sample_rate: Option<u32>,
}

/// `TRACK`: one channel.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct IxmlTrack {
    /// `CHANNEL_INDEX`: the recorder's number for the track, from 1.
    pub channel_index: Option<u32>,
    /// `INTERLEAVE_INDEX`: the channel of this file, from 1.
    pub interleave_index: Option<u32>,
    /// `NAME`.
    pub name: Option<String>,
    /// `FUNCTION`.
    pub function: Option<String>,
}

/// `FILE_SET`: which part of a recording this file is.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FileSet {
    /// `TOTAL_FILES`.
    pub total_files: Option<u32>,
    /// `FAMILY_UID`.
    pub family_uid: Option<String>,
    /// `FAMILY_NAME`.
    pub family_name: Option<String>,
    /// `FILE_SET_INDEX`, as it stands: often a letter.
    pub file_set_index: Option<String>,
}

/// `HISTORY`: what the file was made from.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct History {
    /// `ORIGINAL_FILENAME`.
    pub original_filename: Option<String>,
    /// `PARENT_FILENAME`.
    pub parent_filename: Option<String>,
    /// `PARENT_UID`.
    pub parent_uid: Option<String>,
}

/// `SYNC_POINT`: a moment that somebody marked.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SyncPoint {
    /// `SYNC_POINT_TYPE`, as it stands: `RELATIVE` or `ABSOLUTE`.
    pub kind: Option<String>,
    /// `SYNC_POINT_FUNCTION`, as it stands: `SLATE_GENERIC` and others.
    pub function: Option<String>,
    /// `SYNC_POINT_COMMENT`.
    pub comment: Option<String>,
    /// `SYNC_POINT_HIGH` and `_LOW`, two halves of 32 bits: samples from the start of the file or
    /// from midnight, as the type has it.
    pub samples: Option<u64>,
    /// `SYNC_POINT_EVENT_DURATION` in samples.
    pub duration: Option<u64>,
}

/// `BEXT`: a copy of the bext chunk.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BextCopy {
    /// `BWF_DESCRIPTION`.
    pub description: Option<String>,
    /// `BWF_ORIGINATOR`.
    pub originator: Option<String>,
    /// `BWF_ORIGINATOR_REFERENCE`.
    pub originator_reference: Option<String>,
    /// `BWF_ORIGINATION_DATE`.
    pub origination_date: Option<String>,
    /// `BWF_ORIGINATION_TIME`.
    pub origination_time: Option<String>,
    /// `BWF_TIME_REFERENCE_HIGH` and `_LOW`, two halves of 32 bits.
    pub time_reference: Option<u64>,
    /// `BWF_CODING_HISTORY`.
    pub coding_history: Option<String>,
}

impl Speed {
    /// The rate and the count that `TIMECODE_RATE` and `TIMECODE_FLAG` name together, read
    /// leniently; none where they name none, contradict each other, or leave drop-frame open at a
    /// rate that needs it said.
    ///
    /// ```
    /// use plumbline_media::Speed;
    /// let speed = |rate: &str, flag: &str| Speed {
    ///     timecode_rate: Some(rate.to_owned()),
    ///     timecode_flag: Some(flag.to_owned()),
    ///     ..Speed::default()
    /// };
    /// assert_eq!(speed("30000/1001", "DF").timebase().unwrap().to_string(), "29.97 drop-frame");
    /// assert_eq!(speed("2997ND", "").timebase().unwrap().to_string(), "29.97");
    /// assert_eq!(speed("25/1", "DF").timebase(), None);
    /// ```
    pub fn timebase(&self) -> Option<Timebase> {
        let flag = self.timecode_flag.as_deref().unwrap_or_default();
        timebase(self.timecode_rate.as_deref()?, flag)
    }
}

impl Ixml {
    /// From the chunk's content: what could be read, and what is wrong with it.
    pub(crate) fn read(content: &[u8]) -> (Option<Self>, Option<Malformed>) {
        let source = encoding::decode(content);
        let Tree { root, fault } = Tree::read(&source);
        let Some(root) = root else {
            let what = fault.unwrap_or_else(|| "it is empty".to_owned());
            return (None, Some(Malformed::NotXml { what }));
        };
        if !root.is("BWFXML") {
            let found = root.name().to_owned();
            return (None, Some(Malformed::NotIxml { found }));
        }
        let broken = fault.map(|what| Malformed::BrokenXml { what });
        (Some(Self::from_root(&root)), broken)
    }

    fn from_root(root: &Element) -> Self {
        Self {
            version: root.text("IXML_VERSION"),
            project: root.text("PROJECT"),
            scene: root.text("SCENE"),
            take: root.text("TAKE"),
            tape: root.text("TAPE"),
            note: root.text("NOTE"),
            circled: root.truth("CIRCLED"),
            no_good: root.truth("NO_GOOD"),
            false_start: root.truth("FALSE_START"),
            wild_track: root.truth("WILD_TRACK"),
            file_uid: root.text("FILE_UID"),
            ubits: root.text("UBITS"),
            speed: root.child("SPEED").map(Speed::from_element),
            tracks: root.items("TRACK").map(IxmlTrack::from_element).collect(),
            file_set: root.child("FILE_SET").map(FileSet::from_element),
            history: root.child("HISTORY").map(History::from_element),
            sync_points: root
                .items("SYNC_POINT")
                .map(SyncPoint::from_element)
                .collect(),
            bext: root.child("BEXT").map(BextCopy::from_element),
            location: root
                .child("LOCATION")
                .and_then(|place| place.text("LOCATION_NAME")),
            user: root.text("USER"),
        }
    }
}

impl Speed {
    fn from_element(speed: &Element) -> Self {
        Self {
            note: speed.text("NOTE"),
            master_speed: speed.text("MASTER_SPEED"),
            current_speed: speed.text("CURRENT_SPEED"),
            timecode_rate: speed.text("TIMECODE_RATE"),
            timecode_flag: speed.text("TIMECODE_FLAG"),
            file_sample_rate: speed.number("FILE_SAMPLE_RATE"),
            audio_bit_depth: speed.number("AUDIO_BIT_DEPTH"),
            digitizer_sample_rate: speed.number("DIGITIZER_SAMPLE_RATE"),
            samples_since_midnight: speed.halves(
                "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI",
                "TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO",
            ),
            timestamp_sample_rate: speed.number("TIMESTAMP_SAMPLE_RATE"),
        }
    }
}

impl IxmlTrack {
    fn from_element(track: &Element) -> Self {
        Self {
            channel_index: track.number("CHANNEL_INDEX"),
            interleave_index: track.number("INTERLEAVE_INDEX"),
            name: track.text("NAME"),
            function: track.text("FUNCTION"),
        }
    }
}

impl FileSet {
    fn from_element(set: &Element) -> Self {
        Self {
            total_files: set.number("TOTAL_FILES"),
            family_uid: set.text("FAMILY_UID"),
            family_name: set.text("FAMILY_NAME"),
            file_set_index: set.text("FILE_SET_INDEX"),
        }
    }
}

impl History {
    fn from_element(history: &Element) -> Self {
        Self {
            original_filename: history.text("ORIGINAL_FILENAME"),
            parent_filename: history.text("PARENT_FILENAME"),
            parent_uid: history.text("PARENT_UID"),
        }
    }
}

impl SyncPoint {
    fn from_element(point: &Element) -> Self {
        Self {
            kind: point.text("SYNC_POINT_TYPE"),
            function: point.text("SYNC_POINT_FUNCTION"),
            comment: point.text("SYNC_POINT_COMMENT"),
            samples: point.halves("SYNC_POINT_HIGH", "SYNC_POINT_LOW"),
            duration: point.number("SYNC_POINT_EVENT_DURATION"),
        }
    }
}

impl BextCopy {
    fn from_element(bext: &Element) -> Self {
        Self {
            description: bext.text("BWF_DESCRIPTION"),
            originator: bext.text("BWF_ORIGINATOR"),
            originator_reference: bext.text("BWF_ORIGINATOR_REFERENCE"),
            origination_date: bext.text("BWF_ORIGINATION_DATE"),
            origination_time: bext.text("BWF_ORIGINATION_TIME"),
            time_reference: bext.halves("BWF_TIME_REFERENCE_HIGH", "BWF_TIME_REFERENCE_LOW"),
            coding_history: bext.text("BWF_CODING_HISTORY"),
        }
    }
}
