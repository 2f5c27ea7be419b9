//! AIFF and AIFF-C (the published format; letters of the kinds of sound from memory).

mod comm;

use std::io::{Read, Seek};

use crate::cursor::Cursor;
use crate::limits::CHUNKS_AT_MOST;
use crate::{ChunkId, Coding, Container, Cut, Edit, Header, Malformed, MediaError, Piece, Track};
use comm::Comm;

const COMM: ChunkId = ChunkId(*b"COMM");
const SSND: ChunkId = ChunkId(*b"SSND");
/// The file's own letters and length, and the form.
const FILE_HEADER: u64 = 12;
const CHUNK_HEADER: u64 = 8;

/// Where the sound begins and where it should end.
struct Sound {
    at: u64,
    stated_end: u64,
}

/// Reads the header of an AIFF: everything but the sound.
pub(crate) fn open<S: Read + Seek>(cursor: &mut Cursor<S>) -> Result<Header, MediaError> {
    let (mut comm, mut sound) = (None, None);
    let mut at = FILE_HEADER;
    for _ in 0..CHUNKS_AT_MOST {
        let Some([a, b, c, d, len @ ..]) = cursor.array::<8>(at)? else {
            break;
        };
        let content = at + CHUNK_HEADER;
        let len = u64::from(u32::from_be_bytes(len));
        match ChunkId([a, b, c, d]) {
            COMM if comm.is_none() => comm = Some(Comm::read(cursor, content)?),
            SSND if sound.is_none() => sound = Some(Sound::read(cursor, content, len)?),
            _ => {}
        }
        at = content + len + len % 2;
    }
    let Some(comm) = comm else {
        return Err(MediaError::Malformed {
            place: COMM,
            at: cursor.len(),
            problem: Malformed::NoComm,
        });
    };
    let sound = sound.ok_or(MediaError::NoSound { at: cursor.len() })?;
    header(&comm, &sound, cursor.len())
}

impl Sound {
    /// Samples may stand some bytes into the chunk, for disks of old.
    fn read<S: Read + Seek>(
        cursor: &mut Cursor<S>,
        content: u64,
        len: u64,
    ) -> Result<Self, MediaError> {
        let offset = cursor.array::<4>(content)?.map_or(0, u32::from_be_bytes);
        Ok(Self {
            at: content + 8 + u64::from(offset),
            stated_end: content + len,
        })
    }
}

fn header(comm: &Comm, sound: &Sound, file_len: u64) -> Result<Header, MediaError> {
    let frame = u64::from(comm.channels) * u64::from(comm.format.encoding().bytes());
    let needed = sound.stated_end.saturating_sub(sound.at);
    let present = needed.min(file_len.saturating_sub(sound.at));
    let sample_frames = (present / frame).min(comm.sample_frames);
    if sample_frames == 0 {
        return Err(MediaError::NoSound { at: sound.at });
    }
    let cut = (present < needed).then_some(MediaError::Truncated {
        place: SSND,
        at: sound.at,
        cut: Cut::Sound {
            needed,
            present,
            sample_frames,
        },
    });
    Ok(Header {
        container: Container::Aiff,
        sample_rate: comm.sample_rate,
        tracks: vec![Track {
            coding: Coding::Linear(comm.format),
            channels: comm.channels,
            bits: Some(comm.format.valid_bits()),
            edit: Edit::WHOLE,
            outside: None,
        }],
        pieces: vec![Piece {
            bytes: sound.at..sound.at + sample_frames * frame,
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
