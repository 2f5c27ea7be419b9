//! Moments that somebody noted while listening.

use crate::lineup::place::timebase;
use plumbline_timecode::{TimeAddress, Timebase};
use serde::{Deserialize, Serialize};

/// A moment that somebody noted.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Mark {
    /// The time address.
    pub address: String,
    /// The rate of the code, by name.
    pub rate: String,
    /// Whether it counts drop-frame.
    pub drop_frame: bool,
    /// What was heard: "channel 1", "the clock that is held".
    pub heard: String,
    /// The device's own date and time: "2026-11-28 18:04:05".
    pub made: String,
    /// What was noted.
    pub word: String,
    /// The scene.
    pub scene: String,
    /// The take.
    pub take: String,
}

impl Mark {
    /// Its address, and how that counts; none where it names no frame.
    pub(crate) fn at(&self) -> Option<(Timebase, TimeAddress)> {
        let timebase = timebase(&self.rate, self.drop_frame)?;
        let address = TimeAddress::parse(&self.address, timebase.count()).ok()?;
        Some((timebase, address))
    }

    /// Scene, take and word, as far as they were noted, else its address.
    pub(crate) fn title(&self) -> String {
        let noted: Vec<&str> = [&self.scene, &self.take, &self.word]
            .into_iter()
            .map(String::as_str)
            .filter(|text| !text.is_empty())
            .collect();
        if noted.is_empty() {
            self.address.clone()
        } else {
            noted.join(" · ")
        }
    }
}
