//! The four letters that name a chunk.

use std::fmt;

/// The four bytes that name a chunk, usually letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ChunkId(pub [u8; 4]);

impl ChunkId {
    /// The whole of a plain WAV.
    pub const RIFF: Self = Self(*b"RIFF");
    /// The same with the most significant byte first: not read.
    pub const RIFX: Self = Self(*b"RIFX");
    /// The whole of a WAV that may pass 4 GiB (EBU Tech 3306).
    pub const RF64: Self = Self(*b"RF64");
    /// The same (ITU-R BS.2088).
    pub const BW64: Self = Self(*b"BW64");
    /// What a RIFF file holds when it is a WAV.
    pub const WAVE: Self = Self(*b"WAVE");
    /// 64-bit lengths.
    pub const DS64: Self = Self(*b"ds64");
    /// The sample format.
    pub const FMT: Self = Self(*b"fmt ");
    /// The samples.
    pub const DATA: Self = Self(*b"data");
    /// The broadcast extension.
    pub const BEXT: Self = Self(*b"bext");
    /// A list: of information about the file, among others.
    pub const LIST: Self = Self(*b"LIST");
    /// iXML.
    pub const IXML: Self = Self(*b"iXML");

    /// Chunks that are often met: what begins with one of these is a chunk.
    const KNOWN: [[u8; 4]; 30] = [
        *b"fmt ", *b"data", *b"bext", *b"iXML", *b"ds64", *b"LIST", *b"JUNK", *b"junk", *b"fact",
        *b"PAD ", *b"FLLR", *b"cue ", *b"smpl", *b"inst", *b"plst", *b"axml", *b"chna", *b"umid",
        *b"levl", *b"link", *b"qlty", *b"mext", *b"cart", *b"id3 ", *b"ID3 ", *b"_PMX", *b"minf",
        *b"elm1", *b"regn", *b"DISP",
    ];

    /// Whether this is a chunk that is often met.
    pub(crate) fn is_known(self) -> bool {
        Self::KNOWN.contains(&self.0)
    }

    /// Whether these four bytes could name a chunk at all: printable, as RIFF has it.
    pub(crate) fn is_plausible(self) -> bool {
        self.0.iter().all(|byte| (b' '..=b'~').contains(byte))
    }
}

impl fmt::Display for ChunkId {
    /// Without the spaces that fill it up; bytes that are no letters as `\xff`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.0.escape_ascii().to_string().trim_end())
    }
}
