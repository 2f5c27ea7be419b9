//! Addresses above 30 frames a second and the codewords that carry them.

use std::ops::Range;

use thiserror::Error;

use crate::{Count, TimeAddress};

/// Which codeword carries a frame, and which part of it.
///
/// A codeword counts to 30 at most. Above, it spans a pair of frames: bits 0 to 39 are the first,
/// 40 to 79 the second (IEC 60461 clauses 8.5 and 11). At 100 and 120 it spans four frames of 20
/// bits each: SMPTE ST 12-3 numbers them in ancillary data, but the codeword itself has no place
/// for the number, so only the place within it tells them apart.
///
/// ```
/// use plumbline_timecode::{Count, TimeAddress};
/// let code = TimeAddress::new(Count::F50, 10, 0, 0, 49)?.code();
/// assert_eq!(code.address().to_string(), "10:00:00:24");
/// assert_eq!(code.part(), 1);
/// assert_eq!(code.bits(), 40..80);
/// # Ok::<(), plumbline_timecode::AddressError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct CodeAddress {
    address: TimeAddress,
    part: u8,
    count: Count,
}

/// Why there is no frame in a part of a codeword.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum CodeAddressError {
    /// The address is counted in another way than codewords are under that count.
    #[error(
        "{address} is counted as {}, but codewords under {count} count {}",
        address.count(),
        count.code()
    )]
    CountsDiffer {
        /// The address in the codeword.
        address: TimeAddress,
        /// How frames are counted.
        count: Count,
    },
    /// The codeword has fewer parts.
    #[error("a codeword spans {parts} frames at {count} frames a second: there is no part {part}")]
    NoSuchPart {
        /// The part, counted from 0.
        part: u8,
        /// How many there are.
        parts: u8,
        /// How frames are counted.
        count: Count,
    },
}

impl CodeAddress {
    /// The part of a codeword that carries a frame counted as `count`, from the address in the
    /// codeword and the part, counted from 0.
    pub fn new(address: TimeAddress, part: u8, count: Count) -> Result<Self, CodeAddressError> {
        let parts = parts_of(count);
        if address.count() != count.code() {
            Err(CodeAddressError::CountsDiffer { address, count })
        } else if part >= parts {
            Err(CodeAddressError::NoSuchPart { part, parts, count })
        } else {
            Ok(Self {
                address,
                part,
                count,
            })
        }
    }

    /// The address in the codeword, counted at 24, 25 or 30.
    pub const fn address(self) -> TimeAddress {
        self.address
    }

    /// Which frame within the codeword, counted from 0.
    pub const fn part(self) -> u8 {
        self.part
    }

    /// How many frames the codeword spans: 1, 2 or 4.
    pub const fn parts(self) -> u8 {
        parts_of(self.count)
    }

    /// The bits of the codeword that are sent while the frame lasts.
    pub const fn bits(self) -> Range<u8> {
        let width = 80 / self.parts();
        self.part * width..(self.part + 1) * width
    }

    /// The address of the frame itself, counted as frames are.
    pub fn frame(self) -> TimeAddress {
        // Numbers are dropped in whole codewords, so there is always such a frame.
        self.address
            .with_frames(self.count, self.address.frames() * self.parts() + self.part)
    }
}

impl TimeAddress {
    /// Which codeword of linear timecode carries this frame, and which part of it.
    pub fn code(self) -> CodeAddress {
        let count = self.count();
        let parts = parts_of(count);
        CodeAddress {
            address: self.with_frames(count.code(), self.frames() / parts),
            part: self.frames() % parts,
            count,
        }
    }
}

const fn parts_of(count: Count) -> u8 {
    match count.frames_per_codeword() {
        4 => 4,
        2 => 2,
        _ => 1,
    }
}
