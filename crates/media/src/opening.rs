//! How a file begins that is no WAV.

use std::fmt;

use crate::limits::OPENING_SHOWN;

/// The first bytes of a file that is no WAV, and what they say it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opening {
    bytes: Vec<u8>,
}

/// What other files begin with (offset, bytes, name); all from memory.
const LOOKALIKES: [(usize, &[u8], &str); 14] = [
    (8, b"AIFF", "an AIFF file"),
    (8, b"AIFC", "an AIFF-C file"),
    (8, b"AVI ", "an AVI file"),
    (4, b"ftyp", "an MP4 or QuickTime file"),
    (4, b"moov", "a QuickTime file"),
    (4, b"mdat", "a QuickTime file"),
    (0, b"riff\x2e\x91\xcf\x11", "a Wave64 file"),
    (0, b"OggS", "an Ogg file"),
    (0, b"fLaC", "a FLAC file"),
    (0, b"caff", "a CAF file"),
    (0, b"ID3", "an MP3 file"),
    (0, b"\x1a\x45\xdf\xa3", "a Matroska file"),
    (0, b"PK\x03\x04", "a ZIP archive"),
    (0, b"%PDF", "a PDF"),
];

impl Opening {
    /// From the first bytes of a file; no more than are shown are kept.
    pub fn new(bytes: &[u8]) -> Self {
        let shown = bytes.iter().copied().take(OPENING_SHOWN).collect();
        Self { bytes: shown }
    }

    /// The bytes themselves.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// What kind of file begins like this, where that is known: "an Ogg file".
    pub fn looks_like(&self) -> Option<&'static str> {
        if !self.bytes.is_empty() && self.bytes.iter().all(|&byte| byte == 0) {
            return Some("a file that was set aside but never written");
        }
        LOOKALIKES
            .iter()
            .find(|(offset, magic, _)| {
                let tail = self.bytes.get(*offset..);
                tail.is_some_and(|tail| tail.starts_with(magic))
            })
            .map(|&(_, _, name)| name)
    }

    /// The bytes as text, where they are text (the last character may be cut).
    fn text(&self) -> Option<&str> {
        let text = match std::str::from_utf8(&self.bytes) {
            Ok(text) => text,
            Err(error) if error.error_len().is_none() => {
                let whole = self.bytes.get(..error.valid_up_to())?;
                std::str::from_utf8(whole).ok()?
            }
            Err(_) => return None,
        };
        let line = text.lines().next()?;
        let is_text = !line.is_empty() && !line.chars().any(|c| c.is_control() && c != '\t');
        is_text.then_some(line)
    }
}

impl fmt::Display for Opening {
    /// The first line in quotes where it is text, hex where it is not, then what it looks like.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.text() {
            write!(f, "\"{line}\"")?;
        } else {
            let hex: Vec<_> = self
                .bytes
                .iter()
                .take(12)
                .map(|b| format!("{b:02X}"))
                .collect();
            write!(f, "the bytes {}", hex.join(" "))?;
        }
        match self.looks_like() {
            Some(name) => write!(f, ": {name}, not RIFF/WAVE"),
            None => write!(f, ", which is not RIFF/WAVE"),
        }
    }
}
