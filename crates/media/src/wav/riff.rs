//! The walk through the chunks of a RIFF file.

use std::io::{Read, Seek};

use super::data::{Data, Stated};
use super::ds64::{Ds64, SEE_DS64};
use super::fmt::{self, Fmt};
use crate::cursor::Cursor;
use crate::limits::{
    CHUNKS_AT_MOST, CODING_HISTORY_AT_MOST, DS64_ENTRIES_AT_MOST, IXML_AT_MOST, LIST_AT_MOST,
    OPENING_SHOWN, PADDING_AT_MOST,
};
use crate::{
    Bext, ChunkId, Coding, Container, Creation, Cut, Edit, Header, Ixml, Malformed, MediaError,
    Opening, Piece, Track, Unsupported,
};

/// A chunk's letters and length take so many bytes; the file's own with its form, four more.
pub(crate) const CHUNK_HEADER: u64 = 8;
const FILE_HEADER: u64 = 12;

/// Everything but the samples, and where it stands.
#[derive(Debug)]
pub(crate) struct Layout {
    /// What the chunks say.
    pub(crate) header: Header,
    /// The chunks in order, those that are not read and one that is cut short among them.
    pub(crate) chunks: Vec<Chunk>,
    /// Where the chunks end: what follows belongs to none.
    pub(crate) chunks_end: u64,
    /// Where the file ends, as its header has it; none where that was left open.
    pub(crate) stated_end: Option<u64>,
    /// How long the file is.
    pub(crate) len: u64,
}

/// Reads everything but the samples.
pub(super) fn read<S: Read + Seek>(cursor: &mut Cursor<S>) -> Result<Layout, MediaError> {
    let (container, riff_len) = file_header(cursor)?;
    let mut walk = Walk {
        cursor,
        container,
        riff_len,
        ds64: None,
        fmt: None,
        data: None,
        bext: None,
        ixml: None,
        creation: None,
        problems: Vec::new(),
        stopped: None,
        chunks: Vec::new(),
        chunks_end: FILE_HEADER,
    };
    walk.all()?;
    walk.layout()
}

/// The first twelve bytes: which kind of file, and the length that it gives itself.
fn file_header<S: Read + Seek>(cursor: &mut Cursor<S>) -> Result<(Container, u32), MediaError> {
    let opening = cursor.read(0, OPENING_SHOWN)?;
    if opening.is_empty() {
        return Err(MediaError::Empty);
    }
    let not_wav = || MediaError::Unknown {
        found: Opening::new(&opening),
    };
    let id = ChunkId(*opening.first_chunk().ok_or_else(not_wav)?);
    if id == ChunkId::RIFX {
        return Err(MediaError::Unsupported {
            place: id,
            at: 0,
            what: Unsupported::Rifx,
        });
    }
    let all = [Container::Wav, Container::Rf64, Container::Bw64];
    let known = all
        .into_iter()
        .find(|container| container.riff() == Some(id));
    let container = known.ok_or_else(not_wav)?;
    let Some([_, _, _, _, a, b, c, d, form @ ..]) = opening.first_chunk::<12>().copied() else {
        return Err(MediaError::Truncated {
            place: id,
            at: CHUNK_HEADER,
            cut: Cut::Header {
                present: cursor.len(),
            },
        });
    };
    if ChunkId(form) != ChunkId::WAVE {
        return Err(not_wav());
    }
    Ok((container, u32::from_le_bytes([a, b, c, d])))
}

/// What has been found so far.
struct Walk<'c, 's, S> {
    cursor: &'c mut Cursor<'s, S>,
    container: Container,
    riff_len: u32,
    ds64: Option<Ds64>,
    fmt: Option<Fmt>,
    data: Option<Data>,
    bext: Option<Bext>,
    ixml: Option<Ixml>,
    creation: Option<Creation>,
    problems: Vec<MediaError>,
    /// Why the walk ended before the end of the file.
    stopped: Option<MediaError>,
    chunks: Vec<Chunk>,
    chunks_end: u64,
}

