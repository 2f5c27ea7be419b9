//! Lays recordings on one clock and writes them in every form in which a shoot is handed over.
//!
//! `hand_over FOLDER < sheet.json` · In the folder, which must be there: `shoot.otio`, `shoot.csv`,
//! edit lists `device-001.edl` …, one a device, and `all-001.edl` …, as few as hold everything, and
//! the sheet itself as it is saved, `sheet.json`.

use plumbline_shoot::handover::{Lists, edit_lists, otio, table};
use plumbline_shoot::lineup::line_up;
use plumbline_shoot::sheet::Sheet;
use std::error::Error;
use std::path::PathBuf;

fn main() -> Result<(), Box<dyn Error>> {
    let usage = "usage: hand_over FOLDER < sheet.json";
    let folder = PathBuf::from(std::env::args_os().nth(1).ok_or(usage)?);
    let sheet = Sheet::from_json(&std::io::read_to_string(std::io::stdin())?)?;
    std::fs::write(folder.join("sheet.json"), sheet.to_json())?;
    let line_up = line_up(&sheet.entries, &sheet.corrections);
    std::fs::write(folder.join("shoot.otio"), otio(&line_up, &sheet.name))?;
    std::fs::write(folder.join("shoot.csv"), table(&line_up))?;
    for (kind, lists) in [("device", Lists::OneADevice), ("all", Lists::OneForAll)] {
        let lists = edit_lists(&line_up, &sheet.name, lists);
        for (number, list) in (1..).zip(lists) {
            std::fs::write(folder.join(format!("{kind}-{number:03}.edl")), list.text)?;
        }
    }
    Ok(())
}
