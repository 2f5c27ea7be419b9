//! Codewords for other programs to check: a line in, ten bytes in hexadecimal out.
//!
//! A line holds the count (`24`, `25`, `30`, `30drop`), hours, minutes, seconds, frames, the user
//! bits as eight hexadecimal digits, the binary group flags BGF2 BGF1 BGF0, the colour-frame flag
//! and whether polarity is corrected: `25 14 3 20 6 25112601 000 0 1`.

use std::error::Error;
use std::io::{Write, stdin, stdout};

use plumbline_ltc::{Codeword, ColourFrame, Flags, PolarityRule};
use plumbline_timecode::{BinaryGroupFlags, Count, TimeAddress, UserBits};

fn main() -> Result<(), Box<dyn Error>> {
    let mut out = stdout().lock();
    for line in stdin().lines() {
        let line = line?;
        let Codeword(bytes) = codeword(&line).map_err(|error| format!("{line:?}: {error}"))?;
        for byte in bytes {
            write!(out, "{byte:02X}")?;
        }
        writeln!(out)?;
    }
    Ok(())
}

fn codeword(line: &str) -> Result<Codeword, Box<dyn Error>> {
    let fields: Vec<&str> = line.split_whitespace().collect();
    let [
        count,
        hours,
        minutes,
        seconds,
        frames,
        user_bits,
        groups,
        colour,
        corrected,
    ] = fields[..]
    else {
        return Err(format!("{} fields, and nine are right", fields.len()).into());
    };
    let count = match count {
        "24" => Count::F24,
        "25" => Count::F25,
        "30" => Count::F30,
        "30drop" => Count::F30Drop,
        _ => return Err("the count is none of 24, 25, 30 and 30drop".into()),
    };
    let address = TimeAddress::new(
        count,
        hours.parse()?,
        minutes.parse()?,
        seconds.parse()?,
        frames.parse()?,
    )?;
    let groups = usize::from(u8::from_str_radix(groups, 2)?);
    let groups = BinaryGroupFlags::ALL
        .get(groups)
        .ok_or("there are three flags")?;
    let colour_frame = if colour == "1" {
        ColourFrame::Followed
    } else {
        ColourFrame::Unspecified
    };
    let polarity = if corrected == "1" {
        PolarityRule::Corrected
    } else {
        PolarityRule::Uncorrected
    };
    let user_bits = UserBits(u32::from_str_radix(user_bits, 16)?);
    Ok(Codeword::new(
        address,
        user_bits,
        *groups,
        Flags { colour_frame },
        polarity,
    ))
}
