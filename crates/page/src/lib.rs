//! The border between the page and the crates: it turns calls and blobs into calls of
//! `plumbline-shoot` and `plumbline-tone`. No logic lives here.
//!
//! Everything in this crate runs in a Web Worker.

mod blob;
mod live;
mod recording;
mod tone;

pub use blob::BlobSource;
pub use live::{LiveAnswer, LiveFrom, LiveHeard, LiveRequest, live_order};
pub use recording::{Demo, Recording, codeword_at};
pub use tone::{Making, ReadingBack, default_settings, now_address, plain_settings, sketch};
