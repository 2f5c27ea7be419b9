//! `tmcd`: the sample entry and the samples of a timecode track.

use std::io::{Read, Seek};

use super::boxes::{self, Box};
use super::table::Table;
use crate::big_endian::Fields;
use crate::cursor::Cursor;
use crate::{Counting, MediaError, TimecodeTrack};

const DROP: u32 = 1;
const NEGATIVE: u32 = 4;
const COUNTER: u32 = 8;

/// Most starts that are read: a break a minute for a day.
const STARTS_AT_MOST: usize = 1440;

/// From the sample entry and the table of the track.
pub(super) fn read<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    entry: &Box,
    table: &Table,
) -> Result<TimecodeTrack, MediaError> {
    let content = cursor.read(entry.content.start, 26)?;
    let mut fields = Fields::new(&content);
    fields.skip(12);
    let flags = fields.u32();
    let (time_scale, frame_duration) = (fields.u32(), fields.u32());
    let frames_a_second = fields.u8();
    let within = entry.content.start.saturating_add(26)..entry.content.end;
    let within = boxes::all(cursor, within)?;
    let reel = reel(cursor, &within)?;
    let mut starts = Vec::new();
    for piece in table.pieces(4).into_iter().take(STARTS_AT_MOST) {
        let mut at = piece.start;
        while at.saturating_add(4) <= piece.end && starts.len() < STARTS_AT_MOST {
            let Some(number) = cursor.array::<4>(at)? else {
                break;
            };
            starts.push(if flags & NEGATIVE != 0 {
                i32::from_be_bytes(number).into()
            } else {
                u32::from_be_bytes(number).into()
            });
            at += 4;
        }
    }
    Ok(TimecodeTrack {
        counting: if flags & COUNTER != 0 {
            Counting::Counter
        } else if flags & DROP != 0 {
            Counting::Drop
        } else {
            Counting::NonDrop
        },
        time_scale,
        frame_duration,
        frames_a_second,
        reel,
        starts,
    })
}

/// A text of user data: length, language, letters.
fn reel<S: Read + Seek>(
    cursor: &mut Cursor<S>,
    within: &[Box],
) -> Result<Option<String>, MediaError> {
    let Some(name) = boxes::find(within, *b"name") else {
        return Ok(None);
    };
    let content = cursor.read(
        name.content.start,
        usize::try_from(name.len().min(256)).unwrap_or(0),
    )?;
    let mut fields = Fields::new(&content);
    let len = usize::from(fields.u16());
    fields.skip(2);
    let text = fields.rest();
    let text = String::from_utf8_lossy(text.get(..len).unwrap_or(text));
    let text = text.trim_end_matches('\0').trim();
    Ok((!text.is_empty()).then(|| text.to_owned()))
}
