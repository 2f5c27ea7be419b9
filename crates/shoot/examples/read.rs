//! Reads recordings and prints one JSON report a line, in order.
//!
//! `read [--frames] FILE…` · `--frames` lists every codeword that was read. A file that can't be
//! read gives a report with an error; the rest go on, and the exit status is then 1.

use plumbline_shoot::report::{Report, ReportedError};
use plumbline_shoot::{FrameList, RecordingReader};
use std::fs::File;
use std::io::{BufReader, Read, Seek, SeekFrom, Write};
use std::path::Path;
use std::process::ExitCode;

/// Bytes handed over at once.
const BLOCK: usize = 1 << 20;

fn main() -> ExitCode {
    let (options, files): (Vec<String>, Vec<String>) = std::env::args()
        .skip(1)
        .partition(|argument| argument.starts_with("--"));
    if files.is_empty() || options.iter().any(|option| option != "--frames") {
        eprintln!("usage: read [--frames] FILE…");
        return ExitCode::from(2);
    }
    let frames = if options.is_empty() {
        FrameList::Leave
    } else {
        FrameList::Keep
    };
    let mut out = std::io::stdout().lock();
    let mut status = ExitCode::SUCCESS;
    for file in &files {
        let report = read(Path::new(file), frames);
        if report.error.is_some() {
            status = ExitCode::FAILURE;
        }
        let line = serde_json::to_string(&report).unwrap_or_default();
        if writeln!(out, "{line}").is_err() {
            return ExitCode::FAILURE;
        }
    }
    status
}

fn read(path: &Path, frames: FrameList) -> Report {
    let name = path
        .file_name()
        .unwrap_or(path.as_os_str())
        .to_string_lossy()
        .into_owned();
    read_samples(path, &name, frames).unwrap_or_else(|error| Report {
        file: name,
        error: Some(ReportedError {
            kind: "source".into(),
            place: None,
            at: None,
            text: error.to_string(),
            remedy: "Check that the file is there and may be read.".into(),
        }),
        ..Report::default()
    })
}

fn read_samples(path: &Path, name: &str, frames: FrameList) -> std::io::Result<Report> {
    let mut file = File::open(path)?;
    let mut recording = match RecordingReader::open(name, &mut BufReader::new(&file), frames) {
        Ok(recording) => recording,
        Err(reading) => return Ok(reading.report),
    };
    let mut block = vec![0; BLOCK];
    for piece in recording.pieces() {
        file.seek(SeekFrom::Start(piece.start))?;
        let mut left = (&file).take(piece.end - piece.start);
        loop {
            match left.read(&mut block)? {
                0 => break,
                n => recording.push(&block[..n]),
            }
        }
    }
    Ok(recording.finish().report)
}
