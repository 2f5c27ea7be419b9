//! The sample table: where in the file a track's samples are (ISO/IEC 14496-12, 8.6 and 8.7).

use std::io::{Read, Seek};
use std::ops::Range;

use super::boxes::{self, Box};
use crate::big_endian::Fields;
use crate::cursor::Cursor;
use crate::limits::{PACKETS_AT_MOST, PIECES_AT_MOST, TABLE_AT_MOST};
use crate::{Malformed, MediaError};

/// Runs of a track's samples that lie together.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Table {
    pub(super) sizes: Sizes,
    /// Where each chunk begins, and how many samples it has.
    pub(super) chunks: Vec<Chunk>,
    /// How long a sample lasts, as a rule, in the track's time scale.
    pub(super) duration: u32,
}

/// How many bytes each sample has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Sizes {
    /// All the same: how many bytes, and how many samples.
    Same {
        bytes: u32,
        count: u64,
    },
    Each(Vec<u32>),
}

impl Default for Sizes {
    fn default() -> Self {
        Self::Same { bytes: 0, count: 0 }
    }
}

impl Sizes {
    pub(super) fn count(&self) -> u64 {
        match self {
            Self::Same { count, .. } => *count,
            Self::Each(sizes) => sizes.len() as u64,
        }
    }
}

/// Samples that stand one after the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Chunk {
    pub(super) at: u64,
    pub(super) samples: u64,
}

impl Table {
    /// From the boxes of an `stbl`.
    pub(super) fn read<S: Read + Seek>(
        cursor: &mut Cursor<S>,
        boxes: &[Box],
    ) -> Result<Self, MediaError> {
        let sizes = sizes(cursor, boxes)?;
        let offsets = offsets(cursor, boxes)?;
        let runs = content(cursor, boxes, *b"stsc")?;
        let chunks = chunks(&offsets, &runs, sizes.count());
        let mut stts = Fields::new(&[]);
        let durations = content(cursor, boxes, *b"stts")?;
        if durations.len() >= 16 {
            stts = Fields::new(&durations);
            stts.skip(12);
        }
        Ok(Self {
            sizes,
            chunks,
            duration: stts.u32(),
        })
    }

    /// How many bytes each packet of compressed sound has.
    pub(super) fn packet_sizes(&self) -> Vec<u32> {
        match &self.sizes {
            Sizes::Each(sizes) => sizes.clone(),
            Sizes::Same { bytes, .. } => {
                let count: u64 = self.chunks.iter().map(|chunk| chunk.samples).sum();
                let count = usize::try_from(count.min(PACKETS_AT_MOST)).unwrap_or(0);
                vec![*bytes; count]
            }
        }
    }

    /// How many bytes the samples of each chunk take; `frame` bytes each where the sizes say
    /// nothing, as for linear sound in QuickTime.
    pub(super) fn pieces(&self, frame: u16) -> Vec<Range<u64>> {
        let mut before: usize = 0;
        let mut pieces: Vec<Range<u64>> = Vec::new();
        for chunk in &self.chunks {
            let samples = usize::try_from(chunk.samples).unwrap_or(usize::MAX);
            let bytes = match &self.sizes {
                Sizes::Same { bytes, .. } => {
                    let each = u64::from((*bytes).max(1));
                    let each = if each == 1 {
                        u64::from(frame.max(1))
                    } else {
                        each
                    };
                    chunk.samples.saturating_mul(each)
                }
                Sizes::Each(sizes) => {
                    let end = before.saturating_add(samples).min(sizes.len());
                    let sizes = sizes.get(before..end).unwrap_or_default();
                    sizes.iter().map(|&size| u64::from(size)).sum()
                }
            };
            before = before.saturating_add(samples);
            pieces.push(chunk.at..chunk.at.saturating_add(bytes));
        }
        pieces
    }
}

fn sizes<S: Read + Seek>(cursor: &mut Cursor<S>, boxes: &[Box]) -> Result<Sizes, MediaError> {
    if let Some(found) = boxes::find(boxes, *b"stsz") {
        let mut head = Fields::default();
        let start = cursor.read(found.content.start, 12)?;
        if start.len() == 12 {
            head = Fields::new(&start);
        }
        head.skip(4);
        let (bytes, count) = (head.u32(), head.u32());
        if bytes != 0 {
            return Ok(Sizes::Same {
                bytes,
                count: count.into(),
            });
        }
        let content = whole(cursor, found)?;
        let (sizes, _) = content.get(12..).unwrap_or_default().as_chunks::<4>();
        let sizes = sizes.iter().map(|size| u32::from_be_bytes(*size));
        return Ok(Sizes::Each(sizes.take(to_usize(count)).collect()));
    }
    let content = content(cursor, boxes, *b"stz2")?;
    let mut fields = Fields::new(&content);
    fields.skip(7);
    let (bits, count) = (fields.u8(), to_usize(fields.u32()));
    let rest = fields.rest();
    Ok(Sizes::Each(match bits {
        16 => rest
            .chunks_exact(2)
            .map(|size| Fields::new(size).u16().into())
            .take(count)
            .collect(),
        8 => rest.iter().map(|&size| size.into()).take(count).collect(),
        _ => rest
            .iter()
            .flat_map(|&two| [u32::from(two >> 4), u32::from(two & 15)])
            .take(count)
            .collect(),
    }))
}

