//! Writes the demo recording into a folder and prints its path: `demo FOLDER`. The browser tests
//! start from it.

use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    let Some(folder) = std::env::args_os().nth(1) else {
        eprintln!("usage: demo FOLDER");
        return ExitCode::from(2);
    };
    let demo = plumbline_shoot::demo();
    let path = Path::new(&folder).join(demo.name);
    if let Err(error) = std::fs::write(&path, demo.bytes) {
        eprintln!("{}: {error}", path.display());
        return ExitCode::FAILURE;
    }
    println!("{}", path.display());
    ExitCode::SUCCESS
}
