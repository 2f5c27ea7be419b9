//! What went wrong, where, and what to do.

use std::io;

use thiserror::Error;

use crate::problem::{HEADER_DAMAGED, SAVE_AS_WAV};
use crate::{ChunkId, Codec, Container, Cut, Malformed, Opening, Unsupported};

/// Why a file cannot be read, or what is wrong with one that can.
///
/// Its `Display` says what was found, in plain English; [`MediaError::remedy`] what to do.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum MediaError {
    /// There is not one byte in the file.
    #[error("the file is empty: it has no bytes at all")]
    Empty,
    /// The header is there, but not one whole sample after it.
    #[error("the file has a header, but there is no sound after it")]
    NoSound {
        /// Where the sound should begin.
        at: u64,
    },
    /// It is another kind of file.
    #[error("the file begins with {found}")]
    Unknown {
        /// How it begins.
        found: Opening,
    },
    /// A movie without its index.
    #[error(
        "the file has no index (moov){}, so nothing tells where its sound is", if *has_sound {
            ": the recording was never finished"
        } else {
            ""
        }
    )]
    NoIndex {
        /// Whether there is anything that an index could tell of.
        has_sound: bool,
    },
    /// A movie without sound.
    #[error("the file holds no sound{}", if *others > 0 { ", only pictures" } else { "" })]
    NoSoundTrack {
        /// How many other tracks it has.
        others: usize,
    },
    /// Sound that is compressed with something else than what is decoded here.
    #[error("the sound is {name}, which is not decoded here")]
    Codec {
        /// The codec's name in the trade.
        name: &'static str,
    },
    /// Sound that only a decoder outside can decode, and there is none.
    #[error(
        "the sound is {name}, which is left to a browser's own decoder, and there is none here"
    )]
    NoDecoder {
        /// What the sound is, in the trade's words.
        name: String,
    },
    /// A codec that is decoded, set up in a way that is not.
    #[error("the sound is {} of a kind that is not decoded here ({said})", codec.name())]
    Setup {
        /// The codec.
        codec: Codec,
        /// What the decoder said.
        said: String,
    },
    /// No track of sound was found.
    #[error("no sound was found in the file, which begins with {found}")]
    NoTrack {
        /// How it begins.
        found: Opening,
    },
    /// A track that is left out.
    #[error(
        "a track of {channels} channels at {hertz} Hz is left out: it does not fit the one before"
    )]
    OtherTrack {
        /// Its sample rate.
        hertz: u32,
        /// How many channels it has.
        channels: u16,
    },
    /// The file is not what its beginning says.
    #[error("the file begins as {} does, but can't be read on ({said})", container.in_words())]
    Unreadable {
        /// What it begins as.
        container: Container,
        /// What the reader said.
        said: String,
    },
    /// The bytes contradict the format.
    #[error("{problem}")]
    Malformed {
        /// The chunk.
        place: ChunkId,
        /// The byte, counted from the start of the file.
        at: u64,
        /// What is wrong.
        problem: Malformed,
    },
    /// Correct as far as read, but not handled here.
    #[error("{what}")]
    Unsupported {
        /// The chunk.
        place: ChunkId,
        /// The byte, counted from the start of the file.
        at: u64,
        /// What is not handled.
        what: Unsupported,
    },
    /// The file ends early; what stands before the end is still good.
    #[error("{cut}")]
    Truncated {
        /// The chunk.
        place: ChunkId,
        /// The byte at which the chunk's content begins, counted from the start of the file.
        at: u64,
        /// What is missing.
        cut: Cut,
    },
    /// Reading itself failed.
    #[error("reading the file failed: {message}")]
    Source {
        /// The byte that was to be read.
        at: u64,
        /// What kind of failure it was.
        failure: io::ErrorKind,
        /// What the system said.
        message: String,
    },
}

