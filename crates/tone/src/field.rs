//! The fields of the settings, by name.

use plumbline_words::{Note, Problem};

/// A field of [`Settings`](crate::Settings): where a note or a problem stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Field {
    Rate,
    Counting,
    Start,
    Until,
    Length,
    Last,
    UserBitsAre,
    UserBits,
    Characters,
    Date,
    Spare,
    Zone,
    ColourFrame,
    ClockTime,
    Takes,
    Silence,
    Jump,
    SampleRate,
    Samples,
    Level,
    RiseTime,
    Polarity,
    Beside,
}

impl Field {
    /// Its name in the settings.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Rate => "rate",
            Self::Counting => "counting",
            Self::Start => "start",
            Self::Until => "until",
            Self::Length => "length",
            Self::Last => "last",
            Self::UserBitsAre => "user_bits_are",
            Self::UserBits => "user_bits",
            Self::Characters => "characters",
            Self::Date => "date",
            Self::Spare => "spare",
            Self::Zone => "zone",
            Self::ColourFrame => "colour_frame",
            Self::ClockTime => "clock_time",
            Self::Takes => "takes",
            Self::Silence => "silence",
            Self::Jump => "jump",
            Self::SampleRate => "sample_rate",
            Self::Samples => "samples",
            Self::Level => "level",
            Self::RiseTime => "rise_time",
            Self::Polarity => "polarity",
            Self::Beside => "beside",
        }
    }

    /// What is wrong with it, and what would be right.
    pub(crate) fn problem(self, text: impl Into<String>, remedy: impl Into<String>) -> Problem {
        Problem {
            field: self.name().to_owned(),
            text: text.into(),
            remedy: remedy.into(),
        }
    }

    /// What its setting means.
    pub(crate) fn note(self, text: impl Into<String>) -> Note {
        Note {
            field: self.name().to_owned(),
            text: text.into(),
        }
    }
}
