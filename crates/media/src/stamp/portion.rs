//! The parts that a copy is put together from.

use std::ops::Range;

use super::frames::Frame;

/// A run of a copy's bytes, and where they come from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Portion {
    /// Bytes that the original has not.
    New(Vec<u8>),
    /// Bytes of the original, as they are.
    Original(Range<u64>),
    /// Whole sample frames of the original, of which some channels are left out.
    Sound(Range<u64>),
}

impl Portion {
    /// The bytes of the original that it is made of.
    pub const fn original(&self) -> Option<&Range<u64>> {
        match self {
            Self::New(_) => None,
            Self::Original(range) | Self::Sound(range) => Some(range),
        }
    }

    /// How long it is in the copy.
    pub(super) fn len(&self, frame: &Frame) -> u64 {
        match self {
            Self::New(bytes) => bytes.len() as u64,
            Self::Original(range) => range.end - range.start,
            Self::Sound(range) => frame.kept_of(range.end - range.start),
        }
    }
}

/// Portions as they are put one after the other; what touches is joined.
#[derive(Debug, Default)]
pub(super) struct Portions(Vec<Portion>);

impl Portions {
    pub(super) fn put(&mut self, bytes: impl AsRef<[u8]>) {
        let bytes = bytes.as_ref();
        match self.0.last_mut() {
            _ if bytes.is_empty() => {}
            Some(Portion::New(last)) => last.extend_from_slice(bytes),
            _ => self.0.push(Portion::New(bytes.to_vec())),
        }
    }

    pub(super) fn keep(&mut self, range: Range<u64>) {
        match self.0.last_mut() {
            _ if range.is_empty() => {}
            Some(Portion::Original(last)) if last.end == range.start => last.end = range.end,
            _ => self.0.push(Portion::Original(range)),
        }
    }

    pub(super) fn sound(&mut self, range: Range<u64>) {
        self.0.push(Portion::Sound(range));
    }

    pub(super) fn len(&self, frame: &Frame) -> u64 {
        self.0.iter().map(|portion| portion.len(frame)).sum()
    }

    pub(super) fn into_vec(self) -> Vec<Portion> {
        self.0
    }

    pub(super) fn append(&mut self, others: Self) {
        for portion in others.0 {
            match portion {
                Portion::New(bytes) => self.put(bytes),
                Portion::Original(range) => self.keep(range),
                Portion::Sound(range) => self.sound(range),
            }
        }
    }
}