/// A chunk: its letters, where its content begins, how long it says it is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Chunk {
    pub(crate) id: ChunkId,
    pub(crate) at: u64,
    /// In its own field.
    stated: u32,
    /// As ds64 has it, where its own field refers to that.
    pub(crate) len: u64,
}

impl<S: Read + Seek> Walk<'_, '_, S> {
    fn all(&mut self) -> Result<(), MediaError> {
        let mut next = Some(FILE_HEADER);
        for _ in 0..CHUNKS_AT_MOST {
            let Some(at) = next else { return Ok(()) };
            let known = self.chunks.len();
            next = self.chunk(at)?;
            let is_cut = self.chunks.len() > known;
            let last = if is_cut { self.cursor.len() } else { at };
            self.chunks_end = next.unwrap_or(last).min(self.cursor.len());
        }
        if let Some(at) = next.filter(|&at| self.cursor.left(at) >= CHUNK_HEADER) {
            self.stopped = Some(MediaError::Malformed {
                place: ChunkId::RIFF,
                at,
                problem: Malformed::TooManyChunks,
            });
        }
        Ok(())
    }

    /// Reads the chunk that begins at `at` and says where the next one should.
    fn chunk(&mut self, at: u64) -> Result<Option<u64>, MediaError> {
        let Some(chunk) = self.chunk_header(at)? else {
            return Ok(None);
        };
        if !chunk.id.is_plausible() {
            self.stopped = self.stray(at)?;
            return Ok(None);
        }
        self.chunks.push(chunk);
        match chunk.id {
            ChunkId::DATA if self.data.is_none() => return self.data(chunk),
            ChunkId::FMT if self.fmt.is_none() => self.fmt(chunk)?,
            ChunkId::DS64 if self.ds64.is_none() => self.ds64(chunk)?,
            ChunkId::BEXT if self.bext.is_none() => self.bext(chunk)?,
            ChunkId::IXML if self.ixml.is_none() => self.ixml(chunk)?,
            ChunkId::LIST if self.creation.is_none() => self.list(chunk)?,
            _ => {}
        }
        if chunk.len > self.cursor.left(chunk.at) {
            self.stopped = Some(self.cut_short(chunk));
            return Ok(None);
        }
        self.after(chunk).map(Some)
    }

    fn chunk_header(&mut self, at: u64) -> Result<Option<Chunk>, MediaError> {
        let Some([a, b, c, d, len @ ..]) = self.cursor.array::<8>(at)? else {
            return Ok(None);
        };
        let id = ChunkId([a, b, c, d]);
        let stated = u32::from_le_bytes(len);
        let long = match &self.ds64 {
            Some(ds64) if stated == SEE_DS64 => ds64.len_of(id),
            _ => None,
        };
        Ok(Some(Chunk {
            id,
            at: at + CHUNK_HEADER,
            stated,
            len: long.unwrap_or(u64::from(stated)),
        }))
    }

    /// The date in a list of information (Multimedia Programming Interface and Data Specifications
    /// 1.0, RIFF, from memory).
    fn list(&mut self, chunk: Chunk) -> Result<(), MediaError> {
        let len = usize::try_from(chunk.len.min(LIST_AT_MOST)).unwrap_or(0);
        let content = self.cursor.read(chunk.at, len)?;
        let Some(mut rest) = content.strip_prefix(b"INFO") else {
            return Ok(());
        };
        while let Some([a, b, c, d, len @ ..]) = rest.first_chunk::<8>().copied() {
            let len = usize::try_from(u32::from_le_bytes(len)).unwrap_or(usize::MAX);
            let content = rest.get(8..).unwrap_or_default();
            if [a, b, c, d] == *b"ICRD" {
                let text = content.get(..len).unwrap_or(content);
                self.creation = Creation::written("ICRD", text);
                return Ok(());
            }
            let next = len.saturating_add(len % 2);
            rest = content.get(next..).unwrap_or_default();
        }
        Ok(())
    }

