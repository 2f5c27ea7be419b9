//! Bytes to samples: containers, sample formats, embedded time.
//!
//! | type           | answers                                                        |
//! |----------------|----------------------------------------------------------------|
//! | [`Header`]     | what is in the file, where the samples are, what is wrong      |
//! | [`Blocks`]     | the samples, channel by channel, as floating point             |
//! | [`Bext`]       | what the recorder wrote down (EBU Tech 3285)                   |
//! | [`Ixml`]       | what the recorder wrote down (iXML)                            |
//! | [`MediaError`] | what was found, where, and what to do                          |
//! | [`mod@write`]  | recordings of our own                                          |
//!
//! ```
//! use std::io::Cursor;
//! use plumbline_media::{Blocks, Encoding, write::{Recording, Writer}};
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
//! let mut blocks = Blocks::new(&header);
//! let data = usize::try_from(header.data.start)?..usize::try_from(header.data.end)?;
//! for piece in file[data].chunks(5) {
//!     blocks.push(piece, &mut |channels| samples.extend_from_slice(channels[0]));
//! }
//! assert_eq!(samples, [0.0, 0.5, -0.5]);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # What this crate leaves out
//! * Opening files: it is handed a source (`Read + Seek`) for the header, and bytes for the rest.
//! * Compressed sound: WAV, RF64 and BW64 with linear PCM or floating point only.
//! * Timecode in the sound. It reads the time that a file's own metadata states.

#![warn(clippy::indexing_slicing)]

mod bext;
mod blocks;
mod chunk_id;
mod error;
mod header;
mod ixml;
pub mod limits;
mod opening;
mod problem;
mod sample_format;
mod wav;
pub mod write;

pub use bext::{Bext, Hundredths, Loudness};
pub use blocks::{Blocks, NoSuchChannel};
pub use chunk_id::ChunkId;
pub use error::MediaError;
pub use header::{Container, Header};
pub use ixml::{BextCopy, FileSet, History, Ixml, Speed, SyncPoint, Track};
pub use opening::Opening;
pub use problem::{Cut, Malformed, Unsupported};
pub use sample_format::{Encoding, SampleFormat};
pub use wav::open;
