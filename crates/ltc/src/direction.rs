//! Which way code runs.

/// Which way code runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Direction {
    /// Bit 0 comes first.
    Forward,
    /// Bit 79 comes first: sound played backwards.
    Reverse,
}

impl Direction {
    /// Both of them.
    pub(crate) const EITHER: [Self; 2] = [Self::Forward, Self::Reverse];

    /// The other one.
    ///
    /// ```
    /// use plumbline_ltc::Direction;
    /// assert_eq!(Direction::Forward.turned(), Direction::Reverse);
    /// assert_eq!(Direction::Reverse.turned(), Direction::Forward);
    /// ```
    #[must_use]
    pub const fn turned(self) -> Self {
        match self {
            Self::Forward => Self::Reverse,
            Self::Reverse => Self::Forward,
        }
    }
}
