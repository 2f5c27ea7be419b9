//! Core Audio Format (the published specification; field by field from memory).

mod chunks;
mod description;
mod packet_table;

use std::io::{Read, Seek};

use crate::cursor::Cursor;
use crate::{
    ChunkId, Codec, Coding, Container, Cut, Decoders, Edit, Header, MediaError, Packets, Piece,
    Track, esds,
};
use chunks::Chunks;
use description::{Description, Written};
use packet_table::PacketTable;

/// Reads the header of a CAF file: everything but the sound.
pub(crate) fn open<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    decoders: Decoders,
) -> Result<Header, MediaError> {
    let chunks = Chunks::walk(cursor)?;
    let description = Description::read(cursor, &chunks)?;
    let Some(data) = chunks.find(*b"data") else {
        return Err(MediaError::NoSound { at: cursor.len() });
    };
    // The count of edits comes before the sound.
    let sound = data.content.start.saturating_add(4).min(data.content.end)..data.content.end;
    let mut sample_rate = description.sample_rate;
    let (mut track, frames) = match description.written {
        Written::Linear(format) => {
            let track = Track {
                coding: Coding::Linear(format),
                channels: description.channels,
                bits: Some(format.valid_bits()),
                edit: Edit::WHOLE,
                outside: None,
            };
            let frame = u64::from(track.bytes_per_frame().unwrap_or(1).max(1));
            let frames = (sound.end - sound.start) / frame;
            (track, frames)
        }
        Written::Packets(codec) => {
            let table = PacketTable::read(cursor, &chunks, &description)?;
            let packets = Packets {
                codec,
                setup: chunks.setup(cursor, codec)?,
                sizes: table.sizes,
                frames: description.frames_per_packet,
            };
            let decoding = packets.decoding(decoders)?;
            sample_rate = decoding.sample_rate();
            let frames = packets.decoded(sound.end - sound.start);
            let track = Track {
                channels: decoding.channels(),
                bits: packets.bits(),
                coding: Coding::Packets(packets),
                edit: Edit {
                    skip: table.run_in,
                    frames: table.valid,
                    ..Edit::WHOLE
                },
                outside: decoding.outside().cloned(),
            };
            (track, frames)
        }
    };
    let sample_frames = track.edit.length(frames);
    if sample_frames == 0 || sound.is_empty() {
        return Err(MediaError::NoSound { at: sound.start });
    }
    track.edit.frames = track.edit.frames.min(sample_frames);
    let cut = (data.stated_end > data.content.end).then(|| MediaError::Truncated {
        place: ChunkId::DATA,
        at: sound.start,
        cut: Cut::Sound {
            needed: data.stated_end - sound.start,
            present: sound.end - sound.start,
            sample_frames,
        },
    });
    Ok(Header {
        container: Container::Caf,
        sample_rate,
        tracks: vec![track],
        pieces: vec![Piece {
            bytes: sound,
            track: 0,
        }],
        sample_frames,
        timecodes: Vec::new(),
        bext: None,
        ixml: None,
        creation: None,
        problems: cut.into_iter().collect(),
    })
}

impl Chunks {
    /// The codec's set-up: the "magic cookie".
    fn setup<S: Read + Seek>(
        &self,
        cursor: &mut Cursor<S>,
        codec: Codec,
    ) -> Result<Vec<u8>, MediaError> {
        let cookie = self.content(cursor, *b"kuki", 4096)?;
        Ok(match codec {
            // Old writers wrap it as a movie does: two boxes and a version before it.
            Codec::Alac if cookie.get(4..8) == Some(b"frma") => {
                cookie.get(24..).unwrap_or_default().to_vec()
            }
            Codec::Aac => match esds::read(&cookie) {
                esds::Stream::Aac(setup) => setup,
                esds::Stream::Other(_) => cookie,
            },
            _ => cookie,
        })
    }
}
