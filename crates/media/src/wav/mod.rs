//! WAV, RF64 and BW64: one file a chunk.

mod cursor;
mod data;
mod ds64;
mod fields;
mod fmt;
mod riff;

use std::io::{Read, Seek};

use crate::{Header, MediaError};
use cursor::Cursor;

pub(crate) use fields::Fields;
pub(crate) use fmt::{EXTENSIBLE, FLOAT, PCM, TAGGED};

/// Reads the header of a recording: everything but the samples.
///
/// The source is read in windows of [`crate::limits::WINDOW`] bytes and the sound is sought over,
/// so a recording of any length takes a handful of reads. Chunks may stand before or after the
/// sound. What is wrong but can be lived with is in [`Header::problems`].
pub fn open(source: &mut (impl Read + Seek)) -> Result<Header, MediaError> {
    riff::read(&mut Cursor::new(source)?)
}
