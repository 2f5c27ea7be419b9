//! What a file's header says.

use std::ops::Range;

use crate::ranges::joined;
use crate::{
    Bext, ChunkId, Codec, Creation, Decoders, Ixml, MediaError, SampleFormat, TimecodeTrack, Track,
};

/// Which kind of file it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Container {
    /// RIFF/WAVE.
    Wav,
    /// WAVE past 4 GiB, EBU Tech 3306.
    Rf64,
    /// WAVE past 4 GiB, ITU-R BS.2088.
    Bw64,
    /// QuickTime movie.
    Mov,
    /// ISO base media file, ISO/IEC 14496-12: MP4, M4A, M4V.
    Mp4,
    /// AIFF and AIFF-C.
    Aiff,
    /// Core Audio Format.
    Caf,
    /// FLAC, RFC 9639.
    Flac,
    /// Ogg, RFC 3533.
    Ogg,
    /// MPEG audio without a container.
    Mpeg,
    /// AAC without a container.
    Adts,
    /// Matroska and `WebM`, RFC 9559.
    Matroska,
}

impl Container {
    /// `"wav"`, `"rf64"`, `"bw64"`, `"mov"`, `"mp4"` …
    pub const fn name(self) -> &'static str {
        match self {
            Self::Wav => "wav",
            Self::Rf64 => "rf64",
            Self::Bw64 => "bw64",
            Self::Mov => "mov",
            Self::Mp4 => "mp4",
            Self::Aiff => "aiff",
            Self::Caf => "caf",
            Self::Flac => "flac",
            Self::Ogg => "ogg",
            Self::Mpeg => "mpeg",
            Self::Adts => "aac",
            Self::Matroska => "matroska",
        }
    }

    /// In words: "an Ogg file".
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::Wav | Self::Rf64 | Self::Bw64 => "a WAV",
            Self::Mov => "a QuickTime movie",
            Self::Mp4 => "an MP4 file",
            Self::Aiff => "an AIFF file",
            Self::Caf => "a CAF file",
            Self::Flac => "a FLAC file",
            Self::Ogg => "an Ogg file",
            Self::Mpeg => "an MPEG audio file",
            Self::Adts => "an AAC file",
            Self::Matroska => "a Matroska file",
        }
    }

    /// The letters that a WAV of this kind begins with; none where it is no WAV.
    pub const fn riff(self) -> Option<ChunkId> {
        match self {
            Self::Wav => Some(ChunkId::RIFF),
            Self::Rf64 => Some(ChunkId::RF64),
            Self::Bw64 => Some(ChunkId::BW64),
            _ => None,
        }
    }
}

/// Some bytes of a file that belong to one track's sound.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// Where they stand.
    pub bytes: Range<u64>,
    /// Whose they are: an index into [`Header::tracks`].
    pub track: usize,
}

/// What a recording's header says, and where its sound is.
#[derive(Debug, Clone, PartialEq)]
pub struct Header {
    /// Which kind of file it is.
    pub container: Container,
    /// Sample frames a second, 1 to [`crate::limits::SAMPLE_RATE_AT_MOST`]; of every track.
    pub sample_rate: u32,
    /// The tracks of sound, at least one; their channels follow each other.
    pub tracks: Vec<Track>,
    /// Where the bytes of the sound are, in the order in which they stand in the file: these, and
    /// no others, are what [`crate::Samples`] wants.
    pub pieces: Vec<Piece>,
    /// How many sample frames (one sample of each channel) the longest track has: at least 1.
    /// Where that is known only at the end, 0.
    pub sample_frames: u64,
    /// The timecode tracks.
    pub timecodes: Vec<TimecodeTrack>,
    /// The broadcast extension, where there is one.
    pub bext: Option<Bext>,
    /// The iXML, where there is one that could be read.
    pub ixml: Option<Ixml>,
    /// When the file says that it was made, where it does, `bext` aside: no place on the clock.
    pub creation: Option<Creation>,
    /// What is wrong with the file though it can be read, in the order in which it was met.
    pub problems: Vec<MediaError>,
}

impl Header {
    /// Where the sound stands in the file: these bytes, in this order. None touches the next.
    pub fn sound(&self) -> Vec<Range<u64>> {
        joined(self.pieces.iter().map(|piece| piece.bytes.clone()))
    }

    /// How many channels all tracks have together, 1 to [`crate::limits::CHANNELS_AT_MOST`].
    pub fn channels(&self) -> u16 {
        self.tracks.iter().map(|track| track.channels).sum()
    }

    /// The track that holds a channel, which one it is, and its first channel.
    pub(crate) fn track_of(&self, channel: u16) -> Option<(usize, u16, &Track)> {
        let mut first = 0;
        self.tracks.iter().enumerate().find_map(|(index, track)| {
            let own = first;
            first += track.channels;
            (channel < first).then_some((index, own, track))
        })
    }

    /// What a channel is compressed with; none where it is not.
    pub fn codec(&self, channel: u16) -> Option<Codec> {
        let (_, _, track) = self.track_of(channel)?;
        track.codec()
    }

    /// How a sample of the first track is written; none where it is compressed.
    pub fn format(&self) -> Option<SampleFormat> {
        self.tracks.first()?.format()
    }

    /// The decoders that reading it takes.
    pub fn decoders(&self) -> Decoders {
        if self.tracks.iter().any(|track| track.outside.is_some()) {
            Decoders::OwnAndOutside
        } else {
            Decoders::Own
        }
    }

    /// From the first byte of the sound to the last.
    pub fn data(&self) -> Range<u64> {
        let begin = self.pieces.first().map_or(0, |piece| piece.bytes.start);
        let end = self.pieces.last().map_or(begin, |piece| piece.bytes.end);
        begin..end
    }
}
