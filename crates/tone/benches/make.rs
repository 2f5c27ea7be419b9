//! How long it takes to make an hour as a file in memory, and to read it back.
//!
//! `cargo bench -p plumbline-tone [-- WORD …]`: the cases with all these words. Each figure is the
//! best of five runs; each run must have made every byte and read back every codeword.

use std::env::args;
use std::error::Error;
use std::time::{Duration, Instant};

use plumbline_tone::{AsAsked, Plan, Settings};

fn main() -> Result<(), Box<dyn Error>> {
    let usual = || Settings {
        length: "1 h".to_owned(),
        ..Settings::default()
    };
    let drop = Settings {
        rate: "29.97".to_owned(),
        counting: "drop".to_owned(),
        ..usual()
    };
    let float = Settings {
        samples: "float".to_owned(),
        ..usual()
    };
    let line_up = Settings {
        beside: "line-up".to_owned(),
        ..usual()
    };
    let cases = [
        ("25, 24 bits", usual()),
        ("29.97 drop-frame, 24 bits", drop),
        ("25, float", float),
        ("25, 24 bits, line-up tone beside", line_up),
    ];
    let wanted: Vec<String> = args()
        .skip(1)
        .filter(|word| !word.starts_with('-'))
        .collect();
    for (name, settings) in cases {
        if wanted.iter().all(|word| name.contains(word)) {
            report(name, &settings)?;
        }
    }
    Ok(())
}

fn report(name: &str, settings: &Settings) -> Result<(), Box<dyn Error>> {
    let plan = Plan::new(settings).map_err(|problems| format!("{problems:?}"))?;
    let (mut made, mut read) = (Duration::MAX, Duration::MAX);
    for _ in 0..5 {
        made = made.min(make(&plan)?);
        read = read.min(read_back(&plan)?);
    }
    println!(
        "{name:34} an hour made in {:.3} s, {:5.0} MB/s; with reading back in {:.3} s",
        made.as_secs_f64(),
        plan.file_bytes() as f64 / made.as_secs_f64() / 1e6,
        read.as_secs_f64()
    );
    Ok(())
}

fn make(plan: &Plan) -> Result<Duration, Box<dyn Error>> {
    let begins = Instant::now();
    let (mut writer, mut piece, mut bytes) = (plan.file()?, Vec::new(), 0);
    while writer.next_piece(&mut piece)? {
        bytes += piece.len() as u64;
    }
    let took = begins.elapsed();
    assert_eq!(bytes, plan.file_bytes());
    Ok(took)
}

/// Makes it once more and reads each piece.
fn read_back(plan: &Plan) -> Result<Duration, Box<dyn Error>> {
    let begins = Instant::now();
    let (mut writer, mut piece) = (plan.file()?, Vec::new());
    let mut read_back = plan.read_back();
    while writer.next_piece(&mut piece)? {
        read_back.push(&piece);
    }
    let outcome = read_back.finish();
    let took = begins.elapsed();
    assert_eq!(outcome.as_asked, AsAsked::Yes, "{}", outcome.text);
    Ok(took)
}
