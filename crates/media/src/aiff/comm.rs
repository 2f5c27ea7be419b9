//! COMM: how the sound is written.

use std::io::{Read, Seek};

use super::COMM;
use crate::big_endian::Fields;
use crate::cursor::Cursor;
use crate::{ByteOrder, Encoding, MediaError, SampleFormat, Unsupported, plausible};

/// What the chunk says that is needed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Comm {
    pub(super) format: SampleFormat,
    pub(super) channels: u16,
    pub(super) sample_rate: u32,
    pub(super) sample_frames: u64,
}

impl Comm {
    /// From the chunk's content, which begins at byte `at`.
    pub(super) fn read<S: Read + Seek>(
        cursor: &mut Cursor<S>,
        at: u64,
    ) -> Result<Self, MediaError> {
        let is_compressed_form = cursor.array::<4>(super::CHUNK_HEADER)? == Some(*b"AIFC");
        let content = cursor.read(at, 22)?;
        let mut fields = Fields::new(&content);
        let (channels, sample_frames, bits) = (fields.u16(), fields.u32(), fields.u16());
        let sample_rate = hertz(fields.u16(), fields.u64());
        let kind = if is_compressed_form {
            fields.array()
        } else {
            *b"NONE"
        };
        plausible::channels(channels, COMM, at)?;
        plausible::sample_rate(sample_rate, COMM, at + 8)?;
        Ok(Self {
            format: format(kind, bits, at)?,
            channels,
            sample_rate,
            sample_frames: sample_frames.into(),
        })
    }
}

/// A sample of fewer bits than its bytes have stands at the top of them.
fn format(kind: [u8; 4], bits: u16, at: u64) -> Result<SampleFormat, MediaError> {
    let whole = bits.div_ceil(8) * 8;
    let (encoding, order) = match &kind {
        b"NONE" | b"twos" | b"in24" | b"in32" => (Encoding::signed(whole), ByteOrder::Big),
        b"sowt" => (Encoding::signed(whole), ByteOrder::Little),
        b"raw " => (Some(Encoding::U8), ByteOrder::Big),
        b"fl32" | b"FL32" => (Some(Encoding::F32), ByteOrder::Big),
        b"fl64" | b"FL64" => (Some(Encoding::F64), ByteOrder::Big),
        other => {
            let name = codec_name(*other);
            return Err(MediaError::Codec { name });
        }
    };
    let format = encoding.map(|encoding| {
        SampleFormat::new(encoding, bits)
            .unwrap_or(encoding.into())
            .ordered(order)
    });
    format.ok_or(MediaError::Unsupported {
        place: COMM,
        at: at + 6,
        what: Unsupported::IntegerBits { bits },
    })
}

/// The whole number in an 80-bit extended number (IEEE 754): a sign, 15 bits of exponent, 64 of
/// mantissa with the one before the point. Beyond 32 bits, or below 0, it is 0.
fn hertz(sign_and_exponent: u16, mantissa: u64) -> u32 {
    const UNITS: u16 = 16_383 + 63;
    let shift = UNITS.checked_sub(sign_and_exponent);
    let whole = shift.and_then(|shift| mantissa.checked_shr(shift.into()));
    whole
        .and_then(|whole| u32::try_from(whole).ok())
        .unwrap_or(0)
}

fn codec_name(kind: [u8; 4]) -> &'static str {
    match &kind {
        b"ima4" => "IMA ADPCM",
        b"ulaw" | b"ULAW" => "mu-law",
        b"alaw" | b"ALAW" => "A-law",
        b"MAC3" | b"MAC6" => "an old codec for speech",
        b"GSM " | b"agsm" => "GSM 6.10",
        _ => "an unknown codec",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sample_rates_in_eighty_bits() {
        for (exponent, mantissa, wanted) in [
            (0x400E, 0xBB80_0000_0000_0000, 48_000),
            (0x400E, 0xAC44_0000_0000_0000, 44_100),
            (0x4010, 0xBB80_0000_0000_0000, 192_000),
            (0xC00E, 0xBB80_0000_0000_0000, 0),
            (0x7FFF, u64::MAX, 0),
            (0, 0, 0),
        ] {
            assert_eq!(hertz(exponent, mantissa), wanted);
        }
    }
}
