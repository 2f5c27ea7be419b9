//! Rates, time addresses, counting, user bits: exact, and without sound.

mod address;
mod binary_group_flags;
mod count;
mod fraction;
mod frames;
mod rate;
mod rounding;
mod sample_rate;
mod timebase;
mod user_bits;

pub use address::{AddressError, Field, TimeAddress};
pub use binary_group_flags::{AddressReference, BinaryGroupFlags, GroupContent};
pub use count::Count;
pub use fraction::Fraction;
pub use frames::{FrameNumber, Frames};
pub use rate::{Rate, RateError};
pub use rounding::Rounding;
pub use sample_rate::{SampleRate, SampleRateError};
pub use timebase::{Timebase, TimebaseError};
pub use user_bits::{GroupError, UserBits};
