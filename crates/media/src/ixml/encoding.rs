//! Bytes to text: what recorders write as iXML.

use std::borrow::Cow;

/// UTF-16 where a byte-order mark says so, UTF-8 where it is that, Latin-1 otherwise; without the
/// byte-order mark and the zero bytes that some recorders fill up with.
pub(super) fn decode(content: &[u8]) -> Cow<'_, str> {
    match content {
        [0xFF, 0xFE, rest @ ..] => Cow::Owned(utf16(rest, u16::from_le_bytes)),
        [0xFE, 0xFF, rest @ ..] => Cow::Owned(utf16(rest, u16::from_be_bytes)),
        [0xEF, 0xBB, 0xBF, rest @ ..] => eight_bit(rest),
        _ => eight_bit(content),
    }
}

fn eight_bit(content: &[u8]) -> Cow<'_, str> {
    let used = content
        .iter()
        .rposition(|&byte| byte != 0)
        .map_or(0, |last| last + 1);
    let content = content.get(..used).unwrap_or_default();
    match std::str::from_utf8(content) {
        Ok(text) => Cow::Borrowed(text),
        Err(_) => content.iter().copied().map(char::from).collect(),
    }
}

fn utf16(content: &[u8], unit: fn([u8; 2]) -> u16) -> String {
    let (units, _odd) = content.as_chunks::<2>();
    let units: Vec<_> = units.iter().map(|&bytes| unit(bytes)).collect();
    let text = String::from_utf16_lossy(&units);
    text.trim_end_matches('\0').to_owned()
}
