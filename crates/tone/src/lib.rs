//! Timecode to be heard: what it says, how it sounds, as a file or live.

mod settings;
mod sketch;
mod time_of_day;

pub use settings::Settings;
pub use sketch::{Ends, Sketch};
pub use time_of_day::{InProgress, Now};
