//! The beginning of a file, as if the rest were there.

use std::io::{self, Cursor, Read, Seek, SeekFrom};

/// The first bytes of a file and how long it is: what follows them reads as nought. Enough for a
/// header, without the sound.
#[derive(Debug)]
pub(super) struct Beginning {
    bytes: Cursor<Vec<u8>>,
    length: u64,
}

impl Beginning {
    pub(super) fn new(bytes: Vec<u8>, length: u64) -> Self {
        Self {
            bytes: Cursor::new(bytes),
            length,
        }
    }
}

impl Read for Beginning {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let known = self.bytes.read(into)?;
        if known > 0 {
            return Ok(known);
        }
        let at = self.bytes.position();
        let left = usize::try_from(self.length.saturating_sub(at)).unwrap_or(usize::MAX);
        let count = left.min(into.len());
        into.iter_mut().take(count).for_each(|byte| *byte = 0);
        self.bytes.set_position(at + count as u64);
        Ok(count)
    }
}

impl Seek for Beginning {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        let to = match to {
            SeekFrom::End(offset) => self.length.checked_add_signed(offset).map(SeekFrom::Start),
            other => Some(other),
        };
        let before = || io::Error::new(io::ErrorKind::InvalidInput, "before the first byte");
        self.bytes.seek(to.ok_or_else(before)?)
    }
}
