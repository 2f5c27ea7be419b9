//! A track of sound: how it is written, and which part of it is presented.

use crate::{OutsideDecoder, SampleFormat};

/// One track of sound.
#[derive(Debug, Clone, PartialEq)]
pub struct Track {
    /// How its sound is written.
    pub coding: Coding,
    /// How many channels it has, at least 1.
    pub channels: u16,
    /// How many bits a sample has; none where the codec has no such thing.
    pub bits: Option<u16>,
    /// Which part of what is decoded stands on the recording's time line.
    pub edit: Edit,
    /// The decoder outside that is wanted, where there is none here.
    pub outside: Option<OutsideDecoder>,
}

impl Track {
    /// How one sample is written; none where the track is compressed.
    pub const fn format(&self) -> Option<SampleFormat> {
        match &self.coding {
            Coding::Linear(format) => Some(*format),
            Coding::Packets(_) | Coding::Stream(_) => None,
        }
    }

    /// What its sound is compressed with; none where it is not.
    pub const fn codec(&self) -> Option<Codec> {
        match &self.coding {
            Coding::Linear(_) | Coding::Stream(Codec::Pcm) => None,
            Coding::Packets(packets) => Some(packets.codec),
            Coding::Stream(codec) => Some(*codec),
        }
    }

    /// How many bytes one sample frame takes; none where the track is compressed.
    pub fn bytes_per_frame(&self) -> Option<u16> {
        Some(self.channels * self.format()?.encoding().bytes())
    }
}

/// How the sound of a track is written.
#[derive(Debug, Clone, PartialEq)]
pub enum Coding {
    /// Sample after sample.
    Linear(SampleFormat),
    /// Packets whose lengths the file's index tells.
    Packets(Packets),
    /// A whole file in which packets must be looked for.
    Stream(Codec),
}

/// Packets of compressed sound.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Packets {
    /// What they are compressed with.
    pub codec: Codec,
    /// The codec's own set-up, as the container holds it.
    pub setup: Vec<u8>,
    /// How many bytes each packet has, in order.
    pub sizes: Vec<u32>,
    /// How many sample frames a packet has, as a rule.
    pub frames: u32,
}

/// What sound is compressed with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Codec {
    /// AAC, ISO/IEC 14496-3.
    Aac,
    /// Apple Lossless.
    Alac,
    /// FLAC, RFC 9639.
    Flac,
    /// MPEG layer 2, ISO/IEC 11172-3.
    Mp2,
    /// MPEG layer 3, ISO/IEC 11172-3.
    Mp3,
    /// Opus, RFC 6716.
    Opus,
    /// Vorbis I.
    Vorbis,
    /// Not compressed.
    Pcm,
}

impl Codec {
    /// Whether it leaves out what ears are not to miss.
    pub const fn is_lossy(self) -> bool {
        match self {
            Self::Aac | Self::Mp2 | Self::Mp3 | Self::Opus | Self::Vorbis => true,
            Self::Alac | Self::Flac | Self::Pcm => false,
        }
    }

    /// The trade's name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Aac => "AAC",
            Self::Alac => "ALAC",
            Self::Flac => "FLAC",
            Self::Mp2 => "MP2",
            Self::Mp3 => "MP3",
            Self::Opus => "Opus",
            Self::Vorbis => "Vorbis",
            Self::Pcm => "PCM",
        }
    }
}

/// Which part of what is decoded stands on the time line, in sample frames.
///
/// An encoder's run-in is `skip`ped; a track that begins later than the others has `silence`
/// before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Edit {
    /// So much silence stands before the sound.
    pub silence: u64,
    /// So much of what is decoded is left out at the beginning.
    pub skip: u64,
    /// So much of the rest is presented, at most.
    pub frames: u64,
}

impl Edit {
    /// All of it.
    pub const WHOLE: Self = Self {
        silence: 0,
        skip: 0,
        frames: u64::MAX,
    };

    /// Without the silence, where there is more of it than is believed.
    #[must_use]
    pub(crate) fn believed(self, sample_rate: u32) -> Self {
        let most = crate::limits::SILENCE_AT_MOST * u64::from(sample_rate);
        Self {
            silence: if self.silence > most { 0 } else { self.silence },
            ..self
        }
    }

    /// How long the track is on the time line if so many sample frames are decoded.
    pub const fn length(self, decoded: u64) -> u64 {
        let rest = decoded.saturating_sub(self.skip);
        let sound = if rest < self.frames {
            rest
        } else {
            self.frames
        };
        self.silence.saturating_add(sound)
    }
}
