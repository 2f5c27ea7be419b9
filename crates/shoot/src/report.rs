//! The report that reading one recording gives: plain data, the same in Rust, in the page's JSON
//! export and in the lines that the example program prints.
//!
//! Channels count from 0; `sample` is a fractional position on the recording's own time.

use serde::Serialize;

/// What was read from one recording.
///
/// What could be read before an error stopped the reading stands beside the error.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Report {
    /// The file's name, as it was given.
    pub file: String,
    /// The container, `"wav"` for instance; none when the file could not be opened.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub container: Option<String>,
    /// Samples a second in each channel.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sample_rate: Option<u32>,
    /// Bits in a sample as stored.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bits: Option<u16>,
    /// How many channels the recording has.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub channels: Option<u16>,
    /// Samples in each channel.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub samples: Option<u64>,
    /// Start times that the file's own metadata states.
    pub embedded: Vec<Embedded>,
    /// Each channel that carries code.
    pub codes: Vec<Code>,
    /// Channels that may carry code, but not surely enough to call it read.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub suspected: Vec<Suspicion>,
    /// What stopped the reading, or cut it short.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub error: Option<ReportedError>,
}

/// A start time that the file's metadata states.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Embedded {
    /// Where it stands: `"bext"`, `"ixml"` or `"tmcd"` (a timecode track).
    pub source: String,
    /// The time address that it comes to, at the rate of the code or of the metadata;
    /// none where neither tells the rate.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub start: Option<String>,
    /// The first sample, counted in samples since midnight.
    pub samples_since_midnight: u64,
}

/// The code of one channel.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Code {
    /// The channel, counted from 0.
    pub channel: u16,
    /// The frame rate by its trade name, such as `"29.97"`.
    pub rate: String,
    /// Whether the frames are counted drop-frame.
    pub drop_frame: bool,
    /// Peak level in dB below full scale.
    pub level_dbfs: f64,
    /// The address of the frame in progress at the first sample, worked back from the code.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub start: Option<String>,
    /// The same instant, in the file's samples since midnight; what gets stamped.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub start_samples_since_midnight: Option<f64>,
    /// Codewords that were read.
    pub frames_read: u64,
    /// Codewords that should stand between the first and the last one read, and were not read.
    pub frames_lost: u64,
    /// How fast the code's clock runs against the recorder's, in parts per million.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clock_ppm: Option<f64>,
    /// One standard deviation of `clock_ppm`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clock_ppm_uncertainty: Option<f64>,
    /// Runs of codewords that count on without a break.
    pub stretches: Vec<Stretch>,
    /// What a person should know about this code.
    pub findings: Vec<Finding>,
    /// Every codeword that was read, where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub frames: Option<Vec<Frame>>,
}

/// A channel that may carry code: what all codewords together would say, and why that is not
/// enough to give a start time.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Suspicion {
    /// The channel, counted from 0.
    pub channel: u16,
    /// The address that is suspected.
    pub at: String,
    /// The place in the recording that would have it.
    pub sample: f64,
    /// The odds against any other start, if this is code, as a power of ten.
    pub odds_log10: f64,
    /// How loud all half cells are if this is right, against the synchronizing words alone: about 1
    /// if it is code.
    pub fit: f64,
    /// What, how much, and why it is not believed.
    pub text: String,
    /// What to do now.
    pub remedy: String,
}

/// A run of codewords that count on without a break.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Stretch {
    /// The first address that was read.
    pub first: String,
    /// The last address that was read.
    pub last: String,
    /// Where the first codeword's bit 0 begins.
    pub first_sample: f64,
    /// How many codewords were read in it, or speak together.
    pub frames: u64,
    /// How the codewords speak.
    pub evidence: Evidence,
    /// Where they speak together, the odds against any other start, as a power of ten.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub odds_log10: Option<f64>,
    /// Whether the code runs backwards.
    pub reverse: bool,
    /// Speed against the nominal rate, 1 being right.
    pub speed: f64,
    /// The user bits, binary group 8 first; of the first codeword where they change. None where the
    /// codewords speak together and each has others.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub user_bits: Option<String>,
}

/// How the codewords of a stretch speak.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Evidence {
    /// Each codeword was read on its own.
    Each,
    /// None was; only their sum speaks.
    Together,
}

