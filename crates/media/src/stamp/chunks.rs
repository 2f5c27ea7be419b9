//! The plan of a copy, chunk by chunk.

use std::collections::BTreeMap;
use std::io::{Read, Seek};
use std::ops::Range;

use super::frames::Frame;
use super::lengths::{DS64, Form, Lengths, Place, SEE_DS64};
use super::portion::Portions;
use super::{Remark, Stamp, StampError, StampedCopy, bext, fmt, ixml};
use crate::cursor::Cursor;
use crate::ixml::Change;
use crate::limits::IXML_AT_MOST;
use crate::wav::{CHUNK_HEADER, Chunk, Layout};
use crate::{ChunkId, Container, Malformed, MediaError};

const JUNK: ChunkId = ChunkId(*b"JUNK");

/// How many bytes of fmt change when channels are left out.
const FMT: usize = 24;

/// Chunks that tell of each channel: ADM's (ITU-R BS.2076), and the peak envelope (EBU Tech 3285
/// supplement 3).
const OF_CHANNELS: [ChunkId; 2] = [ChunkId(*b"chna"), ChunkId(*b"levl")];

/// The peak of each channel, as libsndfile writes it and insists on it: eight bytes, and eight for
/// each channel.
const PEAK: ChunkId = ChunkId(*b"PEAK");

/// What of a copy is known from the original's header.
pub(super) struct Plan<'l> {
    layout: &'l Layout,
    stamp: &'l Stamp,
    frame: Frame,
    /// What changes in chunks, by the place of their content; an iXML that can't be changed is
    /// not there.
    ixml: BTreeMap<u64, Vec<Change>>,
    /// The first bytes of fmt where channels are left out, and where its content stands.
    fmt: Option<(u64, Vec<u8>)>,
    remarks: Vec<Remark>,
}

impl<'l> Plan<'l> {
    pub(super) fn new<S: Read + Seek>(
        layout: &'l Layout,
        stamp: &'l Stamp,
        cursor: &mut Cursor<S>,
    ) -> Result<Self, StampError> {
        let channels = layout.header.channels();
        stamp.channels.check(channels)?;
        let format = layout.header.format();
        let bytes = format.map_or(1, |format| format.encoding().bytes());
        let mut plan = Self {
            layout,
            stamp,
            frame: Frame::new(&stamp.channels, channels, bytes),
            ixml: BTreeMap::new(),
            fmt: None,
            remarks: Vec::new(),
        };
        plan.put_right();
        for chunk in &layout.chunks {
            plan.look_at(chunk, cursor)?;
        }
        Ok(plan)
    }

    /// What was wrong with the original and is not with the copy.
    fn put_right(&mut self) {
        let problems = self.layout.header.problems.iter();
        let mended = problems.filter(|problem| match problem {
            MediaError::Truncated { .. } => true,
            MediaError::Malformed { problem, .. } => matches!(
                problem,
                Malformed::PartFrame { .. } | Malformed::NoDs64 | Malformed::Ds64TooShort { .. }
            ),
            _ => false,
        });
        self.remarks.extend(mended.cloned().map(Remark::PutRight));
    }

    /// Reads what is needed of a chunk to change it.
    fn look_at<S: Read + Seek>(
        &mut self,
        chunk: &Chunk,
        cursor: &mut Cursor<S>,
    ) -> Result<(), MediaError> {
        let is_fewer = !self.stamp.channels.are_all();
        match chunk.id {
            ChunkId::FMT if is_fewer && self.fmt.is_none() => {
                let content = cursor.read(chunk.at, FMT.min(size(chunk)))?;
                let of = self.layout.header.channels();
                self.fmt = Some((chunk.at, fmt::without(content, &self.stamp.channels, of)));
            }
            ChunkId::IXML => self.look_at_ixml(chunk, cursor)?,
            id if is_fewer && OF_CHANNELS.contains(&id) => {
                self.remarks.push(Remark::TellsOfChannels { id });
            }
            _ => {}
        }
        Ok(())
    }

    fn look_at_ixml<S: Read + Seek>(
        &mut self,
        chunk: &Chunk,
        cursor: &mut Cursor<S>,
    ) -> Result<(), MediaError> {
        let changes = if chunk.len > IXML_AT_MOST {
            Err(Malformed::IxmlTooLong { len: chunk.len })
        } else {
            let content = cursor.read(chunk.at, size(chunk))?;
            ixml::changes(&content, &self.layout.header, self.stamp)
        };
        match changes {
            Ok(changes) => {
                self.ixml.insert(chunk.at, changes);
            }
            Err(problem) => self.remarks.push(Remark::IxmlLeft(MediaError::Malformed {
                place: chunk.id,
                at: chunk.at,
                problem,
            })),
        }
        Ok(())
    }

