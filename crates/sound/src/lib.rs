//! Two recordings of the same sound: the time between them.
//!
//! | type or function | is | unit |
//! |---|---|---|
//! | [`PrintMaker`] | samples in, print out | full scale is 1 |
//! | [`Print`] | the course of a recording's sound, 800 bytes a second | dB, a hundred times a second |
//! | [`candidates`] | two prints to offsets at which they may have heard the same | |
//! | [`Recording`] | samples at any place, where they are asked for | samples |
//! | [`line_up`] | two prints and their recordings to a verdict | |
//! | [`Verdict`] | the time between them and how sure it is, or why there is none | seconds, ppm |
//! | [`Prior`] | offsets that are believed beforehand | seconds |
//!
//! An offset tells when sound *arrived*. It takes 2.9 ms for a metre: a camera at the back of a
//! hall hears late, and lines up so.
//!
//! # What this crate leaves out
//! * Files: prints are made of slices of `f32`, and places are read through a trait.
//! * Which recordings to compare and what to make of the answer: that takes the whole shoot.

mod coarse;
mod fine;
mod line;
mod line_up;
mod onsets;
mod print;
mod print_maker;
mod recording;
mod units;
mod verdict;
mod whole;

pub use coarse::{Candidate, Prior, candidates};
pub use line_up::line_up;
pub use print::{BANDS, Print, PrintError};
pub use print_maker::{PrintMaker, PrintRateError};
pub use recording::{Recording, Side};
pub use units::{Measured, PartsPerMillion, Seconds};
pub use verdict::{Found, Polarity, Refusal, Verdict, Which};
