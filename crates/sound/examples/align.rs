//! Lines up two WAV files by the sound of their first channels and prints one JSON object.
//!
//! `align FIRST SECOND [FROM TO]` · FROM and TO are the offsets, in seconds, that are believed.

use hound::{SampleFormat, WavReader};
use plumbline_sound::{Polarity, Print, PrintMaker, Prior, Seconds, Side, Verdict, line_up};
use plumbline_timecode::SampleRate;
use serde_json::{Value, json};
use std::error::Error;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let answer = match arguments.as_slice() {
        [first, second] => align(first, second, None),
        [first, second, from, to] => match (from.parse(), to.parse()) {
            (Ok(from), Ok(to)) => {
                let (from, to) = (Seconds(from), Seconds(to));
                align(first, second, Some(Prior { from, to }))
            }
            _ => return usage(),
        },
        _ => return usage(),
    };
    match answer {
        Ok(answer) => {
            println!("{answer}");
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("align: {error}");
            ExitCode::FAILURE
        }
    }
}

fn usage() -> ExitCode {
    eprintln!("usage: align FIRST SECOND [FROM TO]");
    ExitCode::from(2)
}

fn align(first: &str, second: &str, prior: Option<Prior>) -> Result<Value, Box<dyn Error>> {
    let (one, other) = (read(first)?, read(second)?);
    let first = Side {
        print: &one.1,
        recording: &mut one.0.as_slice(),
    };
    let second = Side {
        print: &other.1,
        recording: &mut other.0.as_slice(),
    };
    Ok(match line_up(first, second, prior)? {
        Verdict::Found(found) => json!({
            "offset": found.offset.value.0,
            "offset_sigma": found.offset.sigma.0,
            "drift_ppm": found.drift.value.0,
            "drift_ppm_sigma": found.drift.sigma.0,
            "odds_log10": found.odds_log10,
            "windows": found.windows,
            "windows_of": found.windows_of,
            "upside_down": found.polarity == Polarity::Opposite,
            "from": found.from.0,
            "to": found.to.0,
        }),
        Verdict::Refused(refusal) => json!({
            "refused": format!("{refusal:?}"),
            "text": refusal.text(),
            "remedy": refusal.remedy(),
        }),
    })
}

/// The first channel of a file, and its print.
fn read(path: &str) -> Result<(Vec<f32>, Print), Box<dyn Error>> {
    let mut reader = WavReader::open(path)?;
    let spec = reader.spec();
    let channels = usize::from(spec.channels);
    let samples: Vec<f32> = match spec.sample_format {
        SampleFormat::Float => reader
            .samples::<f32>()
            .step_by(channels)
            .collect::<Result<_, _>>()?,
        SampleFormat::Int => {
            let scale = (0.5_f32).powi(i32::from(spec.bits_per_sample) - 1);
            let whole = reader.samples::<i32>().step_by(channels);
            whole
                .map(|sample| sample.map(|sample| sample as f32 * scale))
                .collect::<Result<_, _>>()?
        }
    };
    let mut maker = PrintMaker::new(SampleRate::hertz(spec.sample_rate)?)?;
    maker.push(&samples);
    Ok((samples, maker.finish()))
}
