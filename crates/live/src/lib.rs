//! Plays code in an audio worklet, and watches it from the page: a module without imports, so
//! that a worklet can run it.
//!
//! | type       | is                                             |
//! |------------|------------------------------------------------|
//! | [`Player`] | an order in, samples out, as many as are asked |
//!
//! What it exports is in [`exports`].

mod beep;
pub mod exports;
mod player;

pub use player::{Begun, Missed, Player};
