//! A list to add up: rows of in and out points, or of durations.

mod between;
mod line;
mod present;
mod tokens;

use plumbline_timecode::Timebase;
use plumbline_words::{Problem, choice};
use serde::{Deserialize, Serialize};

use crate::problems::Problems;
use crate::{Table, typed};

use between::Between;
use line::{Kind, Line};

/// What is asked: a list as it was pasted, and how to read it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct RowsForm {
    /// The list, a row a line. Tabs, commas, semicolons or blanks stand between the columns; what
    /// is no time address is a label.
    pub text: String,
    /// Frames a second, by the rate's name: `25`.
    pub rate: String,
    /// How frames are counted: `non-drop` or `drop`.
    pub counting: String,
    /// What the rows have: `in-and-out` (and a third address, if there is one, is the duration)
    /// or `durations`.
    pub rows_are: String,
    /// Whether the frame of the out is the first one that does not count or the last one that
    /// does: `exclusive` or `inclusive`.
    pub outs: String,
    /// Which pair counts where a row has four addresses, as in an edit list: `first` (the
    /// source's) or `last` (the record's).
    pub pair: String,
}

impl Default for RowsForm {
    fn default() -> Self {
        let text = str::to_owned;
        Self {
            text: String::new(),
            rate: text("25"),
            counting: text("non-drop"),
            rows_are: text("in-and-out"),
            outs: text("exclusive"),
            pair: text("first"),
        }
    }
}

/// The sum of a list and every line of it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct RowsAnswer {
    /// The answer that was most likely wanted, in a sentence.
    pub verdict: String,
    /// Everything else, in tables.
    pub tables: Vec<Table>,
    /// What is wrong, at its field.
    pub problems: Vec<Problem>,
    /// Every line that is not blank, in order.
    pub lines: Vec<CheckedLine>,
    /// The same as comma-separated values, with a heading.
    pub csv: String,
}

/// A line of the list, checked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct CheckedLine {
    /// Which line, the first is 1.
    pub number: u32,
    /// What it is.
    pub state: LineState,
    /// What stands beside its addresses; of a bad row and a remark the whole line.
    pub label: String,
    /// The in point; empty where there is none.
    pub in_point: String,
    /// The out point, exclusive or inclusive as it was pasted; empty where there is none.
    pub out_point: String,
    /// How long it is, in hours, minutes, seconds and frames; empty where it does not count.
    pub duration: String,
    /// The same in frames; empty where it does not count.
    pub frames: String,
    /// The total up to this row; empty where it does not count.
    pub running_total: String,
    /// How it follows on the row before; empty where that says nothing.
    pub follows: String,
    /// What is wrong with it, or worth knowing; empty where there is nothing.
    pub text: String,
    /// What would be right.
    pub remedy: String,
}

/// What a line of the list is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub enum LineState {
    /// A row that counts.
    Row,
    /// A row that is wrong and does not count.
    Bad,
    /// The names of the columns.
    Heading,
    /// A remark of an edit list.
    Remark,
}

/// What the rows have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum RowsAre {
    InAndOut,
    Durations,
}

/// What the out point is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Outs {
    Exclusive,
    Inclusive,
}

/// Which pair of four addresses counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Pair {
    First,
    Last,
}

/// How the list is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Reading {
    timebase: Timebase,
    rows_are: RowsAre,
    outs: Outs,
    pair: Pair,
}

/// Adds up a list. What does not count is marked and told.
///
/// ```
/// use plumbline_sums::{RowsForm, rows};
/// let text = "ferry\t10:00:00:00\t10:00:10:00\npier\t10:00:12:00\t10:00:11:00";
/// let answer = rows(&RowsForm { text: text.into(), ..RowsForm::default() });
/// assert_eq!(answer.tables[0].rows[0].value, "00:00:10:00");
/// assert_eq!(answer.lines[1].text, "The out 10:00:11:00 is before the in 10:00:12:00.");
/// ```
pub fn rows(form: &RowsForm) -> RowsAnswer {
    let mut problems = Problems::default();
    let Some(reading) = reading(form, &mut problems) else {
        return RowsAnswer {
            verdict: "No list to add up yet: something is not right in the fields.".to_owned(),
            problems: problems.0,
            ..RowsAnswer::default()
        };
    };
    let lines = line::read(&form.text, reading);
    let between = Between::new(&lines);
    problems.0.extend(present::problems(&lines, reading));
    let checked = present::lines(&lines, &between, reading.timebase);
    RowsAnswer {
        verdict: present::verdict(&lines, reading),
        tables: present::tables(&lines, &between, reading),
        problems: problems.0,
        csv: present::csv(&checked),
        lines: checked,
    }
}

fn reading(form: &RowsForm, problems: &mut Problems) -> Option<Reading> {
    let rows_are = [
        ("in-and-out", RowsAre::InAndOut),
        ("durations", RowsAre::Durations),
    ];
    let outs = [
        ("exclusive", Outs::Exclusive),
        ("inclusive", Outs::Inclusive),
    ];
    let pair = [("first", Pair::First), ("last", Pair::Last)];
    let timebase = typed::timebase(&form.rate, &form.counting, problems);
    let rows_are = problems.keep(choice("rows_are", &form.rows_are, &rows_are));
    let outs = problems.keep(choice("outs", &form.outs, &outs));
    let pair = problems.keep(choice("pair", &form.pair, &pair));
    Some(Reading {
        timebase: timebase?,
        rows_are: rows_are?,
        outs: outs?,
        pair: pair?,
    })
}

/// The rows that count, with their line numbers.
fn good(lines: &[Line]) -> impl Iterator<Item = (&Line, &line::Span)> {
    lines.iter().filter_map(|line| match &line.kind {
        Kind::Row(span) => Some((line, span)),
        _ => None,
    })
}
