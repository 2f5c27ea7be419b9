//! Bytes to samples: containers, sample formats, embedded time.
//!
//! | type           | answers                                                        |
//! |----------------|----------------------------------------------------------------|
//! | [`Header`]     | what is in the file, where the samples are, what is wrong      |
//! | [`Samples`]    | the samples, channel by channel, as floating point             |
//! | [`Blocks`]     | the same for linear sound alone                                |
//! | [`Bext`]       | what the recorder wrote down (EBU Tech 3285)                   |
//! | [`Ixml`]       | what the recorder wrote down (iXML)                            |
//! | [`MediaError`] | what was found, where, and what to do                          |
//! | [`mod@write`]  | recordings of our own                                          |
//! | [`stamp`]      | copies of a WAV with another start time                        |
//!
//! ```
//! use std::io::Cursor;
//! use plumbline_media::{Encoding, Samples, write::{Recording, Writer}};
//!
//! let mut file = Vec::new();
//! let mut writer = Writer::new(&mut file, &Recording::new(48_000, 1, Encoding::S16, 3))?;
//! writer.push(&[&[0.0, 0.5, -0.5]])?;
//! writer.finish()?;
//!
//! let header = plumbline_media::open(&mut Cursor::new(&file))?;
//! assert_eq!(header.sample_frames, 3);
//! // The caller brings the bytes, in pieces of any size.
//! let mut samples = Vec::new();
//! let mut reader = Samples::new(&header)?;
//! for piece in &header.pieces {
//!     let bytes = usize::try_from(piece.bytes.start)?..usize::try_from(piece.bytes.end)?;
//!     for bytes in file[bytes].chunks(5) {
//!         reader.push(bytes, &mut |_, channels| samples.extend_from_slice(channels[0]));
//!     }
//! }
//! assert_eq!(samples, [0.0, 0.5, -0.5]);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # What this crate leaves out
//! * Opening files: it is handed a source (`Read + Seek`) for the header, and bytes for the rest.
//! * Codecs of its own: what is compressed is decoded by a library.
//! * Decoders for Opus, HE-AAC, and AAC of more than two channels: their packets go out and their
//!   samples come back ([`OutsideDecoder`]). Codecs for cinema.
//! * Timecode in the sound. It reads the time that a file's own metadata states.

#![warn(clippy::indexing_slicing)]

mod aiff;
mod bext;
mod big_endian;
mod blocks;
mod caf;
mod chunk_id;
mod creation;
mod cursor;
mod decoding;
mod error;
mod esds;
mod header;
mod ixml;
pub mod limits;
mod mp4;
mod open;
mod opening;
mod outside;
mod packets;
mod part;
mod plausible;
mod problem;
mod ranges;
mod sample_format;
mod samples;
pub mod stamp;
mod stream;
mod timecode_track;
mod track;
mod wav;
pub mod write;

pub use bext::{Bext, Hundredths, Loudness};
pub use blocks::{Blocks, NoSuchChannel};
pub use chunk_id::ChunkId;
pub use creation::{Creation, When};
pub use error::MediaError;
pub use header::{Container, Header, Piece};
pub use ixml::{BextCopy, FileSet, History, Ixml, IxmlTrack, Speed, SyncPoint};
pub use open::{open, open_for};
pub use opening::Opening;
pub use outside::{Decoders, OutsideDecoder, OutsidePacket};
pub use part::Part;
pub use problem::{Cut, Malformed, Unsupported};
pub use sample_format::{ByteOrder, Encoding, SampleFormat};
pub use samples::{Samples, Silenced};
pub use timecode_track::{Counting, TimecodeTrack};
pub use track::{Codec, Coding, Edit, Packets, Track};
