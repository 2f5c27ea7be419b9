//! fmt for fewer channels.

use super::Channels;
use crate::wav::EXTENSIBLE;

/// The chunk's first bytes, as far as they change when channels are left out: up to 24, with the
/// loudspeakers of the longer form.
pub(super) fn without(mut content: Vec<u8>, channels: &Channels, of: u16) -> Vec<u8> {
    let kept = channels.count(of);
    let tag = field(&content, 0).map(u16::from_le_bytes);
    let hertz = field(&content, 4).map_or(0, u32::from_le_bytes);
    let frame = field(&content, 12).map_or(0, u16::from_le_bytes) / of.max(1) * kept;
    set(&mut content, 2, &kept.to_le_bytes());
    set(
        &mut content,
        8,
        &hertz.saturating_mul(frame.into()).to_le_bytes(),
    );
    set(&mut content, 12, &frame.to_le_bytes());
    if let (Some(EXTENSIBLE), Some(mask)) = (tag, field(&content, 20)) {
        let mask = speakers(u32::from_le_bytes(mask), channels);
        set(&mut content, 20, &mask.to_le_bytes());
    }
    content
}

/// The loudspeakers of the channels that stay: the channels stand in the order of the bits.
fn speakers(mask: u32, channels: &Channels) -> u32 {
    let set = (0..u32::BITS)
        .map(|bit| 1 << bit)
        .filter(|bit| mask & bit != 0);
    let kept = (0..).zip(set).filter(|&(channel, _)| channels.has(channel));
    kept.map(|(_, bit)| bit).sum()
}

fn field<const N: usize>(content: &[u8], at: usize) -> Option<[u8; N]> {
    content.get(at..)?.first_chunk().copied()
}

fn set(content: &mut [u8], at: usize, bytes: &[u8]) {
    if let Some(field) = content.get_mut(at..at + bytes.len()) {
        field.copy_from_slice(bytes);
    }
}
