//! The sample entry: what the sound of a track is written in.

use std::io::{Read, Seek};

use super::boxes::{self, Box};
use crate::big_endian::Fields;
use crate::cursor::Cursor;
use crate::outside::opus;
use crate::{ByteOrder, ChunkId, Codec, Encoding, MediaError, SampleFormat, esds};

/// What a sample entry of sound says.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Entry {
    pub(super) written: Written,
    pub(super) channels: u16,
    pub(super) sample_rate: u32,
}

/// How the sound is written.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Written {
    Linear(SampleFormat),
    Packets { codec: Codec, setup: Vec<u8> },
}

/// The longest set-up of a codec that is read.
const SETUP_AT_MOST: u64 = 4096;

/// The fields that every entry of sound begins with, after the reserved bytes and the index.
struct Head {
    version: u16,
    channels: u16,
    bits: u16,
    sample_rate: u32,
    /// Version 2 (QuickTime File Format, sound sample description): its flags for linear PCM.
    flags: u32,
    /// Where the boxes within begin.
    len: u64,
}

impl Head {
    fn read(content: &[u8]) -> Self {
        let mut fields = Fields::new(content);
        fields.skip(8);
        let version = fields.u16();
        fields.skip(6);
        let (mut channels, mut bits) = (fields.u16(), fields.u16());
        fields.skip(4);
        let mut sample_rate = fields.u32() >> 16;
        let mut flags = 0;
        if version == 2 {
            fields.skip(4);
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a rate that is none becomes 0 and is refused"
            )]
            let hertz = f64::from_be_bytes(fields.array()).round() as u32;
            sample_rate = hertz;
            channels = u16::try_from(fields.u32()).unwrap_or(u16::MAX);
            fields.skip(4);
            bits = u16::try_from(fields.u32()).unwrap_or(u16::MAX);
            flags = fields.u32();
        }
        Self {
            version,
            channels,
            bits,
            sample_rate,
            flags,
            len: match version {
                0 => 28,
                1 => 44,
                _ => 64,
            },
        }
    }
}

impl Entry {
    /// From the entry's box.
    pub(super) fn read<S: Read + Seek>(
        cursor: &mut Cursor<S>,
        entry: &Box,
    ) -> Result<Self, MediaError> {
        let content = cursor.read(entry.content.start, 64.min(whole(entry.len())))?;
        let head = Head::read(&content);
        let within = entry.content.start.saturating_add(head.len)..entry.content.end;
        let mut within = boxes::all(cursor, within)?;
        // QuickTime keeps the codec's boxes in one of their own.
        if let Some(wave) = boxes::find(&within, *b"wave").cloned() {
            within.extend(boxes::all(cursor, wave.content)?);
        }
        let written = match &entry.id.0 {
            b"mp4a" => aac(cursor, &within)?,
            b"Opus" => Written::Packets {
                codec: Codec::Opus,
                setup: opus::head_of_box(&content_of(cursor, &within, *b"dOps")?),
            },
            b"alac" => {
                let setup = content_of(cursor, &within, *b"alac")?;
                // A full box: version and flags come before the set-up.
                let setup = setup.get(4..).unwrap_or_default().to_vec();
                Written::Packets {
                    codec: Codec::Alac,
                    setup,
                }
            }
            _ => {
                let Some(format) = linear(cursor, entry.id, &head, &within)? else {
                    let name = codec_name(entry.id);
                    return Err(MediaError::Codec { name });
                };
                Written::Linear(format)
            }
        };
        Ok(Self {
            written,
            channels: head.channels,
            sample_rate: head.sample_rate,
        })
    }
}

fn whole(len: u64) -> usize {
    usize::try_from(len).unwrap_or(usize::MAX)
}

fn content_of<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    boxes: &[Box],
    id: [u8; 4],
) -> Result<Vec<u8>, MediaError> {
    let Some(found) = boxes::find(boxes, id) else {
        return Ok(Vec::new());
    };
    cursor.read(found.content.start, whole(found.len().min(SETUP_AT_MOST)))
}

