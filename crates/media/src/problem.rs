//! What can be wrong inside a chunk, each with its words and its remedy.

use thiserror::Error;

use crate::ChunkId;
use crate::limits::{CHANNELS_AT_MOST, CHUNKS_AT_MOST, IXML_AT_MOST, SAMPLE_RATE_AT_MOST};

/// How bytes contradict the format.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum Malformed {
    /// No fmt chunk before the end of the file.
    #[error("nothing in the file says how its samples are written: it has no fmt chunk")]
    NoFmt,
    /// The fmt chunk is too short for what it must hold.
    #[error("the fmt chunk is {len} bytes long, but needs {needed}")]
    FmtTooShort {
        /// Its length in bytes.
        len: u64,
        /// The least it needs.
        needed: u64,
    },
    /// No channels.
    #[error("the header says that the recording has 0 channels")]
    ZeroChannels,
    /// No sample rate.
    #[error("the header says that the sample rate is 0 Hz")]
    ZeroSampleRate,
    /// A rate that nothing records at.
    #[error(
        "the header says that the sample rate is {found} Hz; up to {SAMPLE_RATE_AT_MOST} Hz is believed"
    )]
    SampleRate {
        /// The rate in hertz.
        found: u32,
    },
    /// Samples of no bits.
    #[error("the header says that samples have 0 bits")]
    ZeroBits,
    /// A sample frame is not as long as its samples.
    #[error(
        "the header says that a sample frame takes {found} bytes (block align), but {channels} \
         channels of {bits} bits take {right}"
    )]
    BlockAlign {
        /// What the header says, in bytes.
        found: u16,
        /// What would be right, in bytes.
        right: u16,
        /// How many channels.
        channels: u16,
        /// How many bits the header gives a sample.
        bits: u16,
    },
    /// More valid bits than there are bits.
    #[error("the header says that {valid} of a sample's {bits} bits are valid; taken as {bits}")]
    ValidBits {
        /// What the header says.
        valid: u16,
        /// How many there are.
        bits: u16,
    },
    /// The ds64 chunk is too short.
    #[error(
        "the ds64 chunk, which holds the file's real lengths, is {len} bytes long; it needs 28"
    )]
    Ds64TooShort {
        /// Its length in bytes.
        len: u64,
    },
    /// A 64-bit file without 64-bit lengths.
    #[error("the file has no ds64 chunk, which should hold its real lengths")]
    NoDs64,
    /// Bytes that belong to no chunk.
    #[error(
        "{left} bytes from here to the end of the file are not part of any chunk; they are not read"
    )]
    NoChunk {
        /// How many bytes are left.
        left: u64,
    },
    /// Too many chunks.
    #[error("the file has more than {CHUNKS_AT_MOST} chunks; those after are not read")]
    TooManyChunks,
    /// The sound ends within a sample frame.
    #[error(
        "the sound is {len} bytes long, which is not a whole number of sample frames of \
         {bytes_per_frame} bytes; the last {left_over} are left out"
    )]
    PartFrame {
        /// The length of the sound in bytes.
        len: u64,
        /// How many bytes a sample frame takes.
        bytes_per_frame: u16,
        /// How many bytes are left over.
        left_over: u64,
    },
    /// The bext chunk is too short.
    #[error("the bext chunk is {len} bytes long, but needs at least 602; what is there is used")]
    BextTooShort {
        /// Its length in bytes.
        len: u64,
    },
    /// The iXML is longer than is read.
    #[error("the iXML is {len} bytes long; up to {IXML_AT_MOST} are read, so it is left out")]
    IxmlTooLong {
        /// Its length in bytes.
        len: u64,
    },
    /// The iXML is not XML.
    #[error("the iXML is not XML ({what}); it is left out")]
    NotXml {
        /// What is wrong with it.
        what: String,
    },
    /// The iXML stops being XML somewhere.
    #[error("the iXML is broken ({what}); what stands before that is used")]
    BrokenXml {
        /// What is wrong with it.
        what: String,
    },
    /// A part of an MP4's index is longer than is read.
    #[error("a table of the index is {len} bytes long, which no recording needs")]
    TableTooLong {
        /// Its length in bytes.
        len: u64,
    },
    /// An AIFF without its COMM chunk.
    #[error("nothing in the file says how its samples are written: it has no COMM chunk")]
    NoComm,
    /// The desc chunk of a CAF is too short.
    #[error("the desc chunk, which says how samples are written, is {len} bytes long; it needs 32")]
    DescTooShort {
        /// Its length in bytes.
        len: u64,
    },
    /// A track that begins long after the others.
    #[error(
        "the edit list lets the track begin {seconds} s late, which is not believed: it is read \
         from the recording's beginning"
    )]
    LateTrack {
        /// How late.
        seconds: u64,
    },
    /// A track is cut together from several parts.
    #[error(
        "the edit list presents {parts} parts of the track one after the other; it is read on from \
         the first"
    )]
    ManyEdits {
        /// How many.
        parts: usize,
    },
    /// The XML has another root element.
    #[error("the iXML's root element is \"{found}\", where iXML has BWFXML; it is left out")]
    NotIxml {
        /// The root element's name.
        found: String,
    },
}

