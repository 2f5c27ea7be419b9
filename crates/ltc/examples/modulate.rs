//! Writes code as raw 32-bit floats, little-endian, so that other programs can measure it.
//!
//! `modulate RATE COUNT SAMPLE-RATE DBFS ADDRESS USER-BITS CODEWORDS upright|inverted`: RATE is a
//! rate's name, COUNT is `24`, `25`, `30` or `30drop`, ADDRESS that of the first codeword. The
//! first edge is at the first sample.

use std::error::Error;
use std::io::{self, Write};

use plumbline_ltc::{Codeword, Flags, Level, Modulator, Polarity, PolarityRule, Tone};
use plumbline_timecode::{BinaryGroupFlags, Count, Frames, SampleRate, TimeAddress};

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let [
        rate,
        count,
        sample_rate,
        dbfs,
        address,
        user_bits,
        codewords,
        polarity,
    ] = words[..]
    else {
        return Err(
            "wanted: RATE COUNT SAMPLE-RATE DBFS ADDRESS USER-BITS CODEWORDS \
                    upright|inverted"
                .into(),
        );
    };
    let tone = Tone {
        level: Level::dbfs(dbfs.parse()?)?,
        polarity: polarity_named(polarity)?,
        ..Tone::new(rate.parse()?, SampleRate::hertz(sample_rate.parse()?)?)
    };
    let mut modulator = Modulator::new(tone)?;
    let mut address = TimeAddress::parse(address, count_named(count)?)?;
    let user_bits = user_bits.parse()?;

    let mut samples = Vec::new();
    for _ in 0..codewords.parse()? {
        let codeword = Codeword::new(
            address,
            user_bits,
            BinaryGroupFlags::Unspecified,
            Flags::default(),
            PolarityRule::Corrected,
        );
        modulator.push(codeword, &mut |block| samples.extend_from_slice(block));
        address = address.plus_wrapping(Frames(1));
    }
    modulator.finish(&mut |block| samples.extend_from_slice(block));
    let bytes: Vec<u8> = samples
        .iter()
        .flat_map(|sample| sample.to_le_bytes())
        .collect();
    Ok(io::stdout().lock().write_all(&bytes)?)
}

fn polarity_named(name: &str) -> Result<Polarity, String> {
    match name {
        "upright" => Ok(Polarity::Upright),
        "inverted" => Ok(Polarity::Inverted),
        _ => Err(format!("neither upright nor inverted: {name}")),
    }
}

fn count_named(name: &str) -> Result<Count, String> {
    match name {
        "24" => Ok(Count::F24),
        "25" => Ok(Count::F25),
        "30" => Ok(Count::F30),
        "30drop" => Ok(Count::F30Drop),
        _ => Err(format!("not a count of linear timecode: {name}")),
    }
}