/// Linear PCM by its tag (QuickTime File Format, audio formats; ISO/IEC 23003-5 for `ipcm` and
/// `fpcm`, from memory); none where the tag means something else.
fn linear<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    tag: ChunkId,
    head: &Head,
    within: &[Box],
) -> Result<Option<SampleFormat>, MediaError> {
    let enda = content_of(cursor, within, *b"enda")?;
    let turned = if enda == [0, 1] {
        ByteOrder::Little
    } else {
        ByteOrder::Big
    };
    let pcm_c = content_of(cursor, within, *b"pcmC")?;
    let mut pcm = Fields::new(pcm_c.get(4..).unwrap_or_default());
    let iso_order = if pcm.u8() & 1 == 1 {
        ByteOrder::Little
    } else {
        ByteOrder::Big
    };
    let iso_bits = u16::from(pcm.u8());
    let (encoding, order) = match &tag.0 {
        b"sowt" if head.bits == 8 => (Some(Encoding::S8), ByteOrder::Little),
        b"twos" if head.bits == 8 => (Some(Encoding::S8), ByteOrder::Big),
        b"sowt" => (Encoding::signed(head.bits), ByteOrder::Little),
        b"raw " | b"NONE" if head.bits == 8 => (Some(Encoding::U8), ByteOrder::Big),
        b"twos" | b"raw " | b"NONE" => (Encoding::signed(head.bits), ByteOrder::Big),
        b"in24" => (Some(Encoding::S24), turned),
        b"in32" => (Some(Encoding::S32), turned),
        b"fl32" => (Some(Encoding::F32), turned),
        b"fl64" => (Some(Encoding::F64), turned),
        b"lpcm" => (flagged(head), flag_order(head)),
        b"ipcm" => (Encoding::signed(iso_bits), iso_order),
        b"fpcm" => (Encoding::float(iso_bits), iso_order),
        _ => return Ok(None),
    };
    Ok(encoding.map(|encoding| SampleFormat::from(encoding).ordered(order)))
}

/// The flags of `lpcm`: bit 0 floating point, bit 1 big-endian, bit 2 signed.
const IS_FLOAT: u32 = 1;
const IS_BIG_ENDIAN: u32 = 2;
const IS_SIGNED: u32 = 4;

fn flagged(head: &Head) -> Option<Encoding> {
    if head.version != 2 {
        return Encoding::signed(head.bits);
    }
    if head.flags & IS_FLOAT != 0 {
        return Encoding::float(head.bits);
    }
    if head.flags & IS_SIGNED == 0 {
        return (head.bits == 8).then_some(Encoding::U8);
    }
    Encoding::signed(head.bits)
}

const fn flag_order(head: &Head) -> ByteOrder {
    if head.version == 2 && head.flags & IS_BIG_ENDIAN == 0 {
        ByteOrder::Little
    } else {
        ByteOrder::Big
    }
}

fn aac<S: Read + Seek>(cursor: &mut Cursor<S>, within: &[Box]) -> Result<Written, MediaError> {
    let esds = content_of(cursor, within, *b"esds")?;
    match esds::read(esds.get(4..).unwrap_or_default()) {
        esds::Stream::Aac(setup) => Ok(Written::Packets {
            codec: Codec::Aac,
            setup,
        }),
        esds::Stream::Other(name) => Err(MediaError::Codec { name }),
    }
}

/// The trade's names of tags (from memory).
fn codec_name(tag: ChunkId) -> &'static str {
    match &tag.0 {
        b"ac-3" => "AC-3",
        b"ec-3" => "E-AC-3",
        b"fLaC" => "FLAC in MP4",
        b".mp3" | b"ms\0U" => "MP3 in MP4",
        b"dtsc" | b"dtsh" | b"dtsl" => "DTS",
        b"mhm1" | b"mha1" => "MPEG-H",
        b"ima4" => "IMA ADPCM",
        b"ulaw" => "mu-law",
        b"alaw" => "A-law",
        b"samr" | b"sawb" => "AMR",
        b"QDM2" | b"QDMC" | b"MAC3" | b"MAC6" => "an old QuickTime codec",
        _ => "an unknown codec",
    }
}
