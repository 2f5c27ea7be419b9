//! What somebody asked for, in the words in which it was typed.

use plumbline_timecode::Date;
use serde::{Deserialize, Serialize};

use crate::Now;

/// Every setting of a tone, as text: what stands in the fields of the page and in a link.
///
/// Nothing here is checked: that is [`Plan::new`](crate::Plan::new)'s part, which says for each
/// field what is wrong with it. A field that is missing has its default.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Settings {
    /// Frames a second, by the rate's name: `25`.
    pub rate: String,
    /// How frames are counted: `non-drop` or `drop`.
    pub counting: String,
    /// The time address of the first codeword.
    pub start: String,
    /// What ends each take: `length` or `last`.
    pub until: String,
    /// How long a take is: `hours:minutes:seconds:frames` or shorter.
    pub length: String,
    /// The time address of the last codeword of the first take.
    pub last: String,
    /// What the user bits are: `hex`, `day-month-year`, `month-day-year`, `year-month-day`,
    /// `characters` or `date-and-zone`.
    pub user_bits_are: String,
    /// The user bits as eight hexadecimal digits, where they are `hex`.
    pub user_bits: String,
    /// The user bits as four characters, where they are `characters`.
    pub characters: String,
    /// The date `2026-11-25`, where the user bits are one. Empty until somebody knows the day.
    pub date: String,
    /// The two hexadecimal digits after a date in one of the three orders: a roll or a camera.
    pub spare: String,
    /// The offset from UTC, for a date and zone: `+01:00`.
    pub zone: String,
    /// The colour-frame flag: `set` or `clear`.
    pub colour_frame: String,
    /// Whether the address is the time of a clock, as the binary group flags say: `yes` or `no`.
    pub clock_time: String,
    /// How many takes: `1`.
    pub takes: String,
    /// The silence between two takes, in seconds.
    pub silence: String,
    /// By how far the code jumps between two takes, beyond the next address:
    /// `00:00:00:00` goes on where it stopped; a sign before it is allowed.
    pub jump: String,
    /// Samples a second: `48000`.
    pub sample_rate: String,
    /// How a sample is written: `16`, `24` or `float`.
    pub samples: String,
    /// The peak level in dBFS: `-18`.
    pub level: String,
    /// How long an edge takes from 10 to 90 %, in microseconds: `40`.
    pub rise_time: String,
    /// `upright` or `inverted`.
    pub polarity: String,
    /// What the second channel has: `nothing` (there is none), `silence`, `line-up` or `blips`.
    pub beside: String,
}

impl Default for Settings {
    fn default() -> Self {
        let text = str::to_owned;
        Self {
            rate: text("25"),
            counting: text("non-drop"),
            start: text("10:00:00:00"),
            until: text("length"),
            length: text("00:10:00:00"),
            last: text("10:09:59:24"),
            user_bits_are: text("hex"),
            user_bits: text("00000000"),
            characters: text("TONE"),
            date: String::new(),
            spare: text("00"),
            zone: text("+00:00"),
            colour_frame: text("clear"),
            clock_time: text("no"),
            takes: text("1"),
            silence: text("5"),
            jump: text("00:00:00:00"),
            sample_rate: text("48000"),
            samples: text("24"),
            level: text("-18"),
            rise_time: text("40"),
            polarity: text("upright"),
            beside: text("nothing"),
        }
    }
}

impl Settings {
    /// The defaults as somebody finds them who opens the page: with the date and the zone of
    /// that moment.
    pub fn default_at(now: Now) -> Self {
        Self {
            date: date(now).map(|date| date.to_string()).unwrap_or_default(),
            zone: now.offset().to_string(),
            ..Self::default()
        }
    }
}

/// The day by local time.
fn date(now: Now) -> Option<Date> {
    const MJD_OF_1970: i128 = 40_587;
    let days = u32::try_from(now.local_days() + MJD_OF_1970).ok()?;
    Date::from_modified_julian_day(days).ok()
}
