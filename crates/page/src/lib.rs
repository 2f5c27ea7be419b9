//! The border between the page and the crates: it turns calls and blobs into calls of
//! `plumbline-shoot`, `plumbline-sums` and `plumbline-tone`. No logic lives here.
//!
//! Everything in this crate runs in a Web Worker.

mod blob;
mod recording;
mod tone;
mod worksheet;

pub use blob::BlobSource;
pub use recording::{Demo, Recording, codeword_at};
pub use tone::{default_settings, now_address, sketch};
pub use worksheet::{default_worksheet, worksheet, worksheet_help};
