//! The saved state of a shoot: what was read and what a person changed, as a JSON file of this
//! project's own. `docs/sheet.schema.json` is its schema.

use crate::lineup::{Corrections, Entry};
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// The format that is written. An older one is read too.
const VERSION: u64 = 1;
const KIND: &str = "shoot";

/// A shoot as it is saved.
///
/// ```
/// use plumbline_shoot::sheet::Sheet;
/// let sheet = Sheet { name: "The last crossing".into(), ..Sheet::default() };
/// assert_eq!(Sheet::from_json(&sheet.to_json()), Ok(sheet));
/// ```
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Sheet {
    /// What the shoot is called.
    pub name: String,
    /// The recordings.
    pub entries: Vec<Entry>,
    /// What was changed by hand.
    pub corrections: Corrections,
}

/// Why a text is no sheet that can be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SheetError {
    /// It is no JSON.
    #[error("it is no JSON from line {line}, column {column} on")]
    NoJson {
        /// The line, counted from 1.
        line: usize,
        /// The column, counted from 1; 0 at the end of the line before.
        column: usize,
    },
    /// It is JSON about something else.
    #[error("it is JSON, but no sheet of a shoot")]
    NoSheet,
    /// It was saved by a newer version.
    #[error("it is a sheet of version {version}, and this page reads up to version {VERSION}")]
    Newer {
        /// The version that it states.
        version: u64,
    },
    /// It is a sheet, but a part of it is missing or of the wrong kind.
    #[error("the sheet is damaged at {field}: {text}")]
    Damaged {
        /// Which part: `entries[3].summary.samples`.
        field: String,
        /// What is wrong with it.
        text: String,
    },
}

impl SheetError {
    /// What to do now.
    pub const fn remedy(&self) -> &'static str {
        match self {
            Self::NoJson { .. } => {
                "It may be cut short or changed by another program: open an earlier copy, or drop \
                 the recordings again."
            }
            Self::NoSheet => "Open the file that was saved from here.",
            Self::Newer { .. } => "Load the page again while there is a connection, then open it.",
            Self::Damaged { .. } => {
                "Mend that part in a text editor, open an earlier copy, or drop the recordings \
                 again."
            }
        }
    }
}

impl Sheet {
    /// The sheet as JSON, for a file.
    pub fn to_json(&self) -> String {
        let file = File {
            plumbline: KIND,
            version: VERSION,
            name: &self.name,
            entries: &self.entries,
            corrections: &self.corrections,
        };
        // Nothing in it can fail: its keys are texts.
        serde_json::to_string_pretty(&file).unwrap_or_default()
    }

    /// The sheet that a file holds; parts that this version does not know are left out.
    pub fn from_json(json: &str) -> Result<Self, SheetError> {
        let value: Value = serde_json::from_str(json).map_err(|error| SheetError::NoJson {
            line: error.line(),
            column: error.column(),
        })?;
        if value.get("plumbline").and_then(Value::as_str) != Some(KIND) {
            return Err(SheetError::NoSheet);
        }
        match value.get("version").and_then(Value::as_u64) {
            Some(1..=VERSION) => {}
            Some(version @ 1..) => return Err(SheetError::Newer { version }),
            Some(0) | None => {
                return Err(SheetError::Damaged {
                    field: "version".into(),
                    text: "it is no whole number from 1 on".into(),
                });
            }
        }
        serde_path_to_error::deserialize(value).map_err(damaged)
    }
}

/// A sheet as it stands in its file.
#[derive(Serialize)]
struct File<'a> {
    plumbline: &'static str,
    version: u64,
    name: &'a str,
    entries: &'a [Entry],
    corrections: &'a Corrections,
}

fn damaged(error: serde_path_to_error::Error<serde_json::Error>) -> SheetError {
    let path = error.path().to_string();
    SheetError::Damaged {
        field: if path == "." { "its top".into() } else { path },
        text: error.into_inner().to_string(),
    }
}