pub(crate) const HEADER_DAMAGED: &str = "The header is damaged. Copy the file again from the card; if it is \
    the same there, open it in an audio editor that imports raw sound and save it as WAV.";
pub(crate) const SAVE_AS_WAV: &str =
    "Save it as WAV with linear PCM (16 or 24 bits) first, without changing the sample rate.";
const METADATA_ONLY: &str = "The sound is not affected. Compare what the recorder's report says \
    about scene, take and start time.";

impl Malformed {
    pub(crate) const fn remedy(&self) -> &'static str {
        match self {
            Self::NoFmt
            | Self::FmtTooShort { .. }
            | Self::ZeroChannels
            | Self::ZeroSampleRate
            | Self::SampleRate { .. }
            | Self::ZeroBits
            | Self::BlockAlign { .. }
            | Self::NoComm
            | Self::DescTooShort { .. }
            | Self::TableTooLong { .. } => HEADER_DAMAGED,
            Self::LateTrack { .. } | Self::ManyEdits { .. } => {
                "This file was edited after it was recorded. Use the original if there is one; \
                 otherwise trust the places in it only up to the first cut."
            }
            Self::ValidBits { .. } => "The sound is not affected; nothing needs doing.",
            Self::Ds64TooShort { .. } | Self::NoDs64 => {
                "The sound is taken to run to the end of the file. Copy the file again from the \
                 card and compare the sizes."
            }
            Self::NoChunk { .. } => {
                "If the recording is shorter than it should be, the recorder lost power before it \
                 brought the header up to date: some recorders can repair that from their menu."
            }
            Self::TooManyChunks => {
                "If scene, take or start time are missing, ask for a copy as the recorder wrote it."
            }
            Self::PartFrame { .. } => {
                "Nothing can be heard of it. If the file was copied or downloaded, compare its \
                 size with the original's."
            }
            Self::BextTooShort { .. }
            | Self::IxmlTooLong { .. }
            | Self::NotXml { .. }
            | Self::BrokenXml { .. }
            | Self::NotIxml { .. } => METADATA_ONLY,
        }
    }
}

/// What is correct but not handled here.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum Unsupported {
    /// Most significant byte first.
    #[error("the file is RIFX, which has its bytes in the reverse order of a WAV")]
    Rifx,
    /// Compressed sound.
    #[error("the sound is {} in WAV (format tag 0x{tag:04X}), not linear PCM or floating point", codec_name(*tag))]
    Codec {
        /// The format tag.
        tag: u16,
    },
    /// A format that has no tag.
    #[error("the sound is in a format of its own ({}), not linear PCM or floating point", guid_text(*guid))]
    SubFormat {
        /// The bytes of the GUID, as they stand in the file.
        guid: [u8; 16],
    },
    /// More channels than are read.
    #[error(
        "the header says that the recording has {found} channels; up to {CHANNELS_AT_MOST} are read"
    )]
    Channels {
        /// How many channels.
        found: u16,
    },
    /// Samples of an unusual length.
    #[error("the header says that samples have {bits} bits; PCM is read up to 32 bits")]
    IntegerBits {
        /// How many bits.
        bits: u16,
    },
    /// Floating-point samples of an unusual length.
    #[error("the header says that samples are floating point of {bits} bits; 32 and 64 are read")]
    FloatBits {
        /// How many bits.
        bits: u16,
    },
}

