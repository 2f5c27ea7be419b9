//! How an exact time becomes a whole number.

/// How an exact time becomes a whole number of frames, samples or nanoseconds.
///
/// A frame at 29.97 is 1601.6 samples at 48 kHz, so a sample count that was once rounded must be
/// turned back with [`Rounding::Nearest`]: rounding down gives the frame before.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Rounding {
    /// To the nearest; of two equally near the later one.
    Nearest,
    /// To the one before, also below 0.
    Down,
    /// To the one after, also below 0.
    Up,
}
