//! Answers questions about time addresses, one a line, so that other programs can check them.
//!
//! | line on standard input | answer on standard output |
//! |---|---|
//! | `frame RATE COUNT NUMBER` | `ADDRESS NANOSECONDS CODE-ADDRESS PART` of a frame since midnight |
//! | `digits COUNT HOURS MINUTES SECONDS FRAMES` | the frame since midnight, or `none` if the digits name no frame |
//!
//! RATE is a rate's name or fraction; COUNT is `24`, `25`, `30`, `30drop` and so on. Nanoseconds
//! are real time since midnight, rounded down.
//!
//! `echo frame 29.97 30drop 107892 | cargo run -q -p plumbline-timecode --example addresses`
//! prints `01:00:00;00 3599996400000 01:00:00;00 0`.

use std::error::Error;
use std::io::{self, BufRead, BufWriter, Write};

use plumbline_timecode::{Count, FrameNumber, Rounding, TimeAddress, Timebase};

fn main() -> Result<(), Box<dyn Error>> {
    let mut answers = BufWriter::new(io::stdout().lock());
    for line in io::stdin().lock().lines() {
        writeln!(answers, "{}", answer(&line?)?)?;
    }
    Ok(answers.flush()?)
}

fn answer(line: &str) -> Result<String, Box<dyn Error>> {
    let words: Vec<&str> = line.split_whitespace().collect();
    match words[..] {
        ["frame", rate, count, number] => frame(
            Timebase::new(rate.parse()?, count_named(count)?)?,
            FrameNumber(number.parse()?),
        ),
        ["digits", count, hours, minutes, seconds, frames] => Ok(digits(
            count_named(count)?,
            [
                hours.parse()?,
                minutes.parse()?,
                seconds.parse()?,
                frames.parse()?,
            ],
        )),
        _ => Err(format!("not a question: {line}").into()),
    }
}

fn frame(timebase: Timebase, number: FrameNumber) -> Result<String, Box<dyn Error>> {
    let address = TimeAddress::from_frame_number(timebase.count(), number)?;
    let nanoseconds = timebase.seconds_at(address)?.nanoseconds(Rounding::Down);
    let nanoseconds = nanoseconds.ok_or("no frame of a day is so late")?;
    let code = address.code();
    Ok(format!(
        "{address} {nanoseconds} {} {}",
        code.address(),
        code.part()
    ))
}

fn digits(count: Count, [hours, minutes, seconds, frames]: [u8; 4]) -> String {
    match TimeAddress::new(count, hours, minutes, seconds, frames) {
        Ok(address) => address.frame_number().to_string(),
        Err(_) => "none".to_owned(),
    }
}

fn count_named(name: &str) -> Result<Count, String> {
    let named = |count: &Count| {
        let drop = if count.is_drop() { "drop" } else { "" };
        format!("{}{drop}", count.frames_per_second()) == name
    };
    Count::ALL
        .into_iter()
        .find(named)
        .ok_or_else(|| format!("not a count: {name}"))
}