impl Unsupported {
    pub(crate) const fn remedy(&self) -> &'static str {
        match self {
            Self::Rifx => "Save it as WAV with an audio editor first.",
            Self::Codec { .. } | Self::SubFormat { .. } => SAVE_AS_WAV,
            Self::Channels { .. } => {
                "If the recorder has no such number of tracks, the header is damaged: copy the \
                 file again from the card. Otherwise split it into files of fewer channels."
            }
            Self::IntegerBits { .. } | Self::FloatBits { .. } => {
                "If the recorder has no such setting, the header is damaged: copy the file again \
                 from the card. Otherwise save it as WAV with 24 bits first."
            }
        }
    }
}

/// What an early end of the file took away.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum Cut {
    /// The file ends before its first chunk.
    #[error("the file ends after {present} bytes, within its header")]
    Header {
        /// How many bytes there are.
        present: u64,
    },
    /// The index of a movie is cut.
    #[error("the file ends after {present} bytes, within its index: what the rest tells is lost")]
    Index {
        /// How many bytes the file has.
        present: u64,
    },
    /// A chunk is longer than what is left of the file.
    #[error(
        "the {id} chunk should be {needed} bytes long, but the file ends after {present} of them"
    )]
    Chunk {
        /// The chunk.
        id: ChunkId,
        /// How many bytes it should have.
        needed: u64,
        /// How many are there.
        present: u64,
    },
    /// The sound is longer than what is left of the file.
    #[error(
        "the sound should be {needed} bytes long, but the file ends after {present} of them: \
         {sample_frames} whole samples of each channel are there"
    )]
    Sound {
        /// How many bytes there should be.
        needed: u64,
        /// How many are there.
        present: u64,
        /// How many whole sample frames that is.
        sample_frames: u64,
    },
    /// The header was never finished.
    #[error(
        "the header was never finished: it gives no length for the sound, so everything to the \
         end of the file is taken as sound, {sample_frames} samples of each channel"
    )]
    Unfinished {
        /// How many whole sample frames are there.
        sample_frames: u64,
    },
}

impl Cut {
    pub(crate) const fn remedy(&self) -> &'static str {
        match self {
            Self::Header { .. } => {
                "Copy the file again from the card. If it is as short there, the recorder stopped \
                 before it wrote any sound."
            }
            Self::Chunk { .. } | Self::Sound { .. } | Self::Index { .. } => {
                "What is there is read. Copy the file again from the card and compare the sizes; \
                 if they are the same, the recorder lost power or the card was full."
            }
            Self::Unfinished { .. } => {
                "What is there is read. The recorder probably lost power: to use the recording \
                 elsewhere, repair it with the recorder's own menu or save it anew."
            }
        }
    }
}

/// The trade's names of format tags (RFC 2361 and the public registry; from memory).
fn codec_name(tag: u16) -> &'static str {
    match tag {
        0x0002 | 0x0011 => "ADPCM",
        0x0006 => "A-law",
        0x0007 => "mu-law",
        0x0031 => "GSM 6.10",
        0x0050 => "MPEG layer 1 or 2",
        0x0055 => "MPEG layer 3",
        0x00FF | 0x1600 | 0x1602 | 0x1610 => "AAC",
        0x0092 | 0x2000 => "AC-3",
        0x2001 => "DTS",
        0x0161..=0x0163 => "Windows Media Audio",
        0x674F..=0x6771 => "Vorbis",
        0xF1AC => "FLAC",
        _ => "an unknown codec",
    }
}

/// The usual way to write a GUID: the first three parts have their bytes reversed.
fn guid_text(guid: [u8; 16]) -> String {
    let bytes = u128::from_be_bytes(guid);
    let part = |from: u32, bits: u32| bytes >> (128 - from - bits) & ((1 << bits) - 1);
    let reversed = |from, bits| part(from, bits).swap_bytes() >> (128 - bits);
    format!(
        "{:08x}-{:04x}-{:04x}-{:04x}-{:012x}",
        reversed(0, 32),
        reversed(32, 16),
        reversed(48, 16),
        part(64, 16),
        part(80, 48),
    )
}
