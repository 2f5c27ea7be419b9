//! Every sum that timecode needs, with its working.
//!
//! Each part takes a struct of texts as they were typed and gives an [`Answer`]. It never fails:
//! what is wrong stands at its field, and everything that can be answered is answered. Nothing is
//! rounded in silence.

mod address;
mod answer;
mod clocks;
mod decimal;
mod figure;
mod length;
mod problems;
mod rows;
mod sample_rate;
mod speeds;
mod typed;
mod user_bits;
pub mod worksheet;

pub use address::{AddressForm, address};
pub use answer::{Answer, Row, Table};
pub use clocks::{ClocksForm, clocks};
pub use rows::{CheckedLine, LineState, RowsAnswer, RowsForm, rows};
pub use speeds::{SpeedsForm, speeds};
pub use user_bits::{UserBitsForm, user_bits};
