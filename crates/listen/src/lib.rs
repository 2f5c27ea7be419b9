//! What a cable carries now: code as it is heard, against a plan, a held clock and other code.
//!
//! | type           | is                                                               |
//! |----------------|------------------------------------------------------------------|
//! | [`Listener`]   | an input: sound in, as it comes, and what is heard in it         |
//! | [`Heard`]      | that, ready to be shown                                          |
//! | [`Plan`]       | what the code should be                                          |
//! | [`Held`]       | a clock that was set from code, and runs on by itself            |
//! | [`Comparison`] | how two clocks part                                              |
//! | [`InputClock`] | when samples were at the input, by the page's clock              |
//! | [`Meter`]      | how loud a channel is                                            |
//! | [`Recorded`]   | what was recorded of an input                                    |
//!
//! # What this crate leaves out
//! * Inputs and clocks: it is handed samples, and told what the time is.
//! * How code is read, and what is wrong with it: that is `shoot`'s.

mod ago;
mod comparison;
mod heard;
mod held;
mod input_clock;
mod listener;
mod meter;
mod plan;
mod record;
mod strip;

pub use comparison::{Apart, Compared, Comparison};
pub use heard::{FoundIn, Heard, HeardChannel, Hearing};
pub use held::{Held, HeldNow};
pub use input_clock::InputClock;
pub use listener::{Listener, TimeOfDay};
pub use meter::{Level, Meter};
pub use plan::{Departure, Plan, Planned};
pub use record::Recorded;
