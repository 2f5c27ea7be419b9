//! What a file's header says.

use std::ops::Range;

use crate::{Bext, ChunkId, Ixml, MediaError, SampleFormat};

/// Which kind of file it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Container {
    /// RIFF/WAVE.
    Wav,
    /// WAVE past 4 GiB, EBU Tech 3306.
    Rf64,
    /// WAVE past 4 GiB, ITU-R BS.2088.
    Bw64,
}

impl Container {
    /// `"wav"`, `"rf64"`, `"bw64"`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Wav => "wav",
            Self::Rf64 => "rf64",
            Self::Bw64 => "bw64",
        }
    }

    /// The letters that such a file begins with.
    pub const fn id(self) -> ChunkId {
        match self {
            Self::Wav => ChunkId::RIFF,
            Self::Rf64 => ChunkId::RF64,
            Self::Bw64 => ChunkId::BW64,
        }
    }
}

/// What a recording's header says, and where its samples are.
#[derive(Debug, Clone, PartialEq)]
pub struct Header {
    /// Which kind of file it is.
    pub container: Container,
    /// How one sample is written.
    pub format: SampleFormat,
    /// Sample frames a second, 1 to [`crate::limits::SAMPLE_RATE_AT_MOST`].
    pub sample_rate: u32,
    /// How many channels, 1 to [`crate::limits::CHANNELS_AT_MOST`].
    pub channels: u16,
    /// Where the samples are: the byte range of the whole sample frames that are really there.
    pub data: Range<u64>,
    /// How many sample frames (one sample of each channel) that is: at least 1.
    pub sample_frames: u64,
    /// The broadcast extension, where there is one.
    pub bext: Option<Bext>,
    /// The iXML, where there is one that could be read.
    pub ixml: Option<Ixml>,
    /// What is wrong with the file though it can be read, in the order in which it was met.
    pub problems: Vec<MediaError>,
}

impl Header {
    /// How many bytes one sample frame takes.
    pub fn bytes_per_frame(&self) -> u16 {
        self.channels * self.format.encoding().bytes()
    }
}
