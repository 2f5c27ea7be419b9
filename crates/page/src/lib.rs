//! The border between the page and the crates: it turns calls and blobs into calls of
//! `plumbline-shoot`, `plumbline-tone`, `plumbline-listen` and `plumbline-sums`. No logic lives here.
//!
//! Everything in this crate runs in a Web Worker.

mod blob;
mod listen;
mod live;
mod recording;
mod shoot;
mod sound;
mod stamp;
mod sums;
mod tone;
mod worksheet;

pub use blob::BlobSource;
pub use listen::{
    InputFacts, Listening, RecordedParts, check_plan, held_now, held_on_page, jammed_again,
    marks_otio, marks_table, ticking_address,
};
pub use live::{LiveAnswer, LiveFrom, LiveHeard, LiveRequest, live_order};
pub use recording::{Demo, Packet, Recording, WantedDecoder, codeword_at};
pub use shoot::{NamedText, NamedTexts, OneClock, OpenedSheet, Ticks, open_sheet};
pub use sound::{SoundPrint, SoundSide, line_up_by_sound};
pub use stamp::{Refusal, Stamping};
pub use sums::{
    default_address_form, default_clocks_form, default_rows_form, default_speeds_form,
    default_user_bits_form, work_out_address, work_out_clocks, work_out_rows, work_out_speeds,
    work_out_user_bits,
};
pub use tone::{Making, ReadingBack, default_settings, now_address, plain_settings, sketch};
pub use worksheet::{default_worksheet, worksheet, worksheet_help};
