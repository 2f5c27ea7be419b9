//! Sound without code, in which nothing is to be found.

use plumbline_timecode::{Rate, SampleRate};

use super::measure::seeds;
use super::{Effort, SweepError};
use crate::{Music, Pink, RandomBiphase, Reader, Sound, Speech, SteadyTone, Take, Wave, White};

/// What was found where nothing is.
#[derive(Debug, Clone)]
pub(crate) struct Silence {
    pub(crate) name: String,
    pub(crate) minutes: f64,
    /// How many frames each reader says it read.
    pub(crate) frames: Vec<usize>,
}

/// Listens to all of them.
pub(crate) fn listen(readers: &[&dyn Reader], effort: Effort) -> Result<Vec<Silence>, SweepError> {
    let rate = SampleRate::hertz(48_000)?;
    let mut all = Vec::new();
    for (name, sound) in sounds() {
        let mut silence = Silence {
            name,
            minutes: 0.0,
            frames: vec![0; readers.len()],
        };
        for piece in 0..pieces(effort) {
            let seed = effort.seed(seeds(&silence.name) + piece);
            let mut take = Take::without_code(rate, piece_seconds(effort));
            let samples = sound.samples(rate, take.samples.len(), &mut seed.random(1));
            take.samples = samples
                .into_iter()
                .map(|sample| crate::convert::narrowed(0.1 * sample))
                .collect();
            silence.minutes += take.seconds() / 60.0;
            for (frames, reader) in silence.frames.iter_mut().zip(readers) {
                *frames += reader.read(&take).len();
            }
        }
        all.push(silence);
    }
    Ok(all)
}

/// How long a piece of sound is that is made at once.
fn piece_seconds(effort: Effort) -> f64 {
    match effort {
        Effort::Full => 60.0,
        Effort::Quick => 5.0,
    }
}

fn pieces(effort: Effort) -> u64 {
    match effort {
        Effort::Full => 5,
        Effort::Quick => 1,
    }
}

fn sounds() -> Vec<(String, Box<dyn Sound>)> {
    let mut all: Vec<(String, Box<dyn Sound>)> = vec![
        ("white noise".into(), Box::new(White)),
        ("pink noise".into(), Box::new(Pink)),
        ("something like speech".into(), Box::new(Speech)),
        ("something like music".into(), Box::new(Music)),
        (
            "random biphase mark, as fast as code at 25".into(),
            Box::new(RandomBiphase { rate: Rate::F25 }),
        ),
        (
            "random biphase mark, as fast as code at 30".into(),
            Box::new(RandomBiphase { rate: Rate::F30 }),
        ),
    ];
    for hertz in [1000.0, 2000.0] {
        let tone = SteadyTone {
            wave: Wave::Sine,
            hertz,
        };
        all.push((format!("a tone of {hertz} Hz"), Box::new(tone)));
    }
    for hertz in [1000.0, 1200.0, 1800.0, 2400.0] {
        let tone = SteadyTone {
            wave: Wave::Square,
            hertz,
        };
        all.push((format!("a square wave of {hertz} Hz"), Box::new(tone)));
    }
    all
}