/// Something about a recording that a person should know.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Finding {
    /// What it is.
    pub kind: FindingKind,
    /// The address at which it stands, where there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
    /// The place in the recording.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sample: Option<f64>,
    /// Its size in frames, where it has one; negative is backwards.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub frames: Option<f64>,
    /// What, how much, and why it probably happened.
    pub text: String,
    /// What to do now.
    pub remedy: String,
}

/// What a finding is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum FindingKind {
    /// Codewords are missing and the count goes on as if nothing had been.
    Dropout,
    /// The address leaps ahead.
    JumpForward,
    /// The address leaps back.
    JumpBack,
    /// The count breaks so often that the rest is not told one by one.
    ManyBreaks,
    /// The same frame number comes again and again.
    StandsStill,
    /// A codeword that counts wrong among neighbours that count right.
    DamagedCodeword,
    /// The code runs backwards.
    Reversed,
    /// The code runs faster or slower than any rate, or its speed changes.
    OffSpeed,
    /// The code counts at one rate and runs at another.
    RateAgainstCount,
    /// The drop-frame flag says one thing, the digits another.
    FlagAgainstCount,
    /// Drop-frame counting at exactly 30 frames a second.
    UnusualCount,
    /// The user bits change.
    UserBitsChange,
    /// No codeword can be read by itself, all of them together can.
    HeardTogether,
    /// The code is quiet.
    WeakLevel,
    /// The code is clipped.
    Clipped,
    /// Noise lies over the code.
    UnderNoise,
    /// Hum of the mains lies over the code.
    UnderHum,
    /// Clicks lie over the code.
    UnderClicks,
    /// Another sound lies over the code.
    UnderSound,
    /// Lossy coding left too little of the code.
    Compressed,
    /// The code of another channel leaks into this one.
    Bled,
    /// The code begins after the recording does.
    LateStart,
    /// The code ends before the recording does.
    EarlyEnd,
    /// The file's metadata and the code disagree on the start.
    EmbeddedDisagrees,
    /// The code passes midnight.
    Midnight,
    /// The file ends before its header says.
    CutOff,
}

impl FindingKind {
    /// Whether the address does not go on from where it was.
    pub(crate) fn leaps(self) -> bool {
        matches!(
            self,
            FindingKind::JumpForward | FindingKind::JumpBack | FindingKind::ManyBreaks
        )
    }

    /// The name that stands in the report.
    pub fn name(self) -> &'static str {
        match self {
            FindingKind::Dropout => "dropout",
            FindingKind::JumpForward => "jump_forward",
            FindingKind::JumpBack => "jump_back",
            FindingKind::ManyBreaks => "many_breaks",
            FindingKind::StandsStill => "stands_still",
            FindingKind::DamagedCodeword => "damaged_codeword",
            FindingKind::Reversed => "reversed",
            FindingKind::OffSpeed => "off_speed",
            FindingKind::RateAgainstCount => "rate_against_count",
            FindingKind::FlagAgainstCount => "flag_against_count",
            FindingKind::UnusualCount => "unusual_count",
            FindingKind::UserBitsChange => "user_bits_change",
            FindingKind::HeardTogether => "heard_together",
            FindingKind::WeakLevel => "weak_level",
            FindingKind::Clipped => "clipped",
            FindingKind::UnderNoise => "under_noise",
            FindingKind::UnderHum => "under_hum",
            FindingKind::UnderClicks => "under_clicks",
            FindingKind::UnderSound => "under_sound",
            FindingKind::Compressed => "compressed",
            FindingKind::Bled => "bled",
            FindingKind::LateStart => "late_start",
            FindingKind::EarlyEnd => "early_end",
            FindingKind::EmbeddedDisagrees => "embedded_disagrees",
            FindingKind::Midnight => "midnight",
            FindingKind::CutOff => "cut_off",
        }
    }
}

/// One codeword that was read.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Frame {
    /// Its address.
    pub timecode: String,
    /// Its drop-frame flag.
    pub drop_frame: bool,
    /// Where its bit 0 begins (in reverse code: the edge at which it, played backwards, ends).
    pub sample: f64,
    /// Its user bits, binary group 8 first.
    pub user_bits: String,
    /// Whether it was read backwards.
    pub reverse: bool,
}

/// What went wrong, where, and what to do.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct ReportedError {
    /// The kind of trouble: `"truncated"`, `"malformed"` and so on.
    pub kind: String,
    /// The chunk in which it was found.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// The byte at which it was found.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<u64>,
    /// What was found.
    pub text: String,
    /// What to do.
    pub remedy: String,
}