    /// Where the next chunk begins. Chunks are padded to an even length; some writers forget it.
    fn after(&mut self, chunk: Chunk) -> Result<u64, MediaError> {
        let end = chunk.at + chunk.len;
        let padded = end + chunk.len % 2;
        if padded == end {
            return Ok(padded);
        }
        let Some([pad, rest @ ..]) = self.cursor.array::<5>(end)? else {
            return Ok(padded);
        };
        let [b, c, d, _] = rest;
        let unpadded = ChunkId([pad, b, c, d]);
        let forgotten =
            unpadded.is_known() || unpadded.is_plausible() && !ChunkId(rest).is_plausible();
        Ok(if forgotten { end } else { padded })
    }

    /// What is wrong where no chunk begins: nothing, if only padding is left.
    fn stray(&mut self, at: u64) -> Result<Option<MediaError>, MediaError> {
        let left = self.cursor.left(at);
        let shown = self.cursor.array::<8>(at)?;
        let is_padding = left <= PADDING_AT_MOST && shown == Some([0; 8]);
        Ok((!is_padding).then_some(MediaError::Malformed {
            place: ChunkId::RIFF,
            at,
            problem: Malformed::NoChunk { left },
        }))
    }

    fn fmt(&mut self, chunk: Chunk) -> Result<(), MediaError> {
        let content = self.content(chunk, fmt::CONTENT)?;
        if (content.len() as u64) < chunk.len.min(fmt::CONTENT as u64) {
            return Err(self.cut_short(chunk));
        }
        let mut fmt = Fmt::read(&content, chunk.at)?;
        self.problems.extend(fmt.problem.take());
        self.fmt = Some(fmt);
        Ok(())
    }

    fn ds64(&mut self, chunk: Chunk) -> Result<(), MediaError> {
        let content = self.content(chunk, 28 + 12 * DS64_ENTRIES_AT_MOST)?;
        match Ds64::read(&content) {
            Ok(ds64) => self.ds64 = Some(ds64),
            Err(problem) => self.note(chunk, problem),
        }
        Ok(())
    }

    fn bext(&mut self, chunk: Chunk) -> Result<(), MediaError> {
        let content = self.content(chunk, Bext::FIXED + CODING_HISTORY_AT_MOST)?;
        if content.len() < Bext::FIXED {
            let len = content.len() as u64;
            self.note(chunk, Malformed::BextTooShort { len });
        }
        self.bext = Bext::read(&content);
        Ok(())
    }

    fn ixml(&mut self, chunk: Chunk) -> Result<(), MediaError> {
        if chunk.len > IXML_AT_MOST {
            self.note(chunk, Malformed::IxmlTooLong { len: chunk.len });
            return Ok(());
        }
        let content = self.content(chunk, usize::try_from(chunk.len).unwrap_or(0))?;
        let (ixml, problem) = Ixml::read(&content);
        self.ixml = ixml;
        if let Some(problem) = problem {
            self.note(chunk, problem);
        }
        Ok(())
    }

    fn data(&mut self, chunk: Chunk) -> Result<Option<u64>, MediaError> {
        let is_open = match chunk.stated {
            0 => !self.chunk_follows(chunk.at)?,
            SEE_DS64 => match &self.ds64 {
                Some(ds64) => ds64.data == 0 || ds64.data == u64::MAX,
                None => true,
            },
            _ => false,
        };
        let present = self.cursor.left(chunk.at);
        let stated = if is_open {
            Stated::Unfinished
        } else {
            Stated::Bytes(chunk.len)
        };
        self.data = Some(Data {
            at: chunk.at,
            stated,
            present,
        });
        if is_open || chunk.len > present {
            return Ok(None);
        }
        self.after(chunk).map(Some)
    }

    /// Whether a chunk that is often met stands at `at`, whole: then a length of 0 is the truth.
    fn chunk_follows(&mut self, at: u64) -> Result<bool, MediaError> {
        let follows = self.chunk_header(at)?;
        Ok(follows.is_some_and(|next| next.id.is_known() && next.len <= self.cursor.left(next.at)))
    }

