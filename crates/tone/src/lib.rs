//! Timecode to be heard: what it says, how it sounds, as a file or live.

mod settings;
mod sketch;

pub use settings::Settings;
pub use sketch::{Ends, Sketch};
