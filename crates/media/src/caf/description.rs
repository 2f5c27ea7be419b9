//! desc: how the sound is written.

use std::io::{Read, Seek};

use super::chunks::Chunks;
use crate::big_endian::Fields;
use crate::cursor::Cursor;
use crate::limits::{CHANNELS_AT_MOST, SAMPLE_RATE_AT_MOST};
use crate::{
    ByteOrder, ChunkId, Codec, Encoding, Malformed, MediaError, SampleFormat, Unsupported,
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
        let malformed = |problem| MediaError::Malformed {
            place: PLACE,
            at,
            problem,
        };
        let refused = |what| MediaError::Unsupported {
            place: PLACE,
            at,
            what,
        };
        if (content.len() as u64) < LEN {
            let len = content.len() as u64;
            return Err(malformed(Malformed::DescTooShort { len }));
        }
        let mut fields = Fields::new(&content);
        let sample_rate = hertz(f64::from_be_bytes(fields.array()));
        let format: [u8; 4] = fields.array();
        let flags = fields.u32();
        let (bytes_per_packet, frames_per_packet) = (fields.u32(), fields.u32());
        let (channels, bits) = (fields.u32(), fields.u32());
        let channels = u16::try_from(channels).unwrap_or(u16::MAX);
        let bits = u16::try_from(bits).unwrap_or(u16::MAX);
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
        let written = match &format {
            b"lpcm" => {
                let frame = u32::from(channels) * u32::from(bits.div_ceil(8));
                if bytes_per_packet != frame {
                    return Err(refused(Unsupported::IntegerBits { bits }));
                }
                Written::Linear(
                    linear(flags, bits)
                        .ok_or_else(|| refused(Unsupported::IntegerBits { bits }))?,
                )
            }
            b"aac " => Written::Packets(Codec::Aac),
            b"alac" => Written::Packets(Codec::Alac),
            other => {
                let name = codec_name(*other);
                return Err(refused(Unsupported::CodecNamed { name }));
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
        Encoding::float(bits)?
    } else {
        match bits {
            8 => Encoding::S8,
            16 => Encoding::S16,
            24 => Encoding::S24,
            32 => Encoding::S32,
            _ => return None,
        }
    };
    let order = if flags & IS_LITTLE_ENDIAN != 0 {
        ByteOrder::Little
    } else {
        ByteOrder::Big
    };
    Some(SampleFormat::from(encoding).ordered(order))
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
