//! Timecode to be heard: what it says, how it sounds, as a file or live.
//!
//! | type          | is                                                                     |
//! |---------------|------------------------------------------------------------------------|
//! | [`Settings`]  | what was typed, as text                                                |
//! | [`Sketch`]    | what that comes to, and what is wrong with it, in words                |
//! | [`Plan`]      | settings that were checked                                             |
//! | [`Now`]       | a moment, as a device knows it                                         |
//!
//! # What this crate leaves out
//! * Clocks: it is told what time it is.
//! * Files and loudspeakers: bytes and samples are handed out.

#![warn(clippy::indexing_slicing)]

mod codewords;
mod content;
mod counting;
mod extent;
mod field;
mod length;
mod metadata;
mod plan;
mod present;
mod remarks;
mod schedule;
mod settings;
mod sketch;
mod sound;
mod takes;
mod time_of_day;
mod typed;

pub use plan::Plan;
pub use present::{now_address, sketch};
pub use settings::Settings;
pub use sketch::{Ends, Sketch};
pub use time_of_day::{InProgress, Now};
