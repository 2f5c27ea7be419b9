//! Measures the readers under every kind of damage and writes tables and curves into a folder.
//!
//! `sweep [--quick] FOLDER` · `--quick` only shows that it works.

use std::path::Path;
use std::process::ExitCode;

use plumbline_damage::{EdgeCounter, Effort, Plumbline, sweep};

fn main() -> ExitCode {
    let (options, folders): (Vec<String>, Vec<String>) = std::env::args()
        .skip(1)
        .partition(|argument| argument.starts_with("--"));
    let effort = match options.as_slice() {
        [] => Effort::Full,
        [only] if only == "--quick" => Effort::Quick,
        _ => return usage(),
    };
    let [folder] = folders.as_slice() else {
        return usage();
    };
    match sweep(&[&EdgeCounter, &Plumbline], effort, Path::new(folder)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("sweep: {error}");
            ExitCode::FAILURE
        }
    }
}

fn usage() -> ExitCode {
    eprintln!("usage: sweep [--quick] FOLDER");
    ExitCode::from(2)
}