    /// The copy as it is laid out: with 32-bit lengths if it was so and fits.
    pub(super) fn copy(mut self) -> Result<StampedCopy, StampError> {
        let header = &self.layout.header;
        let (mut form, mut container) = (Form::Short, header.container);
        let mut body = self.body(&form)?;
        if container != Container::Wav || form.riff(self.counted(&body)) >= u32::MAX.into() {
            if container == Container::Wav {
                container = Container::Rf64;
                self.remarks.push(Remark::Grown);
            }
            form = Form::Long(self.place());
            body = self.body(&form)?;
        }
        let sound = header.data();
        let lengths = Lengths {
            body: self.counted(&body),
            data: self.frame.kept_of(sound.end - sound.start),
            sample_frames: header.sample_frames,
        };
        let mut all = form.header(container, lengths);
        all.append(body);
        all.keep(self.layout.chunks_end..self.layout.len);
        Ok(StampedCopy {
            portions: all.into_vec(),
            container,
            original: header.clone(),
            stamp: self.stamp.clone(),
            frame: self.frame,
            remarks: self.remarks,
        })
    }

    /// How long what belongs to the file's own chunk is. Bytes after the last chunk belong to it
    /// as far as they did.
    fn counted(&self, body: &Portions) -> u64 {
        let Layout {
            chunks_end,
            stated_end,
            len,
            ..
        } = *self.layout;
        let after = stated_end.unwrap_or(0).clamp(chunks_end, len) - chunks_end;
        body.len(&self.frame).saturating_add(after)
    }

    /// Where ds64 goes. One byte too many of it, or of what is in its place, is left out.
    fn place(&self) -> Place {
        let content = |chunk: &Chunk| {
            let content = self.content(chunk);
            content.start..content.end - (content.end - content.start) % 2
        };
        let fits = |content: &Range<u64>| content.end - content.start >= DS64;
        if self.layout.header.container == Container::Wav {
            let first = self.layout.chunks.first().filter(|chunk| chunk.id == JUNK);
            let reserved = first.map(content).filter(fits);
            return reserved.map_or(Place::New, Place::Reserved);
        }
        let standing = self.ds64().map(content).filter(fits);
        standing.map_or(Place::New, Place::Standing)
    }

    /// The chunk that is read as ds64.
    fn ds64(&self) -> Option<&Chunk> {
        let mut chunks = self.layout.chunks.iter();
        chunks.find(|chunk| chunk.id == ChunkId::DS64)
    }

    /// All chunks but ds64.
    fn body(&self, form: &Form) -> Result<Portions, StampError> {
        let reserved = match form {
            Form::Long(Place::Reserved(content)) => Some(content.start),
            _ => None,
        };
        let in_header = [self.ds64().map(|chunk| chunk.at), reserved];
        let nexts = self.layout.chunks.iter().skip(1);
        let ends = nexts
            .map(|next| next.at - CHUNK_HEADER)
            .chain([self.layout.chunks_end]);
        let mut body = Portions::default();
        for (chunk, end) in self.layout.chunks.iter().zip(ends) {
            if in_header.contains(&Some(chunk.at)) {
                continue;
            }
            let pad = self.content(chunk).end..end;
            if chunk.at == self.layout.header.data().start {
                body.append(self.added(form)?);
                body.append(self.sound(form)?);
            } else {
                body.append(self.chunk(chunk, pad, form)?);
            }
        }
        Ok(body)
    }

    /// The chunks that the original has not, before the sound.
    fn added(&self, form: &Form) -> Result<Portions, StampError> {
        let mut added = Portions::default();
        let has = |id| self.layout.chunks.iter().any(|chunk| chunk.id == id);
        let mut add = |id, content: Vec<u8>| {
            let mut portions = Portions::default();
            portions.put(content);
            added.append(self.headed(id, portions, form)?);
            Ok::<(), StampError>(())
        };
        if !has(ChunkId::BEXT) {
            add(
                ChunkId::BEXT,
                bext::new(self.stamp.time_reference).content(),
            )?;
        }
        if !has(ChunkId::IXML) {
            add(ChunkId::IXML, ixml::new(&self.layout.header, self.stamp))?;
        }
        Ok(added)
    }

