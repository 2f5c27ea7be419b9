//! Movies made box by box.

/// A box.
pub(crate) fn boxed(id: &[u8; 4], content: &[u8]) -> Vec<u8> {
    let len = u32::try_from(content.len() + 8).unwrap();
    [&len.to_be_bytes(), &id[..], content].concat()
}

/// A box with a version and flags, of fields of 32 bits.
pub(crate) fn fields(id: &[u8; 4], fields: &[u32]) -> Vec<u8> {
    let content: Vec<u8> = std::iter::once(&0)
        .chain(fields)
        .flat_map(|field| field.to_be_bytes())
        .collect();
    boxed(id, &content)
}

/// A track to be.
#[derive(Clone)]
pub(crate) struct Trak {
    pub(crate) handler: [u8; 4],
    pub(crate) entry: Vec<u8>,
    /// Where each chunk stands, and how many samples it has.
    pub(crate) chunks: Vec<(u64, u32)>,
    /// Bytes of every sample, or of each.
    pub(crate) sizes: Vec<u32>,
    /// Length in units of the movie, start in units of the track.
    pub(crate) edits: Vec<(u32, i32)>,
    pub(crate) time_scale: u32,
    pub(crate) duration: u32,
}

/// The movie's units of time a second.
pub(crate) const MOVIE_SCALE: u32 = 1000;

impl Trak {
    /// Sound of 48 kHz that is written as this tag says.
    pub(crate) fn sound(tag: &[u8; 4], channels: u16, bits: u16, chunks: &[(u64, u32)]) -> Self {
        Self {
            handler: *b"soun",
            entry: sound_entry(tag, channels, bits, &[]),
            chunks: chunks.to_vec(),
            sizes: vec![1],
            edits: Vec::new(),
            time_scale: 48_000,
            duration: 1,
        }
    }

    pub(crate) fn bytes(&self, id: u32) -> Vec<u8> {
        let count = u32::try_from(self.chunks.len()).unwrap();
        let samples: u32 = self.chunks.iter().map(|(_, samples)| samples).sum();
        let runs: Vec<u32> = (1..)
            .zip(&self.chunks)
            .flat_map(|(number, &(_, samples))| [number, samples, 1])
            .collect();
        let offsets: Vec<u8> = self
            .chunks
            .iter()
            .flat_map(|(at, _)| at.to_be_bytes())
            .collect();
        let sizes = match &self.sizes[..] {
            [one] => fields(b"stsz", &[*one, samples]),
            each => fields(b"stsz", &[&[0, samples], each].concat()),
        };
        let stbl = [
            boxed(
                b"stsd",
                &[&[0, 0, 0, 0, 0, 0, 0, 1], &self.entry[..]].concat(),
            ),
            fields(b"stts", &[1, samples, self.duration]),
            fields(b"stsc", &[&[count], &runs[..]].concat()),
            sizes,
            boxed(
                b"co64",
                &[&[0; 4], &count.to_be_bytes(), &offsets[..]].concat(),
            ),
        ]
        .concat();
        let hdlr = [&[0; 8], &self.handler[..], &[0; 12]].concat();
        let mdia = [
            fields(b"mdhd", &[0, 0, self.time_scale, samples, 0]),
            boxed(b"hdlr", &hdlr),
            boxed(b"minf", &boxed(b"stbl", &stbl)),
        ]
        .concat();
        let mut entries = vec![u32::try_from(self.edits.len()).unwrap()];
        for &(length, from) in &self.edits {
            entries.extend([length, from.cast_unsigned(), 0x1_0000]);
        }
        let trak = [
            fields(b"tkhd", &[0, 0, id, 0, 0]),
            boxed(b"edts", &fields(b"elst", &entries)),
            boxed(b"mdia", &mdia),
        ]
        .concat();
        boxed(b"trak", &trak)
    }
}

pub(crate) fn sound_entry(tag: &[u8; 4], channels: u16, bits: u16, within: &[u8]) -> Vec<u8> {
    let mut content = vec![0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0];
    content.extend(channels.to_be_bytes());
    content.extend(bits.to_be_bytes());
    content.extend([0; 4]);
    content.extend((48_000_u32 << 16).to_be_bytes());
    content.extend(within);
    boxed(tag, &content)
}

pub(crate) fn timecode_entry(flags: u32, scale: u32, duration: u32, frames: u8) -> Vec<u8> {
    let mut content = vec![0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0];
    for field in [flags, scale, duration] {
        content.extend(field.to_be_bytes());
    }
    content.extend([frames, 0]);
    boxed(b"tmcd", &content)
}

/// Where the first byte after `ftyp` and the head of `mdat` stands in what [`movie`] makes.
pub(crate) const SOUND_AT: u64 = 24;

pub(crate) fn moov(traks: &[Trak]) -> Vec<u8> {
    let traks = (1..).zip(traks).flat_map(|(id, trak)| trak.bytes(id));
    let mvhd = fields(b"mvhd", &[0, 0, MOVIE_SCALE, 0]);
    boxed(b"moov", &mvhd.into_iter().chain(traks).collect::<Vec<_>>())
}

/// A movie whose index comes last.
pub(crate) fn movie(brand: &[u8; 4], data: &[u8], traks: &[Trak]) -> Vec<u8> {
    let ftyp = boxed(b"ftyp", &[&brand[..], &[0; 4]].concat());
    [ftyp, boxed(b"mdat", data), moov(traks)].concat()
}
