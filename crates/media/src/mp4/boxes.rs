//! The boxes of an ISO base media file (ISO/IEC 14496-12, 4.2) and atoms of a QuickTime movie.

use std::io::{Read, Seek};
use std::ops::Range;

use crate::cursor::Cursor;
use crate::limits::BOXES_AT_MOST;
use crate::{ChunkId, MediaError};

/// A box: its type, where its content is, and how long it says it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Box {
    pub(super) id: ChunkId,
    /// The content that is there: never past the box around it, or the file's end.
    pub(super) content: Range<u64>,
    /// Where the content would end if it were all there.
    pub(super) stated_end: u64,
}

impl Box {
    /// How many bytes of the content are there.
    pub(super) const fn len(&self) -> u64 {
        self.content.end - self.content.start
    }

    /// Whether the box goes on past what it stands in.
    pub(super) const fn is_cut(&self) -> bool {
        self.stated_end > self.content.end
    }
}

/// The box that begins at `range.start`; none where there is no room for one.
pub(super) fn first<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    range: Range<u64>,
) -> Result<Option<Box>, MediaError> {
    let end = range.end.min(cursor.len());
    let at = range.start;
    if at.saturating_add(8) > end {
        return Ok(None);
    }
    let Some([a, b, c, d, id @ ..]) = cursor.array::<8>(at)? else {
        return Ok(None);
    };
    let (header, len) = match u32::from_be_bytes([a, b, c, d]) {
        // To the end of what it stands in.
        0 => (8, end - at),
        1 => match cursor.array::<8>(at + 8)? {
            Some(long) if at + 16 <= end => (16, u64::from_be_bytes(long)),
            _ => return Ok(None),
        },
        short => (8, u64::from(short)),
    };
    if len < header {
        return Ok(None);
    }
    let stated_end = at.saturating_add(len);
    Ok(Some(Box {
        id: ChunkId(id),
        content: at + header..stated_end.min(end),
        stated_end,
    }))
}

/// The boxes in a range, in order.
pub(super) fn all<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    range: Range<u64>,
) -> Result<Vec<Box>, MediaError> {
    let mut boxes = Vec::new();
    let mut at = range.start;
    while boxes.len() < BOXES_AT_MOST {
        let Some(found) = first(cursor, at..range.end)? else {
            break;
        };
        at = found.stated_end;
        boxes.push(found);
    }
    Ok(boxes)
}

/// The first box of a type among these.
pub(super) fn find(boxes: &[Box], id: [u8; 4]) -> Option<&Box> {
    boxes.iter().find(|found| found.id.0 == id)
}

/// The box at the end of a path of types, each the first of its kind in the one before.
pub(super) fn at_path<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    from: &Box,
    path: &[&[u8; 4]],
) -> Result<Option<Box>, MediaError> {
    let mut found = from.clone();
    for id in path {
        let Some(next) = find(&all(cursor, found.content)?, **id).cloned() else {
            return Ok(None);
        };
        found = next;
    }
    Ok(Some(found))
}
