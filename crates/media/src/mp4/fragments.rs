//! Fragments: runs of samples that are told as the file goes on (ISO/IEC 14496-12, 8.8).

use std::io::{Read, Seek};
use std::ops::Range;

use super::boxes::{self, Box};
use crate::MediaError;
use crate::big_endian::Fields;
use crate::cursor::Cursor;
use crate::limits::TABLE_AT_MOST;

/// What a track's samples are like where a fragment does not say.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Defaults {
    pub(super) id: u32,
    duration: u32,
    size: u32,
}

/// A run of one track's samples.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Run {
    pub(super) id: u32,
    pub(super) bytes: Range<u64>,
    pub(super) sizes: Vec<u32>,
    pub(super) duration: u32,
}

/// The defaults in an `mvex`.
pub(super) fn defaults<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    moov: &[Box],
) -> Result<Vec<Defaults>, MediaError> {
    let Some(mvex) = boxes::find(moov, *b"mvex") else {
        return Ok(Vec::new());
    };
    let mut found = Vec::new();
    for trex in boxes::all(cursor, mvex.content.clone())? {
        if trex.id.0 != *b"trex" {
            continue;
        }
        let content = cursor.read(trex.content.start, 24)?;
        let mut fields = Fields::new(&content);
        fields.skip(4);
        let id = fields.u32();
        fields.skip(4);
        found.push(Defaults {
            id,
            duration: fields.u32(),
            size: fields.u32(),
        });
    }
    Ok(found)
}

/// The runs in a `moof`, in order.
pub(super) fn runs<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    moof: &Box,
    moof_at: u64,
    defaults: &[Defaults],
) -> Result<Vec<Run>, MediaError> {
    let mut runs = Vec::new();
    // Where a fragment names no place, its samples follow those before.
    let mut next = moof_at;
    for traf in boxes::all(cursor, moof.content.clone())? {
        if traf.id.0 != *b"traf" {
            continue;
        }
        let within = boxes::all(cursor, traf.content)?;
        let Some(tfhd) = boxes::find(&within, *b"tfhd") else {
            continue;
        };
        let content = cursor.read(tfhd.content.start, 40)?;
        let head = Head::read(&content, moof_at, next, defaults);
        next = head.base;
        for trun in within.iter().filter(|found| found.id.0 == *b"trun") {
            let len = usize::try_from(trun.len().min(TABLE_AT_MOST)).unwrap_or(0);
            let run = head.run(&cursor.read(trun.content.start, len)?, next);
            next = run.bytes.end;
            runs.push(run);
        }
    }
    Ok(runs)
}

/// What a `tfhd` says of the runs after it.
struct Head {
    base: u64,
    like: Defaults,
}

const BASE: u32 = 0x1;
const DESCRIPTION: u32 = 0x2;
const DURATION: u32 = 0x8;
const SIZE: u32 = 0x10;
const FROM_MOOF: u32 = 0x2_0000;

impl Head {
    fn read(content: &[u8], moof_at: u64, next: u64, defaults: &[Defaults]) -> Self {
        let mut fields = Fields::new(content);
        let (_, flags) = fields.version_and_flags();
        let id = fields.u32();
        let mut like = defaults
            .iter()
            .find(|like| like.id == id)
            .copied()
            .unwrap_or_default();
        like.id = id;
        let base = if flags & BASE != 0 {
            fields.u64()
        } else if flags & FROM_MOOF != 0 {
            moof_at
        } else {
            next
        };
        fields.skip(if flags & DESCRIPTION != 0 { 4 } else { 0 });
        if flags & DURATION != 0 {
            like.duration = fields.u32();
        }
        if flags & SIZE != 0 {
            like.size = fields.u32();
        }
        Self { base, like }
    }

    fn run(&self, content: &[u8], next: u64) -> Run {
        const OFFSET: u32 = 0x1;
        const FIRST_FLAGS: u32 = 0x4;
        const EACH_DURATION: u32 = 0x100;
        const EACH_SIZE: u32 = 0x200;
        const EACH_FLAGS: u32 = 0x400;
        const EACH_SHIFT: u32 = 0x800;
        let mut fields = Fields::new(content);
        let (_, flags) = fields.version_and_flags();
        let count = fields.u32();
        let at = if flags & OFFSET != 0 {
            let offset = i32::from_be_bytes(fields.array());
            self.base.saturating_add_signed(offset.into())
        } else {
            next
        };
        fields.skip(if flags & FIRST_FLAGS != 0 { 4 } else { 0 });
        let has = |flag| flags & flag != 0;
        let each = [EACH_DURATION, EACH_SIZE, EACH_FLAGS, EACH_SHIFT]
            .into_iter()
            .filter(|&flag| has(flag))
            .count()
            * 4;
        let mut duration = self.like.duration;
        let mut sizes = Vec::new();
        for index in 0..count {
            if each > 0 && fields.left() < each || sizes.len() >= SAMPLES_AT_MOST {
                break;
            }
            if has(EACH_DURATION) {
                let own = fields.u32();
                duration = if index == 0 { own } else { duration };
            }
            sizes.push(if has(EACH_SIZE) {
                fields.u32()
            } else {
                self.like.size
            });
            fields.skip(if has(EACH_FLAGS) { 4 } else { 0 });
            fields.skip(if has(EACH_SHIFT) { 4 } else { 0 });
        }
        let len = sizes.iter().map(|&size| u64::from(size)).sum();
        Run {
            id: self.like.id,
            bytes: at..at.saturating_add(len),
            sizes,
            duration,
        }
    }
}

/// Most samples of a run that are believed where nothing tells them one by one.
const SAMPLES_AT_MOST: usize = 1 << 20;
