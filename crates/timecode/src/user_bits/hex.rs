//! User bits as eight hex digits.

use std::str::FromStr;

use thiserror::Error;

use super::UserBits;

/// Why a text is not eight hex digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum HexError {
    /// A character that is neither a hex digit nor a mark between digits.
    #[error("'{}' is not one of the digits 0 to 9 and A to F", .0.escape_debug())]
    Character(char),
    /// Fewer or more than eight digits.
    #[error("user bits have eight digits, not {0}")]
    Length(usize),
}

impl FromStr for UserBits {
    type Err = HexError;

    /// Eight hex digits, group 8 first; blanks, `:`, `.`, `-`, and `/` may stand between them.
    fn from_str(text: &str) -> Result<Self, HexError> {
        let (mut bits, mut digits) = (0_u32, 0);
        for character in text
            .chars()
            .filter(|c| !matches!(c, ' ' | ':' | '.' | '-' | '/'))
        {
            let digit = character
                .to_digit(16)
                .ok_or(HexError::Character(character))?;
            bits = bits << 4 | digit;
            digits += 1;
        }
        if digits == 8 {
            Ok(Self(bits))
        } else {
            Err(HexError::Length(digits))
        }
    }
}
