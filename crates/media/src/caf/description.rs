//! desc: how the sound is written.

use std::io::{Read, Seek};

use super::chunks::Chunks;
use crate::big_endian::Fields;
use crate::cursor::Cursor;
use crate::{
    ByteOrder, ChunkId, Codec, Encoding, Malformed, MediaError, SampleFormat, Unsupported,
    plausible,
};

/// What the chunk says that is needed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Description {
    pub(super) written: Written,
    pub(super) sample_rate: u32,
    pub(super) channels: u16,
    /// 0 where packets differ.
    pub(super) bytes_per_packet: u32,
    pub(super) frames_per_packet: u32,
}

/// How the sound is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Written {
    Linear(SampleFormat),
    Packets(Codec),
}

const PLACE: ChunkId = ChunkId(*b"desc");
const LEN: u64 = 32;
const IS_FLOAT: u32 = 1;
const IS_LITTLE_ENDIAN: u32 = 2;

impl Description {
    pub(super) fn read<S: Read + Seek>(
        cursor: &mut Cursor<S>,
        chunks: &Chunks,
    ) -> Result<Self, MediaError> {
        let content = chunks.content(cursor, *b"desc", LEN)?;
        let at = chunks.find(*b"desc").map_or(0, |chunk| chunk.content.start);
        if (content.len() as u64) < LEN {
            let len = content.len() as u64;
            return Err(MediaError::Malformed {
                place: PLACE,
                at,
                problem: Malformed::DescTooShort { len },
            });
        }
        let mut fields = Fields::new(&content);
        let sample_rate = hertz(f64::from_be_bytes(fields.array()));
        let format: [u8; 4] = fields.array();
        let flags = fields.u32();
        let (bytes_per_packet, frames_per_packet) = (fields.u32(), fields.u32());
        let (channels, bits) = (fields.u32(), fields.u32());
        let channels = u16::try_from(channels).unwrap_or(u16::MAX);
        let bits = u16::try_from(bits).unwrap_or(u16::MAX);
        plausible::channels(channels, PLACE, at)?;
        plausible::sample_rate(sample_rate, PLACE, at)?;
        let written = match &format {
            b"lpcm" => {
                let frame = u32::from(channels) * u32::from(bits / 8);
                let format = linear(flags, bits).filter(|_| bytes_per_packet == frame);
                Written::Linear(format.ok_or(MediaError::Unsupported {
                    place: PLACE,
                    at,
                    what: Unsupported::IntegerBits { bits },
                })?)
            }
            b"aac " | b"aach" | b"aacp" => Written::Packets(Codec::Aac),
            b"alac" => Written::Packets(Codec::Alac),
            other => {
                let name = codec_name(*other);
                return Err(MediaError::Codec { name });
            }
        };
        Ok(Self {
            written,
            sample_rate,
            channels,
            bytes_per_packet,
            frames_per_packet,
        })
    }
}

fn linear(flags: u32, bits: u16) -> Option<SampleFormat> {
    let encoding = if flags & IS_FLOAT != 0 {
        Encoding::float(bits)
    } else {
        Encoding::signed(bits)
    };
    let order = if flags & IS_LITTLE_ENDIAN != 0 {
        ByteOrder::Little
    } else {
        ByteOrder::Big
    };
    Some(SampleFormat::from(encoding?).ordered(order))
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "saturates; a rate that is none becomes 0 and is refused"
)]
fn hertz(rate: f64) -> u32 {
    rate.round() as u32
}

fn codec_name(format: [u8; 4]) -> &'static str {
    match &format {
        b"ima4" => "IMA ADPCM",
        b"ulaw" => "mu-law",
        b"alaw" => "A-law",
        b"opus" => "Opus",
        b"aach" | b"aacp" => "HE-AAC",
        b".mp1" | b".mp2" | b".mp3" => "MP3 in CAF",
        b"flac" => "FLAC in CAF",
        _ => "an unknown codec",
    }
}
