//! The eight binary groups, called user bits.

mod characters;
mod hex;
mod typed_date;

use std::fmt;

use thiserror::Error;

pub use characters::CharactersError;
pub use hex::HexError;
pub use typed_date::{DateOrder, TypedDate, TypedDateError};

/// Eight binary groups of four bits (SMPTE ST 12-1 clause 8.4), group 8 highest, so that digits
/// read as they were typed.
///
/// What they say is told by the [`crate::BinaryGroupFlags`], or only by agreement.
///
/// ```
/// use plumbline_timecode::UserBits;
/// let bits = UserBits(0x2511_2601);
/// assert_eq!(bits.to_string(), "25112601");
/// assert_eq!(bits.group(8), Some(2));
/// assert_eq!(bits.group(1), Some(1));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct UserBits(pub u32);

/// A group that does not fit four bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("binary group {group} is {value}, but four bits hold 0 to 15")]
pub struct GroupError {
    /// Which group, 1 to 8.
    pub group: usize,
    /// What it was to be.
    pub value: u8,
}

impl UserBits {
    /// Group `number`, 1 to 8, as 0 to 15; there are no others.
    pub fn group(self, number: usize) -> Option<u8> {
        self.groups().get(number.checked_sub(1)?).copied()
    }

    /// All eight, group 1 first, each 0 to 15.
    pub fn groups(self) -> [u8; 8] {
        let [b4, b3, b2, b1] = self.0.to_be_bytes();
        [
            b1 & 15,
            b1 >> 4,
            b2 & 15,
            b2 >> 4,
            b3 & 15,
            b3 >> 4,
            b4 & 15,
            b4 >> 4,
        ]
    }

    /// From all eight, group 1 first, each 0 to 15.
    pub fn from_groups(groups: [u8; 8]) -> Result<Self, GroupError> {
        if let Some(index) = groups.iter().position(|&value| value > 15) {
            return Err(GroupError {
                group: index + 1,
                value: groups[index],
            });
        }
        Ok(Self(
            groups
                .iter()
                .rev()
                .fold(0, |bits, &group| bits << 4 | u32::from(group)),
        ))
    }
}

impl fmt::Display for UserBits {
    /// Eight hex digits, group 8 first.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:08X}", self.0)
    }
}
