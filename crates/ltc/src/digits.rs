//! The digits of a codeword as they were sent.

use std::fmt;

use plumbline_timecode::{AddressError, Count, Field, TimeAddress};
use thiserror::Error;

/// The eight digits of a codeword as they were sent, whether they name a frame or not.
///
/// Each pair keeps its tens in the high nibble and its units in the low one, so that hexadecimal
/// shows the digits: `0x14` for 14, and `0x1C` for digits that no source should send.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Digits {
    /// Tens 0 to 3.
    pub hours: u8,
    /// Tens 0 to 7.
    pub minutes: u8,
    /// Tens 0 to 7.
    pub seconds: u8,
    /// Tens 0 to 3.
    pub frames: u8,
}

/// Why digits name no frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum DigitsError {
    /// A digit above 9.
    #[error("the second digit of the {field} is {digit}, and digits end at 9")]
    NoDigit {
        /// Where it stands.
        field: Field,
        /// 10 to 15.
        digit: u8,
    },
    /// Digits that name no frame.
    #[error(transparent)]
    NoAddress(#[from] AddressError),
}

impl Digits {
    /// The address that they name in a count; above 30 frames a second in that of the codewords.
    pub fn address(self, count: Count) -> Result<TimeAddress, DigitsError> {
        let hours = number(Field::Hours, self.hours)?;
        let minutes = number(Field::Minutes, self.minutes)?;
        let seconds = number(Field::Seconds, self.seconds)?;
        let frames = number(Field::Frames, self.frames)?;
        Ok(TimeAddress::new(
            count.code(),
            hours,
            minutes,
            seconds,
            frames,
        )?)
    }

    /// Whether they name a frame in any count.
    pub fn are_valid(self) -> bool {
        // Every address of the other counts is one of this.
        self.address(Count::F30).is_ok()
    }
}

fn number(field: Field, pair: u8) -> Result<u8, DigitsError> {
    let (tens, units) = (pair >> 4, pair & 15);
    if units > 9 {
        Err(DigitsError::NoDigit {
            field,
            digit: units,
        })
    } else {
        Ok(tens * 10 + units)
    }
}

impl fmt::Display for Digits {
    /// `14:03:20:06`; a digit above 9 is A to F.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            hours,
            minutes,
            seconds,
            frames,
        } = self;
        write!(f, "{hours:02X}:{minutes:02X}:{seconds:02X}:{frames:02X}")
    }
}
