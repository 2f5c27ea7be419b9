//! What lining up says.

use std::fmt;

use crate::{Measured, PartsPerMillion, Seconds};

/// What came of lining up two recordings by their sound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// They heard the same, and this is the time between them.
    Found(Found),
    /// There is no answer that is sure enough.
    Refused(Refusal),
}

/// The time between two recordings.
///
/// What the second recording has at `t` of its own clock, the first one has at
/// `t + offset_at(t)` of its clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// How long after the first recording's first sample the second one's first sample is, by the
    /// first one's clock. Below 0 if it is before.
    ///
    /// Where the two overlap only far from that sample, the drift's uncertainty is in it.
    pub offset: Measured<Seconds>,
    /// How much faster the first recording's clock runs than the second one's.
    pub drift: Measured<PartsPerMillion>,
    /// The odds against so many windows agreeing by chance, as a power of ten.
    pub odds_log10: f64,
    /// Windows of sound that agree.
    pub windows: usize,
    /// Windows that were looked at.
    pub windows_of: usize,
    /// Which way up the two are to each other.
    pub polarity: Polarity,
    /// The first moment that was compared, by the second recording's clock.
    pub from: Seconds,
    /// The last.
    pub to: Seconds,
    pub(crate) middle: f64,
    pub(crate) middle_offset: f64,
    pub(crate) middle_sigma: f64,
}

/// Which way up two recordings of the same sound are to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Polarity {
    /// Both rise when the other does.
    Same,
    /// One falls when the other rises: a cable or a microphone with its poles swapped.
    Opposite,
}

/// Why there is no answer.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Refusal {
    /// A recording has hardly any sound in it.
    TooQuiet(Which),
    /// A recording is shorter than can be lined up, or what is believed leaves less to overlap.
    TooShort {
        /// How much could overlap.
        overlap: Seconds,
        /// How much is needed.
        needed: Seconds,
    },
    /// At no offset do they fit better than chance makes them.
    NothingStandsOut,
    /// They fit at more than one offset, and nothing tells which is the right one.
    PlacesAlike {
        /// One.
        one: Seconds,
        /// Another.
        other: Seconds,
    },
    /// The courses of their sound fit, but the sound itself does not.
    WindowsDisagree {
        /// Where.
        offset: Seconds,
        /// Windows that agree.
        agree: usize,
        /// Windows that were looked at.
        of: usize,
    },
}

/// One of two recordings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// The first.
    First,
    /// The second.
    Second,
}

impl Found {
    /// How long after it the first recording's clock shows what the second one has at `second` of
    /// its own clock, less `second`.
    #[must_use]
    pub fn offset_at(&self, second: Seconds) -> Measured<Seconds> {
        let away = second.0 - self.middle;
        let drift_sigma = self.drift.sigma.0 * 1e-6;
        Measured {
            value: Seconds(self.middle_offset + self.drift.value.0 * 1e-6 * away),
            sigma: Seconds(self.middle_sigma.hypot(drift_sigma * away)),
        }
    }
}

impl Refusal {
    /// What was found, in a sentence or two.
    pub fn text(&self) -> String {
        match self {
            Self::TooQuiet(which) => format!(
                "There is hardly any sound in the {which} recording, so there is nothing to line \
                 it up by."
            ),
            Self::TooShort { overlap, needed } => format!(
                "The two can overlap by {:.1} s at most; their sound is lined up from {:.0} s on.",
                overlap.0, needed.0
            ),
            Self::NothingStandsOut => "At no offset do the two sound more alike than any two \
                recordings do somewhere. They may not overlap, or what both heard is too faint \
                beside what each heard alone."
                .into(),
            Self::PlacesAlike { one, other } => format!(
                "The two sound alike at more than one offset: at {:.2} s and at {:.2} s. Music \
                 that repeats does that, and so does a recorder that stopped and went on.",
                one.0, other.0
            ),
            Self::WindowsDisagree { offset, agree, of } => format!(
                "Near {:.2} s the two rise and fall alike, but only {agree} of {of} places in the \
                 sound agree on the time. It may be another take of the same, or one of the \
                 recorders stopped and went on.",
                offset.0
            ),
        }
    }

    /// What to do now, where the second recording can be given a place by hand.
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::TooQuiet(_) | Self::TooShort { .. } | Self::PlacesAlike { .. } => {
                "Choose another recording to line it up with, or type the address of its first \
                 frame."
            }
            Self::NothingStandsOut | Self::WindowsDisagree { .. } => {
                "Check that both are of the same take. If they are, type the address of the first \
                 frame, by something that is seen and heard in both."
            }
        }
    }
}

impl fmt::Display for Which {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::First => "first",
            Self::Second => "second",
        })
    }
}
