//! What is wrong, collected while the fields are read.

use plumbline_words::Problem;

/// The problems found so far.
#[derive(Debug, Default)]
pub(crate) struct Problems(pub(crate) Vec<Problem>);

impl Problems {
    /// What was read, or none with its problem put down.
    pub(crate) fn keep<T>(&mut self, read: Result<T, Problem>) -> Option<T> {
        read.map_err(|problem| self.0.push(problem)).ok()
    }
}
