//! Rates, time addresses, counting, user bits: exact, and without sound.
//!
//! A time address names a frame; it is not a time. What it comes to in seconds or samples depends
//! on how fast frames run, which the address does not say. So the look-alikes are types apart:
//!
//! | type | answers | unit |
//! |---|---|---|
//! | [`Rate`] | how fast do frames follow each other? | frames per second, exactly |
//! | [`Count`] | how are they numbered? | numbers per second, some of them skipped |
//! | [`Timebase`] | both, where they go together | |
//! | [`TimeAddress`] | what is the frame called? | none: it is a name |
//! | [`FrameNumber`] | which frame since midnight is it? | frames from midnight |
//! | [`Frames`] | how many frames on, or back? | frames |
//! | [`CodeAddress`] | which codeword carries it, and which part of that? | codewords, and parts |
//! | [`Seconds`] | how long is that by the clock? | seconds, exactly |
//! | [`Samples`] | how long is that in a file? | samples, exactly |
//! | [`SampleRate`] | how fast do samples follow each other? | hertz, exactly |
//! | [`UserBits`] | what else does the codeword carry? | eight groups of four bits |
//! | [`BinaryGroupFlags`] | what do those say? | a row of the standards' table 1 |
//!
//! ```
//! use plumbline_timecode::{Count, Frames, Rate, Rounding, TimeAddress, Timebase};
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! // Drop-frame counting skips names, never pictures: the frame after 00:00:59;29 is called
//! // 00:01:00;02, and the names between them cannot be built.
//! let last = TimeAddress::parse("59;29", Count::F30Drop)?;
//! assert_eq!(last.plus_wrapping(Frames(1)).to_string(), "00:01:00;02");
//! assert!(TimeAddress::new(Count::F30Drop, 0, 1, 0, 0).is_err());
//!
//! // The same digits are another moment at another rate: only a timebase tells.
//! let hour = TimeAddress::parse("1:00:00:00", Count::F24)?;
//! let film = Timebase::new(Rate::F24, Count::F24)?.seconds_at(hour)?;
//! let video = Timebase::new(Rate::F23_976, Count::F24)?.seconds_at(hour)?;
//! assert_eq!(film.nanoseconds(Rounding::Nearest), Some(3_600_000_000_000));
//! assert_eq!(video.nanoseconds(Rounding::Nearest), Some(3_603_600_000_000));
//! # Ok(())
//! # }
//! ```
//!
//! # What this crate leaves out
//!
//! * Sound and files. It knows how many samples a frame lasts, not what is in them; codewords are
//!   made and read in `plumbline-ltc`.
//! * The clock on the wall. Nothing here asks what time it is, and a day is the day of the
//!   address: 24 hours of digits, whatever that is in real time. Leap seconds (IEC 60461 clause
//!   A.2) and the daily jam of pulled-down clocks (SMPTE ST 2059-1 clause 9.1) are left to callers.
//! * Guessing. Without a count there is no address; which order a date was typed in, which
//!   century it is of and what a flag of two readings meant are given back as questions.
//! * Floating point, but for `as_f64` on the way out. All arithmetic is exact.
//! * 72 and 96 frames a second, and 120 as five times 24 (SMPTE ST 12-3): they are
//!   not among the thirteen rates.

mod address;
mod binary_group_flags;
mod code_address;
mod count;
mod date;
mod fraction;
mod frames;
mod parse;
mod rate;
mod real_time;
mod rounding;
mod sample_rate;
pub mod st309;
mod timebase;
mod user_bits;

pub use address::{AddressError, Field, TimeAddress};
pub use binary_group_flags::{AddressReference, BinaryGroupFlags, GroupContent};
pub use code_address::{CodeAddress, CodeAddressError};
pub use count::Count;
pub use date::{Date, DateError, ShortDate};
pub use fraction::Fraction;
pub use frames::{FrameNumber, Frames};
pub use parse::{ParseError, ParseProblem};
pub use rate::{Rate, RateError};
pub use real_time::{RealTimeError, Samples, Seconds};
pub use rounding::Rounding;
pub use sample_rate::{SampleRate, SampleRateError};
pub use timebase::{CODES, Timebase, TimebaseError};
pub use user_bits::{
    CharactersError, DateOrder, GroupError, HexError, TypedDate, TypedDateError, UserBits,
};
