//! Recordings that are made up: code in one channel, a ferry's sound in the other, in a WAV.

use plumbline_ltc::{Codeword, Flags, Modulator, ModulatorError, PolarityRule, Tone};
use plumbline_media::write::{Recording, WriteError, Writer};
use plumbline_media::{Bext, Encoding, Ixml, IxmlTrack, Speed};
use plumbline_timecode::{
    BinaryGroupFlags, Fraction, Frames, Rate, SampleRate, SampleRateError, Samples, TimeAddress,
    UserBits,
};

/// Samples a second of all of them.
pub(crate) const HERTZ: u32 = 48_000;
/// The day on which they were made.
pub(crate) const DATE: &str = "2026-11-25";

/// Why a recording could not be made; its test makes sure that it can.
#[derive(Debug, thiserror::Error)]
pub(crate) enum MadeUpError {
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

/// Code, as a channel hears it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Code {
    pub(crate) rate: Rate,
    /// The address of its first codeword.
    pub(crate) first: TimeAddress,
    /// Where that begins, in tenths of a sample.
    pub(crate) begins: i128,
    /// How many parts per million its clock is fast against the recorder's.
    pub(crate) fast_ppm: i128,
    pub(crate) user_bits: UserBits,
    pub(crate) seconds: u32,
}

impl Code {
    /// Its samples. `ahead` says by how many frames a codeword is ahead of where it would be, and
    /// `spoil` does to its samples what was done to the cable.
    pub(crate) fn samples(
        &self,
        ahead: impl Fn(i64) -> i64,
        spoil: impl Fn(i64, &mut [f32]),
    ) -> Result<Vec<f32>, MadeUpError> {
        let million = 1_000_000;
        let fraction = |numerator, denominator| {
            Fraction::new(numerator, denominator).ok_or(MadeUpError::Fraction)
        };
        let tone = Tone {
            speed: fraction(million + self.fast_ppm, million)?,
            begins: Samples(fraction(self.begins, 10)?),
            ..Tone::new(self.rate, SampleRate::hertz(HERTZ)?)
        };
        let mut modulator = Modulator::new(tone)?;
        let mut samples: Vec<f32> = Vec::new();
        let per_second = self.first.count().frames_per_second();
        for number in 0..i64::from(self.seconds * per_second) {
            let address = self.first.plus_wrapping(Frames(number + ahead(number)));
            let word = Codeword::new(
                address,
                self.user_bits,
                BinaryGroupFlags::Unspecified,
                Flags::default(),
                PolarityRule::Corrected,
            );
            let begins = samples.len();
            modulator.push(word, &mut |block| samples.extend_from_slice(block));
            spoil(number, samples.get_mut(begins..).unwrap_or_default());
        }
        samples.resize(length(self.seconds), 0.0);
        Ok(samples)
    }
}

/// How many samples so many seconds are.
pub(crate) fn length(seconds: u32) -> usize {
    seconds as usize * HERTZ as usize
}

/// What a microphone hears on board: an engine's hum, wind, and a bell every ten seconds.
pub(crate) fn sound(length: usize, seed: u32) -> Vec<f32> {
    let mut noise = Noise(seed);
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

/// What the film says of a take.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Slate {
    pub(crate) scene: &'static str,
    pub(crate) take: &'static str,
    pub(crate) note: &'static str,
    /// The name of the channel beside the code.
    pub(crate) sound: &'static str,
}

/// A film's words on a take at a whole rate.
pub(crate) fn ixml(slate: Slate, rate: Rate) -> Ixml {
    let track = |index: u32, name: &str| IxmlTrack {
        channel_index: Some(index),
        interleave_index: Some(index),
        name: Some(name.into()),
        ..IxmlTrack::default()
    };
    Ixml {
        project: Some("The last crossing".into()),
        scene: Some(slate.scene.into()),
        take: Some(slate.take.into()),
        note: Some(slate.note.into()),
        speed: Some(Speed {
            timecode_rate: Some(format!("{}/1", rate.name())),
            timecode_flag: Some("NDF".into()),
            ..Speed::default()
        }),
        tracks: vec![track(1, slate.sound), track(2, "Code")],
        ..Ixml::default()
    }
}

/// The bytes of a WAV with a channel of sound and one beside it.
pub(crate) fn wav(
    bext: Option<Bext>,
    ixml: Ixml,
    channels: [&[f32]; 2],
) -> Result<Vec<u8>, MadeUpError> {
    let [sound, code] = channels;
    let recording = Recording {
        bext,
        ixml: Some(ixml),
        ..Recording::new(HERTZ, 2, Encoding::S16, code.len() as u64)
    };
    let mut writer = Writer::new(Vec::new(), &recording)?;
    writer.push(&[sound, code])?;
    Ok(writer.finish()?)
}
