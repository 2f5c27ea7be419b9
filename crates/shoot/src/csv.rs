//! The report as CSV: one row a stretch and one a finding, for a spreadsheet.

use crate::report::{Code, Report};
use plumbline_words::csv_row;

const HEADING: &str = "file,channel,row,kind,at,last,sample,frames,speed,text,remedy";

/// The report as CSV (RFC 4180), with a heading line.
pub fn csv(report: &Report) -> String {
    let mut lines = vec![HEADING.to_owned()];
    for code in &report.codes {
        lines.extend(code_rows(&report.file, code));
    }
    if let Some(error) = &report.error {
        let at = error.at.map(|at| at.to_string()).unwrap_or_default();
        let place = error.place.clone().unwrap_or_default();
        let cells = [
            &report.file,
            "",
            "error",
            &error.kind,
            &place,
            "",
            &at,
            "",
            "",
            &error.text,
            &error.remedy,
        ];
        lines.push(csv_row(cells));
    }
    lines.push(String::new());
    lines.join("\r\n")
}

fn code_rows<'a>(file: &'a str, code: &'a Code) -> impl Iterator<Item = String> + 'a {
    let channel = code.channel.to_string();
    let start = code.start.clone().unwrap_or_default();
    let drop = if code.drop_frame { "drop-frame" } else { "" };
    let samples = code
        .start_samples_since_midnight
        .map(|s| s.to_string())
        .unwrap_or_default();
    let first = csv_row([
        file, &channel, "start", &code.rate, &start, "", &samples, "", "", drop, "",
    ]);
    let stretches = code.stretches.iter().map({
        let channel = channel.clone();
        move |stretch| {
            let kind = if stretch.reverse {
                "reverse"
            } else {
                "forward"
            };
            csv_row([
                file,
                &channel,
                "stretch",
                kind,
                &stretch.first,
                &stretch.last,
                &stretch.first_sample.to_string(),
                &stretch.frames.to_string(),
                &stretch.speed.to_string(),
                &stretch.user_bits,
                "",
            ])
        }
    });
    let findings = code.findings.iter().map(move |finding| {
        csv_row([
            file,
            &channel,
            "finding",
            finding.kind.name(),
            finding.at.as_deref().unwrap_or_default(),
            "",
            &finding.sample.map(|s| s.to_string()).unwrap_or_default(),
            &finding.frames.map(|f| f.to_string()).unwrap_or_default(),
            "",
            &finding.text,
            &finding.remedy,
        ])
    });
    std::iter::once(first).chain(stretches).chain(findings)
}
