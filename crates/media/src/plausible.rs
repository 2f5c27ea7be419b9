//! What no header says that is not damaged.

use crate::limits::{CHANNELS_AT_MOST, SAMPLE_RATE_AT_MOST};
use crate::{ChunkId, Malformed, MediaError, Unsupported};

/// The number of channels, which stands at byte `at`, in the chunk `place`.
pub(crate) fn channels(found: u16, place: ChunkId, at: u64) -> Result<(), MediaError> {
    match found {
        0 => Err(MediaError::Malformed {
            place,
            at,
            problem: Malformed::ZeroChannels,
        }),
        1..=CHANNELS_AT_MOST => Ok(()),
        found => Err(MediaError::Unsupported {
            place,
            at,
            what: Unsupported::Channels { found },
        }),
    }
}

/// The sample rate in hertz, which stands at byte `at`, in the chunk `place`.
pub(crate) fn sample_rate(found: u32, place: ChunkId, at: u64) -> Result<(), MediaError> {
    let problem = match found {
        0 => Malformed::ZeroSampleRate,
        1..=SAMPLE_RATE_AT_MOST => return Ok(()),
        found => Malformed::SampleRate { found },
    };
    Err(MediaError::Malformed { place, at, problem })
}
