//! User bits as four 8-bit characters.

use thiserror::Error;

use super::UserBits;

/// Why a text does not go into user bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum CharactersError {
    /// Not four characters.
    #[error("user bits hold four characters, not {0}: fill up with blanks")]
    Length(usize),
    /// A character that ISO 646 does not have, or that cannot be seen.
    #[error("'{}' cannot be sent: letters, digits, blanks and signs of ISO 646 can", .0.escape_debug())]
    Character(char),
}

impl UserBits {
    /// The four 8-bit characters in the order in which they are read: the first is in groups 7
    /// and 8, the low half in 7, and so on down to groups 1 and 2 (IEC 60461 clause 7.4.3,
    /// SMPTE ST 12-1 clause 8.4.2).
    ///
    /// They are characters only if the flags say so, or by agreement; see [`UserBits::text`].
    pub const fn characters(self) -> [u8; 4] {
        self.0.to_be_bytes()
    }

    /// User bits that hold four 8-bit characters.
    pub const fn from_characters(characters: [u8; 4]) -> Self {
        Self(u32::from_be_bytes(characters))
    }

    /// The four characters as text, if each is one of ISO 646 that can be seen, or a blank.
    ///
    /// ISO 2022 code extension is left as [`UserBits::characters`] has it.
    pub fn text(self) -> Option<String> {
        let seen = |character: &u8| matches!(character, b' '..=b'~');
        let characters = self.characters();
        characters
            .iter()
            .all(seen)
            .then(|| characters.map(char::from).iter().collect())
    }

    /// User bits that hold a text of four characters of ISO 646.
    ///
    /// ```
    /// use plumbline_timecode::UserBits;
    /// let bits = UserBits::from_text("SYNC")?;
    /// assert_eq!(bits.to_string(), "53594E43");
    /// # Ok::<(), plumbline_timecode::CharactersError>(())
    /// ```
    pub fn from_text(text: &str) -> Result<Self, CharactersError> {
        if let Some(wrong) = text.chars().find(|c| !matches!(c, ' '..='~')) {
            return Err(CharactersError::Character(wrong));
        }
        let characters = text.as_bytes().try_into();
        let characters = characters.map_err(|_| CharactersError::Length(text.len()))?;
        Ok(Self::from_characters(characters))
    }
}
