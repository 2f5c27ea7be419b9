//! The sum of a list in words, in tables and as CSV.

use plumbline_timecode::{Count, Frames, Timebase};
use plumbline_words::{Problem, counted, csv_row, frames, thousands};

use super::between::{Between, Follows};
use super::line::{Kind, Line, Said};
use super::{CheckedLine, LineState, Outs, Reading, RowsAre, good};
use crate::figure::clock_figure;
use crate::length::in_full;
use crate::{Row, Table};

/// How many bad lines are named.
const NAMED: usize = 8;

const HEADING: [&str; 11] = [
    "line",
    "is",
    "label",
    "in",
    "out",
    "frames",
    "duration",
    "running total",
    "follows",
    "text",
    "remedy",
];

fn total(lines: &[Line]) -> Frames {
    good(lines).fold(Frames(0), |sum, (_, span)| sum + span.length)
}

fn number(lines: &[Line], kind: impl Fn(&Kind) -> bool) -> u64 {
    lines.iter().filter(|line| kind(&line.kind)).count() as u64
}

fn bad(lines: &[Line]) -> Vec<u32> {
    let bad = lines
        .iter()
        .filter(|line| matches!(line.kind, Kind::Bad(_)));
    bad.map(|line| line.number).collect()
}

/// The total in a sentence, and what it leaves out.
pub(super) fn verdict(lines: &[Line], reading: Reading) -> String {
    if lines.is_empty() {
        return "No list to add up yet.".to_owned();
    }
    let (timebase, total, rows) = (reading.timebase, total(lines), good(lines).count() as u64);
    let outs = match (reading.rows_are, reading.outs) {
        (RowsAre::Durations, _) => "",
        (_, Outs::Exclusive) => ", outs exclusive",
        (_, Outs::Inclusive) => ", outs inclusive",
    };
    let left_out = match bad(lines).len() as u64 {
        0 => String::new(),
        1 => "; one more row is bad and left out".to_owned(),
        many => format!("; {} more rows are bad and left out", thousands(many)),
    };
    let (come, row) = if rows == 1 {
        ("comes", "row")
    } else {
        ("come", "rows")
    };
    format!(
        "{} {row} {come} to {} at {timebase}, {}{outs}{left_out}.{}",
        thousands(rows),
        in_full(total, timebase.count()),
        frames(total.0.unsigned_abs()),
        unsaid(lines, timebase.count())
    )
}

/// Whether drop-frame was chosen for a list that does not say so.
fn unsaid(lines: &[Line], count: Count) -> &'static str {
    let said = lines.iter().any(|line| line.says == Some(Said::Drop));
    if count.is_drop() && !said && good(lines).next().is_some() {
        " No address has a semicolon: make sure that the list is drop-frame."
    } else {
        ""
    }
}

/// What is wrong with the list as a whole.
pub(super) fn problems(lines: &[Line], reading: Reading) -> Vec<Problem> {
    let mut problems = Vec::new();
    let bad = bad(lines);
    if !bad.is_empty() {
        let named: Vec<String> = bad.iter().take(NAMED).map(u32::to_string).collect();
        let more = match bad.len().saturating_sub(NAMED) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        let line = if bad.len() == 1 { "line" } else { "lines" };
        problems.push(Problem::new(
            "text",
            format!(
                "{} can't be added up: {line} {}{more}.",
                counted(bad.len() as u64, "row"),
                named.join(", ")
            ),
            "What is wrong stands beside each. The total is without them.",
        ));
    }
    let drop = reading.timebase.count().is_drop();
    let against = lines.iter().find(|line| {
        is_fcm(line) && line.says == Some(if drop { Said::NonDrop } else { Said::Drop })
    });
    problems.extend(against.map(|line| {
        let (says, chosen) = if drop {
            ("non-drop-frame", "drop-frame")
        } else {
            ("drop-frame", "non-drop-frame")
        };
        Problem::new(
            "counting",
            format!("Line {} says {says}, but {chosen} is chosen.", line.number),
            format!("Choose {says}, if the list is right."),
        )
    }));
    problems
}

fn is_fcm(line: &Line) -> bool {
    line.label.starts_with("FCM:")
}

/// All totals.
pub(super) fn tables(lines: &[Line], between: &Between, reading: Reading) -> Vec<Table> {
    if lines.is_empty() {
        return Vec::new();
    }
    let mut tables = vec![sum(lines, reading.timebase), rows(lines)];
    tables.extend(between.ends.map(|_| {
        Table::new(
            "Between the rows",
            between_rows(between, reading.timebase.count()),
        )
    }));
    tables
}

fn sum(lines: &[Line], timebase: Timebase) -> Table {
    let total = total(lines);
    let rows = counted(good(lines).count() as u64, "row");
    let seconds = timebase.rate().seconds(total).0;
    Table::new(
        "Total",
        vec![
            Row::new(
                "Total",
                in_full(total, timebase.count()),
                format!("{total} frames counted as {timebase} counts them"),
            ),
            Row::new("Frames", total.to_string(), format!("the sum of {rows}")),
            clock_figure(
                "Real time",
                seconds,
                format!("{total} ÷ {} s", timebase.rate().fraction()),
            ),
        ],
    )
}

