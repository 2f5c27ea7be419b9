//! What every place of the page shows in the same way: numbers and lengths of time in words,
//! facts, and what is wrong with a field.

mod numbers;
mod plain;
mod shown;

pub use numbers::{counted, difference, frames, in_letters, place, seconds, signed, thousands};
pub use plain::{clock, number, sentence, size};
pub use shown::{Fact, Note, Problem};
