//! Timecode to be heard: what it says, how it sounds, as a file or live.
//!
//! | type          | is                                                                     |
//! |---------------|------------------------------------------------------------------------|
//! | [`Settings`]  | what was typed, as text                                                |
//! | [`Sketch`]    | what that comes to, and what is wrong with it, in words                |
//! | [`Plan`]      | settings that were checked                                             |
//! | [`FileWriter`]| a plan as the bytes of a file                                          |
//! | [`ReadBack`]  | whether a file is what was asked for                                   |
//! | [`Now`]       | a moment, as a device knows it                                         |
//! | [`CodeClock`] | code that runs against the page's clock                                |
//! | [`Line`]      | a straight line through measurements that never end                    |
//!
//! # What this crate leaves out
//! * Clocks: it is told what time it is.
//! * Files and loudspeakers: bytes and samples are handed out.

#![warn(clippy::indexing_slicing)]

mod beside;
mod clocks;
mod code_clock;
mod codewords;
mod content;
mod counting;
mod extent;
mod field;
mod file;
mod length;
mod line;
mod live;
mod metadata;
mod order;
mod output_rate;
mod plan;
mod present;
mod read_back;
mod remarks;
mod schedule;
mod settings;
mod sketch;
mod sound;
mod takes;
mod time_of_day;
mod typed;
mod watch;

pub use clocks::{ClockReading, Clocks, KnownBy};
pub use code_clock::{CodeClock, CodeClockError, Ticking};
pub use file::{FileError, FileWriter};
pub use line::Line;
pub use live::{LiveStart, live_order};
pub use metadata::{ORIGINATOR, stated_speed};
pub use order::{Begins, Heard, Order, OrderError};
pub use output_rate::{OutputRate, OutputRateError};
pub use plan::Plan;
pub use present::{now_address, sketch};
pub use read_back::{AsAsked, Outcome, ReadBack};
pub use settings::Settings;
pub use sketch::{Ends, Sketch};
pub use time_of_day::{InProgress, Now};
pub use watch::{Output, Parted, Watch};
