//! Some of a recording's samples, read from the file without the rest.

use crate::report::ReportedError;
use plumbline_media::{Part, Samples};
use std::cell::Cell;
use std::io::{self, Read, Seek, SeekFrom};

/// Bytes read at once.
const BLOCK: usize = 1 << 16;

/// A range of a recording's samples.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Window {
    pub(crate) from: u64,
    pub(crate) to: u64,
}

impl Window {
    /// The window's samples in order, out of a part that has them.
    pub(crate) fn samples(
        self,
        source: &mut (impl Read + Seek),
        part: &Part,
        give: &mut impl FnMut(&[f32]),
    ) -> io::Result<()> {
        let mut samples = Samples::new(&part.header).map_err(io::Error::other)?;
        let at = Cell::new(part.begins);
        let (from, to) = (self.from.cast_signed(), self.to.cast_signed());
        let mut block = |first: u16, planes: &[&[f32]]| {
            let own = part.channel.checked_sub(first).map(usize::from);
            let Some(plane) = own.and_then(|own| planes.get(own)) else {
                return;
            };
            let index = |place: i64| {
                let index = usize::try_from((place - at.get()).max(0)).unwrap_or(usize::MAX);
                index.min(plane.len())
            };
            give(plane.get(index(from)..index(to)).unwrap_or_default());
            at.set(at.get().saturating_add_unsigned(plane.len() as u64));
        };
        let mut bytes = vec![0; BLOCK];
        for piece in &part.header.pieces {
            source.seek(SeekFrom::Start(piece.bytes.start))?;
            let mut left = source.take(piece.bytes.end - piece.bytes.start);
            loop {
                let count = left.read(&mut bytes)?;
                if count == 0 || at.get() >= to {
                    break;
                }
                samples.push(bytes.get(..count).unwrap_or_default(), &mut block);
            }
        }
        samples.finish(&mut block);
        Ok(())
    }
}

impl ReportedError {
    /// The file could be read before and can't be any more.
    pub(crate) fn gone(error: &io::Error) -> ReportedError {
        ReportedError {
            kind: "source".into(),
            place: None,
            at: None,
            text: error.to_string(),
            remedy: "Drop the file again: it was moved, changed or taken away.".into(),
        }
    }
}
