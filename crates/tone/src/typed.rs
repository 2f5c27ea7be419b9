//! Reading what was typed: one of a few words.

use plumbline_words::Problem;

use crate::field::Field;

pub(crate) use plumbline_words::{decimal, quoted, whole_number};

/// What one of a few words stands for.
pub(crate) fn choice<T: Copy>(
    field: Field,
    typed: &str,
    words: &[(&str, T)],
) -> Result<T, Problem> {
    plumbline_words::choice(field.name(), typed, words)
}