    /// The chunk's content, or as much of it as is there and wanted.
    fn content(&mut self, chunk: Chunk, at_most: usize) -> Result<Vec<u8>, MediaError> {
        let len = usize::try_from(chunk.len).map_or(at_most, |len| len.min(at_most));
        self.cursor.read(chunk.at, len)
    }

    fn note(&mut self, chunk: Chunk, problem: Malformed) {
        self.problems.push(MediaError::Malformed {
            place: chunk.id,
            at: chunk.at,
            problem,
        });
    }

    fn cut_short(&self, chunk: Chunk) -> MediaError {
        MediaError::Truncated {
            place: chunk.id,
            at: chunk.at,
            cut: Cut::Chunk {
                id: chunk.id,
                needed: chunk.len,
                present: self.cursor.left(chunk.at),
            },
        }
    }

    /// What is wrong where the whole file is shorter than it says; the last pad byte may be
    /// missing.
    fn file_cut(&self) -> Option<MediaError> {
        let needed = self.stated_len()?;
        let present = self.cursor.left(CHUNK_HEADER);
        let id = self.container.riff().unwrap_or(ChunkId::RIFF);
        (needed > present + 1).then_some(MediaError::Truncated {
            place: id,
            at: CHUNK_HEADER,
            cut: Cut::Chunk {
                id,
                needed,
                present,
            },
        })
    }

    /// What follows the first eight bytes, as the header has it; none where that was left open.
    fn stated_len(&self) -> Option<u64> {
        match &self.ds64 {
            Some(ds64) if ds64.riff != u64::MAX => Some(ds64.riff),
            _ if self.riff_len == SEE_DS64 => None,
            _ => Some(u64::from(self.riff_len)),
        }
    }

    fn layout(mut self) -> Result<Layout, MediaError> {
        Ok(Layout {
            chunks: std::mem::take(&mut self.chunks),
            chunks_end: self.chunks_end,
            stated_end: self
                .stated_len()
                .map(|len| len.saturating_add(CHUNK_HEADER)),
            len: self.cursor.len(),
            header: self.header()?,
        })
    }

    /// Puts together what was found.
    fn header(mut self) -> Result<Header, MediaError> {
        let Some(fmt) = self.fmt.take() else {
            return Err(self.stopped.unwrap_or(MediaError::Malformed {
                place: ChunkId::FMT,
                at: self.cursor.len(),
                problem: Malformed::NoFmt,
            }));
        };
        let Some(data) = self.data else {
            let at = self.cursor.len();
            return Err(self.stopped.unwrap_or(MediaError::NoSound { at }));
        };
        let bytes_per_frame = fmt.channels * fmt.format.encoding().bytes();
        let counted = self.ds64.as_ref().map_or(0, |ds64| ds64.sample_frames);
        let whole = data
            .without_pad(counted, bytes_per_frame)
            .whole(bytes_per_frame)?;
        if self.container != Container::Wav && self.ds64.is_none() {
            self.problems.push(MediaError::Malformed {
                place: ChunkId::DS64,
                at: FILE_HEADER,
                problem: Malformed::NoDs64,
            });
        }
        // A file that ends early is one fault, however many lengths it contradicts.
        let sound_cut = matches!(whole.problem, Some(MediaError::Truncated { .. }));
        if !sound_cut && self.stopped.is_none() {
            self.stopped = self.file_cut();
        }
        self.problems.extend(whole.problem);
        self.problems.extend(self.stopped);
        Ok(Header {
            container: self.container,
            sample_rate: fmt.sample_rate,
            tracks: vec![Track {
                coding: Coding::Linear(fmt.format),
                channels: fmt.channels,
                bits: Some(fmt.format.valid_bits()),
                edit: Edit::WHOLE,
                outside: None,
            }],
            pieces: vec![Piece {
                bytes: whole.bytes,
                track: 0,
            }],
            sample_frames: whole.sample_frames,
            timecodes: Vec::new(),
            bext: self.bext,
            ixml: self.ixml,
            creation: self.creation,
            problems: self.problems,
        })
    }
}
