//! The bytes of a copy, from those of the original.

use std::ops::Range;

use crc32fast::Hasher;

use super::frames::LeaveOut;
use super::{Portion, StampedCopy};

/// Makes a copy's bytes as those of the original come.
#[derive(Debug, Clone)]
pub struct CopyWriter {
    portions: std::vec::IntoIter<Portion>,
    /// The portion that waits for bytes of the original, and how many it still waits for.
    present: Option<(Portion, u64)>,
    leave_out: LeaveOut,
    /// Where the original has it.
    sound: Range<u64>,
    whole: Hasher,
    kept: Hasher,
    bytes: u64,
}

/// What was written, for reading back to compare with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Written {
    /// How many bytes.
    pub(super) bytes: u64,
    /// The CRC-32 (IEEE 802.3) of all of them.
    pub(super) whole: u32,
    /// The CRC-32 of the original's sound, without the channels that are left out.
    pub(super) sound: u32,
}

impl CopyWriter {
    pub(super) fn new(copy: &StampedCopy) -> Self {
        Self {
            portions: copy.portions.clone().into_iter(),
            present: None,
            leave_out: LeaveOut::new(copy.frame.clone()),
            sound: copy.original.data(),
            whole: Hasher::new(),
            kept: Hasher::new(),
            bytes: 0,
        }
    }

    /// Takes the next bytes of the original's [`pieces`](StampedCopy::pieces), in any number, and
    /// puts the copy's next ones to the end of `out`. Bytes after the last piece are not used.
    pub fn push(&mut self, mut original: &[u8], out: &mut Vec<u8>) {
        let begun = out.len();
        loop {
            self.go_on(out);
            let Some((portion, left)) = &mut self.present else {
                break;
            };
            if original.is_empty() {
                break;
            }
            let now =
                usize::try_from(*left).map_or(original.len(), |left| left.min(original.len()));
            let (part, rest) = original.split_at(now);
            let begins = portion.original().map_or(0, |range| range.end) - *left;
            let at = out.len();
            let sound = if let Portion::Sound(_) = portion {
                self.leave_out.push(part, out);
                out.get(at..).unwrap_or_default()
            } else {
                out.extend_from_slice(part);
                within(&self.sound, begins, part)
            };
            self.kept.update(sound);
            *left -= now as u64;
            original = rest;
        }
        self.count(out, begun);
    }

    /// The last bytes of the copy; none where fewer bytes of the original came than were needed.
    pub fn finish(mut self, out: &mut Vec<u8>) -> Option<Written> {
        let begun = out.len();
        self.go_on(out);
        self.count(out, begun);
        self.present.is_none().then(|| Written {
            bytes: self.bytes,
            whole: self.whole.finalize(),
            sound: self.kept.finalize(),
        })
    }

    /// Puts out what needs nothing of the original, up to what does.
    fn go_on(&mut self, out: &mut Vec<u8>) {
        while self.present.as_ref().is_none_or(|&(_, left)| left == 0) {
            self.present = None;
            match self.portions.next() {
                None => return,
                Some(Portion::New(bytes)) => out.extend_from_slice(&bytes),
                Some(portion) => {
                    let len = portion
                        .original()
                        .map_or(0, |range| range.end - range.start);
                    self.present = Some((portion, len));
                }
            }
        }
    }

    fn count(&mut self, out: &[u8], begun: usize) {
        let new = out.get(begun..).unwrap_or_default();
        self.whole.update(new);
        self.bytes += new.len() as u64;
    }
}

/// The bytes that stand within a range, where the first one stands at `at`.
pub(super) fn within<'b>(range: &Range<u64>, at: u64, bytes: &'b [u8]) -> &'b [u8] {
    let place = |end: u64| {
        let place = usize::try_from(end.saturating_sub(at)).unwrap_or(usize::MAX);
        place.min(bytes.len())
    };
    bytes
        .get(place(range.start)..place(range.end))
        .unwrap_or_default()
}
