//! Whoever reads takes.

use std::error::Error;
use std::fmt::Debug;
use std::io::Cursor;

use plumbline_ltc::Digits;
use plumbline_media::Encoding;
use plumbline_media::write::{Recording, Writer};
use plumbline_shoot::reading::Reading;
use plumbline_shoot::{FrameList, RecordingReader, report};
use plumbline_timecode::SampleRate;

use crate::convert::whole;
use crate::{Frame, Take};

/// Whoever reads takes.
pub trait Reader: Debug + Sync {
    /// What it is called, in tables and curves.
    fn name(&self) -> &'static str;

    /// The frames that it says it read.
    fn read(&self, take: &Take) -> Vec<Frame>;
}

/// What the product reports of a recording that holds the take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Plumbline;

impl Reader for Plumbline {
    fn name(&self) -> &'static str {
        "Plumbline"
    }

    fn read(&self, take: &Take) -> Vec<Frame> {
        reported(take).unwrap_or_default()
    }
}

fn reported(take: &Take) -> Result<Vec<Frame>, Box<dyn Error>> {
    let codes = reading(take.sample_rate, &[&take.samples], FrameList::Keep)?
        .report
        .codes;
    let frames = codes.iter().filter_map(|code| code.frames.as_ref());
    frames.flatten().map(frame).collect()
}

/// The product's reading of a recording with these channels, each as long as the first.
///
/// # Errors
/// As [`recorded`], and where the recording can't be opened.
pub fn reading(
    sample_rate: SampleRate,
    planes: &[&[f32]],
    frames: FrameList,
) -> Result<Reading, Box<dyn Error>> {
    let bytes = recorded(sample_rate, planes)?;
    let mut reader = RecordingReader::open("take.wav", &mut Cursor::new(&bytes), frames)
        .map_err(|reading| format!("{:?}", reading.report.error))?;
    for data in reader.pieces() {
        reader.push(&bytes[usize::try_from(data.start)?..usize::try_from(data.end)?]);
    }
    Ok(reader.finish())
}

/// A recording with these channels, each as long as the first: a WAV of floating-point samples.
///
/// # Errors
/// Where the sample rate is no whole number of hertz, or a channel is shorter.
pub fn recorded(sample_rate: SampleRate, planes: &[&[f32]]) -> Result<Vec<u8>, Box<dyn Error>> {
    let hertz = u32::try_from(whole(sample_rate.as_f64()))?;
    let channels = u16::try_from(planes.len())?;
    let length = planes.first().map_or(0, |plane| plane.len() as u64);
    let recording = Recording::new(hertz, channels, Encoding::F32, length);
    let mut writer = Writer::new(Vec::new(), &recording)?;
    writer.push(planes)?;
    Ok(writer.finish()?)
}

fn frame(frame: &report::Frame) -> Result<Frame, Box<dyn Error>> {
    let mut pairs = frame.timecode.split([':', ';']);
    // Digits are kept as hexadecimal shows them.
    let mut pair = || u8::from_str_radix(pairs.next().unwrap_or_default(), 16);
    Ok(Frame {
        digits: Digits {
            hours: pair()?,
            minutes: pair()?,
            seconds: pair()?,
            frames: pair()?,
        },
        first_edge: frame.sample,
    })
}
