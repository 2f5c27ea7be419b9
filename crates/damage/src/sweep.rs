//! Every kind of damage, done by more and more, and who still reads it: tables and curves.

mod case;
mod curves;
mod figures;
mod measure;
mod page;
mod plan;
mod silence;
mod starts;

use std::fs;
use std::io;
use std::path::Path;

use plumbline_timecode::SampleRateError;
use thiserror::Error;

use crate::{DamageError, Reader};

/// How much trouble is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Effort {
    /// Enough that the figures may be published. Judging seeds.
    Full,
    /// Enough to see that it works. Tuning seeds.
    Quick,
}

/// What can keep a sweep from its end.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum SweepError {
    /// Damage that can't be done.
    #[error(transparent)]
    Damage(#[from] DamageError),
    /// A sample rate that is none.
    #[error(transparent)]
    SampleRate(#[from] SampleRateError),
    /// What was measured can't be written down.
    #[error("the results can't be written: {0}")]
    Files(#[from] io::Error),
}

/// Measures how well readers do under every kind of damage, and writes `measured.md`, its curves
/// and the figures of the chapter on the receiver into a folder.
///
/// Nothing in those files is typed in: the same readers give the same files.
pub fn sweep(readers: &[&dyn Reader], effort: Effort, folder: &Path) -> Result<(), SweepError> {
    let plan = plan::all()?;
    let outcomes = measure::measure(&plan, readers, effort)?;
    let starts = starts::ask(effort)?;
    let silences = silence::listen(readers, effort)?;
    fs::create_dir_all(folder)?;
    let pairs: Vec<_> = plan
        .iter()
        .zip(outcomes.iter().map(Vec::as_slice))
        .collect();
    for (sweep, outcomes) in &pairs {
        if let Some(svg) = curves::curves(sweep, outcomes, readers) {
            fs::write(folder.join(format!("{}.svg", sweep.stem)), svg)?;
        }
    }
    for (sweep, outcomes) in &pairs {
        if let Some(svg) = curves::positions(sweep, outcomes, readers) {
            fs::write(folder.join(format!("{}-position.svg", sweep.stem)), svg)?;
        }
    }
    for (name, svg) in figures::figures(effort) {
        fs::write(folder.join(name), svg)?;
    }
    fs::write(
        folder.join("measured.md"),
        page::page(&pairs, &starts, &silences, readers),
    )?;
    Ok(())
}
