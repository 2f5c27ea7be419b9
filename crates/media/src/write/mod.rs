//! Recordings of our own: WAV, and RF64 past 4 GiB, with bext and iXML before the sound.

mod header;
mod pack;

pub use pack::pack;

use std::io::{self, Write};

use thiserror::Error;

use crate::limits::{CHANNELS_AT_MOST, SAMPLE_RATE_AT_MOST};
use crate::{Bext, Container, Encoding, Ixml};

/// What a recording is to be. Its length is known before the first sample is written, so the
/// header is right from the start and nothing needs to be sought back to.
#[derive(Debug, Clone, PartialEq)]
pub struct Recording {
    /// Sample frames a second, 1 to [`SAMPLE_RATE_AT_MOST`].
    pub sample_rate: u32,
    /// How many channels, 1 to [`CHANNELS_AT_MOST`].
    pub channels: u16,
    /// How a sample is written.
    pub encoding: Encoding,
    /// How many sample frames will come.
    pub sample_frames: u64,
    /// The broadcast extension.
    pub bext: Option<Bext>,
    /// The iXML.
    pub ixml: Option<Ixml>,
}

/// Why a recording could not be written.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum WriteError {
    /// Too few or too many channels.
    #[error("a recording has 1 to {CHANNELS_AT_MOST} channels, not {channels}")]
    Channels {
        /// What was asked for.
        channels: u16,
    },
    /// A sample rate that is not written.
    #[error("the sample rate is 1 to {SAMPLE_RATE_AT_MOST} Hz, not {sample_rate}")]
    SampleRate {
        /// What was asked for.
        sample_rate: u32,
    },
    /// Longer than even 64 bits can say.
    #[error("{sample_frames} sample frames are more than a file can hold")]
    TooLong {
        /// What was asked for.
        sample_frames: u64,
    },
    /// A block with another number of channels than the recording.
    #[error("a block of {found} channels was given to a recording of {right}")]
    BlockChannels {
        /// How many slices the block had.
        found: usize,
        /// How many it should have.
        right: u16,
    },
    /// A block whose channels are not of one length.
    #[error("channel {channel} of the block has {found} samples, the first one {right}")]
    BlockLength {
        /// The channel, counted from 0.
        channel: usize,
        /// How many samples it has.
        found: usize,
        /// How many the first one has.
        right: usize,
    },
    /// More or fewer sample frames than the header promises.
    #[error("{found} sample frames were given, but the header promises {promised}")]
    SampleFrames {
        /// What was given, with this block.
        found: u64,
        /// What the header says.
        promised: u64,
    },
    /// Writing itself failed.
    #[error("writing failed: {0}")]
    Sink(#[from] io::Error),
}

impl Recording {
    /// A recording without metadata.
    pub const fn new(
        sample_rate: u32,
        channels: u16,
        encoding: Encoding,
        sample_frames: u64,
    ) -> Self {
        Self {
            sample_rate,
            channels,
            encoding,
            sample_frames,
            bext: None,
            ixml: None,
        }
    }

    /// Everything before the first sample.
    pub fn header(&self) -> Result<Vec<u8>, WriteError> {
        Ok(self.laid_out()?.header)
    }

    /// What kind of file it will be: RF64 where 32 bits cannot hold its length.
    pub fn container(&self) -> Result<Container, WriteError> {
        Ok(self.laid_out()?.container)
    }

    fn laid_out(&self) -> Result<header::Layout, WriteError> {
        if !(1..=CHANNELS_AT_MOST).contains(&self.channels) {
            return Err(WriteError::Channels {
                channels: self.channels,
            });
        }
        if !(1..=SAMPLE_RATE_AT_MOST).contains(&self.sample_rate) {
            return Err(WriteError::SampleRate {
                sample_rate: self.sample_rate,
            });
        }
        header::Layout::new(self).ok_or(WriteError::TooLong {
            sample_frames: self.sample_frames,
        })
    }
}

/// Writes a recording as its samples come.
#[derive(Debug)]
pub struct Writer<W> {
    sink: W,
    encoding: Encoding,
    channels: u16,
    promised: u64,
    given: u64,
    clipped: u64,
    bytes: Vec<u8>,
}

impl<W: Write> Writer<W> {
    /// Writes the header.
    pub fn new(mut sink: W, recording: &Recording) -> Result<Self, WriteError> {
        sink.write_all(&recording.header()?)?;
        Ok(Self {
            sink,
            encoding: recording.encoding,
            channels: recording.channels,
            promised: recording.sample_frames,
            given: 0,
            clipped: 0,
            bytes: Vec::new(),
        })
    }

    /// Writes a block: one slice a channel, all of one length, full scale 1.0. Integers are
    /// rounded to the nearest; what is beyond full scale is clipped and counted, and what is not
    /// a number becomes 0.
    pub fn push(&mut self, block: &[&[f32]]) -> Result<(), WriteError> {
        let frames = self.checked_len(block)?;
        pack(self.encoding, block, &mut self.bytes);
        self.clipped += pack::clipped(self.encoding, block);
        self.sink.write_all(&self.bytes)?;
        self.given += frames as u64;
        Ok(())
    }

    fn checked_len(&self, block: &[&[f32]]) -> Result<usize, WriteError> {
        if block.len() != usize::from(self.channels) {
            return Err(WriteError::BlockChannels {
                found: block.len(),
                right: self.channels,
            });
        }
        let right = block.first().map_or(0, |channel| channel.len());
        let odd = block.iter().position(|channel| channel.len() != right);
        if let Some(channel) = odd {
            return Err(WriteError::BlockLength {
                channel,
                found: block.get(channel).map_or(0, |channel| channel.len()),
                right,
            });
        }
        let found = self.given.saturating_add(right as u64);
        if found > self.promised {
            return Err(self.sample_frames(found));
        }
        Ok(right)
    }

    const fn sample_frames(&self, found: u64) -> WriteError {
        WriteError::SampleFrames {
            found,
            promised: self.promised,
        }
    }

    /// The sink: what was written to it may be taken out.
    pub const fn sink_mut(&mut self) -> &mut W {
        &mut self.sink
    }

    /// How many samples were beyond full scale so far.
    pub const fn clipped(&self) -> u64 {
        self.clipped
    }

    /// Writes what belongs after the last sample and gives the sink back. Fails where fewer
    /// sample frames came than were promised.
    pub fn finish(mut self) -> Result<W, WriteError> {
        if self.given != self.promised {
            return Err(self.sample_frames(self.given));
        }
        let frame = u64::from(self.channels * self.encoding.bytes());
        if frame * self.given % 2 == 1 {
            self.sink.write_all(&[0])?;
        }
        self.sink.flush()?;
        Ok(self.sink)
    }
}
