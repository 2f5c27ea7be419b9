//! What is collected while settings are looked at.

use plumbline_words::{Note, Problem};

use crate::field::Field;

/// What there is to say about settings so far.
#[derive(Debug, Default)]
pub(crate) struct Remarks {
    pub(crate) notes: Vec<Note>,
    pub(crate) problems: Vec<Problem>,
}

impl Remarks {
    /// Says what a setting means.
    pub(crate) fn note(&mut self, field: Field, text: impl Into<String>) {
        self.notes.push(field.note(text));
    }

    /// What was read, or none with its problem put down.
    pub(crate) fn keep<T>(&mut self, read: Result<T, Problem>) -> Option<T> {
        read.map_err(|problem| self.problems.push(problem)).ok()
    }
}
