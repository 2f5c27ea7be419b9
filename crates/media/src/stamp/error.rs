//! Why a copy can't be made, what is to be known of one, and how one differs.

use thiserror::Error;

use crate::{ChunkId, Container, MediaError};

/// Why a stamped copy can't be made.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum StampError {
    /// The recording itself can't be read.
    #[error(transparent)]
    Media(#[from] MediaError),
    /// Only a WAV has a place for the stamp.
    #[error("the recording is {}, and only a WAV can be stamped", container.in_words())]
    NotWav {
        /// What it is.
        container: Container,
    },
    /// A channel that the recording does not have.
    #[error("channel {} can't be left out: the recording has {channels}", channel + 1)]
    NoSuchChannel {
        /// The channel, counted from 0.
        channel: u16,
        /// How many there are.
        channels: u16,
    },
    /// Every channel is to be left out.
    #[error("nothing would be left: the recording has no channel beside the code")]
    NothingLeft {
        /// How many channels there are.
        channels: u16,
    },
    /// Longer than even 64 bits can say.
    #[error("the copy would be longer than a file can be")]
    TooLong,
}

impl StampError {
    /// What to do about it.
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::Media(error) => error.remedy(),
            Self::NotWav { .. } => {
                "Save its sound as WAV first, whole and without changing the sample rate, and read \
                 and stamp that."
            }
            Self::NoSuchChannel { .. } => "Read the recording again; it has changed since.",
            Self::NothingLeft { .. } => "Keep the code in the copy.",
            Self::TooLong => "The header is damaged. Copy the file again from the card.",
        }
    }
}

/// What somebody should know who uses a copy.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum Remark {
    /// Something was wrong with the original that is right in the copy.
    #[error("{0}. In the copy this is put right")]
    PutRight(MediaError),
    /// The iXML could not be changed.
    #[error("{0}. The copy has it as it was, without the stamp; the bext chunk has it")]
    IxmlLeft(MediaError),
    /// The copy passes 4 GiB and the original did not.
    #[error("the copy passes 4 GiB, so it is RF64")]
    Grown,
    /// A chunk that tells of every channel, in a copy without some of them.
    #[error("the {id} chunk still tells of the channels that were left out")]
    TellsOfChannels {
        /// The chunk.
        id: ChunkId,
    },
}

/// How a copy that was read back differs from what it should be.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum Difference {
    /// The copy can't be read at all.
    #[error("the copy can't be read: {0}")]
    Unreadable(#[from] MediaError),
    /// Something is wrong with the copy's header.
    #[error("in the copy, {0}")]
    Problem(MediaError),
    /// It has another length.
    #[error("the copy has {found} bytes, not {right}")]
    Length {
        /// How many it has.
        found: u64,
        /// How many it should have.
        right: u64,
    },
    /// The header says something else.
    #[error("the copy's {what} is not what it should be")]
    Header {
        /// Which part of it.
        what: &'static str,
    },
    /// The sound is not the original's.
    #[error("the copy's sound is not the original's")]
    Sound,
    /// Some byte beside the sound is not what was written.
    #[error("the copy has other bytes than were written")]
    Bytes,
}
