//! Floating point to bytes.

use crate::Encoding;

/// The bytes of a block, in place of what was there: of each frame the channels one after the
/// other. All channels are of one length.
///
/// [`Writer`](super::Writer) does this for a recording whose length is known. Where it is not, the
/// bytes go first, and [`Recording::header`](super::Recording::header) is put before them at the
/// end.
///
/// ```
/// use plumbline_media::{Encoding, write::pack};
/// let mut bytes = Vec::new();
/// pack(Encoding::S16, &[&[0.5, -1.0], &[0.0, 1.0]], &mut bytes);
/// assert_eq!(bytes, [0, 0x40, 0, 0, 0, 0x80, 0xFF, 0x7F]);
/// ```
pub fn pack(encoding: Encoding, block: &[&[f32]], bytes: &mut Vec<u8>) {
    match encoding {
        // Eight bits are unsigned in a WAV; 128 is silence.
        Encoding::U8 | Encoding::S8 => each(block, bytes, |sample| {
            let [a, ..] = whole::<8>(sample).to_le_bytes();
            [a ^ 0x80]
        }),
        Encoding::S16 => each(block, bytes, |sample| {
            let [a, b, ..] = whole::<16>(sample).to_le_bytes();
            [a, b]
        }),
        Encoding::S24 => each(block, bytes, |sample| {
            let [a, b, c, _] = whole::<24>(sample).to_le_bytes();
            [a, b, c]
        }),
        Encoding::S32 => each(block, bytes, |sample| whole::<32>(sample).to_le_bytes()),
        Encoding::F32 => each(block, bytes, |sample| number(sample).to_le_bytes()),
        Encoding::F64 => each(block, bytes, |sample| {
            f64::from(number(sample)).to_le_bytes()
        }),
    }
}

/// Every sample as `field` writes it.
fn each<const N: usize>(block: &[&[f32]], bytes: &mut Vec<u8>, field: impl Fn(f32) -> [u8; N]) {
    let samples: usize = block.iter().map(|channel| channel.len()).sum();
    bytes.resize(samples * N, 0);
    let (fields, _) = bytes.as_chunks_mut::<N>();
    for (number, channel) in block.iter().enumerate() {
        for (frame, &sample) in fields.chunks_exact_mut(block.len()).zip(*channel) {
            if let Some(out) = frame.get_mut(number) {
                *out = field(sample);
            }
        }
    }
}

/// The nearest whole number where `BITS` bits are full scale, of two as near the even one. What
/// is beyond is clipped.
fn whole<const BITS: u32>(sample: f32) -> i32 {
    // So large that the lowest bit of a sum is worth 1, and its low half is the whole number:
    // rounding by a sum is one instruction everywhere, which rounding itself is not.
    const ROUNDER: f64 = 1.5 * (1_u64 << 52) as f64;
    let largest = f64::from(i32::MAX >> (32 - BITS));
    let scaled = f64::from(number(sample)) * (largest + 1.0);
    let sum = scaled.clamp(-largest - 1.0, largest) + ROUNDER;
    let [a, b, c, d, ..] = sum.to_le_bytes();
    i32::from_le_bytes([a, b, c, d])
}

fn number(sample: f32) -> f32 {
    if sample.is_nan() { 0.0 } else { sample }
}

/// How many samples of a block are beyond full scale. In floating point none are.
pub(super) fn clipped(encoding: Encoding, block: &[&[f32]]) -> u64 {
    if encoding.is_float() {
        return 0;
    }
    let half_a_step = (-f32::from(encoding.bits())).exp2();
    let is_beyond = |&sample: &f32| sample >= 1.0 - half_a_step || sample < -1.0 - half_a_step;
    // Counted in as many bits as samples have, several at a time; so not too many of them.
    let pieces = block.iter().flat_map(|channel| channel.chunks(1 << 16));
    pieces
        .map(|piece| piece.iter().map(|s| u32::from(is_beyond(s))).sum::<u32>())
        .map(u64::from)
        .sum()
}
