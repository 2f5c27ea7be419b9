//! What every part of Work out answers with: a sentence, and tables of values with their working.

use plumbline_words::Problem;
use serde::Serialize;

/// The answer to what stands in the fields of one part.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Answer {
    /// The answer that was most likely wanted, in a sentence.
    pub verdict: String,
    /// Everything else, in tables.
    pub tables: Vec<Table>,
    /// What is wrong, at its field.
    pub problems: Vec<Problem>,
}

/// Values that belong together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Table {
    /// What they are of.
    pub title: String,
    /// The values.
    pub rows: Vec<Row>,
}

/// One value.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Row {
    /// What it is.
    pub label: String,
    /// What it comes to: what a copy of it holds.
    pub value: String,
    /// How it was worked out, in a line; empty where there is nothing to work out.
    pub how: String,
    /// What was rounded and by how much; none where the value is exact.
    pub rounded: Option<String>,
}

impl Table {
    /// A table of rows.
    pub(crate) fn new(title: impl Into<String>, rows: Vec<Row>) -> Self {
        Self {
            title: title.into(),
            rows,
        }
    }
}

impl Row {
    /// An exact value.
    pub(crate) fn new(
        label: impl Into<String>,
        value: impl Into<String>,
        how: impl Into<String>,
    ) -> Self {
        Self {
            label: label.into(),
            value: value.into(),
            how: how.into(),
            rounded: None,
        }
    }

    /// The same value, which was rounded.
    pub(crate) fn rounded(self, what: impl Into<String>) -> Self {
        Self {
            rounded: Some(what.into()),
            ..self
        }
    }
}
