//! The report as CSV: one row for each start, stretch, finding, suspicion and embedded time, for a
//! spreadsheet.

use crate::report::{Code, Embedded, Evidence, Finding, Report, ReportedError, Stretch, Suspicion};
use plumbline_words::csv_row;

const HEADING: &str =
    "file,channel,row,kind,at,last,sample,frames,speed,evidence,odds_log10,text,remedy";

/// The report as CSV (RFC 4180), with a heading line.
pub fn csv(report: &Report) -> String {
    let embedded = report.embedded.iter().map(Row::from);
    let codes = report.codes.iter().flat_map(code_rows);
    let suspected = report.suspected.iter().map(Row::from);
    let error = report.error.iter().map(Row::from);
    let rows = embedded.chain(codes).chain(suspected).chain(error);
    let mut lines = vec![HEADING.to_owned()];
    lines.extend(rows.map(|row| row.line(&report.file)));
    lines.push(String::new());
    lines.join("\r\n")
}

/// The cells of a line, but for the file's name; what does not apply is empty.
#[derive(Default)]
struct Row<'a> {
    channel: String,
    what: &'a str,
    kind: &'a str,
    at: &'a str,
    last: &'a str,
    sample: String,
    frames: String,
    speed: String,
    evidence: &'a str,
    odds: String,
    text: &'a str,
    remedy: &'a str,
}

impl Row<'_> {
    fn line(&self, file: &str) -> String {
        csv_row([
            file,
            &self.channel,
            self.what,
            self.kind,
            self.at,
            self.last,
            &self.sample,
            &self.frames,
            &self.speed,
            self.evidence,
            &self.odds,
            self.text,
            self.remedy,
        ])
    }
}

fn number<T: ToString>(value: Option<T>) -> String {
    value.map(|value| value.to_string()).unwrap_or_default()
}

fn code_rows(code: &Code) -> impl Iterator<Item = Row<'_>> {
    let start = Row {
        what: "start",
        kind: &code.rate,
        at: code.start.as_deref().unwrap_or_default(),
        sample: number(code.start_samples_since_midnight),
        text: if code.drop_frame { "drop-frame" } else { "" },
        ..Row::default()
    };
    std::iter::once(start)
        .chain(code.stretches.iter().map(Row::from))
        .chain(code.findings.iter().map(Row::from))
        .map(|row| Row {
            channel: code.channel.to_string(),
            ..row
        })
}

impl<'a> From<&'a Embedded> for Row<'a> {
    fn from(embedded: &'a Embedded) -> Self {
        Row {
            what: "embedded",
            kind: &embedded.source,
            at: embedded.start.as_deref().unwrap_or_default(),
            sample: embedded.samples_since_midnight.to_string(),
            ..Row::default()
        }
    }
}

impl<'a> From<&'a Stretch> for Row<'a> {
    fn from(stretch: &'a Stretch) -> Self {
        Row {
            what: "stretch",
            kind: if stretch.reverse {
                "reverse"
            } else {
                "forward"
            },
            at: &stretch.first,
            last: &stretch.last,
            sample: stretch.first_sample.to_string(),
            frames: stretch.frames.to_string(),
            speed: stretch.speed.to_string(),
            evidence: match stretch.evidence {
                Evidence::Each => "each",
                Evidence::Together => "together",
            },
            odds: number(stretch.odds_log10),
            text: stretch.user_bits.as_deref().unwrap_or_default(),
            ..Row::default()
        }
    }
}

impl<'a> From<&'a Finding> for Row<'a> {
    fn from(finding: &'a Finding) -> Self {
        Row {
            what: "finding",
            kind: finding.kind.name(),
            at: finding.at.as_deref().unwrap_or_default(),
            sample: number(finding.sample),
            frames: number(finding.frames),
            text: &finding.text,
            remedy: &finding.remedy,
            ..Row::default()
        }
    }
}

impl<'a> From<&'a Suspicion> for Row<'a> {
    fn from(suspicion: &'a Suspicion) -> Self {
        Row {
            channel: suspicion.channel.to_string(),
            what: "suspected",
            at: &suspicion.at,
            sample: suspicion.sample.to_string(),
            evidence: "together",
            odds: suspicion.odds_log10.to_string(),
            text: &suspicion.text,
            remedy: &suspicion.remedy,
            ..Row::default()
        }
    }
}

impl<'a> From<&'a ReportedError> for Row<'a> {
    fn from(error: &'a ReportedError) -> Self {
        Row {
            what: "error",
            kind: &error.kind,
            at: error.place.as_deref().unwrap_or_default(),
            sample: number(error.at),
            text: &error.text,
            remedy: &error.remedy,
            ..Row::default()
        }
    }
}
