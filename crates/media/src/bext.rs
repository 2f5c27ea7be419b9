//! bext: the broadcast extension (EBU Tech 3285 version 2, clause 2.3).

use std::fmt;

use crate::wav::Fields;

/// What a recorder writes down beside the sound, versions 0 to 2.
///
/// Texts are as they stand in the file up to the first zero byte: UTF-8 where they are that,
/// Latin-1 otherwise (the document allows ASCII only; recorders write more).
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Bext {
    /// Free text; some recorders put scene, take and rate here in a form of their own.
    pub description: String,
    /// Who or what made the file.
    pub originator: String,
    /// The originator's own name for the file.
    pub originator_reference: String,
    /// `yyyy-mm-dd`, as it stands.
    pub origination_date: String,
    /// `hh-mm-ss` with any separator, as it stands.
    pub origination_time: String,
    /// The first sample, counted from midnight at the file's own sample rate.
    pub time_reference: u64,
    /// The version of the chunk: 0, 1 or 2.
    pub version: u16,
    /// The SMPTE ST 330 identifier, from version 1 on, where it is not all zeros.
    pub umid: Option<[u8; 64]>,
    /// Loudness, from version 2 on.
    pub loudness: Option<Loudness>,
    /// How the sound was coded at each step: lines that end in CR LF.
    pub coding_history: String,
}

/// The loudness of a whole file (EBU R 128); a value that was not measured is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Loudness {
    /// Integrated loudness in LUFS.
    pub integrated: Option<Hundredths>,
    /// Loudness range in LU.
    pub range: Option<Hundredths>,
    /// Highest true peak in dBTP.
    pub max_true_peak: Option<Hundredths>,
    /// Highest momentary loudness in LUFS.
    pub max_momentary: Option<Hundredths>,
    /// Highest short-term loudness in LUFS.
    pub max_short_term: Option<Hundredths>,
}

/// Hundredths of a unit, as loudness is written: -2300 is -23.00.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hundredths(pub i16);

impl Hundredths {
    /// What stands where nothing was measured.
    const UNUSED: i16 = 0x7FFF;

    const fn used(value: i16) -> Option<Self> {
        if value == Self::UNUSED {
            None
        } else {
            Some(Self(value))
        }
    }

    const fn raw(value: Option<Self>) -> i16 {
        match value {
            Some(Self(value)) => value,
            None => Self::UNUSED,
        }
    }
}

impl fmt::Display for Hundredths {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let size = self.0.unsigned_abs();
        write!(f, "{sign}{}.{:02}", size / 100, size % 100)
    }
}

impl Bext {
    /// How many bytes stand before the coding history.
    pub(crate) const FIXED: usize = 602;

    /// From the chunk's content; what a short chunk leaves out is empty. None where even the
    /// time reference is missing.
    pub(crate) fn read(content: &[u8]) -> Option<Self> {
        let mut fields = Fields::new(content);
        let mut bext = Self {
            description: text(fields.up_to(256)),
            originator: text(fields.up_to(32)),
            originator_reference: text(fields.up_to(32)),
            origination_date: text(fields.up_to(10)),
            origination_time: text(fields.up_to(8)),
            // The low word stands first, so both together are one little-endian number.
            time_reference: fields.u64()?,
            version: fields.u16().unwrap_or(0),
            ..Self::default()
        };
        let umid = fields.array::<64>().filter(|umid| umid != &[0; 64]);
        bext.umid = umid.filter(|_| bext.version >= 1);
        bext.loudness = Loudness::read(&mut fields).filter(|_| bext.version >= 2);
        bext.coding_history = text(content.get(Self::FIXED..).unwrap_or_default());
        Some(bext)
    }

    /// The chunk's content. Texts that are too long are cut at a whole character.
    pub(crate) fn content(&self) -> Vec<u8> {
        let mut content = Vec::with_capacity(Self::FIXED + self.coding_history.len());
        put(&mut content, &self.description, 256);
        put(&mut content, &self.originator, 32);
        put(&mut content, &self.originator_reference, 32);
        put(&mut content, &self.origination_date, 10);
        put(&mut content, &self.origination_time, 8);
        content.extend(self.time_reference.to_le_bytes());
        content.extend(self.version.to_le_bytes());
        content.extend(self.umid.unwrap_or([0; 64]));
        let loudness = self.loudness.map(Loudness::raw).unwrap_or_default();
        content.extend(loudness.into_iter().flat_map(i16::to_le_bytes));
        content.resize(Self::FIXED, 0);
        content.extend(self.coding_history.as_bytes());
        content
    }
}

impl Loudness {
    fn read(fields: &mut Fields) -> Option<Self> {
        Some(Self {
            integrated: Hundredths::used(fields.i16()?),
            range: Hundredths::used(fields.i16()?),
            max_true_peak: Hundredths::used(fields.i16()?),
            max_momentary: Hundredths::used(fields.i16()?),
            max_short_term: Hundredths::used(fields.i16()?),
        })
    }

    fn raw(self) -> [i16; 5] {
        [
            self.integrated,
            self.range,
            self.max_true_peak,
            self.max_momentary,
            self.max_short_term,
        ]
        .map(Hundredths::raw)
    }
}

/// A text field: up to the first zero byte; UTF-8 where it is that, Latin-1 otherwise.
fn text(field: &[u8]) -> String {
    let used = field.split(|&byte| byte == 0).next().unwrap_or_default();
    match std::str::from_utf8(used) {
        Ok(text) => text.to_owned(),
        // A writer that fills the field to the brim may have cut its last character.
        Err(error) if error.error_len().is_none() && used.len() == field.len() => {
            let whole = used.get(..error.valid_up_to()).unwrap_or_default();
            String::from_utf8_lossy(whole).into_owned()
        }
        Err(_) => used.iter().copied().map(char::from).collect(),
    }
}

fn put(content: &mut Vec<u8>, text: &str, len: usize) {
    let end = content.len() + len;
    let fits = text.floor_char_boundary(len);
    content.extend(text.bytes().take(fits));
    content.resize(end, 0);
}