fn offsets<S: Read + Seek>(cursor: &mut Cursor<S>, boxes: &[Box]) -> Result<Vec<u64>, MediaError> {
    let short = content(cursor, boxes, *b"stco")?;
    if !short.is_empty() {
        let (offsets, _) = short.get(8..).unwrap_or_default().as_chunks::<4>();
        return Ok(offsets
            .iter()
            .map(|at| u32::from_be_bytes(*at).into())
            .collect());
    }
    let long = content(cursor, boxes, *b"co64")?;
    let (offsets, _) = long.get(8..).unwrap_or_default().as_chunks::<8>();
    Ok(offsets.iter().map(|at| u64::from_be_bytes(*at)).collect())
}

/// How many samples each chunk has: runs of chunks with as many. The last run goes on to the end.
fn chunks(offsets: &[u64], runs: &[u8], samples: u64) -> Vec<Chunk> {
    let (runs, _) = runs.get(8..).unwrap_or_default().as_chunks::<12>();
    let runs: Vec<(u64, u64)> = runs
        .iter()
        .map(|run| {
            let mut fields = Fields::new(run);
            (fields.u32().into(), fields.u32().into())
        })
        .collect();
    let mut chunks = Vec::new();
    let (mut run, mut left) = (0, samples);
    for (number, &at) in (1u64..).zip(offsets).take(PIECES_AT_MOST) {
        while runs.get(run + 1).is_some_and(|&(first, _)| first <= number) {
            run += 1;
        }
        let per_chunk = runs.get(run).map_or(0, |&(_, samples)| samples);
        let samples = per_chunk.min(left);
        left -= samples;
        chunks.push(Chunk { at, samples });
    }
    chunks
}

fn content<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    boxes: &[Box],
    id: [u8; 4],
) -> Result<Vec<u8>, MediaError> {
    boxes::find(boxes, id).map_or(Ok(Vec::new()), |found| whole(cursor, found))
}

fn whole<S: Read + Seek>(cursor: &mut Cursor<S>, found: &Box) -> Result<Vec<u8>, MediaError> {
    if found.len() > TABLE_AT_MOST {
        return Err(MediaError::Malformed {
            place: found.id,
            at: found.content.start,
            problem: Malformed::TableTooLong { len: found.len() },
        });
    }
    cursor.read(
        found.content.start,
        usize::try_from(found.len()).unwrap_or(0),
    )
}

fn to_usize(count: u32) -> usize {
    usize::try_from(count).unwrap_or(usize::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO/IEC 14496-12, 8.7.4: two chunks of three samples, then chunks of one.
    #[test]
    fn runs_of_chunks_share_out_the_samples() {
        let mut runs = vec![0; 8];
        for field in [1u32, 3, 1, 3, 1, 1] {
            runs.extend(field.to_be_bytes());
        }
        let samples = |chunks: Vec<Chunk>| chunks.iter().map(|c| c.samples).collect::<Vec<_>>();
        assert_eq!(samples(chunks(&[10, 20, 30, 40], &runs, 8)), [3, 3, 1, 1]);
        // The sizes end before the chunks do.
        assert_eq!(samples(chunks(&[10, 20, 30, 40], &runs, 5)), [3, 2, 0, 0]);
    }

    #[test]
    fn pieces_add_up_the_sizes() {
        let chunks = vec![
            Chunk {
                at: 100,
                samples: 2,
            },
            Chunk {
                at: 900,
                samples: 5,
            },
        ];
        let table = Table {
            sizes: Sizes::Each(vec![3, 4, 5]),
            chunks: chunks.clone(),
            duration: 0,
        };
        assert_eq!(table.pieces(2), [100..107, 900..905]);
        let linear = Table {
            sizes: Sizes::Same { bytes: 1, count: 7 },
            chunks,
            duration: 1,
        };
        assert_eq!(linear.pieces(6), [100..112, 900..930]);
    }
}
