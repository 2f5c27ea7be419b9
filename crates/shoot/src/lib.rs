//! Recordings on one clock: stretches, findings, the report.
//!
//! ```text
//! media ── bytes ── Blocks ── samples ── ltc ── codewords ── continuity ── facts ── findings ── report
//! ```
//!
//! | type                | answers                                                         |
//! |---------------------|-----------------------------------------------------------------|
//! | [`RecordingReader`] | takes the bytes of one recording as they come                   |
//! | [`report::Report`]  | what was read, as data: the JSON that is exported               |
//! | [`reading::Reading`]| the report with every word and number that a page shows          |
//! | [`codeword_at`]     | one codeword, bit by bit                                        |
//! | [`Ear`]             | one channel as it happens: what its code says now               |
//! | [`stamping`]        | a copy of a WAV with the code's start in it                     |
//! | [`sounds`]          | two recordings lined up by what both heard                      |
//! | [`lineup::line_up`] | many recordings on one clock                                    |
//! | [`sheet::Sheet`]    | the saved state of a shoot                                      |
//! | [`handover`]        | the same as lists and timelines for other programs              |
//!
//! # What this crate leaves out
//! * Files and browsers: bytes come from whoever has them.
//! * Belief without a witness: a codeword on its own is never a frame (`continuity.rs`).

mod capped;
mod channel;
mod clock;
mod codeword;
mod continuity;
mod counts;
mod cover;
mod csv;
mod demo;
mod demo_shoot;
mod drawing;
mod ear;
mod facts;
mod findings;
pub mod handover;
pub mod lineup;
mod made_up;
mod mark;
mod metadata;
mod present;
pub mod reading;
mod recording;
pub mod report;
mod run;
pub mod sheet;
pub mod sounds;
pub mod stamping;
mod stretch;
pub mod summary;
mod suspicion;
mod timebase;
mod user_bits;
mod verdict;
mod waiting;
mod whole;
mod window;
mod word;

pub use codeword::codeword_at;
pub use continuity::FrameList;
pub use csv::csv;
pub use demo::{DemoRecording, demo};
pub use demo_shoot::DemoShoot;
pub use ear::{Ear, Now, Tally};
pub use recording::RecordingReader;
