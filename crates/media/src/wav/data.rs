//! data: where the samples are.

use std::ops::Range;

use crate::{ChunkId, Cut, Malformed, MediaError};

/// How long the sound is, as the header has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stated {
    /// So many bytes.
    Bytes(u64),
    /// Not known yet when the header was written, and never filled in.
    Unfinished,
}

/// Where the sound begins and how long it should be and is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Data {
    /// The first byte of the samples.
    pub(super) at: u64,
    /// How long the header says they are.
    pub(super) stated: Stated,
    /// How many bytes there are, from the first one to the end of the file.
    pub(super) present: u64,
}

/// The whole sample frames that are there.
pub(super) struct Whole {
    pub(super) bytes: Range<u64>,
    pub(super) sample_frames: u64,
    pub(super) problem: Option<MediaError>,
}

impl Data {
    /// How many bytes belong to the sound and are there.
    pub(super) fn len(&self) -> u64 {
        match self.stated {
            Stated::Bytes(stated) => stated.min(self.present),
            Stated::Unfinished => self.present,
        }
    }

    /// Without the pad byte that FFmpeg counts as sound in an RF64 of an odd length; ds64's count
    /// of sample frames tells.
    pub(super) fn without_pad(mut self, sample_frames: u64, bytes_per_frame: u16) -> Self {
        let counted = sample_frames.checked_mul(bytes_per_frame.into());
        if let (Stated::Bytes(stated), Some(counted)) = (self.stated, counted)
            && counted % 2 == 1
            && stated == counted + 1
        {
            self.stated = Stated::Bytes(counted);
        }
        self
    }

    /// The whole sample frames, and what is wrong with the length.
    pub(super) fn whole(&self, bytes_per_frame: u16) -> Result<Whole, MediaError> {
        let len = self.len();
        let left_over = len % u64::from(bytes_per_frame);
        let sample_frames = len / u64::from(bytes_per_frame);
        if sample_frames == 0 {
            return Err(MediaError::NoSound { at: self.at });
        }
        Ok(Whole {
            bytes: self.at..self.at + (len - left_over),
            sample_frames,
            problem: self.problem(sample_frames, left_over, bytes_per_frame),
        })
    }

    fn problem(
        &self,
        sample_frames: u64,
        left_over: u64,
        bytes_per_frame: u16,
    ) -> Option<MediaError> {
        let truncated = |cut| MediaError::Truncated {
            place: ChunkId::DATA,
            at: self.at,
            cut,
        };
        match self.stated {
            Stated::Unfinished => Some(truncated(Cut::Unfinished { sample_frames })),
            Stated::Bytes(needed) if needed > self.present => Some(truncated(Cut::Sound {
                needed,
                present: self.present,
                sample_frames,
            })),
            Stated::Bytes(_) if left_over == 0 => None,
            Stated::Bytes(len) => Some(MediaError::Malformed {
                place: ChunkId::DATA,
                at: self.at + (len - left_over),
                problem: Malformed::PartFrame {
                    len,
                    bytes_per_frame,
                    left_over,
                },
            }),
        }
    }
}
