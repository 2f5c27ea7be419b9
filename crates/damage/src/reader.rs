//! Whoever reads takes.

use std::error::Error;
use std::fmt::Debug;
use std::io::Cursor;

use plumbline_ltc::Digits;
use plumbline_media::Encoding;
use plumbline_media::write::{Recording, Writer};
use plumbline_shoot::{FrameList, RecordingReader, report};

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
    let hertz = u32::try_from(whole(take.sample_rate.as_f64()))?;
    let recording = Recording::new(hertz, 1, Encoding::F32, take.samples.len() as u64);
    let mut writer = Writer::new(Vec::new(), &recording)?;
    writer.push(&[&take.samples])?;
    let bytes = writer.finish()?;
    let mut reader = RecordingReader::open("take.wav", &mut Cursor::new(&bytes), FrameList::Keep)
        .map_err(|reading| format!("{:?}", reading.report.error))?;
    for data in reader.pieces() {
        reader.push(&bytes[usize::try_from(data.start)?..usize::try_from(data.end)?]);
    }
    let codes = reader.finish().report.codes;
    let frames = codes.iter().filter_map(|code| code.frames.as_ref());
    frames.flatten().map(frame).collect()
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