fn rows(lines: &[Line]) -> Table {
    let row = |label: &str, number: u64, how: &str| Row::new(label, number.to_string(), how);
    let others = |kind: &Kind| matches!(kind, Kind::Heading | Kind::Remark);
    Table::new(
        "Rows",
        vec![
            row("Rows added", good(lines).count() as u64, ""),
            row("Bad rows, left out", bad(lines).len() as u64, ""),
            row(
                "Other lines",
                number(lines, others),
                "headings, and remarks of an edit list; blank lines are not counted",
            ),
        ],
    )
}

fn between_rows(between: &Between, count: Count) -> Vec<Row> {
    let row = |label: &str, (rows, frames): (u64, i64), noun: &str| {
        Row::new(
            label,
            in_full(Frames(frames), count),
            format!("{}, {frames} frames", counted(rows, noun)),
        )
    };
    let gaps = between.all(|follows| match follows {
        Follows::Gap(frames) => Some(frames),
        _ => None,
    });
    let overlaps = between.all(|follows| match follows {
        Follows::Overlap(frames) => Some(frames),
        _ => None,
    });
    let back = between.all(|follows| match follows {
        Follows::Back(frames) => Some(frames),
        _ => None,
    });
    let mut rows = vec![
        row("Gaps", gaps, "gap"),
        row("Overlaps", overlaps, "overlap"),
        row("Steps back", back, "step"),
        Row::new(
            "Covered",
            in_full(Frames(between.covered), count),
            format!("{} frames, each counted once", between.covered),
        ),
    ];
    rows.extend(between.ends.map(|(first, last)| {
        Row::new(
            "From the first in to the last out",
            in_full(Frames(last.to - first.from), count),
            format!("from {} to {}", first.in_point, last.out_point),
        )
    }));
    rows
}

/// Every line as it is shown.
pub(super) fn lines(lines: &[Line], between: &Between, timebase: Timebase) -> Vec<CheckedLine> {
    let mut follows = between.follows.iter();
    let (mut total, mut left_out) = (Frames(0), "");
    let mut checked = |line: &Line| {
        let mut checked = CheckedLine::new(line);
        let Kind::Row(span) = &line.kind else {
            if matches!(line.kind, Kind::Bad(_)) {
                left_out = ", a bad row left out";
            }
            return checked;
        };
        let count = timebase.count();
        total = total + span.length;
        checked.frames = span.length.to_string();
        checked.duration = in_full(span.length, count);
        checked.running_total = in_full(total, count);
        checked.follows = match follows.next() {
            None | Some(Follows::Nothing) => String::new(),
            Some(each) => each.words(count) + left_out,
        };
        left_out = "";
        if let Some(place) = span.place {
            checked.in_point = place.in_point.to_string();
            checked.out_point = place.out_point.to_string();
        }
        checked
    };
    lines.iter().map(&mut checked).collect()
}

impl CheckedLine {
    fn new(line: &Line) -> Self {
        let (state, text, remedy) = match &line.kind {
            Kind::Row(span) => (LineState::Row, span.note.as_str(), ""),
            Kind::Bad(wrong) => (LineState::Bad, wrong.text.as_str(), wrong.remedy.as_str()),
            Kind::Heading => (LineState::Heading, "", ""),
            Kind::Remark => (LineState::Remark, "", ""),
        };
        Self {
            number: line.number,
            state,
            label: line.label.clone(),
            in_point: String::new(),
            out_point: String::new(),
            duration: String::new(),
            frames: String::new(),
            running_total: String::new(),
            follows: String::new(),
            text: text.to_owned(),
            remedy: remedy.to_owned(),
        }
    }
}

impl Follows {
    fn words(self, count: Count) -> String {
        let long = |frames| in_full(Frames(frames), count);
        match self {
            Self::Nothing => String::new(),
            Self::Directly => "follows directly".to_owned(),
            Self::Gap(frames) => format!("gap of {}", long(frames)),
            Self::Overlap(frames) => format!("overlap of {}", long(frames)),
            Self::Back(frames) => format!("ends {} before the row before it begins", long(frames)),
        }
    }
}

impl LineState {
    const fn name(self) -> &'static str {
        match self {
            Self::Row => "row",
            Self::Bad => "bad",
            Self::Heading => "heading",
            Self::Remark => "remark",
        }
    }
}

/// Every line, also those that do not count.
pub(super) fn csv(lines: &[CheckedLine]) -> String {
    let mut rows = vec![csv_row(HEADING)];
    rows.extend(lines.iter().map(|line| {
        csv_row([
            line.number.to_string().as_str(),
            line.state.name(),
            &line.label,
            &line.in_point,
            &line.out_point,
            &line.frames,
            &line.duration,
            &line.running_total,
            &line.follows,
            &line.text,
            &line.remedy,
        ])
    }));
    rows.push(String::new());
    rows.join("\r\n")
}
