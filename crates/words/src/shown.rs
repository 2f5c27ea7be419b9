//! Pieces of a sheet, ready to be shown.

use serde::Serialize;

/// A label and its value.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Fact {
    /// What it is.
    pub label: String,
    /// What it comes to.
    pub value: String,
}

/// What a field's setting means, said beside it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Note {
    /// The field's name.
    pub field: String,
    /// In a sentence.
    pub text: String,
}

/// What is wrong with what stands in a field.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Problem {
    /// The field's name.
    pub field: String,
    /// What was found and what is wrong with it.
    pub text: String,
    /// What would be right.
    pub remedy: String,
}

impl Fact {
    /// A value under a label.
    ///
    /// ```
    /// # use plumbline_words::Fact;
    /// assert_eq!(Fact::new("Rate", "25").label, "Rate");
    /// ```
    pub fn new(label: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            value: value.into(),
        }
    }
}

impl Problem {
    /// What is wrong with a field, and what would be right.
    pub fn new(
        field: impl Into<String>,
        text: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            field: field.into(),
            text: text.into(),
            remedy: remedy.into(),
        }
    }
}
