//! Every sum that timecode needs, with its working.
//!
//! Each part takes a struct of texts as they were typed and gives an [`Answer`]. It never fails:
//! what is wrong stands at its field, and everything that can be answered is answered. Nothing is
//! rounded in silence.

mod answer;
pub mod worksheet;

pub use answer::{Answer, Row, Table};
