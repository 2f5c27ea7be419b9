//! A track of the movie: what kind it is, how it is written, where its samples are.

use std::io::{Read, Seek};
use std::ops::Range;

use super::boxes::{self, Box};
use super::edits::{self, Edits};
use super::entry::{Entry, Written};
use super::table::{Sizes, Table};
use super::timecode;
use crate::big_endian::Fields;
use crate::cursor::Cursor;
use crate::limits::{CHANNELS_AT_MOST, SAMPLE_RATE_AT_MOST};
use crate::{
    ChunkId, Coding, Edit, Malformed, MediaError, Packets, TimecodeTrack, Track, Unsupported,
    packets,
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
            Coding::Packets(packets) => {
                let mut left = bytes;
                let whole = packets.sizes.iter().take_while(|&&size| {
                    let fits = u64::from(size) <= left;
                    left = left.saturating_sub(size.into());
                    fits
                });
                whole.count() as u64 * u64::from(packets.frames)
            }
            _ => bytes / u64::from(self.track.bytes_per_frame().unwrap_or(1).max(1)),
        }
    }
}

/// Reads a `trak`.
pub(super) fn read<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    trak: &Box,
    movie_scale: u32,
) -> Result<Kind, MediaError> {
    let Some(media) = boxes::at_path(cursor, trak, &[b"mdia"])? else {
        return Ok(Kind::Other);
    };
    let handler = match boxes::at_path(cursor, &media, &[b"hdlr"])? {
        Some(hdlr) => cursor.read(hdlr.content.start, 12)?,
        None => return Ok(Kind::Other),
    };
    let handler = handler.get(8..12).unwrap_or_default();
    if handler != b"soun" && handler != b"tmcd" {
        return Ok(Kind::Other);
    }
    let Some(table) = boxes::at_path(cursor, &media, &[b"minf", b"stbl"])? else {
        return Ok(Kind::Other);
    };
    let boxes = boxes::all(cursor, table.content.clone())?;
    let Some(stsd) = boxes::find(&boxes, *b"stsd") else {
        return Ok(Kind::Other);
    };
    let entries = stsd.content.start.saturating_add(8)..stsd.content.end;
    let Some(entry) = boxes::first(cursor, entries)? else {
        return Ok(Kind::Other);
    };
    let table = Table::read(cursor, &boxes)?;
    if handler == b"tmcd" {
        return Ok(Kind::Timecode(timecode::read(cursor, &entry, &table)?));
    }
    let id = id(cursor, trak)?;
    let track_scale = time_scale(cursor, &media, *b"mdhd")?;
    let edits = match boxes::at_path(cursor, trak, &[b"edts", b"elst"])? {
        Some(elst) => {
            let len = usize::try_from(elst.len().min(1 << 20)).unwrap_or(0);
            Edits::read(&cursor.read(elst.content.start, len)?)
        }
        None => Edits::default(),
    };
    let written = Entry::read(cursor, &entry)?;
    let mut sound = sound(id, &entry, written, &table, track_scale)?;
    let sample_rate = sound.sample_rate;
    sound.track.edit = edits.edit(movie_scale, track_scale, sample_rate);
    if edits.parts() > 1 {
        sound.problem = Some(MediaError::Malformed {
            place: ChunkId(*b"elst"),
            at: trak.content.start,
            problem: Malformed::ManyEdits {
                parts: edits.parts(),
            },
        });
    }
    Ok(Kind::Sound(std::boxed::Box::new(sound)))
}

fn sound(
    id: u32,
    entry: &Box,
    read: Entry,
    table: &Table,
    track_scale: u32,
) -> Result<Sound, MediaError> {
    let (mut channels, mut sample_rate) = (read.channels, read.sample_rate);
    let (coding, bits, pieces) = match read.written {
        Written::Linear(format) => {
            let frame = channels.saturating_mul(format.encoding().bytes());
            let pieces = table.pieces(frame);
            (Coding::Linear(format), Some(format.valid_bits()), pieces)
        }
        Written::Packets { codec, setup } => {
            let sizes = match &table.sizes {
                Sizes::Each(sizes) => sizes.clone(),
                Sizes::Same { bytes, count } => {
                    let count = usize::try_from(*count).unwrap_or(0);
                    vec![*bytes; count.min(entry_limit(table))]
                }
            };
            let mut packets = Packets {
                codec,
                setup,
                sizes,
                frames: 0,
            };
            let known = packets::channels_and_rate(&packets)?;
            (channels, sample_rate) = known;
            packets.frames = packet_frames(table.duration, track_scale, sample_rate);
            let bits = packets::bits(&packets);
            (Coding::Packets(packets), bits, table.pieces(1))
        }
    };
    let refused = |what| MediaError::Unsupported {
        place: entry.id,
        at: entry.content.start,
        what,
    };
    let malformed = |problem| MediaError::Malformed {
        place: entry.id,
        at: entry.content.start,
        problem,
    };
    match (channels, sample_rate) {
        (0, _) => return Err(malformed(Malformed::ZeroChannels)),
        (found, _) if found > CHANNELS_AT_MOST => {
            return Err(refused(Unsupported::Channels { found }));
        }
        (_, 0) => return Err(malformed(Malformed::ZeroSampleRate)),
        (_, found) if found > SAMPLE_RATE_AT_MOST => {
            return Err(malformed(Malformed::SampleRate { found }));
        }
        _ => {}
    }
    Ok(Sound {
        id,
        track: Track {
            coding,
            channels,
            bits,
            edit: Edit::WHOLE,
        },
        sample_rate,
        time_scale: track_scale,
        pieces,
        problem: None,
    })
}

/// How many sample frames a packet has that lasts so long.
pub(super) fn packet_frames(duration: u32, time_scale: u32, sample_rate: u32) -> u32 {
    let frames = edits::scaled(duration.into(), time_scale, sample_rate);
    u32::try_from(frames).unwrap_or(0).min(FRAMES_AT_MOST)
}

/// The longest packet that is believed, in sample frames.
const FRAMES_AT_MOST: u32 = 1 << 16;

/// Packets of one size are no more than the chunks have room for.
fn entry_limit(table: &Table) -> usize {
    let samples: u64 = table.chunks.iter().map(|chunk| chunk.samples).sum();
    usize::try_from(samples).unwrap_or(0).min(1 << 26)
}

fn id<S: Read + Seek>(cursor: &mut Cursor<S>, trak: &Box) -> Result<u32, MediaError> {
    let Some(tkhd) = boxes::at_path(cursor, trak, &[b"tkhd"])? else {
        return Ok(0);
    };
    let content = cursor.read(tkhd.content.start, 24)?;
    let mut fields = Fields::new(&content);
    let (version, _) = fields.version_and_flags();
    fields.skip(if version == 1 { 16 } else { 8 });
    Ok(fields.u32())
}

/// Units of time a second, from an `mvhd` or `mdhd`.
pub(super) fn time_scale<S: Read + Seek>(
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
