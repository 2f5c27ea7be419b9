//! A shoot handed over: its recordings in their places, as texts that other programs open.
//!
//! ```text
//! LineUp ─ clips ─ lanes ─┬─ otio    a timeline, a track a device
//!     │                   └─ edl     lists, one a device or as few as hold all
//!     └─────────────────────  table   a row a recording
//! ```
//!
//! # Whole frames
//! Timelines and lists count frames of the shoot's clock: a clip begins at the frame that is
//! nearest to its first sample, and lasts until the frame nearest to its end, yet never longer than
//! the whole frames in its file. What is left over at its beginning stands beside it, in seconds.
//!
//! # Nothing is dropped
//! A recording without a place is in no timeline; each format says so and names it.

mod clips;
mod edl;
mod marks;
mod otio;
mod reels;
mod table;

pub use crate::mark::Mark;
pub use edl::{EditList, Lists, edit_lists};
pub use marks::{marks_otio, marks_table};
pub use otio::otio;
pub use table::table;