    fn sound(&self, form: &Form) -> Result<Portions, StampError> {
        let mut sound = Portions::default();
        let range = self.layout.header.data();
        if self.stamp.channels.are_all() {
            sound.keep(range);
        } else {
            sound.sound(range);
        }
        let is_odd = sound.len(&self.frame) % 2 == 1;
        let mut sound = self.headed(ChunkId::DATA, sound, form)?;
        sound.put(if is_odd { &[0][..] } else { &[] });
        Ok(sound)
    }

    /// A chunk that is no sound: changed where it must be. Its pad byte stays if it has one.
    fn chunk(&self, chunk: &Chunk, pad: Range<u64>, form: &Form) -> Result<Portions, StampError> {
        let content = self.content(chunk);
        let channels = self.layout.header.channels();
        let changed = match chunk.id {
            ChunkId::BEXT => self.bext(&content, form),
            ChunkId::IXML => self.ixml(chunk, &content, form),
            ChunkId::FMT => self.fmt(&content),
            PEAK if content.end - content.start == 8 + 8 * u64::from(channels) => {
                self.peaks(content.start)
            }
            _ => {
                let mut whole = Portions::default();
                whole.keep(content.clone());
                whole
            }
        };
        let len = changed.len(&self.frame);
        // Its length may stand in the table of ds64.
        let stays = matches!(form, Form::Long(Place::Standing(_))) && len == chunk.len;
        let mut portions = if stays {
            let mut portions = Portions::default();
            portions.keep(chunk.at - CHUNK_HEADER..chunk.at);
            portions.append(changed);
            portions
        } else {
            self.headed(chunk.id, changed, form)?
        };
        match len % 2 {
            0 => {}
            _ if pad.is_empty() => portions.put([0]),
            _ => portions.keep(pad.start..pad.start + 1),
        }
        Ok(portions)
    }

    fn bext(&self, content: &Range<u64>, form: &Form) -> Portions {
        let bext = bext::stamped(content, self.stamp.time_reference);
        self.even(bext, 0, form)
    }

    fn ixml(&self, chunk: &Chunk, content: &Range<u64>, form: &Form) -> Portions {
        let changes = self.ixml.get(&chunk.at);
        let ixml = ixml::changed(content, changes.map_or(&[], Vec::as_slice));
        self.even(ixml, b'\n', form)
    }

    /// Metadata that is filled up to an even length in a file with 64-bit lengths: libsndfile loses
    /// its way there otherwise.
    fn even(&self, mut content: Portions, fill: u8, form: &Form) -> Portions {
        if *form != Form::Short && content.len(&self.frame) % 2 == 1 {
            content.put([fill]);
        }
        content
    }

    fn fmt(&self, content: &Range<u64>) -> Portions {
        let mut fmt = Portions::default();
        let changed = self.fmt.as_ref().filter(|(at, _)| *at == content.start);
        let changed = changed.map_or(&[][..], |(_, bytes)| bytes);
        fmt.put(changed);
        let rest = content.start.saturating_add(changed.len() as u64);
        fmt.keep(rest.min(content.end)..content.end);
        fmt
    }

    /// The peaks of the channels that stay.
    fn peaks(&self, at: u64) -> Portions {
        let mut peaks = Portions::default();
        peaks.keep(at..at + 8);
        for channel in 0..self.layout.header.channels() {
            let peak = at + 8 + 8 * u64::from(channel);
            let stays = self.stamp.channels.has(channel);
            peaks.keep(peak..if stays { peak + 8 } else { peak });
        }
        peaks
    }

    /// Content after a header of its own.
    fn headed(&self, id: ChunkId, content: Portions, form: &Form) -> Result<Portions, StampError> {
        let mut chunk = Portions::default();
        chunk.put(id.0);
        let len = u32::try_from(content.len(&self.frame));
        match (id, form, len) {
            // What is too long for 32 bits is laid out anew with 64-bit lengths.
            (ChunkId::DATA, Form::Long(_), _) | (_, Form::Short, Err(_)) => chunk.put(SEE_DS64),
            (_, _, Ok(len)) => chunk.put(len.to_le_bytes()),
            _ => return Err(StampError::TooLong),
        }
        chunk.append(content);
        Ok(chunk)
    }

    /// A chunk's content, as far as it is there.
    fn content(&self, chunk: &Chunk) -> Range<u64> {
        chunk.at..chunk.at.saturating_add(chunk.len).min(self.layout.len)
    }
}

fn size(chunk: &Chunk) -> usize {
    usize::try_from(chunk.len).unwrap_or(usize::MAX)
}
