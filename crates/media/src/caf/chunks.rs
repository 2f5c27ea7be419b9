//! The chunks: a type, a 64-bit length, the content.

use std::io::{Read, Seek};
use std::ops::Range;

use crate::cursor::Cursor;
use crate::limits::CHUNKS_AT_MOST;
use crate::{ChunkId, MediaError};

const FILE_HEADER: u64 = 8;
const CHUNK_HEADER: u64 = 12;

/// Every chunk, as far as the file holds it.
#[derive(Debug)]
pub(super) struct Chunks(Vec<Chunk>);

#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Chunk {
    pub(super) id: ChunkId,
    /// The content that is there.
    pub(super) content: Range<u64>,
    /// Where it would end if it were all there.
    pub(super) stated_end: u64,
}

impl Chunks {
    pub(super) fn walk<S: Read + Seek>(cursor: &mut Cursor<S>) -> Result<Self, MediaError> {
        let mut chunks = Vec::new();
        let mut at = FILE_HEADER;
        while chunks.len() < CHUNKS_AT_MOST {
            let Some([a, b, c, d, len @ ..]) = cursor.array::<12>(at)? else {
                break;
            };
            let start = at + CHUNK_HEADER;
            // A length of -1: to the end, whatever that will be.
            let stated_end = u64::try_from(i64::from_be_bytes(len))
                .map_or(cursor.len(), |len| start.saturating_add(len));
            chunks.push(Chunk {
                id: ChunkId([a, b, c, d]),
                content: start..stated_end.min(cursor.len()).max(start),
                stated_end,
            });
            at = stated_end;
        }
        Ok(Self(chunks))
    }

    pub(super) fn find(&self, id: [u8; 4]) -> Option<&Chunk> {
        self.0.iter().find(|chunk| chunk.id.0 == id)
    }

    /// A chunk's content, or as much of it as is there and wanted; nothing where there is none.
    pub(super) fn content<S: Read + Seek>(
        &self,
        cursor: &mut Cursor<S>,
        id: [u8; 4],
        at_most: u64,
    ) -> Result<Vec<u8>, MediaError> {
        let Some(chunk) = self.find(id) else {
            return Ok(Vec::new());
        };
        let len = (chunk.content.end - chunk.content.start).min(at_most);
        cursor.read(chunk.content.start, usize::try_from(len).unwrap_or(0))
    }
}
