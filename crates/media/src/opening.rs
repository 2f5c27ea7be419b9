//! How a file begins that is not read.

use std::fmt;

use crate::limits::OPENING_SHOWN;

/// The first bytes of a file that is not read, and what they say it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opening {
    bytes: Vec<u8>,
}

/// What other files begin with (offset, bytes, name); all from memory.
const LOOKALIKES: [(usize, &[u8], &str); 13] = [
    (8, b"AVI ", "an AVI file"),
    (8, b"WEBP", "a picture"),
    (0, b"riff\x2e\x91\xcf\x11", "a Wave64 file"),
    (0, b"\x06\x0e\x2b\x34", "an MXF file"),
    (0, b"#!AMR", "an AMR voice memo"),
    (0, b"0&\xb2u\x8ef\xcf\x11", "a Windows Media file"),
    (0, b"\xff\xd8\xff", "a JPEG picture"),
    (0, b"\x89PNG", "a PNG picture"),
    (0, b"PK\x03\x04", "a ZIP archive"),
    (0, b"%PDF", "a PDF"),
    (0, b"Rar!", "a RAR archive"),
    (0, b"\x1f\x8b", "a gzip archive"),
    (0, b"<?xml", "an XML file"),
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
            Some(name) => write!(f, ": {name}, which is not read here"),
            None => write!(f, ", as no recording does that is read here"),
        }
    }
}
