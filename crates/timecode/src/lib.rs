//! Rates, time addresses, counting, user bits: exact, and without sound.

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
pub use timebase::{Timebase, TimebaseError};
pub use user_bits::{
    CharactersError, DateOrder, GroupError, HexError, TypedDate, TypedDateError, UserBits,
};
