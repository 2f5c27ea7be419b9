//! Bytes to text: what recorders write as iXML. And some of the text back to bytes.

use std::borrow::Cow;
use std::ops::Range;

/// How the text is written, after a byte-order mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Encoding {
    Utf8,
    Latin1,
    Utf16(ByteOrder),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum ByteOrder {
    Little,
    Big,
}

/// UTF-16 where a byte-order mark says so, UTF-8 where it is that, Latin-1 otherwise; without the
/// byte-order mark and the zero bytes that some recorders fill up with.
pub(super) fn decode(content: &[u8]) -> Cow<'_, str> {
    let (encoding, mark) = encoding(content);
    let used = used(content.get(mark..).unwrap_or_default());
    match encoding {
        Encoding::Utf8 => String::from_utf8_lossy(used),
        Encoding::Latin1 => used.iter().copied().map(char::from).collect(),
        Encoding::Utf16(order) => {
            let content = content.get(mark..).unwrap_or_default();
            Cow::Owned(utf16(content, order))
        }
    }
}

/// Where ranges of the decoded text stand among the bytes; they are in order. Each comes with what
/// stands for it, written as the rest of the text is.
pub(super) fn encode(
    content: &[u8],
    changes: impl IntoIterator<Item = (Range<usize>, String)>,
) -> Vec<(Range<usize>, Vec<u8>)> {
    let text = decode(content);
    let (encoding, mark) = encoding(content);
    let (mut in_text, mut in_bytes) = (0, mark);
    // Each place is counted from the one before, so that many changes cost no more than one.
    let mut place = |at: usize| {
        let between = text.get(in_text..at).unwrap_or_default();
        in_bytes += encoding.len(between);
        in_text = at;
        in_bytes
    };
    let encoded = changes.into_iter().map(|(range, to)| {
        let range = place(range.start)..place(range.end);
        (range, encoding.bytes(&to))
    });
    encoded.collect()
}

fn encoding(content: &[u8]) -> (Encoding, usize) {
    let mark = match content {
        [0xFF, 0xFE, ..] => return (Encoding::Utf16(ByteOrder::Little), 2),
        [0xFE, 0xFF, ..] => return (Encoding::Utf16(ByteOrder::Big), 2),
        [0xEF, 0xBB, 0xBF, ..] => 3,
        _ => 0,
    };
    let text = used(content.get(mark..).unwrap_or_default());
    match std::str::from_utf8(text) {
        Ok(_) => (Encoding::Utf8, mark),
        Err(_) => (Encoding::Latin1, mark),
    }
}

/// Without the zero bytes at the end.
fn used(content: &[u8]) -> &[u8] {
    let last = content.iter().rposition(|&byte| byte != 0);
    content
        .get(..last.map_or(0, |last| last + 1))
        .unwrap_or_default()
}

impl Encoding {
    /// How many bytes a text takes that was decoded from this.
    fn len(self, text: &str) -> usize {
        match self {
            Self::Utf8 => text.len(),
            Self::Latin1 => text.chars().count(),
            // What was no character was read as one that takes as much.
            Self::Utf16(_) => 2 * text.encode_utf16().count(),
        }
    }

    /// A text in it; what Latin-1 has not is written as XML's number for it.
    fn bytes(self, text: &str) -> Vec<u8> {
        match self {
            Self::Utf8 => text.as_bytes().to_vec(),
            Self::Latin1 => text
                .chars()
                .flat_map(|character| match u8::try_from(character) {
                    Ok(byte) => vec![byte],
                    Err(_) => format!("&#{};", u32::from(character)).into_bytes(),
                })
                .collect(),
            Self::Utf16(ByteOrder::Little) => {
                text.encode_utf16().flat_map(u16::to_le_bytes).collect()
            }
            Self::Utf16(ByteOrder::Big) => text.encode_utf16().flat_map(u16::to_be_bytes).collect(),
        }
    }
}

fn utf16(content: &[u8], order: ByteOrder) -> String {
    let (units, _odd) = content.as_chunks::<2>();
    let unit = match order {
        ByteOrder::Little => u16::from_le_bytes,
        ByteOrder::Big => u16::from_be_bytes,
    };
    let units: Vec<_> = units.iter().map(|&bytes| unit(bytes)).collect();
    let text = String::from_utf16_lossy(&units);
    text.trim_end_matches('\0').to_owned()
}
