//! What went wrong, where, and what to do.

use std::io;

use thiserror::Error;

use crate::{ChunkId, Cut, Malformed, Opening, Unsupported};

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
    NotWav {
        /// How it begins.
        found: Opening,
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
    /// A word for programs: `"empty"`, `"not-wav"`, `"malformed"`, `"unsupported"`,
    /// `"truncated"` or `"source"`.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Empty | Self::NoSound { .. } => "empty",
            Self::NotWav { .. } => "not-wav",
            Self::Malformed { .. } => "malformed",
            Self::Unsupported { .. } => "unsupported",
            Self::Truncated { .. } => "truncated",
            Self::Source { .. } => "source",
        }
    }

    /// The chunk it was found in, as its letters (`"data"`, `"fmt"`), or `"file"`.
    pub fn place(&self) -> String {
        match self {
            Self::Empty | Self::NotWav { .. } | Self::Source { .. } => "file".to_owned(),
            Self::NoSound { .. } => ChunkId::DATA.to_string(),
            Self::Malformed { place, .. }
            | Self::Unsupported { place, .. }
            | Self::Truncated { place, .. } => place.to_string(),
        }
    }

    /// The byte at which it was found, counted from the start of the file.
    pub const fn at(&self) -> u64 {
        match self {
            Self::Empty | Self::NotWav { .. } => 0,
            Self::NoSound { at }
            | Self::Malformed { at, .. }
            | Self::Unsupported { at, .. }
            | Self::Truncated { at, .. }
            | Self::Source { at, .. } => *at,
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
            Self::NotWav { .. } => {
                "Only the file's name says that it is a WAV. Choose the recording itself, or save \
                 or export it as WAV first."
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
