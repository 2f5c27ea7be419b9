//! What a person changes by hand. It is kept as it was typed, apart from what was measured.

use crate::mark::Mark;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// All that was changed by hand in a shoot.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(default)]
pub struct Corrections {
    /// Names of devices, by the device's key.
    #[cfg_attr(feature = "page", tsify(type = "Record<string, string>"))]
    pub names: BTreeMap<String, String>,
    /// What was changed of recordings, by the recording's key.
    #[cfg_attr(feature = "page", tsify(type = "Record<string, Correction>"))]
    pub recordings: BTreeMap<String, Correction>,
    /// Moments that somebody noted.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<Mark>,
}

/// What was changed of one recording; what is empty was left alone.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(default)]
pub struct Correction {
    /// The key of the device that made it, or the name of a new one.
    pub device: String,
    /// The address at its first sample.
    pub start: String,
    /// By how much it is moved, later is positive: frames, `2`, or samples, `240 samples`.
    pub nudge: String,
    /// The frame rate: `25`, `29.97 drop-frame`.
    pub rate: String,
    /// The reel.
    pub reel: String,
}

/// Nothing was changed.
static NONE: Correction = Correction {
    device: String::new(),
    start: String::new(),
    nudge: String::new(),
    rate: String::new(),
    reel: String::new(),
};

impl Corrections {
    pub(crate) fn of(&self, key: &str) -> &Correction {
        self.recordings.get(key).unwrap_or(&NONE)
    }
}

impl Correction {
    pub(crate) fn reel(&self) -> Option<String> {
        said(&self.reel)
    }

    pub(crate) fn device(&self) -> Option<String> {
        said(&self.device)
    }
}

fn said(typed: &str) -> Option<String> {
    let typed = typed.trim();
    (!typed.is_empty()).then(|| typed.to_owned())
}
