//! Lines of plain arithmetic with time addresses and lengths of time, worked out as one types.
//!
//! ```
//! use plumbline_sums::worksheet::{Worksheet, worksheet};
//! let worked = worksheet(&Worksheet {
//!     text: "take = from 10:00:00:00 to 10:02:30:12\ntake + 2 * 1 s".to_owned(),
//!     ..Worksheet::default()
//! });
//! assert_eq!(worked.lines[1].value, "00:02:32:12 long");
//! assert_eq!(worked.total.value, "00:02:32:12 long");
//! ```
//!
//! The syntax stands in `worksheet.pest`, beside this file; [`help`] explains it to whoever uses
//! the page.
//!
//! # Addresses and lengths
//!
//! `00:01:00:00` is always an **address**: the name of a frame. With `long` after it the same
//! digits are a **length**: as long as from midnight to that address. Lengths are also written
//! with units, side by side where there are several: `1 h 2 min 3.5 s`, `90 frames`.
//!
//! | left | sign | right | gives |
//! |---|---|---|---|
//! | address | − | address | length, below 0 where the left one is earlier |
//! | address | + − | length | address, on another day where it passes midnight |
//! | length | + | address | address |
//! | length | + − | length | length |
//! | length | × | number | length (and the other way round) |
//! | length | ÷ | number | length |
//! | length | ÷ | length | number |
//! | number | + − × ÷ | number | number |
//! | from address | to | address | length, past midnight where the second is earlier |
//!
//! Everything else is a fault, which says why and what to write instead. Two addresses must be
//! counted alike; a length is real time, so lengths of any rates go together, and where frames
//! of two rates meet the line says so.
//!
//! A sum of lengths in one unit stays in that unit. In different ones it is shown in full (hours,
//! minutes, seconds, frames) if one of them has frames, else in seconds.
//!
//! # Exactness
//!
//! Every value is a fraction of real seconds until it is shown. What is shown is rounded to the
//! nearest frame, or to some places; [`Line::rounded`] says so and how much is left over, and
//! [`Line::exact`] is a line that gives the value again with nothing lost.
//!
//! # Limits
//!
//! 500 lines, of 400 characters each; 32 parentheses and `from` open at once; figures of 18 digits
//! before the point and 9 after it; lengths of 10^10 s, divided as finely as 10^-15 s. What is
//! beyond them is a fault, never a panic.
//!
//! # Why pest
//!
//! The grammar is a file of its own that reads like the syntax's documentation, and a line that
//! breaks it comes back with the place and all that could have stood there, which is what somebody
//! who is typing wants to know. Its recursion has no bound of its own, so nesting is counted
//! before it is asked.

mod arithmetic;
mod convert;
mod digits;
mod evaluate;
mod exact;
mod fault;
mod help;
mod line;
mod settings;
mod shown;
mod syntax;
mod total;
mod value;
mod verdict;

pub use help::{Example, Topic, help};
pub use line::{Line, LineFault, LineKind, Span};
pub use total::Total;

use std::collections::HashMap;

use plumbline_words::Problem;
use serde::{Deserialize, Serialize};

use evaluate::{Meant, Named, Names};
use fault::Fault;
use syntax::Statement;
use total::Running;

/// A sheet as it was typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Worksheet {
    /// Frames a second, by the rate's name: `25`.
    pub rate: String,
    /// How frames are counted: `non-drop` or `drop`.
    pub counting: String,
    /// Samples a second: `48000`, `48 kHz`, `48000 pulled down`.
    pub sample_rate: String,
    /// The lines, with a line feed between each two.
    pub text: String,
}

impl Default for Worksheet {
    fn default() -> Self {
        Self {
            rate: "25".to_owned(),
            counting: "non-drop".to_owned(),
            sample_rate: "48000".to_owned(),
            text: String::new(),
        }
    }
}

/// What a sheet comes to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Worked {
    /// What the last line comes to, the total, and which lines are not right; empty where nothing
    /// was typed.
    pub verdict: String,
    /// One for each line of the text, in order, up to the most that are read.
    pub lines: Vec<Line>,
    /// What the lengths among them come to.
    pub total: Total,
    /// What is wrong at the top of the sheet, or with the text as a whole.
    pub problems: Vec<Problem>,
}

/// The most lines that are read.
const MOST_LINES: usize = 500;

/// Works out a sheet. It never fails: what is wrong with a line stands in that line, and the
/// others are worked out all the same.
pub fn worksheet(sheet: &Worksheet) -> Worked {
    let (rates, mut problems) = settings::rates(sheet);
    let texts: Vec<&str> = sheet.text.split('\n').collect();
    if texts.len() > MOST_LINES {
        problems.push(Problem::new(
            "text",
            format!(
                "The sheet has {} lines; {MOST_LINES} are read.",
                texts.len()
            ),
            "Begin another sheet for the rest.",
        ));
    }
    let read: Vec<_> = texts
        .iter()
        .take(MOST_LINES)
        .map(|&text| (text, syntax::statement(text)))
        .collect();
    let mut names = given_names(&read);
    let mut total = Running::new(rates);
    let lines: Vec<Line> = (1..)
        .zip(read)
        .map(|(at, (text, read))| {
            let read = read.and_then(|statement| line::check_name(statement, &names, at));
            line::work_out(read, text, rates, &mut names, &mut total)
        })
        .collect();
    let total = total.finish();
    Worked {
        verdict: verdict::verdict(&lines, &total),
        lines,
        total,
        problems,
    }
}

/// Every name with the line that gives it first, counted from 1.
fn given_names(lines: &[(&str, Result<Option<Statement>, Fault>)]) -> Names {
    let mut names = HashMap::new();
    for (line, (text, statement)) in (1..).zip(lines) {
        let (name, value) = match statement {
            Ok(Some(Statement { name, .. })) => {
                let name = name.as_ref().map(|(name, _)| name.clone());
                (name, Meant::Later)
            }
            Ok(None) => (None, Meant::Later),
            Err(_) => (syntax::name_given(text), Meant::Broken),
        };
        if let Some(name) = name {
            let first = names.entry(name.to_lowercase());
            first.or_insert(Named { line, value });
        }
    }
    names
}
