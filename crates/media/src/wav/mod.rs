//! WAV, RF64 and BW64: one file a chunk.

mod data;
mod ds64;
mod fields;
mod fmt;
mod riff;

use std::io::{Read, Seek};

use crate::cursor::Cursor;
use crate::{Header, MediaError};

pub(crate) use fields::Fields;
pub(crate) use fmt::{EXTENSIBLE, FLOAT, PCM, TAGGED};
pub(crate) use riff::{CHUNK_HEADER, Chunk, Layout};

/// Reads the header of a WAV: everything but the samples. Chunks may stand before or after the
/// sound.
pub(crate) fn open<S: Read + Seek>(cursor: &mut Cursor<S>) -> Result<Header, MediaError> {
    Ok(layout(cursor)?.header)
}

/// The same, and where everything stands.
pub(crate) fn layout<S: Read + Seek>(cursor: &mut Cursor<S>) -> Result<Layout, MediaError> {
    riff::read(cursor)
}
