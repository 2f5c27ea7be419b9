//! Sample frames from which channels are left out.

use std::ops::Range;

use super::Channels;

/// Which bytes of a sample frame stay.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Frame {
    /// The runs of bytes that stay, in order; those that touch are one.
    runs: Vec<Range<usize>>,
    len: usize,
    kept: usize,
}

impl Frame {
    pub(super) fn new(channels: &Channels, of: u16, bytes_per_sample: u16) -> Self {
        let bytes = usize::from(bytes_per_sample);
        let mut runs: Vec<Range<usize>> = Vec::new();
        for channel in (0..of).filter(|&channel| channels.has(channel)) {
            let start = usize::from(channel) * bytes;
            match runs.last_mut() {
                Some(last) if last.end == start => last.end += bytes,
                _ => runs.push(start..start + bytes),
            }
        }
        Self {
            kept: runs.iter().map(ExactSizeIterator::len).sum(),
            len: usize::from(of) * bytes,
            runs,
        }
    }

    /// How many bytes stay of so many that are whole frames.
    pub(super) fn kept_of(&self, bytes: u64) -> u64 {
        bytes / self.len.max(1) as u64 * self.kept as u64
    }
}

/// Leaves channels out of sound that comes in blocks of any size.
#[derive(Debug, Clone)]
pub(super) struct LeaveOut {
    frame: Frame,
    /// How many bytes of the present frame have come.
    at: usize,
}

impl LeaveOut {
    pub(super) const fn new(frame: Frame) -> Self {
        Self { frame, at: 0 }
    }

    /// Puts what stays of the next bytes to the end of `out`.
    pub(super) fn push(&mut self, mut bytes: &[u8], out: &mut Vec<u8>) {
        let Frame { runs, len, .. } = &self.frame;
        while !bytes.is_empty() {
            let now = (len - self.at).min(bytes.len());
            let (part, rest) = bytes.split_at(now);
            for run in runs {
                let within = |place: usize| place.clamp(self.at, self.at + now) - self.at;
                let kept = part.get(within(run.start)..within(run.end));
                out.extend_from_slice(kept.unwrap_or_default());
            }
            self.at = (self.at + now) % len;
            bytes = rest;
        }
    }
}