impl MediaError {
    /// A word for programs: `"empty"`, `"unknown"`, `"no-index"`, `"no-sound"`,
    /// `"malformed"`, `"unsupported"`, `"truncated"` or `"source"`.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Empty | Self::NoSound { .. } => "empty",
            Self::Unknown { .. } => "unknown",
            Self::NoIndex { .. } => "no-index",
            Self::NoSoundTrack { .. } | Self::NoTrack { .. } => "no-sound",
            Self::Malformed { .. } | Self::Unreadable { .. } => "malformed",
            Self::Unsupported { .. }
            | Self::Codec { .. }
            | Self::NoDecoder { .. }
            | Self::Setup { .. }
            | Self::OtherTrack { .. } => "unsupported",
            Self::Truncated { .. } => "truncated",
            Self::Source { .. } => "source",
        }
    }

    /// The chunk it was found in, as its letters (`"data"`, `"fmt"`), or `"file"`.
    pub fn place(&self) -> String {
        match self {
            Self::OtherTrack { .. }
            | Self::Codec { .. }
            | Self::NoDecoder { .. }
            | Self::Setup { .. }
            | Self::Empty
            | Self::Unknown { .. }
            | Self::NoIndex { .. }
            | Self::NoSoundTrack { .. }
            | Self::NoTrack { .. }
            | Self::Unreadable { .. }
            | Self::Source { .. } => "file".to_owned(),
            Self::NoSound { .. } => ChunkId::DATA.to_string(),
            Self::Malformed { place, .. }
            | Self::Unsupported { place, .. }
            | Self::Truncated { place, .. } => place.to_string(),
        }
    }

    /// The byte at which it was found, counted from the start of the file; none where it is about
    /// the whole.
    pub const fn at(&self) -> Option<u64> {
        match self {
            Self::Empty
            | Self::Unknown { .. }
            | Self::NoIndex { .. }
            | Self::NoSoundTrack { .. }
            | Self::NoTrack { .. }
            | Self::OtherTrack { .. }
            | Self::Codec { .. }
            | Self::NoDecoder { .. }
            | Self::Setup { .. }
            | Self::Unreadable { .. } => None,
            Self::NoSound { at }
            | Self::Malformed { at, .. }
            | Self::Unsupported { at, .. }
            | Self::Truncated { at, .. }
            | Self::Source { at, .. } => Some(*at),
        }
    }

    /// What to do about it.
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::Empty => {
                "Copy the file again from the card. If it is empty there too, the recorder stopped \
                 before it wrote anything: look for a recovery function in its menu."
            }
            Self::NoSound { .. } => {
                "The recorder was stopped, or lost power, before it wrote any sound. Look for \
                 another take on the card; some recorders can recover one from their menu."
            }
            Self::Unknown { .. } => {
                "Choose the recording itself. If this is one, save or export it as WAV, without \
                 changing the sample rate, and choose that."
            }
            Self::NoIndex { .. } => {
                "The camera or recorder writes the index last: it lost power, or the copy stopped \
                 early. Copy the file again from the card; if it is the same there, put the card \
                 back into the device, which may offer to repair it, before anything else is \
                 written to it."
            }
            Self::NoSoundTrack { .. } | Self::NoTrack { .. } => {
                "Choose another file of the same take: the sound may have been recorded apart. \
                 Check that sound recording was on in the camera."
            }
            Self::OtherTrack { .. } => {
                "If the code is on that track, save it as a WAV of its own and read that."
            }
            Self::Unreadable { .. } => HEADER_DAMAGED,
            Self::Codec { .. } | Self::Setup { .. } => SAVE_AS_WAV,
            Self::NoDecoder { .. } => {
                "Drop it on the page in another browser, one that plays such sound. Or save it as \
                 WAV with linear PCM (16 or 24 bits), without changing the sample rate, and read \
                 that."
            }
            Self::Malformed { problem, .. } => problem.remedy(),
            Self::Unsupported { what, .. } => what.remedy(),
            Self::Truncated { cut, .. } => cut.remedy(),
            Self::Source { .. } => {
                "Check that the card or drive is still connected and that the file was not moved \
                 or renamed, then choose it again."
            }
        }
    }
}
