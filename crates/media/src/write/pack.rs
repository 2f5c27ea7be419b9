//! Floating point to bytes.

use crate::Encoding;

/// Whether a sample fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fit {
    Whole,
    /// It was beyond full scale.
    Clipped,
}

/// Adds one sample.
pub(super) fn push(encoding: Encoding, sample: f32, bytes: &mut Vec<u8>) -> Fit {
    let sample = if sample.is_nan() { 0.0 } else { sample };
    match encoding {
        Encoding::F32 => bytes.extend(sample.to_le_bytes()),
        Encoding::F64 => bytes.extend(f64::from(sample).to_le_bytes()),
        Encoding::U8 | Encoding::S16 | Encoding::S24 | Encoding::S32 => {
            return push_integer(encoding, sample, bytes);
        }
    }
    Fit::Whole
}

fn push_integer(encoding: Encoding, sample: f32, bytes: &mut Vec<u8>) -> Fit {
    let full_scale = f64::from(encoding.bits() - 1).exp2();
    let nearest = (f64::from(sample) * full_scale).round();
    let range = -full_scale..=full_scale - 1.0;
    let clamped = nearest.clamp(*range.start(), *range.end());
    #[expect(
        clippy::cast_possible_truncation,
        reason = "clamped to 32 bits or fewer"
    )]
    let [a, b, c, d] = (clamped as i32).to_le_bytes();
    match encoding {
        // Unsigned, 128 is silence.
        Encoding::U8 => bytes.push(a ^ 0x80),
        Encoding::S16 => bytes.extend([a, b]),
        Encoding::S24 => bytes.extend([a, b, c]),
        _ => bytes.extend([a, b, c, d]),
    }
    if range.contains(&nearest) {
        Fit::Whole
    } else {
        Fit::Clipped
    }
}
