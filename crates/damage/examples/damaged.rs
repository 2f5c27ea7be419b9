//! Writes recordings of damaged code into a folder, two minutes each, which the benchmark of the page
//! reads. A file's name says what was done to it.
//!
//! `damaged FOLDER`

use std::error::Error;
use std::fs;
use std::path::Path;

use plumbline_damage::{
    Added, Codec, Damage, Decibels, Format, Hum, Mains, Seed, Sound, Source, Speech, White,
    recorded,
};
use plumbline_timecode::{Rate, SampleRate};

/// Two minutes at 25 codewords a second.
const CODEWORDS: u32 = 25 * 120;

/// A name, what is done, and on how many channels.
type Kind = (&'static str, Option<Box<dyn Damage>>, u64);

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args().nth(1).ok_or("usage: damaged FOLDER")?;
    // Up to 2.4 kHz, where code is.
    let hum = Hum {
        mains: Mains::Hertz60,
        harmonics: 40,
    };
    let kinds: [Kind; 11] = [
        ("nothing", None, 1),
        ("white noise, 2 dB louder", Some(over(White, 2.0)), 1),
        ("white noise, 8 dB louder", Some(over(White, 8.0)), 1),
        ("white noise, 12 dB louder", Some(over(White, 12.0)), 1),
        ("white noise, 16 dB louder", Some(over(White, 16.0)), 1),
        ("white noise, 24 dB louder", Some(over(White, 24.0)), 1),
        (
            "hum of 60 Hz and 39 harmonics, 30 dB louder",
            Some(over(hum, 30.0)),
            1,
        ),
        (
            "white noise, 5 dB louder, on two channels",
            Some(over(White, 5.0)),
            2,
        ),
        ("speech, 20 dB louder", Some(over(Speech, 20.0)), 1),
        ("AAC, 32 kb per s", Some(lossy(Format::Aac, 32)), 1),
        ("Opus, 16 kb per s", Some(lossy(Format::Opus, 16)), 1),
    ];
    let source = Source::new(Rate::F25, SampleRate::hertz(48_000)?).at_dbfs(-30.0)?;
    for (name, damage, channels) in kinds {
        let damage: Vec<&dyn Damage> = damage.iter().map(AsRef::as_ref).collect();
        let takes = (0..channels).map(|channel| {
            let take = source.take(CODEWORDS, Seed::judging(1))?;
            take.damaged(Seed::judging(2 + channel), &damage)
        });
        let takes = takes.collect::<Result<Vec<_>, _>>()?;
        let planes: Vec<&[f32]> = takes.iter().map(|take| take.samples.as_slice()).collect();
        let bytes = recorded(source.tone.sample_rate, &planes)?;
        fs::write(Path::new(&folder).join(format!("{name}.wav")), bytes)?;
    }
    Ok(())
}

fn over(sound: impl Sound + 'static, louder: f64) -> Box<dyn Damage> {
    Box::new(Added::over_code(sound, Decibels(louder)))
}

fn lossy(format: Format, kilobits: u32) -> Box<dyn Damage> {
    Box::new(Codec::mono(format, kilobits))
}
