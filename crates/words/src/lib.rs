//! What every place of the page shows in the same way: numbers and lengths of time in words,
//! facts, and what is wrong with a field; and how texts are read that people type into fields.

mod csv;
mod numbers;
mod plain;
mod shown;
mod timebase;
mod typed;
pub mod user_bits;

pub use csv::csv_row;
pub use numbers::{
    channels, counted, difference, frames, in_letters, listed, odds, place, ppm, seconds, signed,
    thousands,
};
pub use plain::{capital, clock, number, sentence, size};
pub use shown::{Fact, Note, Problem};
pub use timebase::{Counting, counting, frames_a_second, named_timebase, rate, timebase};
pub use typed::{alternatives, choice, decimal, quoted, whole_number};
