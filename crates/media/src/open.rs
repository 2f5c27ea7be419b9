//! What kind of file it is, by its first bytes.

use std::io::{Read, Seek};

use crate::cursor::Cursor;
use crate::limits::OPENING_SHOWN;
use crate::{Container, Decoders, Header, MediaError, Opening, aiff, caf, mp4, stream, wav};

/// Reads the header of a recording: everything but the sound.
///
/// The source is read in windows of [`crate::limits::WINDOW`] bytes, and sound and pictures are
/// sought over, so a recording of any length takes a handful of reads; where packets must be
/// looked for, its first [`crate::limits::STREAM_RESERVE`] bytes are read. What is wrong but can
/// be lived with is in [`Header::problems`].
pub fn open(source: &mut (impl Read + Seek)) -> Result<Header, MediaError> {
    open_for(source, Decoders::Own)
}

/// The same as [`open`], for the decoders that there are.
///
/// With [`Decoders::OwnAndOutside`], tracks may want one ([`crate::Track::outside`]): the packets
/// that [`crate::Samples::next_packet`] gives are then to be decoded, and their samples brought to
/// [`crate::Samples::decoded`].
pub fn open_for(source: &mut (impl Read + Seek), decoders: Decoders) -> Result<Header, MediaError> {
    let cursor = &mut Cursor::new(source)?;
    let opening = cursor.read(0, OPENING_SHOWN)?;
    match kind(&opening) {
        Kind::Riff => wav::open(cursor),
        Kind::Movie => mp4::open(cursor, decoders),
        Kind::Caf => caf::open(cursor, decoders),
        Kind::Aiff => aiff::open(cursor),
        Kind::Stream(container) => stream::open(cursor, container, decoders),
        Kind::Unknown => Err(MediaError::Unknown {
            found: Opening::new(&opening),
        }),
    }
}

enum Kind {
    Riff,
    Movie,
    Caf,
    Aiff,
    Stream(Container),
    Unknown,
}

/// By the letters that the standards have; those of movies without a type are from memory.
fn kind(opening: &[u8]) -> Kind {
    let at = |from: usize| opening.get(from..).unwrap_or_default();
    let form = at(8);
    match opening {
        [] | [b'R', b'I' | b'F', ..] | [b'B', b'W', b'6', b'4', ..] => Kind::Riff,
        [b'F', b'O', b'R', b'M', ..] if form.starts_with(b"AIF") => Kind::Aiff,
        [b'c', b'a', b'f', b'f', ..] => Kind::Caf,
        [b'f', b'L', b'a', b'C', ..] => Kind::Stream(Container::Flac),
        [b'O', b'g', b'g', b'S', ..] => Kind::Stream(Container::Ogg),
        [0x1A, 0x45, 0xDF, 0xA3, ..] => Kind::Stream(Container::Matroska),
        [b'I', b'D', b'3', ..] => Kind::Stream(Container::Mpeg),
        // Twelve ones, then the version, then two bits of the layer: 0 is AAC (ISO/IEC 13818-7).
        [0xFF, second, ..] if second & 0xF6 == 0xF0 => Kind::Stream(Container::Adts),
        [0xFF, second, third, ..] if second & 0xE0 == 0xE0 && third >> 4 != 15 => {
            Kind::Stream(Container::Mpeg)
        }
        [_, _, _, _, id @ ..] if is_movie(id) => Kind::Movie,
        _ => Kind::Unknown,
    }
}

fn is_movie(id: &[u8]) -> bool {
    const BOXES: [&[u8; 4]; 8] = [
        b"ftyp", b"moov", b"mdat", b"wide", b"free", b"skip", b"pnot", b"moof",
    ];
    BOXES.iter().any(|known| id.starts_with(*known))
}
