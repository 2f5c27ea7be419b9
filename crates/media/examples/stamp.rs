//! Makes a stamped copy of a WAV and reads it back, for other programs to look at.
//!
//! `cargo run --release -q -p plumbline-media --example stamp -- ORIGINAL COPY key=value…`
//!
//! | key                | value                                             | default |
//! |--------------------|---------------------------------------------------|---------|
//! | `time-reference`   | the first sample, counted from midnight           | 0       |
//! | `rate`             | the frame rate's name                             | 25      |
//! | `drop-frame`       | `yes` or `no`                                     | no      |
//! | `tape`             | the sound roll                                    | as it is|
//! | `without`          | channels to leave out, from 1, with commas between| none    |
//!
//! One JSON object is printed; the exit status is 1 where there is no copy that was read back and
//! is right. Of a copy that fails, nothing is left.

use std::fs::{self, File};
use std::io::{BufWriter, Read, Seek, SeekFrom, Write};
use std::ops::Range;
use std::process::ExitCode;

use plumbline_media::stamp::{Channels, Difference, Stamp, StampError, StampedCopy, Written};
use plumbline_timecode::{Rate, Timebase};
use serde_json::{Value, json};

type Failure = Box<dyn std::error::Error>;

/// How many bytes are handed over at a time.
const BLOCK: usize = 1 << 20;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [original, copy, keys @ ..] = arguments.as_slice() else {
        eprintln!("usage: stamp ORIGINAL COPY key=value…");
        return ExitCode::from(2);
    };
    let (facts, code) = match stamped(original, copy, keys) {
        Ok(facts) => (facts, ExitCode::SUCCESS),
        Err(error) => {
            let remedy = error.downcast_ref().map(StampError::remedy);
            let facts = json!({ "error": error.to_string(), "remedy": remedy });
            (facts, ExitCode::FAILURE)
        }
    };
    println!("{facts}");
    code
}

fn stamped(original: &str, copy: &str, keys: &[String]) -> Result<Value, Failure> {
    let stamp = stamp(keys)?;
    let mut source = File::open(original)?;
    let plan = StampedCopy::plan(&mut source, &stamp)?;
    let mut sink = File::create_new(copy)?;
    let made = write(&plan, &mut source, &mut sink).and_then(|written| {
        read_back(&plan, &mut File::open(copy)?, written)?;
        Ok(())
    });
    if let Err(error) = made {
        fs::remove_file(copy)?;
        return Err(error);
    }
    let remarks = plan.remarks().iter().map(ToString::to_string);
    Ok(json!({
        "container": plan.container().name(),
        "channels": plan.channels(),
        "bytes": plan.len(),
        "remarks": remarks.collect::<Vec<_>>(),
    }))
}

fn stamp(keys: &[String]) -> Result<Stamp, Failure> {
    let (mut rate, mut is_drop) = (Rate::F25, false);
    let (mut time_reference, mut tape, mut channels) = (0, None, Channels::all());
    for key in keys {
        match key.split_once('=').ok_or("not key=value")? {
            ("time-reference", value) => time_reference = value.parse()?,
            ("rate", value) => rate = value.parse()?,
            ("drop-frame", value) => is_drop = value == "yes",
            ("tape", value) => tape = Some(value.to_owned()),
            ("without", value) => {
                let numbers = value.split(',').map(str::parse::<u16>);
                let numbers = numbers.collect::<Result<Vec<_>, _>>()?;
                channels = Channels::without(numbers.iter().map(|number| number.saturating_sub(1)));
            }
            _ => return Err(format!("{key}: no such key").into()),
        }
    }
    let count = if is_drop {
        rate.drop_count()
    } else {
        Some(rate.count())
    };
    let count = count.ok_or("there is no drop-frame count at this rate")?;
    Ok(Stamp {
        time_reference,
        timebase: Timebase::new(rate, count)?,
        tape,
        channels,
    })
}

fn write(plan: &StampedCopy, source: &mut File, sink: &mut File) -> Result<Written, Failure> {
    let mut sink = BufWriter::new(sink);
    let (mut writer, mut out) = (plan.writer(), Vec::new());
    for piece in plan.pieces() {
        each_block(source, piece, |block| {
            out.clear();
            writer.push(block, &mut out);
            sink.write_all(&out)
        })?;
    }
    out.clear();
    let written = writer.finish(&mut out);
    sink.write_all(&out)?;
    sink.flush()?;
    Ok(written.ok_or("the original became shorter while it was read")?)
}

fn read_back(plan: &StampedCopy, copy: &mut File, written: Written) -> Result<(), Failure> {
    let mut reading = plan.read_back(copy, written)?;
    let len = copy.metadata()?.len();
    each_block(copy, 0..len, |block| {
        reading.push(block);
        Ok(())
    })?;
    let same: Result<(), Difference> = reading.finish();
    Ok(same?)
}

fn each_block(
    file: &mut File,
    range: Range<u64>,
    mut take: impl FnMut(&[u8]) -> std::io::Result<()>,
) -> std::io::Result<()> {
    let mut block = vec![0; BLOCK];
    file.seek(SeekFrom::Start(range.start))?;
    let mut bytes = file.take(range.end - range.start);
    loop {
        let count = bytes.read(&mut block)?;
        match block.get(..count) {
            Some([]) | None => return Ok(()),
            Some(block) => take(block)?,
        }
    }
}
