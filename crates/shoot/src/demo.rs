//! A recording made up to show what the tool finds: a camera on a ferry, with a few honest faults.

use plumbline_ltc::{Codeword, Flags, Modulator, ModulatorError, PolarityRule, Tone};
use plumbline_media::write::{Recording, WriteError, Writer};
use plumbline_media::{Bext, Encoding, Ixml, IxmlTrack, Speed};
use plumbline_timecode::{
    BinaryGroupFlags, Count, Fraction, Frames, Rate, SampleRate, SampleRateError, Samples,
    TimeAddress, Timebase, UserBits,
};

/// A whole WAV file.
#[derive(Debug, Clone)]
pub struct DemoRecording {
    /// Its file name.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

const NAME: &str = "ferry-deck-camera_0417.wav";
const HERTZ: u32 = 48_000;
const SECONDS: i64 = 60;
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

/// Makes the demo recording: about 11 MB.
pub fn demo() -> DemoRecording {
    // Nothing in it can fail: every number above is legal, and memory takes all bytes.
    DemoRecording {
        name: NAME.to_owned(),
        bytes: make().unwrap_or_default(),
    }
}

/// Why the demo could not be made; its test makes sure that it can.
#[derive(Debug, thiserror::Error)]
enum DemoError {
    #[error(transparent)]
    Address(#[from] plumbline_timecode::AddressError),
    #[error(transparent)]
    Time(#[from] plumbline_timecode::RealTimeError),
    #[error(transparent)]
    SampleRate(#[from] SampleRateError),
    #[error(transparent)]
    Modulator(#[from] ModulatorError),
    #[error(transparent)]
    Write(#[from] WriteError),
    #[error("a fraction that is none")]
    Fraction,
}

fn make() -> Result<Vec<u8>, DemoError> {
    let code = code()?;
    let sound = deck_sound(code.len());
    let recording = Recording {
        bext: Some(bext()?),
        ixml: Some(ixml()),
        ..Recording::new(HERTZ, 2, Encoding::S16, code.len() as u64)
    };
    let mut writer = Writer::new(Vec::new(), &recording)?;
    writer.push(&[&sound, &code])?;
    Ok(writer.finish()?)
}

fn first() -> Result<TimeAddress, DemoError> {
    let (hours, minutes, seconds, frames) = FIRST;
    Ok(TimeAddress::new(
        Count::F25,
        hours,
        minutes,
        seconds,
        frames,
    )?)
}

/// The channel with the code.
fn code() -> Result<Vec<f32>, DemoError> {
    let million = 1_000_000;
    let tone = Tone {
        speed: Fraction::new(million - SLOW_PPM, million).ok_or(DemoError::Fraction)?,
        begins: Samples(Fraction::new(4_126, 10).ok_or(DemoError::Fraction)?),
        ..Tone::new(Rate::F25, SampleRate::hertz(HERTZ)?)
    };
    let mut modulator = Modulator::new(tone)?;
    let mut samples: Vec<f32> = Vec::new();
    for codeword in 0..SECONDS * 25 {
        let jump = if codeword < JUMP { 0 } else { JUMP_FRAMES };
        let address = first()?.plus_wrapping(Frames(codeword + jump));
        let word = Codeword::new(
            address,
            USER_BITS,
            BinaryGroupFlags::Unspecified,
            Flags::default(),
            PolarityRule::Corrected,
        );
        let begins = samples.len();
        modulator.push(word, &mut |block| samples.extend_from_slice(block));
        if codeword == DROPOUT || codeword == DROPOUT + 1 {
            unplug(samples.get_mut(begins..).unwrap_or_default(), codeword);
        }
    }
    samples.truncate(usize::try_from(SECONDS * i64::from(HERTZ)).unwrap_or_default());
    Ok(samples)
}

/// The plug moves two thirds into the first codeword and is back one third into the second.
fn unplug(codeword: &mut [f32], number: i64) {
    let third = codeword.len() / 3;
    let silent = if number == DROPOUT {
        2 * third..codeword.len()
    } else {
        0..third
    };
    codeword.get_mut(silent).unwrap_or_default().fill(0.0);
}

/// The channel beside it: an engine's hum, wind, and a bell every ten seconds.
fn deck_sound(length: usize) -> Vec<f32> {
    let mut noise = Noise(20_261_125);
    let mut wind = 0.0f32;
    let hertz = HERTZ as f32;
    (0..length)
        .map(|n| {
            let second = n as f32 / hertz;
            wind += 0.02 * (noise.next() - wind);
            let engine = 0.03 * turn(37.0 * second) + 0.012 * turn(74.3 * second);
            let since_bell = second % 10.0;
            let bell = 0.12 * (-1.6 * since_bell).exp() * turn(612.0 * since_bell);
            engine + 0.4 * wind + bell
        })
        .collect()
}

fn turn(turns: f32) -> f32 {
    (turns.fract() * std::f32::consts::TAU).sin()
}

/// A linear congruential generator: the same noise every time.
struct Noise(u32);

impl Noise {
    fn next(&mut self) -> f32 {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (self.0 >> 8) as f32 / 8_388_608.0 - 1.0
    }
}

/// The recorder's own idea of the start: its clock was set by hand.
fn bext() -> Result<Bext, DemoError> {
    let timebase = Timebase::non_drop(Rate::F25);
    let start = first()?.plus_wrapping(Frames(STAMP_FRAMES - 1));
    let samples = timebase.samples_at(start, SampleRate::hertz(HERTZ)?)?;
    let samples = samples.round(plumbline_timecode::Rounding::Nearest);
    Ok(Bext {
        description: "Ferry at the north landing, cars come aboard".into(),
        originator: "Deck camera".into(),
        origination_date: "2026-11-25".into(),
        origination_time: "14:03:20".into(),
        time_reference: u64::try_from(samples).unwrap_or_default(),
        ..Bext::default()
    })
}

fn ixml() -> Ixml {
    let track = |index: u32, name: &str| IxmlTrack {
        channel_index: Some(index),
        interleave_index: Some(index),
        name: Some(name.into()),
        ..IxmlTrack::default()
    };
    Ixml {
        project: Some("The last crossing".into()),
        scene: Some("12".into()),
        take: Some("3".into()),
        note: Some("Ines waves at the second bell".into()),
        speed: Some(Speed {
            timecode_rate: Some("25/1".into()),
            timecode_flag: Some("NDF".into()),
            ..Speed::default()
        }),
        tracks: vec![track(1, "Deck"), track(2, "Code")],
        ..Ixml::default()
    }
}
