//! Small reads out of large windows.

use std::io::{self, ErrorKind, Read, Seek, SeekFrom};

use crate::MediaError;
use crate::limits::WINDOW;

/// A source with a window over it: small reads nearby cost one read of the source.
pub(crate) struct Cursor<'s, S> {
    source: &'s mut S,
    len: u64,
    window: Vec<u8>,
    window_at: u64,
}

impl<'s, S: Read + Seek> Cursor<'s, S> {
    pub(crate) fn new(source: &'s mut S) -> Result<Self, MediaError> {
        let len = source
            .seek(SeekFrom::End(0))
            .map_err(|error| failed(0, &error))?;
        Ok(Self {
            source,
            len,
            window: Vec::new(),
            window_at: 0,
        })
    }

    /// How long the source is, in bytes.
    pub(crate) const fn len(&self) -> u64 {
        self.len
    }

    /// How many bytes stand from `at` to the end.
    pub(crate) const fn left(&self, at: u64) -> u64 {
        self.len.saturating_sub(at)
    }

    /// `N` bytes at `at`; none where the file ends before.
    pub(crate) fn array<const N: usize>(&mut self, at: u64) -> Result<Option<[u8; N]>, MediaError> {
        Ok(self.read(at, N)?.first_chunk().copied())
    }

    /// `len` bytes at `at`, or as many as there are. Memory is used for bytes that are there, so
    /// a length that lies costs nothing.
    pub(crate) fn read(&mut self, at: u64, len: usize) -> Result<Vec<u8>, MediaError> {
        let there = usize::try_from(self.left(at)).map_or(len, |left| left.min(len));
        let mut bytes = Vec::with_capacity(there);
        let mut next = at;
        while bytes.len() < len {
            let piece = self.near(next)?;
            let wanted = piece.len().min(len - bytes.len());
            bytes.extend(piece.iter().take(wanted));
            next = next.saturating_add(wanted as u64);
            if wanted == 0 {
                break;
            }
        }
        Ok(bytes)
    }

    /// What the window holds from `at` on, moving it there first if it must; empty at the end.
    fn near(&mut self, at: u64) -> Result<&[u8], MediaError> {
        if !self.holds(at) {
            self.fill(at).map_err(|error| failed(at, &error))?;
        }
        let skip = at
            .checked_sub(self.window_at)
            .and_then(|skip| usize::try_from(skip).ok());
        Ok(skip
            .and_then(|skip| self.window.get(skip..))
            .unwrap_or_default())
    }

    fn holds(&self, at: u64) -> bool {
        (self.window_at..self.window_at + self.window.len() as u64).contains(&at)
    }

    /// Moves the window to `at`, in one read if the source gives all that it is asked for.
    fn fill(&mut self, at: u64) -> io::Result<()> {
        let wanted = usize::try_from(self.left(at)).map_or(WINDOW, |left| left.min(WINDOW));
        self.window.clear();
        self.window_at = at;
        if wanted == 0 {
            return Ok(());
        }
        self.source.seek(SeekFrom::Start(at))?;
        self.window.resize(wanted, 0);
        let mut filled = 0;
        while let Some(room @ [_, ..]) = self.window.get_mut(filled..) {
            match self.source.read(room) {
                Ok(0) => break,
                Ok(count) => filled += count,
                Err(error) if error.kind() == ErrorKind::Interrupted => {}
                Err(error) => {
                    self.window.clear();
                    return Err(error);
                }
            }
        }
        self.window.truncate(filled);
        Ok(())
    }
}

fn failed(at: u64, error: &io::Error) -> MediaError {
    MediaError::Source {
        at,
        failure: error.kind(),
        message: match error.kind() {
            ErrorKind::Other => error.to_string(),
            kind => format!("{kind} ({error})"),
        },
    }
}
