//! A track of the movie: what kind it is, how it is written, where its samples are.

use std::io::{Read, Seek};
use std::ops::Range;

use super::boxes::{self, Box};
use super::edits::{Edits, scaled};
use super::entry::{Entry, Written};
use super::table::Table;
use super::timecode;
use crate::big_endian::Fields;
use crate::cursor::Cursor;
use crate::limits::PACKET_FRAMES_AT_MOST;
use crate::{
    ChunkId, Coding, Creation, Decoders, Edit, Malformed, MediaError, Packets, TimecodeTrack,
    Track, plausible,
};

/// A track, as far as it matters here.
#[derive(Debug)]
pub(super) enum Kind {
    Sound(std::boxed::Box<Sound>),
    Timecode(TimecodeTrack),
    Other,
}

/// A track of sound with what is needed to find it.
#[derive(Debug)]
pub(super) struct Sound {
    pub(super) id: u32,
    pub(super) track: Track,
    pub(super) sample_rate: u32,
    /// Units of time a second.
    pub(super) time_scale: u32,
    pub(super) pieces: Vec<Range<u64>>,
    pub(super) problem: Option<MediaError>,
}

impl Sound {
    /// How many sample frames the first so many bytes of its pieces are decoded to, edits aside.
    pub(super) fn decoded(&self, bytes: u64) -> u64 {
        match &self.track.coding {
            Coding::Packets(packets) => packets.decoded(bytes),
            _ => bytes / u64::from(self.track.bytes_per_frame().unwrap_or(1).max(1)),
        }
    }
}

/// Reads a `trak`.
pub(super) fn read<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    trak: &Box,
    movie_scale: u32,
    decoders: Decoders,
) -> Result<Kind, MediaError> {
    let Some(media) = boxes::at_path(cursor, trak, &[b"mdia"])? else {
        return Ok(Kind::Other);
    };
    let handler = handler(cursor, &media)?;
    if handler != *b"soun" && handler != *b"tmcd" {
        return Ok(Kind::Other);
    }
    let Some((entry, table)) = samples(cursor, &media)? else {
        return Ok(Kind::Other);
    };
    if handler == *b"tmcd" {
        return Ok(Kind::Timecode(timecode::read(cursor, &entry, &table)?));
    }
    let time_scale = after_dates(cursor, &media, *b"mdhd")?;
    let written = Entry::read(cursor, &entry)?;
    let mut sound = sound(&entry, written, &table, time_scale, decoders)?;
    sound.id = after_dates(cursor, trak, *b"tkhd")?;
    let edits = edits(cursor, trak)?;
    let mut edit = edits.edit(movie_scale, time_scale, sound.sample_rate);
    if let Some(outside) = sound.track.outside.as_ref().filter(|_| edits.is_empty()) {
        edit.skip = outside.run_in.into();
    }
    sound.track.edit = edit.believed(sound.sample_rate);
    let parts = edits.parts();
    let problem = if edit == sound.track.edit {
        (parts > 1).then_some(Malformed::ManyEdits { parts })
    } else {
        let seconds = edit.silence / u64::from(sound.sample_rate);
        Some(Malformed::LateTrack { seconds })
    };
    sound.problem = problem.map(|problem| MediaError::Malformed {
        place: ChunkId(*b"elst"),
        at: trak.content.start,
        problem,
    });
    Ok(Kind::Sound(std::boxed::Box::new(sound)))
}

/// What kind of track it is.
fn handler<S: Read + Seek>(cursor: &mut Cursor<S>, media: &Box) -> Result<[u8; 4], MediaError> {
    let Some(hdlr) = boxes::at_path(cursor, media, &[b"hdlr"])? else {
        return Ok([0; 4]);
    };
    let handler = cursor.array(hdlr.content.start + 8)?;
    Ok(handler.unwrap_or_default())
}

