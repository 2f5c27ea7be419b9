//! What can keep damage from being done.

use std::io;
use std::path::PathBuf;

use plumbline_ltc::{LevelError, ModulatorError};
use thiserror::Error;

/// Why a take can't be made or damaged as asked.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum DamageError {
    /// The code itself can't sound as asked.
    #[error(transparent)]
    Modulator(#[from] ModulatorError),
    /// Its level is none.
    #[error(transparent)]
    Level(#[from] LevelError),
    /// A program that is needed can't be started.
    #[error("{} can't be started, and this damage needs it: {source}", program.display())]
    NoProgram {
        /// Which.
        program: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// A program gave up.
    #[error("{} gave up: {said}", program.display())]
    Program {
        /// Which.
        program: PathBuf,
        /// What it said.
        said: String,
    },
    /// Files between here and a program can't be written or read.
    #[error("temporary files can't be used: {0}")]
    Files(#[source] io::Error),
    /// A number that means nothing where it stands.
    #[error("{what} of {value} means nothing here: {expected}")]
    OutOfRange {
        /// Which setting.
        what: &'static str,
        /// What it was, in the setting's own unit.
        value: f64,
        /// What it may be.
        expected: &'static str,
    },
}

impl DamageError {
    /// `value`, if it is finite and `holds` is true of it.
    pub(crate) fn check(
        what: &'static str,
        value: f64,
        expected: &'static str,
        holds: impl Fn(f64) -> bool,
    ) -> Result<f64, Self> {
        if value.is_finite() && holds(value) {
            Ok(value)
        } else {
            Err(Self::OutOfRange {
                what,
                value,
                expected,
            })
        }
    }
}
