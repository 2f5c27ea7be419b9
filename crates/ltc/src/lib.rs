//! Linear timecode: samples to codewords and back.
//!
//! | type            | is                                                     | unit            |
//! |-----------------|--------------------------------------------------------|-----------------|
//! | [`Codeword`]    | the 80 bits of a frame                                 |                 |
//! | [`Layout`]      | where its flags stand                                  |                 |
//! | [`Modulator`]   | codewords in, samples out                              | full scale is 1 |
//! | [`Demodulator`] | samples in, codewords out                              | full scale is 1 |
//! | [`Receiver`]    | the same, also of code that edges do not show            | full scale is 1 |
//! | [`Received`]    | a codeword with its place, speed, direction, certainty |                 |
//! | [`Disturbance`] | what lies over code that edges do not show             | dB              |
//! | [`Together`]    | what codewords say together that none says by itself   |                 |
//! | [`Position`]    | a moment in the sound                                  | samples         |
//!
//! Both directions are streams: what comes out does not depend on how what goes in is cut, and
//! memory does not grow with it.
//!
//! # What this crate leaves out
//! * Files: samples come and go as slices of `f32`.
//! * What rate the code has and whether codewords follow each other: that takes more than one.

mod codeword;
mod demodulator;
mod digits;
mod direction;
mod disturbance;
mod fields;
mod finer;
mod in_step;
mod layout;
mod modulator;
mod position;
mod quality;
mod received;
mod receiver;
mod robust;
mod seam;
mod sync;
mod together;

pub use codeword::{Codeword, ColourFrame, Flags, PolarityRule};
pub use demodulator::Demodulator;
pub use digits::{Digits, DigitsError};
pub use direction::Direction;
pub use disturbance::{Cause, Disturbance, Mains};
pub use fields::Field;
pub use in_step::{finish_in_step, push_in_step};
pub use layout::Layout;
pub use modulator::{
    Level, LevelError, Modulator, ModulatorError, Polarity, RiseTime, RiseTimeError, Tone,
};
pub use position::Position;
pub use quality::Quality;
pub use received::Received;
pub use receiver::Receiver;
pub use seam::Seam;
pub use sync::{SYNC_BITS, SYNC_FORWARD, SYNC_REVERSE};
pub use together::{Evidence, Together, UserBitsHeard};
