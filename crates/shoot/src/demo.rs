//! A recording made up to show what the tool finds: a camera on a ferry, with a few honest faults.

use crate::made_up::{Code, DATE, HERTZ, MadeUpError, Slate, ixml, sound, wav};
use plumbline_media::Bext;
use plumbline_timecode::{
    Count, Frames, Rate, Rounding, SampleRate, TimeAddress, Timebase, UserBits,
};

/// A whole WAV file.
#[derive(Debug, Clone)]
pub struct DemoRecording {
    /// The folder that it lies in; empty where it lies alone.
    pub folder: String,
    /// Its file name.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

const NAME: &str = "ferry-deck-camera_0417.wav";
const SECONDS: u32 = 60;
/// The first codeword in the recording, some way into it.
const FIRST: (u8, u8, u8, u8) = (14, 3, 20, 7);
/// A date typed day first, and the number of the camera.
const USER_BITS: UserBits = UserBits(0x2511_2601);
/// The camera's clock is this many parts per million slow against the recorder's.
const SLOW_PPM: i128 = 3;
/// The plug moves within this codeword and is back within the next.
const DROPOUT: i64 = 520;
/// From this codeword on the clock is ahead, because somebody set it again.
const JUMP: i64 = 1_034;
const JUMP_FRAMES: i64 = 28;
/// The recorder's own stamp is this many frames late.
const STAMP_FRAMES: i64 = 3;
const SLATE: Slate = Slate {
    scene: "12",
    take: "3",
    note: "Ines waves at the second bell",
    sound: "Deck",
};

/// Makes the demo recording: about 11 MB.
pub fn demo() -> DemoRecording {
    // Nothing in it can fail: every number above is legal, and memory takes all bytes.
    DemoRecording {
        folder: String::new(),
        name: NAME.to_owned(),
        bytes: make().unwrap_or_default(),
    }
}

fn make() -> Result<Vec<u8>, MadeUpError> {
    let (hours, minutes, seconds, frames) = FIRST;
    let code = Code {
        rate: Rate::F25,
        first: TimeAddress::new(Count::F25, hours, minutes, seconds, frames)?,
        begins: 4_126,
        fast_ppm: -SLOW_PPM,
        user_bits: USER_BITS,
        seconds: SECONDS,
    };
    let jump = |codeword| if codeword < JUMP { 0 } else { JUMP_FRAMES };
    let samples = code.samples(jump, unplug)?;
    let deck = sound(samples.len(), 20_261_125);
    wav(
        Some(bext(code.first)?),
        ixml(SLATE, code.rate),
        [&deck, &samples],
    )
}

/// The plug moves one third into the first codeword and is back two thirds into the second: too little is left
/// of either to tell its address.
fn unplug(number: i64, codeword: &mut [f32]) {
    let third = codeword.len() / 3;
    let silent = match number {
        DROPOUT => third..codeword.len(),
        number if number == DROPOUT + 1 => 0..2 * third,
        _ => return,
    };
    codeword.get_mut(silent).unwrap_or_default().fill(0.0);
}

/// The recorder's own idea of the start: its clock was set by hand.
fn bext(first: TimeAddress) -> Result<Bext, MadeUpError> {
    let timebase = Timebase::non_drop(Rate::F25);
    let start = first.plus_wrapping(Frames(STAMP_FRAMES - 1));
    let samples = timebase.samples_at(start, SampleRate::hertz(HERTZ)?)?;
    let samples = samples.round(Rounding::Nearest);
    Ok(Bext {
        description: "Ferry at the north landing, cars come aboard".into(),
        originator: "Deck camera".into(),
        origination_date: DATE.into(),
        origination_time: "14:03:20".into(),
        time_reference: u64::try_from(samples).unwrap_or_default(),
        ..Bext::default()
    })
}
