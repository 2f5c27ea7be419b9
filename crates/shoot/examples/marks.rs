//! Writes marks as they are handed over.
//!
//! `marks table|timeline < marks.json`

use plumbline_shoot::handover::{Mark, marks_otio, marks_table};
use std::error::Error;

#[expect(clippy::print_stdout, reason = "its answer is what it prints")]
fn main() -> Result<(), Box<dyn Error>> {
    let marks: Vec<Mark> = serde_json::from_reader(std::io::stdin())?;
    match std::env::args().nth(1).as_deref() {
        Some("table") => print!("{}", marks_table(&marks)),
        Some("timeline") => println!("{}", marks_otio(&marks, "Marks")),
        _ => return Err("usage: marks table|timeline < marks.json".into()),
    }
    Ok(())
}
