//! What lies over code that edges do not show.

/// What lies over a codeword that was weighed: the most of what is heard, in the two or three
/// seconds around it, beside the code.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disturbance {
    /// What it is.
    pub cause: Cause,
    /// Its mean square over that of the code in dB, both up to half the sample rate. White noise
    /// at a signal-to-noise ratio of -3 dB is 3 dB over the code.
    pub over_code: f32,
}

/// What can lie over code.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cause {
    /// Noise that goes on alike: of an input that is turned up, or of a weak signal.
    Noise,
    /// Hum: most of it stands at multiples of the mains frequency.
    Hum(Mains),
    /// Clicks.
    Clicks {
        /// How many were taken out, a second.
        per_second: f32,
    },
    /// What swells and fades as speech and music do: another sound.
    Sound,
}

/// How fast the mains alternates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mains {
    /// 50 Hz.
    Hertz50,
    /// 60 Hz.
    Hertz60,
}

impl Mains {
    /// In hertz.
    pub const fn hertz(self) -> f64 {
        match self {
            Self::Hertz50 => 50.0,
            Self::Hertz60 => 60.0,
        }
    }
}
