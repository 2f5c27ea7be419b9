//! Lays recordings on one clock and writes them in every form in which a shoot is handed over.
//!
//! `hand_over FOLDER < shoot.json` · The JSON has `name`, `entries` and `corrections`. In the
//! folder, which must be there: `shoot.otio`, `shoot.csv`, and edit lists `device-001.edl` …, one
//! a device, and `all-001.edl` …, as few as hold everything.

use plumbline_shoot::handover::{Lists, edit_lists, otio, table};
use plumbline_shoot::lineup::{Corrections, Entry, line_up};
use serde::Deserialize;
use std::error::Error;
use std::path::PathBuf;

#[derive(Deserialize)]
struct Shoot {
    name: String,
    entries: Vec<Entry>,
    corrections: Corrections,
}

fn main() -> Result<(), Box<dyn Error>> {
    let usage = "usage: hand_over FOLDER < shoot.json";
    let folder = PathBuf::from(std::env::args_os().nth(1).ok_or(usage)?);
    let shoot: Shoot = serde_json::from_reader(std::io::stdin().lock())?;
    let line_up = line_up(&shoot.entries, &shoot.corrections);
    std::fs::write(folder.join("shoot.otio"), otio(&line_up, &shoot.name))?;
    std::fs::write(folder.join("shoot.csv"), table(&line_up))?;
    for (kind, lists) in [("device", Lists::OneADevice), ("all", Lists::OneForAll)] {
        let lists = edit_lists(&line_up, &shoot.name, lists);
        for (number, list) in (1..).zip(lists) {
            std::fs::write(folder.join(format!("{kind}-{number:03}.edl")), list.text)?;
        }
    }
    Ok(())
}
