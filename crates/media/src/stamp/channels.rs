//! Which channels a copy has.

use std::collections::BTreeSet;

use super::StampError;

/// The channels of a copy: all of the original's, but for those that are left out. Channels count
/// from 0.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Channels {
    left_out: BTreeSet<u16>,
}

impl Channels {
    /// Every channel.
    pub const fn all() -> Self {
        Self {
            left_out: BTreeSet::new(),
        }
    }

    /// Every channel but these.
    pub fn without(channels: impl IntoIterator<Item = u16>) -> Self {
        Self {
            left_out: channels.into_iter().collect(),
        }
    }

    /// Whether none is left out.
    pub fn are_all(&self) -> bool {
        self.left_out.is_empty()
    }

    /// Whether a channel is kept.
    pub fn has(&self, channel: u16) -> bool {
        !self.left_out.contains(&channel)
    }

    /// How many of so many are kept.
    pub fn count(&self, of: u16) -> u16 {
        (0..of).map(|channel| u16::from(self.has(channel))).sum()
    }

    /// Where a channel that is kept stands in the copy, from 0; none where it is left out.
    pub fn place(&self, channel: u16) -> Option<u16> {
        let before = self.left_out.range(..channel).count();
        let before = u16::try_from(before).ok()?;
        self.has(channel).then(|| channel - before)
    }

    /// Fails where the recording has no such channels, or none would be left.
    pub(super) fn check(&self, channels: u16) -> Result<(), StampError> {
        if let Some(&channel) = self.left_out.range(channels..).next() {
            return Err(StampError::NoSuchChannel { channel, channels });
        }
        if self.count(channels) == 0 {
            return Err(StampError::NothingLeft { channels });
        }
        Ok(())
    }
}
