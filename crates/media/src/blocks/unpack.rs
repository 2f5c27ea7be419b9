//! Bytes to floating point. Full scale is 1.0; integers are exact up to 24 bits.

use crate::{ByteOrder, Encoding, SampleFormat};

/// The samples of the channel that stands `offset` bytes into each sample frame.
pub(super) fn channel(
    format: SampleFormat,
    bytes: &[u8],
    bytes_per_frame: usize,
    offset: usize,
    out: &mut [f32],
) {
    let place = Place {
        bytes_per_frame,
        offset,
    };
    match format.order() {
        ByteOrder::Little => little(format.encoding(), bytes, place, out),
        ByteOrder::Big => big(format.encoding(), bytes, place, out),
    }
}

fn little(encoding: Encoding, bytes: &[u8], place: Place, out: &mut [f32]) {
    match encoding {
        Encoding::U8 => each(bytes, place, out, u8_sample),
        Encoding::S8 => each(bytes, place, out, s8),
        Encoding::S16 => each(bytes, place, out, s16),
        Encoding::S24 if place.bytes_per_frame == 3 => s24_mono(bytes, out),
        Encoding::S24 => s24_among(bytes, place, out, ByteOrder::Little),
        Encoding::S32 => each(bytes, place, out, s32),
        Encoding::F32 => each(bytes, place, out, f32::from_le_bytes),
        Encoding::F64 => each(bytes, place, out, f64_sample),
    }
}

fn big(encoding: Encoding, bytes: &[u8], place: Place, out: &mut [f32]) {
    match encoding {
        Encoding::U8 => each(bytes, place, out, u8_sample),
        Encoding::S8 => each(bytes, place, out, s8),
        Encoding::S16 => each(bytes, place, out, |field| s16(turned(field))),
        Encoding::S24 if place.bytes_per_frame == 3 => {
            each(bytes, place, out, |field| s24(turned(field)));
        }
        Encoding::S24 => s24_among(bytes, place, out, ByteOrder::Big),
        Encoding::S32 => each(bytes, place, out, |field| s32(turned(field))),
        Encoding::F32 => each(bytes, place, out, f32::from_be_bytes),
        Encoding::F64 => each(bytes, place, out, |field| f64_sample(turned(field))),
    }
}

fn turned<const N: usize>(mut field: [u8; N]) -> [u8; N] {
    field.reverse();
    field
}

/// Where a channel stands.
#[derive(Clone, Copy)]
struct Place {
    bytes_per_frame: usize,
    offset: usize,
}

/// One sample out of every sample frame; one after the other where there is one channel.
fn each<const N: usize>(
    bytes: &[u8],
    place: Place,
    out: &mut [f32],
    sample: impl Fn([u8; N]) -> f32,
) {
    if place.bytes_per_frame == N {
        let (fields, _) = bytes.as_chunks::<N>();
        for (out, &field) in out.iter_mut().zip(fields) {
            *out = sample(field);
        }
        return;
    }
    for (out, frame) in out
        .iter_mut()
        .zip(bytes.chunks_exact(place.bytes_per_frame))
    {
        let field = frame
            .get(place.offset..)
            .and_then(|tail| tail.first_chunk());
        *out = field.map_or(0.0, |&field| sample(field));
    }
}

fn u8_sample([byte]: [u8; 1]) -> f32 {
    (f32::from(byte) - 128.0) / 128.0
}

fn s8([byte]: [u8; 1]) -> f32 {
    f32::from(byte.cast_signed()) / 128.0
}

fn s16(field: [u8; 2]) -> f32 {
    f32::from(i16::from_le_bytes(field)) / 32_768.0
}

fn s24([a, b, c]: [u8; 3]) -> f32 {
    s32([0, a, b, c])
}

fn s32(field: [u8; 4]) -> f32 {
    top_aligned(i32::from_le_bytes(field))
}

fn f64_sample(field: [u8; 8]) -> f32 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "what does not fit becomes infinite"
    )]
    let sample = f64::from_le_bytes(field) as f32;
    sample
}

/// A sample that stands at the top of 32 bits.
fn top_aligned(sample: i32) -> f32 {
    sample as f32 / 2_147_483_648.0
}

/// Sixteen samples at a time: first all are shifted to the top of words of their own, then all
/// are converted, which a processor does several at a time. Twice as fast as one by one.
fn s24_mono(bytes: &[u8], out: &mut [f32]) {
    let (groups, rest) = bytes.as_chunks::<48>();
    let (outs, out_rest) = out.as_chunks_mut::<16>();
    for (out, group) in outs.iter_mut().zip(groups) {
        let (fours, _) = group.as_chunks::<12>();
        let mut tops = [[0; 4]; 4];
        for (tops, four) in tops.iter_mut().zip(fours) {
            *tops = four_tops(four);
        }
        let (out, _) = out.as_chunks_mut::<4>();
        for (out, tops) in out.iter_mut().zip(tops) {
            *out = tops.map(|top| top_aligned((top & 0xFFFF_FF00).cast_signed()));
        }
    }
    let (fields, _) = rest.as_chunks::<3>();
    for (out, &field) in out_rest.iter_mut().zip(fields) {
        *out = s24(field);
    }
}

/// One sample out of every sample frame of several, each fetched as a word with a byte of its
/// neighbour's, the next one's if there is one. Twice as fast as byte by byte.
fn s24_among(bytes: &[u8], place: Place, out: &mut [f32], order: ByteOrder) {
    let has_next = place.offset + 4 <= place.bytes_per_frame;
    let word = Place {
        offset: place.offset - usize::from(!has_next),
        ..place
    };
    match (order, has_next) {
        (ByteOrder::Little, true) => each(bytes, word, out, |field| {
            of_lower(i32::from_le_bytes(field))
        }),
        (ByteOrder::Little, false) => each(bytes, word, out, |field| {
            of_upper(i32::from_le_bytes(field))
        }),
        (ByteOrder::Big, true) => each(bytes, word, out, |field| {
            of_upper(i32::from_be_bytes(field))
        }),
        (ByteOrder::Big, false) => each(bytes, word, out, |field| {
            of_lower(i32::from_be_bytes(field))
        }),
    }
}

/// The sample in the lower 24 bits of a word.
fn of_lower(word: i32) -> f32 {
    top_aligned(word << 8)
}

/// The sample in the upper 24 bits of a word.
fn of_upper(word: i32) -> f32 {
    top_aligned(word & !0xFF)
}

/// Four samples out of three words, each at the top of its own; the low eight bits are its
/// neighbour's.
fn four_tops(four: &[u8; 12]) -> [u32; 4] {
    let ([first, second, third], _) = four.as_chunks::<4>() else {
        return [0; 4];
    };
    let [first, second, third] = [first, second, third].map(|word| u32::from_le_bytes(*word));
    [
        first << 8,
        first >> 16 | second << 16,
        second >> 8 | third << 24,
        third,
    ]
}

/// Makes samples that are not finite 0; how many there were, and the first one's place.
pub(super) fn silence_non_finite(samples: &mut [f32]) -> (u64, Option<usize>) {
    // Without a way out of the loop it is done many at a time; nearly always there are none.
    let none = samples
        .iter()
        .fold(true, |none, sample| none & sample.is_finite());
    if none {
        return (0, None);
    }
    let first = samples.iter().position(|sample| !sample.is_finite());
    let mut count = 0;
    for sample in samples.iter_mut().filter(|sample| !sample.is_finite()) {
        *sample = 0.0;
        count += 1;
    }
    (count, first)
}
