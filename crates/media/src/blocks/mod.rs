//! Linear samples, channel by channel.

mod unpack;

use thiserror::Error;

use crate::SampleFormat;
use crate::limits::CHANNELS_AT_MOST;

const MOST_CHANNELS: usize = CHANNELS_AT_MOST as usize;

/// The longest sample frame: every channel in 64-bit floating point.
const LONGEST_FRAME: usize = MOST_CHANNELS * 8;

/// Most samples of all channels in a block, and most and fewest sample frames: what a processor
/// keeps close at hand.
const BLOCK_SAMPLES: usize = 16 * 1024;
const MOST_FRAMES: usize = 4096;

/// A channel that the recording does not have, or that was asked for twice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error(
    "channel {channel} (counted from 0) cannot be chosen once more: the recording has {channels}"
)]
pub struct NoSuchChannel {
    /// The channel that was asked for, counted from 0.
    pub channel: u16,
    /// How many there are.
    pub channels: u16,
}

/// Turns a recording's bytes into samples: floating point, one slice a channel, full scale 1.0.
///
/// Bytes are pushed in order, in pieces of any size. How they are cut changes how the samples are
/// cut into blocks, never the samples. Memory is set aside once and does not grow.
///
/// A floating-point sample that is not finite (or does not fit 32 bits) becomes 0 and is counted.
#[derive(Debug, Clone)]
pub struct Blocks {
    format: SampleFormat,
    bytes_per_frame: usize,
    /// The channels that are wanted: the byte in a sample frame at which each stands.
    offsets: Vec<usize>,
    frames_given: u64,
    /// The block that is being filled, one channel after the other.
    planar: Vec<f32>,
    capacity: usize,
    filled: usize,
    /// The start of a sample frame whose end has not come yet.
    carry: [u8; LONGEST_FRAME],
    carried: usize,
    non_finite: u64,
    first_non_finite: Option<u64>,
}

impl Blocks {
    /// For every channel of sound that is written like this.
    pub fn new(format: SampleFormat, channels: u16) -> Self {
        Self::with_channels(format, channels, 0..channels)
    }

    /// For some channels, in the order given, counted from 0: the others cost next to nothing.
    pub fn of_channels(
        format: SampleFormat,
        channels: u16,
        chosen: &[u16],
    ) -> Result<Self, NoSuchChannel> {
        for (index, &channel) in chosen.iter().enumerate() {
            let before = chosen.iter().take(index);
            if channel >= channels || before.into_iter().any(|&other| other == channel) {
                return Err(NoSuchChannel { channel, channels });
            }
        }
        Ok(Self::with_channels(
            format,
            channels,
            chosen.iter().copied(),
        ))
    }

    fn with_channels(
        format: SampleFormat,
        channels: u16,
        chosen: impl Iterator<Item = u16>,
    ) -> Self {
        let bytes = usize::from(format.encoding().bytes());
        let offsets: Vec<_> = chosen
            .take(MOST_CHANNELS)
            .map(|channel| usize::from(channel) * bytes)
            .collect();
        let capacity = (BLOCK_SAMPLES / offsets.len().max(1)).min(MOST_FRAMES);
        Self {
            format,
            bytes_per_frame: (usize::from(channels.max(1)) * bytes).min(LONGEST_FRAME),
            planar: vec![0.0; capacity * offsets.len()],
            offsets,
            frames_given: 0,
            capacity,
            filled: 0,
            carry: [0; LONGEST_FRAME],
            carried: 0,
            non_finite: 0,
            first_non_finite: None,
        }
    }

    /// Takes the next bytes and gives the samples that are complete: each call of `block` gets
    /// one slice a channel, all of the same length, at least 1 and at most a few thousand
    /// samples.
    pub fn push(&mut self, bytes: &[u8], block: &mut impl FnMut(&[&[f32]])) {
        let mut rest = bytes;
        while !rest.is_empty() {
            rest = self.take(rest);
            if self.filled == self.capacity {
                self.give(block);
            }
        }
        self.give(block);
    }

    /// How many sample frames have been given.
    pub const fn sample_frames(&self) -> u64 {
        self.frames_given
    }

    /// How many samples of the chosen channels were not finite, and became 0.
    pub const fn non_finite(&self) -> u64 {
        self.non_finite
    }

    /// The sample frame, counted from 0, that held the first of them.
    pub const fn first_non_finite(&self) -> Option<u64> {
        self.first_non_finite
    }

    /// Takes as many bytes as the block has room for, and returns the rest.
    fn take<'b>(&mut self, bytes: &'b [u8]) -> &'b [u8] {
        if self.carried > 0 || bytes.len() < self.bytes_per_frame {
            return self.complete(bytes);
        }
        let room = (self.capacity - self.filled) as u64;
        let frames = (bytes.len() / self.bytes_per_frame) as u64;
        let frames = frames.min(room);
        let len = usize::try_from(frames).unwrap_or(0) * self.bytes_per_frame;
        let (whole, rest) = bytes.split_at(len.min(bytes.len()));
        self.unpack(whole);
        rest
    }

    /// Adds to a sample frame that was cut; the rest is what comes after it.
    fn complete<'b>(&mut self, bytes: &'b [u8]) -> &'b [u8] {
        let missing = self.bytes_per_frame - self.carried;
        let (now, rest) = bytes.split_at(missing.min(bytes.len()));
        for (kept, &byte) in self.carry.iter_mut().skip(self.carried).zip(now) {
            *kept = byte;
        }
        self.carried += now.len();
        if self.carried == self.bytes_per_frame {
            self.carried = 0;
            let carry = self.carry;
            self.unpack(carry.get(..self.bytes_per_frame).unwrap_or_default());
        }
        rest
    }

    /// Unpacks whole sample frames, no more than there is room for, behind what is in the block.
    fn unpack(&mut self, bytes: &[u8]) {
        let frames = bytes.len() / self.bytes_per_frame;
        let channels = self
            .planar
            .chunks_exact_mut(self.capacity)
            .zip(&self.offsets);
        let mut first = None;
        for (planar, &offset) in channels {
            let out = planar
                .get_mut(self.filled..self.filled + frames)
                .unwrap_or_default();
            unpack::channel(self.format, bytes, self.bytes_per_frame, offset, out);
            if self.format.encoding().is_float() {
                let (count, at) = unpack::silence_non_finite(out);
                self.non_finite += count;
                first = first.into_iter().chain(at).min();
            }
        }
        if let Some(at) = first {
            let frame = self.frames_given + self.filled as u64 + at as u64;
            self.first_non_finite.get_or_insert(frame);
        }
        self.filled += frames;
    }

    /// Gives what is in the block, if anything is.
    fn give(&mut self, block: &mut impl FnMut(&[&[f32]])) {
        if self.filled == 0 {
            return;
        }
        let mut slices = [&[] as &[f32]; MOST_CHANNELS];
        for (slice, planar) in slices
            .iter_mut()
            .zip(self.planar.chunks_exact(self.capacity))
        {
            *slice = planar.get(..self.filled).unwrap_or_default();
        }
        block(slices.get(..self.offsets.len()).unwrap_or_default());
        self.frames_given += self.filled as u64;
        self.filled = 0;
    }
}