/// The first sample entry, and where the samples are.
fn samples<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    media: &Box,
) -> Result<Option<(Box, Table)>, MediaError> {
    let Some(table) = boxes::at_path(cursor, media, &[b"minf", b"stbl"])? else {
        return Ok(None);
    };
    let boxes = boxes::all(cursor, table.content)?;
    let Some(stsd) = boxes::find(&boxes, *b"stsd") else {
        return Ok(None);
    };
    let entries = stsd.content.start.saturating_add(8)..stsd.content.end;
    let Some(entry) = boxes::first(cursor, entries)? else {
        return Ok(None);
    };
    Ok(Some((entry, Table::read(cursor, &boxes)?)))
}

fn edits<S: Read + Seek>(cursor: &mut Cursor<S>, trak: &Box) -> Result<Edits, MediaError> {
    const LIST_AT_MOST: u64 = 1 << 20;
    let Some(elst) = boxes::at_path(cursor, trak, &[b"edts", b"elst"])? else {
        return Ok(Edits::default());
    };
    let len = usize::try_from(elst.len().min(LIST_AT_MOST)).unwrap_or(0);
    Ok(Edits::read(&cursor.read(elst.content.start, len)?))
}

fn sound(
    entry: &Box,
    read: Entry,
    table: &Table,
    time_scale: u32,
    decoders: Decoders,
) -> Result<Sound, MediaError> {
    let mut outside = None;
    let (mut channels, mut sample_rate) = (read.channels, read.sample_rate);
    let (coding, bits, pieces) = match read.written {
        Written::Linear(format) => {
            let frame = channels.saturating_mul(format.encoding().bytes());
            let pieces = table.pieces(frame);
            (Coding::Linear(format), Some(format.valid_bits()), pieces)
        }
        Written::Packets { codec, setup } => {
            let mut packets = Packets {
                codec,
                setup,
                sizes: table.packet_sizes(),
                frames: 0,
            };
            let decoding = packets.decoding(decoders)?;
            outside = decoding.outside().cloned();
            (channels, sample_rate) = (decoding.channels(), decoding.sample_rate());
            packets.frames = packet_frames(table.duration, time_scale, sample_rate);
            let bits = packets.bits();
            (Coding::Packets(packets), bits, table.pieces(1))
        }
    };
    plausible::channels(channels, entry.id, entry.content.start)?;
    plausible::sample_rate(sample_rate, entry.id, entry.content.start)?;
    Ok(Sound {
        id: 0,
        track: Track {
            coding,
            channels,
            bits,
            edit: Edit::WHOLE,
            outside,
        },
        sample_rate,
        time_scale,
        pieces,
        problem: None,
    })
}

/// How many sample frames a packet has that lasts so long.
pub(super) fn packet_frames(duration: u32, time_scale: u32, sample_rate: u32) -> u32 {
    let frames = scaled(duration.into(), time_scale, sample_rate);
    u32::try_from(frames)
        .unwrap_or(0)
        .min(PACKET_FRAMES_AT_MOST)
}

/// When a movie says that it was made.
pub(super) fn creation<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    moov: &Box,
) -> Result<Option<Creation>, MediaError> {
    let Some(mvhd) = boxes::at_path(cursor, moov, &[b"mvhd"])? else {
        return Ok(None);
    };
    let content = cursor.read(mvhd.content.start, 12)?;
    let mut fields = Fields::new(&content);
    let (version, _) = fields.version_and_flags();
    Ok(Creation::of_movie(fields.versioned(version)))
}

/// The field of a full box that comes after the dates of creation and change: units of time a
/// second in `mvhd` and `mdhd`, the track's number in `tkhd`.
pub(super) fn after_dates<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    parent: &Box,
    id: [u8; 4],
) -> Result<u32, MediaError> {
    let Some(found) = boxes::at_path(cursor, parent, &[&id])? else {
        return Ok(0);
    };
    let content = cursor.read(found.content.start, 24)?;
    let mut fields = Fields::new(&content);
    let (version, _) = fields.version_and_flags();
    fields.skip(if version == 1 { 16 } else { 8 });
    Ok(fields.u32())
}
