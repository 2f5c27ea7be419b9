//! What settings come to, ready to be shown: the sentence, the facts, what is wrong with a field.

use plumbline_words::{Fact, Note, Problem};
use serde::Serialize;

/// Settings looked at while they are being typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Sketch {
    /// What will be made, in a sentence; while a field is wrong, what is missing.
    pub verdict: String,
    /// The first and the last address of all, where the settings are right.
    pub ends: Option<Ends>,
    /// The name of the file that would be made, where the settings are right.
    pub file_name: Option<String>,
    /// What else they come to: codewords, length, size of the file, its stamp …
    pub facts: Vec<Fact>,
    /// What a setting means, at its field: high rates, volts, flags.
    pub notes: Vec<Note>,
    /// What is wrong, at its field.
    pub problems: Vec<Problem>,
}

/// The first and the last address.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Ends {
    /// Of the first codeword.
    pub first: String,
    /// Of the last one.
    pub last: String,
}
