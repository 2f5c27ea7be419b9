//! Which way code runs.

/// Which way code runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Direction {
    /// Bit 0 comes first.
    Forward,
    /// Bit 79 comes first: sound played backwards.
    Reverse,
}
