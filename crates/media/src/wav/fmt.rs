//! fmt: how the samples are written (EBU Tech 3285 annex; the multichannel form with a GUID).

use super::Fields;
use crate::{ChunkId, Encoding, Malformed, MediaError, SampleFormat, Unsupported, plausible};

/// Format tags.
pub(crate) const PCM: u16 = 0x0001;
pub(crate) const FLOAT: u16 = 0x0003;
pub(crate) const EXTENSIBLE: u16 = 0xFFFE;

/// The GUID of a format that has a tag is the tag followed by this.
pub(crate) const TAGGED: [u8; 14] = *b"\0\0\0\0\x10\0\x80\0\0\xAA\0\x38\x9B\x71";

/// The longest content that says anything.
pub(super) const CONTENT: usize = 40;

/// What the chunk says that is needed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fmt {
    pub(super) format: SampleFormat,
    pub(super) channels: u16,
    pub(super) sample_rate: u32,
    pub(super) problem: Option<MediaError>,
}

/// The chunk's fields as they stand, and where it begins.
struct Raw {
    at: u64,
    tag: u16,
    channels: u16,
    sample_rate: u32,
    block_align: u16,
    bits: u16,
    valid_bits: u16,
}

impl Fmt {
    /// From the chunk's content, which begins at byte `at` of the file.
    pub(super) fn read(content: &[u8], at: u64) -> Result<Self, MediaError> {
        let raw = Raw::read(content, at)?;
        // The codec first: the fields of compressed sound mean other things.
        if raw.tag != PCM && raw.tag != FLOAT {
            let what = Unsupported::Codec { tag: raw.tag };
            return Err(raw.unsupported(0, what));
        }
        plausible::channels(raw.channels, ChunkId::FMT, at + 2)?;
        plausible::sample_rate(raw.sample_rate, ChunkId::FMT, at + 4)?;
        let encoding = raw.encoding()?;
        raw.check_block_align(encoding)?;
        let (format, problem) = raw.format(encoding);
        Ok(Self {
            format,
            channels: raw.channels,
            sample_rate: raw.sample_rate,
            problem,
        })
    }
}

impl Raw {
    fn read(content: &[u8], at: u64) -> Result<Self, MediaError> {
        let mut fields = Fields::new(content);
        let mut plain = || {
            let (tag, channels, sample_rate) = (fields.u16()?, fields.u16()?, fields.u32()?);
            let (_bytes_per_second, block_align, bits) =
                (fields.u32()?, fields.u16()?, fields.u16()?);
            Some(Self {
                at,
                tag,
                channels,
                sample_rate,
                block_align,
                bits,
                valid_bits: bits,
            })
        };
        let raw = plain().ok_or_else(|| too_short(content, at, 16))?;
        if raw.tag == EXTENSIBLE {
            raw.extended(fields)
                .ok_or_else(|| too_short(content, at, 40))?
        } else {
            Ok(raw)
        }
    }

    /// With what stands after the first 16 bytes, and the tag that the GUID begins with.
    fn extended(mut self, mut fields: Fields) -> Option<Result<Self, MediaError>> {
        let (_len, valid_bits, _speakers) = (fields.u16()?, fields.u16()?, fields.u32()?);
        let guid: [u8; 16] = fields.array()?;
        let [low, high, tail @ ..] = guid;
        if tail != TAGGED {
            return Some(Err(self.unsupported(24, Unsupported::SubFormat { guid })));
        }
        self.tag = u16::from_le_bytes([low, high]);
        // Some writers leave it at 0.
        if valid_bits != 0 {
            self.valid_bits = valid_bits;
        }
        Some(Ok(self))
    }

    fn encoding(&self) -> Result<Encoding, MediaError> {
        let bits = self.bits;
        if bits == 0 {
            return Err(self.malformed(14, Malformed::ZeroBits));
        }
        let (encoding, what) = if self.tag == FLOAT {
            (Encoding::float(bits), Unsupported::FloatBits { bits })
        } else {
            let encoding = Encoding::integer(bits.div_ceil(8));
            (encoding, Unsupported::IntegerBits { bits })
        };
        encoding.ok_or_else(|| self.unsupported(14, what))
    }

    fn check_block_align(&self, encoding: Encoding) -> Result<(), MediaError> {
        let right = self.channels * encoding.bytes();
        if self.block_align == right {
            return Ok(());
        }
        let problem = Malformed::BlockAlign {
            found: self.block_align,
            right,
            channels: self.channels,
            bits: self.bits,
        };
        Err(self.malformed(12, problem))
    }

    /// The format; where the valid bits make no sense, with all bits valid, and saying so.
    fn format(&self, encoding: Encoding) -> (SampleFormat, Option<MediaError>) {
        if let Some(format) = SampleFormat::new(encoding, self.valid_bits) {
            return (format, None);
        }
        let problem = Malformed::ValidBits {
            valid: self.valid_bits,
            bits: encoding.bits(),
        };
        (encoding.into(), Some(self.malformed(18, problem)))
    }

    /// A problem with the field that begins `offset` bytes into the chunk.
    const fn malformed(&self, offset: u64, problem: Malformed) -> MediaError {
        MediaError::Malformed {
            place: ChunkId::FMT,
            at: self.at + offset,
            problem,
        }
    }

    const fn unsupported(&self, offset: u64, what: Unsupported) -> MediaError {
        MediaError::Unsupported {
            place: ChunkId::FMT,
            at: self.at + offset,
            what,
        }
    }
}

fn too_short(content: &[u8], at: u64, needed: u64) -> MediaError {
    MediaError::Malformed {
        place: ChunkId::FMT,
        at,
        problem: Malformed::FmtTooShort {
            len: content.len() as u64,
            needed,
        },
    }
}
